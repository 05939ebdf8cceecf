//! A design's finished blade against the file's targets.

use blade::Stage;

use crate::{Design, Target};

impl Design {
    /// The file's targets against its finished blade, in the order of their table; none without a table of them.
    pub fn against_targets(&self) -> Vec<Target> {
        let Some(targets) = self.targets() else { return Vec::new() };
        let loft = self.blade().loft(Stage::Finished);
        targets.against(&self.swing(&loft, &loft.moments()))
    }
}

#[cfg(test)]
mod tests {
    use crate::{Aim, Target};

    fn read(targets: &str) -> Result<crate::Design, Vec<crate::Problem>> {
        let text = format!(
            "name = \"Ferry seax\"\n[outline]\nlength = 300\nbreadth = 30\n[[taper]]\nat = 0\nback = 6\n[targets]\n{targets}\n"
        );
        crate::read(text.as_bytes())
    }

    #[test]
    fn targets_are_told_in_their_order_with_what_the_blade_comes_to() {
        let design = read("balance = 120\nmass = 300\ntaper = 10").unwrap();
        let targets = design.targets().unwrap();
        assert!((targets.taper - 0.1).abs() < 1e-12 && targets.breadth.abs() < 1e-12);
        let loft = design.blade().loft(blade::Stage::Finished);
        let found = targets.against(&design.swing(&loft, &loft.moments()));
        assert_eq!(found.iter().map(|t| t.aim).collect::<Vec<_>>(), [Aim::Mass, Aim::Balance]);
        assert!(found.iter().all(|t| t.found.is_some_and(|f| f > 50.0) && t.off().is_some()));
        let near = Target { aim: Aim::Balance, wanted: 0.0, found: Some(0.009) };
        assert!(near.is_reached() && !Target { found: Some(0.011), ..near }.is_reached());
        assert!(!Target { found: None, ..near }.is_reached());
    }

    #[test]
    fn a_table_without_targets_and_wild_limits_are_refused() {
        assert!(read("taper = 20").unwrap_err()[0].message.contains("mass"));
        assert_eq!(read("mass = 300\ntaper = 80").unwrap_err()[0].field, "targets.taper");
        assert_eq!(read("mass = \"heavy\"").unwrap_err().len(), 1);
        assert_eq!(read("mass = -3\nbreadth = nan").unwrap_err().len(), 2);
    }
}
