//! Blades whose every size is known, and what a smith reads off them: with a caliper's scatter, dips, slips and scales.

use std::f64::consts::{PI, TAU};
use std::sync::Arc;

use blade::{CrossSection, Loft, Sections, Stage};
use design::Design;

/// What a caliper wavers by, as a standard deviation, mm.
const CALIPER: f64 = 0.02;
/// How far its jaws are from the place asked for, as a standard deviation, mm.
const PLACING: f64 = 0.2;
/// Share by which tangs are off their plan, as a standard deviation.
const TANG: f64 = 0.04;
/// Share of the grinding just before the edge is sharpened, which comes last and which no caliper sees.
const UNSHARPENED: f64 = 0.999;
/// A slip counts that is off by so much, mm: smaller ones no neighbour tells from a dip, and they harm no more than one.
pub(crate) const SLIP: f64 = 0.6;

/// SplitMix64 (Steele, Lea and Flood 2014; from memory).
pub(crate) struct Dice(pub u64);

impl Dice {
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub(crate) fn below(&mut self, most: usize) -> usize {
        (self.next() % most as u64) as usize
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// The sum of twelve even numbers less six: near enough to normal.
    pub(crate) fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.between(0.0, 1.0)).sum::<f64>() - 6.0
    }
}

/// A dip, or a hump: a wave's half along and up the blade.
struct Dip {
    station: f64,
    wide: f64,
    up: f64,
    high: f64,
    /// mm, below 0 a dip.
    deep: f64,
}

impl Dip {
    fn new(length: f64, dice: &mut Dice) -> Dip {
        let sign = if dice.below(3) == 0 { 1.0 } else { -1.0 };
        Dip {
            station: dice.between(0.02, 0.9) * length,
            wide: dice.between(5.0, 80.0),
            up: dice.between(0.0, 1.0),
            high: dice.between(0.3, 2.0),
            deep: sign * dice.between(0.1, 0.5),
        }
    }

    fn at(&self, x: f64, share: f64) -> f64 {
        let bell = |t: f64| if t.abs() < 0.5 { (PI * t).cos().powi(2) } else { 0.0 };
        self.deep * bell((x - self.station) / self.wide) * bell((share - self.up) / self.high)
    }
}

/// A blade whose every size is known.
pub(crate) struct Truth {
    pub(crate) sections: Sections,
    loft: Arc<Loft>,
    pub(crate) length: f64,
    level: f64,
    tilt: [f64; 2],
    bulge: f64,
    waves: [[f64; 3]; 2],
    dips: Vec<Dip>,
    broad: [f64; 3],
    tang: f64,
}

impl Truth {
    /// On some stage or, without fullers and holes (which are cut at one go), somewhere between two.
    pub(crate) fn new(design: &Design, dice: &mut Dice) -> Truth {
        let (blade, spec) = (design.blade(), design.blade().spec());
        let share = if spec.fullers.is_empty() && spec.tang.holes.is_empty() {
            dice.between(0.0, UNSHARPENED)
        } else {
            blade.ground_share(Stage::ALL[dice.below(3)]).min(UNSHARPENED)
        };
        let (loft, length) = (blade.loft_ground(share), blade.length());
        let mut wave = || [dice.between(0.0, 0.15), dice.between(250.0, 900.0), dice.between(0.0, TAU)];
        let waves = [wave(), wave()];
        Truth {
            sections: Sections::of(&loft),
            loft,
            length,
            level: dice.between(-0.1, 0.4),
            tilt: [dice.between(-0.2, 0.2), dice.between(-0.15, 0.15)],
            bulge: dice.between(-0.1, 0.1),
            waves,
            dips: (0..dice.below(5)).map(|_| Dip::new(length, dice)).collect(),
            broad: [dice.between(0.0, 1.5), dice.between(0.0, 0.3), dice.between(250.0, 900.0)],
            tang: TANG * dice.normal(),
        }
    }

