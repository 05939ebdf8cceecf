//! What one run of a command is to make.

use blade::Stage;
use clap::ValueEnum;
use design::Paper;

use crate::ask::cut_choice::CutChoice;
use crate::ask::heat::AskedHeat;
use crate::ask::kinds::{ColoursName, Kind, Sort, StageName};

/// What is asked for: lists sorted, none twice.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Order {
    /// Sorts of things.
    pub(crate) sorts: Vec<Sort>,
    /// Stages of blade and template; parts that belong to another stage are left out too.
    pub(crate) stages: Vec<StageName>,
    /// Kinds of file.
    pub(crate) kinds: Vec<Kind>,
    /// Paper, where it is not the shop's.
    pub(crate) paper: Option<Paper>,
    /// Temperature for which the template is scaled.
    pub(crate) hot: Option<AskedHeat>,
    /// Dots a mm of the pictures of layers, where they are not the usual ones.
    pub(crate) dots: Option<f64>,
    /// What the colours of the layers tell.
    pub(crate) colours: ColoursName,
    /// How sheet steel is cut, where that is not as usual.
    pub(crate) cut: CutChoice,
}

impl Order {
    /// The sorts, and the stages and kinds asked for; all of those where none is named.
    pub(crate) fn new(sorts: &[Sort], stages: &[StageName], kinds: &[Kind]) -> Order {
        Order {
            sorts: some_or_all(sorts),
            stages: some_or_all(stages),
            kinds: some_or_all(kinds),
            paper: None,
            hot: None,
            dots: None,
            colours: ColoursName::default(),
            cut: CutChoice::default(),
        }
    }

    pub(crate) fn wants(&self, sort: Sort) -> bool {
        self.sorts.contains(&sort)
    }

    /// Whether only what is made of a billet is wanted.
    pub(crate) fn needs_billet(&self) -> bool {
        self.sorts.iter().all(|sort| matches!(sort, Sort::Bars | Sort::Layers))
    }

    /// The kinds wanted of which this is true.
    pub(crate) fn kinds_that(&self, wanted: impl Fn(Kind) -> bool) -> Vec<Kind> {
        self.kinds.iter().copied().filter(|k| wanted(*k)).collect()
    }

    /// Whether a part of this stage, or of none, is wanted.
    pub(crate) fn stage_wanted(&self, stage: Option<Stage>) -> bool {
        stage.is_none_or(|stage| self.stages.iter().any(|s| s.stage() == stage))
    }
}

fn some_or_all<T: Copy + Ord + ValueEnum>(asked: &[T]) -> Vec<T> {
    let mut wanted = if asked.is_empty() { T::value_variants().to_vec() } else { asked.to_vec() };
    wanted.sort_unstable();
    wanted.dedup();
    wanted
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_order_names_all_or_each_once_in_order() {
        let all = Order::new(&[], &[], &[]);
        assert_eq!((all.sorts.len(), all.stages.len(), all.kinds.len()), (10, 3, 9));
        let asked = [StageName::Finished, StageName::Forged, StageName::Finished];
        let some = Order::new(&[Sort::Jig], &asked, &[Kind::Stl]);
        assert_eq!(some.stages, [StageName::Forged, StageName::Finished]);
        assert!(!all.needs_billet() && Order::new(&[Sort::Bars, Sort::Layers], &[], &[]).needs_billet());
        assert!(some.wants(Sort::Jig) && !some.wants(Sort::Blade));
        assert_eq!(some.kinds_that(Kind::holds_a_part), [Kind::Stl]);
        assert_eq!(some.kinds_that(Kind::holds_a_drawing), []);
        assert!(some.stage_wanted(None) && !some.stage_wanted(Some(Stage::Ground)));
    }
}
