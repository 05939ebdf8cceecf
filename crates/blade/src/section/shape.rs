//! The blade as functions of the station parameter: chords, measures and sections at one stage.
//!
//! The parameter u is the station x up to where the sections begin to fan out; from there to the point
//! it runs on to the blade's length while each section's chord joins the back line and the edge line at like
//! shares of what is left of them. So sections turn with a rounded or upswept point.

use glam::{DVec2, DVec3, DVec4};

use crate::outline::forms::{Lines, last_corner};
use crate::section::corners::{self, Corner, Join, Layout, Measures, Side, Tag};
use crate::section::taper::Taper;
use crate::spec::{Bevel, Fuller, GrindLine, Section, Sides, Spec, Stage, TangForm};

/// Breadth (mm) below which a section counts as the exact point itself.
const POINT: f64 = 1e-9;

/// A corner in space with the way to the next one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Node {
    pub(crate) tag: Tag,
    pub(crate) at: DVec3,
    /// The middle row of the arc to the next corner, homogeneous; straight without it.
    pub(crate) middle: Option<DVec4>,
}

/// The chord of a section: from the edge line to the back line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Chord {
    pub(crate) edge: DVec2,
    pub(crate) back: DVec2,
}

/// How the two lines are run through beyond the fan's start.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Fan {
    /// Where it starts, mm.
    pub(crate) start: f64,
    /// The blade's length, mm.
    pub(crate) end: f64,
    back: Run,
    edge: Run,
}

/// One line's way through the fan: length at its start, length left, and the slope at which it sets out
/// relative to the mean.
#[derive(Clone, Debug, PartialEq)]
struct Run {
    from: f64,
    left: f64,
    slope: f64,
}

impl Run {
    fn new(line: &brep::Path, start: f64, end: f64) -> Self {
        let from = line.length_at(start);
        let left = line.length() - from;
        // A cubic Hermite share stays monotone for slopes up to 3 (Fritsch and Carlson 1980).
        Run { from, left, slope: (line.length_slope(start) * (end - start) / left).min(3.0) }
    }

    /// Length along the line at share w of the fan: the cubic from 0 to 1 with slopes `slope` and 1.
    fn length(&self, w: f64) -> f64 {
        let (m, s) = (self.slope, 1.0 - w);
        self.from + self.left * (w * w * (3.0 - 2.0 * w) + m * w * s * s - w * w * s)
    }

    /// Shares at which the line is at the lengths given.
    fn shares(&self, lengths: &[f64]) -> Vec<f64> {
        let share = |target: f64| {
            let (mut low, mut high) = (0.0, 1.0);
            for _ in 0..60 {
                let w = 0.5 * (low + high);
                if self.length(w) < target { low = w } else { high = w }
            }
            0.5 * (low + high)
        };
        lengths.iter().map(|&l| share(l)).collect()
    }
}

impl Fan {
    /// The fan reaches as far back as the blade is broad at the shoulder, at most a quarter of its length and
    /// never beyond a corner of either line, nor behind station `first`.
    pub(crate) fn new(lines: &Lines, first: f64) -> Self {
        let end = lines.length();
        let reach = lines.breadth(0.0).min(0.25 * end);
        let start = (end - reach).max(last_corner(&lines.back)).max(last_corner(&lines.edge)).max(first);
        Fan { start, end, back: Run::new(&lines.back, start, end), edge: Run::new(&lines.edge, start, end) }
    }

    fn share(&self, u: f64) -> f64 {
        (u - self.start) / (self.end - self.start)
    }

    /// Parameters of the joints of the two lines' pieces inside the fan.
    fn joints(&self, lines: &Lines) -> Vec<f64> {
        let of = |line: &brep::Path, run: &Run| run.shares(&line.joint_lengths(run.from + 1e-9));
        of(&lines.back, &self.back)
            .into_iter()
            .chain(of(&lines.edge, &self.edge))
            .map(|w| self.start + w * (self.end - self.start))
            .collect()
    }
}

