//! Tests of the hand: with a builder that judges by the design's own rules, and an editor beside it.

use super::*;
use fixtures::mutation::Dice;

const FILE: &str =
    "# top\nname = \"a\"\n\n[outline]\nlength = 200\nbreadth = 30 # broad\n\n[[taper]]\nat = 0\nback = 5\n";

/// The builder and the disk, in the tests' own words.
struct Room {
    hand: Hand,
    disk: String,
    told: String,
}

impl Room {
    fn new() -> Room {
        let mut hand = Hand { on: true, ..Hand::default() };
        hand.file_is(FILE.to_owned());
        hand.shows_file();
        Room { hand, disk: FILE.to_owned(), told: FILE.to_owned() }
    }

    /// Does everything that was asked for; only the last text is judged, as the builder does.
    fn work(&mut self) {
        for _ in 0..8 {
            if self.told != self.disk {
                self.told.clone_from(&self.disk);
                self.hand.file_is(self.disk.clone());
            }
            let orders = self.hand.orders();
            if orders.is_empty() && self.told == self.disk {
                return;
            }
            let last = orders.iter().rev().find_map(|order| match order {
                Order::Text { number, text } => Some((*number, text.clone())),
                _ => None,
            });
            for order in orders {
                if let Order::Save { text, over } = order {
                    if self.disk == over {
                        (self.disk, self.told) = (text.clone(), text.clone());
                        self.hand.saved(text);
                    } else {
                        self.hand.unsaved(true);
                    }
                }
            }
            if let Some((number, text)) = last {
                let refused = design::read(text.as_bytes()).err().map(|p| p[0].message.clone());
                self.hand.answered(number, refused);
            }
        }
        panic!("the hand never rests");
    }

    fn put(&mut self, path: &'static str, typed: &str) {
        let typed = typed.to_owned();
        self.hand.change(path, Box::new(move |text| edit::put(text, path, &typed)));
        self.work();
    }
}

#[test]
fn what_makes_a_blade_is_written_and_what_does_not_is_told() {
    let mut room = Room::new();
    room.put("outline.length", "210");
    assert_eq!(room.disk, FILE.replace("200", "210"));
    room.put("outline.length", "1");
    assert!(room.hand.refused.as_ref().is_some_and(|why| !why.is_empty()));
    assert_eq!(room.disk, FILE.replace("200", "210"));
    room.put("outline.breadth", "31");
    assert!(room.hand.refused.is_none());
    room.hand.step(true);
    room.work();
    assert_eq!(room.disk, FILE.replace("200", "210"));
    room.hand.step(true);
    room.work();
    assert_eq!(room.disk, FILE);
    room.hand.step(true);
    room.hand.step(false);
    room.work();
    assert_eq!(room.disk, FILE.replace("200", "210"));
}

#[test]
fn a_pull_stops_where_the_last_blade_was() {
    let mut room = Room::new();
    room.hand.take("length");
    for length in ["220", "230", "1", "0.5"] {
        room.hand.pull(Box::new(move |text| edit::put(text, "outline.length", length)));
        room.work();
        assert_eq!(room.disk, FILE);
    }
    assert!(room.hand.refused.is_some() && room.hand.doing() == Some("length"));
    room.hand.let_go();
    room.work();
    assert_eq!(room.disk, FILE.replace("200", "230"));
    assert_eq!(room.hand.steps(), [Some("length"), None]);
    room.hand.take("length");
    room.hand.pull(Box::new(|text| edit::put(text, "outline.length", "240")));
    room.hand.drop_it();
    room.work();
    assert_eq!(
        (room.disk.as_str(), room.hand.history.text()),
        (FILE.replace("200", "230").as_str(), FILE.replace("200", "230").as_str())
    );
}

