//! Which guard and pommel bring a weighed blade to the design's targets: their masses, the pommel's place, or both.

use design::{Aim, Compared, Design, Target, Targets, Wanted};
use serde::Serialize;

use crate::compare::fittings::{Bulk, COIN, Fittings, Goal, HiltWay, spread};
use crate::compare::lever::Known;
use crate::surplus::mass_balance::MassBalance;

/// The finished blade with what is mounted on it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Hilt {
    /// Bare steel when finished, by the scales and what is still to take off, g.
    pub finished_steel_g: f64,
    /// With the design's fittings, g.
    pub mass_g: f64,
    /// Known to ± this, g.
    pub mass_band_g: f64,
    /// Where that balances, from where balance is told, mm.
    pub balance_mm: f64,
    /// Known to ± this, mm.
    pub balance_band_mm: f64,
    /// The design's targets of mass and balance, and what that comes to; none where it has none.
    pub targets: Vec<Target>,
    /// Ways to them where they are not reached: those that can be gone first.
    pub ways: Vec<HiltWay>,
    /// Whether the pommel stands for one that the design does not have, at the tang's end.
    pub stand_in: bool,
}

impl Hilt {
    /// Of a blade weighed bare, which loses `bench` less `reached` until it is finished. `None` where nothing would be
    /// left of it.
    pub(crate) fn new(
        design: &Design,
        known: &Known,
        bench: &MassBalance,
        reached: &MassBalance,
    ) -> Option<Hilt> {
        let front = design.guard_front();
        let of = |m: &MassBalance| Bulk::new(m.steel_g, m.steel_g * (m.steel_balance_mm + front));
        let bare = known.value + of(reached) - of(bench);
        if bare[0] < COIN {
            return None;
        }
        let fittings = Fittings::of(design);
        let mounted = |bare: Bulk| bare + fittings.all();
        let whole = mounted(bare);
        let band = |of: &dyn Fn(Bulk) -> f64| spread(known, bare, of);
        let targets = targets(design, whole[0], whole[1] / whole[0] - front);
        let goal = Goal::of(&targets, front);
        let mut ways = match targets.iter().all(Target::is_reached) {
            true => Vec::new(),
            false => fittings.ways(known, bare, goal),
        };
        // What can be done comes first.
        ways.sort_by_key(|way| way.barrier.is_some());
        Some(Hilt {
            finished_steel_g: bare[0],
            mass_g: whole[0],
            mass_band_g: band(&|b| mounted(b)[0]),
            balance_mm: whole[1] / whole[0] - front,
            balance_band_mm: band(&|b| mounted(b)[1] / mounted(b)[0]),
            targets,
            ways,
            stand_in: fittings.stand_in,
        })
    }
}

/// The design's targets of mass and balance against what was found.
fn targets(design: &Design, mass: f64, balance: f64) -> Vec<Target> {
    let wanted = design.targets().map(Targets::wanted).unwrap_or_default();
    let found = |&(aim, wanted): &(Aim, Wanted)| match aim {
        Aim::Mass => Some(Target { aim, wanted, found: Some(mass) }),
        Aim::Balance => Some(Target { aim, wanted, found: Some(balance) }),
        Aim::Steel | Aim::Percussion => None,
    };
    wanted.iter().filter_map(found).collect()
}
