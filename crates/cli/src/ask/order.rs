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
    pub(crate) kinds: Kinds,
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

/// Which kinds of file are asked for.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Kinds {
    /// Of each thing the kinds that its use needs, and these as well.
    Needed(Vec<Kind>),
    /// These alone.
    Only(Vec<Kind>),
}

impl Kinds {
    /// These alone; where none is named, what is needed.
    pub(crate) fn only(asked: &[Kind]) -> Kinds {
        if asked.is_empty() { Kinds::Needed(Vec::new()) } else { Kinds::Only(asked.to_vec()) }
    }

    /// These alone; where none is named, what is needed and `also`.
    pub(crate) fn asked(only: &[Kind], also: &[Kind]) -> Kinds {
        if only.is_empty() { Kinds::Needed(also.to_vec()) } else { Kinds::only(only) }
    }
}

impl Order {
    /// The sorts, and the stages asked for, all of those where none is named; and the kinds.
    pub(crate) fn new(sorts: &[Sort], stages: &[StageName], kinds: Kinds) -> Order {
        Order {
            sorts: some_or_all(sorts),
            stages: some_or_all(stages),
            kinds,
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

    /// Whether files of this kind are wanted of what needs every kind that it may have.
    pub(crate) fn takes(&self, kind: Kind) -> bool {
        self.takes_of(kind, &[kind])
    }

    /// Whether files of this kind are wanted of what needs these kinds.
    pub(crate) fn takes_of(&self, kind: Kind, needed: &[Kind]) -> bool {
        match &self.kinds {
            Kinds::Needed(also) => needed.contains(&kind) || also.contains(&kind),
            Kinds::Only(asked) => asked.contains(&kind),
        }
    }

    /// The kinds wanted of which this is true, of what needs all of them.
    pub(crate) fn kinds_that(&self, wanted: impl Fn(Kind) -> bool) -> Vec<Kind> {
        Kind::value_variants().iter().copied().filter(|k| wanted(*k) && self.takes(*k)).collect()
    }

    /// The kinds wanted of which this is true, of what needs these.
    pub(crate) fn kinds_of(&self, wanted: impl Fn(Kind) -> bool, needed: &[Kind]) -> Vec<Kind> {
        Kind::value_variants().iter().copied().filter(|k| wanted(*k) && self.takes_of(*k, needed)).collect()
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
        let all = Order::new(&[], &[], Kinds::only(&[]));
        let every = all.kinds_that(|_| true).len();
        assert_eq!((all.sorts.len(), all.stages.len(), every), (10, 3, 9));
        let asked = [StageName::Finished, StageName::Forged, StageName::Finished];
        let some = Order::new(&[Sort::Jig], &asked, Kinds::only(&[Kind::Stl]));
        assert_eq!(some.stages, [StageName::Forged, StageName::Finished]);
        let billet = Order::new(&[Sort::Bars, Sort::Layers], &[], Kinds::only(&[]));
        assert!(!all.needs_billet() && billet.needs_billet());
        assert!(some.wants(Sort::Jig) && !some.wants(Sort::Blade));
        assert_eq!(some.kinds_that(Kind::holds_a_part), [Kind::Stl]);
        assert_eq!(some.kinds_that(Kind::holds_a_drawing), []);
        assert!(some.stage_wanted(None) && !some.stage_wanted(Some(Stage::Ground)));
    }

    #[test]
    fn a_thing_comes_in_the_kinds_it_needs_with_others_or_only_in_those_asked_for() {
        let of = |kinds| Order::new(&[], &[], kinds).kinds_of(Kind::holds_a_part, &[Kind::ThreeMf]);
        assert_eq!(of(Kinds::only(&[])), [Kind::ThreeMf]);
        assert_eq!(of(Kinds::asked(&[], &[Kind::Stl, Kind::Svg])), [Kind::Stl, Kind::ThreeMf]);
        assert_eq!(of(Kinds::asked(&[Kind::Stl, Kind::Stl], &[])), [Kind::Stl]);
        assert_eq!(of(Kinds::only(&[Kind::Pdf])), []);
    }
}
