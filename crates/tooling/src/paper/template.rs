//! The full-size template: side view, top view and sections of a blade with its sizes, to hold the steel against.

use blade::{Sides, Stage};
use design::Design;
use glam::DVec2;

use crate::paper::layout::{APART, Layout, WORDS};
use crate::paper::{section_row, side_view, top_view};
use drawing::{Anchor, Drawing, text_width};
use steel::{HotFault, elongation};

/// A blade's template at full size, in one piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Template {
    /// The drawing in the blade's frame seen from the right: the shoulder at x = 0, the tang's centre line at y = 0.
    pub drawing: Drawing,
    /// The design's name.
    pub name: String,
    /// The stage drawn.
    pub stage: Stage,
    /// The temperature it is scaled for, °C; full size when cold without one.
    pub hot: Option<f64>,
    /// Lower left and upper right corner of the blade's side view in the drawing, mm.
    pub blade: [DVec2; 2],
}

/// Height of the capitals of the name, mm: read from where the sheet hangs.
const NAME: f64 = 4.0;
/// The words over a short blade may be this wide, mm: no wider than any page's window.
const LEAST_ROOM: f64 = 200.0;
/// Draws the template of a stage at full size; made longer and broader by heat where the steel is to be held against it
/// at a temperature `hot` (°C). Figures are always those of the cold steel.
///
/// # Errors
/// When the temperature is outside 20 to 1200 °C.
pub fn template(design: &Design, stage: Stage, hot: Option<f64>) -> Result<Template, HotFault> {
    let longer = hot.map_or(Ok(0.0), |celsius| elongation(celsius).ok_or(HotFault { celsius }))?;
    let plan = Layout::new(design, stage, 1.0 + longer);
    let mut drawing = Drawing::default();
    let mut floor = side_view::draw(&plan, &mut drawing);
    floor = top_view::draw(&plan, &mut drawing, floor - APART);
    section_row::draw(&plan, &mut drawing, floor - APART);
    let room = (plan.high.x - plan.left()).max(LEAST_ROOM);
    let at = DVec2::new(plan.left(), plan.high.y + side_view::LABELS + APART);
    title(&mut drawing, at, design.name(), &words(&plan, hot), room);
    let blade = [plan.low, plan.high];
    Ok(Template { drawing, name: design.name().into(), stage, hot, blade })
}

/// A name in large letters and words under it in lines no wider than `room`, the last line's base at `at`.
pub(crate) fn title(drawing: &mut Drawing, at: DVec2, name: &str, words: &str, room: f64) {
    let mut lines: Vec<_> = wrapped(name, room, NAME).map(|l| (NAME, l)).collect();
    lines.extend(wrapped(words, room, WORDS).map(|l| (WORDS, l)));
    let mut y = at.y;
    for (height, line) in lines.into_iter().rev() {
        drawing.text(DVec2::new(at.x, y), height, Anchor::Start, line);
        y += 1.7 * height;
    }
}

/// Stage, what is drawn and in which unit.
fn words(plan: &Layout, hot: Option<f64>) -> String {
    let (stage, unit) = (plan.loft.stage(), plan.figures.unit.name());
    let size = match hot {
        None => format!("full size, unit {unit}"),
        Some(t) => format!(
            "full size, scaled {:.4} for steel at {}, unit {unit}, figures of the cold blade",
            plan.scale,
            plan.figures.about(t)
        ),
    };
    let left = match plan.design.blade().spec().section.sides {
        Sides::Left => " Bevel on the left side, shown as if seen through the blade.",
        Sides::Both | Sides::Right => "",
    };
    format!(
        "Template, {stage} stage, {size}. Stations from the shoulder; b: breadth, t: thickness at the back{}.{left}",
        section_row::legend(plan)
    )
}

/// Words in lines no wider than `room`, mm; a word that is wider stands alone.
fn wrapped(text: &str, room: f64, height: f64) -> std::vec::IntoIter<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if text_width(line, height) + text_width(word, height) + height <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines.into_iter()
}

#[cfg(test)]
mod tests {
    use brep::Piece;
    use drawing::{Layer, around};

    use super::*;
    use crate::fixtures::{profile, profiles};
    use drawing::Mark;
    use drawing::overlap;

    fn texts(template: &Template) -> Vec<String> {
        let of = |mark: Mark| if let Mark::Text { text, .. } = mark { Some(text) } else { None };
        template.drawing.plain().items.into_iter().filter_map(|i| of(i.mark)).collect()
    }

    #[test]
    fn no_text_of_any_profile_lies_over_another() {
        let all = profiles();
        assert!(all.len() >= 9);
        for (name, design) in &all {
            for (stage, hot) in Stage::ALL.into_iter().flat_map(|s| [(s, None), (s, Some(900.0))]) {
                let template = template(design, stage, hot).unwrap();
                let (boxes, words) = (template.drawing.text_extents(), texts(&template));
                assert_eq!(boxes.len(), words.len());
                for i in 0..boxes.len() {
                    for j in 0..i {
                        let pair = (&words[i], &words[j]);
                        assert!(!overlap(&boxes[i], &boxes[j]), "{name} {stage}: {pair:?} {:?}", boxes[i]);
                    }
                }
            }
        }
    }

