//! Lengths as figures in the design's unit, the same way in every output.

use crate::unit::quantity::{GALLON, Unit};
use crate::unit::scales::{MassUnit, POUND_FORCE, PSI, Temperature, Torque};

/// The finest fraction on an inch rule.
const FINEST: f64 = 64.0;
/// Parts of an inch that marks are punched to.
const THIRTY_SECONDS: u32 = 32;
/// How near a length must be to a fraction of an inch to be told as one, in sixty-fourths: what rounding leaves.
const NEAR: f64 = 1e-6;

/// Writes lengths given in mm in a design's unit, without its name; and heat, weight and torque on its scales, with theirs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Figures {
    /// The unit in which lengths are written.
    pub unit: Unit,
    /// Whether sizes that are fractions of an inch are written as such.
    pub fractions: bool,
    /// The scale of temperatures.
    pub temperature: Temperature,
    /// The unit of masses.
    pub mass: MassUnit,
    /// The unit of torques.
    pub torque: Torque,
}

/// A figure with a true minus in place of a hyphen before it, which reads as a dash; none before nothing.
pub fn minus(figure: &str) -> String {
    match figure.trim_start().strip_prefix('-') {
        Some(rest) if rest.contains(|c: char| ('1'..='9').contains(&c)) => figure.replacen('-', "−", 1),
        Some(_) => figure.replacen('-', "", 1),
        None => figure.to_owned(),
    }
}

impl Figures {
    /// Decimal lengths in this unit, everything else metric.
    pub fn of(unit: Unit) -> Figures {
        Figures { unit, ..Figures::default() }
    }

