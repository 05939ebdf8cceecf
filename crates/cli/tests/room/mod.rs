//! A folder of its own for one test, and the command run in it.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use sha2::{Digest, Sha256};
use tempfile::TempDir;

/// A folder that goes away with the test.
pub(crate) struct Room(TempDir);

impl Room {
    /// An empty room.
    pub(crate) fn new() -> Room {
        Room(tempfile::tempdir().expect("a temporary folder"))
    }

    /// A room with a sound design in `blade.toml`.
    pub(crate) fn with_design() -> Room {
        let room = Room::new();
        assert_eq!(code(&room.run(&["new", "blade"])), 0);
        room
    }

    /// A room with one of the ferry-house's designs.
    pub(crate) fn with_profile(name: &str) -> Room {
        let profile = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles").join(name);
        let room = Room::new();
        room.write("blade.toml", fs::read_to_string(profile).expect("the profile"));
        room
    }

    /// A path in the room.
    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    /// Writes a file.
    pub(crate) fn write(&self, name: &str, bytes: impl AsRef<[u8]>) {
        fs::write(self.path(name), bytes).expect("a written file");
    }

    /// The command, standing in the room, without the colours' variables of the test's own surroundings.
    pub(crate) fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_seaxwright"));
        command.args(arguments).current_dir(self.0.path()).stdin(Stdio::null());
        for variable in ["NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "FORCE_COLOR"] {
            command.env_remove(variable);
        }
        command
    }

    /// Runs the command to its end.
    pub(crate) fn run(&self, arguments: &[&str]) -> Output {
        self.command(arguments).output().expect("the command runs")
    }

    /// Names and hashes of all files below a folder of the room.
    pub(crate) fn hashes(&self, folder: &str) -> BTreeMap<String, String> {
        let mut hashes = BTreeMap::new();
        collect(&self.path(folder), "", &mut hashes);
        hashes
    }
}

fn collect(folder: &Path, prefix: &str, hashes: &mut BTreeMap<String, String>) {
    for entry in fs::read_dir(folder).expect("a folder") {
        let entry = entry.expect("an entry");
        let name = format!("{prefix}{}", entry.file_name().to_string_lossy());
        if entry.path().is_dir() {
            collect(&entry.path(), &format!("{name}/"), hashes);
        } else {
            hashes.insert(name, sha256(&fs::read(entry.path()).expect("a readable file")));
        }
    }
}

/// In lower-case hexadecimal, as manifests have it.
fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The exit code.
pub(crate) fn code(output: &Output) -> i32 {
    output.status.code().expect("ended by itself")
}

/// What it printed.
pub(crate) fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("UTF-8")
}

/// What it complained.
pub(crate) fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("UTF-8")
}

/// What it printed, as JSON.
pub(crate) fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).expect("JSON")
}

/// The names and hashes that a folder's manifest lists.
pub(crate) fn listed(room: &Room, folder: &str) -> BTreeMap<String, String> {
    let text = fs::read(room.path(folder).join("manifest.json")).expect("a manifest");
    let manifest: Value = serde_json::from_slice(&text).expect("JSON");
    let files = manifest["files"].as_array().expect("a list of files");
    let field = |file: &Value, key: &str| file[key].as_str().expect("text").to_owned();
    files.iter().map(|file| (field(file, "name"), field(file, "sha256"))).collect()
}
