//! A design's finished blade against the file's targets.

use blade::{Sections, Stage};
use laminate::{Cuts, Pattern};

use crate::file::problem::Fault;
use crate::unit::figures::trimmed;
use crate::unit::scales::MassUnit;
use crate::{Compared, Design, PatternTarget, Problem, Target, Wanted};

/// A target further off than this share of it is another blade (common practice, no source).
const FAR: f64 = 0.5;
/// And further off than this share of the blade's length, where it is a length: near the guard shares mean little.
const FAR_ALONG: f64 = 0.1;

impl Design {
    /// The file's targets against its finished blade, in the order of their table; none without a table of them.
    pub fn against_targets(&self) -> Vec<Target> {
        let Some(targets) = self.targets() else { return Vec::new() };
        let loft = self.blade().loft(Stage::Finished);
        if targets.wanted().is_empty() {
            return Vec::new();
        }
        targets.against(&self.swing(&loft, &loft.moments()))
    }

    /// What the file asks of the pattern against its finished blade, in the order of the table; none without such targets.
    pub fn against_pattern(&self) -> Vec<PatternTarget> {
        let asked = self.targets().map_or(&[][..], |targets| targets.pattern());
        let Some(lay) = self.lay().filter(|_| !asked.is_empty()) else { return Vec::new() };
        let finished = Sections::of(&self.blade().loft(Stage::Finished));
        let cuts = Cuts::new(lay.sections(), &finished);
        let pattern = Pattern::new(lay, &cuts);
        asked.iter().map(|one| one.against(&pattern, lay.billet())).collect()
    }

    /// Targets so far off that a figure or its unit is likelier wrong than the blade, with their places in the file.
    pub fn far_targets(&self) -> Vec<Problem> {
        let far = |t: &Target| {
            let off = t.off().is_some_and(|off| off.abs() > FAR);
            let along = t.missed_by().is_some_and(|by| by > FAR_ALONG * self.blade().length());
            off && (along || !t.aim.is_length())
        };
        self.against_targets().iter().filter(|t| far(t)).map(|t| self.far(t)).collect()
    }

    /// How to write a mass that was given without its unit, and is near the blade's in another than the file's.
    fn meant(&self, target: &Target) -> String {
        let unit = self.figures().mass;
        let (Wanted::Exactly(mass) | Wanted::About(mass) | Wanted::AtMost(mass) | Wanted::AtLeast(mass)) =
            target.wanted
        else {
            return String::new();
        };
        let meant =
            target.found.filter(|_| !target.aim.is_length()).and_then(|found| unit.meant(mass, found));
        let number = trimmed(&format!("{:.3}", mass / unit.grams()));
        let told = |meant: MassUnit| {
            format!("if it is meant in {}, write \"{number} {}\"; otherwise ", meant.spoken(), meant.name())
        };
        meant.map_or_else(String::new, told)
    }

    fn far(&self, target: &Target) -> Problem {
        let [wanted, found] = target.words(self.figures());
        let fault = Fault::FarTarget { wanted, found, meant: self.meant(target) };
        let field = format!("targets.{}", target.aim.key());
        self.problem(&field, fault.code(), fault.to_string(), fault.help())
    }
}

