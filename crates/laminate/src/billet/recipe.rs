//! The recipe of the billet: steels and bars, from the back to the edge.

use std::f64::consts::FRAC_PI_2;

use blade::Part;
use thiserror::Error;

use crate::billet::bar::{Bar, Direction, SquarePoint};
use crate::billet::height::Height;
use crate::billet::plug::{Plug, bears_plugs};
use crate::billet::share::{Cell, held};
use crate::billet::stack::{Stack, own_places, parted};
use crate::billet::standing::Standing;
use crate::billet::teeth::Teeth;
use crate::billet::twist::Program;
use steel::Steel;

/// Bars a stack may have.
pub(crate) const MOST_BARS: usize = 9;

/// How the point was made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tip {
    /// Forged to shape: every bar keeps its share of each section and runs to the point.
    Forged,
    /// Cut to shape: beyond this station (mm) the bars run straight on and leave through back and edge.
    Cut {
        /// Where the bars begin to run straight on, mm.
        from: f64,
    },
}

/// What a billet is asked to be.
#[derive(Clone, Debug, PartialEq)]
pub struct Recipe {
    /// The width all bars share, through the thickness of the blade, mm.
    pub width: f64,
    /// The bars: first those with a place of their own in the stack, from the back to the edge, then those with a
    /// share of one of these places.
    pub bars: Vec<Bar>,
    /// The steels that layers name by their index.
    pub steels: Vec<Steel>,
    /// How the point was made.
    pub tip: Tip,
}

/// What keeps a [`Recipe`] from being a [`Billet`].
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum BilletFault {
    /// Not one to nine bars.
    #[error("a stack has 1 to {MOST_BARS} bars, not {0}")]
    Bars(usize),
    /// A size that is not a positive number.
    #[error("{0} is not a positive length")]
    Size(String),
    /// A layer of a steel that is not in the list.
    #[error("bar {bar} names steel {steel}, which is not listed")]
    NoSteel {
        /// Index of the bar.
        bar: usize,
        /// The index it names.
        steel: usize,
    },
    /// Teeth at a bar that leave nothing of it between them, or are no teeth; or teeth at the back, where there is no weld.
    #[error("the teeth at bar {0} leave nothing of it")]
    Teeth(usize),
    /// Bars that share a place in the stack and don't fill it, or whose place is forged to a taper or serrated.
    #[error("the parts of bar {0} do not fill it evenly")]
    Parts(usize),
    /// Layers at an angle to the bar's faces where it is twisted, turned, tapered or serrated, in two ways at once, or at
    /// an angle that is none.
    #[error("the layers of bar {0} can't lie at that angle")]
    Slant(usize),
    /// Plugs that are none, that meet, or that lie where their bar bears none.
    #[error("bar {0} can't hold its plugs")]
    Plugs(usize),
    /// A tang of no bar.
    #[error("no bar runs into the tang")]
    NoTang,
    /// A tip cut from a station that is not on the blade.
    #[error("the tip is cut from station {at} mm, which is not between 0 and {length} mm")]
    CutFrom {
        /// The station, mm.
        at: f64,
        /// The blade's length, mm.
        length: f64,
    },
}

/// A point in the welded stack: of the blade, or of the tang with those bars that run into it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StackPoint {
    /// Whether it lies in the tang.
    pub part: Part,
    /// Along the bars from the shoulder towards the point, mm of the stack; below 0 in the tang.
    pub along: f64,
    /// Above the lowest face, mm.
    pub up: f64,
    /// From the middle to the right, mm.
    pub through: f64,
}

/// A checked recipe. Only [`Billet::new`] makes one.
#[derive(Clone, Debug, PartialEq)]
pub struct Billet {
    recipe: Recipe,
    blade: Stack,
    tang: Stack,
    /// How each bar's layers stand.
    standings: Vec<Standing>,
}

impl Billet {
    /// Checks a recipe.
    ///
    /// # Errors
    /// Every [`BilletFault`] found.
    pub fn new(recipe: Recipe) -> Result<Billet, Vec<BilletFault>> {
        let faults = faults(&recipe);
        if !faults.is_empty() {
            return Err(faults);
        }
        let (blade, tang) = (Stack::new(&recipe.bars, Part::Blade), Stack::new(&recipe.bars, Part::Tang));
        let mut billet = Billet { recipe, blade, tang, standings: Vec::new() };
        let size = |i: usize| [billet.made_height(i).at(0.0), billet.made_width(i)];
        let standing = |(i, bar): (usize, &Bar)| Standing::of(bar, size(i));
        billet.standings = billet.bars().iter().enumerate().map(standing).collect();
        Ok(billet)
    }

