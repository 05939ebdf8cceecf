//! Random blades over everything a design can say: every form, in ranges a little wider than sense.

use blade::*;
use glam::DVec2;
use proptest::prelude::*;

/// Shares thrown for one blade. Each measure has its own place, so that shrinking one leaves the others.
const THROWS: usize = 164;
/// Share of throws that leave the plausible range.
const WILD: f64 = 0.004;

/// A random blade, not yet checked.
pub(crate) fn spec() -> impl Strategy<Value = Spec> {
    prop::collection::vec(0.0..1.0f64, THROWS).prop_map(|throws| Dice { throws, next: 0 }.spec())
}

struct Dice {
    throws: Vec<f64>,
    next: usize,
}

impl Dice {
    fn share(&mut self) -> f64 {
        self.next += 1;
        self.throws[self.next - 1]
    }

    fn chance(&mut self, of: f64) -> bool {
        self.share() > 1.0 - of
    }

    fn pick(&mut self, of: usize) -> usize {
        (self.share() * of as f64) as usize
    }

    /// A measure from `low` to `high`, now and then far outside, never negative.
    fn length(&mut self, low: f64, high: f64) -> f64 {
        let share = self.share();
        let wild = (share - (1.0 - WILD)) / WILD;
        let value = match wild {
            w if w < 0.0 => low + (high - low) * share,
            w if w < 0.3 => 0.1 * low + 0.001,
            w if w < 0.6 => 0.6 * low,
            w if w < 0.9 => 1.6 * high,
            _ => 8.0 * high,
        };
        // As a file would have it: hundredths of a micrometre are noise.
        (value.max(0.0) * 1e4).round() / 1e4
    }

    /// A measure from `low` to `high`, either of them negative.
    fn signed(&mut self, low: f64, high: f64) -> f64 {
        ((low + (high - low) * self.share()) * 1e4).round() / 1e4
    }

    fn sides(&mut self) -> Sides {
        [Sides::Both, Sides::Both, Sides::Right, Sides::Left][self.pick(4)]
    }

    fn spec(mut self) -> Spec {
        let length = match self.pick(4) {
            0 => self.length(60.0, 200.0),
            1 => self.length(200.0, 400.0),
            2 => self.length(400.0, 700.0),
            _ => self.length(700.0, 1000.0),
        };
        let narrow = length.clamp(100.0, 320.0);
        let breadth = self.length(0.09 * narrow, 0.2 * narrow);
        let thick = self.length(0.1 * breadth + 0.8, 0.2 * breadth + 2.0);
        let outline = self.outline(length, breadth);
        let section = self.section(breadth, thick);
        let taper = self.taper(length, thick);
        let ricasso = (self.length(0.03, 0.12) * length, self.length(0.01, 0.08) * length);
        let ricasso = self.chance(0.5).then_some(Ricasso { length: ricasso.0, plunge: ricasso.1 });
        let fullers = self.fullers(length, breadth, thick);
        let tang = self.tang(length, breadth, thick, ricasso.is_some());
        let stages = self.stages(thick);
        Spec { outline, section, taper, ricasso, fullers, tang, stages }
    }

    fn outline(&mut self, length: f64, breadth: f64) -> Outline {
        let tip = match self.pick(3) {
            0 => Tip::Flat { breadth: self.length(0.3, 2.0) },
            1 => Tip::Point,
            _ => Tip::Round { radius: self.length(0.3, 0.2 * breadth) },
        };
        let sweep = self.length(0.05, 0.5) * length;
        let unswept = self.chance(0.3);
        let height = self.length(0.0, 0.9) * breadth;
        let point_height = if self.chance(0.2) { 0.0 } else { height };
        let straight_edge = if unswept { 0.0 } else { sweep };
        let at = self.length(0.2, 0.9) * length;
        let broad = self.length(0.95, 1.25) * breadth;
        let form = match self.pick(5) {
            0 => OutlineForm::StraightBack { length, breadth, sweep, point_height },
            1 => OutlineForm::BrokenBack {
                length,
                breadth,
                break_at: at,
                break_breadth: broad,
                sweep: straight_edge,
                point_height,
            },
            2 => OutlineForm::CurvedBack {
                length,
                breadth,
                broadest_at: at,
                broadest: broad.max(breadth),
                sweep: straight_edge,
                point_height,
            },
            3 => OutlineForm::DroppedPoint { length, breadth, drop: length - at, sweep, point_height },
            _ => self.points(length, breadth, point_height, tip),
        };
        Outline { form, tip }
    }

