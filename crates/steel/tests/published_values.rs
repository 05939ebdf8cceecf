//! The package against published values: each with its source, within a tolerance that a constant 5 % off does not
//! keep.
//!
//! "Sheet" is a maker's data sheet that was at hand; "worked from" a source's own formula by hand; "from memory" says
//! so.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test whose setting fails is a failed test")]

use steel::{
    Advice, Bath, BathFault, Composition, GROWN, HARDENED, Steel, Tempering, YOUNG, ac1, ac3, acm,
    as_quenched, bearing_pressure, biot, cold_set, cooled, cooling_seconds, decarburised, depth, diffusion,
    dissolved, elongation, enthalpy, flow_stress, hardening_growth, heat_loss, later, least_litres, ms,
    ms_band, ms_ingber, ms_van_bohemen, nominal, plain_by_carbon, published, quench, quenched_hardness,
    radiating_seconds, retained, rockwell, scaled, specific_heat, tensile, twisting_torque, vickers,
    warming_seconds, yield_strength,
};

/// What, found, published, tolerance, source.
type Check = (&'static str, f64, f64, f64, &'static str);

/// A steel, hours in all, source, °C and HRC.
type Curve = (&'static str, f64, &'static str, &'static [(f64, f64)]);

/// All must hold; all that do not are told.
fn hold(checks: &[Check]) {
    let off = checks.iter().filter(|(_, found, wanted, within, _)| {
        let miss = (found - wanted).abs();
        miss.is_nan() || miss > *within
    });
    let off: Vec<String> = off
        .map(|(what, found, wanted, _, source)| format!("{what}: {found} for {wanted} ({source})"))
        .collect();
    assert!(off.is_empty(), "{off:#?}");
}

fn plain(c: f64, si: f64, mn: f64) -> Composition {
    Composition { c, si, mn, ..Composition::default() }
}

const EN: &str = "EN 1993-1-2 by Dlubal's knowledge base 1496";

#[test]
fn lengths_and_heat_content() {
    let cp = |t| specific_heat(t).unwrap();
    let h = |t| enthalpy(t).unwrap() / 1000.0;
    let grown = |t| elongation(t).unwrap();
    hold(&[
        ("length at 200 °C", grown(200.0), 0.002_318_4, 1e-9, EN),
        ("length at 500 °C", grown(500.0), 0.006_758_4, 1e-9, EN),
        ("length at 800 °C", grown(800.0), 0.011, 1e-9, EN),
        ("length at 1100 °C", grown(1100.0), 0.0158, 1e-9, EN),
        ("specific heat at 20 °C", cp(20.0), 439.8, 0.1, EN),
        ("specific heat at 400 °C", cp(400.0), 605.88, 0.1, EN),
        ("specific heat at 700 °C", cp(700.0), 1008.2, 0.1, EN),
        ("specific heat at 735 °C", cp(735.0), 5000.0, 0.1, EN),
        ("specific heat at 800 °C", cp(800.0), 803.3, 0.1, EN),
        ("specific heat at 1000 °C", cp(1000.0), 650.0, 0.1, EN),
        ("heat to 400 °C", h(400.0), 201.3, 0.3, "integrated from EN 1993-1-2"),
        ("heat to 600 °C", h(600.0), 335.7, 0.3, "integrated from EN 1993-1-2"),
        ("heat to 735 °C", h(735.0), 475.4, 0.5, "integrated from EN 1993-1-2"),
        ("heat to 800 °C", h(800.0), 561.6, 0.5, "integrated from EN 1993-1-2"),
        ("heat to 850 °C", h(850.0), 598.6, 0.5, "integrated from EN 1993-1-2"),
        ("heat to 900 °C", h(900.0), 632.1, 0.5, "integrated from EN 1993-1-2"),
        ("heat to 1000 °C", h(1000.0), 697.1, 0.5, "integrated from EN 1993-1-2"),
        ("heat to 1150 °C", h(1150.0), 794.6, 0.5, "integrated from EN 1993-1-2"),
        // 0.17 cal/gK of 4.1868 J: a mean over all the way down, in round figures.
        ("mean specific heat", h(800.0) / 0.78, 711.8, 12.0, "MacKenzie, Thermal Processing, 1:1 rule"),
        // 0.0158 − 23e-6 · 500, by hand; expansion of austenite 22e-6 to 24e-6 from memory.
        ("austenite at 600 °C from 1100", cooled(1100.0, 600.0).unwrap(), 0.0043, 1e-9, "worked by hand"),
    ]);
}

#[test]
fn cooling_in_air() {
    let clock = |high, wide| cooling_seconds(depth(high, wide), 1100.0, 900.0).unwrap();
    // Without a room: ρ (A/P) cp/(3εσ)(T₂⁻³ − T₁⁻³) = 26.2 s; a room of 20 °C takes off a hundredth.
    let radiating = radiating_seconds(3.0, 650.0, 1100.0, 900.0);
    let law = "worked from Incropera's law and EN 1993-1-2, apart from this code";
    hold(&[
        ("10 mm square, s", clock(10.0, 10.0), 20.2, 0.3, law),
        ("12 mm square, s", clock(12.0, 12.0), 24.2, 0.24, law),
        ("20 mm square, s", clock(20.0, 20.0), 40.3, 0.5, law),
        ("6 × 40 mm, s", clock(6.0, 40.0), 21.1, 0.3, law),
        ("3 × 38 mm, s", clock(3.0, 38.0), 11.2, 0.2, law),
        ("12 mm square by radiation alone, s", radiating, 26.2, 0.15, law),
        ("heat loss at 1100 °C, kW/m²", heat_loss(1100.0) / 1000.0, 172.0, 1.0, law),
        // 0.8 · 5.670e-8 · (473.15⁴ − 293.15⁴) = 1938.5; 10 · 180.
        ("heat loss at 200 °C, W/m²", heat_loss(200.0), 3738.5, 2.0, law),
        // 72.44 kW/m² over 800 K is 90.55 W/m²K; times 3 mm over 27.3 W/mK, as from 800 °C on.
        ("Biot's number at 820 °C", biot(3.0, 820.0), 0.009_95, 5e-5, law),
        // 172 kW/m² over 1080 K is 159 W/m²K; times 3 mm over 27.3 W/mK.
        ("Biot's number of 12 mm square", biot(3.0, 1100.0), 0.0175, 2e-4, law),
        // 54 − 0.0333 · 600 = 34.02 W/mK; loss 0.8 · 5.670e-8 · (873.15⁴ − 293.15⁴) + 5800 = 31.8 kW/m².
        ("Biot's number at 600 °C", biot(3.0, 600.0), 0.004_83, 1e-4, law),
    ]);
}

#[test]
fn the_bath() {
    let oil = Bath { litres: 10.0, start: 40.0, flash: 180.0 };
    let told = quench(0.6, 800.0, &oil, 100.0).unwrap();
    // MacKenzie: a US gallon for a pound of steel, 8.345 L/kg, warms by some 38 K with steel of 0.17 cal/gK, oil of
    // 0.45 and the 8.3 lb of a gallon of water; with oil's own density by 38 · 8.3/7.26 = 43; from 843 °C (1550 °F).
    let rule = quench(1.0, 843.0, &Bath { litres: 8.345, ..oil }, 100.0).unwrap();
    let BathFault::Warm { start, .. } = quench(0.1, 800.0, &Bath { start: 152.3, ..oil }, 100.0).unwrap_err()
    else {
        panic!("too near its flash point")
    };
    hold(&[
        (
            "0.6 kg from 800 °C in 10 L, K",
            told.rise,
            19.0,
            0.4,
            "worked from EN 1993-1-2 and oil of 1.97 kJ/kgK",
        ),
        ("heat of it, kJ", told.heat / 1000.0, 326.0, 3.0, "worked from EN 1993-1-2"),
        ("a gallon a pound, K", rule.rise, 38.0, 3.0, "MacKenzie, Thermal Processing, 1:1 rule"),
        (
            "least volume for 20 K, L",
            least_litres(0.6, 800.0, 40.0, 20.0).unwrap(),
            9.5,
            0.2,
            "worked by hand",
        ),
        (
            "180 °C oil refused from, °C",
            start,
            152.3,
            0.1,
            "29 CFR 1910.126(a)(2): 50 °F below the flash point",
        ),
        ("margin, K", steel::FLASH_MARGIN, 27.8, 0.1, "29 CFR 1910.126(a)(2)"),
    ]);
    assert!(quench(0.01, 800.0, &Bath { start: 151.9, ..oil }, 100.0).is_ok());
}

#[test]
fn transformation_temperatures() {
    let plain_45 = plain(0.45, 0.25, 0.7);
    let cf53 = plain(0.535, 0.25, 0.55);
    let ball = nominal("100Cr6").unwrap().composition;
    let alloyed =
        Composition { c: 0.4, si: 0.25, mn: 0.7, cr: 0.8, mo: 0.25, ni: 1.8, v: 0.1, w: 0.5, p: 0.1 };
    hold(&[
        ("Ac1 of 0.45 C", ac1(&plain_45), 722.8, 0.05, "worked from Andrews 1965"),
        ("Ac3 of 0.45 C", ac3(&plain_45).unwrap(), 785.0, 0.05, "worked from Andrews 1965, short form"),
        ("Ac1 of Cf53", ac1(&cf53), 730.0, 11.0, "Lucefin, card Cf53"),
        ("Ac3 of Cf53", ac3(&cf53).unwrap(), 765.0, 17.0, "Lucefin, card Cf53"),
        ("Ac1 of 100Cr6", ac1(&ball), 755.0, 11.0, "Lucefin, card 100Cr6"),
        // 723 − 7.49 − 30.42 + 7.275 + 13.52 + 3.19.
        ("Ac1 of an alloyed steel", ac1(&alloyed), 709.075, 0.05, "worked from Andrews 1965"),
        // 910 − 128.388 − 27.36 + 11.175 + 10.4 + 7.875 + 6.55 + 70.
        (
            "Ac3 of an alloyed steel",
            ac3(&alloyed).unwrap(),
            860.252,
            0.05,
            "worked from Andrews 1965, short form with the long form's phosphorus",
        ),
        ("Ms of Cf53", ms(&cf53), 320.0, 25.0, "Lucefin, card Cf53"),
        ("Ms of Cf53, van Bohemen", ms_van_bohemen(&cf53), 320.0, 25.0, "Lucefin, card Cf53"),
        ("Ms, linear", ms(&plain(0.5, 0.25, 0.8)), 303.2, 0.1, "worked from Andrews 1965"),
        // 539 − 169.2 − 21.28 − 31.86 − 9.68 − 1.875.
        ("Ms of an alloyed steel", ms(&alloyed), 305.105, 0.05, "worked from Andrews 1965"),
        (
            "Ms, van Bohemen",
            ms_van_bohemen(&plain(0.5, 0.25, 0.8)),
            308.2,
            0.1,
            "worked from van Bohemen 2012",
        ),
        // 565 − 600(1 − e^−0.384) − 21.7 − 3.25 − 8 − 32.4 − 3.
        (
            "Ms of an alloyed steel, van Bohemen",
            ms_van_bohemen(&alloyed),
            305.34,
            0.1,
            "worked from van Bohemen 2012",
        ),
        (
            "Ms of 1.5 C",
            ms_ingber(&plain(1.5, 0.8, 0.5)),
            14.0,
            0.6,
            "Ingber and Kunert 2022, their own example",
        ),
        // 530.2 − 116.12 − 75(1 − e^−0.384) − 24.85 − 1.7 − 30.96 − 16.64 − 2.6.
        (
            "Ms of an alloyed steel, Ingber",
            ms_ingber(&alloyed),
            313.415,
            0.05,
            "worked from Ingber and Kunert 2022",
        ),
        ("Acm of 1.0 C", acm(&plain(1.0, 0.0, 0.0)).unwrap(), 799.0, 0.5, "ASM Handbook vol. 3, from memory"),
        ("Acm of 1.2 C", acm(&plain(1.2, 0.0, 0.0)).unwrap(), 862.0, 0.5, "ASM Handbook vol. 3, from memory"),
        ("Acm of 100Cr6", acm(&ball).unwrap(), 850.0, 1.0, "Lucefin, card 100Cr6"),
        ("half martensite, 63 K below", retained(83.0, 20.0), 0.5, 0.001, "Koistinen and Marburger 1959"),
        ("100 K below Ms", retained(120.0, 20.0), 0.3329, 1e-4, "Koistinen and Marburger 1959"),
        // Bain and Paxton's chart, from memory: the eutectoid of steel with 1.5 % chromium has about 0.62 % carbon: 0.77 less 0.1475.
        ("least in solution", dissolved(&ball, 840.0)[0], 0.6225, 0.003, "Bain and Paxton, from memory"),
    ]);
    // Lucefin's card gives 210 °C for 102Cr6 hardened as usual, 830 to 870 °C.
    let [low, high] = ms_band(&nominal("102Cr6").unwrap().composition, 840.0);
    assert!(low < 210.0 && 210.0 < high && high - low < 150.0, "{low} {high}");
    // Beyond 0.6 % what Andrews's line says is 60 to 90 K too cold.
    assert!(ms_van_bohemen(&plain(0.965, 0.25, 0.4)) - ms(&plain(0.965, 0.25, 0.4)) > 60.0);
}

/// ASM, Metals Handbook, critical temperatures on slow heating, in °F there (from memory): SAE 1040 Ac1 1350, Ac3 1460;
/// SAE 1050 1340 and 1420; SAE 1060 1340 and 1410. Andrews gives a deviation of about 11 and 17 °C for his formulas.
#[test]
fn critical_temperatures_of_plain_steels() {
    for (carbon, fahrenheit) in [(0.40, [1350.0, 1460.0]), (0.50, [1340.0, 1420.0]), (0.60, [1340.0, 1410.0])]
    {
        let steel = plain(carbon, 0.25, 0.75);
        let [lower, upper] = fahrenheit.map(|f| (f - 32.0) / 1.8);
        hold(&[
            ("Ac1", ac1(&steel), lower, 11.0, "ASM, Metals Handbook"),
            ("Ac3", ac3(&steel).unwrap(), upper, 17.0, "ASM, Metals Handbook"),
        ]);
    }
}

#[test]
fn published_heats() {
    let harden = |name: &str| match published(&nominal(name).unwrap()).unwrap().hardening {
        Advice::Heat(band) => Some(band.celsius),
        _ => None,
    };
    let meets = [
        ("C45", 820.0, 860.0, "Saarstahl, sheet C45"),
        ("C45U", 800.0, 830.0, "Akrostal and Meusburger, sheets 1.1730"),
        ("C67S", 815.0, 845.0, "Saarstahl, sheet C67S"),
        ("1070", 815.0, 845.0, "Saarstahl, sheet C67S, a like steel"),
        ("100Cr6", 830.0, 870.0, "Lucefin, card 100Cr6"),
        ("O1", 790.0, 815.0, "Eastern Tool Steel, O-1"),
        ("90MnCrV8", 790.0, 820.0, "stockholder's sheet 1.2842"),
        ("L6", 815.0, 845.0, "Eastern Tool Steel, L-6"),
        ("W1", 760.0, 845.0, "Lucifer Furnaces, guide"),
        ("W2", 760.0, 845.0, "Lucifer Furnaces, guide"),
    ];
    for (name, low, high, source) in meets {
        let told = harden(name).unwrap();
        hold(&[(name, told[0], low, 0.5, source), (name, told[1], high, 0.5, source)]);
    }
    let normalise = |name: &str| match published(&nominal(name).unwrap()).unwrap().normalising {
        Advice::Heat(band) => band.celsius,
        _ => panic!("{name}"),
    };
    let bands = [
        ("C45", 840.0, 880.0, "Saarstahl, sheet C45"),
        // Saarstahl 810 to 840, Akrostal 800 to 830.
        ("C67S", 800.0, 840.0, "Saarstahl and Akrostal, sheets C67S"),
        ("1070", 800.0, 840.0, "Saarstahl and Akrostal, sheets C67S, a like steel"),
        ("W1", 790.0, 870.0, "Lucifer Furnaces, guide"),
        ("W2", 790.0, 870.0, "Lucifer Furnaces, guide, W1"),
        ("wrought iron", 900.0, 930.0, "ASM Handbook vol. 4, from memory"),
        ("52100", 900.0, 925.0, "Steelforge, 52100"),
        ("mild steel", 900.0, 930.0, "ASM Handbook vol. 4, from memory"),
        ("1045", 860.0, 900.0, "ASM Handbook vol. 4 and Heat Treater's Guide, from memory"),
        ("1060", 830.0, 885.0, "ASM Handbook vol. 4 and Heat Treater's Guide, from memory"),
        ("C75S", 800.0, 830.0, "makers' sheets, from memory"),
        ("C80U", 790.0, 830.0, "makers' sheets, from memory"),
        ("C105U", 800.0, 840.0, "makers' sheets, from memory"),
        ("75Ni8", 800.0, 830.0, "makers' sheets, from memory"),
        ("80CrV2", 840.0, 870.0, "makers' sheets, from memory"),
    ];
    for (name, low, high, source) in bands {
        let told = normalise(name);
        hold(&[(name, told[0], low, 0.5, source), (name, told[1], high, 0.5, source)]);
    }
    // Single temperatures: 1080 830, 1095 845 to 855, O1 870 (Kmac), O2 845, 5160 870; but O1's from memory.
    for (name, celsius) in [
        ("1080", 830.0),
        ("1095", 850.0),
        ("O1", 870.0),
        ("95MnWCr5", 870.0),
        ("O2", 845.0),
        ("5160", 870.0),
        ("90MnCrV8", 845.0),
    ] {
        let [low, high] = normalise(name);
        hold(&[(
            name,
            0.5 * (low + high),
            celsius,
            1.0,
            "ASM Handbook vol. 4 and Heat Treater's Guide, from memory",
        )]);
        hold(&[(name, high - low, 35.0, 6.0, "widened by 15 to 20 K either way")]);
    }
    let recalled = [
        ("75Ni8", 790.0, 820.0),
        ("80CrV2", 820.0, 850.0),
        // A trader's page 780 to 820, trade figures 810 to 840.
        ("C75S", 780.0, 840.0),
        ("C80U", 780.0, 800.0),
        ("C105U", 770.0, 790.0),
        ("O2", 760.0, 800.0),
        // As O1 by Eastern Tool Steel.
        ("95MnWCr5", 790.0, 815.0),
    ];
    for (name, low, high) in recalled {
        let told = harden(name).unwrap();
        hold(&[(name, told[0], low, 0.5, "from memory"), (name, told[1], high, 0.5, "from memory")]);
    }
    // Single temperatures from memory: ASM Handbook vol. 4 and the Heat Treater's Guide.
    for (name, celsius) in
        [("1095", 800.0), ("1084", 815.0), ("1045", 845.0), ("1060", 815.0), ("5160", 830.0)]
    {
        let [low, high] = harden(name).unwrap();
        hold(&[(name, 0.5 * (low + high), celsius, 1.0, "Heat Treater's Guide, from memory")]);
        hold(&[(name, high - low, 30.0, 1.0, "widened by 15 K either way")]);
    }
    // Sheets: C45U water (Meusburger), 100Cr6 oil (Lucefin), O1 and L6 oil (Eastern Tool Steel), 1.2842 oil; 1095 brine
    // or water (Heat Treater's Guide, from memory).
    let media = [
        ("C45U", "water"),
        ("100Cr6", "oil"),
        ("O1", "oil"),
        ("L6", "oil"),
        ("90MnCrV8", "oil"),
        ("1095", "brine"),
    ];
    for (name, medium) in media {
        assert!(published(&nominal(name).unwrap()).unwrap().medium.words.starts_with(medium), "{name}");
    }
    // ASTM B160 sells nickel annealed; nothing hardens it or soft iron by quenching.
    for name in ["Nickel 201", "nickel", "wrought iron", "mild steel", "1018", "S235JR"] {
        assert!(matches!(published(&nominal(name).unwrap()).unwrap().hardening, Advice::Never(_)), "{name}");
    }
    assert!(matches!(published(&nominal("L6").unwrap()).unwrap().normalising, Advice::Never(_)));
}

#[test]
fn tempering_curves() {
    let middle = |name: &str, t: f64, hours: f64| {
        let [low, high] = Tempering::of(&nominal(name).unwrap()).unwrap().hardness(t, hours).unwrap();
        0.5 * (low + high)
    };
    let curves: [Curve; 10] = [
        (
            "C45U",
            1.0,
            "Akrostal, sheet C45U",
            &[
                (180.0, 54.0),
                (200.0, 54.0),
                (225.0, 53.0),
                (250.0, 52.0),
                (300.0, 48.0),
                (350.0, 45.0),
                (400.0, 42.0),
            ],
        ),
        (
            "C67S",
            1.0,
            "Grange and Baughman 1956, from memory",
            &[(204.4, 59.2), (260.0, 56.5), (315.6, 53.5)],
        ),
        (
            "1095",
            1.0,
            "Heat Treater's Guide, from memory",
            &[
                (150.0, 64.5),
                (175.0, 63.5),
                (200.0, 61.5),
                (225.0, 60.0),
                (250.0, 58.5),
                (275.0, 57.0),
                (300.0, 55.5),
                (350.0, 52.0),
                (400.0, 48.0),
            ],
        ),
        (
            "100Cr6",
            1.0,
            "Lucefin, card 100Cr6",
            &[
                (100.0, 64.0),
                (150.0, 63.0),
                (200.0, 62.0),
                (250.0, 59.0),
                (300.0, 57.0),
                (350.0, 54.0),
                (400.0, 51.0),
            ],
        ),
        (
            "O1",
            4.0,
            "Eastern Tool Steel, O-1, twice two hours",
            &[
                (150.0, 64.0),
                (175.0, 63.0),
                (205.0, 62.0),
                (230.0, 61.0),
                (260.0, 59.0),
                (315.0, 56.0),
                (370.0, 52.0),
                (425.0, 49.0),
            ],
        ),
        (
            "90MnCrV8",
            1.0,
            "stockholder's sheet 1.2842",
            &[(100.0, 63.5), (150.0, 62.5), (200.0, 61.5), (250.0, 59.5), (300.0, 57.5), (400.0, 50.5)],
        ),
        (
            "L6",
            4.0,
            "Eastern Tool Steel, L-6, twice two hours",
            &[(150.0, 64.0), (205.0, 61.0), (260.0, 59.0), (315.0, 57.0), (370.0, 54.0)],
        ),
        (
            "75Ni8",
            1.0,
            "makers' sheets, from memory",
            &[(150.0, 62.0), (200.0, 60.0), (250.0, 57.0), (300.0, 54.0), (350.0, 51.0), (400.0, 47.0)],
        ),
        (
            "80CrV2",
            1.0,
            "makers' sheets, from memory",
            &[(150.0, 63.0), (200.0, 61.0), (250.0, 58.5), (300.0, 56.0), (350.0, 53.0), (400.0, 49.0)],
        ),
        (
            "5160",
            1.0,
            "Heat Treater's Guide, from memory",
            &[(150.0, 61.0), (205.0, 59.0), (260.0, 57.0), (315.0, 54.0), (370.0, 51.0), (425.0, 47.0)],
        ),
    ];
    for (name, hours, source, points) in curves {
        for (t, hrc) in points {
            let what = nominal(name).map(|_| name).unwrap();
            // A hair inside at the curve's ends.
            let t = t.clamp(points[0].0 + 1e-6, points[points.len() - 1].0 - 1e-6);
            hold(&[(what, middle(what, t, hours), *hrc, 0.05, source)]);
        }
    }
    // Halfway in carbon between two curves: 52 and 57.0 at 250 °C make 54.5, 57.0 and 58.5 make 57.7; no band is
    // narrower than 1.5, none of what is weak or between curves than 2.5.
    let plain_at = |c: f64| Tempering::plain(&plain(c, 0.25, 0.7)).unwrap();
    let between = |c: f64| plain_at(c).hardness(250.0, 1.0).map(|[a, b]| 0.5 * (a + b)).unwrap();
    let band = |name: &str| Tempering::of(&nominal(name).unwrap()).unwrap().band();
    hold(&[
        ("0.555 C", between(0.555), 54.49, 0.05, "Akrostal, C45U, and Grange and Baughman 1956, from memory"),
        (
            "0.825 C",
            between(0.825),
            57.74,
            0.05,
            "Grange and Baughman 1956, and Heat Treater's Guide, from memory",
        ),
        ("band of a sheet", band("O1"), 1.5, 0.01, "two sheets for one steel differ by up to 3"),
        ("band from memory", band("80CrV2"), 2.5, 0.01, "wider than a sheet's"),
        ("band of a handbook's curve from memory", band("1095"), 2.5, 0.01, "wider than a sheet's"),
        ("band of 1060", band("1060"), 2.5, 0.01, "wider than a sheet's"),
        ("band of 5160", band("5160"), 2.5, 0.01, "wider than a sheet's"),
        ("band between curves", plain_at(0.8).band(), 2.5, 0.01, "common practice, no source"),
    ]);
    // ASM International, One Minute Mentor: 52100 tempered at 230 °C has at least 58; 150 to 230 °C gives 58 to 64.
    assert!(middle("52100", 230.0, 1.0) >= 58.0 && middle("52100", 150.0, 1.0) <= 64.0);
    // EN ISO 4957, from memory, least hardness after 180 °C: C45U 54, C105U 61.
    assert!(middle("C45U", 180.1, 1.0) >= 53.9 && middle("C105U", 180.0, 1.0) >= 61.0);
    let paper = "worked from Hollomon and Jaffe with K = 21.3 − 5.8 C, code after a paper on gears";
    // 200 °C for 2 h: 473.15 · (16.95 + 0.30103)/16.95 = 481.55 K.
    hold(&[("200 °C for 2 h in 1 h", later(200.0, 2.0, 1.0, 0.75), 208.4, 0.02, paper)]);
    // 473.15 · (15.5 + 0.30103)/15.5 = 482.339 K.
    hold(&[("K at 1 % carbon", later(200.0, 2.0, 1.0, 1.0), 209.189, 0.01, paper)]);
}

/// A day at a heat, by hand from the published curves and Hollomon and Jaffe with K = 21.3 − 5.8 C: 24 h at 335 °C for 52100's
/// 0.99 % carbon do what 1 h does at 608.15 · (15.558 + 1.3802)/15.558 = 662.10 K, 388.95 °C, where Lucefin's card has 51.663.
#[test]
fn long_tempers() {
    for (name, celsius, hrc) in [
        ("C45U", 260.0, 48.040),
        ("C67S", 254.0, 54.584),
        ("1095", 335.0, 48.868),
        ("52100", 335.0, 51.663),
        ("O1", 340.0, 52.080),
        ("90MnCrV8", 335.0, 51.396),
        ("L6", 305.0, 56.170),
        ("75Ni8", 335.0, 48.238),
        ("80CrV2", 335.0, 50.169),
        ("5160", 360.0, 48.161),
    ] {
        let [low, high] = Tempering::of(&nominal(name).unwrap()).unwrap().hardness(celsius, 24.0).unwrap();
        hold(&[(name, 0.5 * (low + high), hrc, 0.005, "worked from Hollomon and Jaffe")]);
    }
    // A data sheet's curve is for an hour: halfway between 63 and 55 HRC.
    let mut own = Steel::new("Weir", plain(0.75, 0.25, 0.7));
    own.sheet.tempering = vec![(150.0, 63.0), (300.0, 55.0)];
    let [low, high] = Tempering::of(&own).unwrap().hardness(225.0, 1.0).unwrap();
    hold(&[("own sheet", 0.5 * (low + high), 59.0, 0.005, "the sheet itself")]);
}

/// Where one steel's figures stop speaking for another: common practice, no source, but for 1.05 % carbon, EN ISO 4957's
/// C105U (from memory), the most that the handbook's curve for 1 % is taken for.
#[test]
fn borrowed_figures_end() {
    let known = |c: f64| Tempering::plain(&plain(c, 0.25, 0.3)).is_some();
    assert!([0.99, 1.0, 1.02, 1.05].into_iter().all(known) && ![0.45, 1.06].into_iter().any(known));
    let source = |name: &str, moved: f64| {
        let steel = nominal(name).unwrap();
        Tempering::at_carbon(&steel, steel.composition.c - moved).map(|t| t.source())
    };
    assert_eq!(source("1095", 0.0295), source("1095", 0.0));
    assert_ne!(source("1095", 0.0305), source("1095", 0.0));
    assert!(source("O1", 0.149).is_some() && source("O1", 0.152).is_none());
    let near = |c: f64| plain_by_carbon(&plain(c, 0.25, 0.7)).map(|found| found.0);
    assert_eq!([0.366, 0.363].map(near), [Some("1045"), None]);
    assert_eq!([1.149, 1.152].map(near), [Some("C105U"), None]);
    assert!(cooled(900.0, 20.0).is_some() && warming_seconds(6.0, 820.0, 20.0, 819.0).is_some());
}

#[test]
fn hot_strength() {
    let at = |c, t, rate| flow_stress(c, t, 0.2, rate).unwrap();
    let shida = "worked from Shida 1969 as a rolling group publishes it";
    let spittel = "Spittel's C45, Landolt–Börnstein VIII/2";
    hold(&[
        ("0.45 C 900 °C 0.1/s", at(0.45, 900.0, 0.1), 109.0, 0.6, shida),
        ("0.45 C 900 °C 1/s", at(0.45, 900.0, 1.0), 144.4, 0.4, shida),
        ("0.45 C 900 °C 10/s", at(0.45, 900.0, 10.0), 191.0, 0.6, shida),
        ("0.45 C 1000 °C 1/s", at(0.45, 1000.0, 1.0), 100.6, 0.3, shida),
        ("0.45 C 1100 °C 1/s", at(0.45, 1100.0, 1.0), 73.5, 0.3, shida),
        ("0.1 C 900 °C 1/s", at(0.1, 900.0, 1.0), 143.8, 0.4, shida),
        ("0.1 C 1100 °C 0.1/s", at(0.1, 1100.0, 0.1), 54.0, 0.6, shida),
        ("1.0 C 900 °C 10/s", at(1.0, 900.0, 10.0), 193.0, 0.6, shida),
        ("1.0 C 1100 °C 0.1/s", at(1.0, 1100.0, 0.1), 47.0, 0.6, shida),
        ("0.45 C 1000 °C 1/s, strain 0.5", flow_stress(0.45, 1000.0, 0.5, 1.0).unwrap(), 109.5, 0.3, shida),
        ("1.0 C 1000 °C 1/s, strain 0.5", flow_stress(1.0, 1000.0, 0.5, 1.0).unwrap(), 97.7, 0.3, shida),
        (
            "0.45 C 1000 °C 100/s, strain 0.05",
            flow_stress(0.45, 1000.0, 0.05, 100.0).unwrap(),
            129.0,
            0.3,
            shida,
        ),
        // Where there is ferrite.
        ("0.1 C 700 °C 0.1/s", at(0.1, 700.0, 0.1), 127.7, 0.3, shida),
        ("0.1 C 700 °C 100/s", at(0.1, 700.0, 100.0), 308.0, 0.5, shida),
        ("0.1 C 800 °C 0.1/s", at(0.1, 800.0, 0.1), 98.2, 0.2, shida),
        ("0.45 C 720 °C 1/s", at(0.45, 720.0, 1.0), 226.6, 0.4, shida),
        ("0.8 C 700 °C 0.1/s", at(0.8, 700.0, 0.1), 198.8, 0.4, shida),
        ("1.2 C 700 °C 100/s", at(1.2, 700.0, 100.0), 547.9, 0.5, shida),
        ("0.07 C 1000 °C 0.1/s", at(0.07, 1000.0, 0.1), 75.9, 0.2, shida),
        ("1.2 C 1000 °C 0.1/s", at(1.2, 1000.0, 0.1), 62.8, 0.2, shida),
        ("against Spittel at 900 °C", at(0.45, 900.0, 1.0), 136.5, 13.6, spittel),
        ("against Spittel at 1000 °C", at(0.45, 1000.0, 1.0), 102.0, 10.2, spittel),
        ("against Spittel at 1100 °C", at(0.45, 1100.0, 1.0), 76.1, 7.6, spittel),
        ("against Mauk's C15 at 900 °C", at(0.1, 900.0, 1.0), 147.7, 14.7, "Mauk and Gottschling 2000"),
        (
            "torque of a 10 mm bar at 60 MPa",
            twisting_torque(10.0, 60.0),
            11.547,
            1e-3,
            "Nadai's heap of sand, from memory",
        ),
        ("its pressure in a socket", bearing_pressure(39.4138, 14.0, 30.0), 20.109, 1e-3, "worked by hand"),
    ]);
}

#[test]
fn diffusion_and_skins() {
    let agren = "Ågren 1986 by a public diffusion code";
    let d = |t, c| diffusion(t, c) * 1e12;
    let depth_at = |share, t| decarburised(share, t, 600.0, 0.0);
    // 1.5e-5 m²/s and 135 kJ/mol: 2.58e-11 at 950 °C; Callister's table: 5.9e-12 at 900 °C, from memory.
    hold(&[
        ("900 °C 0.1 C", d(900.0, 0.1), 6.92, 0.07, agren),
        ("900 °C 1.0 C", d(900.0, 1.0), 17.9, 0.18, agren),
        ("1000 °C 0.4 C", d(1000.0, 0.4), 30.1, 0.3, agren),
        ("1000 °C 0.8 C", d(1000.0, 0.8), 44.0, 0.4, agren),
        ("1150 °C 0.4 C", d(1150.0, 0.4), 125.0, 1.2, agren),
        (
            "950 °C, SteelMatter",
            (d(950.0, 0.4) / 25.8).ln(),
            0.0,
            steel::SOURCES.ln(),
            "SteelMatter, carburising page",
        ),
        (
            "900 °C, Callister",
            (d(900.0, 0.4) / 5.92).ln(),
            0.0,
            steel::SOURCES.ln() + 0.02,
            "Callister, from memory",
        ),
        // Ågren has 1.617 times what Callister's table has at 900 °C and 0.4 %.
        ("span of the sources", steel::SOURCES, 1.617, 0.03, "Ågren 1986 against Callister, from memory"),
        (
            "half at 0.954 √Dt",
            depth_at(0.5, 1000.0) / (diffusion(1000.0, 0.4) * 6e8).sqrt(),
            0.954,
            1e-3,
            "tables of erf",
        ),
        (
            "nine tenths",
            depth_at(0.9, 1000.0) / (diffusion(1000.0, 0.4) * 6e8).sqrt(),
            2.326,
            1e-3,
            "tables of erf",
        ),
        ("half left, 850 °C 10 min", depth_at(0.5, 850.0), 0.05, 0.006, "worked from Ågren 1986"),
        // Long after, what recedes at v keeps a skin of D/v ln 10: 0.01 mm/s and 125 µm²/s make 28.8 µm.
        (
            "nine tenths, receding",
            1e3 * decarburised(0.9, 1150.0, 600.0, 6.0),
            28.8,
            0.4,
            "worked from the steady skin",
        ),
        ("nine tenths, 1150 °C 10 min", depth_at(0.9, 1150.0), 0.64, 0.01, "worked from Ågren 1986"),
        // Scale of 64 µm in a minute at 1000 °C, 332 in five at 1150: metal is its 1.7th.
        (
            "scale, 1000 °C 1 min",
            1.7 * scaled(1000.0, 60.0),
            0.064,
            0.001,
            "Païdassi by Chen and Yuen, from memory",
        ),
        (
            "scale, 1150 °C 5 min",
            1.7 * scaled(1150.0, 300.0),
            0.332,
            0.004,
            "Païdassi by Chen and Yuen, from memory",
        ),
        (
            "metal, 1150 °C 10 min",
            scaled(1150.0, 600.0),
            0.470 / 1.7,
            0.004,
            "Païdassi by Chen and Yuen, from memory",
        ),
    ]);
}

#[test]
fn hardness_strength_and_growth() {
    let a370 = "ASTM A370 by a table after its edition 03a";
    let rows = [
        (40.0, 392.0, 1250.0),
        (45.0, 446.0, 1480.0),
        (48.0, 484.0, 1640.0),
        (50.0, 513.0, 1760.0),
        (52.0, 544.0, 1880.0),
        (55.0, 595.0, 2070.0),
        (57.0, 633.0, 2240.0),
        (59.0, 674.0, 2420.0),
    ];
    for (hrc, hv, strength) in rows {
        hold(&[
            ("HV", vickers(hrc).unwrap(), hv, 2.0, a370),
            ("MPa", tensile(hrc).unwrap(), strength, 15.0, a370),
        ]);
    }
    for (hrc, hv) in [(60.0, 697.0), (62.0, 746.0), (64.0, 800.0), (66.0, 865.0)] {
        hold(&[("HV", vickers(hrc).unwrap(), hv, 2.0, a370)]);
    }
    hold(&[
        ("as quenched, 0.40 C", quenched_hardness(0.4).unwrap(), 56.1, 0.1, "ASTM A255, from memory"),
        ("as quenched, 0.50 C", quenched_hardness(0.5).unwrap(), 60.9, 0.1, "ASTM A255, from memory"),
        ("as quenched, 0.60 C", quenched_hardness(0.6).unwrap(), 64.3, 0.1, "ASTM A255, from memory"),
        (
            "as quenched, C67S",
            quenched_hardness(0.67).unwrap(),
            64.7,
            5.7,
            "Saarstahl, sheet C67S: at least 59",
        ),
        (
            "pearlite to martensite, 0.8 C, %",
            100.0 * hardening_growth(0.8),
            0.448,
            0.005,
            "Lement 1959, from memory",
        ),
    ]);
}

/// Yield strength by hardness, and what may be set cold. By hand from 2.876 HV − 90.7 and 3.734 HV − 99.8 MPa, 102 MPa of
/// error; hardened steel yields at 0.93 of its tensile strength at most (eFunda's 4140 tempered at 205 °C: 0.926).
#[test]
fn yielding() {
    let law = "worked from Pavlina and Van Tyne 2008, coefficients from memory";
    let [soft, hard] = [300.0, 697.0].map(|hv| yield_strength(hv).unwrap());
    let softest = yield_strength(110.0).unwrap();
    let set = |hrc: f64| cold_set(vickers(hrc).unwrap());
    let ours = "common practice, no source: a tenth to a quarter of what 5160 stretches (ASM, from memory)";
    hold(&[
        ("300 HV", soft[1], 772.1, 0.1, law),
        ("300 HV, least", soft[0], 568.1, 0.1, law),
        ("300 HV, greatest", soft[2], 976.1, 0.1, law),
        ("697 HV, least", hard[0], 1811.87, 0.1, law),
        ("697 HV, greatest", hard[2], 2327.6, 0.1, "the same; eFunda, AISI 4140"),
        ("697 HV", hard[1], 2069.74, 0.1, "halfway"),
        // 225.66 MPa less two errors is next to nothing: no steel yields under 0.3 of the law.
        ("110 HV, least", softest[0], 67.698, 0.01, "common practice, no source"),
        ("hardened from, HRC", rockwell(HARDENED).unwrap(), 40.0, 0.1, "ASTM A370, 40 HRC is 392 HV"),
        ("Young's modulus, MPa", YOUNG, 204_800.0, 2000.0, "ASM Metals Handbook, 29.7e6 psi, from memory"),
        ("set cold, 48 HRC", set(48.0), 0.02, 1e-9, ours),
        ("set cold, 51.5 HRC", set(51.5), 0.015, 1e-9, ours),
        ("set cold, 58 HRC", set(58.0), 0.005, 1e-9, ours),
    ]);
    for (hrc, stretches) in [(48.0, 0.10), (55.0, 0.09), (58.5, 0.04)] {
        assert!((0.1 * stretches..=0.25 * stretches).contains(&set(hrc)), "{hrc}");
    }
    assert!(yield_strength(100.0).is_some() && yield_strength(865.0).is_some());
}

/// Hardness as quenched, HRC; single values are told one wider either way.
#[test]
fn hardness_as_quenched() {
    let memory = "Heat Treater's Guide or trade figures, from memory";
    for (name, low, high, source) in [
        ("C45", 55.0, 58.0, memory),
        ("1045", 55.0, 58.0, memory),
        ("C45U", 54.0, 58.0, "Akrostal 54, Meusburger 58 attainable"),
        ("1060", 63.0, 64.0, memory),
        ("C67S", 59.0, 65.0, "Saarstahl, sheet C67S: at least 59"),
        ("C75S", 60.0, 64.0, "a trader's page"),
        ("1084", 64.0, 65.0, memory),
        ("1095", 65.0, 67.0, memory),
        ("C80U", 63.0, 65.0, memory),
        ("C105U", 64.0, 66.0, memory),
        ("W1", 65.0, 67.0, memory),
        ("52100", 64.0, 67.0, "ASM International, 52100"),
        ("O1", 64.0, 66.0, "Eastern Tool Steel, O-1: 65"),
        ("95MnWCr5", 64.0, 66.0, "Eastern Tool Steel, O-1: 65"),
        ("90MnCrV8", 63.0, 65.0, memory),
        ("5160", 58.0, 63.0, memory),
        ("75Ni8", 63.0, 65.0, memory),
        ("80CrV2", 64.0, 65.0, memory),
        ("L6", 64.0, 65.0, "Eastern Tool Steel and Diamond Metals, L6"),
    ] {
        let told = as_quenched(&nominal(name).unwrap()).unwrap().hrc;
        hold(&[(name, told[0], low, 0.01, source), (name, told[1], high, 0.01, source)]);
    }
    // A sheet of O1 (Buffalo Precision): 0.0015 of the length, where the law has 0.56 % for a percent of carbon.
    hold(&[("growth of O1", GROWN * hardening_growth(0.925), 0.0015, 1e-6, "Buffalo Precision, O1")]);
    // Oil under 6.35 mm, for 1095 under 4.8 (Heat Treater's Guide, from memory).
    for (name, limit) in [("1045", 6.35), ("1060", 6.35), ("1084", 6.35), ("1095", 4.8)] {
        let told = published(&nominal(name).unwrap()).unwrap().medium.oil_under.unwrap();
        hold(&[(name, told, limit, 0.01, "Heat Treater's Guide, from memory")]);
    }
}

/// A steel of one's own has no published band.
#[test]
fn nothing_published_is_claimed_for_a_steel_of_ones_own() {
    let own = Steel::new("1095", plain(0.5, 0.2, 0.7));
    assert!(published(&own).is_none());
    assert!(Tempering::of(&own).is_some_and(|t| !t.seen() && t.band() > 2.0));
}

/// Where steels are forged, °C: sheets that were at hand, the others from memory.
#[test]
fn forging_ranges() {
    let lucefin = "Lucefin, card 100Cr6";
    let guide = "Heat Treater's Guide, from memory";
    let sheets = "makers' data sheets, from memory";
    for (name, low, high, source) in [
        ("C45", 850.0, 1100.0, "Saarstahl, sheet C45"),
        ("C45U", 850.0, 1100.0, "Akrostal, sheet C45U"),
        ("C67S", 800.0, 1100.0, "Saarstahl, sheet C67S"),
        ("1070", 800.0, 1100.0, "Saarstahl, sheet C67S, of a similar steel, as from memory"),
        ("100Cr6", 900.0, 1050.0, lucefin),
        ("O1", 845.0, 1065.0, "Kmac, O1"),
        ("90MnCrV8", 850.0, 1050.0, "a stockholder's sheet, 1.2842"),
        ("L6", 925.0, 1190.0, "Diamond Metals, L6"),
        ("1045", 870.0, 1245.0, guide),
        ("1060", 815.0, 1205.0, guide),
        ("1084", 815.0, 1175.0, guide),
        ("1095", 815.0, 1150.0, guide),
        ("W1", 815.0, 1040.0, guide),
        ("W2", 815.0, 1040.0, guide),
        ("95MnWCr5", 845.0, 1065.0, "Kmac, O1, from memory"),
        ("wrought iron", 850.0, 1250.0, sheets),
        ("5160", 870.0, 1205.0, guide),
        ("C75S", 850.0, 1050.0, sheets),
        ("C80U", 850.0, 1050.0, sheets),
        ("C105U", 850.0, 1050.0, sheets),
        ("O2", 850.0, 1050.0, sheets),
        ("15N20", 850.0, 1100.0, sheets),
        ("80CrV2", 850.0, 1050.0, sheets),
        ("mild steel", 850.0, 1250.0, sheets),
        ("phosphoric iron", 850.0, 1250.0, sheets),
        ("nickel", 650.0, 1230.0, sheets),
    ] {
        let Advice::Heat(band) = published(&nominal(name).unwrap()).unwrap().forging else {
            panic!("{name}")
        };
        hold(&[("low", band.celsius[0], low, 1.0, source), ("high", band.celsius[1], high, 1.0, source)]);
        assert_eq!(band.seen, !source.ends_with("from memory"), "{name}");
    }
}

/// A plate 12 mm thick put into a kiln at 820 °C, worked by hand over its first 40 K.
#[test]
fn kilns_warm_by_the_law_of_the_clock() {
    // From 20 to 60 °C at once, ε 0.8, h 10: 7850 · 0.006 · 453.4 · 40 / 72 140 W/m² = 11.84 s.
    hold(&[(
        "first warming, s",
        warming_seconds(6.0, 820.0, 20.0, 60.0).unwrap(),
        11.84,
        0.05,
        "Incropera, from memory",
    )]);
}
