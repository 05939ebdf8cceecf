//! The profile plate before it is cut from the bed's point of view: bars of material, joints across them, the pieces
//! between.

use design::Shop;
use glam::DVec2;

use crate::plate::bed::lay;
use crate::plate::joint::{Joint, LEAST};
use crate::slab::chain::{Chain, chains};
use crate::slab::contour::Contour;
use crate::slab::corner::Corner;

/// A bar of material between two chains.
#[derive(Clone, Debug)]
pub(crate) struct Bar {
    pub(crate) lower: Chain,
    pub(crate) upper: Chain,
}

/// A plate of the outline itself, or a frame around it.
#[derive(Clone, Debug)]
pub(crate) enum Panel {
    /// The outline as one bar.
    Solid(Bar),
    /// The window inside a frame: its border, the frame's least and greatest corner.
    Window { window: Contour, frame: [DVec2; 2] },
}

/// A piece of the panel: its outline, its holes, and the bars that labels may stand on with their range in x.
#[derive(Clone, Debug)]
pub(crate) struct Piece {
    pub(crate) outline: Contour,
    pub(crate) holes: Vec<Contour>,
    pub(crate) bars: Vec<usize>,
    pub(crate) from: f64,
    pub(crate) to: f64,
}

impl Bar {
    /// Where both chains run, mm.
    pub(crate) fn range(&self) -> [f64; 2] {
        [self.lower.start().x.max(self.upper.start().x), self.lower.end.x.min(self.upper.end.x)]
    }

    fn joint(&self, x: f64, gap: f64) -> Joint {
        Joint { x, low: self.lower.height(x), high: self.upper.height(x), gap }
    }

    /// Whether there is enough material for a joint at x all along it.
    fn bears(&self, joint: &Joint) -> bool {
        let [from, to] = self.range();
        let (x, reach) = (joint.x, joint.reach());
        let enough = |x: f64| self.upper.height(x) - self.lower.height(x) >= LEAST;
        x > from && x + reach < to && (0..=8).all(|i| enough(x + reach * f64::from(i) / 8.0))
    }
}

impl Panel {
    pub(crate) fn solid(outline: &Contour) -> Panel {
        let [lower, upper] = chains(outline);
        Panel::Solid(Bar { lower, upper })
    }

    /// The material in bars: the plate itself, or the frame's lower and upper bar along the window.
    pub(crate) fn bars(&self) -> Vec<Bar> {
        match self {
            Panel::Solid(bar) => vec![bar.clone()],
            Panel::Window { window, frame: [low, high] } => {
                let [lower, upper] = chains(window);
                let rail = |y: f64| Chain::straight(&[DVec2::new(low.x, y)], DVec2::new(high.x, y));
                vec![Bar { lower: rail(low.y), upper: lower }, Bar { lower: upper, upper: rail(high.y) }]
            }
        }
    }

    /// The joints at x, one across each bar; `None` where one of them has too little material.
    pub(crate) fn joints(&self, x: f64, gap: f64) -> Option<Vec<Joint>> {
        let bars = self.bars();
        let joints: Vec<Joint> = bars.iter().map(|b| b.joint(x, gap)).collect();
        bars.iter().zip(&joints).all(|(b, j)| b.bears(j)).then_some(joints)
    }

    /// The pieces between joints in order of x.
    pub(crate) fn pieces(&self, cuts: &[Vec<Joint>]) -> Vec<Piece> {
        (0..=cuts.len())
            .flat_map(|i| {
                self.between(i.checked_sub(1).map(|k| &cuts[k][..]), cuts.get(i).map(Vec::as_slice))
            })
            .collect()
    }

    /// The pieces between two cuts; the panel's own end where there is none.
    fn between(&self, left: Option<&[Joint]>, right: Option<&[Joint]>) -> Vec<Piece> {
        let x = |cut: Option<&[Joint]>, end: f64| cut.map_or(end, |joints| joints[0].x);
        let (from, to) = (x(left, f64::NEG_INFINITY), x(right, f64::INFINITY));
        let piece = |corners: Vec<Corner>, bars: &[usize]| Piece {
            outline: Contour::of_corners(corners),
            holes: Vec::new(),
            bars: bars.to_vec(),
            from,
            to,
        };
        let bars = self.bars();
        let bar = |k: usize| bar_outline(&bars[k], left.map(|j| &j[k]), right.map(|j| &j[k]));
        match self {
            Panel::Solid(_) => vec![piece(bar(0), &[0])],
            Panel::Window { window, frame } => match (left, right) {
                (None, None) => {
                    let whole = piece(Contour::rectangle(frame[0], frame[1]).corners, &[0, 1]);
                    vec![Piece { holes: vec![window.clone()], ..whole }]
                }
                (None, Some(joints)) => vec![piece(left_end(&bars, joints, frame), &[0, 1])],
                (Some(joints), None) => vec![piece(right_end(&bars, joints, frame), &[0, 1])],
                (Some(_), Some(_)) => vec![piece(bar(0), &[0]), piece(bar(1), &[1])],
            },
        }
    }

