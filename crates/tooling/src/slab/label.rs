//! Engraved words: how deep they are cut, how much room they keep, and where they stand on a plate.

use glam::DVec2;

use crate::slab::contour::{Motion, Region};
use crate::slab::lettering::Lettering;
use drawing::Anchor;

/// Depth of an engraving, mm: three layers of 0.2 mm (common practice, no source).
const DEPTH: f64 = 0.6;

/// Clear material around engravings, mm: two lines of a common nozzle.
pub(crate) const CLEAR: f64 = 0.8;

/// The most of a plate's thickness that an engraving may take: two thirds stay to carry the plate.
const SHARE: f64 = 1.0 / 3.0;

/// Room around words in heights of capitals: the tail of a Q, 0.25 heights below the base line, stays clear of edges.
const ROOM: f64 = 0.45;

/// Depth of the engraving in a plate of this thickness, mm.
pub(crate) fn depth(thickness: f64) -> f64 {
    DEPTH.min(SHARE * thickness)
}

/// Room between words and whatever is next to them, mm; it holds for capitals and figures.
pub(crate) fn room(lettering: &Lettering) -> f64 {
    ROOM * lettering.height()
}

/// From one base line to the next, mm; it holds for capitals and figures.
pub(crate) fn line(lettering: &Lettering) -> f64 {
    lettering.height() + room(lettering)
}

/// Width of the widest of some lines, mm.
pub(crate) fn widest<'a>(lettering: &Lettering, lines: impl IntoIterator<Item = &'a String>) -> f64 {
    lines.into_iter().map(|text| lettering.width(text)).fold(0.0, f64::max)
}

/// A line of text that starts at `at` (mm) and runs along +x on its base line: its regions, and their least and greatest
/// coordinates (`at` twice where nothing shows).
pub(crate) fn label(lettering: &Lettering, text: &str, at: DVec2) -> (Vec<Region>, [DVec2; 2]) {
    let motion = Motion::shift(at);
    let regions: Vec<Region> = lettering.regions(text).iter().map(|r| r.moved(&motion)).collect();
    let bounds = regions.iter().map(|r| r.outer.bounds()).reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])]);
    (regions, bounds.unwrap_or([at, at]))
}

/// As [`label`], with the start, the middle or the end of the line at `at`.
pub(crate) fn anchored(lettering: &Lettering, text: &str, at: DVec2, anchor: Anchor) -> Vec<Region> {
    let back = match anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => 0.5 * lettering.width(text),
        Anchor::End => lettering.width(text),
    };
    label(lettering, text, at - DVec2::new(back, 0.0)).0
}

/// As many whole words of a slug as fit into a width (mm), in capitals; the beginning of the first where not even
/// that fits.
pub(crate) fn short_name(lettering: &Lettering, slug: &str, width: f64) -> String {
    let most = (width / lettering.width("0")).max(0.0) as usize;
    let ends = slug.match_indices('-').map(|(at, _)| at).chain([slug.len()]);
    let end = ends.filter(|&end| end <= most).max().unwrap_or(most.min(slug.len()));
    slug.chars().take(end).map(|c| if c == '-' { ' ' } else { c.to_ascii_uppercase() }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_stand_where_they_are_anchored() {
        let lettering = Lettering::least(0.4);
        let (width, at) = (lettering.width("GO"), DVec2::new(30.0, 7.0));
        let (regions, [low, high]) = label(&lettering, "GO", at);
        assert!(low.x > 30.0 && high.x < 30.0 + width && low.y > 6.8 && high.y < 12.3);
        let back = Motion::shift(DVec2::new(0.5 * width, 0.0));
        let middle = anchored(&lettering, "GO", at, Anchor::Middle);
        for (a, b) in middle.iter().zip(&regions) {
            let [p, q] = [a.moved(&back).outer.bounds(), b.outer.bounds()];
            assert!(p[0].distance(q[0]) < 1e-9 && p[1].distance(q[1]) < 1e-9);
        }
        let (none, bounds) = label(&lettering, " ", at);
        assert!(none.is_empty() && bounds == [at, at]);
    }

    #[test]
    fn capitals_keep_their_room() {
        let lettering = Lettering::least(0.4);
        for letter in ('A'..='Z').chain('0'..='9').chain("./+°×".chars()) {
            let (_, [low, high]) = label(&lettering, &letter.to_string(), DVec2::ZERO);
            let left = room(&lettering) + low.y.min(lettering.height() - high.y);
            assert!(left > 0.16 * lettering.height(), "{letter}: {left}");
        }
    }

    #[test]
    fn engravings_spare_thin_plates() {
        assert!((depth(4.0) - 0.6).abs() < 1e-12 && (depth(1.5) - 0.5).abs() < 1e-12);
    }

    #[test]
    fn names_are_cut_between_words() {
        let lettering = Lettering::least(0.4);
        let one = lettering.width("0");
        let short = |letters: f64| short_name(&lettering, "inch-barge-seax", (letters + 0.5) * one);
        assert_eq!([short(15.0), short(14.0), short(3.0)], ["INCH BARGE SEAX", "INCH BARGE", "INC"]);
    }
}
