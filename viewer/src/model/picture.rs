//! Pictures as the graphics card takes them, with smaller copies for views from far off.

use laminate::Curve;

use crate::model::pieces::Pixels;

/// A picture, sRGB and opaque, and its smaller copies.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Picture {
    pub(crate) whole: Level,
    /// Each half as wide and as high as the one before, the first half as large as the whole.
    smaller: Vec<Level>,
}

/// One size of a picture: pixels of red, green, blue and opacity, row by row from the top.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Level {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) rgba: Vec<u8>,
}

/// Smaller copies of a picture of layers: the last shows four millimetres as one pixel, where no layer can be told.
const COPIES: usize = 4;

impl Picture {
    /// A picture that is seen in its own size only.
    pub(crate) fn alone(pixels: &Pixels) -> Picture {
        let rgba = pixels.rgb.chunks_exact(3).flat_map(|p| [p[0], p[1], p[2], u8::MAX]).collect();
        let whole = Level { width: pixels.width, height: pixels.height, rgba };
        Picture { whole, smaller: Vec::new() }
    }

    /// A picture with smaller copies: without them fine stripes seen from far off would turn to chequers.
    pub(crate) fn with_copies(pixels: &Pixels) -> Picture {
        let curve = Curve::new();
        let mut picture = Picture::alone(pixels);
        for _ in 0..COPIES {
            let Some(half) = picture.smaller.last().unwrap_or(&picture.whole).halved(&curve) else { break };
            picture.smaller.push(half);
        }
        picture
    }

    /// All its sizes, the largest first.
    pub(crate) fn levels(&self) -> impl Iterator<Item = &Level> {
        std::iter::once(&self.whole).chain(&self.smaller)
    }
}

impl Level {
    /// A copy half as wide and as high, rounded down: four pixels become one of as much light. `None` of a single row or column.
    fn halved(&self, curve: &Curve) -> Option<Level> {
        let (width, height) = (self.width / 2, self.height / 2);
        if width == 0 || height == 0 {
            return None;
        }
        let mut rgba = Vec::with_capacity(4 * width * height);
        for y in 0..height {
            let row = |y: usize| &self.rgba[4 * self.width * y..4 * self.width * (y + 1)];
            let pairs = row(2 * y).chunks_exact(8).zip(row(2 * y + 1).chunks_exact(8));
            for (upper, lower) in pairs.take(width) {
                let mean = |c: usize| mean(curve, [upper[c], upper[c + 4], lower[c], lower[c + 4]]);
                rgba.extend([mean(0), mean(1), mean(2), u8::MAX]);
            }
        }
        Some(Level { width, height, rgba })
    }
}

/// The stored value of the mean light of four.
fn mean(curve: &Curve, values: [u8; 4]) -> u8 {
    let sum: f32 = values.iter().map(|v| curve.linear(*v)).sum();
    curve.stored(0.25 * sum)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pixels(width: usize, height: usize, value: impl Fn(usize, usize) -> u8) -> Pixels {
        let rgb = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
        Pixels { width, height, rgb: rgb.flat_map(|(x, y)| [value(x, y); 3]).collect() }
    }

    /// Black and white in equal parts are as bright as a grey of 188: half the light, by the curve of IEC 61966-2-1.
    #[test]
    fn stripes_become_the_grey_that_shines_alike() {
        let picture = Picture::with_copies(&pixels(64, 32, |x, _| if x % 2 == 0 { 0 } else { 255 }));
        let sizes: Vec<_> = picture.levels().map(|l| (l.width, l.height)).collect();
        assert_eq!(sizes, [(64, 32), (32, 16), (16, 8), (8, 4), (4, 2)]);
        for level in &picture.smaller {
            assert!(level.rgba.chunks(4).all(|p| p == [188, 188, 188, 255]), "{:?}", &level.rgba[..4]);
        }
    }

    #[test]
    fn one_colour_stays_itself_in_every_size() {
        for value in 0..=255 {
            for (width, height) in [(1, 1), (1, 9), (2, 2), (7, 5), (33, 17)] {
                let picture = Picture::with_copies(&pixels(width, height, |_, _| value));
                for level in picture.levels() {
                    assert_eq!(level.rgba.len(), 4 * level.width * level.height);
                    assert!(level.rgba.chunks(4).all(|p| p == [value, value, value, 255]), "{value}");
                }
            }
        }
        assert_eq!(Picture::alone(&pixels(64, 64, |_, _| 9)).levels().count(), 1);
    }
}
