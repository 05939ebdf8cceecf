//! Which kinds of file a build has of what is printed and cut, and what is said of them: which a printer, a cutter or CAD
//! needs, and how to get another.

/// The endings of a build's files.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Held {
    /// Of parts to print.
    pub printed: Vec<&'static str>,
    /// Of parts of steel.
    pub steel: Vec<&'static str>,
    /// Of drawings for a cutter.
    pub cut: Vec<&'static str>,
}

impl Held {
    /// Which file a 3D printer needs.
    pub fn for_printer(&self) -> &'static str {
        match ["3mf", "stl"].map(|kind| self.printed.contains(&kind)) {
            [true, true] => "A 3D printer needs the 3MF; if its program won't open it, the STL, in mm.",
            [true, false] => {
                "A 3D printer needs the 3MF. If its program won't open it, run `seaxwright build` again with `--also stl`."
            }
            [false, true] => "A 3D printer takes the STL: its program must be told that it is in mm.",
            [false, false] => "For a 3D printer run `seaxwright build` again with `--only 3mf`.",
        }
    }

    /// Which file a waterjet or another cutter needs.
    pub fn for_cutter(&self) -> &'static str {
        match ["dxf", "svg"].map(|kind| self.cut.contains(&kind)) {
            [true, true] => "A waterjet, laser or plasma cutter needs the DXF; if it takes none, the SVG.",
            [true, false] => {
                "A waterjet, laser or plasma cutter needs the DXF. If it takes none, run `seaxwright build` again with `--also svg`."
            }
            [false, _] => "A waterjet, laser or plasma cutter takes the SVG, at full size in mm.",
        }
    }

    /// What CAD opens of a printed part.
    pub fn for_cad(&self) -> &'static str {
        match self.printed.contains(&"step") {
            true => "CAD opens the STEP.",
            false => "To change a printed part in CAD, run `seaxwright build` again with `--also step`.",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_said_to_use_is_there_and_what_is_not_is_said_how_to_get() {
        let kinds = ["3mf", "stl", "step", "dxf", "svg"];
        for mask in 0..1 << kinds.len() {
            let there: Vec<&'static str> =
                kinds.into_iter().enumerate().filter(|(i, _)| mask >> i & 1 == 1).map(|(_, k)| k).collect();
            let held = Held { printed: there.clone(), steel: Vec::new(), cut: there.clone() };
            if !there.contains(&"dxf") && !there.contains(&"svg") {
                continue;
            }
            for words in [held.for_printer(), held.for_cutter(), held.for_cad()] {
                for kind in kinds {
                    let asked = words.contains(&format!("--also {kind}"))
                        || words.contains(&format!("--only {kind}"));
                    let used = words.contains(&kind.to_uppercase());
                    assert!(!asked || !there.contains(&kind), "{there:?}: {words}");
                    assert!(!used || there.contains(&kind), "{there:?}: {words}");
                }
            }
        }
    }
}