    /// The same billet with other twists of its bars, one for each, from the back to the edge.
    pub(crate) fn with_twists(mut self, twists: Vec<Program>) -> Billet {
        self.recipe.bars.iter_mut().zip(twists).for_each(|(bar, twist)| bar.twist = twist);
        self
    }

    /// What it was asked to be.
    pub fn recipe(&self) -> &Recipe {
        &self.recipe
    }

    /// The bars: first those with a place of their own in the stack, from the back to the edge, then those with a
    /// share of one of these places.
    pub fn bars(&self) -> &[Bar] {
        &self.recipe.bars
    }

    /// The steels.
    pub fn steels(&self) -> &[Steel] {
        &self.recipe.steels
    }

    /// Mean carbon of a bar, mass percent.
    pub fn carbon(&self, bar: usize) -> f64 {
        let set = &self.bars()[bar].layers;
        let layers = set.layers().iter().enumerate();
        layers
            .map(|(i, l)| self.held(bar, [set.start(i), l.end]) * self.steels()[l.steel].composition.c)
            .sum()
    }

    /// How the layers of a bar stand.
    pub fn standing(&self, bar: usize) -> &Standing {
        &self.standings[bar]
    }

    /// Share of a bar's steel between two shares of its layers' thickness.
    pub fn held(&self, bar: usize, [from, to]: [f64; 2]) -> f64 {
        self.standings[bar].held(to) - self.standings[bar].held(from)
    }

    /// Share of the layers' thickness at a point of a bar before the twist, `along` (mm) from the shoulder: 0 to 1, beyond
    /// in corners that were ground off.
    pub fn across(&self, bar: usize, before: SquarePoint, along: f64) -> f64 {
        let (standing, share) = (&self.standings[bar], self.standings[bar].share(before, along));
        if standing.is_sloped() { share - share.floor() } else { share }
    }

    /// The layer there, counted on from slice to slice where the bar is welded of slices.
    pub(crate) fn counted(&self, bar: usize, before: SquarePoint, along: f64) -> i64 {
        let (layers, standing) = (&self.bars()[bar].layers, &self.standings[bar]);
        let share = standing.share(before, along);
        if !standing.is_sloped() {
            return layers.at(share) as i64;
        }
        layers.layers().len() as i64 * share.floor() as i64 + layers.at(share - share.floor()) as i64
    }

    /// The width of all bars, mm.
    pub fn width(&self) -> f64 {
        self.recipe.width
    }

    /// How many of the bars have a place of their own in the stack: the first ones, from the back to the edge.
    pub fn places(&self) -> usize {
        own_places(&self.recipe.bars)
    }

    /// The bar whose place in the stack a bar lies in: its own, unless it has only a share of another's.
    pub fn place_of(&self, bar: usize) -> usize {
        self.bars().get(bar).and_then(|made| made.share.of).unwrap_or(bar)
    }

    /// The bars that share the place of a bar, itself first, then from left to right, a wrap last; itself alone where
    /// it is of one piece.
    pub fn sharing(&self, place: usize) -> Vec<usize> {
        let others = (self.places()..self.bars().len()).filter(|&i| self.bars()[i].share.of == Some(place));
        std::iter::once(place).chain(others).collect()
    }

    /// Whether the place of a bar in the stack is shared with others.
    pub fn is_parted(&self, bar: usize) -> bool {
        self.sharing(self.place_of(bar)).len() > 1
    }

    /// Section of the stack that becomes the blade, or the tang, at a place along it (mm from the shoulder), mm².
    pub fn section(&self, part: Part, along: f64) -> f64 {
        self.width() * self.stack(part).height(along)
    }

    /// Mean section over the first `volume` (mm³) of the stack from the shoulder on, mm².
    pub fn mean_section(&self, part: Part, volume: f64) -> f64 {
        let stack = self.stack(part);
        if stack.is_even() { self.section(part, 0.0) } else { volume / stack.along(volume / self.width()) }
    }

    /// Place along the blade's or the tang's stack from the shoulder on (mm) up to which it holds so much, mm³.
    pub(crate) fn along(&self, part: Part, volume: f64) -> f64 {
        let stack = self.stack(part);
        // Divided at once, so that an even stack keeps its last bit.
        if stack.is_even() { volume / self.section(part, 0.0) } else { stack.along(volume / self.width()) }
    }

    /// What the stack holds from the shoulder up to a place along it (mm), mm³.
    pub(crate) fn volume(&self, part: Part, along: f64) -> f64 {
        let stack = self.stack(part);
        if stack.is_even() { along * self.section(part, 0.0) } else { stack.summed(along) * self.width() }
    }

    /// Indices of the bars in blade or tang, from the edge up.
    pub fn stacked_bars(&self, part: Part) -> &[usize] {
        &self.stack(part).bars
    }

