//! The stack of bars as they are laid up, drawn from the side and from the end.

use design::{Design, Figures};
use forge::{Plan, Sawn, Twisting};
use glam::DVec2;
use laminate::{Bar, Billet, Cell, Direction, Plug};

use crate::plan_page::tapered_side::{self, Pens, Scales};
use crate::sheet::Look;
use crate::typesetting::face::Style;
use crate::typesetting::paragraph::{Align, height, lines};
use crate::typesetting::shape::{INK, MM, Pen, Shape, frame, slants};
use crate::typesetting::strip::{Strip, drawn, heading, note, paragraph, part};
use crate::typesetting::text::{NOTE, Text};
use crate::typesetting::words::counted;

/// Room for a bar's words, and between the drawings, mm.
const LABEL: f64 = 58.0;
const GAP: f64 = 4.0;
/// Least room from one bar's words to the next one's, mm.
const LEAST: f64 = 10.5;
/// How high the stack may be drawn, mm, and the scales by which it gets there.
const TALLEST: f64 = 125.0;
const SCALES: [f64; 3] = [1.0, 0.75, 0.5];
/// A stack lower than this, mm, is drawn at twice its size.
const LOW: f64 = 25.0;
/// Between the lines that tell how layers lie, mm, from the side and from the end.
const LAYERS: [f64; 2] = [1.3, 1.1];
/// Between slanting lines, mm, and how far they lean for a bar's height.
const SLANT: f64 = 2.2;
const LEAN: f64 = 0.6;

const BAR: Pen = Pen { width: 0.9, ..INK };
const LAYER: Pen = Pen { width: 0.3, ..INK };
const TWIST: Pen = Pen { width: 0.7, ..INK };
const PLUG: Pen = Pen { width: 0.7, ..INK };
/// Lines around a plug.
const AROUND: u32 = 36;
const LEADER: Pen = Pen { width: 0.4, ..INK };
const SHOULDER: Pen = Pen { width: 0.5, grey: 0, dashes: &[4.0, 1.5, 0.8, 1.5] };

/// The stack of a plan, or its one bar: drawn where it has a billet, and what it measures.
pub(crate) fn stack(design: &Design, plan: &Plan, look: &Look<'_>) -> Vec<Strip> {
    let (width, figures, s) = (look.width(), look.figures, &plan.stock.stack);
    let mut strips = heading(if plan.stock.is_one_bar() { "The bar" } else { "The stack" }, width);
    if let Some(billet) = design.billet() {
        let (scale, strip) = picture(design, billet, plan, width, figures);
        strips.push(Strip { above: 5.0 * MM, below: 4.0 * MM, ..strip });
        strips.extend(note(drawn_words(billet, scale), width));
    }
    let size = |section: [f64; 2], long: f64| format!("{} × {}", figures.section(section), figures.hot(long));
    let blade = match s.blade_heights_mm {
        Some([shoulder, point]) => format!(
            "{} high at the shoulder and {} at the point, {} wide, {} long",
            figures.side(shoulder),
            figures.side(point),
            figures.side(s.blade_section_mm[1]),
            figures.hot(s.length_mm[0])
        ),
        None => size(s.blade_section_mm, s.length_mm[0]),
    };
    let (tang, unit) = (size(s.tang_section_mm, s.length_mm[1]), look.figures.unit.name());
    let steel = plan.stock.one_steel().map_or(String::new(), |steel| format!("One bar of {steel}. "));
    let words = format!(
        "{steel}In one piece, high × wide × long: {blade} {unit} for the blade, then {tang} {unit} for the tang."
    );
    strips.extend(paragraph(&words.into(), width));
    part(true, strips)
}

/// What the drawing shows, as far as these bars have it.
fn drawn_words(billet: &Billet, scale: f64) -> String {
    let scale = scale_words(scale);
    let mut words = format!(
        "Lengths are drawn to fit, heights and the end at {scale}. Back above, edge below, tang to the left of the broken line."
    );
    if billet.places() < billet.bars().len() {
        words += " The end is seen from the tang: left is left. A wrap is given as its strip, thick × broad.";
    }
    if billet.bars().iter().any(|bar| bar.twist.is_twisted()) {
        words += " Slanting lines show the hand of a twist: falling to the right is a right-hand twist.";
    }
    let stand =
        |which: fn(&Bar) -> bool| billet.bars().iter().any(|bar| standing(bar).is_some() && which(bar));
    if stand(|bar| bar.direction == Direction::Upright && bar.slope.is_none()) {
        words += " Lines along the side: layers on edge.";
    }
    if stand(|bar| bar.direction == Direction::Flat && bar.slope.is_none()) {
        words += " Upright lines in the end view: flat layers, which lie along the sides.";
    }
    if stand(|bar| matches!(bar.direction, Direction::Leaning(_))) {
        words += " Slanting lines in the end view, seen from the tang: layers that lean.";
    }
    if stand(|bar| bar.slope.is_some()) {
        words += " Thin lines across the side: layers on a slope.";
    }
    if billet.is_plugged() {
        words += " Ovals on the side: plugs.";
    }
    words
}

