//! Where a window begins without a design: a new one is begun, or one of the folder opened.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use design::Unit;
use edit::FORMS;
use kiss3d::egui::{
    Area, Button, Context, Frame, Grid, Id, Order, Rect, Response, RichText, TextEdit, Ui, Vec2, pos2,
};

use crate::desk::field::choose_all;
use crate::desk::{keys, style};

/// Designs of the folder that are offered; more are counted.
const MOST_FILES: usize = 14;
/// Width of a field, pixels.
const FIELD: f32 = 220.0;
/// Around the page, pixels.
const MARGIN: Vec2 = Vec2::splat(28.0);
/// Between its two halves, pixels.
const BETWEEN: f32 = 80.0;

/// What is asked for.
pub(crate) struct Start {
    folder: PathBuf,
    name: String,
    unit: Unit,
    form: usize,
    length: String,
    breadth: String,
    /// The designs of the folder.
    files: Vec<PathBuf>,
    /// Why there is no such blade.
    why: Option<String>,
    dark: bool,
    /// Where the controls are, by name.
    pub(crate) places: BTreeMap<String, Rect>,
}

impl Start {
    /// The page for a folder, with sizes to begin from.
    pub(crate) fn new(folder: &Path, dark: bool) -> Start {
        Start {
            folder: folder.to_owned(),
            name: "My seax".to_owned(),
            unit: Unit::Millimetre,
            form: 1,
            length: "330".to_owned(),
            breadth: "34".to_owned(),
            files: designs(folder),
            why: None,
            dark,
            places: BTreeMap::new(),
        }
    }

    /// Draws the page; the design that is to be shown, once there is one.
    pub(crate) fn draw(&mut self, ctx: &Context) -> Option<PathBuf> {
        style::dress(ctx, self.dark);
        keys::leave_no_letters(ctx);
        self.places.clear();
        let (mut chosen, sheet) =
            (None, Frame::new().fill(style::ink(self.dark).sheet).inner_margin(MARGIN.x));
        let room = ctx.viewport_rect();
        Area::new(Id::new("start")).order(Order::Middle).fixed_pos(pos2(0.0, 0.0)).show(ctx, |ui| {
            ui.set_min_size(room.size());
            sheet.show(ui, |ui| {
                ui.set_min_size(room.size() - 2.0 * MARGIN);
                ui.horizontal_top(|ui| {
                    chosen = ui.vertical(|ui| self.new_blade(ui)).inner;
                    ui.add_space(BETWEEN);
                    chosen = chosen.take().or(ui.vertical(|ui| self.open(ui)).inner);
                });
            });
        });
        chosen
    }

    fn note(&mut self, name: &str, response: Response) -> Response {
        self.places.insert(name.to_owned(), response.rect);
        response
    }

    /// The fields of a new blade.
    fn new_blade(&mut self, ui: &mut Ui) -> Option<PathBuf> {
        ui.heading("Begin a blade");
        ui.add_space(10.0);
        Grid::new("new").num_columns(2).spacing([14.0, 8.0]).show(ui, |ui| {
            self.text(ui, "Name", |start| &mut start.name);
            ui.label("Unit");
            ui.horizontal(|ui| self.units(ui));
            ui.end_row();
            ui.label("Outline");
            ui.vertical(|ui| self.forms(ui));
            ui.end_row();
            self.text(ui, "Length", |start| &mut start.length);
            self.text(ui, "Breadth at the shoulder", |start| &mut start.breadth);
        });
        ui.add_space(10.0);
        if let Some(why) = &self.why {
            ui.label(RichText::new(why).color(style::ink(self.dark).alarm));
        }
        let response = ui.button("Make it");
        if !self.note("make it", response).clicked() {
            return None;
        }
        match self.made() {
            Ok(path) => Some(path),
            Err(why) => {
                self.why = Some(why);
                None
            }
        }
    }

    fn text(&mut self, ui: &mut Ui, label: &str, field: impl Fn(&mut Start) -> &mut String) {
        let name = ui.label(label);
        let edit = TextEdit::singleline(field(self)).desired_width(FIELD);
        let response = ui.add(edit).labelled_by(name.id);
        if response.gained_focus() {
            choose_all(ui.ctx(), response.id, field(self));
        }
        self.note(&label.to_lowercase(), response);
        ui.end_row();
    }

    fn units(&mut self, ui: &mut Ui) {
        for (unit, label, length, breadth) in
            [(Unit::Millimetre, "mm", "330", "34"), (Unit::Inch, "inches", "13", "1 3/8")]
        {
            let response = ui.add(Button::new(label).selected(self.unit == unit));
            if self.note(label, response).clicked() && self.unit != unit {
                (self.unit, self.length, self.breadth) = (unit, length.to_owned(), breadth.to_owned());
            }
        }
    }

    fn forms(&mut self, ui: &mut Ui) {
        for (i, form) in FORMS.into_iter().enumerate() {
            let response = ui.radio(self.form == i, form.replace('-', " "));
            if self.note(form, response).clicked() {
                self.form = i;
            }
        }
    }

    /// The new design's file, written where nothing is yet.
    fn made(&self) -> Result<PathBuf, String> {
        let size = |text: &str, what: &str| {
            design::length(text, self.unit)
                .map_err(|bad| format!("{what} {}: write {}", bad.why, bad.example))
        };
        let (length, breadth) = (size(&self.length, "the length")?, size(&self.breadth, "the breadth")?);
        let text = edit::begin(&self.name, self.unit, FORMS[self.form], length, breadth);
        let design = design::read(text.as_bytes()).map_err(|problems| match problems.first() {
            Some(problem) => format!("{}: {}", problem.message, problem.help),
            None => "this is no blade".to_owned(),
        })?;
        let path = self.folder.join(format!("{}.toml", design.slug()));
        files::write_new(&path, text.as_bytes()).map_err(|why| why.to_string())?;
        Ok(path)
    }

    /// The designs of the folder.
    fn open(&mut self, ui: &mut Ui) -> Option<PathBuf> {
        ui.heading("Or open one of this folder");
        ui.add_space(10.0);
        if self.files.is_empty() {
            ui.label("There is no design here yet.");
        }
        let mut chosen = None;
        for path in self.files.clone().into_iter().take(MOST_FILES) {
            let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            let response = ui.button(&name);
            if self.note(&format!("open {name}"), response).clicked() {
                chosen = Some(path);
            }
        }
        if self.files.len() > MOST_FILES {
            ui.label(format!("and {} more: `seaxwright view FILE` opens any", self.files.len() - MOST_FILES));
        }
        chosen
    }
}

/// The files of a folder that end as designs do, by name.
fn designs(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let mut all: Vec<PathBuf> = entries.map(|entry| entry.path()).filter(|path| is_design(path)).collect();
    all.sort();
    all
}

fn is_design(path: &Path) -> bool {
    path.extension().is_some_and(|end| end == "toml")
        && path.is_file()
        && path.file_name().is_some_and(|n| n != "Cargo.toml")
}
