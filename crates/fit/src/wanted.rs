//! What a design's targets ask for, as misses of a search.

use design::{Compared, Design, PatternTarget, Target};
use laminate::{Cuts, MaterialMap, Pattern};

/// Misses of a design whose bars alone are changed, told by its billet on the blade.
pub(crate) type BarGoal<'a> = Box<dyn Fn(&MaterialMap) -> Result<Vec<f64>, String> + 'a>;

/// How little a target counts that yields to others: its miss is weighed by the square of this.
const YIELDS: f64 = 1e-2;

/// The targets of a design: those of its weight, then those of its pattern.
pub(crate) struct Wanted {
    /// The targets of the pattern that all others go before.
    pub(crate) yielding: Vec<usize>,
}

/// Both kinds of targets and how near a blade comes to them.
pub(crate) struct Reached {
    pub(crate) weight: Vec<Target>,
    pub(crate) pattern: Vec<PatternTarget>,
}

impl Reached {
    /// Of a design.
    pub(crate) fn by(design: &Design) -> Reached {
        Reached { weight: design.against_targets(), pattern: design.against_pattern() }
    }

    /// Whether all are reached.
    pub(crate) fn all(&self) -> bool {
        self.weight.iter().all(Target::is_reached) && self.pattern.iter().all(PatternTarget::is_reached)
    }

    /// How many want one value.
    pub(crate) fn exact(&self) -> usize {
        let weight = self.weight.iter().filter(|t| t.is_exact()).count();
        weight + self.pattern.iter().filter(|t| t.is_exact()).count()
    }
}

impl Wanted {
    /// How far a blade is off each single value that is wanted, then beyond each limit, as shares.
    pub(crate) fn misses(&self, design: &Design) -> Result<Vec<f64>, String> {
        self.listed(&design.against_targets(), &design.against_pattern())
    }

    /// The same as a function of the billet on the blade of a design.
    pub(crate) fn by_bars<'a>(&'a self, design: &Design, cuts: &'a Cuts<'a>) -> BarGoal<'a> {
        let weight = design.against_targets();
        let asked = design.targets().map_or(Vec::new(), |targets| targets.pattern().to_vec());
        Box::new(move |lay: &MaterialMap| {
            let pattern = Pattern::new(lay, cuts);
            let found: Vec<_> = asked.iter().map(|one| one.against(&pattern, lay.billet())).collect();
            self.listed(&weight, &found)
        })
    }

    /// How far each target is missed, those of one exact figure first: what the search brings to nothing.
    fn listed(&self, weight: &[Target], pattern: &[PatternTarget]) -> Result<Vec<f64>, String> {
        let behind = || "the blade would balance at or behind the guard".to_owned();
        let hidden = |t: &PatternTarget| format!("{} would not show", t.bars.join(" and "));
        let counts = |i: usize| if self.yielding.contains(&i) { YIELDS } else { 1.0 };
        let (mut exact, mut beyond) = (Vec::new(), Vec::new());
        for target in weight {
            match target.is_exact() {
                true => exact.push(target.off().ok_or_else(behind)?),
                false => beyond.extend(target.beyond().ok_or_else(behind)?),
            }
        }
        for (i, target) in pattern.iter().enumerate() {
            match target.is_exact() {
                true => exact.push(counts(i) * target.off().ok_or_else(|| hidden(target))?),
                false => {
                    let misses = target.beyond().ok_or_else(|| hidden(target))?;
                    beyond.extend(misses.into_iter().map(|miss| counts(i) * miss));
                }
            }
        }
        exact.append(&mut beyond);
        Ok(exact)
    }
}
