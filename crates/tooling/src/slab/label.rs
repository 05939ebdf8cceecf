//! Engraved words: how deep they are cut, how much room they keep, and where they stand on a plate.

use glam::DVec2;

use crate::slab::contour::{Motion, Region};
use crate::slab::lettering::Lettering;
use crate::slab::writer::Writer;
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
pub(crate) fn room(writer: &impl Writer) -> f64 {
    ROOM * writer.height()
}

/// From one base line to the next, mm; it holds for capitals and figures.
pub(crate) fn line(writer: &impl Writer) -> f64 {
    writer.height() + room(writer)
}

/// Width of the widest of some lines, mm.
pub(crate) fn widest<'a>(writer: &impl Writer, lines: impl IntoIterator<Item = &'a String>) -> f64 {
    lines.into_iter().map(|text| writer.width(text)).fold(0.0, f64::max)
}

/// A line of text that starts at `at` (mm) and runs along +x on its base line: its regions, and their least and greatest
/// coordinates (`at` twice where nothing shows).
pub(crate) fn label(lettering: &Lettering, text: &str, at: DVec2) -> (Vec<Region>, [DVec2; 2]) {
    let motion = Motion::shift(at);
    let regions: Vec<Region> = lettering.regions(text).iter().map(|r| r.moved(&motion)).collect();
    let bounds = regions.iter().map(|r| r.outer.bounds()).reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])]);
    (regions, bounds.unwrap_or([at, at]))
}

/// A line of text with its start, middle or end at `at` (mm): its marks.
pub(crate) fn anchored<W: Writer>(writer: &W, text: &str, at: DVec2, anchor: Anchor) -> Vec<W::Mark> {
    let back = match anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => 0.5 * writer.width(text),
        Anchor::End => writer.width(text),
    };
    writer.line(text, at - DVec2::new(back, 0.0)).0
}

/// As much of a slug, as a name in capitals, as fits into a width (mm), and what writes it: the whole name in smaller
/// letters sooner than a part of it; nothing where not even two letters fit.
pub(crate) fn fitting<W: Writer>(writer: &W, slug: &str, width: f64) -> (W, String) {
    let sizes = writer.sizes();
    let tries = names(slug).into_iter().flat_map(|name| sizes.iter().map(move |size| (*size, name.clone())));
    tries
        .into_iter()
        .find(|(size, name)| size.width(name) <= width + SLACK)
        .unwrap_or((*writer, String::new()))
}

/// Width that a name wants at least, mm: its first word's in the smallest letters, if that has at most
/// [`LONGEST_WORD`] letters.
pub(crate) fn least_name(writer: &impl Writer, slug: &str) -> f64 {
    let first: String = slug.split('-').next().unwrap_or_default().chars().take(LONGEST_WORD).collect();
    writer.sizes().last().map_or(0.0, |size| size.width(&first))
}

/// Rounding allowed when widths are compared, mm.
const SLACK: f64 = 1e-9;

/// Letters of the longest word for which a small gauge is made broader: longer ones are cut.
const LONGEST_WORD: usize = 10;

/// The name, then ever shorter forms of it: without its last words, then its first letters.
pub(crate) fn shorter(name: &str) -> Vec<String> {
    let words: Vec<&str> = name.split_whitespace().collect();
    let by_words = (1..=words.len()).rev().map(|n| words[..n].join(" "));
    let first: Vec<char> = words.first().map(|w| w.chars().collect()).unwrap_or_default();
    let by_letters = (2..first.len()).rev().map(|n| first[..n].iter().collect::<String>() + ".");
    by_words.chain(by_letters).collect()
}

/// A slug as a name in capitals, then ever shorter forms of it.
pub(crate) fn names(slug: &str) -> Vec<String> {
    shorter(&slug.replace('-', " ").to_ascii_uppercase())
}

/// What a note says of words that found no room on a part; nothing where all did.
pub(crate) fn no_room(missing: &[&str]) -> String {
    match missing {
        [] => String::new(),
        [rest @ .., last] => {
            let all =
                if rest.is_empty() { (*last).to_owned() } else { format!("{} or {last}", rest.join(", ")) };
            format!(" No room on it for {all}: write that on by hand.")
        }
    }
}

/// What a note says where not even a short name has room.
pub(crate) const NO_ROOM_FOR_NAME: &str = " No room on it for the blade's name: write that on by hand.";

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
        let short = |letters: f64| fitting(&lettering, "inch-barge-seax", (letters + 0.5) * one).1;
        assert_eq!([short(15.0), short(14.0), short(3.0)], ["INCH BARGE SEAX", "INCH BARGE", "IN."]);
        assert_eq!(short(1.0), "");
        assert!((least_name(&lettering, "inch-barge-seax") - 4.0 * one).abs() < 1e-9);
    }
}
