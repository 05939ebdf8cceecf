//! A design as it is shown: its surfaces at one state of grinding, and everything the words beside it are read from.

use std::sync::Arc;

use blade::{Loft, Sections, Stage, Swing};
use brep::Mesh;
use design::{Design, Target};
use edit::{Block, Handle};
use forge::Etching;
use glam::DVec3;
use laminate::{Colouring, LayerPlace, Wrap, etched_grey, steel_colour};
use look::Colour;

use crate::model::grinding::Grinding;
use crate::model::picture::Picture;
use crate::model::pieces::{self, Bodies, Piece, Pixels};
use crate::model::settings::{Ground, Settings, settled};
use crate::model::taper::Taper;

/// How far the triangles may stand off the blade, mm: less than a pixel of a blade that fills a screen.
const TOLERANCE: f64 = 0.05;
/// Pixels per mm of a first picture of the layers, made while a slider moves.
const COARSE: f64 = 1.0;
/// Pixels per mm of the picture that stays: finer than a screen shows a blade as a whole.
const FINE: f64 = 4.0;

/// What of the settings changes the surfaces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Wish {
    pub(crate) ground: Ground,
    /// `None` for what suits the design.
    pub(crate) colour: Option<Colour>,
    /// Whether the bars are bodies of their own.
    pub(crate) parted: bool,
    /// Whether the blade is taken in hand: what of it can be held and typed is looked up, too.
    pub(crate) hand: bool,
}

impl Wish {
    pub(crate) fn new(settings: &Settings, hand: bool) -> Wish {
        Wish { ground: settings.ground, colour: settings.colour, parted: settings.apart > 0.0, hand }
    }
}

/// A design at one state of grinding.
#[derive(Clone, Debug)]
pub struct Shown {
    pub(crate) design: Arc<Design>,
    pub(crate) ground: Ground,
    pub(crate) colour: Colour,
    pub(crate) loft: Arc<Loft>,
    pub(crate) facts: Facts,
    pub(crate) bounds: (DVec3, DVec3),
    /// The blade on the bench, where there is a measured file.
    pub(crate) grinding: Option<Arc<Grinding>>,
    /// How the layers etch, where that is shown.
    pub(crate) etching: Option<Etching>,
    /// What can be held and typed, where the blade is taken in hand.
    pub(crate) reach: Option<Arc<Reach>>,
    bodies: Bodies,
}

/// What of a design can be held and typed, and what it comes to.
#[derive(Clone, Debug)]
pub(crate) struct Reach {
    pub(crate) handles: Vec<Handle>,
    pub(crate) blocks: Vec<Block>,
    pub(crate) targets: Vec<Target>,
}

impl Reach {
    /// Of a design and the text that it was read from.
    fn of(design: &Design, text: &str) -> Reach {
        let handles = edit::handles(design, text);
        Reach { blocks: edit::blocks(design, text, &handles), handles, targets: design.against_targets() }
    }
}

/// What is told of a blade beside its surface.
#[derive(Clone, Debug)]
pub(crate) struct Facts {
    pub(crate) sections: Sections,
    /// Those of the forged blade, when that is another one.
    pub(crate) forged: Option<Sections>,
    pub(crate) swing: Swing,
    /// Centre of mass of the bare steel, mm.
    pub(crate) centre: DVec3,
    pub(crate) taper: Taper,
}

impl Facts {
    /// Of a design at the state of grinding of its loft.
    fn new(design: &Design, loft: &Loft) -> Facts {
        let (sections, moments) = (Sections::of(loft), loft.moments());
        Facts {
            forged: (loft.stage() != Stage::Forged)
                .then(|| Sections::of(&design.blade().loft(Stage::Forged))),
            swing: design.swing(loft, &moments),
            centre: moments.centre(),
            taper: Taper::new(&sections),
            sections,
        }
    }
}

/// What is on the surfaces of a design that is shown.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Coated {
    pub(crate) pieces: Vec<Piece>,
    /// The picture that some pieces show.
    pub(crate) picture: Option<Arc<Picture>>,
}

/// The layers as a picture to be put on surfaces.
#[derive(Clone, Debug)]
pub(crate) struct Layers {
    /// Where on the blade its parts lie.
    wrap: Wrap,
    picture: Arc<Picture>,
}

impl Shown {
    /// Reads a design and makes its finished blade's surface: all that stands between a saved file and its new mesh.
    ///
    /// # Errors
    /// All problems of the design, or none where a sound one could not be meshed.
    pub fn finished(bytes: &[u8], colour: Colour) -> Result<Shown, Vec<design::Problem>> {
        let design = design::read_candidate(bytes)?;
        let ground = Ground::Stage(Stage::Finished);
        let wish = Wish { ground, colour: Some(colour), parted: false, hand: false };
        Shown::new(&Arc::new(design), None, wish).map_err(|_| Vec::new())
    }

    /// Triangles of the surface.
    pub fn triangles(&self) -> usize {
        self.bodies.triangles()
    }

