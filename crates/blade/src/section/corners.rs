//! The section along one chord of the blade: corners from edge to back and round again.
//!
//! Coordinates in the section's plane: c from the edge up along the chord, z through the thickness (mm).

use glam::DVec2;

use crate::spec::{Back, Bevel, GrindLine, Section, Sides};

/// What a corner of the section is; rails join corners of the same tag.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Tag {
    /// The apex of a sharpened edge; on a one-sided blade the flat side's lowest corner, sharpened or not.
    Apex,
    /// A corner of the edge flat.
    Edge(Side),
    /// Where the secondary bevel begins.
    Shoulder(Side),
    /// Where the bevel begins.
    Grind(Side),
    /// The border of a fuller towards the edge.
    FullerLow(usize, Side),
    /// The border of a fuller towards the back.
    FullerHigh(usize, Side),
    /// The highest corner of a side.
    Flank(Side),
    /// Where a rounded back turns flat.
    BackFlat(Side),
}

/// Right is +z, left −z.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Side {
    Right,
    Left,
}

impl Side {
    pub(crate) const BOTH: [Side; 2] = [Side::Right, Side::Left];

    pub(crate) fn sign(self) -> f64 {
        if self == Side::Right { 1.0 } else { -1.0 }
    }

    pub(crate) fn name(self) -> &'static str {
        if self == Side::Right { "right" } else { "left" }
    }

    pub(crate) fn within(self, sides: Sides) -> bool {
        match sides {
            Sides::Both => true,
            Sides::Right => self == Side::Right,
            Sides::Left => self == Side::Left,
        }
    }
}

/// How one corner is joined to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Join {
    Straight,
    /// A circular arc: middle control point and its weight.
    Round(DVec2, f64),
}

/// A corner and the way to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Corner {
    pub(crate) tag: Tag,
    pub(crate) at: DVec2,
    pub(crate) join: Join,
}

/// Which corners the sections of a span have.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Layout {
    /// Whether the secondary bevel is there.
    pub(crate) sharp: bool,
    /// Indices of the fullers on each side, from the edge upwards.
    pub(crate) fullers: [Vec<usize>; 2],
}

/// The measures of one section, with all allowances in them, mm.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Measures {
    pub(crate) breadth: f64,
    /// Thickness at the back's virtual corner.
    pub(crate) back: f64,
    /// Thickness at the grind line.
    pub(crate) grind: f64,
    /// Height of the grind line above the edge along the chord.
    pub(crate) grind_height: f64,
    /// Thickness of the bevel at the edge.
    pub(crate) edge: f64,
    /// 0 where the blade is unbevelled, 1 where the bevel is full.
    pub(crate) bevelled: f64,
    /// Distance from the back line, width and depth of each fuller at this section.
    pub(crate) fullers: Vec<[f64; 3]>,
    /// Tangent of half the secondary bevel's included angle (of the whole angle on a one-sided blade).
    pub(crate) edge_slope: f64,
}

/// `value` where it is at most `start`; beyond, levelling off towards `start` + `room`. Twice continuously
/// differentiable: tanh has no second derivative at 0.
pub(crate) fn level_off(value: f64, start: f64, room: f64) -> f64 {
    if value <= start { value } else { start + room * ((value - start) / room).tanh() }
}

/// As [`level_off`], with both limits in proportion to `whole`.
fn share(value: f64, whole: f64, start: f64, room: f64) -> f64 {
    whole * level_off(value / whole, start, room)
}

/// The share of the breadth up to which a grind line's height in mm stays true, and the room above it in which
/// it levels off where the blade is narrower: a flank is left up to the point.
pub(crate) const GRIND_SHARE: (f64, f64) = (0.72, 0.13);
/// The same for how far a crowned or rounded back reaches down; the two together leave a twenty-fifth of the
/// breadth between back and grind line.
const BACK_SHARE: (f64, f64) = (0.08, 0.03);

/// Height of the grind line above the edge along the chord, mm.
pub(crate) fn grind_height(line: GrindLine, breadth: f64) -> f64 {
    match line {
        GrindLine::Full => breadth,
        GrindLine::Share(f) => f * breadth,
        GrindLine::Height(h) => share(h, breadth, GRIND_SHARE.0, GRIND_SHARE.1),
    }
}

/// Limits near the point, where the blade narrows to nothing: the edge is never thicker than a third of the
/// breadth, and no section thicker than it is broad.
pub(crate) fn limit_thickness(breadth: f64, thickness: f64, edge: f64) -> (f64, f64) {
    let edge = limit_edge(breadth, edge);
    (edge + share(thickness - edge, breadth, 0.5, 0.2), edge)
}

