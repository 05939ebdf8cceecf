//! Plugs on the blade: the ovals that they show as, and each of them as a body of its own.

use blade::{Part, Sections};
use brep::{Mesh, MeshFault};
use glam::DVec2;

use crate::billet::plug::Plug;
use crate::billet::recipe::{Billet, BilletFault};
use crate::map::material::MaterialMap;
use crate::map::zone::Zone;

/// Points around a plug by which its oval is measured: to a ten thousandth of its size.
const AROUND: u32 = 256;
/// Fewest stations at which a plug's body is read, and most: a coarse mesh still has an oval, a fine one an end.
const STATIONS: [f64; 2] = [16.0, 512.0];
/// A body's ends are cut this share of its radius off, or less where the tolerance is finer: there its sides meet.
const BLUNT: f64 = 0.02;

/// What a plug shows as on the sides of a stage, which is the same on both: the map moves nothing along z. Lengths in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// The plug's bar.
    pub bar: usize,
    /// The plug by its place in the bar's list.
    pub plug: usize,
    /// The station of the plug's axis.
    pub at: f64,
    /// Between which stations it shows, as far as it does.
    pub stations: [f64; 2],
    /// Between which heights over the stage's edge it shows at the station of its axis, or where it is cut least.
    pub heights: [f64; 2],
    /// Between which stations the stage's edge runs through it; none where it lies clear of it.
    pub at_edge: Option<[f64; 2]>,
}

impl MaterialMap {
    /// The place on the blade's side of a point of a plug's bar, along and up from the plug's axis, mm of the stack.
    fn of_plug(&self, (bar, plug): (usize, &Plug), off: DVec2) -> Option<DVec2> {
        let along = plug.at + off.x;
        let stack = self.billet().stack(Part::Blade);
        let k = stack.bars.iter().position(|&b| b == bar)?;
        let x = self.station(along);
        let up = stack.seams(along)[k] + plug.up + off.y;
        Some(DVec2::new(x, self.plane(x)?.height_of(up)))
    }

    /// The same billet with plugs through its bars, a list for each; those it had are taken out.
    ///
    /// # Errors
    /// Every [`BilletFault`] found.
    pub fn with_plugs(&self, plugs: Vec<Vec<Plug>>) -> Result<MaterialMap, Vec<BilletFault>> {
        let mut recipe = self.billet().recipe().clone();
        let all = plugs.into_iter().chain(std::iter::repeat(Vec::new()));
        recipe.bars.iter_mut().zip(all).for_each(|(bar, plugs)| bar.plugs = plugs);
        Ok(self.with_billet(Billet::new(recipe)?))
    }

    /// The plugs that show on a stage whose sections are given, by their bars from the back to the edge. A plug that was ground
    /// away, or cut off the tip, does not.
    pub fn spots(&self, stage: &Sections) -> Vec<Spot> {
        let bars = self.billet().bars().iter().enumerate();
        let all = bars.flat_map(|(bar, made)| (0..made.plugs.len()).map(move |plug| (bar, plug)));
        all.filter_map(|(bar, plug)| self.spot((bar, plug), stage)).collect()
    }

    /// What a plug shows as on a stage, by its bar and its place in the bar's list; `None` where it doesn't show.
    pub fn spot(&self, (bar, i): (usize, usize), stage: &Sections) -> Option<Spot> {
        let plug = self.billet().bars().get(bar)?.plugs.get(i)?;
        let at = self.of_plug((bar, plug), DVec2::ZERO)?.x;
        // Upper and lower side at stations from one end to the other, as far as the stage has them.
        let column = |k: u32| {
            let along = -(std::f64::consts::PI * f64::from(k) / f64::from(AROUND)).cos();
            let up = (1.0 - along * along).max(0.0).sqrt();
            let [low, high] =
                [-up, up].map(|up| self.of_plug((bar, plug), plug.radius() * DVec2::new(along, up)));
            let (low, high) = (low?, high?);
            let (edge, back) = stage.at(low.x)?.range();
            let seen = [low.y.max(edge) - edge, high.y.min(back) - edge];
            (seen[0] <= seen[1]).then_some((low.x, seen, low.y < edge))
        };
        let shown: Vec<(f64, [f64; 2], bool)> = (0..=AROUND).filter_map(column).collect();
        let (first, last) = (shown.first()?, shown.last()?);
        let middle = shown.iter().min_by(|a, b| (a.0 - at).abs().total_cmp(&(b.0 - at).abs()))?;
        let mut cut = shown.iter().filter(|column| column.2).map(|column| column.0);
        let at_edge = cut.next().map(|from| [from, cut.next_back().unwrap_or(from)]);
        Some(Spot { bar, plug: i, at, stations: [first.0, last.0], heights: middle.1, at_edge })
    }

