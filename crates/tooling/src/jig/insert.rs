//! The twisting jig's insert: a flanged body that fits the jig's bore, with a square socket for the tab on a bar's end.

use std::f64::consts::FRAC_PI_2;

use brep::{Shell, Spline, Surface};
use design::{Bore, Design, Jig, Problem, Shop};
use glam::{DVec2, DVec3};

use crate::part::{Part, Stuff};
use crate::plate::bed;
use crate::slab::contour::{Contour, Motion, Region};
use crate::slab::corner::{Corner, arc_of};
use crate::slab::engraving::Engraving;
use crate::slab::label::{CLEAR, depth, label};
use crate::slab::lettering::Lettering;
use crate::slab::sewing::{Sewing, Step, backwards};
use crate::slab::walls::{flat, wall_loop, wall_surface, walls};
use steel::{bearing_depth, bearing_pressure, borne_torque, twisting_torque};

use crate::jig::wrench::hand_force;
use design::Figures;

/// Where a round body's flat lies, in radii: deep enough that its chord (0.78 radii) takes a screw's mouth, and takes
/// only 2 % of the section.
const FLAT: f64 = 0.92;
/// Least notch in a socket's corner, mm: a print's inside corner is never sharp, and the tab's corners are.
const NOTCH: f64 = 0.6;
/// The same in widths of the nozzle, which rounds inside corners with half its width and spreads a little.
const NOTCH_NOZZLES: f64 = 1.5;
/// Depth of the lead-in at 45°, mm: as much as a forged tab's end is off its middle (common practice, no source).
const LEAD: f64 = 1.5;
/// The lead-in's greatest share of the flange: the rest keeps the mouth's border strong.
const LEAD_SHARE: f64 = 0.4;
/// Least wall in widths of the nozzle: two outer lines and one between them (common practice, no source).
const WALL_NOZZLES: f64 = 3.0;
/// Most bearing pressure of mild steel, MPa: below yield with a margin (common practice, no source).
const STEEL_BEARS: f64 = 150.0;
/// Bearing pressure that plastic stands for long, MPa (common practice, no source).
const PLASTIC_BEARS: f64 = 10.0;
/// Smallest screw's hole that help may name, mm: what a design file accepts.
const LEAST_SCREW: f64 = 2.0;
/// Smallest tab that help may name, mm: what a design file accepts.
const LEAST_TAB: f64 = 4.0;
/// Widest flange that help may name, mm: what a design file accepts.
const MOST_FLANGE: f64 = 40.0;

/// Side of the relief notches in a printed socket's corners, mm.
pub(crate) fn notch(nozzle: f64) -> f64 {
    NOTCH.max(NOTCH_NOZZLES * nozzle)
}

/// A square socket around the origin, counter-clockwise from its side at +x: `half` (mm) from the middle to the flats,
/// with a square notch of side `notch` (mm) around each corner.
pub(crate) fn socket(half: f64, notch: f64) -> Contour {
    let (near, far) = (half - 0.5 * notch, half + 0.5 * notch);
    let corner = [(half, -near), (half, near), (far, near), (far, far), (near, far)].map(DVec2::from);
    // A turn by quarters is exact.
    let quarter = |k: usize| corner.map(|p| (0..k).fold(p, |p, _| p.perp()));
    Contour::polygon(&(0..4).flat_map(quarter).collect::<Vec<_>>())
}

/// A counter-clockwise polygon with every side moved out by `by` (mm), side by side parallel.
fn moved_out(polygon: &Contour, by: f64) -> Contour {
    let points: Vec<DVec2> = polygon.corners.iter().map(|c| c.at).collect();
    let n = points.len();
    let out = |i: usize| -(points[(i + 1) % n] - points[i]).normalize_or_zero().perp();
    let corner = |i: usize| {
        let (a, b) = (out((i + n - 1) % n), out(i));
        points[i] + (a + b) * (by / (1.0 + a.dot(b)))
    };
    Contour::polygon(&(0..n).map(corner).collect::<Vec<_>>())
}

