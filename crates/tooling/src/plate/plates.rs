//! The profile plate: the outline at full size as a plate, or as a window to lay on the blade.

use design::{Design, PlateForm, Problem};
use glam::DVec2;

use crate::part::{Part, Stuff};
use crate::plate::bed::{lay, too_small};
use crate::plate::joint::Joint;
use crate::plate::panel::{Panel, Piece};
use crate::plate::stamps::{Stamps, probes};
use crate::slab::contour::{Contour, Motion, Region};
use crate::slab::extrusion::Slab;
use crate::slab::label::{self, CLEAR};
use crate::slab::lettering::Lettering;
use design::Figures;

/// Length of a tick, mm: seen at arm's length.
const TICK: f64 = 3.0;
/// Least breadth of the window's frame, mm: stays straight when lifted by one end.
const FRAME: f64 = 14.0;
/// Material around the hanging hole, mm.
const AROUND_HOLE: f64 = 3.0;

/// A piece of a plate, in the blade's own frame and as it lies on the bed.
#[derive(Clone, Debug)]
pub struct PlatePiece {
    /// Its form in the blade's frame: x from the shoulder, y up from the tang's centre line.
    pub slab: Slab,
    /// How it is turned and shifted on the bed.
    pub motion: Motion,
    /// The part to print.
    pub part: Part,
}

/// The profile plates that the design asks for, cut into pieces that fit the bed, each in its print position.
///
/// # Errors
/// Every plate that can't be made to fit, and a hanging hole without room.
pub fn plates(design: &Design) -> Result<Vec<PlatePiece>, Vec<Problem>> {
    let forms: &[bool] = match design.plate().form {
        PlateForm::Positive => &[true],
        PlateForm::Negative => &[false],
        PlateForm::Both => &[true, false],
    };
    let (mut pieces, mut problems) = (Vec::new(), Vec::new());
    for &positive in forms {
        match Plate::new(design, positive).pieces() {
            Ok(made) => pieces.extend(made),
            Err(problem) => problems.push(problem),
        }
    }
    if problems.is_empty() { Ok(pieces) } else { Err(problems) }
}

/// What the pieces carry.
struct Labels {
    stamps: Stamps,
    hole: Option<Contour>,
    /// What found no room.
    missing: Vec<&'static str>,
}

/// One form of the plate.
struct Plate<'a> {
    design: &'a Design,
    positive: bool,
    panel: Panel,
    lettering: Lettering,
}

