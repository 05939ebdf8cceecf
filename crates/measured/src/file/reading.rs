//! What is read off the blade on the bench.

use std::ops::RangeInclusive;

use blade::Stage;
use design::Figures;
use serde::{Serialize, Serializer};

use crate::file::date::Date;
use crate::file::steel_state;

/// A side of the blade: held with the edge down and the point away, right is +z.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    /// +z.
    Right,
    /// −z.
    Left,
}

impl Side {
    /// 1 to the right, −1 to the left.
    pub fn sign(self) -> f64 {
        if self == Side::Right { 1.0 } else { -1.0 }
    }

    /// `right` or `left`.
    pub fn name(self) -> &'static str {
        if self == Side::Right { "right" } else { "left" }
    }
}

/// A line along the blade.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Line {
    /// The back.
    Back,
    /// The edge.
    Edge,
}

impl Line {
    /// `back` or `edge`.
    pub fn name(self) -> &'static str {
        if self == Line::Back { "back" } else { "edge" }
    }
}

/// What a row tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Quantity {
    /// From the edge to the back, mm.
    Breadth,
    /// Thickness at the back, mm.
    Back,
    /// Thickness of the edge's flat, mm.
    Edge,
    /// Thickness at a height above the edge, mm.
    Thickness,
    /// From the middle plane to one side at a height above the edge, mm.
    Flank(Side),
    /// From a straight bar laid along a side, by the back or by the edge, down to the steel, mm.
    SideGap(Side, Line),
    /// From a straight bar laid along the back or the edge to the steel, mm.
    PlaneGap(Line),
    /// Turn of the section against the shoulder's, seen from the shoulder to the point with the sun, rad.
    Twist,
    /// Mass of the bare steel, tang and all, g.
    Weight,
    /// Where the bare steel balances, in front of the guard's front face, or of the shoulder without a guard, mm.
    Balance,
    /// Mass of a stand-in weight clamped on at a station of blade or tang, g.
    ClampedWeight,
    /// Where the steel balances with the weights clamped on that stand above, from where balance is told, mm.
    ClampedBalance,
    /// What the scales under a support at a station of blade or tang read, the bare steel lying on all of them, g.
    Support,
    /// Hardness, HV.
    Hardness,
    /// Heat of a temper, °C.
    Tempered,
}

/// What a quantity is counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Dimension {
    Length,
    Angle,
    Mass,
    Hardness,
    Heat,
}

/// Breadths, thicknesses and gaps that no blade goes beyond, mm: the widest and thickest bars a hand forge works
/// (common practice, no source). A reading of 64 for 6.4 stays inside, to be pointed out by its neighbours.
const BREADTHS: RangeInclusive<f64> = 0.5..=1000.0;
/// See [`BREADTHS`].
const THICKNESSES: RangeInclusive<f64> = 0.05..=150.0;
/// See [`BREADTHS`].
const GAPS: RangeInclusive<f64> = 0.0..=100.0;
/// Turns of the section, rad: a quarter turn is no blade.
const TWISTS: RangeInclusive<f64> = -std::f64::consts::FRAC_PI_2..=std::f64::consts::FRAC_PI_2;
/// Masses, g: from a small knife's to what two hands lift over their heads.
const WEIGHTS: RangeInclusive<f64> = 1.0..=20_000.0;
/// Balance points, mm: design files reach no further.
const BALANCES: RangeInclusive<f64> = -3000.0..=3000.0;
/// Readings of scales under a support, g: of all but the whole blade, or of nothing.
const SUPPORTS: RangeInclusive<f64> = 0.0..=20_000.0;
/// Hardnesses, HV: from soft iron's to what no steel passes.
const HARDNESSES: RangeInclusive<f64> = 100.0..=865.0;
/// Tempers, °C: under 100 nothing is tempered, over 720 it is hardened anew (common practice, no source).
const TEMPERS: RangeInclusive<f64> = 100.0..=720.0;

impl Quantity {
    /// Everything that may be measured, in the order in which it is told.
    pub const ALL: [Quantity; 20] = [
        Quantity::Breadth,
        Quantity::Back,
        Quantity::Edge,
        Quantity::Thickness,
        Quantity::Flank(Side::Right),
        Quantity::Flank(Side::Left),
        Quantity::SideGap(Side::Right, Line::Back),
        Quantity::SideGap(Side::Left, Line::Back),
        Quantity::SideGap(Side::Right, Line::Edge),
        Quantity::SideGap(Side::Left, Line::Edge),
        Quantity::PlaneGap(Line::Back),
        Quantity::PlaneGap(Line::Edge),
        Quantity::Twist,
        Quantity::Weight,
        Quantity::Balance,
        Quantity::ClampedWeight,
        Quantity::ClampedBalance,
        Quantity::Support,
        Quantity::Hardness,
        Quantity::Tempered,
    ];

