//! Setting pages: markup, data and pictures from memory, two faces of type, and nothing of the machine.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::PdfOptions;

use crate::fault::SheetFault;

/// Fira Sans (SIL Open Font License, `fonts/OFL.txt`): figures of one width, and told apart at arm's length.
const FACES: [&[u8]; 2] =
    [include_bytes!("../../fonts/FiraSans-Regular.ttf"), include_bytes!("../../fonts/FiraSans-SemiBold.ttf")];

/// The markup.
const MARKUP: [(&str, &str); 5] = [
    ("sheet.typ", include_str!("../typst/sheet.typ")),
    ("look.typ", include_str!("../typst/look.typ")),
    ("blade.typ", include_str!("../typst/blade.typ")),
    ("forge.typ", include_str!("../typst/forge.typ")),
    ("bench.typ", include_str!("../typst/bench.typ")),
];

/// What does not change from sheet to sheet.
static SHOP: LazyLock<(LazyHash<Library>, LazyHash<FontBook>, Vec<Font>)> = LazyLock::new(|| {
    let fonts: Vec<Font> = FACES.iter().flat_map(|face| Font::iter(Bytes::new(*face))).collect();
    (LazyHash::new(Library::default()), LazyHash::new(FontBook::from_fonts(&fonts)), fonts)
});

/// One sheet's files.
struct Press {
    main: FileId,
    files: BTreeMap<String, Bytes>,
}

/// Pages set from the markup, `main` of it first, with these files beside it: the PDF, and how many pages it has. It bears no date.
///
/// # Errors
/// [`SheetFault::Pages`] when the markup does not fit the files.
pub(crate) fn pdf(main: &str, files: BTreeMap<String, Bytes>) -> Result<(Vec<u8>, usize), SheetFault> {
    let mut files = files;
    files.extend(MARKUP.iter().map(|(name, text)| ((*name).to_owned(), Bytes::from_string(*text))));
    let path = VirtualPath::new(main).map_err(|why| pages(format!("{why:?}")))?;
    let press = Press { main: RootedPath::new(VirtualRoot::Project, path).intern(), files };
    let document = typst::compile::<PagedDocument>(&press).output.map_err(|why| wrong(&why))?;
    let options =
        PdfOptions { creator: Smart::Custom(Some("Seaxwright".to_owned())), ..PdfOptions::default() };
    let bytes = typst_pdf::pdf(&document, &options).map_err(|why| wrong(&why))?;
    Ok((bytes, document.pages().len()))
}

fn pages(reason: String) -> SheetFault {
    SheetFault::Pages { reason }
}

fn wrong(why: &[SourceDiagnostic]) -> SheetFault {
    pages(why.iter().map(|d| d.message.to_string()).collect::<Vec<_>>().join("; "))
}

impl World for Press {
    fn library(&self) -> &LazyHash<Library> {
        &SHOP.0
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &SHOP.1
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        let bytes = self.file(id)?;
        let text = std::str::from_utf8(&bytes).map_err(|_| FileError::InvalidUtf8)?;
        Ok(Source::new(id, text.to_owned()))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        let name = id.get().vpath().get_without_slash();
        self.files.get(name).cloned().ok_or_else(|| FileError::NotFound(name.into()))
    }

    fn font(&self, index: usize) -> Option<Font> {
        SHOP.2.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
