//! The profile plate: the outline at full size as a plate, or as a window to lay on the blade.

use design::{Design, PlateForm, Problem, Unit};
use glam::DVec2;

use crate::bed::{lay, too_small};
use crate::contour::{Contour, Motion, Region};
use crate::figures::Figures;
use crate::joint::Joint;
use crate::label;
use crate::lettering::Lettering;
use crate::panel::{Panel, Piece};
use crate::part::{Part, Stuff};
use crate::slab::Slab;
use crate::stamps::Stamps;

/// Length of a tick, mm: seen at arm's length.
const TICK: f64 = 3.0;
/// Clear material between any two cuts, mm: two widths of a common nozzle.
pub(crate) const CLEAR: f64 = 0.8;
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

/// One form of the plate.
struct Plate<'a> {
    design: &'a Design,
    positive: bool,
    panel: Panel,
    lettering: Lettering,
}

impl Plate<'_> {
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
        self.ticks(&mut stamps);
        let engraved = self.words(&mut stamps, &pieces);
        let count = pieces.len();
        Ok(pieces
            .into_iter()
            .enumerate()
            .map(|(i, piece)| self.finished(piece, i, count, &hole, &stamps, &engraved))
            .collect())
    }

    /// Distance between ticks, mm.
    fn pitch(&self) -> f64 {
        match self.design.unit() {
            Unit::Millimetre => 25.0,
            Unit::Inch => 25.4,
        }
    }

    /// Places for joints: midway between ticks, where they and their figures are furthest away.
    fn candidates(&self) -> Vec<f64> {
        let pitch = self.pitch();
        let reach = Joint { x: 0.0, low: 0.0, high: 100.0, gap: self.design.shop().press }.reach();
        let all = -((self.design.blade().spec().tang.length / pitch) as i32) - 1
            ..=(self.design.blade().length() / pitch) as i32;
        all.map(|k| f64::from(k) * pitch + 0.5 * (pitch - reach)).collect()
    }

    fn unfit(&self) -> Problem {
        let what = if self.positive { "a piece of the profile plate" } else { "a piece of the window plate" };
        let whole = self.panel.pieces(&[]);
        let size = whole.first().map_or(DVec2::ZERO, |p| {
            let [low, high] = p.outline.bounds();
            high - low
        });
        // Even the shortest pieces are a joint and its neighbourhood long.
        let least = (2.0 * self.pitch()).min(size.x);
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
                format!("the plate has no room for a hanging hole of {diameter} mm"),
                "give a smaller hole, or 0 for none".to_owned(),
            )
        })?;
        stamps.take([centre - room, centre + room]);
        Ok(Contour::circle(centre, radius))
    }

    /// Ticks at both borders, and each station's number beside its upper one as far as there is room.
    fn ticks(&self, stamps: &mut Stamps) {
        let pitch = self.pitch();
        let count = (self.design.blade().length() / pitch) as i32;
        let stations: Vec<f64> = (1..=count).map(|k| f64::from(k) * pitch).collect();
        let half = 0.5 * (1.25 * self.design.shop().nozzle).max(0.6);
        let figures = Figures { unit: self.design.unit() };
        for &x in &stations {
            let [edge, back] = self.borders(x);
            // On the plate ticks point inwards from its borders, on the frame outwards from the window's.
            let into = if self.positive { -1.0 } else { 1.0 };
            for (border, sign) in [(back, into), (edge, -into)] {
                let (near, far) = (border + sign * CLEAR, border + sign * (CLEAR + TICK));
                let low = DVec2::new(x - half, near.min(far));
                let high = DVec2::new(x + half, near.max(far));
                stamps.put(vec![region(Contour::rectangle(low, high))], [low, high]);
            }
        }
        for &x in &stations {
            let text = figures.station(x);
            let width = self.lettering.width(&text);
            let far = self.borders(x)[1] + if self.positive { -1.0 } else { 1.0 } * (2.0 * CLEAR + TICK);
            let low = if self.positive { far - self.lettering.height() } else { far };
            self.write(stamps, &text, DVec2::new(x - 0.5 * width, low));
        }
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

    /// Piece numbers, then stage and name where there is room: what is written of the name.
    fn words(&self, stamps: &mut Stamps, pieces: &[Piece]) -> Option<String> {
        if pieces.len() > 1 {
            for (i, piece) in pieces.iter().enumerate() {
                self.write_somewhere(stamps, &format!("{}/{}", i + 1, pieces.len()), piece);
            }
        }
        let mut by_length: Vec<&Piece> = pieces.iter().collect();
        by_length.sort_by(|a, b| self.room(b).total_cmp(&self.room(a)));
        let stage = self.design.plate().stage.name().to_uppercase();
        by_length.iter().any(|p| self.write_somewhere(stamps, &stage, p));
        shorter(self.design.name())
            .into_iter()
            .find(|name| by_length.iter().any(|p| self.write_somewhere(stamps, name, p)))
    }

    /// Length of a piece inside the panel, mm.
    fn room(&self, piece: &Piece) -> f64 {
        let [low, high] = piece.outline.bounds();
        high.x - low.x
    }

    /// Engraves text at the first place on the piece with room for it.
    fn write_somewhere(&self, stamps: &mut Stamps, text: &str, piece: &Piece) -> bool {
        let (_, [low, high]) = label::label(&self.lettering, text, DVec2::ZERO);
        match stamps.place(high - low, &piece.bars, piece.from, piece.to) {
            Some(at) => self.write(stamps, text, at - low),
            None => false,
        }
    }

    fn finished(
        &self,
        piece: Piece,
        index: usize,
        count: usize,
        hole: &Option<Contour>,
        stamps: &Stamps,
        name: &Option<String>,
    ) -> PlatePiece {
        let inside = |c: &Contour| c.corners.first().is_some_and(|k| piece.outline.contains(k.at));
        let engraving: Vec<Region> = stamps.regions().iter().filter(|r| inside(&r.outer)).cloned().collect();
        let holes = piece.holes.iter().chain(hole.iter().filter(|h| inside(h))).cloned().collect();
        let thickness = self.design.plate().thickness;
        let depth = label::depth(thickness);
        let slab = Slab { outline: piece.outline.clone(), holes, engraving, thickness, depth };
        let motion = lay(&slab.outline, self.design.shop()).unwrap_or_default();
        let part = self.part(&slab.moved(&motion), index, count, name.is_some());
        PlatePiece { slab, motion, part }
    }

    fn part(&self, laid: &Slab, index: usize, count: usize, named: bool) -> Part {
        let (form, what) =
            if self.positive { ("profile", "Profile plate") } else { ("window", "Window plate") };
        let (suffix, title) = match count {
            1 => (String::new(), what.to_owned()),
            _ => (format!("-{}-of-{count}", index + 1), format!("{what}, piece {} of {count}", index + 1)),
        };
        let stage = self.design.plate().stage;
        Part {
            name: format!("{form}-{stage}{suffix}"),
            title: format!("{title} ({stage})"),
            note: self.note(count, named),
            stuff: Stuff::Plastic,
            shell: laid.shell(),
        }
    }

    fn note(&self, count: usize, named: bool) -> String {
        let mut note = if self.positive {
            "Hold the cold blade against it: the outline at full size.".to_owned()
        } else {
            let gap = self.design.shop().sliding;
            format!("Lay it around the cold blade: the outline with a gap of {gap} mm all around.")
        };
        if count > 1 {
            note += " Push the pieces together in the order of their numbers until the butts touch; glue if wanted.";
        }
        if !named {
            note += " There was no room for the name.";
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
    use blade::{Mesh, Moments};

    fn design(name: &str) -> Design {
        let path = format!("{}/../../profiles/{name}", env!("CARGO_MANIFEST_DIR"));
        design::read(&std::fs::read(path).unwrap()).unwrap()
    }

    fn profiles() -> Vec<Design> {
        let folder = format!("{}/../../profiles", env!("CARGO_MANIFEST_DIR"));
        let mut names: Vec<String> = std::fs::read_dir(folder)
            .unwrap()
            .map(|e| e.unwrap().file_name().into_string().unwrap())
            .filter(|n| n.ends_with(".toml"))
            .collect();
        names.sort();
        names.iter().map(|n| design(n)).collect()
    }

    #[test]
    fn every_profiles_plates_are_closed_fit_the_bed_and_carry_their_marks() {
        for design in profiles() {
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
                assert!(!piece.part.note.contains("no room"), "{name}: {}", piece.part.note);
            }
        }
    }

    #[test]
    fn pieces_make_up_the_outline_but_for_the_joints_gaps() {
        for design in profiles() {
            let whole =
                Contour::of_pieces(&design.blade().loft(blade::Stage::Finished).silhouette().closed());
            let pieces = plates(&design).unwrap();
            let solid: Vec<_> = pieces.iter().filter(|p| p.part.name.starts_with("profile")).collect();
            let sum: f64 = solid.iter().map(|p| p.slab.outline.area()).sum();
            assert!(sum <= whole.area() + 1e-6 && sum > 0.999 * whole.area(), "{}: {sum}", design.name());
        }
    }
}
