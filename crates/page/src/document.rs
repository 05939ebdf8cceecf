//! The neutral document: what stands on a page, free of any markup.

use serde::Serialize;

/// A table. The first cell of a row names it.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub(crate) struct Table {
    /// What it tells.
    pub(crate) caption: String,
    /// The columns' heads.
    pub(crate) head: Vec<String>,
    /// Its rows.
    pub(crate) rows: Vec<Vec<Cell>>,
}

/// A cell: words, or links.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub(crate) struct Cell {
    pub(crate) text: String,
    pub(crate) links: Vec<Link>,
}

/// Words that lead somewhere.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Link {
    pub(crate) text: String,
    /// A file beside the page, or `#` and a place on it.
    pub(crate) to: String,
    /// What it opens, for those who hear the link alone.
    pub(crate) label: String,
}

impl From<String> for Cell {
    fn from(text: String) -> Cell {
        Cell { text, links: Vec::new() }
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Cell {
        text.to_owned().into()
    }
}

/// A step: what is done and what it then measures.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Step {
    pub(crate) what: String,
    pub(crate) then: String,
    /// Further lines under it.
    pub(crate) more: Vec<String>,
}

/// A fact: its name, its figure, and words on it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Fact {
    pub(crate) name: String,
    pub(crate) figure: String,
    pub(crate) words: Vec<String>,
}

/// A colour with its name.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Swatch {
    pub(crate) name: String,
    /// As `#rrggbb`, one or more.
    pub(crate) colours: Vec<String>,
}

/// A piece of a section.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "lowercase", tag = "kind", content = "of")]
pub(crate) enum Block {
    /// A heading below the section's own.
    Heading(String),
    /// A paragraph.
    Words(String),
    /// A list without order.
    List(Vec<String>),
    /// Steps in their order.
    Steps(Vec<Step>),
    /// A table.
    Table(Table),
    /// Facts.
    Facts(Vec<Fact>),
}

/// A drawing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Drawn {
    /// The SVG element; its texts are escaped already.
    pub(crate) svg: String,
    /// The line under it.
    pub(crate) caption: String,
}

/// A part of the page with a heading.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Section {
    /// Its place, for links: letters and dashes.
    pub(crate) id: &'static str,
    pub(crate) title: String,
    pub(crate) blocks: Vec<Block>,
}

/// What to do with some parts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Task {
    pub(crate) id: &'static str,
    pub(crate) title: &'static str,
    /// What it means, in a sentence or two.
    pub(crate) lead: String,
    pub(crate) families: Vec<Family>,
}

/// Parts that are used alike.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Family {
    pub(crate) title: String,
    /// What they are for and what to mind.
    pub(crate) note: String,
    /// What they are made of.
    pub(crate) material: String,
    /// How to lay them.
    pub(crate) lay: String,
    pub(crate) cards: Vec<Card>,
}

/// One part with its picture and its files.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Card {
    /// Its place, for links.
    pub(crate) id: String,
    pub(crate) title: String,
    /// Its size, or nothing where it has none.
    pub(crate) size: String,
    /// Its picture as SVG; empty where there is none.
    pub(crate) svg: String,
    pub(crate) files: Vec<Link>,
}
