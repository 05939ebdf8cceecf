//! What of the bars hangs on the blade: tapers from shoulder to point, teeth of serrated welds, twists that the finished
//! blade should show, and plugs.

use blade::Blade;
use laminate::{MaterialMap, Program};

use crate::checked::lay::lay;
use crate::file::checker::Checker;
use crate::tables::billet::recipe::Recipe;
use crate::tables::billet::{plugs, serrated};

/// Gives the billet's bars the heights, teeth, programs and plugs that the blade asks for, and lays it; `None` where nothing of
/// the bars hangs on the blade and all are even, or where teeth or plugs were refused.
pub(crate) fn laid(recipe: &mut Recipe, blade: &Blade, c: &mut Checker) -> Option<MaterialMap> {
    let billet = recipe.billet.as_ref()?;
    let (tapers, asks) = (recipe.ends.iter().any(Option::is_some), recipe.asked.iter().any(Option::is_some));
    let toothed = recipe.serrated.iter().any(Option::is_some);
    let plugged = recipe.plugs.iter().any(|plugs| !plugs.is_empty());
    if !(tapers || asks || toothed || plugged || billet.bars().iter().any(|bar| !bar.height.is_even())) {
        return None;
    }
    // Only a cut that is not on the blade could fail, and that was checked.
    let mut lay = lay(billet, blade).ok()?;
    if tapers {
        lay = lay.with_ends(&recipe.ends)?;
    }
    if toothed {
        lay = serrated::laid(&lay, &recipe.serrated, c)?;
    }
    if asks {
        let bars = lay.billet().bars().iter().zip(&recipe.asked);
        let programs: Vec<Program> = bars
            .map(|(bar, asked)| match asked {
                Some((phase, asked)) => lay.program(*phase, asked),
                None => bar.twist.clone(),
            })
            .collect();
        lay = lay.with_twists(programs);
    }
    if plugged {
        lay = plugs::laid(&lay, &recipe.plugs, c)?;
    }
    recipe.billet = Some(lay.billet().clone());
    Some(lay)
}
