//! Bars whose layers lie at an angle: what they are sawn from, and what is left over of it. Geometry throughout.

use design::{Figures, Forging};
use laminate::{Bar, Direction};
use serde::Serialize;

/// How a bar whose layers lie at an angle comes out of what its layers were welded and drawn out to.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Sawn {
    /// Sawn all along out of a larger bar, askew in its section.
    Leaning(Leaning),
    /// In slices across a slab, on a slope, welded end to end.
    Slices(Slices),
}

/// A bar sawn askew out of a larger one.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Leaning {
    /// Angle of the layers to the blade's sides, to the right as they go up, degrees.
    pub degrees: f64,
    /// The larger bar's size across its layers and along them, mm: the finished bar stands in it on its corners.
    pub section_mm: [f64; 2],
    /// Share of it that falls away at its corners, 0 to 1.
    pub left_over_share: f64,
}

/// A bar welded of slices.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Slices {
    /// Angle between layers and the bar's length, positive where they run up, or to the right, towards the point, degrees.
    pub degrees: f64,
    /// Whether the layers lie flat, parallel to the blade's sides, where they don't slope.
    pub is_flat: bool,
    /// How many slices.
    pub count: usize,
    /// The slab that they are sawn from: across its layers as it is drawn out, and its breadth, mm.
    pub slab_mm: [f64; 2],
    /// Its length, mm.
    pub slab_length_mm: f64,
    /// How thick the slices are sawn, and how far each goes along the bar, mm.
    pub slice_mm: [f64; 2],
    /// Share of the slab that does not come into the bar: saw cuts and the slanted ends of slab and bar, 0 to 1.
    pub left_over_share: f64,
}

/// A bar as it is made: its height, width and length, mm, height and width that are left of it in the stack, and what burns
/// off it, before over after.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Made {
    pub(crate) section: [f64; 2],
    pub(crate) stacked: [f64; 2],
    pub(crate) length: f64,
    pub(crate) burnt: f64,
}

impl Sawn {
    /// Of a bar; `None` where its layers lie flat or on edge all along.
    pub(crate) fn of(bar: &Bar, made: Made, forging: &Forging) -> Option<Sawn> {
        match (bar.direction, bar.slope) {
            (Direction::Leaning(angle), _) => Some(Sawn::Leaning(leaning(angle, made.section))),
            (direction, Some(slope)) => Some(Sawn::Slices(slices(direction, slope, made, forging))),
            (_, None) => None,
        }
    }

    /// What is drawn out of the last block to saw the bar from: its section and length, mm.
    pub(crate) fn drawn(&self, made: Made, forging: &Forging) -> ([f64; 2], f64) {
        match self {
            Sawn::Leaning(larger) => (larger.section_mm, made.length),
            Sawn::Slices(s) => (s.slab_mm, s.slab_length_mm + 2.0 * forging.crop),
        }
    }

    /// Its section, mm.
    pub fn section_mm(&self) -> [f64; 2] {
        match self {
            Sawn::Leaning(larger) => larger.section_mm,
            Sawn::Slices(slices) => slices.slab_mm,
        }
    }

    /// All that is done between drawing out and forging to size, each with what it then measures, lengths as figures tell
    /// them. How scarf welds are made is common practice, no source.
    pub fn steps(&self, length: f64, figures: Figures) -> Vec<(String, String)> {
        match self {
            Sawn::Leaning(larger) => larger.steps(length, figures),
            Sawn::Slices(slices) => slices.steps(figures),
        }
    }

    /// What its slant is called, in a word or two after its layers.
    pub fn told(direction: Direction, slope: Option<f64>) -> Option<String> {
        let round = |angle: f64| format!("{}°", (10.0 * angle.to_degrees().abs()).round() / 10.0);
        match (direction, slope) {
            (Direction::Leaning(angle), _) => {
                let side = if angle > 0.0 { "right" } else { "left" };
                Some(format!("leaning {} to the {side} as they go up", round(angle)))
            }
            (Direction::Flat, Some(slope)) => {
                let side = if slope > 0.0 { "right" } else { "left" };
                Some(format!("flat, sloping {} to the {side} towards the point", round(slope)))
            }
            (Direction::Upright, Some(slope)) => {
                let way = if slope > 0.0 { "up" } else { "down" };
                Some(format!("on edge, sloping {} {way} towards the point", round(slope)))
            }
            (_, None) => None,
        }
    }
}

