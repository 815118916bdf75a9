//! Findings and pictures as a report: terminal, HTML, XLSX, CSV, JSON, and the document that other
//! formats are set from.
//!
//! In: a dossier, its findings, the photographs as published. Out: text and bytes.
//! Not here: calculating anything; reading or writing files; the typesetter (`pdf`).

mod article;
mod cards;
mod compose;
mod csv;
mod document;
mod edition;
mod head;
mod html;
mod json;
mod leave_out;
mod marked;
mod numbering;
mod open;
mod photographs;
mod schema;
mod site;
mod svg;
mod terminal;
pub mod words;
mod xlsx;

pub use article::{Article, article};
pub use cards::{CardCertainty, ChipCard, Chips, Crop, Panel, PanelStep, Seat, Strip};
pub use compose::{
    JudgedClaim, Named, WAYS, chart_drawing, compose, credit, disclosure, entry_words, hero_photo,
    judged_claims, name_bundle, named, open_ways, power_drawing, ways_drawing,
};
pub use csv::parts_csv;
pub use document::{
    Block, Callouts, ClaimGroup, ClaimRow, ClaimTable, Document, PhotoRegion, RowMark, Section,
    ShortAnswer, Table, Target, anchor, finding_anchor, photo_anchor, place_words, verdict_words,
};
pub use edition::{CORRECTIONS, Corrected, Correction, Earlier, Edition, Struck, mark_edition};
pub use head::{Head, Hero, KeyFigure, Shot, Tally, Telling, TellingRow, base64};
pub use html::{html, look, sheet_html};
pub use json::{FindingsError, json, published_json, read_findings, read_published};
pub use leave_out::{leave_out, may_be_left_out};
pub use marked::{Marked, Tone};
pub use numbering::Numbering;
pub use photographs::{
    Photographs, Picture, Shown, crop_square, hero_square, photo_of_step, step_rect,
};
pub use schema::findings_schema;
pub use site::{SitePart, SiteProduct, SiteVersion, site, slug};
pub use svg::glyph::paths as glyph;
pub use svg::{WayPhoto, claim_scale, way_marks, way_photos};
pub use terminal::terminal;
pub use xlsx::{WorkbookError, xlsx};
