//! Bands and columns as a terminal tells them.

/// A band of whole numbers; one where its ends are alike.
pub(crate) fn span([low, high]: [f64; 2]) -> String {
    let [low, high] = [low, high].map(|x| format!("{x:.0}"));
    if low == high { low } else { format!("{low} to {high}") }
}

/// A band of hundredths; one where its ends are alike.
pub(crate) fn hundredths([low, high]: [f64; 2]) -> String {
    let [low, high] = [low, high].map(|x| format!("{x:.2}"));
    if low == high { low } else { format!("{low} to {high}") }
}

/// The breadth of a column that holds these words.
pub(crate) fn widest<'a>(words: impl Iterator<Item = &'a String>) -> usize {
    words.map(|w| w.chars().count()).max().unwrap_or(0).max("steel".len())
}

/// A count with its noun, which takes an s from two on.
pub(crate) fn counted(count: usize, noun: &str) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}
