//! `layers`: what lies at a point, and the sheet for a customer.

#![allow(clippy::expect_used, reason = "a test whose setting fails is a failed test")]

#[allow(dead_code, reason = "each suite uses a part of the room")]
mod room;

use std::fs;

use room::{Room, code, err, json, out};

#[test]
fn a_point_is_told_in_words_and_as_json() {
    let room = Room::with_profile("landing-seax.toml");
    let words = room.run(&["layers", "blade.toml", "--at", "120,20"]);
    assert_eq!((code(&words), err(&words).as_str()), (0, ""));
    for part in [
        "Lower twist",
        "counted from the edge up as they lay before the twist",
        "turned",
        "under the bar's right face",
    ] {
        assert!(out(&words).contains(part), "no {part} in\n{}", out(&words));
    }
    let told = room.run(&[
        "layers",
        "blade.toml",
        "--at",
        "120,20",
        "--side",
        "left",
        "--stage",
        "ground",
        "--json",
    ]);
    let value = json(&told);
    assert_eq!((code(&told), &value["side"], &value["stage"]), (0, &"left".into(), &"ground".into()));
    assert_eq!((&value["bar"], &value["layers"]), (&"Lower twist".into(), &7.into()));
    let depth = value["depth_mm"].as_f64().expect("a depth");
    assert!(depth > 0.1 && depth < 6.0, "{depth}");
    assert!(value["turned_deg"].as_f64().expect("an angle").abs() > 90.0);
}

/// Layers at an angle by plain trigonometry from the place in the bar that is told: leaning ones over h·sin + w·cos from the
/// corner on the left at the back, those of slices over the bar's height, falling back along it by the tangent of their slope.
#[test]
fn layers_at_an_angle_are_found_by_trigonometry() {
    let room = Room::with_profile("lamp-trimmers-knife.toml");
    let (mut leaning, mut sliced) = (0, 0);
    for (station, height) in (0..60).map(|i| (1 + 2 * (i % 45), 0.6 + 0.38 * f64::from(i))) {
        let at = format!("{station},{height:.2}");
        let told = room.run(&["layers", "blade.toml", "--at", &at, "--stage", "forged", "--json"]);
        if code(&told) != 0 {
            continue;
        }
        let value = json(&told);
        let number = |key: &str| value[key].as_f64().expect("a number");
        let (side, up, through) = (9.0, number("up_mm"), 9.0 - number("depth_mm"));
        let share = match value["bar"].as_str().expect("a bar") {
            "Back" => {
                leaning += 1;
                let (sin, cos) = 35.0_f64.to_radians().sin_cos();
                ((side - up) * sin + through * cos) / (side * (sin + cos))
            }
            "Slices" => {
                sliced += 1;
                let share = up / side - number("along_mm") * 40.0_f64.to_radians().tan() / side;
                share - share.floor()
            }
            _ => continue,
        };
        let found = (number("layer") - 1.0 + number("into_layer")) / 7.0;
        assert!((found - share).abs() < 1e-6, "{at}: {found} {share}");
    }
    assert!(leaning > 5 && sliced > 5, "{leaning} {sliced}");
    let words = out(&room.run(&["layers", "blade.toml", "--at", "40,20"]));
    assert!(words.contains("leaning 35° to the right as they go up, counted from the corner"), "{words}");
}

/// A point shows a plug where it lay within a radius of the rod's middle, by its place along the bar and up from its face; the file
/// asks for two of them by stations, which `check` gives back.
#[test]
fn plugs_are_found_within_a_radius_of_their_middles() {
    let room = Room::with_profile("channel-pilots-knife.toml");
    let checked = json(&room.run(&["check", "blade.toml", "--json"]));
    let plugs = checked["bars"]["plugs"].as_array().expect("a list").clone();
    let at: Vec<f64> = plugs.iter().map(|plug| plug["at_mm"].as_f64().expect("a station")).collect();
    assert!(
        at.len() == 5 && [70.0, 30.0, 62.0, 94.0].iter().zip(&at).all(|(a, b)| (a - b).abs() < 1e-6),
        "{at:?}"
    );
    let look = |station: f64, height: f64| {
        json(&room.run(&["layers", "blade.toml", "--at", &format!("{station},{height}"), "--json"]))
    };
    let middle = |plug: usize| {
        0.5 * [0, 1].map(|i| plugs[plug]["heights_mm"][i].as_f64().expect("mm")).iter().sum::<f64>()
    };
    let along = look(at[1], middle(1))["along_mm"].as_f64().expect("mm");
    let (mut inside, mut outside) = (0, 0);
    for (x, y) in (0..64).map(|i| (-4.0 + f64::from(i % 8), -3.5 + f64::from(i / 8))) {
        let found = look(at[1] + x, middle(1) + y);
        let number = |key: &str| found[key].as_f64().expect("a number");
        // 4 mm thick, with its middle half up a bar of 8 mm.
        let within =
            found["bar"] == "Buoys" && (number("along_mm") - along).hypot(number("up_mm") - 4.0) < 2.0;
        assert_eq!(found.get("plug_mm").is_some(), within, "{found}");
        assert!(!within || (found["steel"] == "75Ni8" && (number("plug_mm") - 4.0).abs() < 1e-12));
        *(if within { &mut inside } else { &mut outside }) += 1;
    }
    assert!(inside > 8 && outside > 8, "{inside} {outside}");
    let words = out(&room.run(&["layers", "blade.toml", "--at", "62,18"]));
    assert!(words.contains("none: a plug of the bar, 4.00 mm across"), "{words}");
}