    #[test]
    fn no_text_of_any_profile_touches_the_steel() {
        for (name, design) in profiles() {
            let template = template(&design, Stage::Finished, None).unwrap();
            let steel = |i: &&crate::Item| i.layer <= Layer::Surface;
            // Short chords: a long slanting piece's box is much larger than the piece.
            let mut steel_boxes = Vec::new();
            for item in template.drawing.items.iter().filter(steel) {
                let Mark::Path { pieces, .. } = &item.mark else { panic!("{item:?}") };
                let chord = |p: &Piece, i: i32| [i, i + 1].map(|k| p.at(f64::from(k) / 400.0).0);
                steel_boxes.extend(pieces.iter().flat_map(|p| (0..400).map(|i| around(&chord(p, i)))));
            }
            for (text, words) in template.drawing.text_extents().iter().zip(texts(&template)) {
                let struck = steel_boxes.iter().find(|b| overlap(b, text));
                assert!(struck.is_none(), "{name}: {words} {text:?} {struck:?}");
            }
        }
    }

    #[test]
    fn hot_templates_are_longer_and_keep_their_figures() {
        let design = profile("chain-smiths-trial");
        let [cold, hot] = [None, Some(700.0)].map(|t| template(&design, Stage::Forged, t).unwrap());
        let span = |t: &Template| t.blade[1] - t.blade[0];
        assert!((span(&hot) - span(&cold) * 1.010_118_4).length() < 1e-9);
        assert!((span(&cold).x - 610.0).abs() < 1e-9);
        let figures =
            |t: &Template| texts(t).into_iter().filter(|t| t.chars().count() < 12).collect::<Vec<_>>();
        assert_eq!(figures(&cold), figures(&hot));
        assert!(figures(&cold).contains(&"610.0".to_owned()));
        assert!(texts(&hot).iter().any(|t| t.contains("scaled 1.0101 for steel at 700 °C")));
        assert_eq!(template(&design, Stage::Forged, Some(1300.0)), Err(HotFault { celsius: 1300.0 }));
    }

    /// A blade ground to the back has no grind line, a sharpened one no thickness at its edge: no letter is explained for them.
    #[test]
    fn the_legend_explains_the_letters_that_stand_there() {
        let mut without = 0;
        for (name, design) in profiles() {
            for stage in Stage::ALL {
                let texts = texts(&template(&design, stage, None).unwrap());
                let words = texts.join(" ");
                for letter in ["b", "t", "g", "e", "a"] {
                    let stands = texts.iter().any(|text| {
                        text.strip_prefix(letter).is_some_and(|rest| {
                            rest.starts_with(' ') && rest[1..].starts_with(|c: char| c.is_ascii_digit())
                        })
                    });
                    let told = words.contains(&format!(" {letter}: "));
                    assert_eq!(told, stands, "{name} {stage}: {letter} in {words}");
                    without += usize::from(!told);
                }
            }
        }
        assert!(without > 5, "{without}");
    }

    #[test]
    fn holes_are_drawn_once_they_are_drilled() {
        let design = profile("inch-barge-seax");
        let circles = |stage| {
            let drawing = template(&design, stage, None).unwrap().drawing;
            let round = |i: &&crate::Item| matches!(&i.mark, Mark::Path { pieces, .. } if matches!(pieces[..], [Piece::Arc(..)]));
            drawing.items.iter().filter(round).count()
        };
        assert_eq!(Stage::ALL.map(circles), [0, 3, 3]);
    }

    #[test]
    fn a_blade_bevelled_on_the_left_shows_its_grind_line_and_stations_in_inches_are_whole() {
        let left = template(&profile("left-bank-seax"), Stage::Ground, None).unwrap();
        assert!(left.drawing.items.iter().filter(|i| i.layer == Layer::Surface).count() > 2);
        let inch = texts(&template(&profile("inch-barge-seax"), Stage::Ground, None).unwrap());
        assert!((0..=8).all(|i| inch.contains(&i.to_string())), "{inch:?}");
        assert!(inch.contains(&"b 1.375".to_owned()) && inch.contains(&"9 1/4".to_owned()));
    }

    #[test]
    fn closed_paths_close() {
        for (name, design) in profiles() {
            let drawing = template(&design, Stage::Ground, None).unwrap().drawing;
            for item in &drawing.items {
                let Mark::Path { pieces, closed, .. } = &item.mark else { continue };
                let next = pieces.iter().cycle().skip(1).take(pieces.len() - usize::from(!closed));
                for (a, b) in pieces.iter().zip(next) {
                    let gap = a.at(1.0).0.distance(b.at(0.0).0);
                    // A section's arcs come from splines that keep within a micrometre.
                    assert!(gap < 1e-3, "{name}: {:?} {gap}", item.layer);
                }
            }
        }
    }
}
