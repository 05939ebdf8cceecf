//! The blade's form in words: what its outline, its sections and its table of stations do not tell of bevel, back, fullers and
//! tang.

use blade::{Back, Bevel, Fuller, GrindLine, Hole, Ricasso, Section, Sides, Tang, TangForm};

use crate::{Design, Figures, trimmed};

impl Design {
    /// A sentence for each thing that is ground into the blade or drilled through its tang, from the bevel to the last hole, in
    /// the design's unit.
    pub fn form_words(&self) -> Vec<String> {
        let (spec, figures) = (self.blade().spec(), self.figures());
        let mut words = vec![bevel(&spec.section, figures), back(spec.section.back, figures)];
        words.extend(spec.ricasso.map(|ricasso| of_ricasso(ricasso, figures)));
        // From the back down; the blade keeps them from the edge up.
        let fullers = numbered("Fuller", spec.fullers.len());
        words.extend(
            fullers.zip(spec.fullers.iter().rev()).map(|(name, fuller)| of_fuller(&name, fuller, figures)),
        );
        words.push(of_tang(&spec.tang, figures));
        let holes = numbered("Tang hole", spec.tang.holes.len());
        words.extend(holes.zip(&spec.tang.holes).map(|(name, hole)| of_hole(&name, *hole, figures)));
        let sides = spec.fullers.iter().map(|fuller| fuller.sides).chain([spec.section.sides]);
        if sides.into_iter().any(|sides| sides != Sides::Both) {
            words.push("Right and left: as you hold it edge down, the point away from you.".to_owned());
        }
        words
    }
}

/// The names of so many things of a kind: numbered where there are several.
fn numbered(name: &'static str, count: usize) -> impl Iterator<Item = String> {
    (1..=count).map(move |i| if count > 1 { format!("{name} {i}") } else { name.to_owned() })
}

/// As fine as a caliper reads it, with its unit.
fn size(figures: Figures, mm: f64) -> String {
    let number = figures.fraction(mm).unwrap_or_else(|| trimmed(&figures.thickness(mm)));
    format!("{number} {}", figures.unit.name())
}

fn on(sides: Sides) -> &'static str {
    match sides {
        Sides::Both => "on both sides",
        Sides::Right => "on the right side only",
        Sides::Left => "on the left side only",
    }
}

fn bevel(section: &Section, figures: Figures) -> String {
    let form = match section.bevel {
        Bevel::Flat => "flat".to_owned(),
        Bevel::Hollow { radius } => format!("hollow, to a radius of {}", size(figures, radius)),
        Bevel::Convex { radius } => format!("convex, to a radius of {}", size(figures, radius)),
    };
    let from = match section.grind_line {
        GrindLine::Full => "from the back down to the edge".to_owned(),
        GrindLine::Height(mm) => format!("from a grind line {} above the edge", size(figures, mm)),
        GrindLine::Share(share) => {
            let percent = trimmed(&format!("{:.1}", 100.0 * share));
            format!("from a grind line {percent} % of the breadth above the edge")
        }
    };
    let other = match section.sides {
        Sides::Both => "",
        Sides::Right => "; the left side stays flat",
        Sides::Left => "; the right side stays flat",
    };
    format!("Bevel: {form}, {}, {from}{other}.", on(section.sides))
}

fn back(back: Back, figures: Figures) -> String {
    match back {
        Back::Flat => "Back: flat, its corners square.".to_owned(),
        Back::Rounded { radius } => {
            format!("Back: flat, its corners rounded to a radius of {}.", size(figures, radius))
        }
        Back::Crowned { height } => {
            format!("Back: crowned, its middle {} above the corners.", size(figures, height))
        }
    }
}

fn of_ricasso(ricasso: Ricasso, figures: Figures) -> String {
    let (long, plunge) = (size(figures, ricasso.length), size(figures, ricasso.plunge));
    format!(
        "Ricasso: the first {long} ahead of the shoulder; over the next {plunge} the bevel comes to its full depth."
    )
}

fn of_fuller(name: &str, fuller: &Fuller, figures: Figures) -> String {
    let size = |mm| size(figures, mm);
    let start = match fuller.start > 0.0 {
        true => format!("from station {}", figures.station(fuller.start)),
        false => "from the shoulder, where it is open,".to_owned(),
    };
    let run_in = match fuller.start > 0.0 && fuller.run_in > 0.0 {
        true => format!("runs in over the first {} and ", size(fuller.run_in)),
        false => String::new(),
    };
    format!(
        "{name}: {start} to {}, {}, {} wide, {} deep, its upper border {} below the back; it {run_in}runs out over the last {}.",
        figures.told(fuller.end),
        on(fuller.sides),
        size(fuller.width),
        size(fuller.depth),
        size(fuller.from_back),
        size(fuller.run_out)
    )
}

