//! The table of what to take off at each station and height.

use design::Figures;
use glam::DVec2;
use measured::{Advice, Day, Spot, TakeOff};

use crate::typesetting::paragraph::Align;
use crate::typesetting::strip::{Strip, heading, lead};
use crate::typesetting::table::{Cell, Rules, Table, Track};
use crate::typesetting::text::Text;

/// What a head stands over: the breadth, then thicknesses from the edge up, the back last.
const HEADS: [&str; 5] = ["Breadth", "Low", "Middle", "High", "Back"];

/// The table with its heading.
pub(crate) fn take_off(day: &Day, figures: Figures, width: f64) -> Vec<Strip> {
    let mut strips = heading(&format!("To take off each side for the {} stage", day.next), width);
    let words = "Stations from the shoulder. Bold: the least to take off each side (R right, L left where they differ) and off the \
                 edge: grind to just short of it, then measure. What ± leaves open is off it already; below it the size now → planned. Done: \
                 nothing to take off. Check: known too little yet, measure first. Hatched: gone, grind no more. The empty field is for your \
                 next reading, as high above the edge as it says.";
    strips.extend(lead(Text::note(words), width));
    strips.extend(table(&day.take_off, figures).strips(width));
    strips
}

/// Stations down, places across.
fn table(rows: &[TakeOff], figures: Figures) -> Table {
    let mut columns = vec![(Track::Auto, Align::Right)];
    columns.extend(HEADS.iter().flat_map(|_| [1.65, 1.0]).map(|share| (Track::Share(share), Align::Right)));
    let heads = HEADS.map(|head| Cell::from(Text::bold(head)).over(2, Align::Centre));
    let head = [Cell::from(Text::bold("At")).over(1, Align::Centre)].into_iter().chain(heads).collect();
    let (inset, rules) = (DVec2::new(1.0, 1.2), Rules::All);
    let mut table = Table { columns, head, rows: Vec::new(), inset, rules, least: 0.0 };
    for row in rows {
        let places = places(row, figures);
        let missing = HEADS.len().saturating_sub(places.len());
        let cells = std::iter::once(Cell::from(Text::bold(figures.station(row.station_mm))));
        let empty = (0..2 * missing).map(|_| Cell::empty());
        table.row(cells.chain(places.iter().flat_map(cells_of)).chain(empty));
    }
    table
}

/// A place's figures, and room for its next reading.
fn cells_of(place: &Place) -> [Cell; 2] {
    let sides =
        place.sides.iter().map(side_words).reduce(|a, b| a.then(Text::newline()).then(b)).unwrap_or_default();
    let band = Text::note(format!(" ±{}", place.band)).then(Text::newline());
    let words = sides.then(band).then(Text::note(format!("{} → {}", place.now, place.planned)));
    let figures = Cell::from(words);
    let figures = if place.sides.iter().any(|side| side.gone) { figures.hatched() } else { figures };
    let up = place.up.as_ref().map_or_else(String::new, |up| format!("{up} up"));
    [figures, Cell::from(Text::note(up)).corner()]
}

/// What to take off a side, in figures and words.
fn side_words(side: &Over) -> Text {
    let name = if side.side.is_empty() { Text::default() } else { Text::note(format!("{} ", side.side)) };
    name.then(match &side.figure {
        None if side.read => Text::note("check"),
        None => Text::note("done"),
        Some(figure) if side.gone => Text::bold(format!("{figure} gone")),
        Some(figure) => Text::bold(figure.as_str()),
    })
}

/// A breadth or a thickness.
struct Place {
    /// Above the edge; none for a breadth.
    up: Option<String>,
    now: String,
    /// How well what is to come off is known, at 95 %.
    band: String,
    planned: String,
    /// One where both sides are alike, else the right one first.
    sides: Vec<Over>,
}

/// What to take off, or what is gone.
#[derive(PartialEq)]
struct Over {
    /// `R` for right, `L` for left, or nothing for both.
    side: &'static str,
    /// None where there is nothing to take off.
    figure: Option<String>,
    gone: bool,
    /// Whether it is known too little to take anything off.
    read: bool,
}

