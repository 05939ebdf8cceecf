//! A design's problems as the smith reads them: the line, a caret under the place, and what would be accepted.

use std::fmt;

use design::{Problem, Spoken};
use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, SourceCode};
use serde_json::{Value, json};

use crate::terminal::error::CliError;
use crate::terminal::excerpt::Excerpt;
use crate::terminal::lines::Lines;
use crate::terminal::output::{self, Ink};
use crate::terminal::shown;
use crate::terminal::source::Source;

/// Wide enough for a sentence beside its frame, narrow enough for half a screen.
const WIDTH: usize = 100;

/// What the smith reads of an error.
pub(crate) fn error_text(error: &CliError, ink: Ink) -> String {
    match error {
        CliError::Problems { source_file, problems } => problems_text(source_file, problems, ink),
        CliError::ProblemsPrinted | CliError::Told(_) => String::new(),
        _ => {
            let told = shown::told(&error.to_string());
            error
                .help()
                .map_or_else(|| format!("error: {told}\n"), |help| format!("error: {told}\n help: {help}\n"))
        }
    }
}

/// All problems of a file, and how many they are.
fn problems_text(source: &Source, problems: &[Problem], ink: Ink) -> String {
    let (name, lines, handler) = (source.path.display().to_string(), Lines::of(&source.bytes), handler(ink));
    let file = String::from_utf8_lossy(&source.bytes);
    let spoken = Spoken::of(&file);
    let mut text = String::new();
    for problem in problems {
        let place = spoken.field(&problem.field);
        let shown = Shown::of(problem, &place, Excerpt::of(&name, &lines, &lines.within(&problem.span)));
        // Writing to a String doesn't fail; a span that miette can't place still leaves the message.
        if handler.render_report(&mut text, &shown).is_err() {
            text.push_str(&format!("{}\n", shown.message));
        }
        text.push('\n');
    }
    text.push_str(&format!("{} in {}\n", count(problems), shown::told(&name)));
    text
}

/// The error that all problems of a file come to; those asked for as JSON are printed at once.
pub(crate) fn told(source: &Source, problems: Vec<Problem>, as_json: bool) -> CliError {
    if as_json { printed(source, &problems) } else { CliError::problems(source, problems) }
}

/// Prints all problems of a file for other programs, and gives the error that follows.
fn printed(source: &Source, problems: &[Problem]) -> CliError {
    let said = output::say_json(&json!({ "problems": json(source, problems) }));
    said.err().unwrap_or(CliError::ProblemsPrinted)
}

/// All problems of a file for other programs. Lines and columns count from 1, columns in characters.
fn json(source: &Source, problems: &[Problem]) -> Vec<Value> {
    let lines = Lines::of(&source.bytes);
    problems.iter().map(|problem| entry(source, &lines, problem)).collect()
}

/// A problem as JSON, with its line and column where it has a place.
fn entry(source: &Source, lines: &Lines, problem: &Problem) -> Value {
    let span = lines.within(&problem.span);
    let (line, column) = lines.position(span.start);
    json!({
        "file": source.path.display().to_string(),
        "line": line,
        "column": column,
        "span": [span.start, span.end],
        "field": shown::shortened(&problem.field),
        "code": problem.code,
        "message": shown::shortened(&problem.message),
        "help": shown::shortened(&problem.help),
    })
}

