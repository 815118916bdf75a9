//! `underlid catalogue harvest`: identities that were read off parts, into a catalogue.

use crate::failure::Failure;
use crate::progress::Terminal;
use crate::screen::{self, shown};
use app::catalogues;
use std::path::{Path, PathBuf};

pub(super) fn run(folders: &[PathBuf], into: &Path) -> Result<(), Failure> {
    let harvested = catalogues::harvest(folders, into, &Terminal)?;
    let mut text = String::new();
    for (folder, merged) in &harvested.dossiers {
        text += &format!("{}: {}\n", shown(folder), super::told(merged));
    }
    text += &format!("{}: {} parts\n", shown(into), harvested.parts);
    text += &super::remarks(&harvested.remarks);
    screen::print(&text)
}
