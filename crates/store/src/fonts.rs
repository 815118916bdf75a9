//! Installed typefaces: which files there are, and their bytes.
//!
//! In: folders. Out: the bytes of the typefaces in them, one after the other, in the order of their paths. A file or
//! folder that cannot be read is passed over: another typeface may do.
//! Not here: which characters a typeface has (`lettering`).

use crate::{limits, opener};
use std::path::{Path, PathBuf};

/// Endings of files with typefaces.
const ENDINGS: [&str; 4] = ["ttf", "otf", "ttc", "otc"];
/// Folders inside folders that are looked into.
const DEEPEST: usize = 6;
/// Most files that are read.
const MOST_FILES: usize = 20_000;

/// Returns the folders in which the system keeps typefaces (`common practice`; on Linux the XDG base directories).
pub fn folders() -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = if cfg!(target_os = "macos") {
        vec!["/System/Library/Fonts".into(), "/Library/Fonts".into()]
    } else if cfg!(windows) {
        vec!["C:\\Windows\\Fonts".into()]
    } else {
        vec!["/usr/share/fonts".into(), "/usr/local/share/fonts".into()]
    };
    if let Some(home) = std::env::var_os("HOME").map(PathBuf::from) {
        found.extend([".local/share/fonts", ".fonts", "Library/Fonts"].map(|f| home.join(f)));
    }
    found
}

/// Returns the bytes of each typeface in folders, read when it is asked for.
pub fn installed(folders: &[PathBuf]) -> impl Iterator<Item = Vec<u8>> + use<> {
    let mut files = Vec::new();
    for folder in folders {
        gather(folder, DEEPEST, &mut files);
    }
    files
        .into_iter()
        .filter_map(|path| opener::read(&path, limits::TYPEFACE).ok())
}

fn gather(folder: &Path, deep: usize, files: &mut Vec<PathBuf>) {
    for name in opener::names(folder).unwrap_or_default() {
        let path = folder.join(name);
        let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
        if ending.is_some_and(|e| ENDINGS.contains(&e.as_str())) {
            if files.len() < MOST_FILES {
                files.push(path);
            }
        } else if deep > 0 && opener::kind(&path) == Ok(Some(opener::Kind::Folder)) {
            gather(&path, deep - 1, files);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn typefaces_come_in_the_order_of_their_paths_and_others_are_passed_over() {
        let at = tempfile::TempDir::new().unwrap();
        std::fs::create_dir(at.path().join("a")).unwrap();
        for (name, bytes) in [("b.TTF", "2"), ("a/z.otf", "1"), ("readme.txt", "no")] {
            std::fs::write(at.path().join(name), bytes).unwrap();
        }
        std::fs::create_dir(at.path().join("folder.ttf")).unwrap();
        let missing = at.path().join("none");
        let found: Vec<Vec<u8>> = installed(&[missing, at.path().to_path_buf()]).collect();
        assert_eq!(found, [b"1", b"2"]);
    }
}