/// One design at one stage.
#[derive(Clone, Debug)]
pub(crate) struct Shape<'a> {
    pub(crate) spec: &'a Spec,
    pub(crate) lines: &'a Lines,
    pub(crate) taper: &'a Taper,
    pub(crate) fan: &'a Fan,
    /// How far the edge and the back lie outside the finished ones, mm.
    pub(crate) beyond: [f64; 2],
    pub(crate) stage: Stage,
}

impl Shape<'_> {
    /// Steel still to come off each side, mm.
    pub(crate) fn allowance(&self) -> f64 {
        let s = &self.spec.stages;
        match self.stage {
            Stage::Forged => s.forged_allowance + s.ground_allowance,
            Stage::Ground => s.ground_allowance,
            Stage::Finished => 0.0,
        }
    }

    /// Thickness of the primary bevel at the edge, mm.
    pub(crate) fn edge(&self) -> f64 {
        let s = &self.spec.stages;
        match self.stage {
            Stage::Forged => s.forged_edge,
            Stage::Ground => s.ground_edge,
            Stage::Finished => s.finished_edge,
        }
    }

    /// Where the sharpened edge begins, mm; `None` when it stays flat.
    pub(crate) fn sharp_from(&self) -> Option<f64> {
        let sharpened = self.stage == Stage::Finished && self.spec.stages.edge_angle.is_some();
        sharpened.then(|| self.spec.ricasso.map_or(0.0, |r| r.length + r.plunge))
    }

    /// The section's form. Hollows are ground like fullers: a blade that will have them is forged with flat bevels.
    pub(crate) fn section(&self) -> Section {
        let bevel = match self.spec.section.bevel {
            Bevel::Hollow { .. } if self.stage == Stage::Forged => Bevel::Flat,
            bevel => bevel,
        };
        Section { bevel, ..self.spec.section }
    }

    /// The fullers are cut when the blade is ground: the forged blade has none.
    pub(crate) fn fullers(&self) -> &[Fuller] {
        if self.stage == Stage::Forged { &[] } else { &self.spec.fullers }
    }

    /// Whether the blade ends in one exact point.
    pub(crate) fn pointed(&self) -> bool {
        self.lines.back.end().distance(self.lines.edge.end()) < POINT
    }

    /// The section's chord: square to the blade before the fan, and then from edge to back by shares of their
    /// lengths.
    pub(crate) fn chord(&self, u: f64) -> Chord {
        let fan = &self.fan;
        if u < fan.start {
            return Chord { edge: self.lines.edge.at_station(u), back: self.lines.back.at_station(u) };
        }
        let w = fan.share(u);
        Chord {
            edge: self.lines.edge.at_length(fan.edge.length(w)),
            back: self.lines.back.at_length(fan.back.length(w)),
        }
    }

    /// The section's measures at u, on the chord given.
    pub(crate) fn measures(&self, u: f64, chord: Chord) -> Measures {
        let breadth = chord.back.distance(chord.edge).max(POINT);
        let more = 2.0 * self.allowance();
        let bevelled = self.spec.ricasso.map_or(1.0, |r| smooth_step((u - r.length) / r.plunge));
        let height = self.grind_height(breadth);
        let knee = chord.edge.lerp(chord.back, height / breadth);
        let raw_back = self.taper.back(chord.back.x) + more;
        let raw_grind = self.taper.grind(knee.x) + more;
        let (back, edge) = corners::limit_thickness(breadth, raw_back, self.edge());
        let (grind, _) = corners::limit_thickness(breadth, raw_grind, self.edge());
        let grind = back + (grind - back) * bevelled;
        let edge = grind + (edge - grind) * bevelled;
        let angle = self.spec.stages.edge_angle.unwrap_or(0.0);
        let both = self.spec.section.sides == Sides::Both;
        Measures {
            breadth,
            back,
            grind,
            grind_height: height,
            edge,
            bevelled,
            fullers: self
                .fullers()
                .iter()
                .map(|f| [f.from_back, f.width, f.depth * depth_share(f, u)])
                .collect(),
            edge_slope: if both { (0.5 * angle).tan() } else { angle.tan() },
        }
    }

    /// Height of the grind line above the edge of a section `breadth` mm broad, mm: where it will lie on the finished blade.
    /// Close to the point, where little more than the allowance is left, it levels off.
    fn grind_height(&self, breadth: f64) -> f64 {
        let (line, [at_edge, at_back]) = (self.spec.section.grind_line, self.beyond);
        if line == GrindLine::Full || at_edge + at_back <= 0.0 {
            return corners::grind_height(line, breadth);
        }
        let beyond = corners::limit_beyond(breadth, at_edge + at_back);
        let at_edge = beyond * at_edge / (at_edge + at_back);
        at_edge + corners::grind_height(line, breadth - beyond)
    }

    /// The corners at u in the section's own plane.
    pub(crate) fn corners(&self, u: f64, layout: &Layout) -> Vec<Corner> {
        corners::corners(&self.section(), layout, &self.measures(u, self.chord(u)))
    }

    /// The corners at u in space.
    pub(crate) fn nodes(&self, u: f64, layout: &Layout) -> Vec<Node> {
        let chord = self.chord(u);
        let span = chord.back - chord.edge;
        let breadth = span.length();
        let up = if breadth > POINT { span / breadth } else { DVec2::Y };
        let place = |p: DVec2| {
            let flat = if breadth > POINT { chord.edge + up * p.x } else { chord.edge };
            DVec3::new(flat.x, flat.y, if breadth > POINT { p.y } else { 0.0 })
        };
        self.corners(u, layout).into_iter().map(|c| node(c, place)).collect()
    }

    /// The tang's corners at station x ≤ 0, and the flare of its shoulder radius at parameter u.
    pub(crate) fn tang_nodes(&self, u: f64) -> Vec<Node> {
        let tang = &self.spec.tang;
        let more = 2.0 * self.allowance();
        match tang.form {
            TangForm::Hidden { breadth, thickness, shoulder_radius } => {
                let (x, flare) = self.tang_station(u, shoulder_radius);
                let share = -x / tang.length;
                let half = 0.5 * (breadth + (tang.end_breadth - breadth) * share) + flare;
                let z = 0.5 * (thickness + (tang.end_thickness - thickness) * share + more);
                [(Side::Right, -half), (Side::Right, half), (Side::Left, half), (Side::Left, -half)]
                    .into_iter()
                    .enumerate()
                    .map(|(i, (side, y))| Node {
                        tag: if i == 0 || i == 3 { Tag::Edge(side) } else { Tag::Flank(side) },
                        at: DVec3::new(x, y, side.sign() * z),
                        middle: None,
                    })
                    .collect()
            }
            TangForm::Full => self.full_tang_nodes(u),
        }
    }

    /// The tang's section at station x < 0, in its own plane, without the shoulder radius.
    pub(crate) fn tang_corners(&self, x: f64) -> Vec<Corner> {
        let nodes = match self.spec.tang.form {
            TangForm::Hidden { .. } => self.tang_nodes((x - self.tang_lead()).min(0.0)),
            TangForm::Full => self.full_tang_nodes(x),
        };
        let flat = |p: DVec3| DVec2::new(p.y, p.z);
        nodes
            .into_iter()
            .map(|n| {
                let join = n.middle.map_or(Join::Straight, |m| Join::Round(flat(m.truncate() / m.w), m.w));
                Corner { tag: n.tag, at: flat(n.at), join }
            })
            .collect()
    }

    /// How far the tang's parameter lags behind its station before the shoulder radius.
    fn tang_lead(&self) -> f64 {
        -self.spec.tang.length - self.tang_start()
    }

    /// The nodes of a full tang's section at x, tapered evenly from the root's size to its end's.
    fn full_tang_nodes(&self, x: f64) -> Vec<Node> {
        let tang = &self.spec.tang;
        let share = -x / tang.length;
        let root = self.chord(0.0);
        let [end_low, end_high] = self.tang_end();
        let (low, high) =
            (root.edge.y + (end_low - root.edge.y) * share, root.back.y + (end_high - root.back.y) * share);
        let at_root = self.measures(0.0, root).back;
        let back = at_root + (tang.end_thickness + 2.0 * self.allowance() - at_root) * share;
        let m = Measures {
            breadth: high - low,
            back,
            grind: back,
            grind_height: high - low,
            edge: back,
            bevelled: 0.0,
            fullers: Vec::new(),
            edge_slope: 0.0,
        };
        let form = crate::spec::Section { grind_line: crate::spec::GrindLine::Full, ..self.spec.section };
        let layout = Layout { sharp: false, fullers: [Vec::new(), Vec::new()] };
        corners::corners(&form, &layout, &m)
            .into_iter()
            .map(|c| node(straight_edge(c), |p| DVec3::new(x, low + p.x, p.y)))
            .collect()
    }

    /// Heights of the lower and the upper border of the tang's end, mm: a full tang is forged as far outside as the blade.
    pub(crate) fn tang_end(&self) -> [f64; 2] {
        let half = 0.5 * self.spec.tang.end_breadth;
        match self.spec.tang.form {
            TangForm::Full => [-half - self.beyond[0], half + self.beyond[1]],
            TangForm::Hidden { .. } => [-half, half],
        }
    }

    /// Where the tang's parameter begins: the quarter circle of the shoulder radius is longer than its radius.
    pub(crate) fn tang_start(&self) -> f64 {
        match self.spec.tang.form {
            TangForm::Hidden { shoulder_radius, .. } => -self.spec.tang.length - TURN * shoulder_radius,
            TangForm::Full => -self.spec.tang.length,
        }
    }

    /// Parameter at which the shoulder radius begins.
    pub(crate) fn flare_start(&self) -> Option<f64> {
        match self.spec.tang.form {
            TangForm::Hidden { shoulder_radius, .. } if shoulder_radius > 0.0 => {
                Some(-(1.0 + TURN) * shoulder_radius)
            }
            TangForm::Hidden { .. } | TangForm::Full => None,
        }
    }

    /// Station and widening of each border at tang parameter u.
    fn tang_station(&self, u: f64, radius: f64) -> (f64, f64) {
        let angle = if radius > 0.0 { u / radius + 1.0 + TURN } else { 0.0 };
        if angle <= 0.0 || radius <= 0.0 {
            return (u + TURN * radius, 0.0);
        }
        let (sin, cos) = angle.min(std::f64::consts::FRAC_PI_2).sin_cos();
        (if u >= 0.0 { 0.0 } else { radius * (sin - 1.0) }, radius * (1.0 - cos))
    }

    /// Parameters inside the fan where the lines' pieces join, and the fan's start.
    pub(crate) fn fan_joints(&self) -> Vec<f64> {
        let mut all = self.fan.joints(self.lines);
        all.push(self.fan.start);
        all
    }
}

