//! A bar's twist with a straight stretch in it.

use design::{Design, Unit};

use crate::tables::insert;
use crate::values::{put_length, raw};
use crate::written;

/// Keys that a stretch's other half keeps.
const KEPT: [&str; 4] = ["hand", "turns", "per", "pitch"];
/// A new straight stretch begins and ends on round stations: five millimetres, or a quarter inch.
const ROUND: [f64; 2] = [5.0, 0.25];

/// The text in which a stretch of a bar's twist (both by their places in the file) stays straight in its middle third and is
/// twisted on behind that; where stretches are told by their lengths on the bar it is followed by a straight one as long as it,
/// and itself again. `None` where the stretch is straight already, or the file has none such.
pub fn interrupt(text: &str, bar: usize, place: usize, design: &Design) -> Option<String> {
    let list = format!("bar[{bar}].twist");
    let says = |place: usize, key: &str| raw(text, &format!("{list}[{place}].{key}"));
    let mut again: Vec<(&str, String)> =
        KEPT.iter().filter_map(|key| Some((*key, says(place, key)?))).collect();
    if again.is_empty() || says(place, "straight").is_some() {
        return None;
    }
    let with = |text: &str, at: usize, entries: &[(&str, String)]| {
        let entries: Vec<(&str, &str)> = entries.iter().map(|(key, says)| (*key, says.as_str())).collect();
        insert(text, &list, at, &entries)
    };
    let straight = ("straight", "true".to_owned());
    // What takes the rest of a bar whose other stretches have lengths is as long as the first of them.
    let any = |place: usize| raw(text, &format!("{list}[{place}]"));
    let first = || (0..).take_while(|p| any(*p).is_some()).find_map(|p| says(p, "length"));
    if let Some(length) = says(place, "length").or_else(first) {
        again.push(("length", length.clone()));
        let text = with(text, place, &again)?;
        return with(&text, place + 1, &[("length", length), straight]);
    }
    let (figures, middle) = (design.figures(), thirds(&says, place, design));
    let [from, to] = middle.map(|mm| written::length(None, mm, figures));
    again.extend(says(place, "to").map(|to| ("to", to)));
    let text = with(text, place + 1, &[("from", from), ("to", to), straight])?;
    let text = with(&text, place + 2, &again)?;
    match says(place, "to") {
        Some(_) => put_length(&text, &format!("{list}[{place}].to"), middle[0], figures),
        None => Some(text),
    }
}

/// Between which stations (mm) the middle third of a stretch lies, on round ones.
fn thirds(says: &dyn Fn(usize, &str) -> Option<String>, place: usize, design: &Design) -> [f64; 2] {
    let unit = design.unit();
    let station = |says: Option<String>| design::length(&says?, unit).ok();
    let before = |key| place.checked_sub(1).and_then(|before| says(before, key));
    let from = station(says(place, "from")).or_else(|| station(before("to"))).unwrap_or(0.0);
    let end = station(says(place, "to")).or_else(|| station(says(place + 1, "from")));
    let end = end.unwrap_or_else(|| design.blade().length());
    let step = unit.millimetres() * ROUND[usize::from(unit == Unit::Inch)];
    [1.0, 2.0].map(|part| ((from + (end - from) * part / 3.0) / step).round() * step)
}

#[cfg(test)]
mod tests {
    use super::*;
    use fixtures::profiles;

    #[test]
    fn every_stretch_of_every_profile_stays_straight_in_its_middle() {
        let mut tried = 0;
        for profile in profiles::all() {
            let design = design::read(profile.text.as_bytes()).unwrap_or_else(|p| panic!("{p:?}"));
            let bars = design.billet().map_or(0, |billet| billet.bars().len());
            for (bar, place) in (0..bars).flat_map(|bar| (0..8).map(move |place| (bar, place))) {
                let Some(text) = interrupt(&profile.text, bar, place, &design) else { continue };
                let again = design::read(text.as_bytes())
                    .unwrap_or_else(|p| panic!("{} {bar} {place}: {p:?}", profile.name));
                assert_ne!(design.billet(), again.billet(), "{} {bar} {place}", profile.name);
                let path = |place: usize, key: &str| format!("bar[{bar}].twist[{place}].{key}");
                assert_eq!(raw(&text, &path(place + 1, "straight")).as_deref(), Some("true"));
                for key in KEPT {
                    assert_eq!(raw(&text, &path(place, key)), raw(&text, &path(place + 2, key)), "{key}");
                }
                // What is straight is not parted again.
                assert_eq!(interrupt(&text, bar, place + 1, &again), None);
                tried += 1;
            }
        }
        assert!(tried > 10, "{tried}");
        let plain = profiles::all().into_iter().next().expect("a profile");
        let design = design::read(plain.text.as_bytes()).unwrap_or_else(|p| panic!("{p:?}"));
        assert_eq!(interrupt(&plain.text, 99, 0, &design), None);
        assert_eq!(interrupt("", 0, 0, &design), None);
    }

    #[test]
    fn stations_given_are_parted_and_inches_stay_inches() {
        let text = profiles::named("landing-seax").text;
        let twist = "[{ hand = \"right\", turns = 1, from = 60, to = 210 }]";
        let given = crate::put(&text, "bar[1].twist", twist).unwrap();
        let design = design::read(given.as_bytes()).unwrap();
        let parted = interrupt(&given, 1, 0, &design).unwrap();
        let says = "[{ hand = \"right\", turns = 1, from = 60, to = 110 }, { from = 110, to = 160, straight = true }, \
                    { hand = \"right\", turns = 1, to = 210 }]";
        assert_eq!(raw(&parted, "bar[1].twist").unwrap(), says);
        design::read(parted.as_bytes()).unwrap_or_else(|p| panic!("{p:?}"));
    }
}
