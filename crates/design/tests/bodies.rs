//! Exact bodies of bars, wherever their seams meet the edges of the section.

use blade::Stage;

/// A blade whose seams and grind line are each at a constant share of its breadth.
const KNIFE: &str = r#"name = "Knife of a ferry"
[outline]
form = "broken-back"
length = 190
breadth = 29
break_at = 135
break_breadth = 32
[section]
grind_line = "GRIND %"
[[taper]]
at = 0
back = 5
[[taper]]
at = 190
back = 2.5
[tang]
form = "hidden"
length = 80
breadth = 12
[billet]
width = 9
"#;

/// Stacks whose seams come into the middle of a face's end with one grind line or another, to the last bit.
const STACKS: [&[u32]; 4] = [&[8, 8, 10], &[13, 13], &[4, 9, 13], &[10, 8, 8]];

fn knife(grind: u32, stack: &[u32]) -> String {
    let bars = stack.iter().enumerate();
    let bars =
        bars.map(|(i, high)| format!("[[bar]]\nname = \"Bar {i}\"\nheight = {high}\nsteel = \"C75S\"\n"));
    KNIFE.replace("GRIND", &grind.to_string()) + &bars.collect::<String>()
}

#[test]
fn every_grind_line_leaves_whole_bodies() {
    for stack in STACKS {
        for grind in 20..=80 {
            let read = design::read(knife(grind, stack).as_bytes());
            let design = read.unwrap_or_else(|p| panic!("{stack:?} {grind}: {p:#?}"));
            let lay = design.lay().expect("a billet");
            for stage in Stage::ALL {
                let found = lay.bodies(&design.blade().loft(stage), 1e-3);
                let bodies = found.unwrap_or_else(|why| panic!("{stack:?} {grind} {stage}: {why}"));
                assert!(
                    bodies.len() > stack.len() && bodies.iter().all(|b| b.pieces.len() == 1),
                    "{grind} {stage}"
                );
            }
        }
    }
}
