//! Counts and figures in words.

/// A count with its noun, which takes an s from two on.
pub(crate) fn counted(count: usize, noun: &str) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}

/// A number of turns: to a hundredth, which is as near as a bar is turned by eye.
pub(crate) fn turns(turns: f64) -> String {
    format!("{turns:.2}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_of_a_kind_has_no_s() {
        assert_eq!([counted(1, "layer"), counted(9, "layer")], ["1 layer", "9 layers"]);
    }
}
