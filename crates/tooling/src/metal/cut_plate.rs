//! The profile gauge and the window of sheet steel, each in one piece.

use blade::Stage;
use design::{Design, PlateForm};
use glam::DVec2;

use crate::metal::corners::{sharp_corners, soft, with_discs};
use crate::metal::cut_gauge::{About, CutGauge, Form};
use crate::metal::cutting::{Cutting, CuttingFault};
use crate::metal::strokes::{HEIGHTS, Strokes};
use crate::metal::words::{self, EDGES, missing};
use crate::plate::marking::{Marking, TICK};
use crate::plate::panel::{Panel, Piece};
use crate::plate::plates::{AROUND_HOLE, FRAME, window_gap};
use crate::slab::contour::Contour;
use crate::slab::label::{self, CLEAR};

/// Radius of a frame's outer corners, mm: no corner that stabs a hand.
const SOFT: f64 = 3.0;

/// The plates that the design asks for.
///
/// # Errors
/// Temperature or kerf.
pub(crate) fn cut_plates(design: &Design, cutting: &Cutting) -> Result<Vec<CutGauge>, CuttingFault> {
    let forms: &[bool] = match design.plate().form {
        PlateForm::Positive => &[true],
        PlateForm::Negative => &[false],
        PlateForm::Both => &[true, false],
    };
    let made = |&positive: &bool| if positive { profile(design, cutting) } else { window(design, cutting) };
    forms.iter().map(made).collect()
}

/// The blade's outline at the plate's stage, mm.
fn silhouette(design: &Design) -> Contour {
    Contour::of_pieces(&design.blade().loft(design.plate().stage).silhouette().closed())
}

/// The outline as a gauge: as large as the forged blade under the hammer, or cold for the other stages.
fn profile(design: &Design, cutting: &Cutting) -> Result<CutGauge, CuttingFault> {
    let stage = design.plate().stage;
    let hot = cutting.heat().filter(|_| stage == Stage::Forged);
    let scale = if hot.is_some() { cutting.growth()? } else { 1.0 };
    let outline = silhouette(design).scaled(scale);
    let panel = Panel::solid(&outline);
    let mut marking = Marking::new(&panel, Strokes(HEIGHTS[0]), Vec::new());
    let hole = design.plate().hole.and_then(|d| hanging(cutting.hole(d), &mut marking));
    let pieces = panel.pieces(&[]);
    stations(design, scale, &mut marking);
    let heat = words::heat(design.figures(), hot);
    let left = written(&mut marking, &pieces, &groups(design, "PROFILE", heat));
    let mut note = match hot {
        Some(celsius) => words::hot_profile(design.figures(), cutting, celsius, scale),
        None => "Hold the blade against it: the outline at full size, for cold steel.".to_owned(),
    };
    note += &missing(&left);
    if design.plate().hole.is_some() && hole.is_none() {
        note += " It has no room for a hanging hole.";
    }
    let about = About {
        name: format!("profile-{stage}{}", if hot.is_some() { "-hot" } else { "" }),
        title: format!("Profile plate ({stage}{})", words::told_heat(design.figures(), hot)),
        note: note + EDGES,
        stage,
        hot,
    };
    let marks = marking.stamps.marks().to_vec();
    CutGauge::new(about, &Form { outline, holes: hole.into_iter().collect(), marks }, cutting)
}

