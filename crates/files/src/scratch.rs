//! A run's own temporary folder and files, locked while it lives; those of dead runs are cleared away by the next.
//!
//! The system gives a lock up when its process ends, however it ends: what can be locked belongs to nobody any more.
//! Between making and locking a thing another run may clear it away; then it is made anew.

use std::ffi::OsStr;
use std::fs::{self, File, TryLockError};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Component, Path, PathBuf};

use tempfile::{NamedTempFile, TempDir};

use crate::platform::Platform;
use crate::several::several;
use crate::temporary::{FILE_MODE, FOLDER_MODE, folder_of, is_temporary, temporary};

/// The locked file in a run's folder. It names the output, so that an old one left aside can go back to its place.
const LOCK: &str = "lock";
/// Where the new output is made, and then the old one lies, where both are exchanged in one step.
const NEW: &str = "new";
/// Where the old output waits while the new one takes its place in two steps.
const OLD: &str = "old";
/// How often a thing is made anew that another run took for left over: twice in a row is beyond all odds.
const TRIES: usize = 5;

/// The temporary folder of one run, beside its output.
#[derive(Debug)]
pub(crate) struct Scratch {
    /// Given up first, so that nothing that is locked is deleted.
    _lock: File,
    folder: TempDir,
    /// Whether it is left as it is.
    kept: bool,
}

impl Scratch {
    /// A fresh one beside `output`, after dead runs' are cleared away there.
    pub(crate) fn beside(output: &Path, platform: &Platform) -> io::Result<Scratch> {
        let parent = folder_of(output);
        clear(parent);
        let name = output.file_name().unwrap_or_default().to_string_lossy();
        for _ in 0..TRIES {
            let folder = temporary(FOLDER_MODE, platform).tempdir_in(parent)?;
            if let Some(lock) = locked(&folder.path().join(LOCK), &name)? {
                fs::create_dir(folder.path().join(NEW))?;
                return Ok(Scratch { _lock: lock, folder, kept: false });
            }
        }
        Err(io::Error::other("its temporary folder vanishes again and again"))
    }

    /// Where the new output is made.
    pub(crate) fn new_output(&self) -> PathBuf {
        self.folder.path().join(NEW)
    }

    /// Where the old output is laid aside.
    pub(crate) fn old_output(&self) -> PathBuf {
        self.folder.path().join(OLD)
    }

    /// Leaves the folder as it is: it holds the only copy of the old output.
    pub(crate) fn keep(mut self) {
        self.folder.disable_cleanup(true);
        self.kept = true;
    }
}

impl Drop for Scratch {
    /// What is large goes first and the lock last: a run killed here leaves a folder that the next one knows.
    fn drop(&mut self) {
        if !self.kept {
            let _stays_for_the_next = empty(self.folder.path());
        }
    }
}

/// Deletes the outputs in a run's folder.
fn empty(folder: &Path) -> io::Result<()> {
    for inner in [NEW, OLD] {
        match remove(&folder.join(inner)) {
            Err(why) if why.kind() != ErrorKind::NotFound => return Err(why),
            _ => {}
        }
    }
    Ok(())
}

/// Deletes a folder and all in it, several files at a time: one by one, two hundred of them may take as long as a third of
/// what a build computes.
fn remove(folder: &Path) -> io::Result<()> {
    // What can't be deleted is told below.
    let _left = several(&files_in(folder)?, |file| fs::remove_file(file));
    fs::remove_dir_all(folder)
}

/// All files in a folder and in the folders in it.
fn files_in(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        match entry.file_type()?.is_dir() {
            true => files.extend(files_in(&entry.path())?),
            false => files.push(entry.path()),
        }
    }
    Ok(files)
}

/// A new file that this run has locked; none where another run cleared it away meanwhile.
fn locked(path: &Path, name: &str) -> io::Result<Option<File>> {
    let mut file = match File::create_new(path) {
        Err(why) if why.kind() == ErrorKind::NotFound => return Ok(None),
        file => file?,
    };
    file.write_all(name.as_bytes())?;
    Ok((lock(&file) && path.exists()).then_some(file))
}

/// Whether a file of this run's own is locked now, or can't be on this file system, where none is ever cleared away.
fn lock(file: &File) -> bool {
    !matches!(file.try_lock(), Err(TryLockError::WouldBlock))
}

/// A temporary file of this run beside `path`, locked until it is dropped, after dead runs' are cleared away there.
pub(crate) fn file_beside(path: &Path) -> io::Result<NamedTempFile> {
    let parent = folder_of(path);
    clear(parent);
    for _ in 0..TRIES {
        let file = temporary(FILE_MODE, &Platform::HERE).tempfile_in(parent)?;
        if lock(file.as_file()) && file.path().exists() {
            return Ok(file);
        }
    }
    Err(io::Error::other("its temporary file vanishes again and again"))
}

