//! The tip before it is forged up.

use design::{Figures, edge_curve};
use forge::{Plan, TipPreform};
use glam::DVec2;

use crate::sheet::Look;
use crate::typesetting::paragraph::Align;
use crate::typesetting::strip::{Strip, heading, paragraph, part};
use crate::typesetting::table::{Cell, Rules, Table, Track};
use crate::typesetting::text::Text;

/// The piece that the tip is forged up from.
pub(crate) fn tip(plan: &Plan, look: &Look<'_>) -> Vec<Strip> {
    let (width, figures, unit) = (look.width(), look.figures, look.figures.unit.name());
    let mut strips = heading(plan.tip.heading(), width);
    match &plan.tip {
        TipPreform::Cut { .. } | TipPreform::Impossible { .. } => {
            let words = plan.tip.instead(figures).unwrap_or_default();
            strips.extend(paragraph(&words.into(), width));
        }
        TipPreform::Straight {
            start_mm, edge_mm, breadths_mm, forged_between_mm, widest_leeway_mm, ..
        } => {
            let (start, edge) = (figures.dimension(*start_mm), figures.dimension(*edge_mm));
            let layers =
                if plan.stock.one_steel().is_some() { "" } else { ", so that the layers follow the edge" };
            let mut words = format!(
                "From the blade's station {start} {unit} on, cut the bar's end at the back and leave its edge side straight, {edge} {unit} \
                 long; that side is then forged up to the curve{layers}. Cut it to the template page or \
                 the gauge tip-preform. The breadths below count along the edge from that station towards the point."
            );
            if let (Some(between), Some(widest)) = (forged_between_mm, widest_leeway_mm) {
                words += &format!(" {}", edge_curve(*between, *widest, figures));
            }
            strips.extend(paragraph(&words.into(), width));
            strips.extend(breadths(&plan.tip, breadths_mm, figures).strips(width));
        }
    }
    part(true, strips)
}

/// Breadths along the edge, with room for the measured ones.
fn breadths(tip: &TipPreform, breadths_mm: &[[f64; 2]], figures: Figures) -> Table {
    let mut columns = vec![(Track::Auto, Align::Left)];
    columns.extend(breadths_mm.iter().map(|_| (Track::Share(1.0), Align::Right)));
    let (head, rows, inset) = (Vec::new(), Vec::new(), DVec2::new(1.8, 1.5));
    let mut table = Table { columns, head, rows, inset, rules: Rules::All, least: 0.0 };
    let mut row = |label: &str, cells: Vec<String>| {
        table.row(std::iter::once(Cell::from(Text::bold(label))).chain(cells.into_iter().map(Cell::from)));
    };
    row("Along the edge", breadths_mm.iter().map(|[s, _]| figures.station(*s)).collect());
    row("Breadth", breadths_mm.iter().map(|row| tip.told(*row, |mm| figures.length(mm))).collect());
    row("Measured", breadths_mm.iter().map(|_| String::new()).collect());
    table
}
