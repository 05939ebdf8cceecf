//! What is drawn of a blade: it as a whole or bar by bar, each triangle in a plain colour or with a place in a picture.

use brep::Mesh;
use export::Paint;
use laminate::{MaterialMap, View, Wrap, Zone, bar_colour};
use look::Colour;

use crate::model::grinding::{self, Grinding, Places, Remaining};
use crate::model::surface::Surface;
use crate::model::taper::Taper;

/// Columns of the picture that holds the run of thicknesses: as many as it has tellable colours, and more.
const RUN: usize = 256;

/// A part of the blade in one colour, or with a picture on it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Piece {
    /// The bar it is of, counted from the back; `None` for the whole blade.
    pub(crate) bar: Option<usize>,
    pub(crate) surface: Surface,
    pub(crate) coat: Coat,
}

/// What a surface shows.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Coat {
    /// One colour, sRGB, 0 to 1.
    Plain([f64; 3]),
    /// The picture of all pieces: the place of every corner, from its left and from its top, 0 to 1.
    Picture(Vec<[f64; 2]>),
}

/// A picture, sRGB, row by row from the top.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Pixels {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) rgb: Vec<u8>,
}

/// A bar's own surface.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct BarBody {
    /// The bar whose place in the stack it lies in, counted from the back: it is drawn apart with it.
    pub(crate) bar: usize,
    /// The colour that it has among bars, sRGB: its bar's own, or that of plugs.
    pub(crate) colour: [f64; 3],
    pub(crate) surface: Surface,
}

/// The blade as surfaces, before anything is put on them.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Bodies {
    Whole(Surface),
    Bars {
        each: Vec<BarBody>,
        /// How many places the stack has.
        count: usize,
    },
}

impl Bodies {
    pub(crate) fn whole(mesh: &Mesh) -> Bodies {
        Bodies::Whole(Surface::new(mesh))
    }

    pub(crate) fn bars(zones: &[Zone], lay: &MaterialMap) -> Bodies {
        let billet = lay.billet();
        let body = |z: &Zone| BarBody {
            bar: billet.place_of(z.bar),
            colour: z.colour().unit(),
            surface: Surface::new(&z.mesh),
        };
        Bodies::Bars { each: zones.iter().map(body).collect(), count: billet.places() }
    }

    /// The surfaces in one colour each: that of the bar, or of bare steel.
    pub(crate) fn plain(&self, colour: Colour) -> Vec<Piece> {
        match self {
            Bodies::Whole(surface) => {
                vec![Piece { bar: None, surface: surface.clone(), coat: Coat::Plain(Paint::STEEL.srgb) }]
            }
            Bodies::Bars { each, .. } => {
                let srgb = |own: [f64; 3]| if colour == Colour::Steel { Paint::STEEL.srgb } else { own };
                let piece = |b: &BarBody| Piece {
                    bar: Some(b.bar),
                    surface: b.surface.clone(),
                    coat: Coat::Plain(srgb(b.colour)),
                };
                each.iter().map(piece).collect()
            }
        }
    }

    /// The surfaces with their thickness as colours.
    pub(crate) fn tapered(&self, taper: &Taper) -> Vec<Piece> {
        let places = |s: &Surface| s.points.iter().map(|p| [inside(taper.share(p.x), RUN), 0.5]).collect();
        self.each()
            .map(|(bar, s)| Piece { bar, surface: s.clone(), coat: Coat::Picture(places(s)) })
            .collect()
    }

    /// The surfaces with what is left to take off as colours.
    pub(crate) fn ground(&self, grinding: &Grinding) -> Vec<Piece> {
        let mut places_left = grinding.places();
        let piece = |(bar, surface): (Option<usize>, &Surface)| {
            let surface = surface.finer(SPAN);
            let places =
                surface.points.chunks(3).flat_map(|corners| run_places(corners, &mut places_left)).collect();
            Piece { bar, surface, coat: Coat::Picture(places) }
        };
        self.each().map(piece).collect()
    }

    /// The surfaces with the layers on them; what is no side of the blade once the bars are apart takes its bar's colour.
    pub(crate) fn wrapped(&self, wrap: &Wrap) -> Vec<Piece> {
        let mut pieces = Vec::new();
        for (bar, surface) in self.each() {
            let (outer, inner) = surface.parted(|view| self.is_outside(bar, view));
            let places = outer.corners().map(|(p, view)| wrap.place(view, p)).collect();
            pieces.push(Piece { bar, surface: outer, coat: Coat::Picture(places) });
            if let Some(bar) = bar.filter(|_| !inner.points.is_empty()) {
                pieces.push(Piece {
                    bar: Some(bar),
                    surface: inner,
                    coat: Coat::Plain(bar_colour(bar).unit()),
                });
            }
        }
        pieces
    }

    /// Triangles of all surfaces.
    pub(crate) fn triangles(&self) -> usize {
        self.each().map(|(_, surface)| surface.views.len()).sum()
    }

