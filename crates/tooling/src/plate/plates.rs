//! The profile plate: the outline at full size as a plate, or as a window to lay on the blade.

use blade::Stage;
use design::{Design, PlateForm, Problem};
use glam::DVec2;

use crate::part::{Part, Stuff};
use crate::plate::bed::{lay, too_small};
use crate::plate::joint::Joint;
use crate::plate::marking::{Marking, TICK};
use crate::plate::panel::{Panel, Piece};
use crate::slab::contour::{Contour, Motion};
use crate::slab::extrusion::Slab;
use crate::slab::label::{self, CLEAR};
use crate::slab::lettering::Lettering;
use design::Figures;

/// Least breadth of the window's frame, mm: stays straight when lifted by one end.
pub(crate) const FRAME: f64 = 14.0;
/// Room for two rows of letters beside the ticks, in heights of capitals: their tails and their boldness included.
const ROWS: f64 = 2.3;
/// Material around the hanging hole, mm.
pub(crate) const AROUND_HOLE: f64 = 3.0;
/// Least gap of a window around a forged outline, mm: a hammer holds no finer (common practice, no source).
const FORGED_GAP: f64 = 1.0;

/// The gap of the window around the blade, mm: that of parts that slide, around a forged outline a millimetre at least.
pub(crate) fn window_gap(design: &Design) -> f64 {
    let sliding = design.shop().sliding;
    if design.plate().stage == Stage::Forged { sliding.max(FORGED_GAP) } else { sliding }
}

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
    marking: Marking<Lettering>,
    hole: Option<Contour>,
    /// Whether the stage found room, and for each piece whether the name did.
    staged: bool,
    named: Vec<bool>,
}

impl Labels {
    /// What found no room on a piece.
    fn missing(&self, piece: usize) -> Vec<&'static str> {
        let found = [(self.staged, "the stage"), (self.named[piece], "the blade's name")];
        found.into_iter().filter(|f| !f.0).map(|f| f.1).collect()
    }
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
            // Growing a sound outline by a few millimetres can't make it vanish.
            let window = outline.grown(window_gap(design)).into_iter().next().unwrap_or(outline);
            let [low, high] = window.bounds();
            let wall = DVec2::splat(FRAME.max(TICK + 4.0 * CLEAR + ROWS * lettering.height()));
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
        let labels = self.labels(&cuts, &pieces)?;
        let count = pieces.len();
        Ok(pieces
            .into_iter()
            .enumerate()
            .map(|(i, piece)| self.finished(piece, [i, count], &labels))
            .collect())
    }

    /// The marks in the order of their weight: what comes later gets the room that is left.
    fn labels(&self, cuts: &[Vec<Joint>], pieces: &[Piece]) -> Result<Labels, Problem> {
        let plate = self.design.plate();
        let mut marking = Marking::new(&self.panel, self.lettering, zones(cuts));
        let hole = match plate.hole {
            Some(diameter) => Some(self.hole(diameter, &mut marking)?),
            None => None,
        };
        for x in self.stations() {
            marking.station(x, &self.figures().station(x));
        }
        for (i, piece) in pieces.iter().enumerate().filter(|_| pieces.len() > 1) {
            marking.somewhere(&format!("{}/{}", i + 1, pieces.len()), piece, f64::NEG_INFINITY);
        }
        let staged = marking.on_any(&plate.stage.name().to_uppercase(), pieces);
        let mut name = |piece: &Piece| {
            label::shorter(self.design.name()).iter().any(|n| marking.on_any(n, std::slice::from_ref(piece)))
        };
        let named = pieces.iter().map(&mut name).collect();
        Ok(Labels { marking, hole, staged, named })
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

    /// The hanging hole: near the tang's end as far as there is room around it; in a frame at its left end.
    fn hole(&self, diameter: f64, marking: &mut Marking<Lettering>) -> Result<Contour, Problem> {
        let radius = 0.5 * diameter;
        if let Panel::Window { window, frame: [low, high] } = &self.panel {
            let left = window.bounds()[0].x;
            return Ok(Contour::circle(DVec2::new(0.5 * (low.x + left), 0.5 * (low.y + high.y)), radius));
        }
        let room = DVec2::splat(radius + AROUND_HOLE - CLEAR);
        let centre = marking.stamps.middle_place(room).ok_or_else(|| {
            self.design.problem(
                "plate.hole",
                "hole",
                format!("the plate has no room for a hanging hole of {}", self.figures().size(diameter)),
                "give a smaller hole, or 0 for none".to_owned(),
            )
        })?;
        marking.stamps.take([centre - room, centre + room]);
        Ok(Contour::circle(centre, radius))
    }

    /// Stations with a tick, mm.
    fn stations(&self) -> impl Iterator<Item = f64> {
        let pitch = self.figures().pitch();
        let count = (self.design.blade().length() / pitch) as i32;
        (1..=count).map(move |k| f64::from(k) * pitch)
    }

    /// A piece laid on the bed, with its engraving and holes.
    fn finished(&self, piece: Piece, number: [usize; 2], labels: &Labels) -> PlatePiece {
        let inside = |c: &Contour| c.corners.first().is_some_and(|k| piece.outline.contains(k.at));
        let engraving = labels.marking.stamps.marks().iter().filter(|r| inside(&r.outer)).cloned().collect();
        let holes = piece.holes.iter().chain(labels.hole.iter().filter(|h| inside(h))).cloned().collect();
        let thickness = self.design.plate().thickness;
        let depth = label::depth(thickness);
        let slab = Slab { outline: piece.outline.clone(), holes, engraving, thickness, depth };
        let motion = lay(&slab.outline, self.design.shop()).unwrap_or_default();
        let part = self.part(&slab.moved(&motion), &piece.bars, number, &labels.missing(number[0]));
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
            let gap = self.figures().gap(window_gap(self.design));
            format!("Lay it around the cold blade: the outline with a gap of {gap} all around.")
        };
        if count > 1 {
            note += " Push the pieces together, by their numbers and sides, until the ends touch; glue them if you like.";
        }
        note + &label::no_room(missing)
    }
}

