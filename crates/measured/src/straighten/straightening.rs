//! The bows of a blade against what its steel bears: what springs back, how far past straight to press, and what not to
//! try cold.

use blade::Stage;
use design::Design;
use serde::Serialize;

use crate::compare::bow::{Bow, half};
use crate::file::reading::{Line, Quantity, Session};
use crate::straighten::condition::Condition;
use crate::straighten::moment_curve::MomentCurve;
use crate::straighten::section::BentSection;
use crate::straighten::span::{Press, Span};
use crate::surplus::surface::Surface;

/// Less bow than this is straight, mm: a hair under the bar (common practice, no source).
const STRAIGHT: f64 = 0.1;
/// A span shorter than so many depths shears rather than bends: beams are told so from five on (common practice, no
/// source).
const SLENDER: f64 = 5.0;
/// Sags beyond this share of the span are no longer small: arcs and chords differ by a twentieth.
const SMALL: f64 = 1.0 / 6.0;
/// Share of the blade that is taken as the span where no gap was read: beyond it there is no section to speak of.
const LAST: f64 = 0.92;

/// What the steel bears, and each bend.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Straightening {
    /// The steel.
    pub condition: Condition,
    /// The greatest bow sideways, then the greatest in the blade's plane; where no gap was read, the blade's whole span
    /// sideways. None where nothing tells whether the steel is hard: it is not to be bent.
    pub bends: Vec<ColdBend>,
}

/// Whether a bow may be taken out cold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Cold {
    /// It is straight.
    Straight,
    /// The steel bears the set.
    Bears,
    /// The skin would be stretched further than such steel bears.
    Cracks,
    /// No press leaves so much: the section only folds at one place.
    Folds,
    /// The gaps were read over too short a span: it shears rather than bends.
    TooShort,
    /// It is hardened, and nothing tells that it was tempered: as quenched it may snap.
    Untempered,
}

/// A blade on two supports, pressed between them. Lengths in mm.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ColdBend {
    /// Whether it is bent sideways; otherwise in its own plane.
    pub sideways: bool,
    /// The line along which its bow was read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<Line>,
    /// Stations of the supports.
    pub supports_mm: [f64; 2],
    /// Where it is pressed: where it is furthest off.
    pub pressed_mm: f64,
    /// How far it is off there, whichever way.
    pub bow_mm: f64,
    /// It springs back wholly up to this sag, by the least yield strength.
    pub springs_back_mm: f64,
    /// Where it yields first.
    pub yields_at_mm: f64,
    /// Radius of the bend there.
    pub radius_mm: f64,
    /// Whether it may be taken out cold.
    pub cold: Cold,
    /// How far past straight it is pressed so that it comes straight when let go, by the least, the middle and the
    /// greatest yield strength; absent where it can't be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub past_mm: Option<[f64; 3]>,
    /// The force for it at the pressed place, least and greatest, N.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub force_n: Option<[f64; 2]>,
    /// The most that its skin goes beyond yield, as a share.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plastic: Option<f64>,
    /// Whether it goes so far that these figures are a guide only: the sag is no longer small beside the span.
    pub guide_only: bool,
    /// What to lay under it for the least and for the greatest yield strength, sideways.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pads: Option<[Pads; 2]>,
    /// What stays, cold, of the bend past straight that the smith asked for: least and greatest; below 0 it stays
    /// bowed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub asked_stays_mm: Option<[f64; 2]>,
}

/// Heights over a straight bar on the hollow side, mm.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Pads {
    /// At both supports.
    pub supports_mm: [f64; 2],
    /// Of the stop at the pressed place.
    pub stop_mm: f64,
}

impl Straightening {
    /// Of a session's blade, nearest to a stage, with its bows and how many times its bow the smith bends it past
    /// straight; `None` where neither gaps nor the steel's state were read.
    pub(crate) fn new(
        design: &Design,
        surface: &Surface,
        session: &Session,
        stage: Stage,
        (bows, past): (&[Bow], Option<f64>),
    ) -> Option<Straightening> {
        let asked = |w: Quantity| matches!(w, Quantity::Hardness | Quantity::Tempered);
        let read = session.readings.iter().any(|r| asked(r.what));
        if bows.is_empty() && !read {
            return None;
        }
        let condition = Condition::new(design, session, stage)?;
        let bends = if condition.hardened.is_none() {
            Vec::new()
        } else if bows.is_empty() {
            whole(surface, &condition).into_iter().collect()
        } else {
            let most = |sideways: bool| {
                let of = bows.iter().filter(move |b| b.sideways == sideways);
                of.max_by(|a, b| a.most_mm.abs().total_cmp(&b.most_mm.abs()))
            };
            let both = [true, false].into_iter().filter_map(most);
            both.filter_map(|bow| bend(surface, &condition, bow, past)).collect()
        };
        Some(Straightening { condition, bends })
    }
}