    /// The same, each with the heights of its two faces at a place along the stack, mm; those of bars whose teeth stand in each
    /// other overlap.
    pub fn stacked(&self, part: Part, along: f64) -> Vec<(usize, [f64; 2])> {
        let stack = self.stack(part);
        stack.bars.iter().copied().zip(stack.faces(along)).collect()
    }

    /// Height of a bar as it is made for the stack, mm: with the teeth that stand in its neighbours; of a part of a
    /// place its own height, of a skin on several faces the thickness of its strip.
    pub fn made_height(&self, bar: usize) -> Height {
        let bars = self.bars();
        match &bars[bar].share.cells[..] {
            [one] if *one == Cell::WHOLE => {}
            [one] => return bars[bar].height.altered(|height| height * one.size()[0]),
            _ => return Height::even(bars[bar].share.strip([bars[bar].height.at(0.0), self.width()])[0]),
        }
        let sides = [bars.get(bar), bars.get(bar + 1)];
        let teeth: Vec<f64> =
            sides.into_iter().flatten().filter_map(|b| b.teeth.as_ref()).map(Teeth::most).collect();
        match teeth.is_empty() {
            true => bars[bar].height.clone(),
            false => bars[bar].height.altered(|height| height + teeth.iter().sum::<f64>()),
        }
    }

    /// Its width, mm: of a part of a place its own, of a skin on several faces the breadth of its strip.
    pub fn made_width(&self, bar: usize) -> f64 {
        let made = &self.bars()[bar];
        match &made.share.cells[..] {
            [one] => one.size()[1] * self.width(),
            _ => made.share.strip([made.height.at(0.0), self.width()])[1],
        }
    }

    pub(crate) fn stack(&self, part: Part) -> &Stack {
        match part {
            Part::Blade => &self.blade,
            Part::Tang => &self.tang,
        }
    }

    /// Which bar holds a point of the stack, and where in the bar's welded section it lies, in shares of its height
    /// and width: within −1/2 and 1/2 for points of the stack. Of a skin on several faces in shares of the place that
    /// it wraps.
    pub fn bar_point(&self, p: StackPoint) -> (usize, SquarePoint) {
        let stack = self.stack(p.part);
        let seams = stack.seams(p.along);
        let k = place(&seams, p.up);
        let [low, high] =
            if stack.teeth().is_empty() { [seams[k], seams[k + 1]] } else { stack.faces(p.along)[k] };
        let up = (p.up - low) / (high - low) - 0.5;
        let point = SquarePoint { up, through: p.through / self.width() };
        match held(stack.cells(k), [point.up + 0.5, point.through + 0.5]) {
            Some((bar, _)) => (bar, self.recipe.bars[bar].share.inner(point)),
            None => (stack.bars[k], point),
        }
    }

    /// The way back: the point of blade's or tang's stack at a place in a bar's welded section; `None` for a bar that
    /// does not run into the tang.
    pub fn stack_point(&self, bar: usize, at: SquarePoint, along: f64, part: Part) -> Option<StackPoint> {
        let stack = self.stack(part);
        let k = stack.bars.iter().position(|&b| b == self.place_of(bar))?;
        let [low, high] = stack.faces(along)[k];
        let at = if stack.cells(k).is_empty() { at } else { self.recipe.bars[bar].share.outer(at) };
        let up = low + (at.up + 0.5) * (high - low);
        Some(StackPoint { part, along, up, through: at.through * self.width() })
    }

    /// Which plug of its bar holds a point of the stack, by its place in the bar's list; `None` for the bar's own steel.
    fn plug(&self, p: StackPoint) -> Option<usize> {
        let stack = self.stack(p.part);
        if !stack.is_plugged() {
            return None;
        }
        let seams = stack.seams(p.along);
        let k = place(&seams, p.up);
        let holds = |plug: &Plug| {
            plug.chord(p.along).is_some_and(|[from, to]| (from..to).contains(&(p.up - seams[k])))
        };
        self.bars()[stack.bars[k]].plugs.iter().position(holds)
    }

    /// Whether any bar has plugs.
    pub fn is_plugged(&self) -> bool {
        self.blade.is_plugged()
    }

    /// The layer at a point of the stack.
    pub fn layer(&self, p: StackPoint) -> LayerPlace {
        let (bar, welded) = self.bar_point(p);
        let made = &self.recipe.bars[bar];
        if let Some(plug) = self.plug(p) {
            return LayerPlace { bar, layer: 0, steel: made.plugs[plug].steel(), plug: Some(plug) };
        }
        let before = made.before_twist(welded, made.twist.angle(p.along));
        let layer = made.layers.at(self.across(bar, before, p.along));
        LayerPlace { bar, layer, steel: made.layers.layers()[layer].steel, plug: None }
    }
}