    /// What dips and humps add at station x and share s of the planned breadth, mm.
    pub(crate) fn dips(&self, x: f64, s: f64) -> f64 {
        self.dips.iter().map(|d| d.at(x, s)).sum()
    }

    /// How much thicker it is there, mm.
    fn over(&self, x: f64, s: f64) -> f64 {
        let (along, up) = (2.0 * x / self.length - 1.0, 2.0 * s - 1.0);
        let waves: f64 = self.waves.iter().map(|[a, l, p]| a * (TAU * x / l + p).sin()).sum();
        self.level + self.tilt[0] * along + self.tilt[1] * up + self.bulge * up * up + waves + self.dips(x, s)
    }

    fn broader(&self, x: f64) -> f64 {
        self.broad[0] + self.broad[1] * (TAU * x / self.broad[2]).sin()
    }

    /// Half the thickness at height y.
    pub(crate) fn half(&self, section: &CrossSection, x: f64, y: f64) -> f64 {
        let (low, high) = section.range();
        let (left, right) = section.flanks(y);
        (0.5 * (right - left + self.over(x, ((y - low) / (high - low)).clamp(0.0, 1.0)))).max(0.0)
    }

    /// mm³, the tang with it.
    fn volume(&self) -> f64 {
        const X: usize = 240;
        const Y: usize = 60;
        let mut sum = self.loft.moments().volume;
        let mut blade = 0.0;
        for x in (0..X).map(|i| self.length * (i as f64 + 0.5) / X as f64) {
            let Some(section) = self.sections.at(x) else { continue };
            let (low, high) = section.range();
            let bottom = (low - self.broader(x)).min(high);
            let step = (high - bottom) / Y as f64;
            let at = |k: usize| 2.0 * self.half(&section, x, bottom + (k as f64 + 0.5) * step) * step;
            sum += ((0..Y).map(at).sum::<f64>() - section.area()) * self.length / X as f64;
            blade += section.area() * self.length / X as f64;
        }
        sum += self.tang * (self.loft.moments().volume - blade);
        let shoulder = (0..50).map(|k| self.over(0.0, (f64::from(k) + 0.5) / 50.0)).sum::<f64>() / 50.0;
        let end = self.sections.range().0;
        let area = |i: usize| {
            let (low, high) = self.sections.at(end * (i as f64 + 0.5) / 40.0)?.range();
            Some((high - low) * -end / 40.0)
        };
        sum + shoulder * (0..40).filter_map(area).sum::<f64>()
    }

    /// g.
    pub(crate) fn mass(&self, design: &Design) -> f64 {
        self.volume() * design.density()
    }
}

/// A row of the file.
#[derive(Clone)]
pub(crate) struct Row {
    pub(crate) station: f64,
    pub(crate) what: &'static str,
    /// mm above the edge; 0 where there is none.
    pub(crate) height: f64,
    /// What a caliper said, mm.
    pub(crate) value: f64,
    /// What dips and humps have in it, mm.
    pub(crate) dip: f64,
    /// How it was written, in the design's unit.
    pub(crate) written: String,
    /// Whether a slip has made it wrong.
    pub(crate) slip: bool,
}

/// What a smith reads at a station: breadth, back, and three heights, `count` of them.
pub(crate) fn station(truth: &Truth, design: &Design, x: f64, count: usize, dice: &mut Dice) -> Vec<Row> {
    let Some(section) = truth.sections.at(x) else { return Vec::new() };
    let (low, high) = section.range();
    let breadth = high - low + truth.broader(x);
    let unit = design.unit().millimetres();
    let places = if unit > 1.0 { 3 } else { 2 };
    let at = |x: f64| (x + PLACING * dice.normal()).max(0.0);
    let mut at = at;
    let placed: Vec<f64> = (0..5).map(|_| at(x)).collect();
    let lifted: Vec<f64> = (0..5).map(|_| at(0.0) - at(0.0)).collect();
    let back = |x: f64| truth.loft.station(x).map_or(0.0, |s| s.back) + truth.over(x, 1.0);
    let mut rows = vec![("breadth", 0.0, breadth, 0.0), ("back", 0.0, back(placed[1]), truth.dips(x, 1.0))];
    for (i, share) in [0.25, 0.5, 0.75].into_iter().enumerate() {
        let height = (share * breadth).round();
        let y = high - breadth + height;
        let Some(here) = truth.sections.at(placed[i + 2]) else { continue };
        let value = 2.0 * truth.half(&here, placed[i + 2], y + lifted[i]);
        rows.push(("thickness", height, value, truth.dips(x, ((y - low) / (high - low)).clamp(0.0, 1.0))));
    }
    let row = |(what, height, value, dip): (&'static str, f64, f64, f64)| {
        let value = (value + CALIPER * dice.normal()).max(0.06);
        Row {
            station: x,
            what,
            height,
            value,
            dip,
            written: format!("{:.places$}", value / unit),
            slip: false,
        }
    };
    rows.into_iter().take(count).map(row).collect()
}

