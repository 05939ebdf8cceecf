//! What the rows of weights clamped on and of supports must come to: what no lever does is refused with its line.

use design::Design;

use crate::file::fault::{Fault, Problems};
use crate::file::reading::{Quantity, Reading};

/// Supports nearer than this tell no balance, mm: there a millimetre of their places is as much as the balance.
const NEAR: f64 = 20.0;
/// Scales that bear less than this in all bear no blade, g.
const LEAST: f64 = 1.0;
/// A balance may lie beyond what the lever allows by this, mm: what a finger's edge finds (common practice, no source).
const FINGER: f64 = 3.0;
/// Weights nearer than this along the blade are at one place, mm: a clamp's own breadth is more.
const PLACE: f64 = 0.25;

/// A balance with the weights that were on.
#[derive(Clone, Debug)]
pub(crate) struct Lever<'r> {
    pub(crate) weights: Vec<&'r Reading>,
    pub(crate) balance: &'r Reading,
}

impl Lever<'_> {
    /// Mass of the weights, g.
    pub(crate) fn mass(&self) -> f64 {
        self.weights.iter().map(|w| w.value).sum()
    }

    /// Where their middle lies, mm from the shoulder.
    pub(crate) fn middle(&self) -> f64 {
        self.weights.iter().map(|w| w.value * w.station).sum::<f64>() / self.mass()
    }
}

/// The balances with weights of a session, each with the weights that stand between it and the balance before. Readings
/// of the same weights after each other are levers of their own.
pub(crate) fn levers<'r>(readings: &[&'r Reading]) -> Vec<Lever<'r>> {
    let (mut levers, mut weights): (Vec<Lever<'r>>, Vec<&Reading>) = (Vec::new(), Vec::new());
    for reading in readings {
        match reading.what {
            Quantity::ClampedWeight => weights.push(reading),
            Quantity::ClampedBalance => {
                let again = levers.last().filter(|_| weights.is_empty()).map(|l| l.weights.clone());
                let weights = again.unwrap_or_else(|| std::mem::take(&mut weights));
                levers.push(Lever { weights, balance: reading });
            }
            _ => {}
        }
    }
    levers
}

/// Finds what can't be in the rows of one session.
pub(crate) fn check(design: &Design, readings: &[&Reading], found: &mut Problems) {
    let levers = levers(readings);
    let bare = readings.iter().find(|r| r.what == Quantity::Balance).map(|r| r.value + design.guard_front());
    for lever in &levers {
        check_lever(design, lever, bare, found);
    }
    let used = levers.last().map_or(0, |l| l.balance.line);
    for left in readings.iter().filter(|r| r.what == Quantity::ClampedWeight && r.line > used) {
        tell(left, &Fault::NoBalance {}, found);
    }
    check_supports(design, readings, found);
}

fn tell(reading: &Reading, fault: &Fault, found: &mut Problems) {
    found.add(&format!("line {}, measured", reading.line), reading.span.clone(), fault);
}

/// One balance with weights: it lies on the steel, and between the bare balance and the weights.
fn check_lever(design: &Design, lever: &Lever<'_>, bare: Option<f64>, found: &mut Problems) {
    let (figures, front) = (design.figures(), design.guard_front());
    if lever.weights.is_empty() {
        return tell(lever.balance, &Fault::NoWeight {}, found);
    }
    for (i, weight) in lever.weights.iter().enumerate() {
        let same = |w: &&&Reading| (w.station - weight.station).abs() <= PLACE;
        if let Some(first) = lever.weights[..i].iter().find(same) {
            tell(weight, &Fault::WeightTwice { line: first.line }, found);
        }
    }
    let (at, middle) = (lever.balance.value + front, lever.middle());
    let [low, high] = [-design.blade().spec().tang.length, design.blade().length()];
    if !(low..=high).contains(&at) {
        let [low, high] = [low - front, high - front].map(|x| figures.told(x));
        return tell(lever.balance, &Fault::OffBalance { low, high }, found);
    }
    let between = |bare: f64| at >= bare.min(middle) - FINGER && at <= bare.max(middle) + FINGER;
    if let Some(bare) = bare.filter(|b| !between(*b)) {
        // All from where balance is told.
        let [at, bare, weights] = [at, bare, middle].map(|x| figures.told(x - front));
        tell(lever.balance, &Fault::OffLever { at, bare, weights }, found);
    }
}

/// The supports: two at least, apart, bearing something.
fn check_supports(design: &Design, readings: &[&Reading], found: &mut Problems) {
    let supports: Vec<&&Reading> = readings.iter().filter(|r| r.what == Quantity::Support).collect();
    let Some(last) = supports.last() else { return };
    let at = |of: fn(f64, f64) -> f64| supports.iter().map(|r| r.station).reduce(of).unwrap_or(0.0);
    let apart = at(f64::max) - at(f64::min);
    let figures = design.figures();
    if apart <= PLACE {
        tell(last, &Fault::OneSupport {}, found);
    } else if apart < NEAR {
        tell(last, &Fault::NearSupports { apart: figures.told(apart), least: figures.told(NEAR) }, found);
    } else if supports.iter().map(|r| r.value).sum::<f64>() < LEAST {
        tell(last, &Fault::NothingBorne {}, found);
    }
}