    /// The pieces of a bar of the blade around its plugs, then these. Plugs are prisms along z, true to `tolerance`, mm.
    pub(crate) fn plugged(&self, bar: usize, mesh: Mesh, tolerance: f64) -> Result<Vec<Zone>, MeshFault> {
        let (mut pieces, mut rods) = (vec![mesh], Vec::new());
        for (i, plug) in self.billet().bars()[bar].plugs.iter().enumerate() {
            let sides = self.sides((bar, plug), tolerance);
            let mut around = Vec::new();
            for piece in pieces {
                let [rod, rest] = parted(&piece, &sides)?;
                let rod = rod.into_iter().map(|mesh| Zone { bar, plug: Some(i), part: Part::Blade, mesh });
                rods.extend(rod);
                around.extend(rest);
            }
            pieces = around;
        }
        let own = pieces.into_iter().map(|mesh| Zone { bar, plug: None, part: Part::Blade, mesh });
        Ok(own.chain(rods).collect())
    }

    /// The lower and the upper side of a plug on the blade.
    fn sides(&self, (bar, plug): (usize, &Plug), tolerance: f64) -> Sides {
        let radius = plug.radius();
        let stretch = self.stretch(self.station(plug.at)).unwrap_or(1.0).max(1.0);
        // A chord of a circle of radius r stands r − √(r² − c²/4) off it; on the blade that grows as the plug does.
        let off = (tolerance / (radius * stretch)).min(BLUNT);
        let step = 2.0 * (1.0 - off).acos();
        let blunt = (1.0 - off).acos();
        let count = (std::f64::consts::PI / step).ceil().clamp(STATIONS[0], STATIONS[1]) as u32;
        let row = |k: u32| {
            let turn = blunt + (std::f64::consts::PI - 2.0 * blunt) * f64::from(k) / f64::from(count);
            let (up, along) = turn.sin_cos();
            let side = |up: f64| self.of_plug((bar, plug), radius * DVec2::new(-along, up));
            side(-up).zip(side(up))
        };
        let rows: Vec<(DVec2, DVec2)> = (0..=count).filter_map(row).collect();
        Sides {
            stations: rows.iter().map(|row| row.0.x).collect(),
            heights: vec![rows.iter().map(|row| row.0.y).collect(), rows.iter().map(|row| row.1.y).collect()],
        }
    }
}

/// The lower and the upper side of a plug at common stations, mm.
struct Sides {
    stations: Vec<f64>,
    heights: Vec<Vec<f64>>,
}

/// What of a plug is in a piece of its bar, and what is left of that around it.
fn parted(piece: &Mesh, sides: &Sides) -> Result<[Vec<Mesh>; 2], MeshFault> {
    let whole = || Ok([Vec::new(), vec![piece.clone()]]);
    let (low, high) = piece.bounds();
    let (Some(&from), Some(&to)) = (sides.stations.first(), sides.stations.last()) else { return whole() };
    if to <= low.x || from >= high.x {
        return whole();
    }
    let [behind, rest] = piece.split_across(from)?;
    let Some(rest) = rest else { return whole() };
    let [beside, ahead] = rest.split_across(to)?;
    let Some(beside) = beside else { return whole() };
    let mut parts = beside.split_along(&sides.stations, &sides.heights)?.into_iter();
    let [below, rod, above] = [0, 1, 2].map(|_| parts.next().flatten());
    // What the plug does not reach stays in one piece.
    let Some(rod) = rod else { return whole() };
    Ok([vec![rod], [behind, below, above, ahead].into_iter().flatten().collect()])
}