    /// The unit in a sentence.
    pub fn spoken(self) -> &'static str {
        match self.unit {
            Unit::Millimetre => "mm",
            Unit::Inch => "inches",
        }
    }

    /// A station: to 0.1 mm, or 0.001 in or as a fraction, without zeros at its end.
    pub fn station(self, mm: f64) -> String {
        self.fraction(mm).unwrap_or_else(|| trimmed(&self.length(mm)))
    }

    /// A length or breadth: to 0.1 mm, as a rule is read, or 0.001 in, which eighths need.
    pub fn length(self, mm: f64) -> String {
        self.with(mm, [1, 3])
    }

    /// A size of the design: as a fraction where it is one and fractions are in use, else as a length.
    pub fn dimension(self, mm: f64) -> String {
        self.fraction(mm).unwrap_or_else(|| self.length(mm))
    }

    /// A thickness: to 0.01 mm or 0.001 in, as a caliper is read.
    pub fn thickness(self, mm: f64) -> String {
        self.with(mm, [2, 3])
    }

    /// The step of the last place of [`Figures::length`], mm.
    pub fn length_step(self) -> f64 {
        self.step([0.1, 0.001])
    }

    /// The step of the last place of [`Figures::thickness`], mm.
    pub fn thickness_step(self) -> f64 {
        self.step([0.01, 0.001])
    }

    fn step(self, [metric, inch]: [f64; 2]) -> f64 {
        match self.unit {
            Unit::Millimetre => metric,
            Unit::Inch => inch * Unit::Inch.millimetres(),
        }
    }

    /// A height that is marked with a rule: as a station, but where fractions are in use a decimal that stands for a sixteenth,
    /// as 0.688 for 11/16, is told as that.
    pub fn rule(self, mm: f64) -> String {
        let sixteenth = Unit::Inch.millimetres() / 16.0;
        let marks = (mm / sixteenth).round();
        let near = (mm - marks * sixteenth).abs() < 0.6 * self.length_step() && marks.abs() < MOST_PARTS;
        match self.fractions && self.unit == Unit::Inch && near {
            true => mixed(marks as i64, 16),
            false => self.station(mm),
        }
    }

    /// A point of balance and the like, as a finger's edge finds it: to 1 mm, or 1/16 in (0.01 in where fractions are not in
    /// use), with its unit.
    pub fn poise(self, mm: f64) -> String {
        let sixteenth = Unit::Inch.millimetres() / 16.0;
        let number = match (self.unit, self.fractions) {
            (Unit::Inch, true) => mixed((mm / sixteenth).round() as i64, 16),
            _ => self.with(mm, [0, 2]),
        };
        format!("{number} {}", self.unit.name())
    }

    /// A side of a bar under the hammer: to 0.1 mm, or 0.01 in (under half an inch 0.001) or as a fraction; whole thousandths of
    /// an inch, such as 0.625, are told as they are.
    pub fn side(self, mm: f64) -> String {
        let thousandths = 1000.0 * mm / Unit::Inch.millimetres();
        let is_whole = |x: f64| (x - x.round()).abs() < NEAR;
        let is_fine = thousandths < 500.0 || is_whole(thousandths);
        let inch = if is_fine && !is_whole(0.1 * thousandths) { 3 } else { 2 };
        self.fraction(mm).unwrap_or_else(|| self.with(mm, [1, inch]))
    }

    /// Both sides of a bar (mm), "1 5/8 × 1/2": as fractions where both are, else as decimals with as many places.
    pub fn section(self, sides: [f64; 2]) -> String {
        if let [Some(one), Some(other)] = sides.map(|mm| self.fraction(mm)) {
            return format!("{one} × {other}");
        }
        let decimal = Figures { fractions: false, ..self };
        let places = |mm: f64| decimal.side(mm).split('.').nth(1).map_or(0, str::len);
        let most = sides.map(places).into_iter().max().unwrap_or_default();
        sides.map(|mm| self.with(mm, [1, most])).join(" × ")
    }

    /// A length of hot steel, as a rule beside the anvil is read: to 1 mm or 1/16 in.
    pub fn hot(self, mm: f64) -> String {
        match self.unit {
            Unit::Millimetre => self.with(mm, [0, 0]),
            Unit::Inch => mixed((mm / (Unit::Inch.millimetres() / 16.0)).round() as i64, 16),
        }
    }

    /// A size of a tank (mm) rounded up, so that the blade and its oil find room: to 5 mm or 1/2 in, as tanks are built.
    pub fn tank(self, mm: f64) -> String {
        let step = match self.unit {
            Unit::Millimetre => 5.0,
            Unit::Inch => 0.5 * Unit::Inch.millimetres(),
        };
        self.hot((mm / step - NEAR).ceil() * step)
    }

    /// The size that a stop block bears (mm), without its unit: a fraction where it is one of an inch, no zeros at its end.
    pub fn stop(self, mm: f64) -> String {
        trimmed(&Figures { fractions: true, ..self }.side(mm))
    }

    /// Step to which marks on hot steel are punched, mm: half a millimetre or a thirty-second of an inch, as rules
    /// are cut.
    pub fn mark_step(self) -> f64 {
        match self.unit {
            Unit::Millimetre => 0.5,
            Unit::Inch => Unit::Inch.millimetres() / f64::from(THIRTY_SECONDS),
        }
    }

    /// A punch mark (mm), to [`Figures::mark_step`]: in inches as a fraction, as rules show it.
    pub fn mark(self, mm: f64) -> String {
        match self.unit {
            Unit::Millimetre => {
                trimmed(&format!("{:.1}", (mm / self.mark_step()).round() * self.mark_step()))
            }
            Unit::Inch => mixed((mm / self.mark_step()).round() as i64, i64::from(THIRTY_SECONDS)),
        }
    }

    /// A size that must be told whole: to 0.001 mm, or 0.0001 in, which sixteenths need, or as a fraction; with its unit.
    pub fn size(self, mm: f64) -> String {
        format!("{} {}", self.plain_size(mm), self.unit.name())
    }

    /// The same without its unit.
    pub fn plain_size(self, mm: f64) -> String {
        self.fraction(mm).unwrap_or_else(|| trimmed(&self.with(mm, [3, 4])))
    }

    /// A size that is bought or printed to whole millimetres, with its unit: in an inch file those beside the inches, "2 mm
    /// (0.079 in)", where it is no fraction of an inch.
    pub fn metric_size(self, mm: f64) -> String {
        let even = (mm - mm.round()).abs() < 1e-9;
        let sixty_fourths = FINEST * mm / Unit::Inch.millimetres();
        let is_inches = (sixty_fourths - sixty_fourths.round()).abs() < NEAR;
        match self.unit {
            Unit::Inch if even && !is_inches => format!("{mm:.0} mm ({})", self.gap(mm)),
            _ => self.size(mm),
        }
    }

    /// A length as a whole number and fraction of an inch, down to sixty-fourths, where it is one and fractions are in use.
    pub fn fraction(self, mm: f64) -> Option<String> {
        if !self.fractions || self.unit != Unit::Inch {
            return None;
        }
        let parts = mm / Unit::Inch.millimetres() * FINEST;
        let near = parts.abs() < MOST_PARTS && (parts - parts.round()).abs() < NEAR;
        let whole = near.then(|| parts.round() as i64)?;
        Some(mixed(whole, FINEST as i64))
    }

    /// A station with its unit.
    pub fn told(self, mm: f64) -> String {
        format!("{} {}", self.station(mm), self.unit.name())
    }

    /// A gap between parts, with its unit.
    pub fn gap(self, mm: f64) -> String {
        format!("{} {}", self.thickness(mm), self.unit.name())
    }

    /// A mass with its unit: to 0.1 g, 0.01 oz or 0.001 lb, as a kitchen scale is read.
    pub fn mass(self, grams: f64) -> String {
        self.mass_to(grams, self.mass.places())
    }

    /// A mass with its unit: to 1 g, 0.1 oz or 0.01 lb (of less than a pound 0.001), for steel to cut and blades to heft.
    pub fn weight(self, grams: f64) -> String {
        self.mass_to(grams, self.weight_places(grams))
    }

    /// The same number without its unit.
    pub fn plain_weight(self, grams: f64) -> String {
        self.mass_number(grams, self.weight_places(grams))
    }

    fn weight_places(self, grams: f64) -> usize {
        let is_light = self.mass == MassUnit::Pound && grams.abs() < MassUnit::Pound.grams();
        self.mass.places() - usize::from(!is_light)
    }

    fn mass_to(self, grams: f64, places: usize) -> String {
        format!("{} {}", self.mass_number(grams, places), self.mass.name())
    }

    fn mass_number(self, grams: f64, places: usize) -> String {
        unsigned_zero(format!("{:.places$}", grams / self.mass.grams()))
    }

    /// A density given in kg/m³, with its unit: in lb/in³ where lengths are inches.
    pub fn density(self, kg_m3: f64) -> String {
        let cubic_inch = Unit::Inch.millimetres().powi(3);
        match self.unit {
            Unit::Millimetre => format!("{kg_m3} kg/m³"),
            Unit::Inch => format!("{:.3} lb/in³", kg_m3 * 1e-6 * cubic_inch / MassUnit::Pound.grams()),
        }
    }

    /// A volume given in L, with its unit: to 0.1 L, or 0.1 US gallon where lengths are inches.
    pub fn volume(self, litres: f64) -> String {
        match self.unit {
            Unit::Millimetre => format!("{litres:.1} L"),
            Unit::Inch => format!("{:.1} US gal", litres / GALLON),
        }
    }

    /// The same for what must not be less: rounded up.
    pub fn least_volume(self, litres: f64) -> String {
        let step = if self.unit == Unit::Inch { 0.1 * GALLON } else { 0.1 };
        self.volume((litres / step).ceil() * step)
    }

    /// A temperature given in °C, to a degree, with its sign.
    pub fn temperature(self, celsius: f64) -> String {
        format!("{} {}", self.degrees(celsius), self.temperature.name())
    }

    /// A difference of temperatures given in K, to a degree, with its sign.
    pub fn temperature_step(self, kelvin: f64) -> String {
        let zero = self.temperature.degrees(0.0);
        format!("{:.0} {}", self.temperature.degrees(kelvin) - zero, self.temperature.name())
    }

    /// A temperature given in °C, to a degree, without its sign.
    pub fn degrees(self, celsius: f64) -> String {
        unsigned_zero(format!("{:.0}", self.temperature.degrees(celsius)))
    }

    /// A band of temperatures given in °C, to 1 °C or 5 °F, without its sign; one where its ends are alike. Bands are
    /// published to 5 °C or 10 °F at best.
    pub fn degree_band(self, celsius: [f64; 2]) -> String {
        let step = if self.temperature == Temperature::Fahrenheit { 5.0 } else { 1.0 };
        let told =
            |c: f64| unsigned_zero(format!("{:.0}", (self.temperature.degrees(c) / step).round() * step));
        let [low, high] = celsius.map(told);
        if low == high { low } else { format!("{low}–{high}") }
    }

    /// A temperature given in °C that is known to some degrees only, to 1 °C or 5 °F, with its sign.
    pub fn about(self, celsius: f64) -> String {
        format!("{} {}", self.about_degrees(celsius), self.temperature.name())
    }

    /// The same without its sign.
    pub fn about_degrees(self, celsius: f64) -> String {
        self.degree_band([celsius; 2])
    }

    /// A torque given in N·m, to 1 N·m or 1 ft·lb, with its unit.
    pub fn torque(self, newton_metres: f64) -> String {
        let number = unsigned_zero(format!("{:.0}", newton_metres / self.torque.newton_metres()));
        format!("{number} {}", self.torque.name())
    }

    /// A band of pressures or stresses given in MPa, with its unit: to 1 MPa, or to 100 psi where torques are in ft·lb; one
    /// where its ends are alike.
    pub fn pressure_band(self, mpa: [f64; 2]) -> String {
        let (unit, step, name) = match self.torque {
            Torque::NewtonMetre => (1.0, 1.0, "MPa"),
            Torque::FootPound => (PSI, 100.0, "psi"),
        };
        let [low, high] = mpa.map(|x| unsigned_zero(format!("{:.0}", (x / unit / step).round() * step)));
        if low == high { format!("{low} {name}") } else { format!("{low} to {high} {name}") }
    }

    /// A pressure or stress given in MPa, with its unit.
    pub fn pressure(self, mpa: f64) -> String {
        self.pressure_band([mpa; 2])
    }

    /// A force given in N, to 1 N or 1 lb, with its unit.
    pub fn force(self, newtons: f64) -> String {
        match self.torque {
            Torque::NewtonMetre => format!("{newtons:.0} N"),
            Torque::FootPound => format!("{:.0} lb", newtons / POUND_FORCE),
        }
    }

    /// Work given in J, with its unit: to 1 J or 1 ft·lb.
    pub fn work(self, joules: f64) -> String {
        match self.torque {
            Torque::NewtonMetre => format!("{joules:.0} J"),
            Torque::FootPound => {
                format!("{:.0} {}", joules / self.torque.newton_metres(), self.torque.name())
            }
        }
    }

    /// A moment of inertia given in g·mm², in kg·cm², or in lb·in² where masses are in ounces or pounds, with its unit: to
    /// three figures, but no finer than hundredths and no coarser than ones.
    pub fn inertia(self, gram_mm2: f64) -> String {
        let (unit, name) = match self.mass {
            MassUnit::Gram => (1e5, "kg·cm²"),
            MassUnit::Ounce | MassUnit::Pound => {
                (MassUnit::Pound.grams() * Unit::Inch.millimetres() * Unit::Inch.millimetres(), "lb·in²")
            }
        };
        let number = gram_mm2 / unit;
        let places = if number < 10.0 { 2 } else { usize::from(number < 100.0) };
        format!("{number:.places$} {name}")
    }

    /// Distance between the stations with a tick on paper and plates, mm: 25 mm or an inch.
    pub fn pitch(self) -> f64 {
        match self.unit {
            Unit::Millimetre => 25.0,
            Unit::Inch => Unit::Inch.millimetres(),
        }
    }

    /// A length with so many decimals in each unit; a zero has no sign.
    fn with(self, mm: f64, [metric, inch]: [usize; 2]) -> String {
        let places = match self.unit {
            Unit::Millimetre => metric,
            Unit::Inch => inch,
        };
        // Halves of the last place of an inch, as of 3/16, are rounded up whatever conversion left of them.
        let over = if self.unit == Unit::Inch { f64::copysign(TIE, mm) } else { 0.0 };
        unsigned_zero(format!("{:.places$}", mm / self.unit.millimetres() + over))
    }
}

