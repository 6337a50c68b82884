//! The typesetter, shut off from everything: no disk, no clock, no network.
//!
//! In: a template of ours and plain data. Out: PDF bytes, the same for the same
//! data. Data reaches the template as JSON values and is never read as markup.

use crate::PaperError;
use serde::Serialize;
use std::sync::LazyLock;
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::PdfOptions;

/// A template: the name of its paper and its text.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Template {
    /// Identifies the kind of paper inside the PDF.
    pub(crate) name: &'static str,
    /// The text, after that of `common.typ`.
    pub(crate) text: &'static str,
}

const COMMON: &str = include_str!("../templates/common.typ");

static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| LazyHash::new(Library::default()));
static FONTS: LazyLock<Vec<Font>> = LazyLock::new(|| {
    let files: [&'static [u8]; 8] = [
        include_bytes!("../fonts/AtkinsonHyperlegibleNext-Regular.ttf"),
        include_bytes!("../fonts/AtkinsonHyperlegibleNext-Bold.ttf"),
        include_bytes!("../fonts/NotoSans-Regular.ttf"),
        include_bytes!("../fonts/NotoSans-Bold.ttf"),
        include_bytes!("../fonts/NotoSansArabic-Regular.ttf"),
        include_bytes!("../fonts/NotoSansArabic-Bold.ttf"),
        include_bytes!("../fonts/NotoSansHebrew-Regular.ttf"),
        include_bytes!("../fonts/NotoSansHebrew-Bold.ttf"),
    ];
    files.into_iter().flat_map(|file| Font::iter(Bytes::new(file))).collect()
});
static BOOK: LazyLock<LazyHash<FontBook>> = LazyLock::new(|| LazyHash::new(FontBook::from_fonts(FONTS.iter())));

/// What the typesetter sees: one source, one data file, the fonts.
struct Desk {
    main: Source,
    data: (FileId, Bytes),
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &BOOK
    }

    fn main(&self) -> FileId {
        self.main.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.main.id() { Ok(self.main.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        if id == self.data.0 { Ok(self.data.1.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}

/// Sets `data` by `template`.
///
/// Fails only by a fault of ours: a template that does not fit its data.
pub(crate) fn set(template: Template, data: &impl Serialize) -> Result<Vec<u8>, PaperError> {
    let data = serde_json::to_vec(data).map_err(|fault| PaperError::OwnFault(fault.to_string()))?;
    let main = Source::new(named("paper.typ")?, [COMMON, template.text].concat());
    let desk = Desk { main, data: (named("data.json")?, Bytes::new(data)) };
    let document = typst::compile::<PagedDocument>(&desk).output.map_err(|faults| told(&desk, &faults))?;
    let options = PdfOptions {
        ident: Smart::Custom(template.name.to_owned()),
        creator: Smart::Custom(Some("Bondline".to_owned())),
        timestamp: None,
        ..PdfOptions::default()
    };
    let bytes = typst_pdf::pdf(&document, &options).map_err(|faults| told(&desk, &faults));
    // What was remembered for this paper is of no use for the next.
    typst::comemo::evict(0);
    bytes
}

fn named(path: &str) -> Result<FileId, PaperError> {
    let path = VirtualPath::new(path).map_err(|_| PaperError::OwnFault(format!("{path} is no path")))?;
    Ok(RootedPath::new(VirtualRoot::Project, path).intern())
}

fn told(desk: &Desk, faults: &[SourceDiagnostic]) -> PaperError {
    let place = |fault: &SourceDiagnostic| {
        let range = typst::WorldExt::range(desk, fault.span);
        range.and_then(|range| desk.main.lines().byte_to_line(range.start)).map_or(0, |line| line + 1)
    };
    let lines: Vec<String> = faults.iter().map(|fault| format!("line {}: {}", place(fault), fault.message)).collect();
    PaperError::OwnFault(lines.join("; "))
}