/// A bore's form around the origin, counter-clockwise, `size` (mm) across flats or in diameter; its first side is the
/// flat at +x if it has one. A round one gets a flat where `flat` says so.
fn form(bore: Bore, size: f64, flat: bool) -> Contour {
    let radius = 0.5 * size;
    match bore {
        Bore::Square => Contour::polygon(&[
            DVec2::new(radius, -radius),
            DVec2::new(radius, radius),
            DVec2::new(-radius, radius),
            DVec2::new(-radius, -radius),
        ]),
        Bore::Hexagon => {
            let half = radius / 3f64.sqrt();
            let corner =
                |k: i32| DVec2::from_angle(f64::from(k) * FRAC_PI_2 / 1.5).rotate(DVec2::new(radius, -half));
            Contour::polygon(&(0..6).map(corner).collect::<Vec<_>>())
        }
        Bore::Round if flat => flattened(radius),
        Bore::Round => Contour::circle(DVec2::ZERO, radius),
    }
}

/// A circle with a flat at +x: the flat, then three equal arcs.
fn flattened(radius: f64) -> Contour {
    let from = FLAT.acos();
    let turn = (4.0 * FRAC_PI_2 - 2.0 * from) / 3.0;
    let corner = |k: i32| Corner {
        at: DVec2::from_angle(from + f64::from(k) * turn) * radius,
        bulge: (0.25 * turn).tan(),
    };
    let last = corner(0).at * DVec2::new(1.0, -1.0);
    Contour { corners: [Corner::sharp(last), corner(0), corner(1), corner(2)].to_vec() }
}

/// Least distance of points inside a convex form of straight sides and arcs of one circle from its border, mm.
fn least_wall(form: &Contour, inner: &Contour) -> f64 {
    let from_side = |p: DVec2, a: Corner, b: DVec2| {
        if a.bulge.abs() < 1e-12 {
            (b - a.at).normalize_or_zero().perp_dot(p - a.at)
        } else {
            let (centre, radius, ..) = arc_of(a.at, a.bulge, b);
            radius - centre.distance(p)
        }
    };
    let distances = inner.corners.iter().flat_map(|c| form.sides().map(move |(a, b)| from_side(c.at, a, b)));
    distances.fold(f64::INFINITY, f64::min)
}

/// The insert's measures around its axis, flange down; its cross hole looks to +x.
#[derive(Clone, Debug)]
struct Insert {
    flange: Contour,
    body: Contour,
    socket: Contour,
    /// The socket's mouth at z = 0.
    mouth: Contour,
    /// Heights, mm: end of the lead-in, upper face of the flange, upper end.
    heights: [f64; 3],
    /// From the axis to the body's face at +x, mm.
    face: f64,
    /// From the axis to the socket's flats, mm.
    half: f64,
    /// Radius of the cross hole, mm.
    hole: Option<f64>,
    /// Engraved in the flange's upper face.
    beside: Vec<Region>,
    /// Engraved in the upper end.
    above: Vec<Region>,
}

