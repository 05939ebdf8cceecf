//! `schema`, `completions` and `man`: texts about the program itself.

use clap::CommandFactory;
use clap_complete::Shell;
use clap_mangen::Man;

use crate::arguments::Arguments;
use crate::stop::Stop;
use crate::terminal;

/// Prints the JSON Schema of the design file.
pub(crate) fn schema() -> Result<(), Stop> {
    terminal::say_json(&design::schema())
}

/// Prints a shell's completion script.
pub(crate) fn completions(shell: Shell) -> Result<(), Stop> {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "seaxwright", &mut script);
    terminal::say(&script)
}

/// Prints the manual page, the commands' own pages after the main one.
pub(crate) fn man() -> Result<(), Stop> {
    let mut page = Vec::new();
    let mut program = Arguments::command().disable_help_subcommand(true);
    program.build();
    render(&program, &mut page)?;
    for command in program.get_subcommands().cloned() {
        let name = format!("seaxwright-{}", command.get_name());
        render(&command.display_name(name), &mut page)?;
    }
    terminal::say(&page)
}

fn render(command: &clap::Command, page: &mut Vec<u8>) -> Result<(), Stop> {
    Man::new(command.clone()).render(page).map_err(Stop::Print)
}
