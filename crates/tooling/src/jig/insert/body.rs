//! The insert as a body: its measures, its closed shell, and the sizes engraved in it.

use std::f64::consts::FRAC_PI_2;

use brep::{Shell, Spline, Surface};
use design::{Figures, Jig, Shop};
use glam::{DVec2, DVec3};

use crate::jig::insert::forms::{form, moved_out, notch, socket};
use crate::slab::contour::{Contour, Motion, Region};
use crate::slab::engraving::Engraving;
use crate::slab::label::{CLEAR, depth, label};
use crate::slab::lettering::Lettering;
use crate::slab::sewing::{Sewing, Step, backwards};
use crate::slab::walls::{flat, wall_loop, wall_surface, walls};

/// Depth of the lead-in at 45°, mm: as much as a forged tab's end is off its middle (common practice, no source).
const LEAD: f64 = 1.5;
/// The lead-in's greatest share of the flange: the rest keeps the mouth's border strong.
const LEAD_SHARE: f64 = 0.4;

/// The insert's measures around its axis, flange down; its cross hole looks to +x.
#[derive(Clone, Debug)]
pub(super) struct Insert {
    pub(super) flange: Contour,
    pub(super) body: Contour,
    pub(super) socket: Contour,
    /// The socket's mouth at z = 0.
    pub(super) mouth: Contour,
    /// Heights, mm: end of the lead-in, upper face of the flange, upper end.
    pub(super) heights: [f64; 3],
    /// From the axis to the body's face at +x, mm.
    pub(super) face: f64,
    /// From the axis to the socket's flats, mm.
    pub(super) half: f64,
    /// Radius of the cross hole, mm.
    pub(super) hole: Option<f64>,
    /// Engraved in the flange's upper face.
    pub(super) beside: Vec<Region>,
    /// Engraved in the upper end.
    pub(super) above: Vec<Region>,
}

impl Insert {
    /// Without engravings.
    pub(super) fn new(jig: &Jig, shop: &Shop) -> Insert {
        let notch = notch(shop.nozzle);
        let half = 0.5 * jig.tab + shop.sliding;
        let socket = socket(half, notch);
        // Sides of the mouth get shorter by twice the lead-in; half of them is kept.
        let lead = LEAD.min(LEAD_SHARE * jig.flange_thickness).min(0.25 * (2.0 * half - notch));
        let body = form(jig.bore, jig.size - 2.0 * shop.sliding, jig.screw.is_some());
        let bore = form(jig.bore, jig.size, false);
        let flange = bore.grown(jig.flange).pop().unwrap_or(bore);
        Insert {
            flange,
            mouth: moved_out(&socket, lead),
            heights: [lead, jig.flange_thickness, jig.flange_thickness + jig.depth],
            face: body.bounds()[1].x,
            body,
            socket,
            half,
            hole: jig.screw.map(|d| 0.5 * d),
            beside: Vec::new(),
            above: Vec::new(),
        }
    }

    /// Turned and shifted on the bed, all but `face`, `half` and `hole`.
    pub(super) fn moved(&self, motion: &Motion) -> Insert {
        let all = |regions: &[Region]| regions.iter().map(|r| r.moved(motion)).collect();
        Insert {
            flange: self.flange.moved(motion),
            body: self.body.moved(motion),
            socket: self.socket.moved(motion),
            mouth: self.mouth.moved(motion),
            beside: all(&self.beside),
            above: all(&self.above),
            ..*self
        }
    }

    /// Its boundary, moved.
    pub(super) fn shell(&self, motion: &Motion) -> Shell {
        let mut sewing = Sewing::default();
        let holes = self.hole.map(|radius| self.cross_hole(&mut sewing, radius, motion));
        self.moved(motion).faces(&mut sewing, holes.as_ref());
        sewing.shell()
    }

    /// All faces but the cross hole's wall; `rims` are its loops in the socket's and in the body's face.
    fn faces(&self, sewing: &mut Sewing, rims: Option<&[Vec<Step>; 2]>) {
        let [lead, shelf, top] = self.heights;
        flat(sewing, "bottom", false, 0.0, &self.flange, std::slice::from_ref(&self.mouth));
        self.lead_in(sewing);
        // The socket's first side is the last but one of the way back.
        let at = self.socket.corners.len() - 2;
        pierced(sewing, "socket", &self.socket.reversed(), [lead, top], rims.map(|r| (at, &r[0])));
        walls(sewing, "flange", &self.flange, [0.0, shelf]);
        let (beside, above) = (Engraving::new(&self.beside), Engraving::new(&self.above));
        let around = |inner: &Contour, cuts: &Engraving| [vec![inner.clone()], cuts.openings()].concat();
        flat(sewing, "flange", true, shelf, &self.flange, &around(&self.body, &beside));
        pierced(sewing, "body", &self.body, [shelf, top], rims.map(|r| (0, &r[1])));
        flat(sewing, "end", true, top, &self.body, &around(&self.socket, &above));
        beside.sew(sewing, [shelf - depth(shelf), shelf]);
        above.sew(sewing, [top - depth(top - shelf), top]);
    }

    /// The slanting faces around the mouth.
    fn lead_in(&self, sewing: &mut Sewing) {
        let lead = self.heights[0];
        let (inner, outer) = (self.socket.reversed(), self.mouth.reversed());
        for ((a, b), (c, d)) in inner.sides().zip(outer.sides()) {
            let along = (b - a.at).normalize_or_zero();
            // At 45° the normal leans as much to the axis as down.
            let normal = ((-along.perp()).extend(-1.0)).normalize();
            let surface = Surface::Plane { origin: a.at.extend(lead), normal, along: along.extend(0.0) };
            let points = [c.at.extend(0.0), d.extend(0.0), b.extend(lead), a.at.extend(lead)];
            sewing.face("lead-in", surface, &[points.map(|at| Step { at, arc: None }).to_vec()]);
        }
    }