#[test]
fn fractions_of_inches_are_read() {
    let room = Room::with_profile("inch-barge-seax.toml");
    let told = room.run(&["layers", "blade.toml", "--at", "4 3/4, 9/16", "--json"]);
    let value = json(&told);
    let near = |key: &str, mm: f64| (value[key].as_f64().expect("a length") - mm).abs() < 1e-9;
    assert!(near("station_mm", 4.75 * 25.4) && near("height_mm", 0.5625 * 25.4), "{value}");
    let words = out(&room.run(&["layers", "blade.toml", "--at", "4 3/4,9/16"]));
    assert!(words.starts_with("Station 4 3/4 in, 9/16 in up from the edge, right side, finished"), "{words}");
    assert!(!words.contains(" mm"), "{words}");
}

#[test]
fn points_off_the_blade_are_sent_back() {
    let room = Room::with_profile("landing-seax.toml");
    for (at, why) in [
        ("600,3", "give a station from −115 mm"),
        ("100,90", "give a height from 0 (the edge) to 37.5 mm"),
        ("100,-1", "give a height from 0"),
        ("100", "is not two lengths"),
        ("1,2,3", "is not two lengths"),
        ("nan,3", "does not begin with a number"),
    ] {
        let told = room.run(&["layers", "blade.toml", "--at", at]);
        assert_eq!((code(&told), out(&told).as_str()), (2, ""), "{at}");
        assert!(err(&told).contains(why), "{at}: {}", err(&told));
    }
    let twice = room.run(&["layers", "blade.toml", "--at", "10,3", "--stage", "ground,forged"]);
    assert!(code(&twice) == 2 && err(&twice).contains("show one stage"), "{}", err(&twice));
    assert_eq!(code(&room.run(&["layers", "blade.toml", "--side", "left"])), 2);
    assert_eq!(code(&room.run(&["layers", "blade.toml", "--at", "10,3", "--page", "a.pdf"])), 2);
}

#[test]
fn the_sheet_is_written_by_its_ending_over_its_own_kind_only() {
    let room = Room::with_profile("landing-seax.toml");
    for (file, start) in [("a.pdf", &b"%PDF"[..]), ("a.png", &b"\x89PNG"[..])] {
        for _ in 0..2 {
            let made = room.run(&["layers", "blade.toml", "--page", file]);
            assert_eq!((code(&made), out(&made).trim()), (0, format!("wrote {file}").as_str()));
        }
        assert!(fs::read(room.path(file)).expect("the sheet").starts_with(start), "{file}");
    }
    room.write("note.pdf", "not a sheet");
    let kept = room.run(&["layers", "blade.toml", "--page", "note.pdf"]);
    assert!(code(&kept) == 2 && err(&kept).contains("choose another file"), "{}", err(&kept));
    let odd = room.run(&["layers", "blade.toml", "--page", "a.svg"]);
    assert!(code(&odd) == 2 && err(&odd).contains(".pdf or .png"), "{}", err(&odd));
}

/// Etched is grey, and the false colours are still there.
#[test]
fn pictures_are_etched_unless_told_otherwise() {
    let room = Room::with_profile("landing-seax.toml");
    let picture = |more: &[&str]| {
        let asked = ["layers", "blade.toml", "--only", "png", "--stage", "finished", "--out", "l"];
        let made = room.run(&[&asked[..], more].concat());
        assert_eq!(code(&made), 0, "{}", err(&made));
        fs::read(room.path("l/layers/landing-seax-finished-right.png")).expect("the picture")
    };
    let [usual, etched, steels, bars] =
        [&[][..], &["--colours", "etched"], &["--colours", "steels"], &["--colours", "bars"]].map(picture);
    assert!(usual == etched && etched != steels && steels != bars);
}
