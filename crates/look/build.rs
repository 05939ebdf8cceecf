//! Gives the sources that this program is built from a short mark, so that a window program built from others is known.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// The first value of FNV-1a in 64 bits, and what it multiplies by (Fowler, Noll and Vo; IETF RFC 9923).
const FNV: [u64; 2] = [0xcbf2_9ce4_8422_2325, 0x0000_0100_0000_01b3];

/// Marks the sources of all packages beside this one.
fn main() -> io::Result<()> {
    let mut files = Vec::new();
    for package in entries(Path::new(".."))? {
        let sources = package.join("src");
        if sources.is_dir() {
            println!("cargo::rerun-if-changed={}", sources.display());
            gather(&sources, &mut files)?;
        }
    }
    let mut mark = FNV[0];
    for file in files {
        // Names count, however this system writes them.
        let name =
            file.components().map(|part| part.as_os_str().to_string_lossy()).collect::<Vec<_>>().join("/");
        mark = fold(fold(mark, name.as_bytes()), &fs::read(&file)?);
    }
    println!("cargo::rustc-env=SOURCES_MARK={mark:016x}");
    Ok(())
}

/// The files of a folder and of those in it.
fn gather(folder: &Path, files: &mut Vec<PathBuf>) -> io::Result<()> {
    for path in entries(folder)? {
        if path.is_dir() { gather(&path, files)? } else { files.push(path) }
    }
    Ok(())
}

/// What a folder holds, by name.
fn entries(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut paths = fs::read_dir(folder)?.map(|e| e.map(|e| e.path())).collect::<io::Result<Vec<_>>>()?;
    paths.sort();
    Ok(paths)
}

/// FNV-1a carried on over bytes.
fn fold(mark: u64, bytes: &[u8]) -> u64 {
    bytes.iter().fold(mark, |mark, byte| (mark ^ u64::from(*byte)).wrapping_mul(FNV[1]))
}