#[cfg(test)]
mod tests {
    use crate::{Aim, Compared, Target, Wanted};

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
        let near = Target { aim: Aim::Balance, wanted: Wanted::Exactly(0.0), found: Some(0.009) };
        assert!(near.is_reached() && !Target { found: Some(0.011), ..near }.is_reached());
        assert!(!Target { found: None, ..near }.is_reached());
    }

    #[test]
    fn limits_are_told_as_they_were_given() {
        let design =
            read("mass = \"between 200 and 5000 g\"\nbalance = \"at most 10 mm\"\nsteel = \"about 1 lb\"")
                .unwrap();
        let told: Vec<String> = design.against_targets().iter().map(|t| t.text(design.figures())).collect();
        assert!(told[0].contains("wanted between 200.0 g and 5000.0 g, now ") && told[0].ends_with(": met"));
        assert!(told[1].contains("wanted about 453.6 g, now "), "{told:?}");
        assert!(told[2].contains("wanted at most 10.00 mm, now ") && told[2].contains(": +"), "{told:?}");
        let json = serde_json::to_value(design.against_targets()).unwrap();
        assert!(
            json[0]["at_least"] == 200.0 && json[0]["at_most"] == 5000.0 && json[0].get("wanted").is_none()
        );
        assert!(json[1]["at_most"].as_f64().unwrap() > json[1]["wanted"].as_f64().unwrap());
        assert!(json[2]["reached"] == false && json[2].get("at_least").is_none());
    }

    /// Each is one mistake, told at its place, with words that would do.
    #[test]
    fn limits_that_say_nothing_are_one_mistake_each() {
        for (bad, says, helps) in [
            ("mass = \"at most at least 3 g\"", "two things at once", "\"at most 950 g\""),
            ("mass = \"between 9 g and 3 g\"", "the larger of the two comes first", "the smaller first"),
            ("mass = \"between 9 g\"", "only one end", "\"between 900 g and 950 g\""),
            ("mass = \"at most 0 g\"", "out of range", "1 g to"),
            ("mass = \"between 0 g and 0 g\"", "out of range", "1 g to"),
            ("balance = \"at most 80 g\"", "no unit of length", "\"at most 80 mm\""),
            ("balance = [1]", "a list", "at most"),
            ("percussion = \"at least -3 mm\"", "out of range", "0 mm to"),
        ] {
            let problems = read(bad).unwrap_err();
            let (p, key) = (&problems[0], bad.split(' ').next().unwrap());
            assert_eq!(
                (problems.len(), p.field.as_str()),
                (1, format!("targets.{key}").as_str()),
                "{problems:#?}"
            );
            assert!(p.message.contains(says) && p.help.contains(helps), "{p:#?}");
        }
        let like = read("mass = \"between 300 g and 300 g\"").unwrap();
        assert_eq!(like.against_targets()[0].wanted, Wanted::Exactly(300.0));
    }

    #[test]
    fn targets_of_another_blade_are_told_and_those_in_reach_are_not() {
        for far in ["mass = 30", "mass = \"at least 5 kg\"", "balance = \"1 mm\"", "steel = \"about 40 g\""] {
            let design = read(far).unwrap();
            let told = design.far_targets();
            let key = far.split(' ').next().unwrap();
            assert_eq!((told.len(), told[0].field.as_str()), (1, format!("targets.{key}").as_str()), "{far}");
            assert!(told[0].message.contains(", but the blade comes to "), "{told:?}");
            assert!(told[0].help.contains("its unit") && !told[0].span.is_empty(), "{told:?}");
            let text = crate::Summary::from_design(&design).text();
            assert!(text.contains(&told[0].message), "{text}");
        }
        let (mass, balance) = {
            let design = read("mass = 300").unwrap();
            let loft = design.blade().loft(blade::Stage::Finished);
            let swing = design.swing(&loft, &loft.moments());
            (swing.mass, swing.balance)
        };
        // Written in grams, where plain numbers are ounces.
        let told = read(&format!("mass = {mass:.0}\n[units]\nmass = \"oz\"")).unwrap().far_targets();
        assert!(
            told[0].help.starts_with(&format!("if it is meant in grams, write \"{mass:.0} g\"; otherwise")),
            "{told:?}"
        );
        for near in [
            format!("mass = {}", 1.4 * mass),
            format!("balance = {}", balance - 25.0),
            "mass = \"at most 5 kg\"".into(),
        ] {
            assert!(read(&near).unwrap().far_targets().is_empty(), "{near}");
        }
    }

    #[test]
    fn a_table_without_targets_and_wild_limits_are_refused() {
        assert!(read("taper = 20").unwrap_err()[0].message.contains("mass"));
        assert_eq!(read("mass = 300\ntaper = 80").unwrap_err()[0].field, "targets.taper");
        assert_eq!(read("mass = \"heavy\"").unwrap_err().len(), 1);
        assert_eq!(read("mass = -3\nbreadth = nan").unwrap_err().len(), 2);
    }
}
