//! How much a measured file may hold: more than any blade's history has, and as much as is read and judged in two
//! seconds.

/// Bytes a measured file may have, as a design file.
pub(crate) const MOST_BYTES: usize = 1 << 20;
/// Rows with anything in them, the header among them: the blank table of the longest blade has a few hundred.
pub(crate) const MOST_ROWS: usize = 10_000;
/// Columns: those that are read, planned ones, and half a hundred of the smith's own.
pub(crate) const MOST_COLUMNS: usize = 64;
/// Readings of one day and stage: the fit takes the cube of their number, and this many of all sorts take a second.
pub(crate) const MOST_READINGS: usize = 300;
/// Readings of all days: two full days of them, or a month of twenty a day.
pub(crate) const MOST_OF_ALL: usize = 600;
/// Days, each stage of a day counted: each takes a fiftieth of a second, however little was read.
pub(crate) const MOST_DAYS: usize = 60;
/// Problems told for one file: nobody reads more.
pub(crate) const MOST_PROBLEMS: usize = 100;