    /// As the file spells it.
    pub fn name(self) -> &'static str {
        match self {
            Quantity::Breadth => "breadth",
            Quantity::Back => "back",
            Quantity::Edge => "edge",
            Quantity::Thickness => "thickness",
            Quantity::Flank(Side::Right) => "right",
            Quantity::Flank(Side::Left) => "left",
            Quantity::SideGap(Side::Right, Line::Back) => "gap right back",
            Quantity::SideGap(Side::Left, Line::Back) => "gap left back",
            Quantity::SideGap(Side::Right, Line::Edge) => "gap right edge",
            Quantity::SideGap(Side::Left, Line::Edge) => "gap left edge",
            Quantity::PlaneGap(Line::Back) => "gap back",
            Quantity::PlaneGap(Line::Edge) => "gap edge",
            Quantity::Twist => "twist",
            Quantity::Weight => "weight",
            Quantity::Balance => "balance",
            Quantity::ClampedWeight => "clamped weight",
            Quantity::ClampedBalance => "balance with weights",
            Quantity::Support => "support",
            Quantity::Hardness => "hardness",
            Quantity::Tempered => "tempered",
        }
    }

    /// What a file means by these words, in any case and spacing.
    pub(crate) fn from_name(words: &str) -> Option<Quantity> {
        let plain = words.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" ");
        Quantity::ALL.into_iter().find(|what| what.name() == plain)
    }

    /// Whether it is read at a station.
    pub fn has_station(self) -> bool {
        !matches!(
            self,
            Quantity::Weight
                | Quantity::Balance
                | Quantity::ClampedBalance
                | Quantity::Hardness
                | Quantity::Tempered
        )
    }

    /// Whether it tells how the steel hangs: its station may lie on the tang.
    pub fn is_hung(self) -> bool {
        matches!(self, Quantity::ClampedWeight | Quantity::ClampedBalance | Quantity::Support)
    }

    /// Whether it is read at a height above the edge.
    pub fn has_height(self) -> bool {
        matches!(self, Quantity::Thickness | Quantity::Flank(_))
    }

    /// Whether it tells of thickness.
    pub fn is_thickness(self) -> bool {
        matches!(self, Quantity::Back | Quantity::Edge) || self.has_height()
    }

    pub(crate) fn dimension(self) -> Dimension {
        match self {
            Quantity::Twist => Dimension::Angle,
            Quantity::Weight | Quantity::ClampedWeight | Quantity::Support => Dimension::Mass,
            Quantity::Hardness => Dimension::Hardness,
            Quantity::Tempered => Dimension::Heat,
            _ => Dimension::Length,
        }
    }

    /// A value (mm, rad, g, HV or °C) as it is told, with its unit.
    pub(crate) fn format_value(self, value: f64, figures: Figures) -> String {
        match self.dimension() {
            Dimension::Length => figures.gap(value),
            Dimension::Mass => figures.mass(value),
            Dimension::Angle => format!("{:.1}°", value.to_degrees()),
            Dimension::Hardness => steel_state::hardness_words(value),
            Dimension::Heat => figures.temperature(value),
        }
    }

    /// Values accepted, mm, rad, g, HV or °C.
    pub(crate) fn range(self) -> RangeInclusive<f64> {
        match self {
            Quantity::Breadth => BREADTHS,
            Quantity::Back | Quantity::Edge | Quantity::Thickness | Quantity::Flank(_) => THICKNESSES,
            Quantity::SideGap(..) | Quantity::PlaneGap(_) => GAPS,
            Quantity::Twist => TWISTS,
            Quantity::Weight | Quantity::ClampedWeight => WEIGHTS,
            Quantity::Balance | Quantity::ClampedBalance => BALANCES,
            Quantity::Support => SUPPORTS,
            Quantity::Hardness => HARDNESSES,
            Quantity::Tempered => TEMPERS,
        }
    }
}

impl Serialize for Quantity {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.name())
    }
}

/// One reading.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Its line in the file, from 1.
    pub line: usize,
    /// Bytes of its `measured` cell.
    pub span: std::ops::Range<usize>,
    /// What was measured.
    pub what: Quantity,
    /// Where, mm from the shoulder; 0 for what has no station.
    pub station: f64,
    /// How high above the edge, mm; 0 for what has no height.
    pub height: f64,
    /// mm, rad, g, HV or °C.
    pub value: f64,
    /// The value as it was written.
    pub written: String,
    /// Whether the smith says that it is sure, however odd.
    pub sure: bool,
}

/// Readings no further apart than this along and up the blade are of one place, mm: a pencil line's breadth.
const PLACE: f64 = 0.25;

impl Reading {
    /// An empty reading of a place, to ask a plan what it would be.
    pub(crate) fn at(what: Quantity, station: f64, height: f64) -> Reading {
        Reading {
            line: 0,
            span: 0..0,
            what,
            station,
            height,
            value: 0.0,
            written: String::new(),
            sure: false,
        }
    }

    /// Whether both tell the same of the same place.
    pub(crate) fn same_place(&self, other: &Reading) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() <= PLACE;
        self.what == other.what && near(self.station, other.station) && near(self.height, other.height)
    }
}

/// What was read on one day at one stage.
#[derive(Clone, Debug, PartialEq)]
pub struct Session {
    /// The day.
    pub date: Date,
    /// The stage that the file names, if it does.
    pub stage: Option<Stage>,
    /// The readings, in the order of the file.
    pub readings: Vec<Reading>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_told_with_their_units() {
        let inch = Figures::of(design::Unit::Inch);
        assert_eq!(Quantity::Back.format_value(6.35, inch), "0.250 in");
        assert_eq!(Quantity::Twist.format_value(0.1, inch), "5.7°");
        assert_eq!(Quantity::Weight.format_value(612.0, inch), "612.0 g");
        assert_eq!(Quantity::Hardness.format_value(697.0, inch), "60.0 HRC");
        assert_eq!(Quantity::Hardness.format_value(200.0, inch), "200 HV");
        assert_eq!(Quantity::Tempered.format_value(200.0, inch), "200 °C");
    }

    #[test]
    fn names_are_read_back_in_any_case() {
        for what in Quantity::ALL {
            assert_eq!(Quantity::from_name(&what.name().to_uppercase().replace(' ', "  ")), Some(what));
        }
        assert_eq!((Quantity::from_name("gap"), Quantity::from_name("")), (None, None));
    }
}
