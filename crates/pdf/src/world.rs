//! What the typesetter can see: one template, one data file, the pictures, the typefaces.
//!
//! In: the data and pictures of one report. Out: the files and fonts that the typesetter asks for.
//! Not here: the disk, the clock, installed fonts, packages.

use super::data::Data;
use std::collections::BTreeMap;
use std::sync::LazyLock;
use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};

const TEMPLATE: &str = include_str!("report.typ");

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

/// The files of one report.
pub(super) struct ReportWorld {
    main: Source,
    files: BTreeMap<String, Bytes>,
}

impl ReportWorld {
    /// Makes the world of one report.
    pub(super) fn new(data: Data) -> Self {
        let mut files = data.pictures;
        files.insert(
            "data.json".to_owned(),
            Bytes::from_string(data.json.to_string()),
        );
        let path = VirtualPath::new("report.typ").expect("the name is a plain file name");
        let id = RootedPath::new(VirtualRoot::Project, path).intern();
        Self {
            main: Source::new(id, TEMPLATE.to_owned()),
            files,
        }
    }
}

impl World for ReportWorld {
    fn library(&self) -> &LazyHash<Library> {
        &FIXED.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &FIXED.book
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
        FIXED.fonts.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}