/// What a forged section's breadth holds beyond the finished one, mm: near the point at most a seventh of it, so that
/// grind line and back keep apart.
pub(crate) fn limit_beyond(breadth: f64, beyond: f64) -> f64 {
    share(beyond, breadth, 0.1, 0.04)
}

pub(crate) fn limit_edge(breadth: f64, edge: f64) -> f64 {
    share(edge, breadth, 0.25, 0.05)
}

/// The section's corners, counter-clockwise seen from the point: from the edge's right side up, over the
/// back, down the left side and through the edge.
pub(crate) fn corners(form: &Section, layout: &Layout, m: &Measures) -> Vec<Corner> {
    let mut right = side_corners(form, layout, m, Side::Right);
    let left = side_corners(form, layout, m, Side::Left);
    let crown = match form.back {
        Back::Crowned { height } => Some(crown_height(height, m)),
        Back::Flat | Back::Rounded { .. } => None,
    };
    if let (Some(height), Some(top)) = (crown, right.last_mut()) {
        // Sagitta h over the half chord a: tan(θ/4) = h/a, and the middle control point a·tan(θ/2) above.
        let a = 0.5 * m.back;
        let half = 2.0 * (height / a).atan();
        top.join = Join::Round(DVec2::new(top.at.x + a * half.tan(), 0.0), half.cos());
    }
    right.reserve_exact(left.len() + 1);
    right.extend(reversed(&left));
    if layout.sharp && form.sides == Sides::Both {
        right.push(Corner { tag: Tag::Apex, at: DVec2::ZERO, join: Join::Straight });
    }
    right
}

/// A chain of corners in the opposite direction: each join moves to the corner it now leaves.
fn reversed(chain: &[Corner]) -> impl Iterator<Item = Corner> {
    let join = |i: usize| if i == 0 { Join::Straight } else { chain[i - 1].join };
    chain.iter().enumerate().rev().map(move |(i, c)| Corner { join: join(i), ..*c })
}

fn crown_height(height: f64, m: &Measures) -> f64 {
    share(share(height, m.back, 0.4, 0.04), m.breadth, BACK_SHARE.0, BACK_SHARE.1)
}

/// One side's corners from the edge up to the back.
fn side_corners(form: &Section, layout: &Layout, m: &Measures, side: Side) -> Vec<Corner> {
    let sign = side.sign();
    let bevelled = side.within(form.sides);
    let one_sided = form.sides != Sides::Both;
    // Half thickness on this side at the grind line and at the edge, outwards positive.
    let flat = 0.5 * m.back;
    let (grind, edge) = match (bevelled, one_sided) {
        (true, true) => (m.grind - flat, m.edge - flat),
        (false, _) => (flat, flat),
        (true, false) => (0.5 * m.grind, 0.5 * m.edge),
    };
    let full = form.grind_line == GrindLine::Full;
    let height = m.grind_height;
    let crown = if let Back::Crowned { height } = form.back { crown_height(height, m) } else { 0.0 };
    let top = DVec2::new(m.breadth - crown, flat);
    let low = DVec2::new(0.0, edge);
    let knee = DVec2::new(height, grind);

    let below = if full { low } else { knee };
    let (flank, rounding) = back_corner(form.back, m, top, below);
    let bevel_top = if full || !bevelled { flank } else { knee };
    let fullers = &layout.fullers[if side == Side::Right { 0 } else { 1 }];
    // The edge, the grind line, two borders of each fuller, two corners at the back.
    let mut chain = Vec::with_capacity(4 + 2 * fullers.len());
    chain.push(match bevelled {
        true => bevel(form, layout, m, (low, bevel_top), side),
        false => (Tag::Apex, low, Join::Straight),
    });
    if bevelled && !full {
        chain.push((Tag::Grind(side), knee, Join::Straight));
    }
    let from = chain.last().map_or(low, |c| c.1);
    for &i in fullers {
        chain.extend(fuller(i, m.fullers[i], m.breadth, from, flank, side));
    }
    match rounding {
        Some((middle, weight, end)) => {
            chain.push((Tag::Flank(side), flank, Join::Round(middle, weight)));
            chain.push((Tag::BackFlat(side), end, Join::Straight));
        }
        None => chain.push((Tag::Flank(side), flank, Join::Straight)),
    }
    let place = |p: DVec2| DVec2::new(p.x, sign * p.y);
    chain
        .into_iter()
        .map(|(tag, at, join)| Corner {
            tag,
            at: place(at),
            join: match join {
                Join::Round(middle, weight) => Join::Round(place(middle), weight),
                Join::Straight => Join::Straight,
            },
        })
        .collect()
}

