//! `sure`: what it tells, its page, and what it refuses; and patterns that `fit` and `check` tell of.

#![allow(clippy::expect_used, reason = "a test whose setting fails is a failed test")]

#[allow(dead_code, reason = "each suite uses a part of the room")]
mod room;

use std::fs;

use room::{Room, code, err, json, out};

#[test]
fn slips_are_told_in_words_and_as_json() {
    let room = Room::with_profile("landing-seax.toml");
    let words = room.run(&["sure", "blade.toml", "--drift", "1.5"]);
    assert_eq!((code(&words), err(&words).as_str()), (0, ""));
    for part in [
        "2 % more draw at the point",
        "0.5 turns of twist missing in Upper twist",
        "the pattern moves 1.5 mm",
        "scrap piece",
    ] {
        assert!(out(&words).contains(part), "no {part} in\n{}", out(&words));
    }
    let value = json(&room.run(&["sure", "blade.toml", "--json"]));
    let slips = value["slips"].as_array().expect("slips");
    // Draw, two twisted bars, four bars, grinding.
    assert_eq!((slips.len(), &value["drift_mm"]), (8, &2.0.into()));
    assert!(slips[1]["furthest_mm"][2].as_f64().expect("chevrons") > 2.0);
    assert!(slips[1]["keeps_chevrons"].as_f64().expect("turns") < 0.5);
}

#[test]
fn the_page_is_a_pdf_or_a_png_by_its_name() {
    let room = Room::with_profile("landing-seax.toml");
    for (file, start) in [("sure.pdf", &b"%PDF-"[..]), ("sure.png", b"\x89PNG")] {
        for _ in 0..2 {
            let made = room.run(&["sure", "blade.toml", "--page", file]);
            assert!(code(&made) == 0 && out(&made).ends_with(&format!("wrote {file}\n")), "{}", err(&made));
        }
        assert!(fs::read(room.path(file)).expect("the page").starts_with(start));
    }
    let wrong = room.run(&["sure", "blade.toml", "--page", "sure.gif"]);
    assert!(code(&wrong) != 0 && err(&wrong).contains("a PDF or a PNG"), "{}", err(&wrong));
}

#[test]
fn what_is_no_drift_and_a_blade_without_bars_are_sent_back() {
    let room = Room::with_profile("landing-seax.toml");
    for (given, says) in [("0", "out of range"), ("-3", "out of range"), ("wide", "wide"), ("80", "50 mm")] {
        let wrong = room.run(&["sure", "blade.toml", "--drift", given]);
        assert!(code(&wrong) == 2 && err(&wrong).contains(says), "{given}: {}", err(&wrong));
    }
    let plain = Room::with_design().run(&["sure", "blade.toml"]);
    assert!(code(&plain) == 1 && err(&plain).contains("has no billet"), "{}", err(&plain));
}

#[test]
fn patterns_are_checked_and_fitted() {
    let room = Room::with_profile("bell-ringers-seax.toml");
    let check = room.run(&["check", "blade.toml"]);
    assert!(out(&check).contains("edge bar (Edge), narrowest at station"), "{}", out(&check));
    let fit = room.run(&["fit", "blade.toml", "--out", "fitted.toml"]);
    assert_eq!((code(&fit), err(&fit).as_str()), (0, ""), "{}", out(&fit));
    assert!(out(&fit).contains("what the reveal costs"), "{}", out(&fit));
    let told = json(&room.run(&["check", "fitted.toml", "--json"]));
    let pattern = told["pattern"].as_array().expect("targets of the pattern");
    assert!(pattern.len() == 5 && pattern.iter().all(|t| t["reached"] == true), "{pattern:#?}");
    let fitted = json(&room.run(&["fit", "blade.toml", "--json"]));
    assert!(fitted["reached"] == true && fitted["cost"]["steel_g"][0].as_f64().is_some(), "{fitted}");
    // Once fitted it is left alone.
    assert!(out(&room.run(&["fit", "fitted.toml"])).contains("nothing is changed"));
}
