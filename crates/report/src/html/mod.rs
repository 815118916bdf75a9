//! The document as one self-contained HTML file.

use crate::Document;
use maud::html as markup;

/// Writes the document as one HTML file that needs neither network nor script.
pub fn html(document: &Document) -> String {
    markup! { h1 { (document.title) } }.into_string()
}
