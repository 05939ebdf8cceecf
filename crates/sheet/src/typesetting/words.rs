//! Words from the design file as they may stand on paper.

/// Letters after which a word without a gap may be broken: what the narrowest column of names holds of the widest letters.
const LONGEST: usize = 12;

/// The text with invisible breaks in words longer than 12 letters, so that no name runs off its column.
pub(crate) fn breakable(text: &str) -> String {
    let mut broken = String::new();
    let mut run = 0;
    for letter in text.chars() {
        run = if letter.is_whitespace() { 0 } else { run + 1 };
        broken.push(letter);
        if run == LONGEST {
            broken.push('\u{200b}');
            run = 0;
        }
    }
    broken
}

/// A count with its noun, which takes an s from two on.
pub(crate) fn counted(count: usize, noun: &str) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}

/// A number of turns: to a hundredth, which is as near as a bar is turned by eye.
pub(crate) fn turns(turns: f64) -> String {
    format!("{turns:.2}")
}

/// A mass, g: to a gram, as the bench scales tell it.
pub(crate) fn grams(mass: f64) -> String {
    format!("{mass:.0}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_long_words_are_broken() {
        assert_eq!(breakable("Toll keeper's langseax"), "Toll keeper's langseax");
        let broken = breakable(&format!("a {}", "x".repeat(40)));
        assert_eq!(broken.matches('\u{200b}').count(), 3);
        assert_eq!(broken.replace('\u{200b}', ""), format!("a {}", "x".repeat(40)));
        assert_eq!([counted(1, "layer"), counted(9, "layer")], ["1 layer", "9 layers"]);
    }
}
