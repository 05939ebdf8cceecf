//! What lies at the very edge of the finished blade: the steel, and its carbon once it has evened out.

use blade::{Part, Stage};
use design::Design;
use laminate::{Billet, MaterialMap, StackPoint};

use crate::levelling::Levelling;

/// Stations along the finished blade at which its edge is looked at.
const LOOKS: usize = 50;
/// A mean of carbon over stations is told to one over so many percent by mass, so that what was bought stays what it was.
const PARTS: f64 = 1e6;

/// What lies at the very edge at a station: the steel, and its carbon there, least and greatest, mass percent.
type AtEdge = (usize, [f64; 2]);

/// The very edge of the finished blade, station by station.
pub(crate) struct Edge(Vec<AtEdge>);

impl Edge {
    /// Of a design with its billet laid.
    pub(crate) fn of(design: &Design, lay: &MaterialMap, levelling: &[Levelling]) -> Edge {
        let finished = blade::Sections::of(&design.blade().loft(Stage::Finished));
        let (_, end) = finished.range();
        let stations = (0..LOOKS).map(|i| end * (i as f64 + 0.5) / LOOKS as f64);
        // A plug that the edge runs through may lie between two of them.
        let spots = lay.spots(&finished).into_iter().filter_map(|spot| spot.at_edge);
        let stations = stations.chain(spots.map(|[from, to]| 0.5 * (from + to)));
        // Where bars lie side by side the weld between them may run along the edge: then both its sides count.
        let billet = lay.billet();
        let parted = (0..billet.places()).any(|place| billet.is_parted(place));
        let shares = if parted { &[0.25, 0.75][..] } else { &[0.5] };
        let place = |x: f64| {
            let (plane, section) = lay.plane(x).zip(finished.at(x))?;
            debug_assert_eq!(plane.part(), Part::Blade);
            let (low, _) = section.range();
            let (left, right) = section.flanks(low);
            let at = |share: &f64| plane.stack_point(low, (1.0 - share) * left + share * right);
            let mut found: Vec<AtEdge> =
                shares.iter().map(|share| carbon_at(billet, at(share), levelling)).collect();
            found.dedup_by_key(|place| place.0);
            Some(found)
        };
        Edge(stations.filter_map(place).flatten().collect())
    }

    /// At how many of its stations a steel lies.
    pub(crate) fn count(&self, steel: usize) -> usize {
        self.0.iter().filter(|place| place.0 == steel).count()
    }

    /// Carbon of a steel where it lies at the edge, a mean over the blade's length, least and greatest over the sources.
    pub(crate) fn carbon(&self, steel: usize) -> [f64; 2] {
        [0, 1].map(|i| {
            let own = self.0.iter().filter(|place| place.0 == steel);
            let mean = own.map(|place| place.1[i]).sum::<f64>() / self.count(steel).max(1) as f64;
            (mean * PARTS).round() / PARTS
        })
    }
}

/// The steel at a point of the stack and its carbon there: evened out in a bar of layers, as bought in a bar of one
/// steel.
fn carbon_at(billet: &Billet, p: StackPoint, levelling: &[Levelling]) -> AtEdge {
    let (place, (bar, welded)) = (billet.layer(p), billet.bar_point(p));
    let made = &billet.bars()[bar];
    let square = made.before_twist(welded, made.twist.angle(p.along));
    let across = billet.across(bar, square, p.along);
    let levelled = levelling.iter().find(|l| l.bar == made.name);
    let bought = billet.steels()[place.steel].composition.c;
    if place.plug.is_some() {
        return (place.steel, [bought; 2]);
    }
    (place.steel, levelled.map_or([bought; 2], |l| l.at(across.clamp(0.0, 1.0))))
}