    /// The surfaces with their bars; `None` for the whole blade.
    fn each(&self) -> impl Iterator<Item = (Option<usize>, &Surface)> {
        let (whole, bars) = match self {
            Bodies::Whole(surface) => (Some((None, surface)), &[][..]),
            Bodies::Bars { each, .. } => (None, &each[..]),
        };
        whole.into_iter().chain(bars.iter().map(|b| (Some(b.bar), &b.surface)))
    }

    /// Whether a face of a bar that is seen best from there lies on the blade's own surface rather than in a seam.
    fn is_outside(&self, bar: Option<usize>, view: View) -> bool {
        match (self, bar, view) {
            (Bodies::Bars { count, .. }, Some(bar), View::Edge) => bar + 1 == *count,
            (Bodies::Bars { .. }, Some(bar), View::Back) => bar == 0,
            _ => true,
        }
    }
}

/// The run of thicknesses as a picture of one row.
pub(crate) fn taper_run() -> Pixels {
    let share = |i: usize| i as f64 / (RUN - 1) as f64;
    Pixels { width: RUN, height: 1, rgb: (0..RUN).flat_map(|i| laminate::run_colour(share(i))).collect() }
}

/// Longest side of a triangle that tells what is left to take off, mm: a tenth of a breadth.
const SPAN: f64 = 4.0;

/// The places of a triangle's corners in [`take_off_run`]. Where one corner is not measured, nothing is told of it; where
/// steel is gone at one, that is told; else its middle decides whether it is to be read first.
fn run_places(corners: &[glam::DVec3], places: &mut Places<'_>) -> Vec<[f64; 2]> {
    let left: Vec<Remaining> = corners.iter().map(|p| places.left(*p)).collect();
    let middle = places.left(corners.iter().sum::<glam::DVec3>() / corners.len() as f64);
    let whole = match middle {
        _ if left.contains(&Remaining::Unmeasured) => Some(Remaining::Unmeasured),
        Remaining::Unread if left.contains(&Remaining::Gone) => Some(Remaining::Gone),
        Remaining::Unread => Some(Remaining::Unread),
        _ => None,
    };
    let own = |l: Remaining| if l == Remaining::Unread { middle } else { l };
    left.into_iter().map(|l| [run_place(whole.unwrap_or_else(|| own(l))), 0.5]).collect()
}

/// The run of what is left to take off, behind fields for what is to be read first, for what is not measured and for steel
/// that is gone: a triangle from little left to nothing left runs over into the latter.
pub(crate) fn take_off_run() -> Pixels {
    let unmeasured = Paint::STEEL.srgb.map(|c| (255.0 * c).round() as u8);
    let colour = |i: usize| match i {
        _ if i < FIELD => grinding::UNREAD,
        _ if i < 2 * FIELD => unmeasured,
        _ if i < 3 * FIELD => grinding::GONE,
        _ => grinding::colour((i - 3 * FIELD) as f64 / (RUN - 1) as f64),
    };
    Pixels { width: 3 * FIELD + RUN, height: 1, rgb: (0..3 * FIELD + RUN).flat_map(colour).collect() }
}

/// Columns of a field before the run: wide enough for its middle to have the field's own colour.
const FIELD: usize = 16;

/// The place of something in [`take_off_run`], from the left, 0 to 1.
fn run_place(left: Remaining) -> f64 {
    let column = match left {
        Remaining::Unread => 0.5 * FIELD as f64,
        Remaining::Unmeasured => 1.5 * FIELD as f64,
        Remaining::Gone => 2.5 * FIELD as f64,
        Remaining::Share(share) => 3.0 * FIELD as f64 + 0.5 + share * (RUN - 1) as f64,
    };
    column / (3 * FIELD + RUN) as f64
}

/// A share of a run of `count` pixels, kept between the middles of the first and the last.
fn inside(share: f64, count: usize) -> f64 {
    (share.clamp(0.0, 1.0) * (count - 1) as f64 + 0.5) / count as f64
}

impl Surface {
    /// Every corner with the view of its triangle.
    fn corners(&self) -> impl Iterator<Item = (glam::DVec3, View)> + '_ {
        self.points.iter().zip(self.views.iter().flat_map(|v| [*v; 3])).map(|(p, v)| (*p, v))
    }

    /// The triangles for which `first` holds, and the others.
    fn parted(&self, first: impl Fn(View) -> bool) -> (Surface, Surface) {
        let mut parts = (Surface::default(), Surface::default());
        for (i, &view) in self.views.iter().enumerate() {
            let part = if first(view) { &mut parts.0 } else { &mut parts.1 };
            part.points.extend(&self.points[3 * i..3 * i + 3]);
            part.normals.extend(&self.normals[3 * i..3 * i + 3]);
            part.views.push(view);
        }
        parts
    }
}
