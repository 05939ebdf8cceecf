//! The design file as a whole: its top-level keys.

use crate::file::draft::{Field, Number, table, words};
use crate::tables::bench::gauges::GaugesDraft;
use crate::tables::bench::jig::JigDraft;
use crate::tables::bench::plate::PlateDraft;
use crate::tables::bench::quench::QuenchDraft;
use crate::tables::bench::shop::ShopDraft;
use crate::tables::billet::bar::BarDraft;
use crate::tables::billet::forging::ForgingDraft;
use crate::tables::billet::layers::LayersDraft;
use crate::tables::billet::one_steel::SteelDrafts;
use crate::tables::billet::recipe::BilletDraft;
use crate::tables::blade::fuller::FullerDraft;
use crate::tables::blade::outline::OutlineDraft;
use crate::tables::blade::ricasso::RicassoDraft;
use crate::tables::blade::section::SectionDraft;
use crate::tables::blade::stages::StagesDraft;
use crate::tables::blade::tang::TangDraft;
use crate::tables::blade::taper::TaperDraft;
use crate::tables::units::UnitsDraft;
use crate::tables::weight::fitting::FittingDraft;
use crate::tables::weight::targets::TargetsDraft;
use crate::unit::quantity::Unit;

words! {
    /// The unit of lengths given as plain numbers.
    UnitWord {
        /// Millimetres.
        Millimetre = "mm",
        /// Inches of 25.4 mm.
        Inch = "in",
    }
}

impl From<UnitWord> for Unit {
    fn from(word: UnitWord) -> Unit {
        match word {
            UnitWord::Millimetre => Unit::Millimetre,
            UnitWord::Inch => Unit::Inch,
        }
    }
}

table! {
    /// One long blade: outline, section, thickness, tang, stages of the work, fittings, shop, tooling and billet.
    FileDraft {
        /// What the blade is called: 1 to 100 characters in one line.
        #[schemars(required)]
        name: String,
        /// The unit of lengths given as plain numbers. Default `mm`.
        unit: UnitWord,
        /// Units of temperatures, masses and torques.
        units: UnitsDraft,
        /// The steel's density in kg/m³. Default: that of `steel` where it is known, otherwise 7850.
        density: Number,
        /// The blade seen from the side.
        #[schemars(required)]
        outline: OutlineDraft,
        /// The blade cut square to its length.
        section: SectionDraft,
        /// Thickness along the blade, from the shoulder to the point.
        #[schemars(required)]
        taper: Vec<Field<TaperDraft>>,
        /// An unbevelled stretch next to the shoulder.
        ricasso: RicassoDraft,
        /// Grooves along the flanks.
        fuller: Vec<Field<FullerDraft>>,
        /// The part inside the grip.
        tang: TangDraft,
        /// How much steel each stage of the work still leaves on.
        stages: StagesDraft,
        /// Masses mounted on blade and tang.
        fitting: Vec<Field<FittingDraft>>,
        /// The shop's printer, paper and stop blocks, and how fine the meshes are.
        shop: ShopDraft,
        /// The profile plate that the blade's outline is held against.
        plate: PlateDraft,
        /// Section gauges and the stations they are for.
        gauges: GaugesDraft,
        /// The twisting jig's bore and the bar's end tab that an insert joins.
        jig: JigDraft,
        /// The billet that the blade is forged from; needs `[[bar]]`. Without both, the blade is of one steel, named by
        /// `steel`.
        billet: BilletDraft,
        /// The billet's bars from the back to the edge, 1 to 9.
        bar: Vec<Field<BarDraft>>,
        /// Layer sets that bars are made of.
        layers: Vec<Field<LayersDraft>>,
        /// What the shop loses and leaves on the way from cut steel to the forged blade.
        forging: ForgingDraft,
        /// The shop's own bath of oil: the plan says how warm the blade makes it.
        quench: QuenchDraft,
        /// What the finished blade should weigh and where it should balance, and what `fit` may change for it.
        targets: TargetsDraft,
        /// What a blade of one steel is made of, by its name: `steel = "1084"`. Or `[[steel]]` tables of own steels,
        /// which bars and layer sets name; without `[billet]` the blade is of the only one. The common standard steels
        /// are known without a table.
        steel: SteelDrafts,
    }
}
