//! Serrated welds at the bench: the notches to cut into both bars.

use laminate::{Billet, MaterialMap};
use serde::Serialize;

use crate::stock::Stack;

/// The notches of a bar towards one of its neighbours. Lengths in mm.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Notches {
    /// The face they are cut into: `back` or `edge`.
    pub towards: &'static str,
    /// The bar whose teeth stand in them.
    pub neighbour: String,
    /// Their middles from the bar's end at the tang, as it goes into the stack.
    pub at_mm: Vec<f64>,
    /// How deep they are at the shoulder and at the last of them.
    pub depth_mm: [f64; 2],
    /// Steel that is cut away for them, mm³: what the bar is made higher for. But for a part of a tooth the bar then takes as much
    /// of its neighbour's place as it gives.
    pub cut_away_mm3: f64,
}

impl Notches {
    /// Of a bar, towards the back first, where its welds are serrated; it begins `start` mm behind the shoulder.
    pub(crate) fn all(
        (billet, bar): (&Billet, usize),
        lay: &MaterialMap,
        stack: &Stack,
        start: f64,
    ) -> Vec<Notches> {
        let over = Weld { lower: bar, billet, lay, stack, start };
        let under = Weld { lower: bar + 1, ..over };
        over.notches(true).into_iter().chain(under.notches(false)).collect()
    }
}

/// A serrated weld, over the bar `lower` from the back.
#[derive(Clone, Copy)]
struct Weld<'a> {
    lower: usize,
    billet: &'a Billet,
    lay: &'a MaterialMap,
    stack: &'a Stack,
    start: f64,
}

impl Weld<'_> {
    /// The notches of its lower bar, or of its upper one.
    fn notches(&self, of_lower: bool) -> Option<Notches> {
        let bars = self.billet.bars();
        let teeth = bars.get(self.lower)?.teeth.as_ref()?;
        let (towards, neighbour) = if of_lower { ("back", self.lower - 1) } else { ("edge", self.lower) };
        let end = self.lay.along(self.lay.sections().range().1);
        // The recipe counts along the stack as it is when its scale is off.
        let longer = 1.0 / (1.0 - self.stack.scale_share);
        // The wave goes up first: three quarters on it is lowest, and there the lower bar has its notch.
        let first = if of_lower { 2 } else { 0 };
        let places: Vec<f64> = teeth.quarters(end).into_iter().skip(first).step_by(4).collect();
        let long = self.stack.length_mm[0] + self.start;
        Some(Notches {
            towards,
            neighbour: bars[neighbour].name.clone(),
            depth_mm: [0.0, places.last().copied().unwrap_or(0.0)].map(|s| teeth.depth(s)),
            at_mm: places.into_iter().map(|s| self.start + s * longer).collect(),
            cut_away_mm3: teeth.most() * self.billet.width() * long,
        })
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use crate::{Plan, Stock};

    fn text(teeth: &str) -> String {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles/landing-seax.toml");
        let text = std::fs::read_to_string(path).unwrap();
        text.replace("height = 15\n", &format!("height = 15\n{teeth}"))
    }

    /// Notches stand where the finished blade shows them: those of the edge bar three quarters of a period from the shoulder on,
    /// those of the bar over it a quarter; and both bars are made half a tooth higher.
    #[test]
    fn notches_stand_where_the_blade_shows_them() {
        let design = design::read(text("serrated = { period = 15, depth = 4 }\n").as_bytes()).unwrap();
        let plain = Stock::of(&design::read(text("").as_bytes()).unwrap()).unwrap();
        let (stock, lay) = (Stock::of(&design).unwrap(), design.lay().unwrap());
        let most = lay.billet().bars()[3].teeth.as_ref().unwrap().most();
        let longer = 1.0 / (1.0 - stock.stack.scale_share);
        for (bar, towards, neighbour, first) in [(3, "back", "Lower twist", 11.25), (2, "edge", "Edge", 3.75)]
        {
            let (made, before) = (&stock.bars[bar], &plain.bars[bar]);
            let [notches] = &made.notches[..] else { panic!("{:?}", made.notches) };
            assert!(notches.towards == towards && notches.neighbour == neighbour);
            let start = made.length_mm - stock.stack.length_mm[0];
            let stations = notches.at_mm.iter().map(|at| lay.station((at - start) / longer));
            let fan = lay.sections().fan_start();
            let near = stations.take_while(|x| *x < fan).enumerate();
            let count = near
                .map(|(i, x)| assert!((x - first - 15.0 * i as f64).abs() < 1e-3, "{bar} {i} {x}"))
                .count();
            assert!(count > 15, "{count}");
            assert!((made.made_section_mm[0] - before.made_section_mm[0] - most).abs() < 1e-9);
            assert!((made.section_mm[0] - before.section_mm[0]).abs() < 1e-12);
            let more = (made.made_section_mm[0] - before.made_section_mm[0]) * 12.0 * made.length_mm;
            assert!((notches.cut_away_mm3 / more - 1.0).abs() < 1e-9);
        }
        assert!(stock.bars[0].notches.is_empty() && stock.bars[1].notches.is_empty());
        let text = Plan::of(&design).unwrap().text();
        for says in [
            "notches into its face towards the back, for the teeth of Lower twist",
            "until no light shows between",
        ] {
            assert!(text.contains(says), "{says} in\n{text}");
        }
        assert!(text.lines().all(|line| line.chars().count() <= 130));
    }
}