#[test]
fn nothing_is_changed_behind_what_is_held() {
    let mut room = Room::new();
    room.hand.take("fitted");
    room.hand.pull(Box::new(|text| edit::put(text, "outline.length", "220")));
    room.work();
    room.put("outline.breadth", "31");
    assert!(room.hand.refused.is_some() && room.hand.doing() == Some("fitted"));
    room.hand.let_go();
    room.work();
    assert_eq!(room.disk, FILE.replace("200", "220"));
    room.put("outline.breadth", "31");
    assert_eq!(room.disk, FILE.replace("200", "220").replace("breadth = 30", "breadth = 31"));
}

#[test]
fn what_waits_is_written_when_asked_for() {
    let mut room = Room::new();
    room.hand.waits = true;
    room.put("outline.length", "210");
    assert!(room.disk == FILE && room.hand.is_unsaved());
    room.hand.save();
    room.work();
    assert!(room.disk == FILE.replace("200", "210") && !room.hand.is_unsaved());
}

#[test]
fn both_sides_changes_stand_and_what_both_changed_is_asked() {
    let mut room = Room::new();
    room.hand.take("length");
    room.hand.pull(Box::new(|text| edit::put(text, "outline.length", "220")));
    room.work();
    room.disk = FILE.replace("# broad", "# as drawn").replace("= 5", "= 6");
    room.work();
    room.hand.let_go();
    room.work();
    assert_eq!(room.disk, FILE.replace("# broad", "# as drawn").replace("= 5", "= 6").replace("200", "220"));
    for (ours, kept) in [(true, "230"), (false, "240")] {
        let begun = room.disk.clone();
        room.hand.waits = true;
        room.put("outline.length", "230");
        room.disk = edit::put(&begun, "outline.length", "240").unwrap();
        room.work();
        assert!(room.hand.clash.is_some() && !room.hand.can_pull());
        room.hand.waits = false;
        room.hand.choose(ours);
        room.work();
        assert_eq!(room.disk, edit::put(&begun, "outline.length", kept).unwrap());
        room.hand.step(true);
        room.work();
        room.disk = begun;
        room.work();
        if room.hand.clash.is_some() {
            room.hand.choose(false);
            room.work();
        }
    }
}

#[test]
fn a_file_broken_outside_is_left_alone_and_the_hands_text_kept() {
    let mut room = Room::new();
    room.put("outline.length", "210");
    room.disk = "name = ".to_owned();
    room.work();
    room.put("outline.length", "220");
    assert_eq!(room.disk, "name = ");
    room.disk = FILE.replace("200", "210");
    room.work();
    room.put("outline.length", "220");
    assert_eq!(room.disk, FILE.replace("200", "220"));
}

#[test]
fn nothing_is_lost_between_a_hand_and_an_editor_that_saves_at_any_time() {
    // Each side changes keys of its own: at the end both sides' last values stand.
    let mut room = Room::new();
    let mut dice = Dice::new(77);
    let (mut length, mut back) = (200, 50);
    for _ in 0..400 {
        match dice.below(4) {
            0 => {
                back = 45 + dice.below(20);
                let text = format!("{}.{}", back / 10, back % 10);
                room.disk = edit::put(&room.disk, "taper[0].back", &text).unwrap();
            }
            1 => room.hand.take("length"),
            2 => room.hand.let_go(),
            _ => {
                let wanted = 180 + dice.below(40);
                if room.hand.doing().is_some() {
                    length = wanted;
                }
                room.hand.pull(Box::new(move |text| edit::put(text, "outline.length", &wanted.to_string())));
            }
        }
        if dice.below(2) == 0 {
            room.work();
        }
    }
    room.hand.let_go();
    room.work();
    assert!(room.hand.clash.is_none());
    assert_eq!(edit::raw(&room.disk, "outline.length").unwrap(), length.to_string());
    let said: f64 = edit::raw(&room.disk, "taper[0].back").unwrap().parse().unwrap();
    assert!((said - back as f64 / 10.0).abs() < 1e-9);
    assert_eq!(room.hand.history.text(), room.disk);
}
