//! What fittings are made of, and how heavy it is.

use crate::file::draft::words;

/// Grams per cubic millimetre in a kilogram per cubic metre.
pub(crate) const KILOGRAM_PER_CUBIC_METRE: f64 = 1e-6;

words! {
    /// A material by its density in kg/m³. Woods, antler and leather vary by a tenth and more; weigh the part
    /// and give `mass` when it matters.
    Material {
        /// 7850 kg/m³.
        Steel = "steel",
        /// 7870 kg/m³.
        Iron = "iron",
        /// 8500 kg/m³.
        Brass = "brass",
        /// 8800 kg/m³.
        Bronze = "bronze",
        /// 8960 kg/m³.
        Copper = "copper",
        /// 10490 kg/m³.
        Silver = "silver",
        /// 4506 kg/m³.
        Titanium = "titanium",
        /// 2700 kg/m³.
        Aluminium = "aluminium",
        /// 950 kg/m³.
        Boxwood = "boxwood",
        /// 700 kg/m³.
        Oak = "oak",
        /// 680 kg/m³.
        Ash = "ash",
        /// 710 kg/m³.
        Beech = "beech",
        /// 610 kg/m³.
        Maple = "maple",
        /// 640 kg/m³.
        Walnut = "walnut",
        /// 1800 kg/m³.
        Antler = "antler",
        /// 1900 kg/m³.
        Bone = "bone",
        /// 1300 kg/m³.
        Horn = "horn",
        /// 900 kg/m³.
        Leather = "leather",
    }
}

impl Material {
    /// Density, g/mm³.
    pub(crate) fn density(self) -> f64 {
        self.kilograms() * KILOGRAM_PER_CUBIC_METRE
    }

    /// Density, kg/m³, each with its source.
    fn kilograms(self) -> f64 {
        match self {
            // EN 1993-1-2 §3.4.1 (from memory).
            Material::Steel => 7850.0,
            // Elements: CRC Handbook of Chemistry and Physics, physical constants (from memory).
            Material::Iron => 7870.0,
            Material::Copper => 8960.0,
            Material::Silver => 10490.0,
            Material::Titanium => 4506.0,
            Material::Aluminium => 2700.0,
            // CW614N and CW451K data sheets of the copper trade (from memory).
            Material::Brass => 8500.0,
            Material::Bronze => 8800.0,
            // Air-dry woods at 12 to 15 % moisture: the Wood Handbook and timber data sheets (from memory).
            Material::Boxwood => 950.0,
            Material::Oak => 700.0,
            Material::Ash => 680.0,
            Material::Beech => 710.0,
            Material::Maple => 610.0,
            Material::Walnut => 640.0,
            // Compact antler and cortical bone: Currey, Bones (2002) (from memory).
            Material::Antler => 1800.0,
            Material::Bone => 1900.0,
            // Keratin: about 1300 (from memory).
            Material::Horn => 1300.0,
            // Vegetable-tanned, dry: about 900 (from memory).
            Material::Leather => 900.0,
        }
    }
}
