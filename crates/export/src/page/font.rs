//! The one typeface of all drawings: Hack, openly licensed, carried in the program.

/// The typeface, TrueType.
pub(crate) const BYTES: &[u8] = epaint_default_fonts::HACK_REGULAR;

/// Its name.
pub(crate) const FAMILY: &str = "Hack";

/// Height of its capitals over its size: 1493 of 2048 units (the font's own OS/2 table, `sCapHeight`).
pub(crate) const CAPITALS: f64 = 1493.0 / 2048.0;

/// Width of each of its letters over its size: 1233 of 2048 units (the font's own `hmtx` table).
pub(crate) const ADVANCE: f64 = 1233.0 / 2048.0;

/// How far letters with accents reach above the base line, over the size: 1901 of 2048 units (`hhea` table).
pub(crate) const ASCENT: f64 = 1901.0 / 2048.0;

/// How far letters reach below the base line, over the size: 483 of 2048 units (`hhea` table).
pub(crate) const DESCENT: f64 = 483.0 / 2048.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_typeface_is_what_the_numbers_say() {
        let mut fonts = usvg::fontdb::Database::new();
        fonts.load_font_data(BYTES.to_vec());
        let face = fonts.faces().next().unwrap();
        assert_eq!((face.families[0].0.as_str(), face.monospaced), (FAMILY, true));
        let ratios = [CAPITALS, ADVANCE, ASCENT, DESCENT].map(|ratio| ratio * 2048.0);
        let found = fonts.with_face_data(face.id, |data, index| {
            let face = ttf_parser::Face::parse(data, index).unwrap();
            let letter = face.glyph_index('H').unwrap();
            assert_eq!(face.units_per_em(), 2048);
            [
                face.capital_height().unwrap(),
                i16::try_from(face.glyph_hor_advance(letter).unwrap()).unwrap(),
                face.ascender(),
                -face.descender(),
            ]
        });
        for (ratio, found) in ratios.iter().zip(found.unwrap()) {
            assert!((ratio - f64::from(found)).abs() < 1e-9, "{ratio} {found}");
        }
    }
}