    fn points(&mut self, length: f64, breadth: f64, height: f64, tip: Tip) -> OutlineForm {
        let apart = if let Tip::Flat { breadth } = tip
            && self.chance(0.5)
        {
            breadth
        } else {
            0.0
        };
        let back = self.line(length, breadth, 0.1 * breadth, height + apart);
        let edge = self.line(length, 0.0, 0.1 * breadth, height);
        OutlineForm::Points { back, edge }
    }

    /// A line that keeps near `base`, then runs to the point.
    fn line(&mut self, length: f64, base: f64, sway: f64, end: f64) -> Vec<OutlinePoint> {
        let between = self.pick(5);
        let mut points = vec![OutlinePoint { at: DVec2::new(0.0, base), corner: false }];
        for i in 0..4 {
            let (x, y) = (self.signed(0.2, 0.8), self.signed(-sway, sway));
            let corner = self.chance(0.3);
            if i < between {
                let x = (i as f64 + x) / between as f64 * 0.85 * length;
                points.push(OutlinePoint { at: DVec2::new(x, base + y), corner });
            }
        }
        points.push(OutlinePoint { at: DVec2::new(length, end), corner: false });
        points
    }

    fn section(&mut self, breadth: f64, thick: f64) -> Section {
        let radius = self.length(0.0, 1.0);
        let bevel = match self.pick(4) {
            0 | 1 => Bevel::Flat,
            2 => Bevel::Hollow { radius: breadth * (2.0 + 20.0 * radius) },
            _ => Bevel::Convex { radius: breadth * (4.0 + 40.0 * radius) },
        };
        let high = self.length(0.3, 0.72);
        let grind_line = match self.pick(5) {
            0 => GrindLine::Full,
            1 | 2 => GrindLine::Share(high),
            _ => GrindLine::Height(high * breadth),
        };
        let form = self.length(0.03, 0.3) * thick;
        let back = match self.pick(3) {
            0 => Back::Flat,
            1 => Back::Rounded { radius: form },
            _ => Back::Crowned { height: form },
        };
        Section { bevel, sides: self.sides(), grind_line, back }
    }

    fn taper(&mut self, length: f64, thick: f64) -> Vec<TaperStation> {
        let count = 1 + self.pick(5);
        let mut stations = Vec::new();
        let mut back = thick;
        for i in 0..5 {
            let (at, less) = (self.length(0.1, 0.9), self.length(0.65, 1.0));
            let grind = self.length(0.85, 1.05);
            let given = self.chance(0.4);
            if i < count {
                let at = if i == 0 { 0.0 } else { (i as f64 - 1.0 + at) / (count as f64 - 1.0) * length };
                back *= if i == 0 { 1.0 } else { less };
                stations.push(TaperStation { at, back, grind: given.then_some(grind * back) });
            }
        }
        stations
    }

    fn fullers(&mut self, length: f64, breadth: f64, thick: f64) -> Vec<Fuller> {
        let count = [0, 0, 1, 1, 2, 3][self.pick(6)];
        let mut fullers = Vec::new();
        for i in 0..3 {
            let start = self.length(0.05, 0.3) * length;
            let start = if self.chance(0.2) { 0.0 } else { start };
            let reach = self.length(0.15, 0.4) * length;
            let (run_in, run_out) = (self.length(0.02, 0.06) * length, self.length(0.02, 0.07) * length);
            // Thirds of the flank, so that several often fit side by side.
            let (from_back, width) = (self.length(0.06, 0.16) * breadth, self.length(0.05, 0.14) * breadth);
            let from_back = from_back + i as f64 * 0.13 * breadth;
            let depth = (self.length(0.03, 0.2) * thick).min(0.45 * width);
            let sides = self.sides();
            if i < count {
                let end = start + reach;
                fullers.push(Fuller { start, end, run_in, run_out, from_back, width, depth, sides });
            }
        }
        fullers
    }

    fn tang(&mut self, length: f64, breadth: f64, thick: f64, ricasso: bool) -> Tang {
        let long = self.length(0.2, 0.4) * length;
        let (broad, thin) = (self.length(0.2, 0.5) * breadth, self.length(0.15, 0.5) * thick);
        let radius = self.length(0.15, 0.1 * breadth);
        let shoulder_radius = if self.chance(0.2) { 0.0 } else { radius };
        let full = self.chance(if ricasso { 0.4 } else { 0.02 });
        let form = if full {
            TangForm::Full
        } else {
            TangForm::Hidden { breadth: broad, thickness: thin, shoulder_radius }
        };
        let (end_breadth, end_thickness) = (self.length(0.5, 1.0), self.length(0.5, 1.0));
        let offset = self.signed(0.0, 0.25) * breadth;
        let whole = if full { (breadth, thick) } else { (broad, thin) };
        let count = [0, 0, 1, 1, 2, 3][self.pick(6)];
        let mut holes = Vec::new();
        for i in 0..3 {
            let at = (0.2 + 0.25 * i as f64 + self.length(0.0, 0.2)) * long;
            let aside = self.signed(-0.1, 0.1) * broad;
            let diameter = self.length(0.15, 0.45) * broad;
            if i < count {
                holes.push(Hole { at, offset: aside, diameter });
            }
        }
        Tang {
            form,
            length: long,
            end_breadth: end_breadth * whole.0,
            end_thickness: end_thickness * whole.1,
            offset,
            holes,
        }
    }

