//! Runs killed while they write: the old or the new, never half of it, never neither; and the next run clears
//! away what the killed one left.
//!
//! Ten kills of each kind are enough to notice a fault; `scripts/kills.sh` runs a hundred (`UNDERLID_KILLS`).

#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};
use support::{code, demo, keeps, started, told, underlid};
use tempfile::TempDir;

/// Parts in the catalogue that is added to: enough for its writing to take a while.
const PARTS: usize = 4000;

fn kills() -> usize {
    std::env::var("UNDERLID_KILLS").map_or(10, |n| n.parse().unwrap())
}

/// What is there after a kill.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Found {
    Old,
    New,
}

/// Where the kills landed.
#[derive(Debug, Default)]
struct Landed {
    before: usize,
    within: usize,
    after: usize,
}

/// What killed runs leave: names that are given to nothing finished.
fn unfinished(folder: &Path) -> Vec<String> {
    fs::read_dir(folder)
        .unwrap()
        .filter_map(|e| e.ok()?.file_name().into_string().ok())
        .filter(|name| {
            name.starts_with('.') && (name.contains(".part") || name.contains(".earlier-"))
        })
        .collect()
}

/// A command that is killed again and again.
struct Attack<'a> {
    arguments: &'a [&'a str],
    at: &'a Path,
    /// The folder in which it writes.
    folder: &'a Path,
}

impl Attack<'_> {
    /// Runs the command to its end.
    fn whole(&self) -> Duration {
        let began = Instant::now();
        let output = underlid(self.arguments, self.at);
        assert_eq!(code(&output), 0, "{}", told(&output));
        began.elapsed()
    }

    /// Starts the command and kills it after `delay`, counted from when it has begun to write if `writing`,
    /// else from its start. Returns whether it had ended by itself, and whether it left something.
    fn kill(&self, writing: bool, delay: Duration) -> (bool, bool) {
        let left = unfinished(self.folder);
        let mut child = started(self.arguments, self.at);
        let begun = || {
            unfinished(self.folder)
                .iter()
                .any(|name| !left.contains(name))
        };
        while writing && !begun() && child.try_wait().unwrap().is_none() {}
        std::thread::sleep(delay);
        let ended = child.try_wait().unwrap().is_some();
        // It may have ended in between.
        let _ = child.kill();
        child.wait().unwrap();
        (ended, begun())
    }

    /// Kills the command [`kills`] times: every other time while it writes, else at any moment of its run.
    /// `prepare` makes the start, `found` tells old from new and fails for anything else.
    fn series(&self, prepare: impl Fn(usize), found: impl Fn(usize) -> Found) {
        prepare(0);
        let run = self.whole();
        assert_eq!(found(0), Found::New, "a run that is not killed");
        let mut landed = Landed::default();
        let mut n = 1;
        // A fast disk may write between two looks: the series goes on until one kill has hit the writing.
        while landed.before + landed.within + landed.after < kills()
            || (landed.within == 0 && n < 20 * kills())
        {
            prepare(n);
            let writing = n % 2 == 0;
            // Moments spread evenly, in an order that has nothing to do with that of the runs.
            let share = (n * 37 % 101) as f64 / 101.0;
            let span = if writing {
                Duration::from_millis(4)
            } else {
                run
            };
            let (ended, left) = self.kill(writing, span.mul_f64(share));
            match (found(n), left) {
                (Found::New, false) => landed.after += 1,
                (_, true) if !ended => landed.within += 1,
                (Found::Old, false) if !ended => landed.before += 1,
                other => panic!("{other:?} after a run that ended by itself: {ended}"),
            }
            n += 1;
        }
        println!("{}: {landed:?}", self.arguments.join(" "));
        assert!(landed.within > 0, "{landed:?}");
        self.clears(&prepare, &found, n);
    }

    /// Kills the command until it leaves something, and looks whether the next run clears it away.
    fn clears(&self, prepare: &impl Fn(usize), found: &impl Fn(usize) -> Found, n: usize) {
        prepare(n);
        let left = (0..100).any(|_| {
            prepare(n);
            self.kill(true, Duration::ZERO).1
        });
        assert!(left, "no kill landed while it wrote");
        prepare(n);
        self.whole();
        assert_eq!(found(n), Found::New);
        assert_eq!(unfinished(self.folder), [""; 0]);
    }
}

fn history(folder: &Path) -> Vec<String> {
    fs::read_dir(folder.join(".revisions")).map_or_else(
        |_| Vec::new(),
        |entries| {
            entries
                .map(|e| fs::read_to_string(e.unwrap().path()).unwrap())
                .collect()
        },
    )
}

