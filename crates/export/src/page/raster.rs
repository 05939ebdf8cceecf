//! A picture of dots, and its bytes as PNG (ISO/IEC 15948).

use ::png::{BitDepth, ColorType, DeflateCompression, Encoder, Filter, Info, PixelDimensions, Unit};

use crate::fault::ExportFault;

/// A picture of dots in sRGB colours.
#[derive(Clone, Copy, Debug)]
pub struct Raster<'a> {
    /// Dots across.
    pub width: u32,
    /// Dots from top to bottom.
    pub height: u32,
    /// Red, green and blue of each dot, row by row from the top, each row from the left.
    pub rgb: &'a [u8],
}

impl<'a> Raster<'a> {
    /// A picture of this many dots across and from top to bottom, and its colours.
    ///
    /// # Errors
    /// [`ExportFault::Raster`] for more of them than the format can hold.
    pub fn new(width: usize, height: usize, rgb: &'a [u8]) -> Result<Raster<'a>, ExportFault> {
        let dots = |count: usize| {
            u32::try_from(count).map_err(|_| ExportFault::Raster { width, height, bytes: rgb.len() })
        };
        Ok(Raster { width: dots(width)?, height: dots(height)?, rgb })
    }

    /// The picture as PNG, which tells its size in print where `dots_per_metre` are given.
    ///
    /// # Errors
    /// [`ExportFault::Raster`] without dots or when bytes and dots differ in number, [`ExportFault::Density`]
    /// for a density that the format cannot hold.
    pub(crate) fn png(&self, dots_per_metre: Option<u32>) -> Result<Vec<u8>, ExportFault> {
        self.whole()?;
        let mut info = Info::with_size(self.width, self.height);
        (info.color_type, info.bit_depth) = (ColorType::Rgb, BitDepth::Eight);
        info.pixel_dims = dots_per_metre.map(square).transpose()?;
        // The format's usual filters and level: small pictures of layers gain most by them.
        encoded(info, self.rgb, Filter::Adaptive, 6)
    }

    /// The colours with a fourth byte for each dot: opaque.
    ///
    /// # Errors
    /// [`ExportFault::Raster`] without dots or when bytes and dots differ in number.
    pub fn rgba(&self) -> Result<Vec<u8>, ExportFault> {
        self.whole()?;
        Ok(self.rgb.chunks_exact(3).flat_map(|dot| [dot[0], dot[1], dot[2], u8::MAX]).collect())
    }

    /// Fails unless every dot has its three bytes and there is one at least.
    pub(crate) fn whole(&self) -> Result<(), ExportFault> {
        let Raster { width, height, rgb } = *self;
        // Three times two 32-bit numbers' product fits 128 bits.
        match width > 0 && height > 0 && u128::from(width) * u128::from(height) * 3 == rgb.len() as u128 {
            true => Ok(()),
            false => {
                Err(ExportFault::Raster { width: width as usize, height: height as usize, bytes: rgb.len() })
            }
        }
    }
}

/// The file of dots told by `info`, its rows filtered and pressed so hard (of 9).
pub(crate) fn encoded(
    info: Info<'_>,
    dots: &[u8],
    filter: Filter,
    level: u8,
) -> Result<Vec<u8>, ExportFault> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::with_info(&mut bytes, info).map_err(ExportFault::writer)?;
    encoder.set_filter(filter);
    encoder.set_deflate_compression(DeflateCompression::Level(level));
    let mut writer = encoder.write_header().map_err(ExportFault::writer)?;
    writer.write_image_data(dots).map_err(ExportFault::writer)?;
    writer.finish().map_err(ExportFault::writer)?;
    Ok(bytes)
}

/// Square dots of this many to the metre; the format's whole numbers end at 2^31 - 1 (§7.1).
fn square(dots: u32) -> Result<PixelDimensions, ExportFault> {
    match i32::try_from(dots) {
        Ok(1..) => Ok(PixelDimensions { xppu: dots, yppu: dots, unit: Unit::Meter }),
        _ => Err(ExportFault::Density { dots }),
    }
}

#[cfg(test)]
mod tests {
    use ::png::Decoder;

    use super::*;

    /// Red and green over blue and white.
    const FOUR: Raster<'static> =
        Raster { width: 2, height: 2, rgb: &[255, 0, 0, 0, 255, 0, 0, 0, 255, 255, 255, 255] };

    #[test]
    fn dots_and_density_read_back() {
        let bytes = FOUR.png(Some(11_811)).unwrap();
        let mut reader = Decoder::new(std::io::Cursor::new(&bytes)).read_info().unwrap();
        let dimensions = reader.info().pixel_dims.unwrap();
        assert_eq!((dimensions.xppu, dimensions.yppu, dimensions.unit), (11_811, 11_811, Unit::Meter));
        let mut dots = vec![0; reader.output_buffer_size().unwrap()];
        let frame = reader.next_frame(&mut dots).unwrap();
        assert_eq!((frame.width, frame.height, frame.color_type), (2, 2, ColorType::Rgb));
        assert_eq!(dots, FOUR.rgb);
        assert_eq!(bytes, FOUR.png(Some(11_811)).unwrap());
        assert_eq!(FOUR.rgba().unwrap()[4..12], [0, 255, 0, 255, 0, 0, 255, 255]);
    }

    #[test]
    fn without_density_none_is_written() {
        let bytes = FOUR.png(None).unwrap();
        let chunks = |bytes: &[u8], name: &[u8]| bytes.windows(4).filter(|four| *four == name).count();
        assert_eq!((chunks(&bytes, b"pHYs"), chunks(&bytes, b"IDAT")), (0, 1));
        assert_eq!(chunks(&FOUR.png(Some(1)).unwrap(), b"pHYs"), 1);
    }

    #[test]
    fn wrong_sizes_and_densities_are_refused() {
        for (width, height) in [(2, 3), (0, 2), (0, 0), (u32::MAX, u32::MAX)] {
            let fault = ExportFault::Raster { width: width as usize, height: height as usize, bytes: 12 };
            assert_eq!(Raster { width, height, ..FOUR }.png(None), Err(fault));
        }
        let none = Raster { width: 0, height: 0, rgb: &[] };
        assert_eq!(none.png(None), Err(ExportFault::Raster { width: 0, height: 0, bytes: 0 }));
        for dots in [0, 1 << 31, u32::MAX] {
            assert_eq!(FOUR.png(Some(dots)), Err(ExportFault::Density { dots }));
        }
    }
}