    fn stages(&mut self, thick: f64) -> Stages {
        let finished_edge = self.length(0.05, 0.15) * thick;
        let angle = self.length(0.3, 0.9);
        Stages {
            forged_allowance: self.length(0.0, 1.5),
            forged_edge: self.length(0.2, 0.4) * thick,
            forged_outline: self.outside(),
            ground_allowance: self.length(0.0, 0.3),
            ground_edge: self.length(0.1, 0.25) * thick,
            finished_edge,
            edge_angle: self.chance(0.7).then_some(angle),
        }
    }

    /// How much larger the outline is forged: half of the time not at all.
    fn outside(&mut self) -> OutlineAllowance {
        let larger = self.chance(0.5);
        let [edge, back, point] = [(); 3].map(|()| self.length(0.0, 2.0));
        if larger { OutlineAllowance { edge, back, point: Some(point) } } else { OutlineAllowance::default() }
    }
}

/// How a design's file says its measures.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Hand {
    /// Plain numbers are inches.
    pub(crate) inches: bool,
    /// Measures are text with a unit.
    pub(crate) units: bool,
    /// Tables left to their defaults: 1 tang, 2 stages.
    pub(crate) omits: u8,
}

/// Every hand.
pub(crate) fn hand() -> impl Strategy<Value = Hand> {
    (any::<bool>(), any::<bool>(), 0..8u8).prop_map(|(inches, units, omits)| Hand {
        inches,
        units,
        omits: if omits < 4 { omits } else { 0 },
    })
}

/// The design file of a blade.
pub(crate) fn file(spec: &Spec, hand: Hand) -> String {
    let mut page = Page { text: String::new(), hand };
    page.line("name = \"Wild blade\"");
    page.line(if hand.inches { "unit = \"in\"" } else { "unit = \"mm\"" });
    page.outline(&spec.outline);
    page.section(&spec.section);
    for t in &spec.taper {
        page.line("[[taper]]");
        page.lengths(&[("at", t.at), ("back", t.back)]);
        t.grind.into_iter().for_each(|g| page.lengths(&[("grind", g)]));
    }
    if let Some(r) = spec.ricasso {
        page.line("[ricasso]");
        page.lengths(&[("length", r.length), ("plunge", r.plunge)]);
    }
    for f in &spec.fullers {
        page.line("[[fuller]]");
        page.lengths(&[("start", f.start), ("end", f.end), ("run_in", f.run_in), ("run_out", f.run_out)]);
        page.lengths(&[("from_back", f.from_back), ("width", f.width), ("depth", f.depth)]);
        page.sides(f.sides);
    }
    if hand.omits & 1 == 0 {
        page.tang(&spec.tang);
    }
    if hand.omits & 2 == 0 {
        page.stages(&spec.stages);
    }
    page.text
}

struct Page {
    text: String,
    hand: Hand,
}

impl Page {
    fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    fn measure(&self, mm: f64) -> String {
        match (self.hand.units, self.hand.inches) {
            (true, _) => format!("\"{mm} mm\""),
            (false, true) => format!("{}", mm / 25.4),
            (false, false) => format!("{mm}"),
        }
    }

    fn lengths(&mut self, fields: &[(&str, f64)]) {
        for (key, mm) in fields {
            let line = format!("{key} = {}", self.measure(*mm));
            self.line(&line);
        }
    }

    fn form(&mut self, form: &str) {
        self.line(&format!("form = \"{form}\""));
    }

    fn sides(&mut self, sides: Sides) {
        self.line(match sides {
            Sides::Both => "sides = \"both\"",
            Sides::Right => "sides = \"right\"",
            Sides::Left => "sides = \"left\"",
        });
    }