/// The drawing and its scale.
fn picture(design: &Design, billet: &Billet, plan: &Plan, width: f64, figures: Figures) -> (f64, Strip) {
    let s = &plan.stock.stack;
    let [blade, tang] = s.length_mm;
    let total = tapered_side::tallest(billet);
    // Full size where it can be, so that the bars can be held against it.
    let scale = if total < LOW {
        2.0
    } else {
        SCALES.into_iter().find(|scale| total * scale <= TALLEST).unwrap_or(0.25)
    };
    let end = scale * s.blade_section_mm[1] * MM;
    let side = width - (LABEL + 9.0 + 2.0 * GAP) * MM - end;
    let view = View { high: scale * MM, long: side / (blade + tang), side, end, tang };
    let mut shapes = Vec::new();
    let (mut y, mut next) = (0.0, 0.0_f64);
    let tapered = billet.bars().iter().any(|bar| !bar.height.is_even());
    for (i, place) in billet.bars().iter().enumerate().take(billet.places()) {
        let high = place.height.at(0.0) * view.high;
        let sharing = billet.sharing(i);
        // From the side the last of them is seen: a wrap, or the bar on the right.
        let bar = sharing.last().map_or(place, |&seen| &billet.bars()[seen]);
        let of = |bar: &Bar| plan.twisting.iter().find(|t| t.bar == bar.name);
        let twisting = of(bar);
        if tapered {
            let longer = 1.0 / (1.0 - s.scale_share);
            shapes.extend(view.tapered((billet, i), (blade, longer), twisting, design.forging().crop));
        } else {
            shapes.extend(view.bar(bar, blade, y, twisting, design.forging().crop));
        }
        shapes.extend(view.plugs((billet, i), 1.0 / (1.0 - s.scale_share)));
        for &shared in &sharing {
            let (own, cells) = (&billet.bars()[shared], &billet.bars()[shared].share.cells);
            cells.iter().for_each(|cell| shapes.extend(view.end(own, (y, high), cell)));
            let middle = y
                + (1.0 - cells.iter().map(|c| c.up[0] + c.up[1]).sum::<f64>() / (2 * cells.len()) as f64)
                    * high;
            let (label, to) = view.label(&words((own, shared), billet, of(own), figures), middle, next);
            shapes.extend(label);
            next = to;
        }
        y += high;
    }
    let shoulder = tang * view.long;
    // A tapered stack may be taller than it is in the shoulder.
    let y = if tapered { y.max(total * view.high) } else { y };
    let [from, to] = [-2.0 * MM, y + 2.0 * MM].map(|y| DVec2::new(shoulder, y));
    shapes.push(Shape::Line { from, to, pen: SHOULDER });
    (scale, drawn(shapes, y.max(next)))
}

/// Points for a millimetre of height and of length, the width of the two views, and the tang's length (mm).
struct View {
    high: f64,
    long: f64,
    side: f64,
    end: f64,
    tang: f64,
}

impl View {
    /// A bar from the side, its upper border at `y`.
    fn bar(&self, bar: &Bar, blade: f64, y: f64, twisting: Option<&Twisting>, crop: f64) -> Vec<Shape> {
        let start = if bar.tang { 0.0 } else { self.tang };
        let (at, size) = (
            DVec2::new(start * self.long, y),
            DVec2::new((blade + self.tang - start) * self.long, bar.height.at(0.0) * self.high),
        );
        let mut shapes = match bar.slope {
            Some(slope) => self.sloping((bar, slope), at, size),
            None => along(bar, at, size),
        };
        for stretch in twisting.iter().flat_map(|t| &t.stretches).filter(|s| s.turns > 0.0) {
            // Marks count from the bar's end before it is cropped.
            let [from, to] = stretch.marks_mm.map(|mark| (start + mark - crop) * self.long);
            let (at, size) = (DVec2::new(from, y), DVec2::new(to - from, size.y));
            shapes.push(Shape::Rectangle { at, size, fill: Some([255; 3]), pen: None });
            let lean = if stretch.hand == "right" { LEAN } else { -LEAN } * size.y;
            shapes.extend(slants(at, size, SLANT * MM, lean, TWIST));
        }
        shapes.push(frame(at, size, BAR));
        shapes
    }

