//! A plate with notches along one or both long edges and words beside them: combs and the bevel gauge.

use std::f64::consts::PI;

use design::{Design, Problem};
use glam::DVec2;

use crate::plate::bed::{lay, too_small};
use crate::slab::contour::{Contour, Motion};
use crate::slab::corner::Corner;
use crate::slab::extrusion::Slab;
use crate::slab::label;
use crate::slab::lettering::Lettering;
use crate::slab::writer::Writer;
use drawing::Anchor;

/// Least wall between two notches, mm: it bears a blade pushed in by hand (common practice, no source).
pub(crate) const WALL: f64 = 4.0;

/// Least wall in widths of the nozzle: two lines on each side and filling between them (common practice, no source).
const WALL_NOZZLES: f64 = 6.0;

/// A notch in an upper edge along y = 0, its mouth's middle at the origin.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Notch {
    /// Width of its mouth, mm; it is nowhere wider.
    pub(crate) width: f64,
    /// How deep it reaches, mm.
    pub(crate) depth: f64,
    /// From the right end of the mouth around to the left one.
    pub(crate) corners: Vec<Corner>,
}

/// A place along the plate: notches in both edges, and the words between.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Column {
    pub(crate) above: Option<Notch>,
    pub(crate) below: Option<Notch>,
    pub(crate) words: [String; 2],
}

/// The plate: columns side by side, before them words that tell the edges apart, under them the blade's name.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Rack {
    pub(crate) columns: Vec<Column>,
    /// Words at the upper edge, on the two lines of the columns' words, and at the lower edge.
    pub(crate) heading: [String; 4],
}

/// Columns on as few racks as fit the bed, as evenly as can be. `heading` tells a rack's words from its number and how
/// many there are.
///
/// # Errors
/// What is said of a rack of one column when not even that fits; `what` names it.
pub(crate) fn racks(
    design: &Design,
    columns: &[Column],
    what: &str,
    heading: impl Fn(usize, usize) -> [String; 4],
) -> Result<Vec<Rack>, Problem> {
    let bounds = |i: usize, count: usize| i * columns.len() / count.max(1);
    let rack = |i: usize, count: usize| Rack {
        columns: columns[bounds(i, count)..bounds(i + 1, count)].to_vec(),
        heading: heading(i + 1, count),
    };
    let on = |count: usize| -> Vec<Rack> { (0..count).map(|i| rack(i, count)).collect() };
    let fits = |racks: &Vec<Rack>| racks.iter().all(|rack| rack.fits(design));
    match (1..=columns.len()).map(on).find(fits) {
        Some(racks) => Ok(racks),
        None => on(columns.len()).first().map_or(Ok(Vec::new()), |rack| {
            let size = rack.size(design).extend(design.gauges().thickness);
            Err(too_small(design, what, size.to_array()))
        }),
    }
}

/// What tells one of several racks from the others: an ending for its file's name, and one for its title.
pub(crate) fn endings(index: usize, count: usize) -> [String; 2] {
    match count {
        1 => [String::new(), String::new()],
        _ => [format!("-{}-of-{count}", index + 1), format!(", part {} of {count}", index + 1)],
    }
}

/// Least wall between two printed notches for this nozzle, mm.
fn printed_wall(nozzle: f64) -> f64 {
    WALL.max(WALL_NOZZLES * nozzle)
}

/// Where things are on a rack, mm.
struct Layout<'w, W: Writer> {
    writer: &'w W,
    room: f64,
    heading: f64,
    pitch: f64,
    /// Heights of the strips that hold the lower and the upper notches.
    strips: [f64; 2],
    size: DVec2,
}

impl Rack {
    fn fits(&self, design: &Design) -> bool {
        let plate = Contour::rectangle(DVec2::ZERO, self.size(design));
        lay(&plate, design.shop()).is_some() && design.gauges().thickness <= design.shop().bed[2]
    }

    /// Length and height of the printed plate, mm.
    fn size(&self, design: &Design) -> DVec2 {
        let nozzle = design.shop().nozzle;
        self.layout(&Lettering::least(nozzle), printed_wall(nozzle)).size
    }

    /// The printed plate.
    pub(crate) fn slab(&self, design: &Design) -> Slab {
        let nozzle = design.shop().nozzle;
        let thickness = design.gauges().thickness;
        let (outline, engraving) = self.plate(&Lettering::least(nozzle), printed_wall(nozzle), design.slug());
        Slab { outline, holes: Vec::new(), engraving, thickness, depth: label::depth(thickness) }
    }

