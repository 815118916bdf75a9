//! What the typesetter can see: one template, one data file, the pictures, the typefaces.
//!
//! In: the data, pictures and added typefaces of one report. Out: the files and fonts that the typesetter asks for.
//! Not here: the disk, the clock, packages.

use super::data::Data;
use lettering::Typefaces;
use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock};
use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};

/// What all templates share.
const COMMON: &str = include_str!("common.typ");
/// Chips and steps as cards.
const CARDS: &str = include_str!("cards.typ");

/// Which file is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Template {
    /// Report and working.
    Report,
    /// One page.
    Sheet,
}

impl Template {
    fn text(self) -> String {
        match self {
            Self::Report => [COMMON, CARDS, include_str!("report.typ")].join("\n"),
            Self::Sheet => [COMMON, include_str!("sheet.typ")].join("\n"),
        }
    }
}

/// Families taken from the typesetting library; the others (mathematics) are not needed.
const FAMILIES: [&str; 2] = ["Libertinus Serif", "DejaVu Sans Mono"];

/// Sans-serif faces shipped with this crate.
const SANS: [&[u8]; 3] = [
    include_bytes!("../fonts/Inter-Regular.otf"),
    include_bytes!("../fonts/Inter-Italic.otf"),
    include_bytes!("../fonts/Inter-SemiBold.otf"),
];

/// What never changes between reports.
struct Fixed {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
}

static FIXED: LazyLock<Fixed> = LazyLock::new(|| {
    let fonts: Vec<Font> = SANS
        .into_iter()
        .chain(typst_assets::fonts())
        .flat_map(|bytes| Font::iter(Bytes::new(bytes)))
        .filter(|f| f.info().family == "Inter" || FAMILIES.contains(&f.info().family.as_str()))
        .collect();
    Fixed {
        library: LazyHash::new(Library::default()),
        book: LazyHash::new(FontBook::from_fonts(&fonts)),
        fonts,
    }
});

/// Returns the packed typefaces, one file each.
pub(super) fn faces() -> impl Iterator<Item = &'static [u8]> {
    SANS.into_iter().chain(typst_assets::fonts())
}

/// The files of one report.
pub(super) struct ReportWorld {
    main: Source,
    files: BTreeMap<String, Bytes>,
    /// The typefaces with those that this report adds; none where it adds none.
    added: Option<(LazyHash<FontBook>, Vec<Font>)>,
}

impl ReportWorld {
    /// Makes the world of one file.
    pub(super) fn new(template: Template, data: Data, typefaces: &Typefaces) -> Self {
        let mut files = data.pictures;
        files.insert(
            "data.json".to_owned(),
            Bytes::from_string(data.json.to_string()),
        );
        Self {
            main: source("report.typ", &template.text()),
            files,
            added: (!typefaces.added.is_empty()).then(|| with(typefaces)),
        }
    }
}

fn source(name: &str, text: &str) -> Source {
    let path = VirtualPath::new(name).expect("the name is a plain file name");
    let id = RootedPath::new(VirtualRoot::Project, path).intern();
    Source::new(id, text.to_owned())
}

/// Returns the fixed typefaces followed by the added ones.
fn with(typefaces: &Typefaces) -> (LazyHash<FontBook>, Vec<Font>) {
    let mut fonts = FIXED.fonts.clone();
    fonts.extend(typefaces.added.iter().filter_map(|t| {
        let bytes = Bytes::new(Shared(Arc::clone(&t.bytes)));
        Font::new(bytes, t.index)
    }));
    (LazyHash::new(FontBook::from_fonts(&fonts)), fonts)
}

/// Bytes that the document and the typesetter hold together.
struct Shared(Arc<[u8]>);

impl AsRef<[u8]> for Shared {
    fn as_ref(&self) -> &[u8] {
        &self.0
    }
}

impl World for ReportWorld {
    fn library(&self) -> &LazyHash<Library> {
        &FIXED.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        self.added.as_ref().map_or(&FIXED.book, |(book, _)| book)
    }

    fn main(&self) -> FileId {
        self.main.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.main.id() {
            Ok(self.main.clone())
        } else {
            Err(FileError::AccessDenied)
        }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.files
            .get(id.get().vpath().get_without_slash())
            .cloned()
            .ok_or(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        let fonts = self.added.as_ref().map_or(&FIXED.fonts, |(_, fonts)| fonts);
        fonts.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}