/// Between which of the stack's faces and borders a height (mm) lies; the outermost beyond the ends.
pub(crate) fn place(seams: &[f64], up: f64) -> usize {
    seams.partition_point(|&s| s <= up).saturating_sub(1).min(seams.len() - 2)
}

/// A layer of a billet, by indices.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LayerPlace {
    /// The bar, counted from the back.
    pub bar: usize,
    /// The layer in its bar.
    pub layer: usize,
    /// Its steel among the recipe's.
    pub steel: usize,
    /// The plug of the bar that holds the place, of one layer; none in the bar's own steel.
    pub plug: Option<usize>,
}

/// Everything that keeps a recipe from being a billet.
fn faults(recipe: &Recipe) -> Vec<BilletFault> {
    let mut found = Vec::new();
    if !(1..=MOST_BARS).contains(&recipe.bars.len()) {
        found.push(BilletFault::Bars(recipe.bars.len()));
    }
    let heights = recipe.bars.iter().enumerate();
    let unsound = heights.filter(|(_, bar)| !bar.height.is_sound());
    found.extend(unsound.map(|(i, _)| BilletFault::Size(format!("the height of bar {i}"))));
    if !(recipe.width.is_finite() && recipe.width > 0.0) {
        found.push(BilletFault::Size("the width".to_owned()));
    }
    found.extend((0..recipe.bars.len()).filter(|i| !bears_teeth(&recipe.bars, *i)).map(BilletFault::Teeth));
    for (bar, made) in recipe.bars.iter().enumerate() {
        let unknown = made.layers.layers().iter().find(|l| l.steel >= recipe.steels.len());
        found.extend(unknown.map(|l| BilletFault::NoSteel { bar, steel: l.steel }));
    }
    let own = own_places(&recipe.bars);
    found.extend(
        (0..recipe.bars.len()).filter(|i| !shares_well(&recipe.bars, own, *i)).map(BilletFault::Parts),
    );
    found.extend((0..recipe.bars.len()).filter(|i| !bears_slant(&recipe.bars, *i)).map(BilletFault::Slant));
    let steels = recipe.steels.len();
    let plugs = (0..recipe.bars.len()).filter(|i| !bears_plugs(&recipe.bars, *i, steels));
    found.extend(plugs.map(BilletFault::Plugs));
    if !recipe.bars.iter().any(|b| b.tang) {
        found.push(BilletFault::NoTang);
    }
    found
}

/// Whether a bar has a place of its own that all its parts fill, or a share of one that is as high all along and not
/// serrated; a skin on several faces is of one steel.
fn shares_well(bars: &[Bar], own: usize, i: usize) -> bool {
    let made = &bars[i];
    let even = |bar: &Bar| bar.height.is_even() && bar.teeth.is_none();
    let plain = made.share.cells.len() == 1 || made.layers.layers().len() == 1;
    match made.share.of {
        None if i >= own => false,
        None if made.share == Default::default() => !bars.iter().any(|bar| bar.share.of == Some(i)),
        None => {
            plain
                && even(made)
                && bars.get(i + 1).is_none_or(|next| next.teeth.is_none())
                && parted(bars, i).is_some()
        }
        Some(of) => {
            plain && of < own && even(made) && made.height == bars[of].height && made.tang == bars[of].tang
        }
    }
}

/// Whether the layers of a bar lie flat or upright all along, or at an angle that is one, in a bar that is as high all along
/// and neither twisted, turned nor serrated.
fn bears_slant(bars: &[Bar], i: usize) -> bool {
    let made = &bars[i];
    let sharp = |angle: f64| angle.abs() > 0.0 && angle.abs() < FRAC_PI_2;
    let sound = match (made.direction, made.slope) {
        (Direction::Flat | Direction::Upright, None) => return true,
        (Direction::Flat | Direction::Upright, Some(slope)) => sharp(slope),
        (Direction::Leaning(angle), slope) => sharp(angle) && slope.is_none(),
    };
    let turned = made.twist.is_twisted() || made.twist.angle(0.0).abs() > 0.0;
    let next = bars.get(i + 1).is_none_or(|next| next.teeth.is_none());
    sound && !turned && made.height.is_even() && made.teeth.is_none() && next
}

/// Whether something of a bar is left between its teeth; the bar at the back has none over it.
fn bears_teeth(bars: &[Bar], i: usize) -> bool {
    let own = |bar: &Bar| bar.teeth.as_ref().map_or(0.0, Teeth::most);
    let both = own(&bars[i]) + bars.get(i + 1).map_or(0.0, own);
    let sound = bars[i].teeth.as_ref().is_none_or(|teeth| i > 0 && teeth.deep.is_sound());
    // A sum that is no number is not less.
    sound && (both <= 0.0 || both < bars[i].height.least())
}