type Step = (Tag, DVec2, Join);
/// Middle control point, weight and end of a rounded corner.
type Rounding = (DVec2, f64, DVec2);

/// The highest corner of the side and, for a rounded back, the arc over the corner.
fn back_corner(back: Back, m: &Measures, top: DVec2, below: DVec2) -> (DVec2, Option<Rounding>) {
    let Back::Rounded { radius } = back else { return (top, None) };
    let down = (below - top).normalize();
    let across = DVec2::new(0.0, -1.0);
    let half = 0.5 * down.angle_to(across).abs();
    // Tangent length r/tan(half the inside angle); the arc's half angle is the complement of `half`.
    let reach = share(share(radius / half.tan(), m.back, 0.4, 0.06), m.breadth, BACK_SHARE.0, BACK_SHARE.1);
    (top + down * reach, Some((top, half.sin(), top + across * reach)))
}

/// The lowest corner of a bevelled side and the way up to the bevel's top.
fn bevel(form: &Section, layout: &Layout, m: &Measures, (low, high): (DVec2, DVec2), side: Side) -> Step {
    let join = match form.bevel {
        Bevel::Flat => Join::Straight,
        Bevel::Hollow { radius } => arc(low, high, -m.bevelled / radius),
        Bevel::Convex { radius } => arc(low, high, m.bevelled / radius),
    };
    if !layout.sharp {
        return (Tag::Edge(side), low, join);
    }
    let apex = if form.sides == Sides::Both { 0.0 } else { -0.5 * m.back };
    let (shoulder, join) = sharpened(low, high, join, apex, m.edge_slope);
    (Tag::Shoulder(side), shoulder, join)
}

/// The circular arc of signed curvature `k` (1/mm, positive bulging to +z) from `low` to `high`.
fn arc(low: DVec2, high: DVec2, k: f64) -> Join {
    let chord = high - low;
    let half = (0.5 * chord.length() * k).clamp(-1.0, 1.0).asin();
    let outwards = chord.perp().normalize();
    Join::Round(low.midpoint(high) + outwards * (0.5 * chord.length() * half.tan()), half.cos())
}

/// Where the secondary bevel of slope `slope` from the apex meets the primary bevel, and what is left of it.
/// Where it would take more than half of the primary bevel it levels off at half: near the point the
/// secondary bevel grows steeper instead.
fn sharpened(low: DVec2, high: DVec2, join: Join, apex: f64, slope: f64) -> (DVec2, Join) {
    let over = |p: DVec2| p.y - apex - slope * p.x;
    let (first, last) = (over(low), over(high));
    let (middle, weight) = match join {
        Join::Straight => (low.midpoint(high), 1.0),
        Join::Round(p, w) => (p, w),
    };
    // first·(1−v)² + 2w·mid·v(1−v) + last·v² = 0
    let v = if last >= 0.0 { 1.0 } else { bernstein_root(first, weight * over(middle), last) };
    let v = level_off(v, 0.4, 0.1);
    let s = 1.0 - v;
    let (w0, w1) = (s * s + 2.0 * weight * s * v + v * v, s * weight + v);
    let start = (low * (s * s) + middle * (2.0 * weight * s * v) + high * (v * v)) / w0;
    let join = match join {
        Join::Straight => Join::Straight,
        Join::Round(..) => Join::Round((middle * (s * weight) + high * v) / w1, w1 / w0.sqrt()),
    };
    (start, join)
}

/// The root in (0, 1) of a(1−v)² + 2b·v(1−v) + c·v² with a > 0 > c.
fn bernstein_root(a: f64, b: f64, c: f64) -> f64 {
    // With r = v/(1−v): c·r² + 2b·r + a = 0, positive root, written without cancellation.
    let root = (b * b - a * c).sqrt();
    let r = if b > 0.0 { (-b - root) / c } else { a / (root - b) };
    r / (1.0 + r)
}

/// A fuller's two borders on the straight line from `from` up to `to`, with the groove between.
fn fuller(
    i: usize,
    [from_back, width, depth]: [f64; 3],
    breadth: f64,
    from: DVec2,
    to: DVec2,
    side: Side,
) -> [Step; 2] {
    let on = |c: f64| from.lerp(to, (c - from.x) / (to.x - from.x));
    let (low, high) = (on(breadth - from_back - width), on(breadth - from_back));
    let chord = high - low;
    let half = 2.0 * (2.0 * depth / chord.length()).atan();
    let outwards = chord.perp().normalize();
    let middle = low.midpoint(high) - outwards * (0.5 * chord.length() * half.tan());
    [
        (Tag::FullerLow(i, side), low, Join::Round(middle, half.cos())),
        (Tag::FullerHigh(i, side), high, Join::Straight),
    ]
}