/// What conversion may leave of a half of the last place, inches: far below any figure's last place.
const TIE: f64 = 1e-9;

/// The most sixty-fourths that are told as a fraction, 2^32 or a thousand miles: beyond, numbers are whole for want of digits.
const MOST_PARTS: f64 = 4_294_967_296.0;

/// So many parts as a whole number and a fraction in lowest terms: "2", "5/8", "1 5/8"; `base` a power of 2.
fn mixed(parts: i64, base: i64) -> String {
    let sign = if parts < 0 { "-" } else { "" };
    let (whole, mut over, mut under) = (parts.abs() / base, parts.abs() % base, base);
    while over > 0 && over % 2 == 0 {
        (over, under) = (over / 2, under / 2);
    }
    match (whole, over) {
        (whole, 0) => format!("{sign}{whole}"),
        (0, over) => format!("{sign}{over}/{under}"),
        (whole, over) => format!("{sign}{whole} {over}/{under}"),
    }
}

/// A number as it is; a zero has no sign.
fn unsigned_zero(number: String) -> String {
    match number.strip_prefix('-') {
        Some(zero) if zero.bytes().all(|b| matches!(b, b'0' | b'.')) => zero.to_owned(),
        _ => number,
    }
}

/// A number without zeros at its end.
pub fn trimmed(number: &str) -> String {
    let whole =
        if number.contains('.') { number.trim_end_matches('0').trim_end_matches('.') } else { number };
    whole.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_minus_is_a_minus_and_nothing_has_none() {
        for (figure, told) in
            [("-0.30 %", "−0.30 %"), ("  -4.2", "  −4.2"), ("-0.0°", "0.0°"), ("+3", "+3"), ("7", "7")]
        {
            assert_eq!(minus(figure), told);
        }
    }

    #[test]
    fn figures_are_as_fine_as_the_tool_that_reads_them() {
        let mm = Figures::of(Unit::Millimetre);
        assert_eq!([mm.station(125.0), mm.station(12.5), mm.station(0.0)], ["125", "12.5", "0"]);
        assert_eq!([mm.length(38.24), mm.thickness(5.9), mm.unit.name().into()], ["38.2", "5.90", "mm"]);
        let inch = Figures::of(Unit::Inch);
        assert_eq!([inch.station(127.0), inch.station(63.5), inch.station(254.0)], ["5", "2.5", "10"]);
        assert_eq!([inch.length(25.4), inch.thickness(25.4 / 8.0)], ["1.000", "0.125"]);
        let rule = Figures { fractions: true, ..inch };
        assert_eq!(
            [rule.dimension(234.95), rule.dimension(235.0), inch.dimension(234.95), mm.dimension(234.95)],
            ["9 1/4", "9.252", "9.250", "234.9"]
        );
        assert_eq!([inch.size(7.9375), mm.size(25.0), mm.gap(0.1)], ["0.3125 in", "25 mm", "0.10 mm"]);
        assert_eq!([inch.metric_size(2.0), inch.metric_size(25.4)], ["2 mm (0.079 in)", "1 in"]);
        assert_eq!([mm.metric_size(2.0), inch.metric_size(1.5875)], ["2 mm", "0.0625 in"]);
        assert_eq!(
            [[41.275, 12.7], [22.6, 12.7], [22.225, 11.0]].map(|both| rule.section(both)),
            ["1 5/8 × 1/2", "0.89 × 0.50", "0.875 × 0.433"]
        );
        assert_eq!([mm.section([41.0, 12.0]), mm.size(25.0)], ["41.0 × 12.0", "25 mm"]);
        assert_eq!([inch.unit.name(), inch.spoken(), mm.spoken()], ["in", "inches", "mm"]);
        assert_eq!([mm.thickness(-0.001), mm.length(-0.06), mm.told(-0.01)], ["0.00", "-0.1", "0 mm"]);
        assert_eq!(
            [mm.side(9.36), mm.hot(224.4), inch.side(9.36), inch.hot(224.4)],
            ["9.4", "224", "0.369", "8 13/16"]
        );
        // A density of steel by hand: 7850 kg/m³ times 16.387064 cm³ over 453.59237 g is 0.2836 lb/in³.
        assert_eq!([mm.density(7850.0), inch.density(7850.0)], ["7850 kg/m³", "0.284 lb/in³"]);
        assert_eq!([inch.stop(15.875), inch.stop(16.0), mm.stop(16.0)], ["5/8", "0.63", "16"]);
        // Sixteenths whose last place is a half, with what conversion leaves of them.
        let sixteenths = [3.0, 9.0, 5.0].map(|n| inch.thickness(n * 1.587_499_999_999_999));
        assert_eq!(sixteenths, ["0.188", "0.563", "0.313"]);
        let pounds = Figures { mass: MassUnit::Pound, ..inch };
        assert_eq!([pounds.weight(45.359_237), pounds.weight(907.184_74)], ["0.100 lb", "2.00 lb"]);
    }

    #[test]
    fn a_balance_is_told_as_a_finger_finds_it() {
        let [mm, inch] = [Unit::Millimetre, Unit::Inch].map(Figures::of);
        let rule = Figures { fractions: true, ..inch };
        assert_eq!([mm.poise(97.01), mm.poise(-0.2), inch.poise(24.7)], ["97 mm", "0 mm", "0.97 in"]);
        let heights = [0.688, 0.312, 1.062, 0.7].map(|inches: f64| rule.rule(25.4 * inches));
        assert_eq!(heights, ["11/16", "5/16", "1 1/16", "0.7"]);
        assert_eq!([mm.rule(36.7), inch.rule(0.688 * 25.4)], ["36.7", "0.688"]);
        assert_eq!([rule.poise(24.7), rule.poise(50.8), rule.poise(0.1)], ["1 in", "2 in", "0 in"]);
        assert!((mm.thickness_step() - 0.01).abs() < 1e-12 && (inch.length_step() - 0.0254).abs() < 1e-12);
    }

    #[test]
    fn marks_are_told_as_a_rule_is_cut() {
        let [mm, inch] = [Unit::Millimetre, Unit::Inch].map(Figures::of);
        assert_eq!([mm.mark(12.24), mm.mark(12.26), mm.mark(40.0)], ["12", "12.5", "40"]);
        assert_eq!([inch.mark(25.4 * 1.16), inch.mark(25.4 * 0.24)], ["1 5/32", "1/4"]);
        assert!((inch.mark_step() - 0.79375).abs() < 1e-12 && (mm.mark_step() - 0.5).abs() < 1e-12);
    }

    #[test]
    fn fractions_are_told_where_they_are_in_use_and_hit() {
        let inch = Figures { fractions: true, ..Figures::of(Unit::Inch) };
        let at = |inches: f64| inches * 25.4;
        for (inches, told) in [
            (0.625, "5/8"),
            (1.625, "1 5/8"),
            (4.0, "4"),
            (0.0, "0"),
            (-2.25, "-2 1/4"),
            (3.0 / 64.0, "3/64"),
            (9.0 + 31.0 / 32.0, "9 31/32"),
        ] {
            assert_eq!([inch.station(at(inches)), inch.side(at(inches))], [told, told]);
            assert_eq!(inch.size(at(inches)), format!("{told} in"));
        }
        assert_eq!(
            [inch.station(at(0.63)), inch.side(at(0.63)), inch.length(at(0.625))],
            ["0.63", "0.63", "0.625"]
        );
        assert_eq!([inch.fraction(-5.05e47), inch.fraction(f64::MAX)], [None, None]);
        // Metric figures and inches in decimals know none.
        assert_eq!(
            [Figures { unit: Unit::Millimetre, ..inch }.side(15.875), Figures::of(Unit::Inch).size(15.875)],
            ["15.9", "0.625 in"]
        );
    }

    /// Conversions from memory: 1 oz = 28.349523 g, 1 ft·lb = 1.355818 N·m, 212 °F = 100 °C.
    #[test]
    fn heat_weight_and_torque_are_told_on_the_files_scales() {
        let metric = Figures::default();
        let other = Figures {
            temperature: Temperature::Fahrenheit,
            mass: MassUnit::Ounce,
            torque: Torque::FootPound,
            ..metric
        };
        assert_eq!(
            [metric.temperature(780.0), metric.mass(-0.01), metric.torque(39.4)],
            ["780 °C", "0.0 g", "39 N·m"]
        );
        assert_eq!([other.temperature(100.0), other.temperature(-17.9)], ["212 °F", "0 °F"]);
        assert_eq!(
            [other.mass(283.49523), other.weight(283.49523), other.torque(135.5818)],
            ["10.00 oz", "10.0 oz", "100 ft·lb"]
        );
        let pounds = Figures { mass: MassUnit::Pound, ..metric };
        assert_eq!(
            [pounds.mass(453.59237), pounds.weight(907.18474), metric.weight(612.4)],
            ["1.000 lb", "2.00 lb", "612 g"]
        );
    }
}
