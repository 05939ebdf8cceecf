//! A design's problems as the smith reads them: the line, a caret under the place, and what would be accepted.

use std::fmt;
use std::ops::Range;

use design::Problem;
use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, NamedSource, SourceCode};
use serde_json::{Value, json};

use crate::terminal::error::CliError;
use crate::terminal::output::{self, Ink};
use crate::terminal::source::Source;

/// Wide enough for a sentence beside its frame, narrow enough for half a screen.
const WIDTH: usize = 100;

/// Longest line that is drawn with its neighbours, bytes: several times what a screen shows.
const LONGEST_LINE: usize = 1000;

/// What the smith reads of an error.
pub(crate) fn error_text(error: &CliError, ink: Ink) -> String {
    match error {
        CliError::Problems { source_file, problems } => problems_text(source_file, problems, ink),
        CliError::ProblemsPrinted | CliError::Told(_) => String::new(),
        _ => match error.help() {
            Some(help) => format!("error: {error}\n help: {help}\n"),
            None => format!("error: {error}\n"),
        },
    }
}

/// All problems of a file, and how many they are.
fn problems_text(source: &Source, problems: &[Problem], ink: Ink) -> String {
    let code = NamedSource::new(source.path.display().to_string(), readable(source));
    let handler = handler(ink);
    let mut text = String::new();
    for problem in problems {
        // Writing to a String doesn't fail; a span that miette can't place still leaves the message.
        let undrawn = undrawn(code.inner(), place(source, problem));
        if handler.render_report(&mut text, &Shown { problem, code: &code, source, undrawn }).is_err() {
            text.push_str(&format!("{}\n", problem.message));
        }
        text.push('\n');
    }
    text.push_str(&format!("{} in {}\n", count(problems.len()), source.path.display()));
    text
}

/// Prints all problems of a file for other programs, and gives the error that follows.
pub(crate) fn print(source: &Source, problems: &[Problem]) -> CliError {
    let said = output::say_json(&json!({ "problems": json(source, problems) }));
    said.err().unwrap_or(CliError::ProblemsPrinted)
}

/// All problems of a file for other programs. Lines and columns count from 1, columns in characters.
fn json(source: &Source, problems: &[Problem]) -> Vec<Value> {
    problems.iter().map(|problem| entry(source, problem)).collect()
}

/// A problem as JSON, with its line and column where it has a place.
fn entry(source: &Source, problem: &Problem) -> Value {
    let span = place(source, problem);
    let (line, column) = position(&readable(source), span.start);
    json!({
        "file": source.path.display().to_string(),
        "line": line,
        "column": column,
        "span": [span.start, span.end],
        "field": problem.field,
        "code": problem.code,
        "message": problem.message,
        "help": problem.help,
    })
}

fn count(problems: usize) -> String {
    match problems {
        1 => "1 problem".to_owned(),
        _ => format!("{problems} problems"),
    }
}

fn handler(ink: Ink) -> GraphicalReportHandler {
    let theme = match ink {
        Ink::Coloured => GraphicalTheme::unicode(),
        Ink::Framed => GraphicalTheme::unicode_nocolor(),
        Ink::Plain => GraphicalTheme::none(),
    };
    GraphicalReportHandler::new_themed(theme).with_links(false).with_width(WIDTH)
}

/// The file as text; bytes that are no UTF-8 are shown as the replacement character.
fn readable(source: &Source) -> String {
    String::from_utf8_lossy(&source.bytes).into_owned()
}

/// The problem's span, kept inside the readable text and on character borders.
fn place(source: &Source, problem: &Problem) -> Range<usize> {
    let text = readable(source);
    let start = text.floor_char_boundary(problem.span.start.min(text.len()));
    let end = text.floor_char_boundary(problem.span.end.clamp(start, text.len()));
    start..end
}

/// Line and column of a place that is not drawn, as its line or one beside it is too long.
fn undrawn(text: &str, span: Range<usize>) -> Option<(usize, usize)> {
    let start = text[..span.start].rfind('\n').map_or(0, |end| text[..end].rfind('\n').map_or(0, |e| e + 1));
    let lines = text[start..].split('\n');
    // The line before, the lines of the span, and the one after.
    let mut left = (span.end - start) as i64;
    let drawn = lines.scan(1, |after, line| {
        let shown = *after >= 0;
        left -= line.len() as i64 + 1;
        *after -= i64::from(left < 0);
        shown.then_some(line)
    });
    let long = drawn.into_iter().any(|line| line.len() > LONGEST_LINE);
    long.then(|| position(text, span.start))
}

/// Line and column of a byte, counted from 1, columns in characters.
fn position(text: &str, at: usize) -> (usize, usize) {
    let before = &text[..at];
    let line_start = before.rfind('\n').map_or(0, |end| end + 1);
    (before.matches('\n').count() + 1, before[line_start..].chars().count() + 1)
}

/// One problem in miette's terms.
struct Shown<'a> {
    problem: &'a Problem,
    code: &'a NamedSource<String>,
    source: &'a Source,
    /// Where it is, in lines that are too long to be drawn.
    undrawn: Option<(usize, usize)>,
}

impl fmt::Debug for Shown<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self.problem, f)
    }
}

impl fmt::Display for Shown<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some((line, column)) = self.undrawn {
            write!(f, "line {line}, column {column}: ")?;
        }
        match self.problem.field.is_empty() {
            true => f.write_str(&self.problem.message),
            false => write!(f, "{}: {}", self.problem.field, self.problem.message),
        }
    }
}

impl std::error::Error for Shown<'_> {}

impl Diagnostic for Shown<'_> {
    fn code(&self) -> Option<Box<dyn fmt::Display + '_>> {
        Some(Box::new(&self.problem.code))
    }

    fn help(&self) -> Option<Box<dyn fmt::Display + '_>> {
        (!self.problem.help.is_empty()).then(|| Box::new(&self.problem.help) as Box<dyn fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.undrawn.is_none().then_some(self.code as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        if self.undrawn.is_some() {
            return None;
        }
        let span = place(self.source, self.problem);
        Some(Box::new(std::iter::once(LabeledSpan::new_primary_with_span(Some("here".to_owned()), span))))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_count_from_one_in_characters() {
        assert_eq!(position("", 0), (1, 1));
        assert_eq!(position("a\nbé = 1", "a\nbé ".len()), (2, 4));
        assert_eq!(position("a\n", 2), (2, 1));
    }

    #[test]
    fn long_lines_are_told_and_not_drawn() {
        let long = format!("a = 1\nb = \"{}\"\nc = 2\nd = 3\n", "x".repeat(70_000));
        let at = |what: &str| long.find(what).map(|i| i..i + 1).unwrap();
        assert_eq!(undrawn(&long, at("a =")), Some((1, 1)));
        assert_eq!(undrawn(&long, at("\"\n")), Some((2, 70_006)));
        assert_eq!(undrawn(&long, at("c =")), Some((3, 1)));
        assert_eq!(undrawn(&long, at("d =")), None);
        let source = Source { path: "long.toml".into(), bytes: long.clone().into_bytes() };
        let problem = Problem {
            span: at("\"\n"),
            field: "b".into(),
            code: "range",
            message: "too long".into(),
            help: "cut it".into(),
        };
        let text = problems_text(&source, &[problem], Ink::Plain);
        assert!(text.contains("line 2, column 70006: b: too long") && text.len() < 500, "{text}");
    }

    #[test]
    fn counts_read_as_words() {
        assert_eq!((count(1), count(2)), ("1 problem".to_owned(), "2 problems".to_owned()));
    }
}
