//! Replacing an output folder as a whole: all of the new one or all of the old one, and only ever our own.

use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io::{self, ErrorKind, Write};
use std::panic::resume_unwind;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use tempfile::TempDir;

use crate::fault::FileFault;
use crate::temporary::{FOLDER_MODE, folder_of, temporary};

/// The file by which a folder is known as ours, and how it lists what was written beside it.
#[derive(Clone, Copy, Debug)]
pub struct Manifest {
    /// Its name in the folder.
    pub name: &'static str,
    /// The names that its bytes list; none when they are no manifest.
    pub listed: fn(&[u8]) -> Option<BTreeSet<String>>,
}

/// A file's name, one folder deep at most, and its bytes.
pub type Named<'a> = (&'a str, &'a [u8]);

/// The folders that files stand in, each once.
fn folders<'a>(files: &[Named<'a>]) -> BTreeSet<&'a str> {
    files.iter().filter_map(|(name, _)| name.split_once('/')).map(|(folder, _)| folder).collect()
}

/// An output folder that may be replaced: new, empty, or written by an earlier build.
#[derive(Debug)]
pub struct OutputFolder {
    folder: PathBuf,
    manifest: Manifest,
}

impl OutputFolder {
    /// Makes sure, before any work, that the folder may be replaced.
    ///
    /// # Errors
    /// A [`FileFault`] that says why not.
    pub fn claim(folder: &Path, manifest: Manifest) -> Result<OutputFolder, FileFault> {
        let unwritable = |why| FileFault::Write { path: folder.to_owned(), why };
        let folder = settle(folder).map_err(unwritable)?;
        refuse_unfit(&folder)?;
        if folder.try_exists().map_err(unwritable)? {
            refuse_foreign(&folder, manifest)?;
        }
        Ok(OutputFolder { folder, manifest })
    }

