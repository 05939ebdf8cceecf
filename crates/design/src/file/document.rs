//! The file as a tree of values that know their place in it.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};
use toml_parser::lexer::TokenKind;

use crate::file::problem::{Fault, Problem, Problems};
use crate::file::syntax;
use crate::unit::quantity::LENGTH;

/// Largest file read, bytes. The largest sensible design stays under a tenth of it.
pub(crate) const MOST_BYTES: usize = 1 << 20;
/// Most dots in one dotted key. The format needs one; the parser's tree, dropped by recursion, bears many more.
const MOST_DOTS: usize = 8;

/// A parsed file, nothing checked but its syntax.
#[derive(Debug)]
pub(crate) struct Document<'t> {
    root: Spanned<DeValue<'t>>,
}

/// The text of a file's bytes.
pub(crate) fn text(bytes: &[u8]) -> Result<&str, Vec<Problem>> {
    if bytes.len() > MOST_BYTES {
        return Err(one(0..0, &Fault::TooLarge { bytes: bytes.len(), most: MOST_BYTES }));
    }
    std::str::from_utf8(bytes).map_err(|e| {
        let start = e.valid_up_to();
        one(start..(start + e.error_len().unwrap_or(1)).min(bytes.len()), &Fault::NotText {})
    })
}

fn one(span: Range<usize>, fault: &Fault) -> Vec<Problem> {
    let mut found = Problems::default();
    found.add("", span, fault);
    found.sorted()
}

/// Whether a number is so many sixty-fourths, up to rounding, that three decimals do not tell it.
fn is_of_sixty_fourths(number: f64) -> bool {
    let is_whole = |x: f64| x.is_finite() && (x - x.round()).abs() < 1e-9;
    is_whole(64.0 * number) && !is_whole(1000.0 * number)
}

impl<'t> Document<'t> {
    /// Parses `text`; the problem is its first syntax error.
    pub(crate) fn parse(text: &'t str) -> Result<Document<'t>, Vec<Problem>> {
        if let Some(span) = too_deep(text) {
            return Err(one(span, &Fault::TooDeep {}));
        }
        match DeTable::parse(text) {
            Ok(root) => Ok(Document { root: Spanned::new(0..0, DeValue::Table(root.into_inner())) }),
            Err(e) => {
                let span = e.span().unwrap_or(0..0);
                let span = span.start.min(text.len())..span.end.min(text.len());
                let deep = e.message().contains("recurse");
                let fault = match deep {
                    true => Fault::TooDeep {},
                    false => Fault::Syntax {
                        what: syntax::cause(text, span.start, e.message()),
                        remedy: syntax::remedy(text, span.start, e.message()),
                    },
                };
                Err(one(span, &fault))
            }
        }
    }

    pub(crate) fn root(&self) -> &Spanned<DeValue<'t>> {
        &self.root
    }

    /// Whether any value of the file is a length written as a fraction, or a number with the decimals of one: 5.90625 is 5 29/32.
    pub(crate) fn has_fractions(&self) -> bool {
        fn is_fraction(value: &Spanned<DeValue>) -> bool {
            match value.get_ref() {
                DeValue::String(text) => text.contains('/') && LENGTH.parse(text).is_ok(),
                DeValue::Float(number) => number.as_str().parse().is_ok_and(is_of_sixty_fourths),
                DeValue::Array(list) => list.iter().any(is_fraction),
                DeValue::Table(table) => table.values().any(is_fraction),
                _ => false,
            }
        }
        is_fraction(&self.root)
    }

    /// The value at `path`, if the file has it.
    pub(crate) fn value(&self, path: &str) -> Option<&DeValue<'t>> {
        steps(path).try_fold(&self.root, |value, step| step.inside(value)).map(Spanned::get_ref)
    }

    /// Whether the file gives the field at `path`.
    pub(crate) fn has(&self, path: &str) -> bool {
        self.value(path).is_some()
    }

    /// Place of the value at `path`, or of the nearest table around it that the file has.
    pub(crate) fn span(&self, path: &str) -> Range<usize> {
        let mut value = &self.root;
        for step in steps(path) {
            match step.inside(value) {
                Some(next) => value = next,
                None => break,
            }
        }
        value.span()
    }

    /// Place of the key at `path`, or of what [`Document::span`] finds.
    pub(crate) fn key_span(&self, path: &str) -> Range<usize> {
        let (table, key) = path.rsplit_once('.').unwrap_or(("", path));
        let found = steps(table).try_fold(&self.root, |value, step| step.inside(value));
        let key = found.and_then(|t| t.get_ref().as_table()?.get_key_value(key));
        key.map_or_else(|| self.span(path), |(key, _)| key.span())
    }
}

/// One step of a path.
enum Step<'p> {
    Key(&'p str),
    Index(usize),
}

impl Step<'_> {
    fn inside<'v, 't>(&self, value: &'v Spanned<DeValue<'t>>) -> Option<&'v Spanned<DeValue<'t>>> {
        match (self, value.get_ref()) {
            (Step::Key(key), DeValue::Table(table)) => table.get(*key),
            (Step::Index(i), DeValue::Array(array)) => array.get(*i),
            _ => None,
        }
    }
}

/// The steps of a path such as `tang.hole[0].at`.
fn steps(path: &str) -> impl Iterator<Item = Step<'_>> {
    path.split(['.', '[']).filter(|s| !s.is_empty()).map(|s| {
        let index = s.strip_suffix(']').and_then(|i| i.parse().ok());
        index.map_or(Step::Key(s), Step::Index)
    })
}

/// The first key with too many dots.
fn too_deep(text: &str) -> Option<Range<usize>> {
    let (mut dots, mut start) = (0, 0);
    for token in toml_parser::Source::new(text).lex() {
        match token.kind() {
            TokenKind::Dot => dots += 1,
            TokenKind::Atom | TokenKind::Whitespace => {}
            TokenKind::BasicString | TokenKind::LiteralString => {}
            TokenKind::MlBasicString | TokenKind::MlLiteralString => {}
            _ => (dots, start) = (0, token.span().end()),
        }
        if dots > MOST_DOTS {
            return Some(start..token.span().end());
        }
    }
    None
}
