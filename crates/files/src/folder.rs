//! Replacing an output folder as a whole: all of the new one or all of the old one, and only ever our own.

use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io::{self, ErrorKind, Write};
use std::panic::resume_unwind;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::SystemTime;

use crate::fault::FileFault;
use crate::names;
use crate::platform::Platform;
use crate::scratch::Scratch;
use crate::several::{AT_A_TIME, several};
use crate::temporary::folder_of;

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

/// Hands out these files.
fn handed(files: &[Named<'_>]) -> impl FnOnce(&Outlet) -> Result<(), FileFault> {
    |outlet| {
        files.iter().for_each(|(name, bytes)| outlet.put(name, Arc::from(*bytes)));
        Ok(())
    }
}

/// A file's name and its bytes, to be written.
type Handed = (String, Arc<[u8]>);

/// Where the files of an output go as they are made: they are written meanwhile, for the disk is slow.
#[derive(Debug)]
pub struct Outlet(Sender<Handed>);

impl Outlet {
    /// Takes a file, its name one folder deep at most. Whether it could be written shows in the end.
    pub fn put(&self, name: &str, bytes: Arc<[u8]>) {
        // Nobody takes it any more where none could be written: what was wrong is known by then.
        let _untaken = self.0.send((name.to_owned(), bytes));
    }
}

/// An output folder that may be replaced: new, empty, or written by an earlier build.
#[derive(Debug)]
pub struct OutputFolder {
    folder: PathBuf,
    manifest: Manifest,
    /// The output that was there when it was claimed.
    seen: Option<Seen>,
    platform: Platform,
}

/// By what an output is known again: when its manifest was written, and the manifest.
type Seen = (SystemTime, Vec<u8>);

impl OutputFolder {
    /// Makes sure, before any work, that the folder may be replaced.
    ///
    /// # Errors
    /// A [`FileFault`] that says why not.
    pub fn claim(folder: &Path, manifest: Manifest) -> Result<OutputFolder, FileFault> {
        OutputFolder::claim_on(folder, manifest, Platform::HERE)
    }

    /// The same on a platform: named, settled, and refused where it is somebody else's.
    fn claim_on(folder: &Path, manifest: Manifest, platform: Platform) -> Result<OutputFolder, FileFault> {
        let unwritable = |why| FileFault::Write { path: folder.to_owned(), why };
        names::refuse(folder)?;
        let folder = settle(folder).map_err(unwritable)?;
        refuse_unfit(&folder)?;
        let seen = own_output(&folder, manifest)?;
        Ok(OutputFolder { folder, manifest, seen, platform })
    }

    /// Puts these files in the folder's place. Whatever fails, the folder is as it was.
    ///
    /// # Errors
    /// Those of [`OutputFolder::replace_by`].
    pub fn replace(&self, files: &[Named<'_>]) -> Result<(), FileFault> {
        self.replace_by(handed(files))
    }

    /// Puts the files that `make` hands out in the folder's place, and writes each while the next is made. Whatever fails,
    /// the folder is as it was.
    ///
    /// # Errors
    /// What `make` fails with; or a [`FileFault`] when the folder has meanwhile got something foreign or another run's
    /// output, or can't be written.
    pub fn replace_by<T, E: From<FileFault>>(
        &self,
        make: impl FnOnce(&Outlet) -> Result<T, E>,
    ) -> Result<T, E> {
        self.refuse_taken()?;
        let unwritable = |why| FileFault::Write { path: self.folder.clone(), why };
        let above = folder_of(&self.folder);
        let missing: Vec<&Path> = above.ancestors().take_while(|folder| !folder.exists()).collect();
        let written = self.written(make);
        if written.is_err() {
            // Folders made for this output alone go, too.
            let _gone = missing.iter().try_for_each(fs::remove_dir);
        }
        let (made, scratch) = written?;
        // Writing takes its time, in which another run may have been done.
        self.refuse_taken()?;
        match self.put(scratch).map_err(unwritable)? {
            Put::Done => Ok(made),
            Put::Overtaken => Err(FileFault::Overtaken(self.folder.clone()).into()),
        }
    }

    /// Refuses a folder that holds what another run wrote since it was claimed, or what none wrote.
    fn refuse_taken(&self) -> Result<(), FileFault> {
        let now = own_output(&self.folder, self.manifest)?;
        if self.is_another(now) { Err(FileFault::Overtaken(self.folder.clone())) } else { Ok(()) }
    }

    /// Whether a folder holds another output than was there when this one was claimed.
    fn is_overtaken(&self, folder: &Path) -> bool {
        self.is_another(seen(&folder.join(self.manifest.name)))
    }

    /// Whether this is another output than was there when this one was claimed.
    fn is_another(&self, now: Option<Seen>) -> bool {
        now.is_some() && now != self.seen
    }

    /// Writes all that is made into a fresh folder beside the old one.
    fn written<T, E: From<FileFault>>(
        &self,
        make: impl FnOnce(&Outlet) -> Result<T, E>,
    ) -> Result<(T, Scratch), E> {
        let unwritable = |why| FileFault::Write { path: self.folder.clone(), why };
        let scratch = fs::create_dir_all(folder_of(&self.folder))
            .and_then(|()| Scratch::beside(&self.folder, &self.platform))
            .map_err(unwritable)?;
        let fresh = scratch.new_output();
        let (made, written) = write_meanwhile(&fresh, make);
        let made = made?;
        let synced =
            written.and_then(|folders| several(&folders, |folder| (self.platform.sync_folder)(folder)));
        synced.map_err(unwritable)?;
        Ok((made, scratch))
    }

    /// Moves the fresh folder to its place. An old one is exchanged for it in one step where the system can.
    fn put(&self, scratch: Scratch) -> io::Result<Put> {
        let fresh = scratch.new_output();
        if !self.folder.exists() {
            return match fs::rename(&fresh, &self.folder) {
                Err(_) if self.is_overtaken(&self.folder) => Ok(Put::Overtaken),
                moved => moved.map(|()| Put::Done),
            };
        }
        if !(self.platform.exchange)(&fresh, &self.folder) {
            return self.put_in_two_steps(scratch);
        }
        // The fresh one's name now holds what was in place: had another run been quicker by a hair, that goes back.
        let overtaken = self.is_overtaken(&fresh) && (self.platform.exchange)(&fresh, &self.folder);
        Ok(if overtaken { Put::Overtaken } else { Put::Done })
    }

    /// The old folder aside, the new one in, the old one gone; back again when the second step fails.
    fn put_in_two_steps(&self, scratch: Scratch) -> io::Result<Put> {
        let (fresh, old) = (scratch.new_output(), scratch.old_output());
        fs::rename(&self.folder, &old)?;
        let overtaken = self.is_overtaken(&old);
        let moved = if overtaken { Ok(()) } else { fs::rename(&fresh, &self.folder) };
        if (overtaken || moved.is_err()) && fs::rename(&old, &self.folder).is_err() {
            // Never delete the only copy of the previous output.
            scratch.keep();
        }
        moved.map(|()| if overtaken { Put::Overtaken } else { Put::Done })
    }
}

/// How moving an output into its place ends.
enum Put {
    /// It is there.
    Done,
    /// Another run's is there.
    Overtaken,
}

/// The output in a folder that is new, empty or ours, none where it has none. Another run may put its own there while this
/// one looks: then the list of one is held against the files of the other, so it is looked at again.
fn own_output(folder: &Path, manifest: Manifest) -> Result<Option<Seen>, FileFault> {
    loop {
        let before = seen(&folder.join(manifest.name));
        let looked = refuse_foreign(folder, manifest);
        if seen(&folder.join(manifest.name)) == before {
            return looked.map(|()| before);
        }
    }
}

/// The output of which this is the manifest; none where there is none to be read.
fn seen(manifest: &Path) -> Option<Seen> {
    Some((fs::metadata(manifest).ok()?.modified().ok()?, fs::read(manifest).ok()?))
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
    } else if fs::metadata(folder).is_ok_and(|found| !found.is_dir()) {
        "it is not a folder"
    } else {
        return Ok(());
    };
    Err(FileFault::Folder { folder: folder.to_owned(), why })
}

/// Refuses a folder that holds anything that the manifest in it does not list.
fn refuse_foreign(folder: &Path, manifest: Manifest) -> Result<(), FileFault> {
    if !folder.try_exists().map_err(|why| unreadable(folder, why))? {
        return Ok(());
    }
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

/// Writes below a folder what `make` hands out, several files at a time; what it made, and the folders that now hold files.
fn write_meanwhile<T>(fresh: &Path, make: impl FnOnce(&Outlet) -> T) -> (T, io::Result<Vec<PathBuf>>) {
    let (sender, receiver) = channel();
    let queue = Mutex::new(receiver);
    thread::scope(|scope| {
        let outlet = Outlet(sender);
        let writers: Vec<_> = (0..AT_A_TIME).map(|_| scope.spawn(|| write_all(fresh, &queue))).collect();
        let made = make(&outlet);
        drop(outlet);
        let joined = writers.into_iter().map(|t| t.join().unwrap_or_else(|panic| resume_unwind(panic)));
        let folders = joined.collect::<io::Result<Vec<BTreeSet<PathBuf>>>>();
        let each =
            |folders: Vec<_>| folders.into_iter().flatten().collect::<BTreeSet<_>>().into_iter().collect();
        (made, folders.map(each))
    })
}

/// Writes below a folder what comes through the queue, until it ends.
fn write_all(fresh: &Path, queue: &Mutex<Receiver<Handed>>) -> io::Result<BTreeSet<PathBuf>> {
    let next = || queue.lock().unwrap_or_else(PoisonError::into_inner).recv();
    let mut folders = BTreeSet::from([fresh.to_owned()]);
    while let Ok((name, bytes)) = next() {
        let path = fresh.join(name);
        if folders.insert(folder_of(&path).to_owned()) {
            fs::create_dir_all(folder_of(&path))?;
        }
        write(&path, &bytes)?;
    }
    Ok(folders)
}

fn write(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = File::create_new(path)?;
    file.write_all(bytes)?;
    file.sync_all()
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

    /// Changes of the output: without a second look, some thirty of 200 are met by one.
    const CHANGES: usize = 200;
    /// This system's ways and the plain ones: what both must do.
    const WAYS: [Platform; 2] = [Platform::HERE, Platform::PLAIN];

    #[test]
    fn the_second_build_replaces_the_first_and_leaves_nothing_beside_it() {
        for platform in WAYS {
            let room = tempfile::tempdir().expect("a folder");
            let out = room.path().join("deep/out");
            let claimed = || OutputFolder::claim_on(&out, LINES, Platform { ..platform });
            claimed().and_then(|target| target.replace(FIRST)).expect("the first");
            assert_eq!(names_in(&out), set(&["a.stl", MANIFEST]));
            claimed().and_then(|target| target.replace(SECOND)).expect("the second");
            assert_eq!(names_in(&out), set(&["b.stl", MANIFEST]));
            assert_eq!(names_in(&room.path().join("deep")), set(&["out"]));
        }
    }

    /// What fails while files are being written, their maker or a writer of theirs, leaves nothing behind, nor folders made for
    /// it; what was there stays.
    #[test]
    fn an_output_that_fails_while_it_is_made_leaves_no_trace() {
        let room = tempfile::tempdir().expect("a folder");
        let fails = |outlet: &Outlet| {
            outlet.put("a.stl", Arc::from(*b"1"));
            Err::<(), FileFault>(FileFault::Exists(PathBuf::from("a.stl")))
        };
        let twice: &[Named<'_>] = &[("deep/a.stl", b"1"), ("deep/a.stl", b"2")];
        let claimed = |out: &Path| OutputFolder::claim(out, LINES).expect("ours");
        let out = room.path().join("one/two/out");
        assert!(matches!(claimed(&out).replace_by(fails), Err(FileFault::Exists(_))));
        assert!(matches!(claimed(&out).replace(twice), Err(FileFault::Write { .. })));
        assert_eq!(names_in(room.path()), set(&[]));
        claimed(&out).replace(FIRST).expect("the first");
        assert!(claimed(&out).replace_by(fails).is_err() && claimed(&out).replace(twice).is_err());
        assert_eq!(names_in(&out), set(&["a.stl", MANIFEST]));
        assert_eq!(names_in(&room.path().join("one/two")), set(&["out"]));
    }

    #[test]
    fn of_two_runs_the_first_to_be_done_wins_and_the_other_says_so() {
        for platform in WAYS {
            for before in [None, Some(FIRST)] {
                let room = tempfile::tempdir().expect("a folder");
                let out = room.path().join("out");
                let claimed = || OutputFolder::claim_on(&out, LINES, Platform { ..platform }).expect("ours");
                if let Some(files) = before {
                    claimed().replace(files).expect("the one before");
                }
                let (one, other) = (claimed(), claimed());
                one.replace(SECOND).expect("the first to be done");
                assert!(matches!(other.replace(FIRST), Err(FileFault::Overtaken(_))));
                assert_eq!(names_in(&out), set(&["b.stl", MANIFEST]));
                assert_eq!(names_in(room.path()), set(&["out"]));
                claimed().replace(FIRST).expect("the next");
            }
        }
    }

    /// The other run is done after this one has looked: what it wrote goes back into its place.
    #[test]
    fn a_run_overtaken_by_a_hair_puts_back_what_it_found() {
        for platform in WAYS {
            let room = tempfile::tempdir().expect("a folder");
            let out = room.path().join("out");
            let claimed = || OutputFolder::claim_on(&out, LINES, Platform { ..platform }).expect("ours");
            let late = claimed();
            let scratch = late.written(handed(FIRST)).expect("written").1;
            claimed().replace(SECOND).expect("the other");
            assert!(matches!(late.put(scratch), Ok(Put::Overtaken)));
            assert_eq!(names_in(&out), set(&["b.stl", MANIFEST]));
            assert_eq!(names_in(room.path()), set(&["out"]));
        }
    }

    /// A folder is never held for somebody else's because another run puts its output there while this one looks.
    #[test]
    fn an_output_that_changes_under_the_eyes_is_still_ours() {
        for platform in WAYS {
            let room = tempfile::tempdir().expect("a folder");
            let out = room.path().join("out");
            let claimed = || OutputFolder::claim_on(&out, LINES, Platform { ..platform });
            claimed().and_then(|target| target.replace(FIRST)).expect("the first");
            thread::scope(|scope| {
                let other = scope.spawn(|| {
                    for files in [SECOND, FIRST].into_iter().cycle().take(CHANGES) {
                        claimed().and_then(|target| target.replace(files)).expect("nobody else writes");
                    }
                });
                while !other.is_finished() {
                    claimed().expect("ours, whoever wrote it last");
                }
                other.join().expect("written");
            });
        }
    }

    #[test]
    fn the_old_one_is_back_when_the_new_one_cannot_come() {
        for platform in WAYS {
            let room = tempfile::tempdir().expect("a folder");
            let out = room.path().join("out");
            let claimed = || OutputFolder::claim_on(&out, LINES, Platform { ..platform }).expect("ours");
            claimed().replace(FIRST).expect("the first");
            let scratch = claimed().written(handed(SECOND)).expect("written").1;
            fs::remove_dir_all(scratch.new_output()).expect("removed under its feet");
            assert!(claimed().put(scratch).is_err());
            assert_eq!(names_in(&out), set(&["a.stl", MANIFEST]));
            assert_eq!(names_in(room.path()), set(&["out"]));
        }
    }

    #[test]
    fn names_that_other_systems_keep_are_no_output_folders() {
        let room = tempfile::tempdir().expect("a folder");
        for name in ["nul", "Con", "lpt1.out", "blade.", "blade "] {
            let claimed = OutputFolder::claim(&room.path().join(name), LINES);
            assert!(matches!(claimed, Err(FileFault::Reserved { .. })), "{name}");
        }
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
