//! Bars that are welded to one before they go into the stack: side by side, or in a wrap of another steel.

use laminate::{Billet, Cell};
use serde::Serialize;

use crate::forging_range::listed;
use crate::stock::BarStock;

/// A place in the stack that several bars fill.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Joined {
    /// What it is called, after its bars.
    pub name: String,
    /// The bars welded side by side, from left to right, with the width of each, mm; one where none lies beside it.
    pub beside: Vec<(String, f64)>,
    /// Height and width of these together, mm.
    pub core_mm: [f64; 2],
    /// The strip around them; none where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wrap: Option<Wrapped>,
    /// Height and width in the stack, mm.
    pub section_mm: [f64; 2],
    /// Length in the stack, mm.
    pub length_mm: f64,
}

/// A strip that is bent around a core.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Wrapped {
    /// The strip's name.
    pub name: String,
    /// The faces that it covers, from the edge up, with its thickness on each, mm.
    pub faces_mm: Vec<(&'static str, f64)>,
}

impl Joined {
    /// All of a billet, from the back to the edge.
    pub(crate) fn all(billet: &Billet, bars: &[BarStock]) -> Vec<Joined> {
        let places = (0..billet.places()).filter(|&place| billet.is_parted(place));
        places.map(|place| Joined::of(billet, place, bars)).collect()
    }

    /// Of a place of the stack: its bars side by side, and the wrap around them.
    fn of(billet: &Billet, place: usize, bars: &[BarStock]) -> Joined {
        let height = billet.bars()[place].height.at(0.0);
        let sharing = billet.sharing(place);
        let cells = |i: usize| &billet.bars()[i].share.cells[..];
        // A strip lies on several faces.
        let (beside, around): (Vec<usize>, Vec<usize>) =
            sharing.into_iter().partition(|&i| cells(i).len() == 1);
        let name = |i: usize| bars[i].name.clone();
        let wide: f64 = beside.iter().map(|&i| billet.made_width(i)).sum();
        let wrap = around
            .first()
            .map(|&i| Wrapped { name: name(i), faces_mm: faces(cells(i), [height, billet.width()]) });
        let names: Vec<String> = beside.iter().chain(&around).map(|&i| name(i)).collect();
        Joined {
            name: listed(&names),
            beside: beside.iter().map(|&i| (name(i), billet.made_width(i))).collect(),
            core_mm: [cells(place)[0].size()[0] * height, wide],
            wrap,
            section_mm: [height, billet.width()],
            length_mm: bars[place].length_mm,
        }
    }
}

/// The faces that cells around a core cover, with their thickness (mm) in a section so high and wide, mm.
fn faces(cells: &[Cell], [high, wide]: [f64; 2]) -> Vec<(&'static str, f64)> {
    let mut found: Vec<(&'static str, f64)> = Vec::new();
    for cell in cells {
        let [tall, broad] = cell.size();
        let face = match (broad < 1.0, cell.up[0] > 0.0) {
            (true, _) => ("sides", broad * wide),
            (false, false) => ("edge", tall * high),
            (false, true) => ("back", tall * high),
        };
        if found.iter().all(|known| known.0 != face.0) {
            found.push(face);
        }
    }
    found
}

impl Wrapped {
    /// The faces in words, with the thickness on each as `length` tells it.
    pub fn told(&self, length: impl Fn(f64) -> String) -> String {
        let each: Vec<String> =
            self.faces_mm.iter().map(|(face, thick)| format!("{face} {}", length(*thick))).collect();
        each.join(", ")
    }

    /// How it is bent on.
    pub fn bent(&self) -> String {
        let on = |face: &str| self.faces_mm.iter().any(|known| known.0 == face);
        let over = match (on("edge"), on("back")) {
            (true, true) => "all around it, its ends to meet on one side",
            (true, false) => "round the core's edge face and up both its sides",
            (false, true) => "round the core's back face and down both its sides",
            (false, false) => "cut in two, on both sides",
        };
        format!("{} {over}", self.name)
    }

    /// Where its welding begins, and where it goes from there (common practice, no source).
    pub fn welded(&self) -> String {
        let on = |face: &str| self.faces_mm.iter().any(|known| known.0 == face);
        let first = match (on("edge"), on("back")) {
            (true, true) => return "face after face towards where its rims meet".to_owned(),
            (true, false) => "edge",
            (false, true) => "back",
            (false, false) => return "on each side from the middle out to its rims".to_owned(),
        };
        format!("the {first} face first, then both sides out to the strip's rims")
    }

    /// What makes it thinner on some faces than on the thickest; none where it is even.
    pub fn thinner(&self) -> Option<String> {
        let thickest = self.faces_mm.iter().map(|face| face.1).fold(0.0, f64::max);
        // Less than a nanometre is rounding.
        let thin = self.faces_mm.iter().filter(|face| face.1 < thickest - 1e-6);
        let faces: Vec<String> = thin.map(|face| format!("the {}", face.0)).collect();
        let on = listed(&faces);
        (!faces.is_empty())
            .then(|| format!("Draw {} out sideways, thinner where it will cover {on}", self.name))
    }
}
