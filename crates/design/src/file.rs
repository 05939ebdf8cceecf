//! The design file as a whole: its top-level keys.

use crate::bar::BarDraft;
use crate::billet::BilletDraft;
use crate::draft::{Field, Number, table, words};
use crate::fitting::FittingDraft;
use crate::forging::ForgingDraft;
use crate::fuller::FullerDraft;
use crate::gauges::GaugesDraft;
use crate::jig::JigDraft;
use crate::layers::LayersDraft;
use crate::outline::OutlineDraft;
use crate::plate::PlateDraft;
use crate::quantity::Unit;
use crate::ricasso::RicassoDraft;
use crate::section::SectionDraft;
use crate::shop::ShopDraft;
use crate::stages::StagesDraft;
use crate::steel::SteelDraft;
use crate::tang::TangDraft;
use crate::taper::TaperDraft;
use crate::targets::TargetsDraft;

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
        /// The unit of lengths given as plain numbers; `mm` unless given.
        unit: UnitWord,
        /// The steel's density in kg/m³; 7850 unless given.
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
        /// What each stage of the work still carries.
        stages: StagesDraft,
        /// Masses mounted on blade and tang.
        fitting: Vec<Field<FittingDraft>>,
        /// The shop's printer, paper and stop blocks, and how fine the meshes shall be.
        shop: ShopDraft,
        /// The profile plate that the blade's outline is held against.
        plate: PlateDraft,
        /// Section gauges and the stations they are for.
        gauges: GaugesDraft,
        /// The twisting jig's bore and the bar's end tab that an insert joins.
        jig: JigDraft,
        /// The billet that the blade is forged from; needs `[[bar]]`. Without both, the blade is of one steel.
        billet: BilletDraft,
        /// The billet's bars from the back to the edge, 1 to 9.
        bar: Vec<Field<BarDraft>>,
        /// Layer sets that bars are made of.
        layers: Vec<Field<LayersDraft>>,
        /// What the shop loses and leaves on the way from cut steel to the forged blade.
        forging: ForgingDraft,
        /// What the finished blade shall come to, and what `fit` may change for it.
        targets: TargetsDraft,
        /// Steels that bars and layer sets name; the common standard ones are known without a table.
        steel: Vec<Field<SteelDraft>>,
    }
}