impl Insert {
    /// Without engravings.
    fn new(jig: &Jig, shop: &Shop) -> Insert {
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
    fn moved(&self, motion: &Motion) -> Insert {
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
    fn shell(&self, motion: &Motion) -> Shell {
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
    fn mark(&mut self, lettering: &Lettering, tab: &str, bar: Option<&str>) -> bool {
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
    fn marked(jig: &Jig, shop: &Shop, figures: Figures) -> Option<Insert> {
        let mut insert = Insert::new(jig, shop);
        let bar = jig.bar.map(|bar| format!("FOR {}", figures.length(bar)));
        let lettering = Lettering::least(shop.nozzle);
        insert.mark(&lettering, &figures.length(jig.tab), bar.as_deref()).then_some(insert)
    }
}

/// The insert as it lies on the bed, flange down.
///
/// # Errors
/// Every problem of its measures.
pub(crate) fn insert(design: &Design, jig: &Jig) -> Result<Part, Vec<Problem>> {
    let shop = design.shop();
    let figures = Figures { unit: design.unit() };
    let plain = Insert::new(jig, shop);
    let place = bed::lay(&plain.flange, shop).filter(|_| plain.heights[2] <= shop.bed[2]);
    let marked = Insert::marked(jig, shop, figures);
    let mut problems: Vec<Problem> =
        [thin(design, jig), wide_screw(design, jig, &plain), shallow(design, jig)]
            .into_iter()
            .flatten()
            .collect();
    if marked.is_none() {
        problems.push(unmarked(design, jig, figures));
    }
    if place.is_none() {
        problems.push(unfit(design, &plain));
    }
    match (place, marked) {
        (Some(motion), Some(marked)) if problems.is_empty() => Ok(part(jig, figures, marked.shell(&motion))),
        _ => Err(problems),
    }
}

fn part(jig: &Jig, figures: Figures, shell: Shell) -> Part {
    let (tab, unit) = (figures.station(jig.tab), figures.unit.name());
    Part {
        name: "jig-insert".into(),
        title: format!("Twisting-jig insert for a tab of {tab} {unit}"),
        note: note(jig, figures),
        stage: None,
        stuff: Stuff::Steel,
        shell,
    }
}

/// What the insert bears, and what to make it of.
fn note(jig: &Jig, figures: Figures) -> String {
    let load = match jig.bar {
        Some(bar) => {
            let torque = twisting_torque(bar, jig.flow_stress);
            let pressure = bearing_pressure(torque, jig.tab, jig.depth);
            format!(
                "Sized for {torque:.0} N·m, which twists a hot square bar of {} {} at {} MPa: {:.0} N from each hand at \
                 500 mm from the middle. The tab then presses the socket with {pressure:.1} MPa. Keep the tab cold: as \
                 hot as the bar, it would twist at {:.0} N·m.",
                figures.station(bar),
                figures.unit.name(),
                jig.flow_stress,
                hand_force(torque),
                twisting_torque(jig.tab, jig.flow_stress),
            )
        }
        None => format!(
            "The socket bears {:.0} N·m in mild steel ({STEEL_BEARS} MPa); jig.bar is not given.",
            borne_torque(STEEL_BEARS, jig.tab, jig.depth)
        ),
    };
    format!(
        "{load} Make it of steel from the STEP file, for it sees a torch. Plastic bears about {PLASTIC_BEARS} MPa for \
         long: use a print cold only, to fit the tab."
    )
}

/// Says when the insert does not fit the bed.
fn unfit(design: &Design, insert: &Insert) -> Problem {
    let [low, high] = insert.flange.bounds();
    bed::too_small(design, "the twisting jig's insert", (high - low).extend(insert.heights[2]).to_array())
}

/// Says when the socket's corners come too near to the outside.
fn thin(design: &Design, jig: &Jig) -> Option<Problem> {
    let shop = design.shop();
    let least = WALL_NOZZLES * shop.nozzle;
    let wall = |tab: f64| {
        let insert = Insert::new(&Jig { tab, ..*jig }, shop);
        least_wall(&insert.body, &insert.socket)
    };
    if wall(jig.tab) >= least {
        return None;
    }
    let most = (1..).map(|i| jig.tab - 0.1 * f64::from(i)).take_while(|&tab| tab >= LEAST_TAB);
    let help = most.into_iter().find(|&tab| wall(tab) >= least).map_or_else(
        || "give a larger jig.size".to_owned(),
        |most| format!("give at most {most:.1} mm, or a larger jig.size"),
    );
    Some(design.problem(
        "jig.tab",
        "thin-wall",
        format!(
            "from the socket's corners to the insert's outside there would be {:.2} mm, and the nozzle of {} mm needs {least:.2} mm",
            wall(jig.tab),
            shop.nozzle
        ),
        help,
    ))
}

/// Says when the cross hole finds no room in the body or in the socket's wall.
fn wide_screw(design: &Design, jig: &Jig, insert: &Insert) -> Option<Problem> {
    let (screw, nozzle) = (jig.screw?, design.shop().nozzle);
    let flat_of = |form: &Contour| form.corners[0].at.distance(form.corners[1].at);
    let (body, socket) = (flat_of(&insert.body), flat_of(&insert.socket));
    // A wall on either side on the body; inside, one line.
    let most = (0.5 * jig.depth).min(body - 2.0 * WALL_NOZZLES * nozzle).min(socket - 2.0 * nozzle);
    if screw <= most {
        return None;
    }
    let help = if most >= LEAST_SCREW {
        format!("give at most {:.1} mm, or 0 for none", (10.0 * most).floor() / 10.0)
    } else {
        "give 0 for none".to_owned()
    };
    Some(design.problem(
        "jig.screw",
        "wide-screw",
        format!(
            "a cross hole of {screw:.2} mm is too wide for a body {:.2} mm deep whose flat is {body:.2} mm wide and whose socket's flat is {socket:.2} mm wide",
            jig.depth
        ),
        help,
    ))
}

/// Says when even steel would yield under the tab.
fn shallow(design: &Design, jig: &Jig) -> Option<Problem> {
    let torque = twisting_torque(jig.bar?, jig.flow_stress);
    let pressure = bearing_pressure(torque, jig.tab, jig.depth);
    let least = bearing_depth(torque, jig.tab, STEEL_BEARS);
    (pressure > STEEL_BEARS).then(|| {
        design.problem(
            "jig.depth",
            "shallow-socket",
            format!(
                "{torque:.0} N·m would press the socket with {pressure:.0} MPa, and mild steel bears {STEEL_BEARS} MPa"
            ),
            format!("give a depth of at least {:.1} mm, or a larger jig.tab", (10.0 * least).ceil() / 10.0),
        )
    })
}

/// Says that the tab's size finds no place.
fn unmarked(design: &Design, jig: &Jig, figures: Figures) -> Problem {
    let shop = design.shop();
    let wider = (1..).map(|i| jig.flange + 0.5 * f64::from(i)).take_while(|&flange| flange <= MOST_FLANGE);
    let enough =
        wider.into_iter().find(|&flange| Insert::marked(&Jig { flange, ..*jig }, shop, figures).is_some());
    design.problem(
        "jig.flange",
        "no-room",
        format!(
            "neither flange nor body has room for the tab's size in letters {:.1} mm high, which the nozzle of {} mm needs",
            Lettering::least(shop.nozzle).height(),
            shop.nozzle
        ),
        enough.map_or_else(
            || "give a finer shop.nozzle, or a larger jig.size".to_owned(),
            |least| format!("give at least {least:.1} mm"),
        ),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use brep::{Mesh, Moments};
    use proptest::prelude::*;
    use std::f64::consts::PI;

    fn design(shop: &str, jig: &str) -> Design {
        let text = format!(
            "name = \"Ferry-house jig\"\n[[taper]]\nat = 0\nback = 6\n[outline]\nlength = 300\nbreadth = 30\n\
             [shop]\n{shop}\n[jig]\n{jig}\n"
        );
        design::read(text.as_bytes()).unwrap_or_else(|problems| panic!("{text}\n{problems:#?}"))
    }

    fn made(shop: &str, jig: &str) -> Result<Part, Vec<Problem>> {
        let design = design(shop, jig);
        insert(&design, design.jig().unwrap())
    }

    fn engraved(regions: &[Region]) -> f64 {
        let area = |r: &Region| r.outer.area() - r.islands.iter().map(Contour::area).sum::<f64>();
        regions.iter().map(area).sum()
    }

    /// Prisms of flange, body and engravings, less socket, lead-in and cross hole.
    fn closed_form(jig: &Jig, shop: &Shop, marked: &Insert) -> f64 {
        let (size, tab, gap) = (jig.size, jig.tab, shop.sliding);
        let across = size - 2.0 * gap;
        let flange = match jig.bore {
            // Steiner: the bore's area, its length times the flange, and a disc.
            Bore::Square => size * size + 4.0 * size * jig.flange + PI * jig.flange.powi(2),
            Bore::Hexagon => {
                0.75f64.sqrt() * size * size + 12f64.sqrt() * size * jig.flange + PI * jig.flange.powi(2)
            }
            Bore::Round => PI * (0.5 * size + jig.flange).powi(2),
        };
        let half = FLAT.acos();
        let segment =
            if jig.screw.is_some() { 0.25 * across * across * (half - half.sin() * half.cos()) } else { 0.0 };
        let (body, face) = match jig.bore {
            Bore::Square => (across * across, 0.5 * across),
            Bore::Hexagon => (0.75f64.sqrt() * across * across, 0.5 * across),
            Bore::Round => (0.25 * PI * across * across - segment, 0.5 * FLAT * across),
        };
        // What of each notch lies outside the square socket; with all sides moved out, the same of larger squares.
        let notch = (1.5 * shop.nozzle).max(0.6);
        let hole = |out: f64| {
            let corner = (notch + 2.0 * out).powi(2) - (0.5 * notch + 2.0 * out).powi(2);
            (tab + 2.0 * gap + 2.0 * out).powi(2) + 4.0 * corner
        };
        let lead = marked.heights[0];
        let slope = lead / 6.0 * (hole(0.0) + 4.0 * hole(0.5 * lead) + hole(lead));
        let cross = jig.screw.map_or(0.0, |d| 0.25 * PI * d * d * (face - 0.5 * tab - gap));
        flange * jig.flange_thickness + body * jig.depth
            - hole(0.0) * (jig.flange_thickness + jig.depth - lead)
            - slope
            - cross
            - 0.6 * (engraved(&marked.beside) + engraved(&marked.above))
    }

    fn sound(part: &Part, shop: &Shop, wanted: f64) {
        let volume = Moments::of(&part.shell).volume;
        assert!((volume / wanted - 1.0).abs() < 1e-6, "{volume} {wanted}");
        let mesh = Mesh::of(&part.shell, shop.tolerance).unwrap();
        assert!((mesh.volume() - wanted).abs() < shop.tolerance * mesh.surface());
        let (low, high) = part.shell.bounds();
        assert!(low.abs().max_element() < 1e-9, "{low}");
        assert!((DVec3::from(shop.bed) - high).min_element() > -1e-6, "{high}");
        solid::solid(&part.shell).unwrap();
    }

    #[test]
    fn inserts_of_every_bore_have_their_volume() {
        let shops = ["", "nozzle = 0.25\nclearance.sliding = 0", "nozzle = 0.8\nclearance.sliding = 0.6"];
        let mut count = 0;
        for bore in ["square", "hexagon", "round"] {
            for shop in shops {
                for more in
                    ["", "screw = 0", "screw = 6\nbar = 16", "bar = 12\ndepth = 45\nflange_thickness = 3"]
                {
                    let jig = format!("bore = \"{bore}\"\nsize = 50\ntab = 14\nflange = 20\n{more}");
                    let design = design(shop, &jig);
                    let (jig, shop) = (design.jig().unwrap(), design.shop());
                    let part = insert(&design, jig).unwrap();
                    let marked = Insert::marked(jig, shop, Figures { unit: design.unit() }).unwrap();
                    sound(&part, shop, closed_form(jig, shop, &marked));
                    count += 1;
                }
            }
        }
        assert_eq!(count, 36);
    }

    #[test]
    fn the_socket_is_the_tab_with_its_gap_and_relieved_corners() {
        let form = socket(7.25, 0.6);
        assert_eq!(form.corners.len(), 20);
        assert!((form.area() - (14.5f64.powi(2) + 3.0 * 0.36)).abs() < 1e-12);
        assert!((form.corners[0].at.x - 7.25).abs() < 1e-12 && (form.corners[1].at.x - 7.25).abs() < 1e-12);
        let wider = moved_out(&form, 1.0);
        let [low, high] = wider.bounds();
        assert!((high - DVec2::splat(8.55)).length() < 1e-12 && (low + high).length() < 1e-12);
        assert!((notch(0.4) - 0.6).abs() < 1e-12 && (notch(0.8) - 1.2).abs() < 1e-12);
    }

    #[test]
    fn walls_are_measured_to_flats_and_arcs() {
        let inner = socket(7.0, 1.0);
        let wall = |bore, flat| least_wall(&form(bore, 40.0, flat), &inner);
        assert!((wall(Bore::Square, false) - 12.5).abs() < 1e-12);
        assert!((wall(Bore::Round, false) - (20.0 - 7.5 * 2f64.sqrt())).abs() < 1e-12);
        assert!((wall(Bore::Hexagon, false) - (20.0 - 7.5 * (0.5 + 0.75f64.sqrt()))).abs() < 1e-9);
        let near = least_wall(&form(Bore::Round, 40.0, true), &Contour::polygon(&[DVec2::new(15.0, 1.0)]));
        assert!((near - (18.4 - 15.0)).abs() < 1e-12, "{near}");
    }

    fn problem(shop: &str, jig: &str) -> Problem {
        let mut problems = made(shop, jig).err().unwrap_or_default();
        assert_eq!(problems.len(), 1, "{problems:#?}");
        problems.remove(0)
    }

    #[test]
    fn each_problem_names_the_value_to_change() {
        let bed = problem("bed = [50, 50, 50]", "size = 40\ntab = 14");
        assert_eq!((bed.field.as_str(), bed.code), ("shop.bed", "bed"));
        let thin = problem("nozzle = 1.2", "size = 60\ntab = 52\nflange = 30");
        assert_eq!((thin.field.as_str(), thin.code), ("jig.tab", "thin-wall"));
        assert_eq!(thin.help, "give at most 50.0 mm, or a larger jig.size");
        let screw = problem("", "size = 40\ntab = 14\nscrew = 15.5\ndepth = 40");
        assert_eq!(
            (screw.field.as_str(), screw.help.as_str()),
            ("jig.screw", "give at most 13.1 mm, or 0 for none")
        );
        let shallow = problem("", "size = 40\ntab = 6\ndepth = 10\nbar = 16\nscrew = 3");
        assert_eq!(shallow.field, "jig.depth");
        // 3 · 39 413.8/(150 · 36) = 21.9.
        assert_eq!(shallow.help, "give a depth of at least 21.9 mm, or a larger jig.tab");
        let flange = problem("", "size = 30\ntab = 16\nflange = 6");
        assert_eq!((flange.field.as_str(), flange.help.as_str()), ("jig.flange", "give at least 6.5 mm"));
        assert!(made("", "size = 30\ntab = 16\nflange = 6.5").is_ok());
    }

    #[test]
    fn a_wide_body_takes_the_size_in_its_end() {
        let design = design("", "size = 60\ntab = 14\nflange = 6");
        let (jig, shop) = (design.jig().unwrap(), design.shop());
        let marked = Insert::marked(jig, shop, Figures { unit: design.unit() }).unwrap();
        assert!(marked.beside.is_empty() && marked.above.len() == 5);
        sound(&insert(&design, jig).unwrap(), shop, closed_form(jig, shop, &marked));
    }

    #[test]
    fn the_note_says_what_it_bears() {
        let part = made("", "size = 40\ntab = 14\nbar = 16").unwrap();
        assert!(part.note.starts_with(
            "Sized for 39 N·m, which twists a hot square bar of 16 mm at 50 MPa: 39 N from each hand at 500 mm from \
             the middle. The tab then presses the socket with 20.1 MPa."
        ));
        // 150 · 30 · 14²/3000.
        let part = made("", "size = 40\ntab = 14").unwrap();
        assert!(part.note.starts_with("The socket bears 294 N·m"), "{}", part.note);
        assert_eq!(part.stuff, Stuff::Steel);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        #[test]
        fn a_sound_part_or_named_problems(
            bore in prop::sample::select(vec!["square", "hexagon", "round"]),
            (size, share) in (14.0..150.0, 0.05..1.0),
            (depth, flange, thickness) in (10.0..150.0, 6.0..40.0, 3.0..20.0),
            screw in prop_oneof![Just(0.0), 2.0..16.0],
            bar in prop::option::of(4.0..60.0),
            (nozzle, gap, bed) in (0.1..2.0, 0.0..2.0, 60.0..300.0),
        ) {
            let corners = if bore == "square" { f64::MAX } else { (size - 6.0) / 2f64.sqrt() };
            let most = f64::min(size - 8.0, corners).min(100.0);
            let tab = 4.0 + share * (most - 4.0);
            prop_assume!(most >= 4.0);
            let bar = bar.map_or(String::new(), |b: f64| format!("bar = {b}"));
            let design = design(
                &format!("nozzle = {nozzle}\nclearance.sliding = {gap}\nbed = [{bed}, {bed}, 120]"),
                &format!(
                    "bore = \"{bore}\"\nsize = {size}\ntab = {tab}\ndepth = {depth}\nflange = {flange}\n\
                     flange_thickness = {thickness}\nscrew = {screw}\n{bar}"
                ),
            );
            let (jig, shop) = (design.jig().unwrap(), design.shop());
            match insert(&design, jig) {
                Ok(part) => {
                    let marked = Insert::marked(jig, shop, Figures { unit: design.unit() }).unwrap();
                    sound(&part, shop, closed_form(jig, shop, &marked));
                }
                Err(problems) => {
                    let fields = ["jig.tab", "jig.screw", "jig.depth", "jig.flange", "shop.bed"];
                    prop_assert!(!problems.is_empty());
                    prop_assert!(problems.iter().all(|p| fields.contains(&p.field.as_str())), "{problems:#?}");
                }
            }
        }
    }
}