/// π/2 − 1: how much longer a quarter circle is than its radius, over the radius.
const TURN: f64 = std::f64::consts::FRAC_PI_2 - 1.0;

/// In an unbevelled section an arc of no curvature is a straight line.
fn straight_edge(c: Corner) -> Corner {
    match (c.tag, c.join) {
        (Tag::Edge(_), Join::Round(_, w)) if w >= 1.0 => Corner { join: Join::Straight, ..c },
        (Tag::Flank(Side::Left), Join::Round(_, w)) if w >= 1.0 => Corner { join: Join::Straight, ..c },
        _ => c,
    }
}

fn node(c: Corner, place: impl Fn(DVec2) -> DVec3) -> Node {
    let middle = match c.join {
        Join::Straight => None,
        Join::Round(p, w) => Some((place(p) * w).extend(w)),
    };
    Node { tag: c.tag, at: place(c.at), middle }
}

/// 0 below 0, 1 above 1, between them the quintic with two vanishing derivatives at both ends.
fn smooth_step(t: f64) -> f64 {
    let t = t.clamp(0.0, 1.0);
    t * t * t * (10.0 + t * (6.0 * t - 15.0))
}

/// How much of its full depth a fuller has at u.
fn depth_share(f: &Fuller, u: f64) -> f64 {
    let rise = if f.start > 0.0 { smooth_step((u - f.start) / f.run_in) } else { 1.0 };
    rise * smooth_step((f.end - u) / f.run_out)
}