    fn outline(&mut self, outline: &Outline) {
        self.line("[outline]");
        let own = matches!(outline.form, OutlineForm::Points { .. });
        match outline.form {
            OutlineForm::Points { ref back, ref edge } => {
                self.form("points");
                for (key, line) in [("back", back), ("edge", edge)] {
                    let points: Vec<String> = line.iter().map(|p| self.point(p)).collect();
                    self.line(&format!("{key} = [{}]", points.join(", ")));
                }
            }
            OutlineForm::StraightBack { length, breadth, sweep, point_height } => {
                self.form("straight-back");
                self.lengths(&[("length", length), ("breadth", breadth)]);
                self.lengths(&[("sweep", sweep), ("point_height", point_height)]);
            }
            OutlineForm::BrokenBack { length, breadth, break_at, break_breadth, sweep, point_height } => {
                self.form("broken-back");
                self.lengths(&[("length", length), ("breadth", breadth), ("break_at", break_at)]);
                self.lengths(&[("break_breadth", break_breadth)]);
                self.lengths(&[("sweep", sweep), ("point_height", point_height)]);
            }
            OutlineForm::CurvedBack { length, breadth, broadest_at, broadest, sweep, point_height } => {
                self.form("curved-back");
                self.lengths(&[("length", length), ("breadth", breadth), ("broadest_at", broadest_at)]);
                self.lengths(&[("broadest", broadest), ("sweep", sweep), ("point_height", point_height)]);
            }
            OutlineForm::DroppedPoint { length, breadth, drop, sweep, point_height } => {
                self.form("dropped-point");
                self.lengths(&[("length", length), ("breadth", breadth), ("drop", drop)]);
                self.lengths(&[("sweep", sweep), ("point_height", point_height)]);
            }
        }
        let tip = match outline.tip {
            Tip::Flat { .. } if own => "{ form = \"flat\" }".into(),
            Tip::Flat { breadth } => format!("{{ form = \"flat\", breadth = {} }}", self.measure(breadth)),
            Tip::Point => "{ form = \"point\" }".into(),
            Tip::Round { radius } => format!("{{ form = \"round\", radius = {} }}", self.measure(radius)),
        };
        self.line(&format!("tip = {tip}"));
    }

    fn point(&self, point: &OutlinePoint) -> String {
        let at = format!("[{}, {}]", self.measure(point.at.x), self.measure(point.at.y));
        if point.corner { format!("{{ at = {at}, corner = true }}") } else { at }
    }

    fn section(&mut self, section: &Section) {
        self.line("[section]");
        match section.bevel {
            Bevel::Flat => self.line("bevel = \"flat\""),
            Bevel::Hollow { radius } => {
                self.line("bevel = \"hollow\"");
                self.lengths(&[("radius", radius)]);
            }
            Bevel::Convex { radius } => {
                self.line("bevel = \"convex\"");
                self.lengths(&[("radius", radius)]);
            }
        }
        self.sides(section.sides);
        match section.grind_line {
            GrindLine::Full => self.line("grind_line = \"full\""),
            GrindLine::Share(share) => self.line(&format!("grind_line = \"{} %\"", 100.0 * share)),
            GrindLine::Height(height) => self.lengths(&[("grind_line", height)]),
        }
        let back = match section.back {
            Back::Flat => "\"flat\"".into(),
            Back::Rounded { radius } => {
                format!("{{ form = \"rounded\", radius = {} }}", self.measure(radius))
            }
            Back::Crowned { height } => {
                format!("{{ form = \"crowned\", height = {} }}", self.measure(height))
            }
        };
        self.line(&format!("back = {back}"));
    }

    fn tang(&mut self, tang: &Tang) {
        self.line("[tang]");
        match tang.form {
            TangForm::Full => self.form("full"),
            TangForm::Hidden { breadth, thickness, shoulder_radius } => {
                self.form("hidden");
                self.lengths(&[("breadth", breadth), ("thickness", thickness)]);
                self.lengths(&[("shoulder_radius", shoulder_radius)]);
            }
        }
        self.lengths(&[("length", tang.length), ("end_breadth", tang.end_breadth)]);
        self.lengths(&[("end_thickness", tang.end_thickness), ("offset", tang.offset)]);
        for hole in &tang.holes {
            self.line("[[tang.hole]]");
            self.lengths(&[("at", hole.at), ("offset", hole.offset), ("diameter", hole.diameter)]);
        }
    }

    fn stages(&mut self, stages: &Stages) {
        self.line("[stages.forged]");
        self.lengths(&[("allowance", stages.forged_allowance), ("edge", stages.forged_edge)]);
        let OutlineAllowance { edge, back, point } = stages.forged_outline;
        if let Some(point) = point {
            let sizes = [edge, back, point].map(|mm| self.measure(mm));
            let [edge, back, point] = sizes;
            self.line(&format!("outline = {{ edge = {edge}, back = {back}, point = {point} }}"));
        }
        self.line("[stages.ground]");
        self.lengths(&[("allowance", stages.ground_allowance), ("edge", stages.ground_edge)]);
        self.line("[stages.finished]");
        self.lengths(&[("edge", stages.finished_edge)]);
        match stages.edge_angle {
            Some(angle) => self.line(&format!("edge_angle = {}", angle.to_degrees())),
            None => self.line("sharp = false"),
        }
    }
}