/// A station's breadth first, then its thicknesses from the edge up, the back last.
fn places(row: &TakeOff, figures: Figures) -> Vec<Place> {
    std::iter::once(breadth(row, figures))
        .chain(row.spots.iter().map(|spot| thickness(spot, figures)))
        .collect()
}

fn breadth(row: &TakeOff, figures: Figures) -> Place {
    let length = |mm| figures.length(mm);
    Place {
        up: None,
        now: length(row.breadth_mm),
        band: length(row.breadth_band_mm),
        planned: length(row.breadth_mm - row.breadth_over_mm),
        sides: vec![over("", row.breadth.cut(figures.length_step()), length)],
    }
}

/// A thickness with what to take off each side, told once where both are alike.
fn thickness(spot: &Spot, figures: Figures) -> Place {
    let thickness = |mm| figures.thickness(mm);
    let [right, left] = [spot.right, spot.left].map(|advice| advice.cut(figures.thickness_step()));
    let both = over("", right, thickness);
    let sides = if both == over("", left, thickness) {
        vec![both]
    } else {
        vec![over("R", right, thickness), over("L", left, thickness)]
    };
    Place {
        up: Some(figures.length(spot.height_mm)),
        now: thickness(spot.now_mm),
        band: thickness(spot.side_band_mm),
        planned: thickness(spot.planned_mm),
        sides,
    }
}

/// What to do on a side, in figures as fine as its caliper; nothing where they show a zero.
fn over(side: &'static str, advice: Advice, figure: impl Fn(f64) -> String) -> Over {
    let (mm, gone) = (advice.millimetres(), matches!(advice, Advice::Gone(_)));
    let some = gone || (mm > 0.0 && figure(mm) != figure(0.0));
    Over { side, figure: some.then(|| figure(mm.abs())), gone, read: advice == Advice::Read }
}

/// Whether any side of the last session's table is told apart from the other, and whether steel is gone anywhere.
#[cfg(test)]
pub(crate) fn sides(bench: &measured::Bench, design: &design::Design) -> [bool; 2] {
    let places: Vec<Place> =
        bench.last().take_off.iter().flat_map(|row| places(row, design.figures())).collect();
    let any = |test: fn(&Over) -> bool| places.iter().flat_map(|place| &place.sides).any(test);
    [any(|side| side.side == "L"), any(|side| side.gone)]
}

#[cfg(test)]
mod tests {
    use design::Unit;

    use super::*;

    #[test]
    fn sides_are_merged_where_alike_and_what_is_gone_is_told() {
        let told = |right, left| {
            let spot = Spot {
                height_mm: 9.0,
                now_mm: 5.0,
                band_mm: 0.04,
                planned_mm: 4.0,
                right_mm: 0.5,
                left_mm: 0.5,
                side_band_mm: 0.02,
                right,
                left,
            };
            let place = thickness(&spot, Figures::of(Unit::Millimetre));
            assert_eq!([place.now, place.band], ["5.00", "0.02"]);
            place.sides.into_iter().map(|o| (o.side, o.figure, o.gone, o.read)).collect::<Vec<_>>()
        };
        let some = |figure: &str| Some(figure.to_owned());
        assert_eq!(
            told(Advice::Off(0.501), Advice::Off(0.499)),
            [("R", some("0.50"), false, false), ("L", some("0.49"), false, false)]
        );
        assert_eq!(told(Advice::Off(0.501), Advice::Off(0.509)), [("", some("0.50"), false, false)]);
        assert_eq!(
            told(Advice::Off(0.7), Advice::Gone(0.3)),
            [("R", some("0.70"), false, false), ("L", some("0.30"), true, false)]
        );
        assert_eq!(told(Advice::Leave, Advice::Off(0.001)), [("", None, false, false)]);
        assert_eq!(told(Advice::Read, Advice::Read), [("", None, false, true)]);
        assert_eq!(told(Advice::Gone(0.06), Advice::Gone(0.06)), [("", some("0.06"), true, false)]);
    }
}
