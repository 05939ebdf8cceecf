//! The desk: what the smith sees and sets, whether in a window or in a picture.

use std::collections::BTreeMap;

use glam::DVec3;
use kiss3d::egui::{self, Rect, Response};
use look::From;

use crate::desk::grips::Grip;
use crate::desk::name_list::Listed;
use crate::desk::style::{self, Ink};
use crate::draw::spread::Spread;
use crate::file::news::Fitted;
use crate::file::problems::LocatedProblem;
use crate::hand::before::Before;
use crate::hand::{Hand, Noting};
use crate::model::section::Cut;
use crate::model::settings::Settings;
use crate::model::shown::Shown;

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
    pub(crate) problems: Vec<LocatedProblem>,
    /// What the smith should think about on the blade shown, though it is no fault.
    pub(crate) warnings: Vec<String>,
    /// Something to say in a line: why the file can't be read, or where a picture was saved.
    pub(crate) notice: Option<String>,
    /// The section at the station, kept until another is asked for.
    pub(crate) cut: Option<Cut>,
    /// The layers of that section as the window's own texture.
    pub(crate) layers: Option<egui::TextureHandle>,
    /// Whether the station is being dragged along the blade.
    pub(crate) held: bool,
    /// The design in the smith's hand.
    pub(crate) hand: Hand,
    /// The readings that are typed.
    pub(crate) noting: Noting,
    /// The handle that the mouse holds.
    pub(crate) grip: Option<Grip>,
    /// The handle that the keys move, by its place among those of the blade.
    pub(crate) chosen: Option<usize>,
    /// Whether it says what it is: until the mouse is used again.
    pub(crate) tells_chosen: bool,
    /// The field that is typed in: its path and what stands there.
    pub(crate) typing: Option<(String, String)>,
    /// The field that was filled in last, and with what: where that was refused it stays, to be mended.
    pub(crate) given: Option<(String, String)>,
    /// The list of names that is open.
    pub(crate) listed: Option<Listed>,
    /// The field that shall be typed in next.
    pub(crate) type_next: Option<String>,
    /// The part of the panel that shall be brought into sight, once it is there.
    pub(crate) goes_to: Option<&'static str>,
    /// Whether a fit is being looked for.
    pub(crate) fitting: bool,
    /// What a fit found, until it is taken or left; its blade is the one shown.
    pub(crate) fitted: Option<Fitted>,
    /// The blade to compare with: as it was before the last change, or as it was kept.
    pub(crate) before: Option<Before>,
    /// Whether that is kept until the smith lets it go.
    pub(crate) keeps_before: bool,
    /// Whether the finer steps are wanted.
    pub(crate) fine: bool,
    /// Whether the keys are told.
    pub(crate) tells_keys: bool,
    /// What of the window is free for the blade.
    pub(crate) free: Rect,
    /// Where the controls were drawn, by name.
    pub(crate) places: BTreeMap<String, Rect>,
    pub(crate) asked: Vec<Ask>,
}

/// What is drawn around the blade.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Overlay {
    /// All of it.
    Everything,
    /// What a picture needs to be understood.
    Key,
    /// Nothing.
    Nothing,
}

