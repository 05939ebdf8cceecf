//! A bar of the stack: its layers, its twist, and the way from its welded section back to the square it was before.

use glam::DVec2;

use crate::billet::height::Height;
use crate::billet::layers::LayerSet;
use crate::billet::plug::Plug;
use crate::billet::share::Share;
use crate::billet::square_disc::{Ringed, quarters};
use crate::billet::standing::Standing;
use crate::billet::teeth::Teeth;
use crate::billet::twist::Program;

/// How layers stand in a bar at the angle 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Direction {
    /// Parallel to the blade's sides, counted from left to right.
    Flat,
    /// Square to the blade's sides, counted from the edge up.
    Upright,
    /// At this angle to the blade's sides (rad, between −π/2 and π/2, neither it nor 0), leaning to the right as they go
    /// up where it is positive, counted from the left. The bar is neither twisted nor turned.
    Leaning(f64),
}

/// How a twisted bar was made square again. It is taken to be square in section when it is twisted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Squaring {
    /// Under the hammer: every ring of the section keeps its area on the way from square to round to square.
    Forged,
    /// At the grinder: the corners are lost, and the square left is the one inside the twisted bar's core.
    Ground,
}

/// A point of a bar's square section before the twist, in shares of the side: −1/2 to 1/2.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SquarePoint {
    /// From the edge up, when the bar is not turned.
    pub up: f64,
    /// From left to right.
    pub through: f64,
}

/// A bar.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// Its name.
    pub name: String,
    /// Its height along the stack; that of the place it lies in where it has only a share of it.
    pub height: Height,
    /// What it is made of.
    pub layers: LayerSet,
    /// How the layers stand.
    pub direction: Direction,
    /// At which angle to the bar's length flat or upright layers run, where it is welded of slices that were cut so: rad,
    /// between −π/2 and π/2 and not 0; positive where they run up, or to the right, towards the point. Such a bar is neither
    /// twisted nor turned.
    pub slope: Option<f64>,
    /// How it is twisted.
    pub twist: Program,
    /// How it was made square again.
    pub squaring: Squaring,
    /// Whether it runs into the tang.
    pub tang: bool,
    /// The teeth of its weld to the next bar towards the back, where that is serrated.
    pub teeth: Option<Teeth>,
    /// What it takes of its place in the stack: all of it, unless bars lie side by side there or one is wrapped in
    /// another.
    pub share: Share,
    /// The plugs that are let through it once it is twisted and squared.
    pub plugs: Vec<Plug>,
}

impl Bar {
    /// Where a point of the bar's section lay before the bar was twisted and squared. `p` in shares of height and
    /// width, −1/2 to 1/2, `angle` as [`Program::angle`] gives it.
    pub fn before_twist(&self, p: SquarePoint, angle: f64) -> SquarePoint {
        Spin::new(self, -angle, 1.0 / GROUND_SIDE).point(p)
    }

    /// The way back: where a point of the square before the twist is now. A ground bar has lost some of its points:
    /// they come out beyond −1/2 or 1/2.
    pub fn after_twist(&self, p: SquarePoint, angle: f64) -> SquarePoint {
        Spin::new(self, angle, GROUND_SIDE).point(p)
    }

    /// Whether its layers lie at an angle to its faces: across its section, or along it.
    pub fn is_slanted(&self) -> bool {
        self.slope.is_some() || matches!(self.direction, Direction::Leaning(_))
    }

    /// The bar `along` (mm) from the shoulder, its layers standing as told, where it is turned by `angle`.
    pub(crate) fn turned(&self, angle: f64, standing: &Standing, along: f64) -> Turned {
        if self.is_slanted() {
            let across = Across::Plain(DVec2::from_array(standing.factors()));
            return Turned { across, offset: standing.offset(along) };
        }
        let flat = self.direction == Direction::Flat;
        let across = match Spin::new(self, -angle, 1.0 / GROUND_SIDE) {
            // The second coordinate is the first one of a quarter turn less.
            Spin::Rings(quarters) if flat => Across::Rings(quarters - 1.0),
            Spin::Rings(quarters) => Across::Rings(quarters),
            Spin::Plain(turn) if flat => Across::Plain(DVec2::new(turn.y, turn.x)),
            Spin::Plain(turn) => Across::Plain(DVec2::new(turn.x, -turn.y)),
        };
        Turned { across, offset: 0.5 }
    }
}

/// A bar at one place along it.
#[derive(Clone, Debug)]
pub(crate) struct Turned {
    across: Across,
    /// The share of the layers' thickness in the middle of the section.
    offset: f64,
}

/// Quarter turns from which a layer bends by no more than a hundred thousandth of the bar.
const STRAIGHT: f64 = 1e-5;

/// The place across the layers as a function of the place in the section.
#[derive(Clone, Copy, Debug)]
enum Across {
    /// The first coordinate after a turn of the disc by quarter turns.
    Rings(f64),
    /// A sum of both coordinates with these factors.
    Plain(DVec2),
}

impl Turned {
    /// Whether the layers lie straight across the section: as stacked, on edge, or at any angle once ground square.
    pub(crate) fn is_straight(&self) -> bool {
        match self.across {
            Across::Rings(quarters) => (quarters - quarters.round()).abs() < STRAIGHT,
            Across::Plain(_) => true,
        }
    }

    /// Share of the layers' thickness at a point of the bar's section as it is now: 0 to 1, beyond in corners that were
    /// ground off, and from slice to slice of a bar welded of slices.
    #[inline]
    pub(crate) fn share(&self, p: SquarePoint) -> f64 {
        let mut share = [0.0];
        self.shares([p].into_iter(), &mut share);
        share[0]
    }

    /// The same at as many points as there is room for.
    #[inline]
    pub(crate) fn shares(&self, points: impl Iterator<Item = SquarePoint>, shares: &mut [f64]) {
        let (room, offset) = (shares.iter_mut().zip(points), self.offset);
        // What the layers are like is asked once, so that the rest can be done for several points at a time.
        match self.across {
            Across::Rings(quarters) => {
                room.for_each(|(s, p)| *s = Ringed::of(flat(p)).turned(quarters).first() + offset);
            }
            Across::Plain(factors) => room.for_each(|(s, p)| *s = factors.dot(flat(p)) + offset),
        }
    }
}

/// A turn of a bar's section.
#[derive(Clone, Copy, Debug)]
enum Spin {
    /// By quarter turns, square to round to square.
    Rings(f64),
    /// Cosine and sine of the turn, both with the change of size.
    Plain(DVec2),
}

impl Spin {
    /// By `angle`; a ground bar's square changes its size by `scale`. A straight bar, however it lies, was never cut at
    /// its corners.
    fn new(bar: &Bar, angle: f64, scale: f64) -> Self {
        match bar.squaring {
            Squaring::Ground if bar.twist.is_twisted() => Spin::Plain(DVec2::from_angle(angle) * scale),
            Squaring::Ground | Squaring::Forged => Spin::Rings(quarters(angle)),
        }
    }

    fn point(self, p: SquarePoint) -> SquarePoint {
        let turned = match self {
            Spin::Rings(quarters) => Ringed::of(flat(p)).turned(quarters).square(),
            Spin::Plain(turn) => turn.rotate(flat(p)),
        };
        SquarePoint { up: turned.x, through: turned.y }
    }
}

#[inline]
fn flat(p: SquarePoint) -> DVec2 {
    DVec2::new(p.up, p.through)
}

/// Side of the square before the twist over the side of the largest square that every turn of it covers: that one's
/// corners lie on the circle inside the first.
const GROUND_SIDE: f64 = std::f64::consts::SQRT_2;