    /// Puts these files in the folder's place. Whatever fails, the folder is as it was.
    ///
    /// # Errors
    /// A [`FileFault`] when the folder has meanwhile got something foreign, or can't be written.
    pub fn replace(&self, files: &[Named<'_>]) -> Result<(), FileFault> {
        if self.folder.exists() {
            refuse_foreign(&self.folder, self.manifest)?;
        }
        self.write_and_swap(files).map_err(|why| FileFault::Write { path: self.folder.clone(), why })
    }

    /// Writes all files into a fresh folder beside the old one, then puts it in its place.
    fn write_and_swap(&self, files: &[Named<'_>]) -> io::Result<()> {
        let parent = folder_of(&self.folder);
        fs::create_dir_all(parent)?;
        let fresh = temporary(FOLDER_MODE).tempdir_in(parent)?;
        for folder in folders(files) {
            fs::create_dir(fresh.path().join(folder))?;
        }
        write_all(fresh.path(), files)?;
        for folder in folders(files).into_iter().chain([""]) {
            sync_folder(&fresh.path().join(folder))?;
        }
        put(fresh, &self.folder)
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
fn refuse_unfit(folder: &Path) -> Result<(), FileFault> {
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
    Err(FileFault::Folder { folder: folder.to_owned(), why })
}

/// Refuses a folder that holds anything that the manifest in it does not list.
fn refuse_foreign(folder: &Path, manifest: Manifest) -> Result<(), FileFault> {
    let ours = listed(folder, manifest)?;
    for (name, is_file) in contents(folder)? {
        let inside = format!("{name}/");
        let known = if is_file { ours.contains(&name) } else { ours.iter().any(|o| o.starts_with(&inside)) };
        if !known {
            return Err(FileFault::Foreign { folder: folder.to_owned(), found: name });
        }
        let within = if is_file { Vec::new() } else { contents(&folder.join(&name))? };
        if let Some((found, _)) =
            within.iter().find(|(n, is_file)| !is_file || !ours.contains(&(inside.clone() + n)))
        {
            return Err(FileFault::Foreign { folder: folder.to_owned(), found: inside + found });
        }
    }
    Ok(())
}

/// What a folder holds: names, and whether each is a plain file, or otherwise a folder. Anything else is named with
/// its parent as a file would be that no manifest lists.
fn contents(folder: &Path) -> Result<Vec<(String, bool)>, FileFault> {
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

fn unreadable(path: &Path, why: io::Error) -> FileFault {
    FileFault::Read { path: path.to_owned(), why }
}

/// The names that the folder's manifest lists, its own among them; none without a manifest of ours.
fn listed(folder: &Path, manifest: Manifest) -> Result<BTreeSet<String>, FileFault> {
    let path = folder.join(manifest.name);
    match fs::read(&path) {
        Ok(bytes) => {
            let mut ours = (manifest.listed)(&bytes);
            if let Some(ours) = &mut ours {
                ours.insert(manifest.name.to_owned());
            }
            Ok(ours.unwrap_or_default())
        }
        Err(why) if why.kind() == ErrorKind::NotFound => Ok(BTreeSet::new()),
        Err(why) => Err(unreadable(&path, why)),
    }
}

/// Files written at a time: each waits for the disk, which takes several at once.
const WRITERS: usize = 8;

/// Writes all files below a folder, several at a time.
fn write_all(folder: &Path, files: &[Named<'_>]) -> io::Result<()> {
    let next = AtomicUsize::new(0);
    let run = || -> io::Result<()> {
        while let Some((name, bytes)) = files.get(next.fetch_add(1, Ordering::Relaxed)) {
            write(&folder.join(name), bytes)?;
        }
        Ok(())
    };
    thread::scope(|scope| {
        let running: Vec<_> = (0..WRITERS.min(files.len())).map(|_| scope.spawn(run)).collect();
        running.into_iter().try_for_each(|t| t.join().unwrap_or_else(|panic| resume_unwind(panic)))
    })
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
    let aside = temporary(FOLDER_MODE).tempdir_in(folder_of(folder))?;
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

    const MANIFEST: &str = "list.txt";
    /// A manifest of one name a line.
    const LINES: Manifest = Manifest {
        name: MANIFEST,
        listed: |bytes| Some(str::from_utf8(bytes).ok()?.lines().map(str::to_owned).collect()),
    };
    const FIRST: &[Named<'_>] = &[("a.stl", b"1"), (MANIFEST, b"a.stl")];
    const SECOND: &[Named<'_>] = &[("b.stl", b"2"), (MANIFEST, b"b.stl")];

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
        OutputFolder::claim(&out, LINES).and_then(|target| target.replace(FIRST)).expect("the first");
        assert_eq!(names_in(&out), set(&["a.stl", MANIFEST]));
        OutputFolder::claim(&out, LINES).and_then(|target| target.replace(SECOND)).expect("the second");
        assert_eq!(names_in(&out), set(&["b.stl", MANIFEST]));
        assert_eq!(names_in(&room.path().join("deep")), set(&["out"]));
    }

    #[test]
    fn two_steps_do_what_the_exchange_does() {
        let room = tempfile::tempdir().expect("a folder");
        let out = room.path().join("out");
        OutputFolder::claim(&out, LINES).and_then(|target| target.replace(FIRST)).expect("the first");
        let fresh = temporary(FOLDER_MODE).tempdir_in(room.path()).expect("a folder");
        write(&fresh.path().join("b.stl"), b"2").expect("a file");
        put_in_two_steps(fresh, &out).expect("the swap");
        assert_eq!(names_in(&out), set(&["b.stl"]));
        assert_eq!(names_in(room.path()), set(&["out"]));
    }

    #[test]
    fn two_steps_back_when_the_second_fails() {
        let room = tempfile::tempdir().expect("a folder");
        let out = room.path().join("out");
        OutputFolder::claim(&out, LINES).and_then(|target| target.replace(FIRST)).expect("the first");
        let fresh = temporary(FOLDER_MODE).tempdir_in(room.path()).expect("a folder");
        fs::remove_dir(fresh.path()).expect("removed under its feet");
        assert!(put_in_two_steps(fresh, &out).is_err());
        assert_eq!(names_in(&out), set(&["a.stl", MANIFEST]));
        assert_eq!(names_in(room.path()), set(&["out"]));
    }

    #[test]
    fn foreign_files_folders_and_missing_manifests_are_refused() {
        let room = tempfile::tempdir().expect("a folder");
        let out = room.path().join("out");
        OutputFolder::claim(&out, LINES).and_then(|target| target.replace(FIRST)).expect("the first");
        fs::write(out.join("notes.txt"), "mine").expect("a note");
        assert!(
            matches!(OutputFolder::claim(&out, LINES), Err(FileFault::Foreign { found, .. }) if found == "notes.txt")
        );
        fs::remove_file(out.join("notes.txt")).expect("gone");
        fs::remove_file(out.join(MANIFEST)).expect("gone");
        assert!(
            matches!(OutputFolder::claim(&out, LINES), Err(FileFault::Foreign { found, .. }) if found == "a.stl")
        );
    }
}
