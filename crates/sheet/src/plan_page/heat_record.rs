//! The heat treatment as planned, with room for what was done.

use design::Figures;
use forge::{BladeHeat, Common, Plan, TemperHeat, mark};

use crate::plan_page::heats::{band, marked};
use crate::plan_page::log::ROW;
use crate::typesetting::paragraph::Align;
use crate::typesetting::shape::MM;
use crate::typesetting::strip::{Strip, note, part, subheading};
use crate::typesetting::table::{Cell, Table, Track};
use crate::typesetting::text::{space, tick};

/// The steps of the heat treatment, with what is planned for them where there is a plan and room for what was done; nothing
/// where the blade takes none.
pub(crate) fn record(plan: Option<&Plan>, figures: Figures, width: f64) -> Vec<Strip> {
    let sign = figures.temperature.name();
    let [planned, done] = [format!("Planned {sign}"), format!("Heat, {sign}")];
    let (left, right) = ((Track::Share(1.0), Align::Left), (Track::Share(0.8), Align::Right));
    let shares = [0.8, 1.0, 0.9, 1.6].map(|share| (Track::Share(share), Align::Left));
    let columns = [
        (Track::Auto, Align::Left),
        (Track::Share(1.0), Align::Right),
        right,
        (Track::Share(0.8), left.1),
        shares[0],
        shares[1],
        shares[2],
        shares[3],
    ];
    let head =
        ["Step", &planned, "Minutes", &done, "Minutes", "Cooled in", "Hardness", "Straight? cracks? remarks"];
    let mut table = Table { least: ROW, ..Table::new(columns, head) };
    let steps = steps(plan, figures);
    if steps.is_empty() {
        return Vec::new();
    }
    for [what, celsius, minutes] in steps {
        let what = tick().then(space(2.0 * MM)).then(what).boxed(0.0);
        let [a, b, c, d, e] = [(); 5].map(|()| Cell::empty());
        table.row([what.into(), celsius.into(), minutes.into(), a, b, c, d, e]);
    }
    let mut strips = subheading("Heat treatment: planned, and as done", width);
    strips.extend(table.strips(width));
    strips.extend(note(words(plan, figures), width));
    part(true, strips)
}

/// Each step with its temperature and minutes, as far as they are planned; none that the blade does not take.
fn steps(plan: Option<&Plan>, figures: Figures) -> Vec<[String; 3]> {
    let heat = plan.map(|plan| &plan.blade_heat);
    let hardens = heat.is_none_or(|h| h.hardening.celsius.is_some() || h.hardening.unsure);
    let mut steps = normalising(heat, figures);
    if hardens {
        let celsius = heat.map_or_else(String::new, |h| {
            let told = |common: &Common| figures.degree_band(common.celsius) + mark(common.unsure);
            let all = h.common.as_ref().map(told);
            all.or_else(|| h.hardening.celsius.map(|_| marked(&h.hardening, figures))).unwrap_or_default()
        });
        steps.push(["Hardening".to_owned(), celsius, heat.map_or_else(String::new, |h| band(h.soak_min))]);
        steps.extend(tempering(heat, figures));
    }
    steps
}

/// The normalising heats, or that there must be none; empty rows where nothing is known.
fn normalising(heat: Option<&BladeHeat>, figures: Figures) -> Vec<[String; 3]> {
    let row = |i: usize, celsius: String| [format!("Normalising {}", i + 1), celsius, String::new()];
    let Some(n) = heat.map(|h| &h.normalising) else {
        return (0..3).map(|i| row(i, String::new())).collect();
    };
    match n.told(figures) {
        Some(told) => told.into_iter().enumerate().map(|(i, celsius)| row(i, celsius)).collect(),
        None if n.barred.is_some() || n.unsure => {
            vec![["Normalising".to_owned(), "do not".to_owned(), String::new()]]
        }
        None => Vec::new(),
    }
}

/// The tempers.
fn tempering(heat: Option<&BladeHeat>, figures: Figures) -> Vec<[String; 3]> {
    let tempering = heat.and_then(|h| h.tempering.as_ref());
    let told = tempering.map(|t| hardnesses(t, figures));
    let (told, minutes) =
        (told.unwrap_or_default(), heat.map_or_else(String::new, |h| format!("{:.0}", h.temper_min)));
    (0..heat.map_or(2, |h| h.tempers))
        .map(|i| [format!("Tempering {}", i + 1), told.clone(), minutes.clone()])
        .collect()
}

/// The temperatures from the hardest to the softest edge: one of them is picked.
fn hardnesses(t: &TemperHeat, figures: Figures) -> String {
    let known: Vec<String> = t.sound().iter().map(|(_, c)| figures.about_degrees(*c) + t.mark()).collect();
    match &known[..] {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

/// What stands under the table: where the minutes hold, and that one tempering heat is to be picked.
fn words(plan: Option<&Plan>, figures: Figures) -> String {
    let mut words = vec![
        "Soak minutes are for a kiln. In an open fire quench as soon as the whole edge is evenly at that heat."
            .to_owned(),
    ];
    let tempering = plan.and_then(|plan| plan.blade_heat.tempering.as_ref());
    let told = |t: &TemperHeat| {
        let each = t.sound().into_iter();
        each.map(|(hrc, c)| format!("{}{} for {hrc:.0} HRC", figures.about(c), t.mark())).collect()
    };
    let wanted: Vec<String> = tempering.map(told).unwrap_or_default();
    if wanted.len() > 1 {
        words.push(format!("Tempering: pick one heat, both times, and circle it: {}.", wanted.join(", ")));
    }
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(steel: &str) -> Vec<[String; 3]> {
        let text = format!(
            "name = 'Oar'\nsteel = '{steel}'\n[outline]\nlength = 250\nbreadth = 28\n[[taper]]\nat = 0\nback = 5\n"
        );
        let plan = Plan::of(&design::read(text.as_bytes()).unwrap()).unwrap();
        steps(Some(&plan), plan.figures)
    }

    /// No row for a heat that the blade does not take, and a mark on what rests on memory.
    #[test]
    fn rows_are_those_of_the_steel() {
        assert!(rows("nickel").is_empty());
        let soft = rows("mild steel");
        assert!(soft.len() == 3 && soft.iter().all(|row| row[0].starts_with("Normalising")), "{soft:?}");
        let air = rows("L6");
        assert_eq!((air[0][0].as_str(), air[0][1].as_str(), air.len()), ("Normalising", "do not", 4));
        assert_eq!(air[1][1], "815–845");
        let plain = rows("1095");
        assert!(plain.len() == 6 && plain.iter().all(|row| row[1].ends_with('?')), "{plain:?}");
    }
}