    /// Layers on a slope from the side, in a bar's rectangle: those on edge slant, flat ones end in upright lines.
    fn sloping(&self, (bar, slope): (&Bar, f64), at: DVec2, size: DVec2) -> Vec<Shape> {
        let across = if bar.direction == Direction::Flat { self.end / self.high } else { size.y / self.high };
        let each = across / slope.tan().abs() / bar.layers.layers().len() as f64 * self.long;
        let step = each.max(LAYERS[0] * MM);
        if bar.direction == Direction::Upright {
            return slants(at, size, step, -size.y / self.high / slope.tan() * self.long, LAYER);
        }
        let line = |i: i32| {
            let from = at + DVec2::new(f64::from(i) * step, 0.0);
            Shape::Line { from, to: from + DVec2::new(0.0, size.y), pen: LAYER }
        };
        (1..(size.x / step).ceil() as i32).map(line).collect()
    }

    /// The plugs of a bar from the side; `longer` is how much longer the stack is before its scale is off.
    fn plugs(&self, (billet, i): (&Billet, usize), longer: f64) -> Vec<Shape> {
        let oval = |plug: &Plug| {
            let down = billet.bars()[..=i].iter().map(|bar| bar.height.at(plug.at)).sum::<f64>() - plug.up;
            let middle = DVec2::new((self.tang + plug.at * longer) * self.long, down * self.high);
            let half = plug.radius() * DVec2::new(self.long, self.high);
            let at = move |k: u32| {
                let turn = std::f64::consts::TAU * f64::from(k) / f64::from(AROUND);
                middle + half * DVec2::from_angle(turn)
            };
            (0..AROUND).map(move |k| Shape::Line { from: at(k), to: at(k + 1), pen: PLUG })
        };
        billet.bars()[i].plugs.iter().flat_map(oval).collect()
    }

    /// A bar from the end, or of a tapered one its section in the shoulder: its cell of a place so `high` whose upper
    /// border is at `y`.
    fn end(&self, bar: &Bar, (y, high): (f64, f64), cell: &Cell) -> Vec<Shape> {
        let [tall, wide] = cell.size();
        let size = DVec2::new(wide * self.end, tall * high);
        let at = DVec2::new(self.side + GAP * MM + cell.through[0] * self.end, y + (1.0 - cell.up[1]) * high);
        let mut shapes = across(bar, at, size);
        shapes.push(frame(at, size, BAR));
        shapes
    }

    /// A bar of a tapered stack from the side.
    fn tapered(
        &self,
        (billet, i): (&Billet, usize),
        (blade, longer): (f64, f64),
        twisting: Option<&Twisting>,
        crop: f64,
    ) -> Vec<Shape> {
        let scales = Scales { high: self.high, long: self.long, tang: self.tang, longer, crop };
        let pens = Pens { border: BAR, layer: LAYER, twist: TWIST, slant: SLANT * MM, lean: LEAN };
        let bar = &billet.bars()[i];
        let lines = if runs_along(bar) { lines_along(bar, bar.height.least() * self.high) } else { 1 };
        tapered_side::side((billet, i), (blade, lines), twisting, &scales, &pens)
    }

    /// A bar's words with the line that leads to them from the middle of its end, not above `next`; and where the next ones may
    /// stand.
    fn label(&self, words: &Text, middle: f64, next: f64) -> (Vec<Shape>, f64) {
        let (left, leading) = (self.side + (GAP + GAP + 4.0) * MM + self.end, 0.4 * NOTE.size);
        let lines = lines(words, LABEL * MM);
        let tall = height(&lines, leading);
        let row = (LEAST * MM).max(tall + 2.0 * MM);
        let top = next.max(middle - 0.5 * row);
        let from = DVec2::new(self.side + GAP * MM + self.end, middle);
        let to = DVec2::new(left - 1.0 * MM, top + 0.5 * row);
        let mut shapes = vec![Shape::Line { from, to, pen: LEADER }];
        let mut y = top + 0.5 * (row - tall);
        for line in lines {
            let down = line.height() + leading;
            shapes.extend(line.placed(DVec2::new(left, y), LABEL * MM, Align::Left));
            y += down;
        }
        (shapes, top + row)
    }
}

/// How a bar's layers stand; `None` for a bar of one.
fn standing(bar: &Bar) -> Option<Direction> {
    (bar.layers.layers().len() > 1).then_some(bar.direction)
}

/// Whether its layers show along its side: on edge or leaning, without a slope.
fn runs_along(bar: &Bar) -> bool {
    bar.slope.is_none() && standing(bar).is_some_and(|direction| direction != Direction::Flat)
}