    /// The cross hole's wall in quarters, half way up the body, and its loops in the socket's and the body's face.
    fn cross_hole(&self, sewing: &mut Sewing, radius: f64, motion: &Motion) -> [Vec<Step>; 2] {
        let height = 0.5 * (self.heights[1] + self.heights[2]);
        // Point of the square around the hole at x; quarters lie at its sides' middles, counter-clockwise from +x.
        let at = |x: f64, y: f64, z: f64| motion.of(DVec2::new(x, radius * y)).extend(height + radius * z);
        let ring = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)];
        let weight = std::f64::consts::FRAC_1_SQRT_2;
        let rim = |x: f64| {
            let step = |k: usize| {
                let (a, b) = (ring[k], ring[(k + 1) % 4]);
                Step { at: at(x, a.0, a.1), arc: Some((at(x, a.0 + b.0, a.1 + b.1), weight)) }
            };
            (0..4).map(step).collect::<Vec<_>>()
        };
        let (inner, outer) = (rim(self.half), rim(self.face));
        for k in 0..4 {
            quarter(sewing, [&inner[k], &outer[k]], [&inner[(k + 1) % 4], &outer[(k + 1) % 4]]);
        }
        // The outer rim runs clockwise as the body's face has it; the inner one does as the socket's face has it.
        let outer = backwards(&outer);
        [inner, outer]
    }
}

/// A quarter of a round wall between two lines that run from the inner to the outer rim.
fn quarter(sewing: &mut Sewing, low: [&Step; 2], high: [&Step; 2]) {
    let middle = low.map(|s| s.arc.map_or(s.at.extend(1.0), |(m, w)| (m * w).extend(w)));
    let surface = Surface::Round {
        low: sewing.rail(low[0].at, low[1].at),
        middle: Spline::straight(middle[0], middle[1]),
        high: sewing.rail(high[0].at, high[1].at),
    };
    let straight = |at: DVec3| Step { at, arc: None };
    let around = vec![
        straight(low[0].at),
        low[1].clone(),
        straight(high[1].at),
        Step { at: high[0].at, arc: low[0].arc },
    ];
    sewing.face("cross hole", surface, &[around]);
}

/// Upright walls like [`walls`], with another loop in the one of that number.
fn pierced(
    sewing: &mut Sewing,
    name: &str,
    contour: &Contour,
    range: [f64; 2],
    rim: Option<(usize, &Vec<Step>)>,
) {
    for (i, (a, b)) in contour.sides().enumerate() {
        let rim = rim.filter(|(at, _)| *at == i).map(|(_, rim)| rim.clone());
        let loops: Vec<_> = std::iter::once(wall_loop(a, b, range)).chain(rim).collect();
        sewing.face(name, wall_surface(a, b, range), &loops);
    }
}

/// A side of the insert.
#[derive(Clone, Copy)]
enum Side {
    /// At +x, where the cross hole is.
    Screw,
    /// At −x.
    Back,
}

/// A line of text between `inner` (mm from the axis) and the outline on a side, its top to the axis: half way, or else
/// as far in as can be. `None` without room.
fn beside(
    lettering: &Lettering,
    text: &str,
    inner: f64,
    outline: &Contour,
    side: Side,
) -> Option<Vec<Region>> {
    let [low, high] = outline.bounds();
    let (turn, outer) = match side {
        Side::Screw => (FRAC_PI_2, high.x),
        Side::Back => (-FRAC_PI_2, -low.x),
    };
    let turned = Motion { turn, shift: DVec2::ZERO };
    let (height, half) = (lettering.height(), 0.5 * lettering.width(text));
    let border = outline.grown(-CLEAR);
    let fits = |base: f64| {
        let line =
            Contour::rectangle(DVec2::new(-half, -base), DVec2::new(half, height - base)).moved(&turned);
        border.iter().any(|b| line.corners.iter().all(|c| b.contains(c.at)))
    };
    // Distances of the base line from the axis.
    let least = inner + CLEAR + height;
    let bases = [least.max(0.5 * (inner + outer + height)), least];
    let base = bases.into_iter().find(|&base| fits(base))?;
    let (regions, _) = label(lettering, text, DVec2::new(-half, -base));
    Some(regions.iter().map(|r| r.moved(&turned)).collect())
}

impl Insert {
    /// Engraves the tab's size beside the body or else in the upper end, and the bar's beside the body where there is
    /// room; says whether the tab's found a place.
    pub(super) fn mark(&mut self, lettering: &Lettering, tab: &str, bar: Option<&str>) -> bool {
        let [low, high] = self.body.bounds();
        let on_flange = |text: &str, inner: f64, side| beside(lettering, text, inner, &self.flange, side);
        let size = on_flange(tab, high.x, Side::Screw);
        let bar = bar.and_then(|text| on_flange(text, -low.x, Side::Back));
        let above = if size.is_some() {
            None
        } else {
            beside(lettering, tab, self.socket.bounds()[1].x, &self.body, Side::Back)
        };
        let marked = size.is_some() || above.is_some();
        self.above = above.unwrap_or_default();
        self.beside = [size, bar].into_iter().flatten().flatten().collect();
        marked
    }

    /// The insert with its engravings; `None` where the tab's size finds no place.
    pub(super) fn marked(jig: &Jig, shop: &Shop, figures: Figures) -> Option<Insert> {
        let mut insert = Insert::new(jig, shop);
        let bar = jig.bar.map(|bar| format!("FOR {}", figures.length(bar)));
        let lettering = Lettering::least(shop.nozzle);
        insert.mark(&lettering, &figures.length(jig.tab), bar.as_deref()).then_some(insert)
    }
}