impl Plate<'_> {
    /// The plate of a design: its outline, or a window around it.
    fn new(design: &Design, positive: bool) -> Plate<'_> {
        let loft = design.blade().loft(design.plate().stage);
        let outline = Contour::of_pieces(&loft.silhouette().closed());
        let lettering = Lettering::least(design.shop().nozzle);
        let panel = if positive {
            Panel::solid(&outline)
        } else {
            // Growing a sound outline by less than a millimetre can't make it vanish.
            let window = outline.grown(design.shop().sliding).into_iter().next().unwrap_or(outline);
            let [low, high] = window.bounds();
            let wall = DVec2::splat(FRAME.max(TICK + 4.0 * CLEAR + 2.0 * lettering.height()));
            let hook = design.plate().hole.map_or(0.0, |d| d + 2.0 * AROUND_HOLE);
            let left = DVec2::new(wall.x.max(hook), wall.y);
            Panel::Window { window, frame: [low - left, high + wall] }
        };
        Plate { design, positive, panel, lettering }
    }

    /// The pieces that fit the bed, each with what can be written on it.
    fn pieces(&self) -> Result<Vec<PlatePiece>, Problem> {
        let (shop, plate) = (self.design.shop(), self.design.plate());
        let cuts = self.panel.cut(&self.candidates(), shop.press, shop);
        let cuts = cuts.filter(|_| plate.thickness <= shop.bed[2]).ok_or_else(|| self.unfit())?;
        let pieces = self.panel.pieces(&cuts);
        let mut stamps = self.stamps(&cuts);
        let hole = match plate.hole {
            Some(diameter) => Some(self.hole(diameter, &mut stamps)?),
            None => None,
        };
        // In the order of their weight: what comes later gets the room that is left.
        self.ticks(&mut stamps);
        self.piece_numbers(&mut stamps, &pieces);
        let staged = self.write_on_any(&mut stamps, &plate.stage.name().to_uppercase(), &pieces);
        self.station_numbers(&mut stamps);
        let named = shorter(self.design.name()).iter().any(|n| self.write_on_any(&mut stamps, n, &pieces));
        let missing =
            [(staged, "stage"), (named, "name")].into_iter().filter(|m| !m.0).map(|m| m.1).collect();
        let labels = Labels { stamps, hole, missing };
        let count = pieces.len();
        Ok(pieces
            .into_iter()
            .enumerate()
            .map(|(i, piece)| self.finished(piece, [i, count], &labels))
            .collect())
    }

    fn figures(&self) -> Figures {
        self.design.figures()
    }

    /// Places for joints: midway between ticks, where they and their figures are furthest away.
    fn candidates(&self) -> Vec<f64> {
        let pitch = self.figures().pitch();
        let reach = Joint { x: 0.0, low: 0.0, high: 100.0, gap: self.design.shop().press }.reach();
        let all = -((self.design.blade().spec().tang.length / pitch) as i32) - 1
            ..=(self.design.blade().length() / pitch) as i32;
        all.map(|k| f64::from(k) * pitch + 0.5 * (pitch - reach)).collect()
    }

    /// The problem of a bed too small even for the shortest piece.
    fn unfit(&self) -> Problem {
        let what = if self.positive { "a piece of the profile plate" } else { "a piece of the window plate" };
        let whole = self.panel.pieces(&[]);
        let size = whole.first().map_or(DVec2::ZERO, |p| {
            let [low, high] = p.outline.bounds();
            high - low
        });
        // Even the shortest pieces are a joint and its neighbourhood long.
        let least = (2.0 * self.figures().pitch()).min(size.x);
        too_small(self.design, what, [least, size.y, self.design.plate().thickness])
    }

    fn stamps(&self, cuts: &[Vec<Joint>]) -> Stamps {
        let zones = cuts.iter().map(|joints| {
            let reach = joints.iter().map(Joint::reach).fold(0.0, f64::max);
            [joints[0].x, joints[0].x + reach]
        });
        Stamps::new(self.panel.bars(), zones.collect())
    }

    /// The hanging hole: near the tang's end as far as there is room around it; in a frame at its left end.
    fn hole(&self, diameter: f64, stamps: &mut Stamps) -> Result<Contour, Problem> {
        let radius = 0.5 * diameter;
        if let Panel::Window { window, frame: [low, high] } = &self.panel {
            let left = window.bounds()[0].x;
            return Ok(Contour::circle(DVec2::new(0.5 * (low.x + left), 0.5 * (low.y + high.y)), radius));
        }
        let room = DVec2::splat(radius + AROUND_HOLE - CLEAR);
        let centre = stamps.middle_place(room).ok_or_else(|| {
            self.design.problem(
                "plate.hole",
                "hole",
                format!("the plate has no room for a hanging hole of {}", self.figures().size(diameter)),
                "give a smaller hole, or 0 for none".to_owned(),
            )
        })?;
        stamps.take([centre - room, centre + room]);
        Ok(Contour::circle(centre, radius))
    }

    /// Stations with a tick, mm.
    fn stations(&self) -> impl Iterator<Item = f64> {
        let pitch = self.figures().pitch();
        let count = (self.design.blade().length() / pitch) as i32;
        (1..=count).map(move |k| f64::from(k) * pitch)
    }

    /// The way from the upper border into the material: inwards on the plate, away from the window on the frame.
    fn up(&self) -> f64 {
        if self.positive { -1.0 } else { 1.0 }
    }

    /// Ticks at both borders.
    fn ticks(&self, stamps: &mut Stamps) {
        let half = 0.5 * (1.25 * self.design.shop().nozzle).max(0.6);
        let up = self.up();
        for x in self.stations() {
            for (border, sign) in [(1, up), (0, -up)] {
                let near = self.clear_of(border, sign, [x - half, x + half]);
                let (low, high) = (near.min(near + sign * TICK), near.max(near + sign * TICK));
                let bounds = [DVec2::new(x - half, low), DVec2::new(x + half, high)];
                stamps.put(vec![region(Contour::rectangle(bounds[0], bounds[1]))], bounds);
            }
        }
    }

    /// Each station's number beside its upper tick.
    fn station_numbers(&self, stamps: &mut Stamps) {
        let figures = self.figures();
        let up = self.up();
        for x in self.stations() {
            let text = figures.station(x);
            let (_, [low, high]) = label::label(&self.lettering, &text, DVec2::ZERO);
            let half = 0.5 * (high.x - low.x);
            let near = self.clear_of(1, up, [x - half, x + half]) + up * (TICK + CLEAR);
            let base = if self.positive { near - high.y } else { near - low.y };
            self.write(stamps, &text, DVec2::new(x - half - low.x, base));
        }
    }

    /// The height nearest to the lower (0) or upper (1) border of outline or window that is clear of it over a range of
    /// x, on the side of `sign`.
    fn clear_of(&self, border: usize, sign: f64, [from, to]: [f64; 2]) -> f64 {
        let heights = probes(from - CLEAR, to + CLEAR).map(|x| self.borders(x)[border]);
        let furthest = heights.map(|y| sign * y).fold(f64::NEG_INFINITY, f64::max);
        sign * (furthest + CLEAR)
    }

    /// Heights of the outline's (or the window's) lower and upper border at x.
    fn borders(&self, x: f64) -> [f64; 2] {
        let bars = self.panel.bars();
        match bars.as_slice() {
            [bar] => [bar.lower.height(x), bar.upper.height(x)],
            [below, above, ..] => [below.upper.height(x), above.lower.height(x)],
            [] => [0.0, 0.0],
        }
    }

    /// Engraves text that starts at `at` on its base line if there is room; says whether there was.
    fn write(&self, stamps: &mut Stamps, text: &str, at: DVec2) -> bool {
        let (regions, bounds) = label::label(&self.lettering, text, at);
        stamps.put(regions, bounds)
    }

    /// The number of each of several pieces.
    fn piece_numbers(&self, stamps: &mut Stamps, pieces: &[Piece]) {
        for (i, piece) in pieces.iter().enumerate().filter(|_| pieces.len() > 1) {
            self.write_somewhere(stamps, &format!("{}/{}", i + 1, pieces.len()), piece);
        }
    }

    /// Engraves text on the first piece with room for it, on the blade rather than the tang; says whether there was one.
    fn write_on_any(&self, stamps: &mut Stamps, text: &str, pieces: &[Piece]) -> bool {
        let on_blade = |p: &Piece| Piece { from: p.from.max(0.0), ..p.clone() };
        pieces.iter().any(|p| self.write_somewhere(stamps, text, &on_blade(p)))
            || pieces.iter().any(|p| self.write_somewhere(stamps, text, p))
    }

    /// Engraves text at the first place on the piece with room for it.
    fn write_somewhere(&self, stamps: &mut Stamps, text: &str, piece: &Piece) -> bool {
        let (_, [low, high]) = label::label(&self.lettering, text, DVec2::ZERO);
        // A letter's breadth away from other words.
        let apart = DVec2::new(self.lettering.width("0"), 0.0);
        match stamps.place(high - low + apart * 2.0, &piece.bars, piece.from, piece.to) {
            Some(at) => self.write(stamps, text, at + apart - low),
            None => false,
        }
    }

    /// A piece laid on the bed, with its engraving and holes.
    fn finished(&self, piece: Piece, number: [usize; 2], labels: &Labels) -> PlatePiece {
        let inside = |c: &Contour| c.corners.first().is_some_and(|k| piece.outline.contains(k.at));
        let engraving = labels.stamps.regions().iter().filter(|r| inside(&r.outer)).cloned().collect();
        let holes = piece.holes.iter().chain(labels.hole.iter().filter(|h| inside(h))).cloned().collect();
        let thickness = self.design.plate().thickness;
        let depth = label::depth(thickness);
        let slab = Slab { outline: piece.outline.clone(), holes, engraving, thickness, depth };
        let motion = lay(&slab.outline, self.design.shop()).unwrap_or_default();
        let part = self.part(&slab.moved(&motion), &piece.bars, number, &labels.missing);
        PlatePiece { slab, motion, part }
    }

    /// A piece as a part.
    fn part(&self, laid: &Slab, bars: &[usize], [index, count]: [usize; 2], missing: &[&str]) -> Part {
        let (form, what) =
            if self.positive { ("profile", "Profile plate") } else { ("window", "Window plate") };
        let (suffix, title) = match count {
            1 => (String::new(), what.to_owned()),
            _ => (format!("-{}-of-{count}", index + 1), format!("{what}, piece {} of {count}", index + 1)),
        };
        let stage = self.design.plate().stage;
        let side = match (self.positive, bars) {
            (false, [0]) => ", along the edge",
            (false, [_]) => ", along the back",
            _ => "",
        };
        Part {
            name: format!("{form}-{stage}{suffix}"),
            title: format!("{title}{side} ({stage})"),
            note: self.note(count, missing),
            stage: Some(stage),
            stuff: Stuff::Plastic,
            shell: laid.shell(),
        }
    }

    /// What a piece is for, and what could not be written on it.
    fn note(&self, count: usize, missing: &[&str]) -> String {
        let mut note = if self.positive {
            "Hold the cold blade against it: the outline at full size.".to_owned()
        } else {
            let gap = self.figures().gap(self.design.shop().sliding);
            format!("Lay it around the cold blade: the outline with a gap of {gap} all around.")
        };
        if count > 1 {
            note += " Push the pieces together, by their numbers and sides, until the ends touch; glue them if you like.";
        }
        for what in missing {
            note += &format!(" It is too small for the {what}.");
        }
        note
    }
}

