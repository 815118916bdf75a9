//! Style sheet, faces and modules of the pages, all inside the binary.
//!
//! In: a path. Out: the file, under an address that changes with its content and so is kept for ever.

use crate::server::Stop;
use axum::extract::Path;
use axum::http::HeaderValue;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use include_dir::{Dir, include_dir};
use report::look::{DARK, EMBEDDED, FACES, LIGHT};
use sha2::{Digest, Sha256};
use std::sync::LazyLock;

static FILES: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/assets");

/// The parts of the style sheet, later ones over earlier ones.
const SHEETS: [&str; 5] = ["base", "frame", "field", "places", "lists"];

/// The whole style sheet: faces, colours, rules.
static STYLE: LazyLock<String> = LazyLock::new(|| {
    let faces = EMBEDDED.iter();
    let mut css: String = faces
        .map(|f| f.rule(&format!("faces/{}", f.file)))
        .collect();
    let (light, dark) = (LIGHT.variables(), DARK.variables());
    css += &format!(
        ":root{{color-scheme:light dark;{FACES};{light}}}\n\
         @media screen and (prefers-color-scheme:dark){{:root:not([data-scheme=light]){{{dark}}}}}\n\
         @media screen{{:root[data-scheme=dark]{{color-scheme:dark;{dark}}}:root[data-scheme=light]{{color-scheme:light}}}}\n"
    );
    for name in SHEETS {
        let file = FILES.get_file(format!("css/{name}.css"));
        css += file.and_then(|f| f.contents_utf8()).unwrap_or_default();
    }
    css
});

/// A word that changes with any of the files.
static VERSION: LazyLock<String> = LazyLock::new(|| {
    let mut digest = Sha256::new();
    digest.update(STYLE.as_bytes());
    let mut folders = vec![&FILES];
    while let Some(folder) = folders.pop() {
        for file in folder.files() {
            digest.update(file.path().to_string_lossy().as_bytes());
            digest.update(file.contents());
        }
        folders.extend(folder.dirs());
    }
    let digest = digest.finalize();
    digest[..8]
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
});

/// Returns the version of the files, which pages hold against that of a server that came back.
pub(crate) fn version() -> &'static str {
    &VERSION
}

/// Returns the address of a file.
pub(crate) fn address(path: &str) -> String {
    format!("/s/{}/{path}", *VERSION)
}

/// Returns the address of a place's own style sheet, if it has one.
pub(crate) fn sheet_of(place: &str) -> Option<String> {
    let path = format!("css/places/{place}.css");
    FILES.get_file(&path).map(|_| address(&path))
}

/// `GET /s/VERSION/PATH`
pub(crate) async fn asset(Path((_, path)): Path<(String, String)>) -> Result<Response, Stop> {
    let face = path.strip_prefix("faces/");
    let face = face.and_then(|name| EMBEDDED.iter().find(|f| f.file == name));
    let (kind, bytes): (_, &'static [u8]) = match (path.as_str(), face) {
        ("workbench.css", _) => ("text/css; charset=utf-8", STYLE.as_bytes()),
        (_, Some(face)) => ("font/woff2", face.bytes),
        (path, None) => {
            let kind = match path.split_once('/') {
                Some(("js", _)) => "text/javascript; charset=utf-8",
                Some(("css", rest)) if rest.starts_with("places/") => "text/css; charset=utf-8",
                _ => return Err(Stop::missing("There is no such file.")),
            };
            let file = FILES.get_file(path);
            let file = file.ok_or_else(|| Stop::missing("There is no such file."))?;
            (kind, file.contents())
        }
    };
    let mut response = bytes.into_response();
    let headers = response.headers_mut();
    headers.insert(CONTENT_TYPE, HeaderValue::from_static(kind));
    let for_ever = HeaderValue::from_static("private, max-age=31536000, immutable");
    headers.insert(CACHE_CONTROL, for_ever);
    Ok(response)
}

/// Returns a file by itself, for pages that are served elsewhere.
pub(crate) fn file(kind: &'static str, path: &str) -> Result<Response, Stop> {
    let file = FILES
        .get_file(path)
        .ok_or_else(|| Stop::missing("There is no such file."))?;
    Ok((
        [(CONTENT_TYPE, HeaderValue::from_static(kind))],
        file.contents(),
    )
        .into_response())
}