/// A rectangle stands askew in another: square to the layers it reaches h·sin + w·cos, along them h·cos + w·sin.
fn leaning(angle: f64, [high, wide]: [f64; 2]) -> Leaning {
    let (sin, cos) = (angle.sin().abs(), angle.cos());
    let section_mm = [high * sin + wide * cos, high * cos + wide * sin];
    let left_over_share = 1.0 - high * wide / (section_mm[0] * section_mm[1]);
    Leaning { degrees: angle.to_degrees(), section_mm, left_over_share }
}

/// Slices as thick as the bar is made across its layers, with what burns off it, out of a slab of which all layers fill the
/// bar in the stack: each goes as far along the bar as its layers do there, and the chain of them loses its slanted ends.
fn slices(direction: Direction, slope: f64, made: Made, forging: &Forging) -> Slices {
    let [high, wide] = made.section.map(|side| side * made.burnt.sqrt());
    let flat = direction == Direction::Flat;
    let (across, broad) = if flat { (wide, high) } else { (high, wide) };
    let layers = made.stacked[usize::from(flat)];
    let (sin, cos) = (slope.sin().abs(), slope.cos());
    let each = layers * cos / sin;
    let count = ((made.length + across * cos / sin) / each).ceil() as usize;
    let thick = layers * cos + 2.0 * forging.dress;
    let cuts = (count + 1) as f64 * forging.kerf;
    let long = (count as f64 * across + cuts) / sin + thick * cos / sin;
    let used = across * broad * made.length;
    Slices {
        degrees: slope.to_degrees(),
        is_flat: flat,
        count,
        slab_mm: [thick, broad],
        slab_length_mm: long,
        slice_mm: [across, each],
        left_over_share: 1.0 - used / (thick * broad * long),
    }
}

impl Leaning {
    fn steps(&self, length: f64, l: Figures) -> Vec<(String, String)> {
        let [across, along] = self.section_mm.map(|mm| l.side(mm));
        let side = if self.degrees > 0.0 { "right" } else { "left" };
        vec![
            (
                "Forge it to the size that the bar is sawn from: flat on its layers, then on their edges"
                    .to_owned(),
                format!("{across} through the layers × {along} along them, {} long", l.hot(length)),
            ),
            (
                format!(
                    "Mark the back and the point end. With the point away from you saw the bar out at a slant, its layers {} off its \
                     sides and leaning to the {side} as they go up: {:.0} % is waste",
                    degrees(self.degrees),
                    100.0 * self.left_over_share
                ),
                String::new(),
            ),
        ]
    }
}

impl Slices {
    fn steps(&self, l: Figures) -> Vec<(String, String)> {
        let [thick, broad] = self.slab_mm.map(|mm| l.side(mm));
        let [slice, each] = self.slice_mm.map(|mm| l.side(mm));
        let way = match (self.is_flat, self.degrees > 0.0) {
            (true, true) => "to the right",
            (true, false) => "to the left",
            (false, true) => "up",
            (false, false) => "down",
        };
        vec![
            (
                "Forge it to a slab, flat on its layers, then on their edges; grind both faces, crop both ends".to_owned(),
                format!("{thick} × {broad}, {} long", l.hot(self.slab_length_mm)),
            ),
            (
                format!("Saw it on the slope, {} to the layers, into {} slices", degrees(self.degrees), self.count),
                format!("each {slice} thick; {:.0} % of the slab is waste", 100.0 * self.left_over_share),
            ),
            (
                format!(
                    "Lay them end to end, scarf on scarf, so that the layers run {way} towards the point; weld scarf after scarf with \
                     light blows square to it"
                ),
                format!("{each} of bar from each slice"),
            ),
        ]
    }
}

/// An angle to a tenth of a degree, without its sign.
fn degrees(angle: f64) -> String {
    format!("{}°", (10.0 * angle.abs()).round() / 10.0)
}