/// Ranges of x that joints take.
fn zones(cuts: &[Vec<Joint>]) -> Vec<[f64; 2]> {
    let zone = |joints: &Vec<Joint>| {
        let reach = joints.iter().map(Joint::reach).fold(0.0, f64::max);
        [joints[0].x, joints[0].x + reach]
    };
    cuts.iter().map(zone).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Region;
    use crate::fixtures::profiles;
    use brep::{Mesh, Moments};

    #[test]
    fn every_profiles_plates_are_closed_fit_the_bed_and_carry_their_marks() {
        for (_, design) in profiles() {
            let pieces = plates(&design).unwrap_or_else(|p| panic!("{}: {p:?}", design.name()));
            let bed = design.shop().room();
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
                assert!(small || !piece.part.note.contains("the stage"), "{name}: {}", piece.part.note);
            }
            for form in ["profile", "window"] {
                let mut own = pieces.iter().filter(|piece| piece.part.name.starts_with(form));
                assert!(
                    own.any(|piece| !piece.part.note.contains("the blade's name")),
                    "{} {form}",
                    design.name()
                );
            }
        }
    }

    #[test]
    fn pieces_make_up_the_outline_but_for_the_joints_gaps() {
        for (_, design) in profiles() {
            let stage = design.plate().stage;
            let whole = Contour::of_pieces(&design.blade().loft(stage).silhouette().closed());
            let pieces = plates(&design).unwrap();
            let solid: Vec<_> = pieces.iter().filter(|p| p.part.name.starts_with("profile")).collect();
            let sum: f64 = solid.iter().map(|p| p.slab.outline.area()).sum();
            assert!(sum <= whole.area() + 1e-6 && sum > 0.999 * whole.area(), "{}: {sum}", design.name());
        }
    }
}