fn of_tang(tang: &Tang, figures: Figures) -> String {
    let size = |mm| size(figures, mm);
    let by = |broad, thick| format!("{} broad and {} thick", size(broad), size(thick));
    let end = format!("{} at its end", by(tang.end_breadth, tang.end_thickness));
    match tang.form {
        TangForm::Hidden { breadth, thickness, shoulder_radius } => {
            let corner = match shoulder_radius > 0.0 {
                true => {
                    format!("inside corners rounded to a radius of {}: never sharp", size(shoulder_radius))
                }
                false => "inside corners sharp, where tangs break".to_owned(),
            };
            let middle = match tang.offset {
                0.0 => String::new(),
                up => format!(
                    "; its centre line runs {} from the middle of the shoulder, towards the {}",
                    size(up.abs()),
                    if up > 0.0 { "back" } else { "edge" }
                ),
            };
            format!(
                "Tang, finished: hidden, {} long, {} at the shoulder, {end}; {corner}{middle}.",
                size(tang.length),
                by(breadth, thickness)
            )
        }
        TangForm::Full => {
            format!(
                "Tang, finished: full, {} long, as broad and thick as the ricasso at the shoulder, {end}.",
                size(tang.length)
            )
        }
    }
}

fn of_hole(name: &str, hole: Hole, figures: Figures) -> String {
    let size = |mm| size(figures, mm);
    let up = match hole.offset {
        0.0 => "on the tang's centre line".to_owned(),
        up => {
            format!("{} {} the tang's centre line", size(up.abs()), if up > 0.0 { "above" } else { "below" })
        }
    };
    format!("{name}: {} across, its centre {} behind the shoulder, {up}.", size(hole.diameter), size(hole.at))
}

#[cfg(test)]
mod tests {
    use fixtures::profiles;

    fn words(text: &str) -> Vec<String> {
        crate::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:?}")).form_words()
    }

    #[test]
    fn fullers_and_tang_are_told_with_every_size_that_the_file_gives() {
        let told = words(&profiles::named("landing-seax").text);
        let bevel = "Bevel: flat, on both sides, from a grind line 50 % of the breadth above the edge.";
        assert_eq!(told[0], bevel);
        assert_eq!(told[1], "Back: crowned, its middle 0.5 mm above the corners.");
        let fuller = "Fuller 1: from station 25 to 190 mm, on both sides, 4.5 mm wide, 0.8 mm deep, its upper border 4 mm below \
                      the back; it runs in over the first 15 mm and runs out over the last 30 mm.";
        assert!(told.iter().any(|line| line == fuller), "{told:#?}");
        assert!(
            told.iter().any(|line| line.starts_with("Tang, finished: hidden, 115 mm long, 13 mm broad")),
            "{told:#?}"
        );
    }

    #[test]
    fn a_bevel_on_one_side_and_holes_are_told() {
        let text = profiles::named("landing-seax").text.replace(
            "grind_line = \"50 %\"",
            "grind_line = 18\nsides = \"right\"\nbevel = \"hollow\"\nradius = 400",
        );
        let holes = "[[tang.hole]]\nat = 40\ndiameter = 5\n\n[[tang.hole]]\nat = 80\noffset = -1\ndiameter = 4\n\n[[fitting]]";
        let told = words(&text.replacen("[[fitting]]", holes, 1));
        let bevel = "Bevel: hollow, to a radius of 400 mm, on the right side only, from a grind line 18 mm above the edge; the \
                     left side stays flat.";
        assert_eq!(told[0], bevel);
        let hole = "Tang hole 2: 4 mm across, its centre 80 mm behind the shoulder, 1 mm below the tang's centre line.";
        assert!(told.iter().any(|line| line == hole), "{told:#?}");
        assert!(told.iter().any(|line| line.ends_with("on the tang's centre line.")), "{told:#?}");
        assert!(told.last().is_some_and(|line| line.starts_with("Right and left")), "{told:#?}");
    }

    #[test]
    fn no_profile_is_told_what_reads_badly() {
        for profile in profiles::all() {
            for line in words(&profile.text) {
                let bad =
                    ["NaN", "inf", "-0", " ,", "  ", "..", "mm mm"].iter().find(|bad| line.contains(**bad));
                assert!(bad.is_none() && line.ends_with('.'), "{}: {line}", profile.name);
                let inches = profile.text.contains("unit = \"in\"");
                assert!(!(inches && line.contains(" mm")), "{}: {line}", profile.name);
            }
        }
    }
}