fn region(outer: Contour) -> Region {
    Region { outer, islands: Vec::new() }
}

/// The name, then ever shorter forms of it: without its last words, then its first letters.
fn shorter(name: &str) -> Vec<String> {
    let words: Vec<&str> = name.split_whitespace().collect();
    let by_words = (1..=words.len()).rev().map(|n| words[..n].join(" "));
    let first: Vec<char> = words.first().map(|w| w.chars().collect()).unwrap_or_default();
    let by_letters = (2..first.len()).rev().map(|n| first[..n].iter().collect::<String>() + ".");
    by_words.chain(by_letters).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::profiles;
    use brep::{Mesh, Moments};

    #[test]
    fn every_profiles_plates_are_closed_fit_the_bed_and_carry_their_marks() {
        for (_, design) in profiles() {
            let pieces = plates(&design).unwrap_or_else(|p| panic!("{}: {p:?}", design.name()));
            let bed = design.shop().bed;
            for piece in &pieces {
                let name = format!("{} {}", design.name(), piece.part.name);
                let mesh = Mesh::of(&piece.part.shell, 0.02).unwrap_or_else(|f| panic!("{name}: {f}"));
                let (low, high) = mesh.bounds();
                // Chords of arcs lie inside them by at most the tolerance.
                assert!(low.min_element() > -1e-6 && low.max_element() < 0.02, "{name}: {low}");
                assert!(piece.part.shell.bounds().0.abs().max_element() < 1e-6, "{name}");
                assert!((0..3).all(|i| high[i] <= bed[i] + 1e-6), "{name}: {high}");
                let slab = &piece.slab;
                let cut: f64 = slab.holes.iter().map(Contour::area).sum();
                let engraved = |r: &Region| r.outer.area() - r.islands.iter().map(Contour::area).sum::<f64>();
                let engraved: f64 = slab.engraving.iter().map(engraved).sum();
                let volume = (slab.outline.area() - cut) * slab.thickness - engraved * slab.depth;
                let found = Moments::of(&piece.part.shell).volume;
                assert!((found / volume - 1.0).abs() < 1e-9, "{name}: {found} {volume}");
                assert!(!slab.engraving.is_empty(), "{name} carries no mark");
                let small = design.blade().length() < 100.0;
                assert!(small || !piece.part.note.contains("too small"), "{name}: {}", piece.part.note);
            }
        }
    }

    #[test]
    fn pieces_make_up_the_outline_but_for_the_joints_gaps() {
        for (_, design) in profiles() {
            let whole =
                Contour::of_pieces(&design.blade().loft(blade::Stage::Finished).silhouette().closed());
            let pieces = plates(&design).unwrap();
            let solid: Vec<_> = pieces.iter().filter(|p| p.part.name.starts_with("profile")).collect();
            let sum: f64 = solid.iter().map(|p| p.slab.outline.area()).sum();
            assert!(sum <= whole.area() + 1e-6 && sum > 0.999 * whole.area(), "{}: {sum}", design.name());
        }
    }
}
