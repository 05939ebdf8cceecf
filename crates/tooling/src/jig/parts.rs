//! The collection of jig parts: fit coupon and peg, stop blocks, and the twisting jig's insert.

use design::{Design, Problem};

use crate::jig::coupon::{coupon, peg};
use crate::jig::insert::insert;
use crate::jig::stops::stops;
use crate::part::Part;

/// Every jig part of a design, as it lies on the bed: the fit coupon and its peg, a block for each stop, and the
/// twisting jig's insert where the file has one.
///
/// # Errors
/// Every problem of every part, each at the value to change.
pub fn jig(design: &Design) -> Result<Vec<Part>, Vec<Problem>> {
    let one = |part: Result<Part, Problem>| part.map(|p| vec![p]).map_err(|p| vec![p]);
    let insert = design.jig().map(|jig| insert(design, jig).map(|part| vec![part]));
    let made = [one(coupon(design)), one(peg(design)), stops(design)].into_iter().chain(insert);
    let (mut parts, mut problems) = (Vec::new(), Vec::new());
    for result in made {
        match result {
            Ok(more) => parts.extend(more),
            Err(more) => problems.extend(more),
        }
    }
    if problems.is_empty() { Ok(parts) } else { Err(problems) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    fn design(more: &str) -> Design {
        let text = format!(
            "name = \"Ferry-house shop\"\n[[taper]]\nat = 0\nback = 6\n[outline]\nlength = 300\nbreadth = 30\n{more}\n"
        );
        design::read(text.as_bytes()).unwrap_or_else(|problems| panic!("{text}\n{problems:#?}"))
    }

    #[test]
    fn the_collection_has_names_of_its_own() {
        let without = jig(&design("")).unwrap();
        assert_eq!(without.len(), 2 + 9);
        let parts = jig(&design("[jig]\nsize = 40\ntab = 14\nbar = 16")).unwrap();
        let names: BTreeSet<&str> = parts.iter().map(|p| p.name.as_str()).collect();
        assert_eq!(names.len(), 12);
        assert!(
            ["fit-coupon", "fit-peg", "stop-40", "stop-6", "jig-insert"].iter().all(|n| names.contains(n))
        );
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        assert!(names.iter().all(|n| n.chars().all(plain)));
    }

    #[test]
    fn all_problems_come_at_once() {
        let small = design("[shop]\nbed = [30, 30, 20]");
        assert_eq!(jig(&small).err().unwrap().len(), 1 + 9);
        let more = design(
            "[shop]\nbed = [30, 30, 20]\nstops = []\n[jig]\nsize = 40\ntab = 6\ndepth = 10\nbar = 16\nscrew = 9",
        );
        let fields: Vec<String> = jig(&more).err().unwrap().into_iter().map(|p| p.field).collect();
        assert_eq!(fields, ["shop.bed", "jig.screw", "jig.depth", "shop.bed"]);
    }
}
