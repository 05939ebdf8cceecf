//! A drawing made ready to be written: every number finite, every text writable, dimensions drawn out.

use brep::Piece;
use drawing::{Drawing, Mark};

use crate::fault::ExportFault;

/// `drawing` without dimensions, once nothing in it can spoil a file.
///
/// # Errors
/// [`ExportFault::NotFinite`] for a number that is not finite, [`ExportFault::Name`] for text with a control
/// character.
pub(crate) fn sound(drawing: &Drawing) -> Result<Drawing, ExportFault> {
    for (index, item) in drawing.items.iter().enumerate() {
        if !numbers(&item.mark).iter().all(|number| number.is_finite()) {
            return Err(ExportFault::NotFinite {
                place: format!("item {index} on layer {}", item.layer.name()),
            });
        }
        writable(words(&item.mark))?;
    }
    Ok(drawing.plain())
}

/// Refuses text that XML cannot hold, or would lose.
///
/// # Errors
/// [`ExportFault::Name`] for a control character or a non-character.
pub(crate) fn writable(text: &str) -> Result<(), ExportFault> {
    if text.chars().any(|c| c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}')) {
        return Err(ExportFault::Name { name: text.to_owned() });
    }
    Ok(())
}

fn words(mark: &Mark) -> &str {
    match mark {
        Mark::Path { .. } => "",
        Mark::Text { text, .. } | Mark::Dimension { text, .. } => text,
    }
}

fn numbers(mark: &Mark) -> Vec<f64> {
    match mark {
        Mark::Path { pieces, .. } => pieces.iter().flat_map(piece).collect(),
        Mark::Text { at, height, turn, .. } => vec![at.x, at.y, *height, *turn],
        Mark::Dimension { from, to, offset, height, .. } => {
            vec![from.x, from.y, to.x, to.y, *offset, *height]
        }
    }
}

fn piece(piece: &Piece) -> Vec<f64> {
    match piece {
        Piece::Straight(a, b) => vec![a.x, a.y, b.x, b.y],
        Piece::Cubic(controls) => controls.iter().flat_map(|c| c.to_array()).collect(),
        Piece::Arc(centre, radius, from, to) => vec![centre.x, centre.y, *radius, *from, *to],
    }
}

#[cfg(test)]
mod tests {
    use drawing::{Item, Layer};
    use glam::DVec2;

    use super::*;
    use crate::fixtures::{every_mark, label};

    #[test]
    fn dimensions_are_drawn_out() {
        let plain = sound(&every_mark()).unwrap();
        assert!(plain.items.len() > every_mark().items.len());
        assert!(!plain.items.iter().any(|item| matches!(item.mark, Mark::Dimension { .. })));
    }

    #[test]
    fn numbers_that_are_not_finite_and_control_characters_are_refused() {
        let arc = Piece::Arc(DVec2::ZERO, f64::NAN, 0.0, 1.0);
        let mark = Mark::Path { pieces: vec![arc], closed: false, filled: false };
        let drawing = Drawing { items: vec![Item { layer: Layer::Outline, mark }] };
        assert!(matches!(sound(&drawing), Err(ExportFault::NotFinite { .. })));
        let drawing = Drawing { items: vec![label("a\u{7}", DVec2::ZERO)] };
        assert_eq!(sound(&drawing), Err(ExportFault::Name { name: "a\u{7}".to_owned() }));
    }
}
