//! A large catalogue is made ready once, and whatever happens to what was kept, the answers are the same.

#![allow(clippy::unwrap_used, reason = "a test")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// 30,000 parts with packages, above the size that is worth keeping.
fn catalogue(at: &Path) -> PathBuf {
    let mut text = String::from("name,maker,package,pins,role,description\n");
    for n in 0..30_000 {
        let (package, pins) = [("QFN-16", 16), ("SOIC-8", 8), ("SOT-23-5", 5)][n % 3];
        text.push_str(&format!(
            "ZK{:05}{},Zulmarik,{package},{pins},charger,A charger of one cell\n",
            n * 7 % 100_000,
            ["A", "B", "QR"][n % 3]
        ));
    }
    text.push_str("ZK9,Zulmarik,QFN-16,many,,\n");
    let path = at.join("known.csv");
    fs::write(&path, text).unwrap();
    path
}

fn asked(catalogue: &Path, cache: &Path) -> (String, String) {
    let out = Command::new(env!("CARGO_BIN_EXE_underlid"))
        .args([
            "read",
            "ZK0007OA",
            "--format",
            "json",
            "--package",
            "QFN-16",
            "--catalogue",
        ])
        .arg(catalogue)
        .env("UNDERLID_CACHE", cache)
        .output()
        .unwrap();
    assert!(
        out.status.success(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
    (
        String::from_utf8(out.stdout).unwrap(),
        String::from_utf8(out.stderr).unwrap(),
    )
}

fn kept(cache: &Path) -> Vec<PathBuf> {
    let names = fs::read_dir(cache).into_iter().flatten();
    let files = names.map(|entry| entry.unwrap().path());
    files
        .filter(|path| {
            path.file_name()
                .unwrap()
                .to_string_lossy()
                .starts_with("index-")
        })
        .collect()
}

#[test]
fn a_kept_index_gives_the_answers_of_one_made_anew() {
    let folder = tempfile::tempdir().unwrap();
    let cache = folder.path().join("cache");
    let catalogue = catalogue(folder.path());
    let (first, told) = asked(&catalogue, &cache);
    assert!(first.contains("ZK00070A"), "{first}");
    assert!(
        told.contains("made ready") || told.contains("making the catalogue ready"),
        "{told}"
    );
    assert!(told.contains("left out"), "{told}");
    let [file] = &kept(&cache)[..] else {
        panic!("one file is kept")
    };

    let (again, told) = asked(&catalogue, &cache);
    assert_eq!(again, first);
    assert!(!told.contains("making the catalogue ready"), "{told}");
    assert!(
        told.contains("left out"),
        "refused rows are told each time: {told}"
    );

    let whole = fs::read(file).unwrap();
    let mut damaged = whole.clone();
    let middle = whole.len() / 2;
    damaged[middle] ^= 16;
    for bytes in [&damaged[..], &whole[..middle], b""] {
        fs::write(file, bytes).unwrap();
        let (again, told) = asked(&catalogue, &cache);
        assert_eq!(again, first);
        assert!(told.contains("is not used"), "{told}");
        assert_eq!(fs::read(file).unwrap(), whole, "it is made anew");
    }

    fs::remove_dir_all(&cache).unwrap();
    assert_eq!(asked(&catalogue, &cache).0, first);

    // Another content has another file.
    let mut text = fs::read_to_string(&catalogue).unwrap();
    text.push_str("ZK00070AX,Zulmarik,QFN-16,16,charger,\n");
    fs::write(&catalogue, text).unwrap();
    assert!(
        asked(&catalogue, &cache)
            .1
            .contains("making the catalogue ready")
    );
    assert_eq!(kept(&cache).len(), 2);
}

#[test]
fn a_cache_that_cannot_be_written_costs_time_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let catalogue = catalogue(folder.path());
    let (first, _) = asked(&catalogue, &folder.path().join("cache"));
    let file = folder.path().join("a file");
    fs::write(&file, "").unwrap();
    let (again, told) = asked(&catalogue, &file.join("cache"));
    assert_eq!(again, first);
    assert!(
        told.contains("not kept for the next time") || told.contains("is not used"),
        "{told}"
    );
}
