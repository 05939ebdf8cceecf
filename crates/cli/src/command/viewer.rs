//! `view` and `picture`: the program that draws blades, found or built, and started.

use std::env;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::terminal::error::CliError;
use crate::terminal::output;

/// The program, as it stands beside this one.
const PROGRAM: &str = "seaxwright-view";
/// The sources that this program was built from.
const SOURCES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../..");
/// Where programs that draw look for a folder of their own; without one they complain, though they need none.
const RUNTIME_FOLDER: &str = "XDG_RUNTIME_DIR";

/// Starts it with a command and its arguments, and ends as it ends. Where it is not there, or is of another build,
/// `may_build` allows building it.
pub(crate) fn run(command: &str, words: Vec<OsString>, may_build: bool) -> Result<(), CliError> {
    let program = match found() {
        Some(program) if is_ours(&program)? => program,
        Some(program) if !may_build => return Err(CliError::OtherViewer(program)),
        _ if may_build => built()?,
        _ => return Err(CliError::NoViewer),
    };
    let mut child = Command::new(&program);
    child.arg(command).args(words);
    if env::var_os(RUNTIME_FOLDER).is_none() {
        child.env(RUNTIME_FOLDER, env::temp_dir());
    }
    let status = child.status().map_err(|why| CliError::Start { program, why })?;
    match status.code().map(u8::try_from) {
        Some(Ok(0)) => Ok(()),
        Some(Ok(code)) => Err(CliError::Told(code)),
        _ => Err(CliError::Stopped(status)),
    }
}

/// Whether a program that draws says that it is of the same build as this one.
fn is_ours(program: &Path) -> Result<bool, CliError> {
    let told = Command::new(program).arg("--version").stdin(Stdio::null()).stderr(Stdio::null()).output();
    let told = told.map_err(|why| CliError::Start { program: program.to_owned(), why })?;
    Ok(told.stdout == format!("{PROGRAM} {}\n", look::BUILD).as_bytes())
}

/// Beside this program, or where the system looks for programs.
fn found() -> Option<PathBuf> {
    let name = format!("{PROGRAM}{}", env::consts::EXE_SUFFIX);
    let beside = env::current_exe().ok().and_then(|me| Some(me.parent()?.join(&name)));
    let paths = env::var_os("PATH").unwrap_or_default();
    let listed = env::split_paths(&paths).map(|folder| folder.join(&name));
    beside.into_iter().chain(listed).find(|path| path.is_file())
}

/// Builds it from the sources beside this program, where both sources and Rust are at hand.
fn built() -> Result<PathBuf, CliError> {
    let manifest = Path::new(SOURCES).join("Cargo.toml");
    if !manifest.is_file() {
        return Err(CliError::NoViewer);
    }
    let target = own_target().unwrap_or_else(|| Path::new(SOURCES).join("target"));
    output::complain("building the window program: some minutes the first time\n");
    let mut cargo = Command::new("cargo");
    cargo.args(["build", "--release", "--locked", "--package", "viewer", "--manifest-path"]).arg(manifest);
    let done = cargo.arg("--target-dir").arg(&target).status();
    let program = target.join("release").join(format!("{PROGRAM}{}", env::consts::EXE_SUFFIX));
    match done {
        Ok(status) if status.success() && program.is_file() => Ok(program),
        _ => Err(CliError::NoViewer),
    }
}

/// The folder that cargo built this program in; `None` for one that was moved out of it.
fn own_target() -> Option<PathBuf> {
    let me = env::current_exe().ok()?;
    let profile = me.parent()?;
    (profile.file_name()? == "release").then(|| profile.parent().map(Path::to_owned)).flatten()
}