#[test]
fn a_measure_is_saved_whole_or_not_at_all() {
    let at = TempDir::new().unwrap();
    let folder = demo(at.path(), &[]);
    let text = folder.join("dossier.toml");
    let start = fs::read_to_string(&text).unwrap();
    let arguments = [
        "measure",
        "lamp",
        "--photo",
        "bench-lamp",
        "--item",
        "lamp",
        "--what",
        "width",
        "--at",
        "100.25,100 200.75,100",
        "--save",
    ];
    let attack = Attack {
        arguments: &arguments,
        at: at.path(),
        folder: &folder,
    };
    let first = |n: usize| start.replacen("Nivalet 3", &format!("Nivalet {n}"), 1);
    attack.series(
        |n| fs::write(&text, first(n)).unwrap(),
        |n| {
            let (now, old) = (fs::read_to_string(&text).unwrap(), first(n));
            if now == old {
                return Found::Old;
            }
            assert!(keeps(&now, &old), "the text before is kept");
            assert!(now.contains("200.75") && now.parse::<toml_edit::DocumentMut>().is_ok());
            assert!(
                history(&folder).contains(&old),
                "the text before is in the history"
            );
            Found::New
        },
    );
    // Every text in the history is whole.
    for kept in history(&folder) {
        assert!(kept.parse::<toml_edit::DocumentMut>().is_ok() && kept.len() >= start.len());
    }
}

/// A catalogue to add to, told from the others by `n`.
fn known(n: usize) -> String {
    let heading = "name,maker,aliases,codes,packages,pins,body_mm,pitch_mm,role,power_pins,ratings,\
                   ratings_origin,description,keywords,data_sheet,seen_with,known_from,shelf\n";
    (0..PARTS).fold(heading.to_string(), |text, part| {
        text + &format!("AA{part:05},Threndova,,,QFN-16,16,3 x 3,0.5,charger,,,,,,,,bought,{n}\n")
    })
}

/// Attacks a command that adds the part `name`, and others, to `known.csv`.
fn catalogue_series(arguments: &[&str], at: &Path, name: &str) {
    let file = at.join("known.csv");
    let attack = Attack {
        arguments,
        at,
        folder: at,
    };
    fs::write(&file, known(0)).unwrap();
    attack.whole();
    let added = fs::read_to_string(&file).unwrap().lines().count() - PARTS - 1;
    attack.series(
        |n| fs::write(&file, known(n)).unwrap(),
        |n| {
            let (now, old) = (fs::read_to_string(&file).unwrap(), known(n));
            if now == old {
                return Found::Old;
            }
            assert_eq!(now.lines().count(), 1 + PARTS + added);
            assert!(now.ends_with('\n') && now.contains(name));
            let of_old = now
                .lines()
                .filter(|line| line.ends_with(&format!(",bought,{n}")));
            assert_eq!(of_old.count(), PARTS, "the parts before are all there");
            assert!(
                history(at).contains(&old),
                "the catalogue before is in the history"
            );
            Found::New
        },
    );
}

#[test]
fn a_harvest_is_written_whole_or_not_at_all() {
    let at = TempDir::new().unwrap();
    demo(at.path(), &[]);
    let arguments = ["catalogue", "harvest", "lamp", "--into", "known.csv"];
    catalogue_series(&arguments, at.path(), "TH-KARN2");
}

#[test]
fn an_import_is_written_whole_or_not_at_all() {
    let at = TempDir::new().unwrap();
    fs::write(at.path().join("bought.csv"), "name,maker\nZZ9,Threndova\n").unwrap();
    let arguments = ["catalogue", "import", "bought.csv", "--into", "known.csv"];
    catalogue_series(&arguments, at.path(), "ZZ9");
}

/// The files of a report; fails where it is not there.
fn report(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap())
        .map(|e| {
            (
                e.file_name().into_string().unwrap(),
                fs::read(e.path()).unwrap(),
            )
        })
        .collect()
}

#[test]
fn a_report_is_published_whole_or_not_at_all() {
    let at = TempDir::new().unwrap();
    assert_eq!(code(&underlid(&["new", "mine"], at.path())), 0);
    let folder = at.path().join("mine");
    let (text, into) = (folder.join("dossier.toml"), folder.join("report"));
    let start = fs::read_to_string(&text).unwrap();
    let attack = Attack {
        arguments: &["publish", "mine"],
        at: at.path(),
        folder: &folder,
    };
    // Two dossiers, told apart by their names, and the report of each.
    let dossiers = ["Even", "Odd"].map(|name| start.replacen("Name of the product", name, 1));
    let reports = dossiers.clone().map(|dossier| {
        fs::write(&text, dossier).unwrap();
        attack.whole();
        report(&into)
    });
    assert!(reports[0].len() >= 5 && reports[0] != reports[1]);
    // What is there before each run is the report of the other dossier: put there at first, later left by a
    // run that came to its end or was killed.
    let other = std::cell::Cell::new(1);
    attack.series(
        |_| {
            let here = usize::from(report(&into) == reports[1]);
            other.set(1 - here);
            fs::write(&text, &dossiers[1 - here]).unwrap();
        },
        |_| {
            let now = report(&into);
            if now == reports[other.get()] {
                return Found::New;
            }
            assert!(now == reports[1 - other.get()], "{:?}", now.keys());
            Found::Old
        },
    );
}
