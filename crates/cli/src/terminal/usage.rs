//! What is said of a command line that can't be read: the word at fault, and what would be accepted.

use std::process::ExitCode;

use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{CommandFactory, Error};

use crate::ask::arguments::Arguments;
use crate::terminal::{diagnostics, output, shown};

/// Says what a command line asked for, or what is wrong with it.
pub(crate) fn answer(fault: &Error) -> ExitCode {
    match told(fault, std::env::args_os().nth(1).as_ref().and_then(|word| word.to_str())) {
        Some(text) => {
            output::complain(&shown::told(&text));
            ExitCode::from(2)
        }
        // Help and version; and what has no words of ours.
        None => match output::said(fault.print()) {
            Ok(()) => ExitCode::from(if fault.exit_code() == 0 { 0 } else { 2 }),
            Err(error) => {
                output::complain(&diagnostics::error_text(&error, output::ink()));
                error.code()
            }
        },
    }
}

/// The error and its help, where `asked` was the first word; `None` for help that was asked for, and for faults that hardly
/// anybody makes.
fn told(fault: &Error, asked: Option<&str>) -> Option<String> {
    let asking = |fault: &Error| asking(fault, asked);
    let words = |kind| fault.get(kind).map_or_else(Vec::new, in_words);
    let word = |kind| words(kind).join(" ");
    let argument = word(ContextKind::InvalidArg);
    let (wrong, help) = match fault.kind() {
        ErrorKind::InvalidSubcommand => {
            let near =
                nearest(&words(ContextKind::SuggestedSubcommand), "seaxwright --help lists the commands");
            (format!("there is no command `{}`", word(ContextKind::InvalidSubcommand)), near)
        }
        ErrorKind::UnknownArgument => {
            let near = nearest(&words(ContextKind::SuggestedArg), &asking(fault));
            if argument.starts_with('-') {
                (format!("`{argument}` is not known here"), near)
            } else {
                (
                    format!("`{argument}` is one word too many"),
                    format!("put quotes around a name with spaces; {near}"),
                )
            }
        }
        ErrorKind::MissingRequiredArgument => (format!("{argument} is missing"), asking(fault)),
        ErrorKind::InvalidValue => {
            let (given, known) = (word(ContextKind::InvalidValue), words(ContextKind::ValidValue).join(", "));
            let wrong = match given.as_str() {
                "" => format!("{argument} needs a value"),
                _ => format!("{argument}: `{given}` is not known here"),
            };
            (wrong, if known.is_empty() { asking(fault) } else { format!("give one of: {known}") })
        }
        ErrorKind::ValueValidation => {
            let why = std::error::Error::source(fault).map_or_else(String::new, |why| format!(": {why}"));
            (format!("{argument}: `{}`{why}", word(ContextKind::InvalidValue)), asking(fault))
        }
        ErrorKind::ArgumentConflict if word(ContextKind::PriorArg) == argument => {
            (format!("{argument} is given twice"), "give it once".to_owned())
        }
        ErrorKind::ArgumentConflict => {
            let other = word(ContextKind::PriorArg);
            (format!("{argument} and {other} don't go together"), "leave one of them out".to_owned())
        }
        _ => return None,
    };
    Some(format!("error: {wrong}\n help: {help}\n"))
}

/// The one that is likely meant, or where all stand.
fn nearest(near: &[String], all: &str) -> String {
    match near.iter().rev().find(|word| !word.is_empty()) {
        Some(word) => format!("did you mean `{word}`? {all}"),
        None => all.to_owned(),
    }
}

/// How to ask for the command's own help.
fn asking(fault: &Error, asked: Option<&str>) -> String {
    let usage = fault.get(ContextKind::Usage).map_or_else(String::new, |usage| usage.to_string());
    let command: Vec<&str> = usage
        .split_whitespace()
        .skip_while(|word| *word != "seaxwright")
        .take_while(|word| !word.starts_with(['<', '[', '-']))
        .collect();
    let known = asked.filter(|word| Arguments::command().find_subcommand(word).is_some());
    let command = match (command.is_empty(), known) {
        (false, _) => command.join(" "),
        (true, Some(word)) => format!("seaxwright {word}"),
        (true, None) => "seaxwright".to_owned(),
    };
    format!("{command} --help says what it takes")
}

/// What a fault says of itself.
fn in_words(value: &ContextValue) -> Vec<String> {
    match value {
        ContextValue::String(word) => vec![word.clone()],
        ContextValue::Strings(words) => words.clone(),
        ContextValue::Number(number) => vec![number.to_string()],
        _ => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use clap::Parser;

    use super::*;

    fn of(line: &str) -> String {
        let fault = Arguments::try_parse_from(line.split(' ')).unwrap_err();
        told(&fault, line.split(' ').nth(1)).unwrap_or_else(|| panic!("{line}: {fault}"))
    }

    /// Each names the word at fault and what would be accepted, and nothing is left of the parser's own words.
    #[test]
    fn slips_on_the_command_line_are_told_in_a_smiths_words() {
        for (line, wrong, help) in [
            ("seaxwright chek x", "no command `chek`", "did you mean `check`?"),
            ("seaxwright hammer", "no command `hammer`", "lists the commands"),
            ("seaxwright check", "<DESIGN> is missing", "seaxwright check --help"),
            ("seaxwright compare x", "<MEASURED> is missing", "seaxwright compare --help"),
            ("seaxwright build x --stag forged", "`--stag` is not known here", "did you mean `--stage`?"),
            ("seaxwright build x --stage forgd", "`forgd` is not known here", "forged, ground, finished"),
            (
                "seaxwright plan x y",
                "`y` is one word too many",
                "quotes around a name with spaces; seaxwright plan --help",
            ),
            ("seaxwright build x --only", "needs a value", "step, stl"),
            ("seaxwright layers x --at", "needs a value", "seaxwright layers --help"),
            ("seaxwright layers x --dots 1 --dots 2", "--dots <DOTS> is given twice", "give it once"),
            ("seaxwright layers x --dots none", "--dots <DOTS>: `none`", "seaxwright layers --help"),
            ("seaxwright metal x --hot warm", "--hot <DEGREES>: `warm`", "seaxwright metal --help"),
            ("seaxwright new x --unit cm", "`cm` is not known here", "give one of: mm, in"),
        ] {
            let text = of(line);
            assert!(
                text.starts_with("error: ") && text.contains(wrong) && text.contains(help),
                "{line}: {text}"
            );
        }
        for line in ["seaxwright --help", "seaxwright check --help", "seaxwright --version"] {
            assert!(told(&Arguments::try_parse_from(line.split(' ')).unwrap_err(), None).is_none());
        }
    }
}