/// Reads a place again, at the end: most say the same, some contradict it.
pub(crate) fn again(rows: &mut Vec<Row>, design: &Design, dice: &mut Dice) {
    let mut row = rows[dice.below(rows.len())].clone();
    if row.slip {
        return;
    }
    let off = if dice.below(2) == 0 { dice.between(-0.4, 0.4) } else { CALIPER * dice.normal() };
    row.value = (row.value + off).max(0.06);
    row.written = format!("{:.3}", row.value / design.unit().millimetres());
    rows.push(row);
}

/// Makes a slip of writing in one row, or in two neighbours, where it can be made.
pub(crate) fn slip(rows: &mut [Row], design: &Design, dice: &mut Dice) {
    let i = dice.below(rows.len());
    let unit = design.unit().millimetres();
    if rows[i].slip || rows[i].what == "breadth" {
        return;
    }
    let old = rows[i].written.clone();
    let number: f64 = old.parse().unwrap();
    let new = match dice.below(5) {
        0 => format!("{:.3}", number * 10.0),
        1 => format!("{:.3}", number * 0.1),
        2 if unit > 1.0 => format!("{:.2}", number * unit),
        2 => format!("{:.3}", number / 25.4),
        3 => swapped(&old, dice),
        _ => return exchanged(rows, i),
    };
    let value = new.parse::<f64>().unwrap_or(0.0) * unit;
    // The door refuses what no blade has.
    if (0.06..140.0).contains(&value) && (value - rows[i].value).abs() > SLIP {
        (rows[i].written, rows[i].slip) = (new, true);
    }
}

/// A number with two neighbouring digits changed round.
fn swapped(text: &str, dice: &mut Dice) -> String {
    let mut bytes = text.as_bytes().to_vec();
    let digits: Vec<usize> = (0..bytes.len()).filter(|i| bytes[*i].is_ascii_digit()).collect();
    let k = dice.below(digits.len() - 1);
    bytes.swap(digits[k], digits[k + 1]);
    String::from_utf8(bytes).unwrap()
}

/// Two neighbouring rows written into each other's place.
fn exchanged(rows: &mut [Row], i: usize) {
    let Some(next) = rows.get(i + 1) else { return };
    if !next.slip && next.what != "breadth" && (next.value - rows[i].value).abs() > SLIP {
        let (a, b) = (rows[i].written.clone(), rows[i + 1].written.clone());
        (rows[i].written, rows[i].slip) = (b, true);
        (rows[i + 1].written, rows[i + 1].slip) = (a, true);
    }
}

/// The file of some rows and a weight, g; row k stands in line k + 2.
pub(crate) fn file(rows: &[Row], design: &Design, weight: f64) -> String {
    let unit = design.unit().millimetres();
    let mut text = String::from("date,stage,station,what,height,measured\n");
    for row in rows {
        let height = if row.height > 0.0 { format!("{}", row.height / unit) } else { String::new() };
        text += &format!("2026-05-04,,{},{},{height},{}\n", row.station / unit, row.what, row.written);
    }
    text + &format!("2026-05-04,,,weight,,{weight:.1} g\n")
}
