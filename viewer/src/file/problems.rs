//! A design's problems in the window's words: the line they stand in, what is wrong and what would be accepted.

use design::Problem;

/// One problem.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LocatedProblem {
    /// The line it stands in, counted from 1.
    pub line: usize,
    /// What is wrong.
    pub message: String,
    /// What would be accepted.
    pub help: String,
    /// The path of what is wrong in the file.
    pub field: String,
}

/// The problems of a file with these bytes.
pub(crate) fn located(bytes: &[u8], problems: &[Problem]) -> Vec<LocatedProblem> {
    let line = |p: &Problem| 1 + bytes.iter().take(p.span.start).filter(|b| **b == b'\n').count();
    problems
        .iter()
        .map(|p| LocatedProblem {
            line: line(p),
            message: p.message.clone(),
            help: p.help.clone(),
            field: p.field.clone(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_count_from_one() {
        let bytes = b"name = \"x\"\n\nunit = 3\n";
        let problems = design::read(bytes).unwrap_err();
        let told = located(bytes, &problems);
        assert!(told.iter().any(|t| t.line == 3), "{told:?}");
        assert!(told.iter().all(|t| t.line >= 1 && !t.message.is_empty() && !t.help.is_empty()));
    }
}
