//! Names that not every system can have: a folder made on one must open on the others.

use std::path::Path;

use crate::fault::FileFault;

/// Names of devices on Windows, whatever ending they carry (its documentation, "Naming Files, Paths, and Namespaces");
/// COM and LPT with a digit are besides.
const DEVICES: [&str; 6] = ["con", "prn", "aux", "nul", "conin$", "conout$"];

/// Whether a name, in any case and with any ending, is a device's on some system.
fn is_device(name: &str) -> bool {
    let stem = name.split('.').next().unwrap_or_default().trim_end().to_lowercase();
    let port = stem.strip_prefix("com").or_else(|| stem.strip_prefix("lpt"));
    // The superscript digits are those of Latin-1.
    let numbered =
        port.is_some_and(|n| matches!(n.chars().collect::<Vec<_>>()[..], ['0'..='9' | '¹' | '²' | '³']));
    numbered || DEVICES.contains(&stem.as_str())
}

/// What keeps a name from being a file's on some system; `None` where nothing does.
pub fn unfit(name: &str) -> Option<&'static str> {
    if is_device(name) {
        Some("Windows keeps this name for a device")
    } else if name.ends_with(['.', ' ']) {
        Some("Windows drops a dot or a space at the end of a name")
    } else {
        None
    }
}

/// Refuses a path whose last name is unfit.
pub(crate) fn refuse(path: &Path) -> Result<(), FileFault> {
    let why = path.file_name().and_then(|name| unfit(&name.to_string_lossy()));
    why.map_or(Ok(()), |why| Err(FileFault::Reserved { path: path.to_owned(), why }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn devices_are_known_in_any_dress() {
        for name in
            ["con", "PRN", "aux.toml", "Nul.tar.gz", "com1", "COM9.stl", "lpt1", "com¹", "con .txt", "conin$"]
        {
            assert!(is_device(name), "{name}");
        }
        for name in
            ["console", "con-blade", "com", "com10", "lpt", "blade", "", ".con", "nul-finished.stl", "comet"]
        {
            assert!(!is_device(name), "{name}");
        }
    }

    #[test]
    fn names_end_in_something_seen() {
        for (name, fits) in
            [("blade", true), ("blade.", false), ("blade ", false), ("blade.toml", true), ("a b", true)]
        {
            assert_eq!(unfit(name).is_none(), fits, "{name}");
        }
        for path in ["/", "..", "blade.toml", "deep/blade"] {
            assert!(refuse(Path::new(path)).is_ok(), "{path}");
        }
        assert!(refuse(Path::new("deep/nul.toml")).is_err());
    }
}
