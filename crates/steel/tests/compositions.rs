//! Nominal compositions against the ranges of their standards: the middle, unless a row says what else.

#![allow(clippy::unwrap_used, reason = "a test whose setting fails is a failed test")]

use steel::{Composition, nominal};

/// An element by its sign, the least and the most that the standard lets it have, mass percent. One value twice is told by
/// the source as such, or set by us.
type Range = (&'static str, f64, f64);

/// A steel, its standard or sheet, its ranges.
type Row = (&'static str, &'static str, &'static [Range]);

/// How far from the middle a nominal value may lie, as a share of it: standards are rounded to hundredths.
const ROUNDED: f64 = 0.026;

/// Silicon where a standard only limits it, or does not limit it: an assumption, not the standard's.
const SILICON: Range = ("Si", 0.25, 0.25);

const RANGES: &[Row] = &[
    ("1018", "SAE J403, from memory", &[("C", 0.15, 0.20), ("Mn", 0.60, 0.90), SILICON]),
    // Carbon and manganese are limited from above only: what is bought has about these.
    ("S235JR", "EN 10025-2, from memory", &[("C", 0.15, 0.15), ("Mn", 0.8, 0.8), SILICON]),
    ("1045", "SAE J403, from memory", &[("C", 0.43, 0.50), ("Mn", 0.60, 0.90), SILICON]),
    ("C45", "Saarstahl, sheet C45", &[("C", 0.42, 0.50), ("Mn", 0.50, 0.80), SILICON]),
    ("C45U", "Akrostal, sheet 1.1730", &[("C", 0.42, 0.50), ("Mn", 0.60, 0.80), ("Si", 0.15, 0.40)]),
    ("1060", "SAE J403, from memory", &[("C", 0.55, 0.65), ("Mn", 0.60, 0.90), SILICON]),
    ("C60", "EN ISO 683-1, from memory", &[("C", 0.57, 0.65), ("Mn", 0.60, 0.90), SILICON]),
    ("1070", "SAE J403, from memory", &[("C", 0.65, 0.75), ("Mn", 0.60, 0.90), SILICON]),
    (
        "C67S",
        "Akrostal, sheet C67S; chromium of a heat by Saarstahl's",
        &[("C", 0.65, 0.73), ("Mn", 0.60, 0.90), ("Si", 0.15, 0.35), ("Cr", 0.23, 0.23)],
    ),
    ("1075", "SAE J403, from memory", &[("C", 0.70, 0.80), ("Mn", 0.40, 0.70), SILICON]),
    (
        "C75S",
        "a trader's page after EN 10132-4",
        &[("C", 0.70, 0.80), ("Mn", 0.60, 0.90), ("Si", 0.15, 0.35)],
    ),
    ("1080", "SAE J403, from memory", &[("C", 0.75, 0.88), ("Mn", 0.60, 0.90), SILICON]),
    ("1084", "SAE J403, from memory", &[("C", 0.80, 0.93), ("Mn", 0.60, 0.90), SILICON]),
    ("1095", "SAE J403, from memory", &[("C", 0.90, 1.03), ("Mn", 0.30, 0.50), SILICON]),
    ("C80U", "EN ISO 4957, from memory", &[("C", 0.75, 0.85), ("Mn", 0.10, 0.40), ("Si", 0.10, 0.30)]),
    ("C105U", "EN ISO 4957, from memory", &[("C", 1.00, 1.10), ("Mn", 0.10, 0.40), ("Si", 0.10, 0.30)]),
    // The suffix tells the carbon: taken as 1 %.
    ("W1", "ASTM A686 as published by AZoM", &[("C", 1.0, 1.0), ("Mn", 0.10, 0.40), ("Si", 0.10, 0.40)]),
    (
        "W2",
        "ASTM A686 as published by AZoM",
        &[("C", 1.0, 1.0), ("Mn", 0.10, 0.40), ("Si", 0.10, 0.40), ("V", 0.15, 0.35)],
    ),
    (
        "L6",
        "ASTM A681 as published by AZoM",
        &[("C", 0.65, 0.75), ("Mn", 0.25, 0.80), ("Cr", 0.60, 1.20), ("Ni", 1.25, 2.00), SILICON],
    ),
    (
        "75Ni8",
        "EN 10132-4, from memory",
        &[("C", 0.72, 0.78), ("Mn", 0.30, 0.50), ("Ni", 1.80, 2.10), ("Si", 0.15, 0.35)],
    ),
    // Strip lists have 0.50 to 0.70 % chromium beside the standard's 0.40 to 0.60, and silicon up to 0.40.
    (
        "80CrV2",
        "EN 10132-4 and strip lists, from memory",
        &[("C", 0.75, 0.85), ("Mn", 0.30, 0.50), ("Cr", 0.40, 0.70), ("V", 0.15, 0.25), ("Si", 0.20, 0.40)],
    ),
    (
        "5160",
        "SAE J404, from memory",
        &[("C", 0.56, 0.64), ("Mn", 0.75, 1.00), ("Cr", 0.70, 0.90), ("Si", 0.15, 0.35)],
    ),
    (
        "100Cr6",
        "Lucefin, card 100Cr6",
        &[("C", 0.93, 1.05), ("Mn", 0.25, 0.45), ("Cr", 1.35, 1.60), ("Si", 0.15, 0.35)],
    ),
    (
        "102Cr6",
        "Lucefin, card 102Cr6",
        &[("C", 0.95, 1.10), ("Mn", 0.25, 0.45), ("Cr", 1.35, 1.65), ("Si", 0.15, 0.35)],
    ),
    // Vanadium 0.05 to 0.20, rounded.
    (
        "90MnCrV8",
        "EN ISO 4957, from memory",
        &[("C", 0.85, 0.95), ("Mn", 1.80, 2.20), ("Cr", 0.20, 0.50), ("V", 0.12, 0.12), ("Si", 0.10, 0.40)],
    ),
    ("O2", "ASTM A681, from memory", &[("C", 0.85, 0.95), ("Mn", 1.40, 1.80), ("Cr", 0.25, 0.25), SILICON]),
    (
        "O1",
        "Kmac, O1; ASTM A681",
        &[("C", 0.85, 1.00), ("Mn", 1.00, 1.40), ("Cr", 0.40, 0.60), ("W", 0.40, 0.60), ("Si", 0.10, 0.50)],
    ),
    (
        "95MnWCr5",
        "EN ISO 4957, from memory",
        &[
            ("C", 0.90, 1.00),
            ("Mn", 1.05, 1.35),
            ("Cr", 0.35, 0.65),
            ("W", 0.40, 0.70),
            ("V", 0.05, 0.25),
            ("Si", 0.10, 0.40),
        ],
    ),
    // Carbon and chromium towards the lower end, as Uddeholm's Arne has them.
    (
        "100MnCrW4",
        "Uddeholm Arne; DIN 17350, from memory",
        &[
            ("C", 0.95, 0.95),
            ("Mn", 1.10, 1.10),
            ("Cr", 0.50, 0.60),
            ("W", 0.55, 0.55),
            ("V", 0.10, 0.10),
            ("Si", 0.15, 0.35),
        ],
    ),
    // Manganese 0.05 to 0.10, rounded.
    (
        "wrought iron",
        "Encyclopaedia Britannica (Walker)",
        &[("C", 0.02, 0.02), ("Si", 0.075, 0.15), ("Mn", 0.08, 0.08), ("P", 0.10, 0.25)],
    ),
    // Of the usual 0.1 to 1.0 %, what is common.
    ("phosphoric iron", "abstract of a Bradford thesis", &[("C", 0.02, 0.02), ("P", 0.3, 0.3)]),
    ("iron", "no standard", &[("C", 0.01, 0.01), ("Si", 0.01, 0.01), ("Mn", 0.05, 0.05)]),
    ("Nickel 201", "ASTM B160", &[("C", 0.01, 0.01), ("Ni", 99.0, 99.0)]),
];

/// What it has of an element.
fn of(c: &Composition, sign: &str) -> f64 {
    let all = [
        ("C", c.c),
        ("Si", c.si),
        ("Mn", c.mn),
        ("Cr", c.cr),
        ("Mo", c.mo),
        ("Ni", c.ni),
        ("V", c.v),
        ("W", c.w),
        ("P", c.p),
    ];
    all.iter().find(|(s, _)| *s == sign).unwrap().1
}

const SIGNS: [&str; 9] = ["C", "Si", "Mn", "Cr", "Mo", "Ni", "V", "W", "P"];

/// Every steel has the middle of what its standard lets it have, and nothing that the standard does not name.
#[test]
fn compositions_are_the_middles_of_the_standards() {
    let mut off = Vec::new();
    for (name, source, ranges) in RANGES {
        let found = nominal(name).unwrap().composition;
        for sign in SIGNS {
            let range = ranges.iter().find(|r| r.0 == sign);
            let middle = range.map_or(0.0, |(_, low, high)| 0.5 * (low + high));
            if (of(&found, sign) - middle).abs() > ROUNDED * middle {
                off.push(format!("{name} {sign}: {} for {middle} ({source})", of(&found, sign)));
            }
        }
    }
    assert!(off.is_empty(), "{off:#?}");
}

#[test]
fn every_steel_has_its_row() {
    let known: Vec<Composition> = RANGES.iter().map(|r| nominal(r.0).unwrap().composition).collect();
    for name in steel::nominals() {
        assert!(known.contains(&nominal(name).unwrap().composition), "{name}");
    }
    let values: usize = RANGES.iter().map(|r| r.2.len()).sum();
    assert!(values > 100, "{values}");
}
