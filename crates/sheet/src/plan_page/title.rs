//! The title block: what blade it is, and what it weighs at each stage.

use blade::Stage;
use design::{Design, Figures, Summary};
use forge::Plan;
use glam::DVec2;

use crate::sheet::Look;
use crate::typesetting::paragraph::Align;
use crate::typesetting::shape::MM;
use crate::typesetting::strip::{Strip, spaced};
use crate::typesetting::table::{Cell, Table, Track};
use crate::typesetting::text::{Text, field};

/// The title block of a design.
pub(crate) fn title(design: &Design, plan: Option<&Plan>, summary: &Summary, look: &Look<'_>) -> Vec<Strip> {
    let width = look.width();
    let mut strips = spaced(fields().strips(width), 0.0, 3.0 * MM);
    strips.extend(spaced(facts(design, plan, summary, look).strips(width), 0.0, 3.0 * MM));
    strips.extend(weights(design, summary).strips(width));
    strips
}

/// Room for who, when and which.
fn fields() -> Table {
    let columns = [1.0, 1.0, 0.7].map(|share| (Track::Share(share), Align::Left));
    let mut table = Table::plain(columns.into(), DVec2::new(0.0, 3.0));
    table.row(["Smith", "Date", "Number"].map(|label| Cell::from(field(label))));
    table
}

/// Steels and fittings on the left, sizes on the right.
fn facts(design: &Design, plan: Option<&Plan>, summary: &Summary, look: &Look<'_>) -> Table {
    let (figures, unit) = (design.figures(), look.figures.unit.name());
    let tang = design.blade().spec().tang.length;
    let breadth = design.blade().loft(Stage::Finished).station(0.0).map(|s| s.breadth);
    let length = |mm: f64| format!("{} {unit}", figures.dimension(mm));
    let steels = plan.map(|p| p.steel_g.iter().map(|s| s.0.as_str()).collect::<Vec<_>>().join(", "));
    let mounted: Vec<_> =
        design.fittings().iter().map(|f| format!("{} {}", f.name, figures.weight(f.mass))).collect();
    let mounted = if mounted.is_empty() { "none".to_owned() } else { mounted.join(", ") };
    let columns = [
        (Track::Auto, Align::Left),
        (Track::Share(1.0), Align::Left),
        (Track::Auto, Align::Left),
        (Track::Auto, Align::Right),
    ];
    let mut table = Table::plain(columns.into(), DVec2::new(3.0, 2.4));
    let mut row = |label: &str, value: Text, size: &str, figure: String| {
        table.row([Text::note(label), value, Text::note(size), Text::from(figure)].map(Cell::from));
    };
    row(
        "Steel",
        steels.map_or_else(|| field(""), Text::from),
        "Length overall",
        length(tang + summary.length_mm),
    );
    row("Fittings", mounted.into(), "Blade, shoulder to point", length(summary.length_mm));
    row("Balance measured from", format!("the {}", summary.measured_from).into(), "Tang", length(tang));
    row(
        "Lengths in",
        look.unit_words().into(),
        "Breadth at the shoulder",
        breadth.map_or_else(String::new, length),
    );
    table
}

/// What it weighs and where it balances, stage by stage.
fn weights(design: &Design, summary: &Summary) -> Table {
    let (figures, bare) = (design.figures(), design.fittings().is_empty());
    let (share, text) = ((Track::Share(1.0), Align::Right), (Track::Share(1.0), Align::Left));
    let last = (Track::Share(2.0), Align::Left);
    let mut table = if bare {
        Table::new([text, share, last], ["Stage", "Bare steel", "Point of balance"])
    } else {
        let head = ["Stage", "Bare steel", "With fittings", "Point of balance, with fittings"];
        Table::new([text, share, share, last], head)
    };
    for (stage, s) in Stage::ALL.iter().filter_map(|stage| summary.stages.get_key_value(stage.name())) {
        let mounted = (!bare).then(|| figures.weight(s.mass_g));
        let cells = [(*stage).to_owned(), figures.weight(s.steel_mass_g)].into_iter().chain(mounted);
        table.row(cells.chain([balance(s.balance_from_guard_mm, summary, figures)]).map(Cell::from));
    }
    table
}

fn balance(mm: f64, summary: &Summary, figures: Figures) -> String {
    let side = if mm < 0.0 { "behind" } else { "ahead of" };
    format!("{} {} {side} the {}", figures.length(mm.abs()), figures.unit.name(), summary.measured_from)
}
