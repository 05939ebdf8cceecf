//! Twists that the finished blade should show, as programs of the bars.

use blade::Blade;
use laminate::{MaterialMap, Program};

use crate::checked::lay::lay;
use crate::tables::billet::recipe::Recipe;

/// Gives the billet's bars the programs that the blade asks for, and lays it; `None` where no bar's twist is told so.
pub(crate) fn laid(recipe: &mut Recipe, blade: &Blade) -> Option<MaterialMap> {
    let billet = recipe.billet.as_ref().filter(|_| recipe.asked.iter().any(Option::is_some))?;
    // Only a cut that is not on the blade could fail, and that was checked.
    let lay = lay(billet, blade).ok()?;
    let programs: Vec<Program> = billet
        .bars()
        .iter()
        .zip(&recipe.asked)
        .map(|(bar, asked)| match asked {
            Some((phase, asked)) => lay.program(*phase, asked),
            None => bar.twist.clone(),
        })
        .collect();
    let lay = lay.with_twists(programs);
    recipe.billet = Some(lay.billet().clone());
    Some(lay)
}
