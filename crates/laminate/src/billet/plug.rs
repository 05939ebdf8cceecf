//! Plugs: round rods of another steel, let through a bar from side to side before it goes into the stack.

use crate::billet::bar::Bar;
use crate::billet::layers::LayerSet;
use crate::billet::teeth::Teeth;

/// A round rod through the whole width of a bar, square to its faces. Lengths in mm, of the stack.
#[derive(Clone, Debug, PartialEq)]
pub struct Plug {
    /// Its axis along the bar from the shoulder.
    pub at: f64,
    /// Its axis over the bar's lower face.
    pub up: f64,
    /// Its diameter.
    pub diameter: f64,
    /// Its one steel, as layers.
    made: LayerSet,
}

impl Plug {
    /// With its axis `at` from the shoulder and `up` from the bar's lower face, `diameter` thick (mm), of a steel of the billet by
    /// its index.
    pub fn new(at: f64, up: f64, diameter: f64, steel: usize) -> Plug {
        Plug { at, up, diameter, made: LayerSet::plain(steel) }
    }

    /// Its steel among the billet's.
    pub fn steel(&self) -> usize {
        self.made.layers()[0].steel
    }

    pub(crate) fn made(&self) -> &LayerSet {
        &self.made
    }

    /// Half its diameter.
    pub fn radius(&self) -> f64 {
        0.5 * self.diameter
    }

    /// Between which places along the bar it lies.
    pub(crate) fn stretch(&self) -> [f64; 2] {
        [self.at - self.radius(), self.at + self.radius()]
    }

    /// Between which heights over the bar's lower face it lies at a place along the bar; `None` beside it.
    pub(crate) fn chord(&self, along: f64) -> Option<[f64; 2]> {
        let (radius, off) = (self.radius(), along - self.at);
        (off.abs() < radius).then(|| {
            let half = (radius * radius - off * off).sqrt();
            [self.up - half, self.up + half]
        })
    }

    /// How much steel lies between it and another plug of its bar; below 0 where they meet.
    pub fn apart(&self, other: &Plug) -> f64 {
        (self.at - other.at).hypot(self.up - other.up) - self.radius() - other.radius()
    }
}

/// Whether all plugs of a bar are round rods of steels that there are, lie in it ahead of the shoulder and beside each other;
/// in a bar of one piece, neither serrated nor on a slope, where it is not twisted.
pub(crate) fn bears_plugs(bars: &[Bar], i: usize, steels: usize) -> bool {
    let (made, next) = (&bars[i], bars.get(i + 1));
    let most = |bar: &Bar| bar.teeth.as_ref().map_or(0.0, Teeth::most);
    let toothed = most(made) + next.map_or(0.0, most) > 0.0;
    let parted = made.share != Default::default() || bars.iter().any(|bar| bar.share.of == Some(i));
    let barred = toothed || parted || made.slope.is_some();
    let lies = |plug: &Plug| {
        let finite = [plug.at, plug.up, plug.diameter].iter().all(|v| v.is_finite());
        let [from, to] = plug.stretch();
        let sound = finite && plug.diameter > 0.0 && plug.steel() < steels && from > 0.0;
        let within = || plug.up > plug.radius() && plug.up + plug.radius() < made.height.range([from, to])[0];
        sound && within() && !made.twist.turns_between([from, to])
    };
    let parts = |(k, plug): (usize, &Plug)| made.plugs[..k].iter().all(|other| plug.apart(other) > 0.0);
    made.plugs.is_empty()
        || (!barred && made.plugs.iter().all(lies) && made.plugs.iter().enumerate().all(parts))
}