/// Clears away what dead runs left in a folder. What can't be cleared stays: it harms nobody.
fn clear(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten().filter(|e| e.file_name().to_str().is_some_and(is_temporary)) {
        let _stays = match entry.file_type() {
            Ok(sort) if sort.is_dir() => clear_folder(folder, &entry.path()),
            Ok(sort) if sort.is_file() => clear_file(&entry.path()),
            _ => Ok(()),
        };
    }
}

fn clear_file(path: &Path) -> io::Result<()> {
    let file = File::options().read(true).write(true).open(path)?;
    if file.try_lock().is_err() {
        return Ok(());
    }
    drop(file);
    fs::remove_file(path)
}

/// Clears away the folder of a dead run; the lock last, so that a run killed here leaves no less.
fn clear_folder(parent: &Path, folder: &Path) -> io::Result<()> {
    let mut lock = match File::options().read(true).write(true).open(folder.join(LOCK)) {
        // A run that was killed before it had one: nothing can be in it, or it is not ours.
        Err(why) if why.kind() == ErrorKind::NotFound => return fs::remove_dir(folder),
        lock => lock?,
    };
    if lock.try_lock().is_err() {
        return Ok(());
    }
    let mut name = String::new();
    lock.read_to_string(&mut name)?;
    put_back(&folder.join(OLD), parent, OsStr::new(&name))?;
    empty(folder)?;
    drop(lock);
    fs::remove_dir_all(folder)
}

/// An old output that a run laid aside goes back to its place where that is empty: the run died before the new one was
/// there.
fn put_back(old: &Path, parent: &Path, name: &OsStr) -> io::Result<()> {
    let plain = matches!(Path::new(name).components().collect::<Vec<_>>()[..], [Component::Normal(_)]);
    let place = parent.join(name);
    if plain && old.is_dir() && !place.try_exists()? {
        fs::rename(old, place)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names_in(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        let mut names: Vec<_> =
            entries.map(|e| e.unwrap().file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }

    /// What a run leaves that is killed: its folder, no longer locked.
    fn dead(output: &Path) -> PathBuf {
        let scratch = Scratch::beside(output, &Platform::HERE).unwrap();
        let folder = scratch.folder.path().to_owned();
        scratch.keep();
        folder
    }

    #[test]
    fn the_next_run_clears_away_what_dead_ones_left() {
        let room = tempfile::tempdir().unwrap();
        let output = room.path().join("out");
        let left = dead(&output);
        fs::write(left.join(NEW).join("blade.stl"), "half").unwrap();
        let empty = room.path().join(".seaxwright-nolock.tmp");
        fs::create_dir(&empty).unwrap();
        fs::write(room.path().join(".seaxwright-abc.tmp"), "half a file").unwrap();
        let living = Scratch::beside(&output, &Platform::HERE).unwrap();
        assert_eq!(names_in(room.path()), [living.folder.path().file_name().unwrap().to_str().unwrap()]);
        drop(living);
        assert!(names_in(room.path()).is_empty());
    }

    #[test]
    fn what_lives_or_is_not_ours_stays() {
        let room = tempfile::tempdir().unwrap();
        let output = room.path().join("out");
        let living = Scratch::beside(&output, &Platform::HERE).unwrap();
        let file = file_beside(&output).unwrap();
        for theirs in [".seaxwright-theirs.tmp", "seaxwright-1.tmp", "notes.tmp"] {
            fs::create_dir(room.path().join(theirs)).unwrap();
            fs::write(room.path().join(theirs).join("letter.txt"), "dear").unwrap();
        }
        clear(room.path());
        assert!(living.new_output().is_dir() && file.path().exists());
        assert_eq!(names_in(room.path()).len(), 5);
    }

    #[test]
    fn an_old_output_laid_aside_goes_back() {
        let room = tempfile::tempdir().unwrap();
        let output = room.path().join("out");
        let left = dead(&output);
        fs::create_dir(left.join(OLD)).unwrap();
        fs::write(left.join(OLD).join("blade.stl"), "old").unwrap();
        clear(room.path());
        assert_eq!(names_in(room.path()), ["out"]);
        assert_eq!(fs::read(output.join("blade.stl")).unwrap(), b"old");
        // With the new one in place it is left over.
        let left = dead(&output);
        fs::create_dir(left.join(OLD)).unwrap();
        clear(room.path());
        assert_eq!(
            (names_in(room.path()), names_in(&output)),
            (vec!["out".to_owned()], vec!["blade.stl".to_owned()])
        );
        for name in ["..", "", "a/b", "/tmp"] {
            let elsewhere = room.path().join("old");
            fs::create_dir_all(&elsewhere).unwrap();
            put_back(&elsewhere, room.path(), OsStr::new(name)).unwrap();
            assert!(elsewhere.exists(), "{name}");
        }
    }
}
