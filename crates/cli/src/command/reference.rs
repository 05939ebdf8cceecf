//! `schema`, `completions`, `man` and `licences`: texts about the program itself.

use clap::CommandFactory;
use clap_complete::Shell;
use clap_mangen::Man;

use crate::ask::arguments::Arguments;
use crate::terminal::error::CliError;
use crate::terminal::output;

/// Prints the JSON Schema of the design file.
pub(crate) fn schema() -> Result<(), CliError> {
    output::say_json(&design::schema())
}

/// Prints a shell's completion script.
pub(crate) fn completions(shell: Shell) -> Result<(), CliError> {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "seaxwright", &mut script);
    output::say(&script)
}

/// Every package that is built in, with its licence; `tests/licences.rs` makes it and holds it to `Cargo.lock`.
const LICENCES: &str = include_str!("licences.txt");

/// Prints the licences of everything the program is built of.
pub(crate) fn licences() -> Result<(), CliError> {
    output::say(LICENCES.as_bytes())
}

/// Prints the manual page, the commands' own pages after the main one.
pub(crate) fn man() -> Result<(), CliError> {
    let mut page = Vec::new();
    let mut program = Arguments::command().disable_help_subcommand(true);
    program.build();
    render(&program, &mut page)?;
    for command in program.get_subcommands().cloned() {
        let name = format!("seaxwright-{}", command.get_name());
        render(&command.display_name(name), &mut page)?;
    }
    output::say(&page)
}

fn render(command: &clap::Command, page: &mut Vec<u8>) -> Result<(), CliError> {
    Man::new(command.clone()).render(page).map_err(CliError::Print)
}