impl Desk {
    /// Without a blade as yet.
    pub(crate) fn new(file: String, settings: Settings) -> Desk {
        Desk {
            settings,
            shown: None,
            file,
            problems: Vec::new(),
            warnings: Vec::new(),
            notice: None,
            cut: None,
            layers: None,
            held: false,
            hand: Hand::default(),
            noting: Noting::default(),
            grip: None,
            chosen: None,
            tells_chosen: false,
            typing: None,
            given: None,
            listed: None,
            type_next: None,
            goes_to: None,
            fitting: false,
            fitted: None,
            before: None,
            keeps_before: false,
            fine: false,
            tells_keys: false,
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

    /// Takes the design into the hand, or out of it.
    pub(crate) fn take_in_hand(&mut self, on: bool) {
        self.hand.on = on;
        self.noting.on &= !on;
        self.asked.push(Ask::Fit);
        (self.grip, self.chosen, self.fitted) = (None, None, None);
        (self.typing, self.given) = (None, None);
        if !on {
            self.hand.drop_it();
            (self.before, self.keeps_before) = (None, false);
        }
    }

    /// Takes readings, or leaves off.
    pub(crate) fn measure(&mut self, on: bool) {
        if self.hand.on {
            self.take_in_hand(false);
        }
        self.noting.turn(on);
        self.asked.push(Ask::Fit);
    }

    /// Remembers the blade as it is before a change.
    pub(crate) fn remember(&mut self) {
        self.given = None;
        if !self.keeps_before {
            self.before = self.shown.as_ref().map(|shown| Before::of(shown));
        }
    }

    /// Asks for a fit to the targets.
    pub(crate) fn fit(&mut self) {
        self.fitting = true;
        self.hand.fit();
    }

    /// Shows what a fit found; the smith takes or leaves it.
    pub(crate) fn offer(&mut self, found: Result<Fitted, String>) {
        (self.fitting, self.given) = (false, None);
        match found {
            Ok(fitted) if fitted.is_as_it_was() => self.fitted = Some(fitted),
            Ok(fitted) if self.hand.can_pull() => {
                self.remember();
                let [from, to] = fitted.texts.clone();
                self.hand.take("fitted to its targets");
                self.hand.pull(Box::new(move |text| edit::merge(&from, text, &to).map(|merged| merged.text)));
                self.fitted = Some(fitted);
            }
            // The hand went on meanwhile: what was found is of another blade.
            Ok(_) => {}
            Err(why) => self.hand.refused = Some(why),
        }
    }

    /// Takes what a fit found, or leaves it.
    pub(crate) fn settle_fit(&mut self, taken: bool) {
        if self.fitted.take().is_some() {
            if taken { self.hand.let_go() } else { self.hand.drop_it() }
        }
    }

    /// Forgets the section: the blade is another one.
    pub(crate) fn forget_cut(&mut self) {
        (self.cut, self.layers) = (None, None);
    }

    pub(crate) fn spread(&self) -> Spread {
        let bars = self.shown.as_ref().and_then(|s| s.design.billet()).map_or(0, |b| b.places());
        let breadth = self.shown.as_ref().map_or(0.0, |s| s.bounds.1.y - s.bounds.0.y);
        let apart = if bars == 0 { 0.0 } else { self.settings.apart };
        Spread::new(self.settings.thicker, apart, breadth, bars)
    }

    /// The box around all that is drawn of the blade, mm.
    pub(crate) fn bounds(&self) -> (DVec3, DVec3) {
        self.shown.as_ref().map_or((DVec3::NEG_ONE, DVec3::ONE), |s| self.spread().bounds(s.bounds))
    }

    /// Cuts the section at the station, where that is another one than before.
    pub(crate) fn look_up_cut(&mut self) {
        let (station, is_pulled) = (self.station(), self.hand.doing().is_some());
        let is_known = |cut: &Cut| Some(cut.at) == station && (cut.is_fine || is_pulled);
        let fresh = !self.cut.as_ref().is_some_and(is_known);
        if let Some((shown, x)) = self.shown.as_ref().zip(station).filter(|_| fresh) {
            // At the very point there is no section left: the last hundredth of a millimetre stands for it.
            let (from, to) = shown.facts.sections.range();
            let cut = Cut::at(shown, x, is_pulled);
            let cut = cut.or_else(|| Cut::at(shown, x.clamp(from + 0.01, to - 0.01), is_pulled));
            self.cut = cut.map(|c| Cut { at: x, ..c });
            self.layers = None;
        }
    }

    /// A problem in a sentence: the field as the panel names it, what is wrong, and what would be accepted.
    pub(crate) fn words_of(&self, problem: &LocatedProblem) -> String {
        let reach = self.shown.as_ref().and_then(|shown| shown.reach.as_ref());
        let mut rows = reach.iter().flat_map(|reach| &reach.blocks).flat_map(|block| &block.rows);
        let label =
            rows.find(|row| row.path == problem.field).map_or(problem.field.as_str(), |row| &row.label);
        format!("{label}: {}; {}", problem.message, problem.help)
    }

    /// Remembers where a control is.
    pub(crate) fn note(&mut self, name: &str, response: Response) -> Response {
        self.places.insert(name.to_owned(), response.rect);
        response
    }
}