/// How many problems there are; the last of many says how many more than a hundred.
fn count(problems: &[Problem]) -> String {
    match problems {
        [_] => "1 problem".to_owned(),
        [told @ .., last] if last.code == "more" => format!("more than {} problems", told.len()),
        _ => format!("{} problems", problems.len()),
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

/// One problem in miette's terms.
struct Shown {
    message: String,
    help: String,
    code: &'static str,
    excerpt: Excerpt,
}

impl Shown {
    fn of(problem: &Problem, place: &str, excerpt: Excerpt) -> Shown {
        let (field, message) = (shown::told(place), shown::told(&problem.message));
        let message = if field.is_empty() { message } else { format!("{field}: {message}") };
        Shown { message, help: shown::told(&problem.help), code: problem.code, excerpt }
    }
}

impl fmt::Debug for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Shown {}

impl Diagnostic for Shown {
    fn code(&self) -> Option<Box<dyn fmt::Display + '_>> {
        Some(Box::new(self.code))
    }

    fn help(&self) -> Option<Box<dyn fmt::Display + '_>> {
        (!self.help.is_empty()).then(|| Box::new(&self.help) as Box<dyn fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(&self.excerpt)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let label = LabeledSpan::new_primary_with_span(Some("here".to_owned()), self.excerpt.span());
        Some(Box::new(std::iter::once(label)))
    }
}

#[cfg(test)]
mod tests {
    use std::ops::Range;

    use super::*;

    /// What is drawn of one problem of a text.
    fn drawn(text: &str, span: Range<usize>, message: &str, ink: Ink) -> String {
        let source = Source { path: "blade.toml".into(), bytes: text.as_bytes().to_vec() };
        let (message, help) = (message.to_owned(), "cut it".to_owned());
        problems_text(&source, &[Problem { span, field: "b".into(), code: "range", message, help }], ink)
    }

    #[test]
    fn long_lines_are_drawn_around_the_fault() {
        let long = format!("a = 1\nb = \"{}\"\nc = 2\nd = 3\n", "x".repeat(70_000));
        let at = |what: &str| long.find(what).map(|i| i..i + 1).unwrap();
        for (what, place) in [("a =", "1:1"), ("\"\n", "2:70006"), ("c =", "3:1"), ("d =", "4:1")] {
            let text = drawn(&long, at(what), "too long", Ink::Plain);
            let header = format!("[blade.toml:{place}]");
            assert!(text.contains(&header) && text.contains("b: too long") && text.len() < 800, "{text}");
        }
        let text = drawn(&long, at("\"\n"), "too long", Ink::Plain);
        assert!(text.contains(" 2 | ...xxxx") && text.contains("`-- here"), "{text}");
        assert!(text.is_ascii(), "{text}");
    }

    #[test]
    fn no_place_and_no_character_stops_the_drawing() {
        let texts = [
            "",
            "\n",
            "\r",
            "\0",
            "a\r\r\nb\u{85}",
            "刃 = \"e\u{301}\u{301}\u{1b}[2J\"\r\nb = \t\t1",
            "\u{301}",
            "🗡\u{fe0f}\u{200d}🗡",
            "\u{feff}a = 1\n\n\n",
        ];
        for text in texts.into_iter().map(str::to_owned).chain(texts.map(|text| text.repeat(500))) {
            let ends =
                [0, 1, 2, 3, 7, text.len() / 2, text.len().saturating_sub(1), text.len(), text.len() + 9];
            for (start, end) in ends.iter().flat_map(|start| ends.map(|end| (*start, end.max(*start)))) {
                for ink in [Ink::Plain, Ink::Framed, Ink::Coloured] {
                    let shown = drawn(&text, start..end, &text, ink);
                    assert!(shown.contains("cut it") && shown.len() < 40_000, "{start}..{end}: {shown}");
                    let unseen = shown.chars().any(|c| c.is_control() && !"\n\t\u{1b}".contains(c));
                    assert!(!unseen && (ink == Ink::Coloured || !shown.contains('\u{1b}')), "{shown:?}");
                }
            }
        }
    }

    /// Problems of bent designs are drawn within bounds, whatever the file.
    #[test]
    fn problems_of_bent_designs_are_drawn() {
        let sound: Vec<Vec<u8>> =
            fixtures::profiles::all().into_iter().map(|p| p.text.into_bytes()).collect();
        let mut drawn = 0;
        for number in 84_000_000..84_001_500 {
            let bytes = fixtures::mutation::mutated(&sound, number);
            let Err(problems) = design::read(&bytes) else { continue };
            let begin = std::time::Instant::now();
            let text = problems_text(&Source { path: "bent.toml".into(), bytes }, &problems, Ink::Plain);
            assert!(text.len() < problems.len() * 12_000, "{number}: {} bytes", text.len());
            assert!(begin.elapsed().as_secs_f64() < 2.0, "{number}: {:?}", begin.elapsed());
            drawn += problems.len();
        }
        assert!(drawn > 1500, "{drawn}");
    }

    #[test]
    fn counts_read_as_words() {
        let problem = |code| Problem {
            span: 0..0,
            field: String::new(),
            code,
            message: String::new(),
            help: String::new(),
        };
        assert_eq!(count(&[problem("range")]), "1 problem");
        assert_eq!(count(&[problem("range"), problem("type")]), "2 problems");
        assert_eq!(count(&[problem("range"), problem("type"), problem("more")]), "more than 2 problems");
    }
}
