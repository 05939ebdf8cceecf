//! Sizes at the station, and the bars' breadths there.

use blade::Station;
use kiss3d::egui::{Grid, RichText, Ui};
use look::Colour;

use crate::desk::board::Desk;
use crate::desk::colour_key::swatch;
use crate::desk::style::small;
use crate::figures;
use crate::model::legend;
use crate::model::shown::Shown;

/// Sizes at the station.
pub(crate) fn draw(ui: &mut Ui, desk: &Desk) {
    let Some((shown, cut)) = desk.shown.as_ref().zip(desk.cut.as_ref()) else { return };
    let unit = shown.design.unit();
    let mut rows = vec![
        Row::new("Breadth", figures::length(cut.range.1 - cut.range.0, unit)),
        Row::new("Thickness", figures::thickness(cut.thickness, unit)),
    ];
    if let Some(station) = &cut.station {
        rows.extend(station_rows(station, shown));
    }
    rows.push(Row::new("Whole blade", shown.design.figures().weight(shown.facts.swing.steel_mass)));
    table(ui, "sizes", &rows);
}

/// Sizes that only the blade has, not its tang.
fn station_rows(s: &Station, shown: &Shown) -> Vec<Row> {
    let unit = shown.design.unit();
    let mut rows = vec![Row::new("at the back", figures::thickness(s.back, unit))];
    if let (Some(grind), Some(height)) = (s.grind, s.grind_height) {
        let place = format!("{}, {} up", figures::thickness(grind, unit), figures::length(height, unit));
        rows.push(Row::new("at the grind line", place));
    }
    let edge = if s.edge > 0.0 { figures::thickness(s.edge, unit) } else { "sharp".to_owned() };
    rows.push(Row::new("at the edge", edge));
    if s.bevel_angle > 0.0 {
        let both = shown.design.blade().spec().section.sides == blade::Sides::Both;
        let sides = if both { "both sides" } else { "one side" };
        rows.push(Row::new("Bevel", format!("{:.1}°, {sides}", s.bevel_angle.to_degrees())));
    }
    rows
}

/// A row of the table of sizes.
struct Row {
    name: &'static str,
    figure: String,
}

impl Row {
    fn new(name: &'static str, figure: String) -> Row {
        Row { name, figure }
    }
}

/// Each bar's colour, name and breadth on the side at the station; where bars have colours, that of plugs too.
pub(crate) fn draw_bars(ui: &mut Ui, desk: &Desk) {
    let Some((shown, cut)) = desk.shown.as_ref().zip(desk.cut.as_ref()) else { return };
    let Some(billet) = shown.design.billet().filter(|_| !cut.widths.is_empty()) else { return };
    let (unit, ink, long) = (shown.design.unit(), desk.ink(), shown.colour == Colour::Bars);
    Grid::new("widths").num_columns(3).spacing([8.0, 3.0]).show(ui, |ui| {
        for (i, (bar, width)) in billet.bars().iter().zip(&cut.widths).enumerate() {
            if long {
                swatch(ui, laminate::bar_colour(i).srgb, &ink);
            }
            let here = if *width > 0.0 { figures::length(*width, unit) } else { "not here".to_owned() };
            ui.vertical(|ui| {
                ui.label(RichText::new(&bar.name).size(small(ui)));
                if long {
                    ui.label(RichText::new(legend::make(bar)).size(small(ui) - 2.0).color(ink.faint));
                }
            });
            ui.label(RichText::new(here).size(small(ui)).strong());
            ui.end_row();
        }
        if let Some(plugs) = legend::plugs(billet).filter(|_| long) {
            swatch(ui, plugs.srgb, &ink);
            ui.vertical(|ui| {
                ui.label(RichText::new(&plugs.name).size(small(ui)));
                ui.label(RichText::new(&plugs.detail).size(small(ui) - 2.0).color(ink.faint));
            });
            ui.end_row();
        }
    });
}

/// Names on the left, figures on the right.
fn table(ui: &mut Ui, name: &str, rows: &[Row]) {
    ui.vertical(|ui| {
        Grid::new(name).num_columns(2).spacing([10.0, 3.0]).show(ui, |ui| {
            for row in rows {
                ui.label(RichText::new(row.name).size(small(ui)));
                ui.label(RichText::new(&row.figure).size(small(ui)).strong());
                ui.end_row();
            }
        });
    });
}