    /// The surfaces of a wish.
    ///
    /// # Errors
    /// What the meshing said, in words: a fault of ours.
    pub(crate) fn new(
        design: &Arc<Design>,
        grinding: Option<&Arc<Grinding>>,
        wish: Wish,
    ) -> Result<Shown, String> {
        let blade = design.blade();
        let loft = match wish.ground {
            Ground::Stage(stage) => blade.loft(stage),
            Ground::Share(share) => blade.loft_ground(share),
        };
        let colour = settled(wish.colour, design, grinding.is_some());
        // What the words tell is looked up beside the making of the surface.
        let (surface, facts, etching) = std::thread::scope(|scope| {
            let facts = scope.spawn(|| Facts::new(design, &loft));
            let etching = (colour == Colour::Layers).then(|| Etching::of(design)).flatten();
            let surface = Mesh::of(loft.shell(), TOLERANCE)
                .map_err(|why| why.to_string())
                .and_then(|mesh| Ok((bodies(design, &mesh, colour, wish.parted)?, mesh.bounds())));
            (surface, facts.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)), etching)
        });
        let (bodies, bounds) = surface?;
        let (design, grinding) = (Arc::clone(design), grinding.map(Arc::clone));
        let (ground, reach) = (wish.ground, None);
        Ok(Shown { design, ground, colour, loft, facts, bounds, grinding, etching, reach, bodies })
    }

    /// The same with what of it can be held and typed, where that is wished for; `text` is what the design was read from.
    pub(crate) fn with_text(mut self, text: &str, wished: bool) -> Shown {
        self.reach = wished.then(|| Arc::new(Reach::of(&self.design, text)));
        self
    }

    /// What can be put on the surfaces at once: everything but layers, which go by an `earlier` picture of them where
    /// there is one, until they are made anew.
    pub(crate) fn coated(&self, earlier: Option<&Layers>) -> Coated {
        match (self.colour, earlier) {
            (Colour::Taper, _) => Coated {
                pieces: self.bodies.tapered(&self.facts.taper),
                picture: alone(&pieces::taper_run()),
            },
            (Colour::TakeOff, _) => self.ground(),
            (colour, Some(layers)) if colour.shows_layers() => self.wrapped(layers),
            (colour, _) => Coated { pieces: self.bodies.plain(colour), picture: None },
        }
    }

    /// What is left to take off on the surfaces; bare steel without a measured file.
    fn ground(&self) -> Coated {
        match &self.grinding {
            Some(grinding) => {
                Coated { pieces: self.bodies.ground(grinding), picture: alone(&pieces::take_off_run()) }
            }
            None => Coated { pieces: self.bodies.plain(Colour::Steel), picture: None },
        }
    }

    /// The layers on the surfaces.
    pub(crate) fn wrapped(&self, layers: &Layers) -> Coated {
        Coated { pieces: self.bodies.wrapped(&layers.wrap), picture: Some(Arc::clone(&layers.picture)) }
    }

    /// The picture of the layers, coarse or fine; `None` where layers are not shown or would be too large a picture.
    pub(crate) fn layers(&self, fine: bool) -> Option<Layers> {
        let lay = self.colour.shows_layers().then(|| self.design.lay()).flatten()?;
        let colouring = match &self.etching {
            Some(etching) => Colouring::Etched(&etching.brightness),
            None => Colouring::Steels,
        };
        let mut wrap = Wrap::new(lay, &self.facts.sections, colouring, if fine { FINE } else { COARSE })?;
        let pixels = Pixels { width: wrap.width, height: wrap.height, rgb: std::mem::take(&mut wrap.rgb) };
        Some(Layers { wrap, picture: Arc::new(Picture::with_copies(&pixels)) })
    }

    /// The colour of a layer, or of a plug, where layers are shown: sRGB.
    pub(crate) fn layer_colour(&self, place: &LayerPlace) -> [u8; 3] {
        match (&self.etching, place.plug) {
            (Some(etching), None) => etched_grey(etching.brightness.brightness(place.bar, place.steel)),
            (Some(etching), Some(_)) => etched_grey(etching.brightness.of_plug(place.steel)),
            (None, _) => steel_colour(place.steel).srgb,
        }
    }
}

/// A picture that is seen in its own size only.
fn alone(pixels: &Pixels) -> Option<Arc<Picture>> {
    Some(Arc::new(Picture::alone(pixels)))
}

/// The blade as one surface, or bar by bar where that is looked at.
fn bodies(design: &Design, mesh: &Mesh, colour: Colour, parted: bool) -> Result<Bodies, String> {
    // The billet is laid on the blade only when that is looked at: it takes as long as all the rest.
    let wanted = parted || colour == Colour::Bars;
    match wanted.then(|| design.lay()).flatten() {
        Some(lay) => {
            let zones = lay.zones(mesh, TOLERANCE).map_err(|why| why.to_string())?;
            Ok(Bodies::bars(&zones, lay))
        }
        None => Ok(Bodies::whole(mesh)),
    }
}
