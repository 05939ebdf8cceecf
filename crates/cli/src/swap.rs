//! Replacing an output folder as a whole: all of the new one or all of the old one, and only ever our own.

use std::collections::BTreeSet;
use std::fs::{self, File, Permissions};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

use tempfile::{Builder, TempDir};

use crate::stop::Stop;

/// The list of what a build wrote; its presence says that a folder is ours.
pub(crate) const MANIFEST: &str = "manifest.json";

/// What an ordinary new file gets before the user's mask is taken off (temporary ones are private otherwise).
pub(crate) const FILE_MODE: u32 = 0o666;

/// What an ordinary new folder gets before the user's mask is taken off.
const FOLDER_MODE: u32 = 0o777;

/// A file's name, one folder deep at most, and its bytes.
pub(crate) type Named<'a> = (&'a str, &'a [u8]);

/// The folders that files stand in, each once.
fn folders<'a>(files: &[Named<'a>]) -> BTreeSet<&'a str> {
    files.iter().filter_map(|(name, _)| name.split_once('/')).map(|(folder, _)| folder).collect()
}

/// An output folder that may be replaced: new, empty, or written by an earlier build.
#[derive(Debug)]
pub(crate) struct Target {
    folder: PathBuf,
}

impl Target {
    /// Makes sure, before any work, that the folder may be replaced.
    pub(crate) fn claim(folder: &Path) -> Result<Target, Stop> {
        let unwritable = |why| Stop::Write { path: folder.to_owned(), why };
        let folder = settle(folder).map_err(unwritable)?;
        refuse_unfit(&folder)?;
        if folder.try_exists().map_err(unwritable)? {
            refuse_foreign(&folder)?;
        }
        Ok(Target { folder })
    }

