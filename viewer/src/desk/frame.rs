//! The desk: what the smith sees and sets, whether in a window or in a picture.

use std::collections::BTreeMap;

use glam::DVec3;
use kiss3d::egui::{self, Context, Id, LayerId, Order, Pos2, Rect};
use look::{From, Mark};
use serde_json::{Value, json};

use crate::draw::camera::Camera;
use crate::desk::marks;
use crate::file::problems::Told;
use crate::draw::scene::Spread;
use crate::model::section::Cut;
use crate::model::settings::Settings;
use crate::model::shown::Shown;
use crate::desk::style::{self, Ink};
use crate::desk::strip;
use crate::desk::controls;
use crate::model::legend;

/// Below this height (pixels) the window has no room for the section beside the blade.
const ROOM: f32 = 560.0;
/// Room for the marks' words above the blade, pixels.
const ABOVE: f32 = 30.0;

/// Something that the smith asked for in a frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ask {
    /// Look from a side.
    Face(From),
    /// Bring the whole blade into sight.
    Fit,
    /// Save a picture.
    Save,
    /// Close the window.
    Close,
}

/// The desk.
pub(crate) struct Desk {
    pub(crate) settings: Settings,
    pub(crate) shown: Option<Box<Shown>>,
    /// The file's name.
    pub(crate) file: String,
    pub(crate) problems: Vec<Told>,
    /// Something to say in a line: why the file can't be read, or where a picture was saved.
    pub(crate) notice: Option<String>,
    /// The section at the station, kept until another is asked for.
    pub(crate) cut: Option<Cut>,
    /// The layers of that section as the window's own texture.
    pub(crate) layers: Option<egui::TextureHandle>,
    /// Whether the station is being dragged along the blade.
    pub(crate) held: bool,
    /// What of the window is free for the blade.
    pub(crate) free: Rect,
    /// Where the controls were drawn, by name.
    pub(crate) places: BTreeMap<String, Rect>,
    pub(crate) asked: Vec<Ask>,
}

/// What is drawn around the blade.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Around {
    /// All of it.
    Everything,
    /// What a picture needs to be understood.
    Key,
    /// Nothing.
    Nothing,
}

impl Desk {
    pub(crate) fn new(file: String, settings: Settings) -> Desk {
        Desk {
            settings,
            shown: None,
            file,
            problems: Vec::new(),
            notice: None,
            cut: None,
            layers: None,
            held: false,
            free: Rect::ZERO,
            places: BTreeMap::new(),
            asked: Vec::new(),
        }
    }

    pub(crate) fn ink(&self) -> Ink {
        style::ink(self.settings.dark)
    }

    /// The station shown, mm.
    pub(crate) fn station(&self) -> Option<f64> {
        Some(self.settings.station(self.shown.as_ref()?.facts.sections.range()))
    }

    /// Chooses a station, mm.
    pub(crate) fn choose(&mut self, station: f64) {
        if let Some(shown) = &self.shown {
            let (from, to) = shown.facts.sections.range();
            self.settings.station = Some(station.clamp(from, to));
        }
    }

    /// Forgets the section: the blade is another one.
    pub(crate) fn forget_cut(&mut self) {
        (self.cut, self.layers) = (None, None);
    }

    pub(crate) fn spread(&self) -> Spread {
        let bars = self.shown.as_ref().and_then(|s| s.design.billet()).map_or(0, |b| b.bars().len());
        let breadth = self.shown.as_ref().map_or(0.0, |s| s.bounds.1.y - s.bounds.0.y);
        let apart = if bars == 0 { 0.0 } else { self.settings.apart };
        Spread::new(self.settings.thicker, apart, breadth, bars)
    }

    /// The box around all that is drawn of the blade, mm.
    pub(crate) fn bounds(&self) -> (DVec3, DVec3) {
        self.shown.as_ref().map_or((DVec3::NEG_ONE, DVec3::ONE), |s| self.spread().bounds(s.bounds))
    }

    fn look_up_cut(&mut self) {
        let station = self.station();
        let fresh = self.cut.as_ref().map(|c| c.at) != station;
        if let Some((shown, x)) = self.shown.as_ref().zip(station).filter(|_| fresh) {
            // At the very point there is no section left: the last hundredth of a millimetre stands for it.
            let (from, to) = shown.facts.sections.range();
            let cut = Cut::of(shown, x).or_else(|| Cut::of(shown, x.clamp(from + 0.01, to - 0.01)));
            self.cut = cut.map(|c| Cut { at: x, ..c });
            self.layers = None;
        }
    }