/// The whole blade sideways, where no bow was read.
fn whole(surface: &Surface, condition: &Condition) -> Option<ColdBend> {
    let end = LAST * surface.planned().length;
    let span = span(surface, true, [0.0, 0.5 * end, end])?;
    Some(ColdBend::elastic(&span, condition, None, [0.0, 0.5 * end, end]))
}

/// A bow pressed straight where it is furthest off.
fn bend(surface: &Surface, condition: &Condition, bow: &Bow, past: Option<f64>) -> Option<ColdBend> {
    let places = [bow.off_mm.first()?[0], bow.at_mm, bow.off_mm.last()?[0]];
    let Some(span) = span(surface, bow.sideways, places) else {
        // Furthest off at an end is not off at all: both ends lie on the line.
        return None;
    };
    let elastic = ColdBend::elastic(&span, condition, Some(bow), places);
    if elastic.bow_mm < STRAIGHT {
        return Some(elastic);
    }
    if span.length() < SLENDER * span.depth() {
        return Some(ColdBend { cold: Cold::TooShort, ..elastic });
    }
    if condition.hardened == Some(true) && condition.tempered_c.is_none() {
        return Some(ColdBend { cold: Cold::Untempered, ..elastic });
    }
    let pressed: Option<Vec<Press>> =
        condition.yield_mpa.iter().map(|y| span.press(elastic.bow_mm, *y)).collect();
    let asked = past.map(|past| {
        let stays = |y: f64| span.stays((1.0 + past) * elastic.bow_mm, y) - elastic.bow_mm;
        let [soft, _, hard] = condition.yield_mpa;
        [stays(hard), stays(soft)]
    });
    let elastic = ColdBend { asked_stays_mm: asked, ..elastic };
    let Some(pressed) = pressed else { return Some(ColdBend { cold: Cold::Folds, ..elastic }) };
    Some(elastic.pressed(surface, condition, bow, &span, [pressed[0], pressed[1], pressed[2]]))
}

/// The sections over a span, with supports and a pressed place at stations.
fn span(surface: &Surface, sideways: bool, places: [f64; 3]) -> Option<Span> {
    let of = if sideways { BentSection::sideways } else { BentSection::in_plane };
    Span::new(places, |x| Some(MomentCurve::new(&of(&surface.at(x)?)?)))
}

impl ColdBend {
    /// What springs back of a span, and no more.
    fn elastic(
        span: &Span,
        condition: &Condition,
        bow: Option<&Bow>,
        [from, pressed_mm, to]: [f64; 3],
    ) -> ColdBend {
        let limit = span.elastic(condition.yield_mpa[0]);
        ColdBend {
            sideways: bow.is_none_or(|b| b.sideways),
            line: bow.map(|b| b.line),
            supports_mm: [from, to],
            pressed_mm,
            bow_mm: bow.map_or(0.0, |b| b.most_mm.abs()),
            springs_back_mm: limit.sag,
            yields_at_mm: limit.at,
            radius_mm: limit.radius,
            cold: Cold::Straight,
            past_mm: None,
            force_n: None,
            plastic: None,
            guide_only: limit.sag > SMALL * span.length(),
            pads: None,
            asked_stays_mm: None,
        }
    }

    /// With what it takes to bring it straight by the least, the middle and the greatest yield strength.
    fn pressed(
        self,
        surface: &Surface,
        condition: &Condition,
        bow: &Bow,
        span: &Span,
        pressed: [Press; 3],
    ) -> ColdBend {
        let most = |of: fn(&Press) -> f64| pressed.iter().map(of).fold(0.0, f64::max);
        let plastic = most(|p| p.plastic);
        let past = pressed.map(|p| p.springs_back);
        let pads = |past: f64| Pads::new(surface, bow, self.supports_mm, past);
        ColdBend {
            cold: if plastic > condition.cold_set { Cold::Cracks } else { Cold::Bears },
            past_mm: Some(past),
            force_n: Some([pressed[0].force, pressed[2].force]),
            plastic: Some(plastic),
            guide_only: most(|p| p.pressed) > SMALL * span.length(),
            pads: bow.sideways.then(|| [pads(past[0]), pads(past[2])]),
            ..self
        }
    }
}

impl Pads {
    /// For a blade to be pressed so far past straight (mm): the least of them is none.
    fn new(surface: &Surface, bow: &Bow, supports: [f64; 2], past: f64) -> Pads {
        let skins = supports.map(|x| half(surface, bow.line, x));
        let pressed = past + half(surface, bow.line, bow.at_mm);
        let highest = skins[0].max(skins[1]).max(pressed);
        Pads { supports_mm: skins.map(|skin| highest - skin), stop_mm: highest - pressed }
    }
}
