//! What the blade is heated for as one piece: forged, welded, normalised, hardened, and what to expect of it.

use design::Figures;
use forge::{BladeHeat, Plan};

use crate::plan_page::heats::{marked, percent};

/// Its paragraphs: what it is and how it is forged; how it is normalised and hardened; what comes of it.
pub(crate) fn paragraphs(plan: &Plan, l: Figures) -> [String; 3] {
    let heat = &plan.blade_heat;
    let hardening = [normalising(heat, l), hardening(plan, l)].join(" ");
    [forging(plan, l), hardening, outcome(heat, l)]
}

/// Its edge, its forging range and its welds.
fn forging(plan: &Plan, l: Figures) -> String {
    let heat = &plan.blade_heat;
    let (steel, carbon) = (&heat.edge_steel, percent(heat.edge_carbon_percent));
    let mut words = match plan.stock.one_steel() {
        Some(_) => format!("The blade is of {steel} with {carbon}\u{a0}% carbon."),
        None => {
            format!(
                "The blade is one piece: its heats are set for the edge, {steel} with {carbon}\u{a0}% carbon."
            )
        }
    };
    if !heat.also_at_edge.is_empty() {
        let also = heat.also_at_edge.join(", ");
        words += &format!(" In places the edge is of {also}: its hardness there is not the figure given.");
    }
    words += &format!(" Forging: {}.", heat.forging.told(l));
    words += &plan.welding.as_ref().map_or_else(String::new, |w| format!(" Welding: {}.", w.told(l)));
    words
}

/// Its normalising heats, or why there are none.
fn normalising(heat: &BladeHeat, l: Figures) -> String {
    let (n, sign) = (&heat.normalising, l.temperature.name());
    let Some([first, second, third]) = n.told(l) else {
        return upper(&format!("{}.", n.why_not()));
    };
    let coarse: String = n.coarse_told(l).iter().map(|words| format!(" {words}")).collect();
    format!(
        "Normalise it three times: {first}, {second}, {third}\u{a0}{sign}; each time let it cool in still air to black."
    ) + &coarse
}

/// Its hardening heat and its quench.
fn hardening(plan: &Plan, l: Figures) -> String {
    let heat = &plan.blade_heat;
    if heat.hardening.celsius.is_none() {
        return format!("No hardening heat: {}.", heat.hardening.source);
    }
    let (told, sign) = (marked(&heat.hardening, l), l.temperature.name());
    let [when, then] = plan.hardened_as.told(l);
    let mut words = format!("{when} Quench it from {told}\u{a0}{sign} ({}).", heat.hardening.source);
    words += &heat.common.as_ref().map_or_else(String::new, |common| format!(" {}.", upper(&common.told(l))));
    let warming = heat.warming_min.map_or(0.0, |min| min.max(1.0));
    let [least, most] = heat.soak_min;
    words += &format!(
        " In an open fire quench as soon as its colour is even. In a kiln already at that heat it takes about {warming:.0} min to \
         warm through; hold it {least:.0} to {most:.0} min more."
    );
    words += &heat.medium.as_ref().map_or_else(String::new, |m| format!(" Quench: {}.", m.told(l)));
    words + " " + &then
}

/// What quenching makes of it, and what its other steels do.
fn outcome(heat: &BladeHeat, l: Figures) -> String {
    let mut words: Vec<String> = Vec::new();
    if let Some(q) = heat.quenched {
        let (ms, sign) = (l.degree_band(q.ms_c), l.temperature.name());
        words.push(format!("Martensite begins at {ms}\u{a0}{sign}"));
        words.extend(q.dissolved_told(heat.edge_carbon_percent).iter().map(|told| upper(told)));
        words.push(upper(&q.hardness_told()));
    }
    words.extend(heat.growth.iter().map(|growth| upper(&growth.told(l))));
    words.extend(heat.others_told().iter().map(|told| upper(told)));
    words.extend(heat.phosphorus_told(l).iter().map(|told| upper(told)));
    words.iter().map(|sentence| format!("{sentence}.")).collect::<Vec<_>>().join(" ")
}

/// With a capital at its beginning, where it is no name.
fn upper(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|c| c.to_uppercase().collect::<String>()).unwrap_or_default();
    first + letters.as_str()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(steels: &str, edge: &str) -> String {
        let text = format!(
            "name = 'Oar'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n[billet]\nwidth = 12\n\
             {steels}[[bar]]\nheight = 16\nsteel = '{edge}'\n"
        );
        let plan = Plan::of(&design::read(text.as_bytes()).unwrap_or_else(|p| panic!("{p:#?}"))).unwrap();
        paragraphs(&plan, plan.figures).join(" ")
    }

    fn bar(steel: &str) -> String {
        format!("[[bar]]\nheight = 18\nsteel = '{steel}'\n")
    }

    /// What the plan warns of stands on the sheet too.
    #[test]
    fn the_sheet_drops_no_warning() {
        let soft = told(&bar("mild steel"), "C105U");
        for words in [
            "In an open fire quench as soon as its colour is even",
            "64–66 HRC? before it is tempered",
            "mild steel does not: expect it to warp",
            "Welding: 1150 °C; C105U welds at",
            "That does not fully refine mild steel",
        ] {
            assert!(soft.contains(words), "{words}: {soft}");
        }
        assert!(told(&bar("L6"), "1084").contains("Do not normalise it, for its L6: it hardens in air"));
        assert!(told(&bar("phosphoric iron"), "1084").contains("cold-short"));
        assert!(told(&bar("C75S"), "C105U").contains("(C105U on its own asks for water)"));
        let nickel = told(&bar("1084"), "nickel");
        assert!(
            nickel.contains("No hardening heat") && nickel.contains("oxide of nickel: keep air out"),
            "{nickel}"
        );
    }
}