/// Area, first and second moments of a section about its own axes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct SectionMoments {
    /// Area, mm².
    pub(crate) area: f64,
    /// Centroid above the edge along the chord, and through the thickness, mm.
    pub(crate) centroid: DVec2,
    /// ∫ z² dA about z = 0, mm⁴: bending through the thickness.
    pub(crate) through: f64,
}

/// Moments of the region inside a loop of corners: the polygon's closed form (Green's theorem) plus a circular
/// segment for each arc.
pub(crate) fn moments(corners: &[Corner]) -> SectionMoments {
    let (mut area, mut first, mut through) = (0.0, DVec2::ZERO, 0.0);
    for (i, corner) in corners.iter().enumerate() {
        let (p, q) = (corner.at, corners[(i + 1) % corners.len()].at);
        let cross = p.perp_dot(q);
        area += cross / 2.0;
        first += (p + q) * (cross / 6.0);
        through += (p.y * p.y + p.y * q.y + q.y * q.y) * cross / 12.0;
        if let Join::Round(middle, weight) = corner.join {
            let (a, f, t) = segment(p, middle, weight, q);
            area += a;
            first += f;
            through += t;
        }
    }
    // With c to the right and z up the loop runs clockwise: all sums are negative.
    SectionMoments { area: area.abs(), centroid: first / area, through: through.abs() }
}