    /// The plate's outline and its words, with walls at least this wide (mm) between notches.
    pub(crate) fn plate<W: Writer>(&self, writer: &W, wall: f64, slug: &str) -> (Contour, Vec<W::Mark>) {
        let layout = self.layout(writer, wall);
        let words = self.words(&layout).into_iter();
        let marks = words.flat_map(|(text, at, anchor)| label::anchored(writer, &text, at, anchor));
        let (small, name) = label::fitting(writer, slug, layout.size.x - 2.0 * layout.room);
        let at = DVec2::new(layout.room, layout.strips[0] + layout.room);
        let marks = marks.chain(label::anchored(&small, &name, at, Anchor::Start)).collect();
        (self.outline(&layout), marks)
    }

    /// Where everything stands on the rack.
    fn layout<'w, W: Writer>(&self, writer: &'w W, wall: f64) -> Layout<'w, W> {
        let (room, line) = (label::room(writer), label::line(writer));
        let notches = || self.columns.iter().flat_map(|c| c.above.iter().chain(&c.below));
        let words = label::widest(writer, self.columns.iter().flat_map(|c| &c.words)) + 2.0 * room;
        let pitch = notches().map(|n| n.width + wall).fold(words, f64::max);
        let heading = label::widest(writer, &self.heading) + room;
        let deepest = |notch: fn(&Column) -> &Option<Notch>| {
            self.columns.iter().filter_map(|c| notch(c).as_ref()).map(|n| n.depth).fold(0.0, f64::max)
        };
        // A strip with a word in it is at least as high as that.
        let strip = |depth: f64, word: &str| if word.is_empty() { depth } else { depth.max(line) };
        let strips =
            [strip(deepest(|c| &c.below), &self.heading[3]), strip(deepest(|c| &c.above), &self.heading[0])];
        let length = room + heading + self.columns.len() as f64 * pitch + 0.5 * wall;
        let height = strips[0] + room + 3.0 * line + strips[1];
        Layout { writer, room, heading, pitch, strips, size: DVec2::new(length, height) }
    }

    /// Every line of words but the name, where, and how it is anchored there.
    fn words<W: Writer>(&self, layout: &Layout<'_, W>) -> Vec<(String, DVec2, Anchor)> {
        let (room, line) = (layout.room, label::line(layout.writer));
        let name = layout.strips[0] + room;
        let rows = [name + 2.0 * line, name + line];
        let [top, first, second, bottom] = &self.heading;
        let high = layout.size.y - room - layout.writer.height();
        let head = [(top, high), (first, rows[0]), (second, rows[1]), (bottom, room)];
        let start = |text: String, y: f64| (text, DVec2::new(room, y), Anchor::Start);
        let mut words = head.map(|(text, y)| start(text.clone(), y)).to_vec();
        for (i, column) in self.columns.iter().enumerate() {
            let at = |y: f64| DVec2::new(layout.middle(i), y);
            words.extend([0, 1].map(|k| (column.words[k].clone(), at(rows[k]), Anchor::Middle)));
        }
        words
    }

    /// The rack's outline with its notches.
    fn outline<W: Writer>(&self, layout: &Layout<'_, W>) -> Contour {
        let DVec2 { x: length, y: height } = layout.size;
        let columns = || self.columns.iter().enumerate();
        let mut corners = vec![Corner::sharp(DVec2::ZERO)];
        for (i, notch) in columns().filter_map(|(i, c)| Some((i, c.below.as_ref()?))) {
            corners.extend(notch.at(PI, DVec2::new(layout.middle(i), 0.0)));
        }
        corners.extend([DVec2::new(length, 0.0), DVec2::new(length, height)].map(Corner::sharp));
        for (i, notch) in columns().rev().filter_map(|(i, c)| Some((i, c.above.as_ref()?))) {
            corners.extend(notch.at(0.0, DVec2::new(layout.middle(i), height)));
        }
        corners.push(Corner::sharp(DVec2::new(0.0, height)));
        Contour { corners }
    }
}

impl<W: Writer> Layout<'_, W> {
    /// x of the middle of a column.
    fn middle(&self, column: usize) -> f64 {
        self.room + self.heading + (column as f64 + 0.5) * self.pitch
    }
}

impl Notch {
    fn at(&self, turn: f64, shift: DVec2) -> Vec<Corner> {
        Contour { corners: self.corners.clone() }.moved(&Motion { turn, shift }).corners
    }
}
