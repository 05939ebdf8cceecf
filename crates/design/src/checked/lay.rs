//! A billet laid on the forged blade.

use blade::{Blade, Sections, Stage};
use laminate::{Billet, BilletFault, MaterialMap};

/// The billet laid on the forged stage of the blade.
pub(crate) fn lay(billet: &Billet, blade: &Blade) -> Result<MaterialMap, BilletFault> {
    MaterialMap::new(billet.clone(), Sections::of(&blade.loft(Stage::Forged)))
}
