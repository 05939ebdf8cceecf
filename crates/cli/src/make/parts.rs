//! The parts to print or to make of steel, and what is said where they can't be made.

use design::{Design, Problem};
use tooling::{Motion, Part};

use crate::ask::kinds::Sort;

/// The parts of a sort, each with the motion that laid it on the bed if it has a place in the blade's frame.
pub(crate) fn parts_of(design: &Design, sort: Sort) -> Result<Vec<(Part, Option<Motion>)>, Vec<Problem>> {
    let plain = |parts: Vec<Part>| parts.into_iter().map(|part| (part, None)).collect();
    match sort {
        Sort::Plate => {
            let pieces = tooling::plates(design)?;
            Ok(pieces.into_iter().map(|piece| (piece.part, Some(piece.motion))).collect())
        }
        Sort::Gauge => tooling::gauges(design).map(plain),
        Sort::Jig => tooling::jig(design).map(plain),
        Sort::Blade | Sort::Template | Sort::Sheet | Sort::Metal | Sort::Bars | Sort::Layers | Sort::Page => {
            Ok(Vec::new())
        }
    }
}

/// Parts that fail for one and the same reason are told once: a small bed is too small for most of them.
pub(crate) fn gathered(problems: Vec<Problem>) -> Vec<Problem> {
    let mut kept: Vec<(Problem, usize)> = Vec::new();
    for problem in problems {
        match kept.iter_mut().find(|(p, _)| p.field == problem.field && p.code == problem.code) {
            Some((_, more)) => *more += 1,
            None => kept.push((problem, 0)),
        }
    }
    let told = |(problem, more): (Problem, usize)| match more {
        0 => problem,
        _ => Problem {
            message: format!(
                "{}; so it is with {more} other part{}",
                problem.message,
                if more == 1 { "" } else { "s" }
            ),
            help: "mend this for all of them, or leave parts out with --make".to_owned(),
            ..problem
        },
    };
    kept.into_iter().map(told).collect()
}
