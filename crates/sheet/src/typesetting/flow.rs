//! From strips to pages.

use glam::DVec2;

use crate::typesetting::shape::Shape;
use crate::typesetting::strip::Strip;

/// Pages that are filled from top to bottom, in points from their column's upper left corner.
pub(crate) struct Flow {
    room: f64,
    pages: Vec<Vec<Shape>>,
    /// How far the last page is filled, and the room that what stands there wants under it.
    filled: f64,
    below: f64,
}

impl Flow {
    /// Pages with columns `room` high.
    pub(crate) fn new(room: f64) -> Flow {
        Flow { room, pages: vec![Vec::new()], filled: 0.0, below: 0.0 }
    }

    /// Adds strips: what must stay together goes on the next page where this one has no room for it, and is broken only where no
    /// page could hold it.
    pub(crate) fn add(&mut self, strips: Vec<Strip>) {
        let mut group = Vec::new();
        for strip in strips {
            let ends = !strip.keep;
            group.push(strip);
            if ends {
                self.add_group(std::mem::take(&mut group));
            }
        }
        self.add_group(group);
    }

    fn add_group(&mut self, group: Vec<Strip>) {
        let tall = height(&group);
        let Some(first) = group.first() else { return };
        let over = if self.filled > 0.0 { self.below.max(first.above) } else { 0.0 };
        if self.filled > 0.0 && self.filled + over + tall > self.room && tall <= self.room {
            self.turn();
        }
        group.into_iter().for_each(|strip| self.place(strip));
    }

    /// Puts a strip under the others or on the next page, there under its head.
    fn place(&mut self, strip: Strip) {
        let over = if self.filled > 0.0 { self.below.max(strip.above) } else { 0.0 };
        if self.filled > 0.0 && self.filled + over + strip.height > self.room {
            self.turn();
        }
        match &strip.head {
            Some(head) if self.filled <= 0.0 => self.draw(Strip::clone(head)),
            _ => {}
        }
        self.draw(strip);
    }

    fn draw(&mut self, strip: Strip) {
        let over = if self.filled > 0.0 { self.below.max(strip.above) } else { 0.0 };
        let at = DVec2::new(0.0, self.filled + over);
        if let Some(page) = self.pages.last_mut() {
            page.extend(strip.shapes.into_iter().map(|shape| shape.moved(at)));
        }
        self.filled = at.y + strip.height;
        self.below = strip.below;
    }

    fn turn(&mut self) {
        self.pages.push(Vec::new());
        self.filled = 0.0;
        self.below = 0.0;
    }

    /// Height that is left on the last page.
    pub(crate) fn left(&self) -> f64 {
        self.room - self.filled
    }

    /// What stands on each page.
    pub(crate) fn pages(self) -> Vec<Vec<Shape>> {
        self.pages
    }
}

/// Height of strips under each other, without the room over the first.
fn height(group: &[Strip]) -> f64 {
    let gaps = group.windows(2).map(|pair| pair[0].below.max(pair[1].above));
    group.iter().map(|strip| strip.height).sum::<f64>() + gaps.sum::<f64>()
}

#[cfg(test)]
mod tests {
    use std::rc::Rc;

    use super::*;
    use crate::typesetting::shape::{INK, frame};

    fn strip(height: f64, keep: bool) -> Strip {
        let shapes = vec![frame(DVec2::ZERO, DVec2::new(10.0, height), INK)];
        Strip { height, above: 2.0, below: 3.0, keep, shapes, head: None }
    }

    fn tops(pages: &[Vec<Shape>]) -> Vec<Vec<f64>> {
        let top = |shape: &Shape| match shape {
            Shape::Rectangle { at, .. } => at.y,
            _ => f64::NAN,
        };
        pages.iter().map(|page| page.iter().map(top).collect()).collect()
    }

    #[test]
    fn what_is_kept_together_turns_the_page_together() {
        let mut flow = Flow::new(100.0);
        flow.add(vec![strip(40.0, false), strip(30.0, true), strip(40.0, false)]);
        assert!((flow.left() - 27.0).abs() < 1e-9);
        assert_eq!(tops(&flow.pages()), [vec![0.0], vec![0.0, 33.0]]);
    }

    #[test]
    fn what_no_page_holds_is_broken() {
        let mut flow = Flow::new(100.0);
        flow.add(vec![strip(40.0, true), strip(40.0, true), strip(40.0, false)]);
        assert_eq!(tops(&flow.pages()), [vec![0.0, 43.0], vec![0.0]]);
    }

    #[test]
    fn a_head_is_repeated_on_the_next_page() {
        let head = Strip { head: None, ..strip(10.0, true) };
        let row = || Strip { head: Some(Rc::new(head.clone())), ..strip(30.0, false) };
        let mut flow = Flow::new(100.0);
        flow.add(vec![head.clone(), row(), row(), row()]);
        assert_eq!(tops(&flow.pages()), [vec![0.0, 13.0, 46.0], vec![0.0, 13.0]]);
    }
}