/// From the side: upright layers run along, flat ones hide behind the first.
fn along(bar: &Bar, at: DVec2, size: DVec2) -> Vec<Shape> {
    if !runs_along(bar) {
        return Vec::new();
    }
    level(at, size, lines_along(bar, size.y))
}

/// In how many parts upright layers are drawn along a bar so high (points).
fn lines_along(bar: &Bar, high: f64) -> usize {
    bar.layers.layers().len().min((high / (LAYERS[0] * MM)) as usize).max(2)
}

/// From the end.
fn across(bar: &Bar, at: DVec2, size: DVec2) -> Vec<Shape> {
    let count = |room: f64| bar.layers.layers().len().min((room / (LAYERS[1] * MM)) as usize);
    match standing(bar) {
        Some(Direction::Upright) => level(at, size, count(size.y)),
        Some(Direction::Flat) => {
            let n = count(size.x);
            let line = |i: usize| {
                let from = at + DVec2::new(size.x * i as f64 / n as f64, 0.0);
                Shape::Line { from, to: from + DVec2::new(0.0, size.y), pen: LEADER }
            };
            (1..n).map(line).collect()
        }
        Some(Direction::Leaning(angle)) => {
            // Their distance is square to them, that of slanting lines along the bar's upper border.
            let (sin, cos) = (angle.sin().abs(), angle.cos());
            let thick = size.y * sin + size.x * cos;
            let step = (thick / bar.layers.layers().len() as f64).max(LAYERS[1] * MM) / cos;
            slants(at, size, step, -size.y * angle.tan(), LAYER)
        }
        None => Vec::new(),
    }
}

/// Level lines that part a rectangle into `n`.
fn level(at: DVec2, size: DVec2, n: usize) -> Vec<Shape> {
    let line = |i: usize| {
        let from = at + DVec2::new(0.0, size.y * i as f64 / n as f64);
        Shape::Line { from, to: from + DVec2::new(size.x, 0.0), pen: LAYER }
    };
    (1..n).map(line).collect()
}

/// A bar's name and height; under them what it is made of, how its layers stand, how it is twisted, where it ends.
fn words((bar, i): (&Bar, usize), billet: &Billet, twisting: Option<&Twisting>, figures: Figures) -> Text {
    let mut made = made_of(bar, billet);
    match (standing(bar), Sawn::told(bar.direction, bar.slope)) {
        (None, _) => {}
        (Some(_), Some(slant)) => made += &format!(", {slant}"),
        (Some(Direction::Flat), None) => made += ", flat",
        (Some(_), None) => made += ", on edge",
    }
    if let Some(t) = twisting {
        made += &format!("; twist {}", hands(t));
    }
    if let Some(plugs) = design::plug_words(bar, billet) {
        made += &format!("; {plugs}");
    }
    if bar.teeth.is_some() {
        made += "; toothed towards the back";
    }
    if !bar.tang {
        made += "; ends at the shoulder";
    }
    let high = match bar.height.places() {
        _ if billet.is_parted(i) => {
            let [high, wide] =
                [billet.made_height(i).at(0.0), billet.made_width(i)].map(|mm| figures.side(mm));
            format!(", {high} × {wide}")
        }
        [(_, even)] => format!(", {} high", figures.side(*even)),
        places => {
            let [first, last] = [places[0].1, places[places.len() - 1].1].map(|mm| figures.side(mm));
            format!(", {first} high, tapered to {last}")
        }
    };
    let first = Text::bold(bar.name.as_str()).then(high);
    let small = Style { grey: 0, ..NOTE };
    first.then(Text::newline()).then(Text::styled(made, small))
}

/// Its layers and their steels.
fn made_of(bar: &Bar, billet: &Billet) -> String {
    let mut names: Vec<&str> = Vec::new();
    for layer in bar.layers.layers() {
        let name = billet.steels().get(layer.steel).map_or("", |s| s.name.as_str());
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let names = names.join(" / ");
    match bar.layers.layers().len() {
        1 => names,
        count => format!("{} of {names}", counted(count, "layer")),
    }
}

/// The hands of a bar in the order of its stretches, each told once.
fn hands(t: &Twisting) -> String {
    let mut hands: Vec<&str> = t.stretches.iter().filter(|s| s.turns > 0.0).map(|s| s.hand).collect();
    hands.dedup();
    hands.join(", then ")
}

/// One of the scales in words.
fn scale_words(scale: f64) -> String {
    if (scale - 1.0).abs() < 1e-9 { "full size".to_owned() } else { format!("{scale} times full size") }
}