/// Signed area, first moment and ∫z² of the circular segment between chord p–q and the arc.
fn segment(p: DVec2, middle: DVec2, weight: f64, q: DVec2) -> (f64, DVec2, f64) {
    let half = weight.clamp(-1.0, 1.0).acos();
    let chord = q - p;
    let bulge = middle - p.midpoint(q);
    // Below this angle a segment's area is under 1e-20 of a square of its chord.
    if half < 1e-7 || bulge.length_squared() == 0.0 {
        return (0.0, DVec2::ZERO, 0.0);
    }
    let radius = 0.5 * chord.length() / half.sin();
    let out = bulge.normalize();
    let centre = p.midpoint(q) - out * (radius * half.cos());
    let (s, c) = half.sin_cos();
    let area = radius * radius * (half - s * c);
    // Distance of the centroid from the centre: 2R sin³α / (3(α − sin α cos α)).
    let reach = 2.0 * radius * s.powi(3) / (3.0 * (half - s * c));
    // About the centre: along `out` R⁴/4(α − sinα cosα + 2 sin³α cosα), across R⁴/12(3α − 3 sinα cosα − 2 sin³α cosα).
    let r4 = radius.powi(4);
    let along = r4 / 4.0 * (half - s * c + 2.0 * s.powi(3) * c);
    let across = r4 / 12.0 * (3.0 * half - 3.0 * s * c - 2.0 * s.powi(3) * c);
    let centroid = centre + out * reach;
    // ∫z² = z0²·A + 2 z0·out_z·reach·A + out_z²·along + out_c²·across
    let z2 = centre.y * centre.y * area
        + 2.0 * centre.y * out.y * reach * area
        + out.y * out.y * along
        + out.x * out.x * across;
    let sign = if chord.perp_dot(bulge) < 0.0 { 1.0 } else { -1.0 };
    (sign * area, centroid * (sign * area), sign * z2)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn measures(breadth: f64, back: f64, grind: f64, edge: f64) -> Measures {
        let (bevelled, fullers, edge_slope) = (1.0, Vec::new(), 0.3);
        Measures { breadth, back, grind, grind_height: 0.0, edge, bevelled, fullers, edge_slope }
    }

    fn form(bevel: Bevel, grind_line: GrindLine, back: Back) -> Section {
        Section { bevel, sides: Sides::Both, grind_line, back }
    }

    fn area(form: &Section, m: &Measures) -> SectionMoments {
        let layout = Layout { sharp: false, fullers: [Vec::new(), Vec::new()] };
        moments(&corners(form, &layout, &ground_to(form, m.clone())))
    }

    /// The measures with their form's own grind line.
    fn ground_to(form: &Section, m: Measures) -> Measures {
        Measures { grind_height: grind_height(form.grind_line, m.breadth), ..m }
    }

    #[test]
    fn a_wedge_and_a_slab_with_bevel_have_their_closed_forms() {
        let wedge = area(&form(Bevel::Flat, GrindLine::Full, Back::Flat), &measures(40.0, 6.0, 6.0, 1.0));
        // Trapezium: area b(t + e)/2, centroid from the edge b/3·(2t + e)/(t + e).
        assert!((wedge.area - 140.0).abs() < 1e-12);
        assert!((wedge.centroid.x - 40.0 / 3.0 * 13.0 / 7.0).abs() < 1e-12 && wedge.centroid.y.abs() < 1e-12);
        let slab =
            area(&form(Bevel::Flat, GrindLine::Share(0.5), Back::Flat), &measures(40.0, 6.0, 6.0, 1.0));
        assert!((slab.area - (20.0 * 6.0 + 20.0 * 3.5)).abs() < 1e-12);
        // ∫z² of the slab part b·t³/12; of the bevel part ∫ t(c)³/12 dc = h(t⁴ − e⁴)/(48(t − e)).
        let through = 20.0 * 216.0 / 12.0 + 20.0 * (1296.0 - 1.0) / (48.0 * 5.0);
        assert!((slab.through - through).abs() < 1e-9, "{} {through}", slab.through);
    }

    #[test]
    fn hollow_and_convex_bevels_differ_by_their_circular_segments() {
        // Chord c of the bevel, radius R: segment area R²/2·(θ − sin θ) with sin(θ/2) = c/2R.
        let (height, rise, radius): (f64, f64, f64) = (20.0, 2.5, 150.0);
        let chord = height.hypot(rise);
        let theta = 2.0 * (0.5 * chord / radius).asin();
        let segment = 0.5 * radius * radius * (theta - theta.sin());
        let m = measures(40.0, 6.0, 6.0, 1.0);
        let of = |bevel| area(&form(bevel, GrindLine::Share(0.5), Back::Flat), &m).area;
        assert!((of(Bevel::Flat) - of(Bevel::Hollow { radius }) - 2.0 * segment).abs() < 1e-9);
        assert!((of(Bevel::Convex { radius }) - of(Bevel::Flat) - 2.0 * segment).abs() < 1e-9);
    }

    #[test]
    fn a_full_round_is_a_disc() {
        // Two arcs of a third of a turn and one more: a disc of radius 2 about (0, 1).
        let on =
            |turn: f64| DVec2::new(0.0, 1.0) + DVec2::from_angle(-turn * std::f64::consts::TAU / 6.0) * 2.0;
        let out =
            |turn: f64| DVec2::new(0.0, 1.0) + DVec2::from_angle(-turn * std::f64::consts::TAU / 6.0) * 4.0;
        let disc: Vec<Corner> = [0.0, 2.0, 4.0]
            .iter()
            .map(|&k| Corner { tag: Tag::Apex, at: on(k), join: Join::Round(out(k + 1.0), 0.5) })
            .collect();
        let m = moments(&disc);
        let pi = std::f64::consts::PI;
        assert!((m.area - 4.0 * pi).abs() < 1e-12 && (m.centroid.y - 1.0).abs() < 1e-12);
        // π r⁴/4 + A·1².
        assert!((m.through - (4.0 * pi + 4.0 * pi)).abs() < 1e-11, "{}", m.through);
    }

    #[test]
    fn the_secondary_bevel_has_the_angle_asked_for() {
        let layout = Layout { sharp: true, fullers: [Vec::new(), Vec::new()] };
        for bevel in [Bevel::Flat, Bevel::Hollow { radius: 150.0 }, Bevel::Convex { radius: 300.0 }] {
            let form = form(bevel, GrindLine::Share(0.6), Back::Flat);
            let all = corners(&form, &layout, &ground_to(&form, measures(40.0, 6.0, 6.0, 0.8)));
            let shoulder = all.iter().find(|c| c.tag == Tag::Shoulder(Side::Right)).unwrap();
            assert!((shoulder.at.y / shoulder.at.x - 0.3).abs() < 1e-12, "{bevel:?} {shoulder:?}");
        }
    }

    #[test]
    fn levelling_off_keeps_small_values_and_two_derivatives() {
        assert!((level_off(0.3, 0.5, 0.2) - 0.3).abs() < f64::EPSILON && level_off(1e9, 0.5, 0.2) <= 0.7);
        let h = 1e-4;
        let second = (level_off(0.5 + h, 0.5, 0.2) - 2.0 * level_off(0.5, 0.5, 0.2)
            + level_off(0.5 - h, 0.5, 0.2))
            / (h * h);
        assert!(second.abs() < 1e-2, "{second}");
    }
}
