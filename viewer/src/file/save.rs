//! Pictures on the disk: whole or not at all, and never in the place of something else.

use std::fs::File;
use std::io::{self, ErrorKind, Read};
use std::path::{Path, PathBuf};

use crate::fault::Fault;
use export::Raster;

/// Dots per metre that pictures of the screen name: a usual screen's 96 per inch (the reference pixel of CSS Values 4).
const DOTS_PER_METRE: u32 = 3780;
/// How every PNG begins (ISO/IEC 15948, 5.2).
const SIGNATURE: [u8; 8] = [0x89, b'P', b'N', b'G', 0x0d, 0x0a, 0x1a, 0x0a];

/// Red, green and blue, row by row from the top.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Image {
    pub(crate) width: u32,
    pub(crate) height: u32,
    pub(crate) rgb: Vec<u8>,
}

impl Image {
    fn png(&self) -> Result<Vec<u8>, Fault> {
        let raster = Raster { width: self.width, height: self.height, rgb: &self.rgb };
        export::picture_png(&raster, DOTS_PER_METRE).map_err(|why| Fault::Shape(why.to_string()))
    }

    /// Writes the file, over an earlier PNG but nothing else.
    pub(crate) fn write(&self, path: &Path) -> Result<(), Fault> {
        if !is_ours(path).map_err(|why| Fault::Read { path: path.to_owned(), why })? {
            return Err(Fault::Foreign(path.to_owned()));
        }
        let unwritten = |why| Fault::Write { path: path.to_owned(), why };
        let file = files::write_beside(path, &self.png()?).map_err(unwritten)?;
        file.persist(path).map(drop).map_err(|fault| unwritten(fault.error))
    }

    /// Writes the first of `stem-1.png`, `stem-2.png` … that is not there yet, and says which.
    pub(crate) fn write_next(&self, folder: &Path, stem: &str) -> Result<PathBuf, Fault> {
        let bytes = self.png()?;
        for number in 1_u32.. {
            let path = folder.join(format!("{stem}-{number}.png"));
            let unwritten = |why| Fault::Write { path: path.clone(), why };
            if path.symlink_metadata().is_ok() {
                continue;
            }
            match files::write_beside(&path, &bytes).map_err(unwritten)?.persist_noclobber(&path) {
                Ok(_) => return Ok(path),
                Err(fault) if fault.error.kind() == ErrorKind::AlreadyExists => {}
                Err(fault) => return Err(unwritten(fault.error)),
            }
        }
        Err(Fault::Shape("there are too many pictures".to_owned()))
    }
}

/// Whether nothing is there, or a PNG.
fn is_ours(path: &Path) -> io::Result<bool> {
    let mut begins = Vec::new();
    match File::open(path) {
        Ok(file) => file.take(SIGNATURE.len() as u64).read_to_end(&mut begins).map(|_| begins == SIGNATURE),
        Err(why) if why.kind() == ErrorKind::NotFound => Ok(true),
        Err(why) => Err(why),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dot() -> Image {
        Image { width: 1, height: 1, rgb: vec![1, 2, 3] }
    }

    #[test]
    fn pictures_take_the_place_of_pictures_only() {
        let room = tempfile::tempdir().unwrap();
        let path = room.path().join("a.png");
        dot().write(&path).unwrap();
        dot().write(&path).unwrap();
        std::fs::write(&path, "a list of steels").unwrap();
        assert!(matches!(dot().write(&path), Err(Fault::Foreign(_))));
        assert_eq!(std::fs::read(&path).unwrap(), b"a list of steels");
        assert!(matches!(dot().write(room.path()), Err(Fault::Read { .. } | Fault::Write { .. })));
        assert!(matches!(dot().write(&room.path().join("no/b.png")), Err(Fault::Write { .. })));
    }

    #[test]
    fn new_pictures_are_counted_on() {
        let room = tempfile::tempdir().unwrap();
        for number in 1..=3 {
            let path = dot().write_next(room.path(), "blade-view").unwrap();
            assert_eq!(path, room.path().join(format!("blade-view-{number}.png")));
        }
        assert_eq!(std::fs::read_dir(room.path()).unwrap().count(), 3);
    }
}