    /// Draws everything that is no steel, and takes what mouse and keys ask for.
    pub(crate) fn draw(&mut self, ctx: &Context, camera: &mut Camera, around: Around) {
        style::dress(ctx, self.settings.dark);
        self.places.clear();
        self.look_up_cut();
        let window = ctx.viewport_rect();
        let top = match around {
            Around::Everything => controls::draw(ctx, self),
            Around::Key => controls::title(ctx, self),
            Around::Nothing => 0.0,
        };
        let strip = around != Around::Nothing && window.height() > ROOM && self.shown.is_some();
        let bottom = if strip { strip::draw(ctx, self, around) } else { window.bottom() };
        if around == Around::Everything {
            controls::problems(ctx, self, bottom);
        }
        let above = if self.settings.marks.is_empty() { 0.0 } else { ABOVE };
        self.free = Rect::from_min_max(
            egui::pos2(0.0, (top + above).min(bottom)),
            egui::pos2(window.right(), bottom),
        );
        let painter = ctx.layer_painter(LayerId::new(Order::Background, Id::new("on the blade")));
        let painter = painter.with_clip_rect(Rect::from_min_max(egui::pos2(0.0, top), self.free.max));
        self.over_the_blade(ctx, &painter, camera, around);
    }

    fn over_the_blade(
        &mut self,
        ctx: &Context,
        painter: &egui::Painter,
        camera: &mut Camera,
        around: Around,
    ) {
        let (ink, spread) = (self.ink(), self.spread());
        let Some(shown) = &self.shown else {
            if self.problems.is_empty() {
                let middle = self.free.center();
                painter.text(
                    middle,
                    egui::Align2::CENTER_CENTER,
                    "Reading the design",
                    style::letters(style::TEXT),
                    ink.faint,
                );
            }
            return;
        };
        let marks: Vec<Mark> = self.settings.marks.iter().copied().collect();
        marks::draw(painter, &marks, shown, camera, &spread, &ink);
        let Some(ring) = self.cut.as_ref().map(|cut| marks::ring(cut, camera, &spread)) else { return };
        if around != Around::Nothing {
            marks::draw_ring(painter, &ring, self.held, &ink);
        }
        if around == Around::Everything {
            self.drag(ctx, camera, &ring);
        }
    }

    /// Lets the mouse take hold of the section's line and draw it along the blade.
    fn drag(&mut self, ctx: &Context, camera: &mut Camera, ring: &[Vec<Pos2>]) {
        let (at, pressed, down) =
            ctx.input(|i| (i.pointer.latest_pos(), i.pointer.primary_pressed(), i.pointer.primary_down()));
        let Some(at) = at else { return };
        let over = self.free.contains(at) && !ctx.egui_is_using_pointer() && marks::reaches(ring, at);
        self.held = down && (self.held || (pressed && over));
        camera.hold(self.held || over);
        if self.held || over {
            ctx.set_cursor_icon(egui::CursorIcon::ResizeHorizontal);
        }
        if let Some(station) = marks::station(camera, at).filter(|_| self.held) {
            self.choose(station);
        }
    }

    /// What is shown, for the trace: settings, words, and where things are, in pixels.
    pub(crate) fn state(&self, camera: &Camera) -> Value {
        let rect = |r: &Rect| json!([r.min.x, r.min.y, r.max.x, r.max.y]);
        let places: BTreeMap<&str, Value> = self.places.iter().map(|(n, r)| (n.as_str(), rect(r))).collect();
        let problems: Vec<Value> =
            self.problems.iter().map(|p| json!({ "line": p.line, "message": p.message })).collect();
        let shown = self.shown.as_ref();
        let name = |v: &dyn std::fmt::Debug| format!("{v:?}").to_lowercase();
        json!({
            "name": shown.map(|s| s.design.name()),
            "ground": shown.map(|s| s.ground.name()),
            "colour": shown.map(|s| name(&s.colour)),
            "length_mm": shown.map(|s| s.design.blade().length()),
            "station_mm": self.station(),
            "thickness_mm": self.cut.as_ref().map(|c| c.thickness),
            "widths_mm": self.cut.as_ref().map(|c| &c.widths),
            "apart": self.settings.apart,
            "thicker": self.settings.thicker,
            "marks": self.settings.marks.iter().map(|m| name(m)).collect::<Vec<_>>(),
            "dark": self.settings.dark,
            "legend": shown.map(|s| legend::of(s).words()),
            "problems": problems,
            "notice": self.notice,
            "camera": camera.state(),
            "free": rect(&self.free),
            "places": places,
            "bars": self.seen_bars(camera),
        })
    }

    /// The middle of each bar's side at the station, and its colour.
    fn seen_bars(&self, camera: &Camera) -> Vec<Value> {
        let spread = self.spread();
        let each = self.cut.iter().flat_map(|cut| cut.bands.iter().map(|band| (cut.at, band)));
        each.filter_map(|(at, (bar, slices))| {
            let middle = 0.5 * (slices.first()?[0] + slices.last()?[0]);
            let side =
                slices.iter().min_by(|a, b| (a[0] - middle).abs().total_cmp(&(b[0] - middle).abs()))?;
            // A little before the section's line, which is drawn over the steel.
            let pixel = |x: f64| camera.pixel(spread.point(*bar, DVec3::new(x, middle, side[2])));
            let (here, line) = (pixel(at - 6.0), pixel(at));
            let bar = (*bar)?;
            Some(json!({
                "bar": bar,
                "pixel": [here.x, here.y],
                "line": [line.x, line.y],
                "srgb": laminate::bar_colour(bar).srgb,
            }))
        })
        .collect()
    }
}
