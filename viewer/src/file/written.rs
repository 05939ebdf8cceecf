//! The design file as the hand writes it: whole, and never over what another program wrote meanwhile.

use std::io;
use std::path::Path;

use files::FileFault;

/// Writes a text into a file that holds what was known of it; whether it did. The file keeps its rights, and a link stays one.
pub(crate) fn over(path: &Path, text: &str, known: &str) -> io::Result<bool> {
    // One that is gone was taken away by somebody.
    path.metadata()?;
    files::write_known(path, text.as_bytes(), Some(known.as_bytes())).map_err(|fault| match fault {
        FileFault::Write { why, .. } => why,
        fault => io::Error::other(fault.to_string()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn only_what_is_known_is_written_over() {
        let room = tempfile::tempdir().unwrap();
        let path = room.path().join("a.toml");
        assert!(over(&path, "a = 1", "").is_err());
        fs::write(&path, "a = 1").unwrap();
        assert!(!over(&path, "a = 3", "a = 2").unwrap());
        assert!(over(&path, "a = 2", "a = 1").unwrap());
        assert_eq!(fs::read_to_string(&path).unwrap(), "a = 2");
        assert_eq!(fs::read_dir(room.path()).unwrap().count(), 1);
        let mut rights = fs::metadata(&path).unwrap().permissions();
        rights.set_readonly(true);
        fs::set_permissions(&path, rights).unwrap();
        assert!(over(&path, "a = 3", "a = 2").is_err());
        assert_eq!(fs::read_to_string(&path).unwrap(), "a = 2");
    }

    /// Names the file to a run that saves it until it is killed.
    const SAVED: &str = "SEAXWRIGHT_SAVED";
    /// Runs killed while they save.
    const KILLS: u32 = 200;

    /// A design's text with a number at both ends: a mixture of two texts shows.
    fn numbered(n: u32) -> String {
        format!("# {n}\n{}# {n}\n", fixtures::profiles::named("landing-seax").text)
    }

    /// The number of a whole text.
    fn number(text: &str) -> u32 {
        let n = text.lines().next().and_then(|line| line.strip_prefix("# ")).unwrap().parse().unwrap();
        assert_eq!(text, numbered(n));
        n
    }

    fn save_for_ever(path: &Path) -> ! {
        let mut n = number(&fs::read_to_string(path).unwrap());
        loop {
            assert!(over(path, &numbered(n + 1), &numbered(n)).unwrap());
            n += 1;
        }
    }

    #[test]
    fn a_file_stays_whole_when_its_saving_is_killed() {
        if let Some(path) = std::env::var_os(SAVED) {
            save_for_ever(Path::new(&path));
        }
        let room = tempfile::tempdir().unwrap();
        let path = room.path().join("blade.toml");
        fs::write(&path, numbered(0)).unwrap();
        let (mut last, mut went_on) = (0, 0);
        for kill in 0..KILLS {
            let mut saver = std::process::Command::new(std::env::current_exe().unwrap());
            let name = "file::written::tests::a_file_stays_whole_when_its_saving_is_killed";
            saver.args(["--exact", name]).env(SAVED, &path).stdout(std::process::Stdio::null());
            let mut saver = saver.spawn().unwrap();
            // Moments spread by the golden ratio, from before the first save to many later.
            let moment = (f64::from(kill) * 0.618_033_988_749_895).fract();
            std::thread::sleep(std::time::Duration::from_secs_f64(0.005 + 0.06 * moment));
            saver.kill().unwrap();
            saver.wait().unwrap();
            let now = number(&fs::read_to_string(&path).unwrap());
            went_on += u32::from(now > last);
            last = now;
            // What one killed run leaves the next save takes away.
            assert!(fs::read_dir(room.path()).unwrap().count() <= 2);
        }
        assert!(went_on > KILLS / 4, "only {went_on} of {KILLS} runs came to save");
        assert!(over(&path, "", &numbered(last)).unwrap());
        assert_eq!(fs::read_dir(room.path()).unwrap().count(), 1);
    }

    #[cfg(unix)]
    #[test]
    fn a_link_stays_a_link_and_rights_stay() {
        use std::os::unix::fs::{PermissionsExt, symlink};
        let room = tempfile::tempdir().unwrap();
        let [path, link] = ["a.toml", "b.toml"].map(|name| room.path().join(name));
        fs::write(&path, "a = 1").unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
        symlink(&path, &link).unwrap();
        assert!(over(&link, "a = 2", "a = 1").unwrap());
        assert!(link.symlink_metadata().unwrap().is_symlink());
        assert_eq!(fs::read_to_string(&path).unwrap(), "a = 2");
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
    }
}
