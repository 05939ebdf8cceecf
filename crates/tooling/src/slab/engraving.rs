//! Engravings in an upper face: the openings they leave there, their floors, walls and islands.

use glam::DVec2;

use crate::slab::contour::{Contour, Region};
use crate::slab::sewing::Sewing;
use crate::slab::walls::{flat, walls};

/// Regions cut into one face: disjoint, some of them perhaps on islands of others, as the dot of a 0 is.
pub(crate) struct Engraving<'a> {
    regions: &'a [Region],
    /// For each region the number of the innermost island that it stands on.
    hosts: Vec<Option<usize>>,
}

impl<'a> Engraving<'a> {
    /// The engraving of these regions: holes belong to the least island around them.
    pub(crate) fn new(regions: &'a [Region]) -> Engraving<'a> {
        let islands: Vec<_> = islands(regions).map(|island| (island, island.bounds())).collect();
        let host = |region: &Region| {
            let [low, high] = region.outer.bounds();
            let within = |[l, h]: &[DVec2; 2]| low.cmpge(*l).all() && high.cmple(*h).all();
            let inside =
                |island: &Contour| region.outer.corners.first().is_some_and(|c| island.contains(c.at));
            let around = islands.iter().enumerate().filter(|(_, (c, bounds))| within(bounds) && inside(c));
            around.min_by(|a, b| a.1.0.area().total_cmp(&b.1.0.area())).map(|(i, _)| i)
        };
        Engraving { regions, hosts: regions.iter().map(host).collect() }
    }

    /// The outer contours of the regions that stand on no island: holes of the face around them.
    pub(crate) fn openings(&self) -> Vec<Contour> {
        self.on(None)
    }

    /// The outer contours of the regions on an island, or on none.
    fn on(&self, island: Option<usize>) -> Vec<Contour> {
        let here = self.regions.iter().zip(&self.hosts).filter(|(_, host)| **host == island);
        here.map(|(region, _)| region.outer.clone()).collect()
    }

    /// Adds floors, walls and islands between two heights, mm.
    pub(crate) fn sew(&self, sewing: &mut Sewing, [floor, top]: [f64; 2]) {
        for region in self.regions {
            flat(sewing, "engraving", true, floor, &region.outer, &region.islands);
            walls(sewing, "engraving", &region.outer.reversed(), [floor, top]);
        }
        for (i, island) in islands(self.regions).enumerate() {
            flat(sewing, "top", true, top, island, &self.on(Some(i)));
            walls(sewing, "engraving", island, [floor, top]);
        }
    }
}

fn islands(regions: &[Region]) -> impl Iterator<Item = &Contour> {
    regions.iter().flat_map(|region| &region.islands)
}