    /// Cuts into as few pieces of like length as fit the bed, at the places `candidates` (increasing) nearest to that.
    /// `None` when none will do.
    pub(crate) fn cut(&self, candidates: &[f64], gap: f64, shop: &Shop) -> Option<Vec<Vec<Joint>>> {
        let able: Vec<Vec<Joint>> = candidates.iter().filter_map(|&x| self.joints(x, gap)).collect();
        let [from, to] = self.extent();
        let fits = |cuts: &[Vec<Joint>]| self.pieces(cuts).iter().all(|p| lay(&p.outline, shop).is_some());
        (0..=able.len()).find_map(|count| {
            let ideal = |i: usize| from + (to - from) * i as f64 / (count + 1) as f64;
            let mut chosen: Vec<usize> = (1..=count).map(|i| nearest(&able, ideal(i))).collect();
            chosen.dedup();
            let cuts: Vec<Vec<Joint>> = chosen.iter().map(|&i| able[i].clone()).collect();
            (cuts.len() == count && fits(&cuts)).then_some(cuts)
        })
    }

    fn extent(&self) -> [f64; 2] {
        match self {
            Panel::Solid(bar) => {
                [bar.lower.start().x.min(bar.upper.start().x), bar.lower.end.x.max(bar.upper.end.x)]
            }
            Panel::Window { frame, .. } => [frame[0].x, frame[1].x],
        }
    }
}

fn nearest(able: &[Vec<Joint>], x: f64) -> usize {
    let off = |i: &usize| (able[*i][0].x - x).abs();
    (0..able.len()).min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(0)
}

/// A bar between two joints: along its lower chain, up the key, back along its upper chain, down the socket.
fn bar_outline(bar: &Bar, left: Option<&Joint>, right: Option<&Joint>) -> Vec<Corner> {
    let (from, to) = (left.map_or(f64::NEG_INFINITY, |j| j.x), right.map_or(f64::INFINITY, |j| j.x));
    let mut path = whole(bar.lower.part(from, to));
    path.extend(right.into_iter().flat_map(|j| sharp(j.key())));
    path.extend(whole(bar.upper.part(from, to).reversed()));
    path.extend(left.into_iter().flat_map(|j| sharp(down(j.socket()))));
    path
}

/// The frame left of the joints: around the window's left end.
fn left_end(bars: &[Bar], joints: &[Joint], [low, high]: &[DVec2; 2]) -> Vec<Corner> {
    let x = joints[0].x;
    let part = |chain: &Chain| chain.part(f64::NEG_INFINITY, x);
    let mut path = sharp([*low, DVec2::new(x, low.y)]);
    path.extend(sharp(joints[0].key()));
    path.extend(whole(part(&bars[0].upper).reversed()));
    path.extend(whole(part(&bars[1].lower)));
    path.extend(sharp(joints[1].key()));
    path.extend(sharp([DVec2::new(x, high.y), DVec2::new(low.x, high.y)]));
    path
}

/// The frame right of the joints: around the window's right end.
fn right_end(bars: &[Bar], joints: &[Joint], [low, high]: &[DVec2; 2]) -> Vec<Corner> {
    let x = joints[0].x;
    let part = |chain: &Chain| chain.part(x, f64::INFINITY);
    let mut path = sharp([DVec2::new(x, low.y), DVec2::new(high.x, low.y), *high, DVec2::new(x, high.y)]);
    path.extend(sharp(down(joints[1].socket())));
    path.extend(whole(part(&bars[1].lower)));
    path.extend(whole(part(&bars[0].upper).reversed()));
    path.extend(sharp(down(joints[0].socket())));
    path
}

/// A chain's corners with its end.
fn whole(chain: Chain) -> Vec<Corner> {
    let end = Corner::sharp(chain.end);
    chain.corners.into_iter().chain([end]).collect()
}

fn sharp<const N: usize>(points: [DVec2; N]) -> Vec<Corner> {
    points.map(Corner::sharp).to_vec()
}

fn down(mut way: [DVec2; 4]) -> [DVec2; 4] {
    way.reverse();
    way
}