    /// Puts these files in the folder's place. Whatever fails, the folder is as it was.
    pub(crate) fn replace(&self, files: &[Named<'_>]) -> Result<(), Stop> {
        if self.folder.exists() {
            refuse_foreign(&self.folder)?;
        }
        self.write_and_swap(files).map_err(|why| Stop::Write { path: self.folder.clone(), why })
    }

    fn write_and_swap(&self, files: &[Named<'_>]) -> io::Result<()> {
        let parent = folder_of(&self.folder);
        fs::create_dir_all(parent)?;
        let fresh = temporary(".seaxwright-", FOLDER_MODE).tempdir_in(parent)?;
        for folder in folders(files) {
            fs::create_dir(fresh.path().join(folder))?;
        }
        for (name, bytes) in files {
            write(&fresh.path().join(name), bytes)?;
        }
        for folder in folders(files).into_iter().chain([""]) {
            sync_folder(&fresh.path().join(folder))?;
        }
        put(fresh, &self.folder)
    }
}

/// Writes all of a file or none of it, and only where nothing is yet.
pub(crate) fn write_new(path: &Path, bytes: &[u8]) -> Result<(), Stop> {
    create(path, bytes).map_err(|why| match why.kind() {
        ErrorKind::AlreadyExists => Stop::Exists(path.to_owned()),
        _ => Stop::Write { path: path.to_owned(), why },
    })
}

fn create(path: &Path, bytes: &[u8]) -> io::Result<()> {
    if path.try_exists()? {
        return Err(ErrorKind::AlreadyExists.into());
    }
    let mut file = temporary(".seaxwright-", FILE_MODE).tempfile_in(folder_of(path))?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    file.persist_noclobber(path)?;
    Ok(())
}

/// A temporary file or folder beside the real one, with the permissions that the real one shall have.
pub(crate) fn temporary(prefix: &'static str, mode: u32) -> Builder<'static, 'static> {
    let mut builder = Builder::new();
    builder.prefix(prefix).suffix(".tmp");
    if let Some(permissions) = permissions(mode) {
        builder.permissions(permissions);
    }
    builder
}

#[cfg(unix)]
fn permissions(mode: u32) -> Option<Permissions> {
    use std::os::unix::fs::PermissionsExt;
    Some(Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn permissions(_mode: u32) -> Option<Permissions> {
    None
}

/// The folder that holds a path; the current one for a bare name.
pub(crate) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}

/// The real folder behind links, so that a link to an output folder stays a link.
fn settle(folder: &Path) -> io::Result<PathBuf> {
    match folder.canonicalize() {
        Err(fault) if fault.kind() == ErrorKind::NotFound => std::path::absolute(folder),
        settled => settled,
    }
}

/// The new folder takes the place of the old, so the old can't be one that others stand on.
fn refuse_unfit(folder: &Path) -> Result<(), Stop> {
    let here = std::env::current_dir().and_then(|here| here.canonicalize()).unwrap_or_default();
    let why = if folder.file_name().is_none() {
        "it has no folder above it"
    } else if here.starts_with(folder) {
        "you are standing in it"
    } else if folder.exists() && !folder.is_dir() {
        "it is not a folder"
    } else {
        return Ok(());
    };
    Err(Stop::Folder { folder: folder.to_owned(), why })
}

/// Refuses a folder that holds anything that the manifest in it does not list.
fn refuse_foreign(folder: &Path) -> Result<(), Stop> {
    let ours = listed(folder)?;
    for (name, is_file) in contents(folder)? {
        let inside = format!("{name}/");
        let known = if is_file { ours.contains(&name) } else { ours.iter().any(|o| o.starts_with(&inside)) };
        if !known {
            return Err(Stop::Foreign { folder: folder.to_owned(), found: name });
        }
        let within = if is_file { Vec::new() } else { contents(&folder.join(&name))? };
        if let Some((found, _)) =
            within.iter().find(|(n, is_file)| !is_file || !ours.contains(&(inside.clone() + n)))
        {
            return Err(Stop::Foreign { folder: folder.to_owned(), found: inside + found });
        }
    }
    Ok(())
}

/// What a folder holds: names, and whether each is a plain file, or otherwise a folder. Anything else is named with
/// its parent as a file would be that no manifest lists.
fn contents(folder: &Path) -> Result<Vec<(String, bool)>, Stop> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).map_err(|why| unreadable(folder, why))? {
        let entry = entry.map_err(|why| unreadable(folder, why))?;
        let sort = entry.file_type().map_err(|why| unreadable(folder, why))?;
        let name = entry.file_name().to_string_lossy().into_owned();
        found.push(if sort.is_file() || sort.is_dir() {
            (name, sort.is_file())
        } else {
            (name + " (a link)", true)
        });
    }
    found.sort();
    Ok(found)
}

fn unreadable(path: &Path, why: io::Error) -> Stop {
    Stop::Read { path: path.to_owned(), why }
}

/// The names that the folder's manifest lists, its own among them; none without a manifest of ours.
fn listed(folder: &Path) -> Result<BTreeSet<String>, Stop> {
    let path = folder.join(MANIFEST);
    match fs::read(&path) {
        Ok(bytes) => Ok(names(&bytes).unwrap_or_default()),
        Err(why) if why.kind() == ErrorKind::NotFound => Ok(BTreeSet::new()),
        Err(why) => Err(unreadable(&path, why)),
    }
}

fn names(manifest: &[u8]) -> Option<BTreeSet<String>> {
    let manifest: serde_json::Value = serde_json::from_slice(manifest).ok()?;
    let mut names = BTreeSet::from([MANIFEST.to_owned()]);
    for file in manifest.get("files")?.as_array()? {
        names.insert(file.get("name")?.as_str()?.to_owned());
    }
    Some(names)
}

fn write(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = File::create_new(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// Has the folder's entries on disk before it is moved into place.
#[cfg(unix)]
fn sync_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

/// Other systems don't open folders as files.
#[cfg(not(unix))]
fn sync_folder(_folder: &Path) -> io::Result<()> {
    Ok(())
}

/// Moves the fresh folder to its place. An old one is exchanged for it in one step where the system can.
fn put(fresh: TempDir, folder: &Path) -> io::Result<()> {
    if !folder.exists() {
        fs::rename(fresh.path(), folder)?;
        let _moved_away = fresh.keep();
        return Ok(());
    }
    if exchange(fresh.path(), folder) {
        // The temporary name now holds the old folder; the new one is in place whether or not this succeeds.
        let _old_one_left = fresh.close();
        return Ok(());
    }
    put_in_two_steps(fresh, folder)
}

/// The old folder aside, the new one in, the old one gone; back again when the second step fails.
fn put_in_two_steps(fresh: TempDir, folder: &Path) -> io::Result<()> {
    let aside = temporary(".seaxwright-", FOLDER_MODE).tempdir_in(folder_of(folder))?;
    let old = aside.path().join("old");
    fs::rename(folder, &old)?;
    if let Err(fault) = fs::rename(fresh.path(), folder) {
        if fs::rename(&old, folder).is_err() {
            // Never delete the only copy of the previous output.
            let _kept = aside.keep();
        }
        return Err(fault);
    }
    let _moved_away = fresh.keep();
    let _old_one_left = aside.close();
    Ok(())
}

/// Exchanges two folders in one step; false when the system or the file system can't.
#[cfg(target_os = "linux")]
fn exchange(one: &Path, other: &Path) -> bool {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE).is_ok()
}

#[cfg(not(target_os = "linux"))]
fn exchange(_one: &Path, _other: &Path) -> bool {
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    const FIRST: &[Named<'_>] = &[("a.stl", b"1"), (MANIFEST, br#"{"files":[{"name":"a.stl"}]}"#)];
    const SECOND: &[Named<'_>] = &[("b.stl", b"2"), (MANIFEST, br#"{"files":[{"name":"b.stl"}]}"#)];

    fn names_in(folder: &Path) -> BTreeSet<String> {
        let entries = fs::read_dir(folder).expect("a folder");
        entries.map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned()).collect()
    }

    fn set(names: &[&str]) -> BTreeSet<String> {
        names.iter().map(|name| (*name).to_owned()).collect()
    }

    #[test]
    fn the_second_build_replaces_the_first_and_leaves_nothing_beside_it() {
        let room = tempfile::tempdir().expect("a folder");
        let out = room.path().join("deep/out");
        Target::claim(&out).and_then(|target| target.replace(FIRST)).expect("the first");
        assert_eq!(names_in(&out), set(&["a.stl", MANIFEST]));
        Target::claim(&out).and_then(|target| target.replace(SECOND)).expect("the second");
        assert_eq!(names_in(&out), set(&["b.stl", MANIFEST]));
        assert_eq!(names_in(&room.path().join("deep")), set(&["out"]));
    }

    #[test]
    fn two_steps_do_what_the_exchange_does() {
        let room = tempfile::tempdir().expect("a folder");
        let out = room.path().join("out");
        Target::claim(&out).and_then(|target| target.replace(FIRST)).expect("the first");
        let fresh = temporary(".seaxwright-", FOLDER_MODE).tempdir_in(room.path()).expect("a folder");
        write(&fresh.path().join("b.stl"), b"2").expect("a file");
        put_in_two_steps(fresh, &out).expect("the swap");
        assert_eq!(names_in(&out), set(&["b.stl"]));
        assert_eq!(names_in(room.path()), set(&["out"]));
    }

    #[test]
    fn two_steps_back_when_the_second_fails() {
        let room = tempfile::tempdir().expect("a folder");
        let out = room.path().join("out");
        Target::claim(&out).and_then(|target| target.replace(FIRST)).expect("the first");
        let fresh = temporary(".seaxwright-", FOLDER_MODE).tempdir_in(room.path()).expect("a folder");
        fs::remove_dir(fresh.path()).expect("removed under its feet");
        assert!(put_in_two_steps(fresh, &out).is_err());
        assert_eq!(names_in(&out), set(&["a.stl", MANIFEST]));
        assert_eq!(names_in(room.path()), set(&["out"]));
    }

    #[test]
    fn foreign_files_folders_and_missing_manifests_are_refused() {
        let room = tempfile::tempdir().expect("a folder");
        let out = room.path().join("out");
        Target::claim(&out).and_then(|target| target.replace(FIRST)).expect("the first");
        fs::write(out.join("notes.txt"), "mine").expect("a note");
        assert!(matches!(Target::claim(&out), Err(Stop::Foreign { found, .. }) if found == "notes.txt"));
        fs::remove_file(out.join("notes.txt")).expect("gone");
        fs::remove_file(out.join(MANIFEST)).expect("gone");
        assert!(matches!(Target::claim(&out), Err(Stop::Foreign { found, .. }) if found == "a.stl"));
    }
}
