//! The bench page: what measuring has shown, to take back to the grinder.

use design::{Design, Paper};
use glam::DVec2;
use measured::{Bench, Day};

use crate::bench_page::hangs::hangs;
use crate::bench_page::shades::shades;
use crate::bench_page::take_off::take_off;
use crate::fault::SheetFault;
use crate::sheet::{Look, Sheet};
use crate::typesetting::face::Style;
use crate::typesetting::paragraph::Align;
use crate::typesetting::shape::MM;
use crate::typesetting::strip::{Strip, list, paragraph, part, spaced, subheading};
use crate::typesetting::table::{Cell, Table, Track};
use crate::typesetting::text::{BODY, NOTE, Text};
use crate::typesetting::words::counted;

/// Items of a list that are still kept on one page.
const WHOLE: usize = 12;

const CAUTIONS: &str = "Grinding throws *dust* and sparks: a respirator that fits, extraction. It is *loud*: ear protection. *Eyes:* safety \
     glasses always. The *edge* cuts from the first grinding on: clamp the blade, work away from the edge, cover it when you turn \
     away; no gloves at the belt, and no loose sleeves. Grind to just short of the figure, then measure again: you can't put steel back.";

/// The bench page of the last session of `bench`, which was measured on `design`, on paper standing upright. Figures are
/// in the design's unit, masses in g.
///
/// # Errors
/// [`SheetFault`] when a picture or the pages can't be made.
pub fn bench_page(design: &Design, bench: &Bench, paper: Paper) -> Result<Sheet, SheetFault> {
    let look = Look { name: &bench.history().name, kind: "Bench page", figures: design.figures(), paper };
    let (width, day) = (look.width(), bench.last());
    let mut flow = look.flow();
    flow.add(spaced(look.title(), 0.0, 3.0 * MM));
    flow.add(paragraph(&when(bench, day), width));
    flow.add(hangs(design, bench, width));
    flow.add(shades(bench, design.figures(), width)?);
    flow.add(cautions(width));
    flow.add(take_off(day, design.figures(), width));
    for (stage, sizes) in gone(bench) {
        flow.add(short_items(
            &format!("Already gone for the {stage} stage: at most as thick and as broad as now"),
            &sizes,
            width,
        ));
    }
    for (head, items) in told(bench) {
        flow.add(items_under(head, &items, width));
    }
    look.set(flow)
}

/// The day, and how many were measured before.
fn when(bench: &Bench, day: &Day) -> Text {
    let before = bench.history().days.len() - 1;
    let after =
        if before > 0 { format!(", after {} before", counted(before, "session")) } else { String::new() };
    let date = Text::from("Measured on ").then(Text::bold(day.date.as_str())).then(after);
    if day.stage == day.next {
        return date.then(". Already at the ").then(Text::bold(day.next)).then(" stage.");
    }
    let stage = format!(". Nearest to the {} stage; next: the ", day.stage);
    date.then(stage).then(Text::bold(day.next)).then(" stage.")
}

fn cautions(width: f64) -> Vec<Strip> {
    let mut strips = subheading("Cautions", width);
    strips.extend(paragraph(&Text::marked(CAUTIONS), width));
    part(true, strips)
}

/// Stages with what can't be reached of them any more.
pub(crate) fn gone(bench: &Bench) -> Vec<(&'static str, Vec<String>)> {
    let short = bench.last().ways.iter().filter(|way| !way.short.is_empty());
    short.map(|way| (way.stage, bench.short(way))).collect()
}

/// What else measuring has shown, under its headings.
pub(crate) fn told(bench: &Bench) -> [(&'static str, Vec<String>); 5] {
    let day = bench.last();
    [
        ("Bars about to be ground through", day.bars.iter().flat_map(|bars| bars.warnings.clone()).collect()),
        (
            "Readings to take again: likely slips of writing",
            day.set_aside.iter().map(|aside| aside.words.clone()).collect(),
        ),
        ("Weighed by weights and supports", bench.hilt()),
        ("Bent and twisted", bench.warp()),
        ("Notes", bench.notes()),
    ]
}

/// A list with its heading; nothing without items.
fn items_under(head: &str, items: &[String], width: f64) -> Vec<Strip> {
    if items.is_empty() {
        return Vec::new();
    }
    let mut strips = subheading(head, width);
    strips.extend(list(items.iter().map(|words| Text::from(words.as_str())), BODY, width));
    part(items.len() < WHOLE, strips)
}

/// The same for many short ones, in two columns.
fn short_items(head: &str, items: &[String], width: f64) -> Vec<Strip> {
    let columns = vec![(Track::Share(1.0), Align::Left); 2];
    let mut table = Table::plain(columns, DVec2::new(5.0, 1.8));
    let item = |words: &String| {
        let style = Style { grey: 0, ..NOTE };
        Cell::from(Text::styled(format!("•\u{a0}\u{a0}{words}"), style))
    };
    let (left, right) = items.split_at(items.len().div_ceil(2));
    for (i, words) in left.iter().enumerate() {
        table.row([item(words), right.get(i).map_or_else(Cell::empty, item)]);
    }
    let mut strips = subheading(head, width);
    strips.extend(table.strips(width));
    strips
}