/// The window around the cold blade, its corners cut free where the blade's corners come.
fn window(design: &Design, cutting: &Cutting) -> Result<CutGauge, CuttingFault> {
    let (stage, gap) = (design.plate().stage, window_gap(design));
    let blade = silhouette(design);
    let radius = cutting.relief() + gap;
    let corners = sharp_corners(&blade, cutting.relief());
    // Growing a sound outline by less than a few millimetres can't make it vanish.
    let opening = blade.grown(gap).into_iter().next().unwrap_or(blade);
    let (panel, frame) = framed(design, cutting, &opening, radius);
    let mut marking = Marking::new(&panel, Strokes(HEIGHTS[0]), Vec::new());
    corners.iter().for_each(|at| marking.stamps.take([*at - radius, *at + radius]));
    let middle = DVec2::new(0.5 * (frame[0].x + opening.bounds()[0].x), 0.5 * (frame[0].y + frame[1].y));
    let hole = design.plate().hole.map(|d| Contour::circle(middle, 0.5 * cutting.hole(d)));
    let pieces = panel.pieces(&[]);
    stations(design, 1.0, &mut marking);
    let left = written(&mut marking, &pieces, &groups(design, "WINDOW", words::heat(design.figures(), None)));
    let figures = design.figures();
    let about = About {
        name: format!("window-{stage}"),
        title: format!("Window plate ({stage}, cold)"),
        note: words::window(figures, gap, (!corners.is_empty()).then_some(radius)) + &missing(&left) + EDGES,
        stage,
        hot: None,
    };
    let outline = soft(&Contour::rectangle(frame[0], frame[1]), SOFT);
    let holes = [with_discs(&opening, &corners, radius)].into_iter().chain(hole).collect();
    CutGauge::new(about, &Form { outline, holes, marks: marking.stamps.marks().to_vec() }, cutting)
}

/// The frame around an opening, and its least and greatest corner: as broad as ticks and figures want it, and broad enough
/// at its left for the hole.
fn framed(design: &Design, cutting: &Cutting, opening: &Contour, relief: f64) -> (Panel, [DVec2; 2]) {
    let [low, high] = opening.bounds();
    let wall = DVec2::splat(FRAME.max(TICK + 4.0 * CLEAR + 2.0 * HEIGHTS[0]).max(2.0 * relief));
    let hook = design.plate().hole.map_or(0.0, |d| cutting.hole(d) + 2.0 * (AROUND_HOLE + relief));
    let frame = [low - DVec2::new(wall.x.max(hook), wall.y), high + wall];
    (Panel::Window { window: opening.clone(), frame }, frame)
}

/// The hanging hole near the tang's end, where there is room around it.
fn hanging(diameter: f64, marking: &mut Marking<Strokes>) -> Option<Contour> {
    let room = DVec2::splat(0.5 * diameter + AROUND_HOLE - CLEAR);
    let centre = marking.stamps.middle_place(room)?;
    marking.stamps.take([centre - room, centre + room]);
    Some(Contour::circle(centre, 0.5 * diameter))
}

/// Ticks with their stations, each in the largest letters that have room.
fn stations(design: &Design, scale: f64, marking: &mut Marking<Strokes>) {
    let figures = design.figures();
    let count = (design.blade().length() / figures.pitch()) as i32;
    for at in (1..=count).map(|k| f64::from(k) * figures.pitch()) {
        let text = figures.station(at);
        let tried = |height: &f64| {
            marking.writer = Strokes(*height);
            marking.station(scale * at, &text)
        };
        // Without room for its number there is no tick.
        let _found = HEIGHTS.iter().any(tried);
    }
}

/// What stands on a plate, the weightiest first: of each group the first that has room.
fn groups(design: &Design, what: &str, heat: String) -> [Vec<String>; 3] {
    let stage = design.plate().stage.name().to_uppercase();
    [vec![heat], vec![format!("{what} {stage}"), what.to_owned()], label::names(design.slug())]
}

/// Writes a text of each group, in the largest letters that have room; which groups found none.
fn written(marking: &mut Marking<Strokes>, pieces: &[Piece], groups: &[Vec<String>; 3]) -> [bool; 3] {
    [0, 1, 2].map(|i| {
        let tries = groups[i].iter().flat_map(|text| HEIGHTS.map(|height| (text, height)));
        let mut put = |(text, height): (&String, f64)| {
            marking.writer = Strokes(height);
            marking.on_any(text, pieces)
        };
        !tries.into_iter().any(&mut put)
    })
}
