//! The weighing log: what the scales should show.

use blade::Stage;
use design::{Design, Summary, minus};
use forge::Plan;

use crate::typesetting::paragraph::Align;
use crate::typesetting::shape::MM;
use crate::typesetting::strip::{Strip, heading, lead, part, spaced};
use crate::typesetting::table::{Cell, Table, Track};
use crate::typesetting::text::Text;

/// Height of a row that is written into, mm.
pub(crate) const ROW: f64 = 7.6;
/// Most empty rows: more than anyone weighs.
const MOST: usize = 20;

const COLUMNS: [(Track, Align); 7] = [
    (Track::Share(1.0), Align::Left),
    (Track::Share(1.7), Align::Left),
    (Track::Share(1.0), Align::Right),
    (Track::Share(2.4), Align::Right),
    (Track::Share(1.0), Align::Right),
    (Track::Share(1.0), Align::Right),
    (Track::Share(1.5), Align::Left),
];

/// What is weighed on the way, and four empty rows.
pub(crate) fn log(design: &Design, plan: Option<&Plan>, summary: &Summary, width: f64) -> Vec<Strip> {
    let head = ["Date", "Stage", "Planned", "Balance planned", "Weight", "Balance", "Remarks"];
    let mut table = Table { least: ROW, ..Table::new(COLUMNS, head) };
    for [what, mass, balance] in weighings(design, plan, summary) {
        table.row(["", &what, &mass, &balance, "", "", ""].map(Cell::from));
    }
    (0..4).for_each(|_| table.row([""; 7].map(Cell::from)));
    let mut strips = heading("Weighing log", width);
    let from = match summary.measured_from {
        "guard" => "where the guard's front face sits, even before the guard is on",
        _ => "the shoulder",
    };
    let words = format!("Balance: measured from {from}, towards the point; minus means behind it.");
    strips.extend(lead(Text::note(words), width));
    strips.extend(table.strips(width));
    let strips = part(true, strips);
    spaced(strips, 7.0 * MM, 0.0)
}

/// Empty rows to the page's end: what is `left` of the paper (points) is for weighing more often.
pub(crate) fn empty_rows(width: f64, left: f64) -> Vec<Strip> {
    let room = (left / (ROW * MM)).floor() as usize;
    let mut table = Table { head: Vec::new(), least: ROW, ..Table::new(COLUMNS, [""; 7]) };
    (0..room.min(MOST)).for_each(|_| table.row([""; 7].map(Cell::from)));
    spaced(table.strips(width), 0.0, 0.0)
}

/// What is weighed on the way, its mass and where it balances: the steel, the bare blade at each stage, and the finished one
/// with its fittings, if any.
fn weighings(design: &Design, plan: Option<&Plan>, summary: &Summary) -> Vec<[String; 3]> {
    let figures = design.figures();
    let mass = |g: f64| figures.weight(g);
    let balance = |mm: f64, from: &str| format!("{} from the {from}", minus(&figures.length(mm)));
    let steel = plan.map(|plan| {
        let all = plan.steel_g.iter().map(|s| s.1).sum();
        ["all steel as cut".to_owned(), mass(all), "–".to_owned()]
    });
    let bare = Stage::ALL.iter().filter_map(|stage| summary.stages.get_key_value(stage.name()));
    let bare = bare.map(|(stage, s)| {
        let bare = s.centre_of_mass_mm[0] - design.guard_front();
        [format!("{stage}, bare"), mass(s.steel_mass_g), balance(bare, summary.measured_from)]
    });
    let whole = summary.stages.get(Stage::Finished.name()).filter(|_| !design.fittings().is_empty());
    let mounted = whole.map(|s| {
        let balance = balance(s.balance_from_guard_mm, summary.measured_from);
        ["finished, total with fittings".to_owned(), mass(s.mass_g), balance]
    });
    steel.into_iter().chain(bare).chain(mounted).collect()
}
