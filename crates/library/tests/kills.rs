//! A program that saves is killed again and again: what it was told is kept is there, and nothing is damaged.
//!
//! A process of its own saves in a loop and prints every answer; it is ended by SIGKILL, which nothing can catch, at a
//! moment that it does not choose. This shows that no save is half done and none is told too early. It does not show
//! what a power cut does: the kernel outlives the process. For that the engine and the object store flush before they
//! answer. `UNDERLID_KILLS` sets how often it is killed; `scripts/kills-library.sh` runs two hundred.

#[path = "keeping/bench.rs"]
#[allow(dead_code, reason = "the bench has more than this test needs")]
mod bench;

use bench::{AT, answer, category, lamp, list, send};
use bytes::Bytes;
use library::{DossierId, EditList, Library, ListState, Origin, Person, Submission, Which};
use record::Edit;
use std::io::{BufRead as _, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

const FOLDER: &str = "UNDERLID_SAVING_IN";
const ROUND: &str = "UNDERLID_SAVING_ROUND";

/// How often it is killed where nothing else is asked for.
const KILLS: u64 = 20;

/// Bytes of a photograph that is different each time.
fn photograph(token: &str) -> Bytes {
    Bytes::from(token.repeat(20_000))
}

/// The process that saves until it is killed.
#[tokio::test(flavor = "multi_thread")]
#[ignore = "started by the test that kills it"]
async fn saving() {
    let folder = std::env::var(FOLDER).expect("started by the test");
    let round = std::env::var(ROUND).expect("started by the test");
    let library = Library::open_existing(Path::new(&folder))
        .await
        .expect("a library");
    let head = library
        .heads(Which::Present)
        .await
        .expect("in reach")
        .remove(0);
    for seq in 1.. {
        let token = format!("r{round}s{seq}");
        let Edit::Set { at, new, .. } = category(&token, serde_json::Value::Null) else {
            unreachable!("a value is set");
        };
        let edit = Edit::Set { at, new, old: None };
        let who = format!("r{round}");
        let kept = answer(send(&library, &head.id, &who, vec![list(seq, vec![edit])]).await);
        let ListState::Kept { revision } = kept.lists[0].state else {
            panic!("{kept:?}");
        };
        println!("kept {revision} {token}");
        if seq % 3 == 0 {
            let path = format!("photos/{token}.jpg");
            let added = library.add_file(&head.id, &path, photograph(&token)).await;
            added.expect("room");
            println!("file {path} {token}");
        }
    }
}

/// Starts the process, kills it after some answers, and returns what it was answered.
fn killed(folder: &Path, round: u64, answers: usize, later: Duration) -> Vec<String> {
    let mut child = Command::new(std::env::current_exe().expect("this test"))
        .args(["--ignored", "--exact", "saving", "--nocapture"])
        .env(FOLDER, folder)
        .env(ROUND, round.to_string())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("it can be started");
    let mut lines = BufReader::new(child.stdout.take().expect("piped")).lines();
    let told = |line: &String| line.starts_with("kept ") || line.starts_with("file ");
    let mut seen = Vec::new();
    while seen.len() < answers {
        let line = lines
            .next()
            .expect("it saves until it is killed")
            .expect("text");
        // The first answer may stand behind what the test runner prints.
        let from = ["kept ", "file "]
            .iter()
            .filter_map(|word| line.find(word))
            .min();
        seen.extend(from.map(|at| line[at..].to_string()).filter(told));
    }
    std::thread::sleep(later);
    child.kill().expect("it runs");
    child.wait().expect("it ends");
    seen.extend(lines.map_while(Result::ok).filter(told));
    seen
}

async fn check(library: &Library, id: &DossierId, answers: &[String]) {
    for line in answers {
        let words: Vec<&str> = line.split(' ').collect();
        let [what, which, token] = words[..] else {
            continue;
        };
        match what {
            "kept" => {
                let number = which.parse().expect("a number");
                let (revision, text) = library.revision(id, number).await.expect("it was answered");
                assert!(
                    text.contains(&format!("\"{token}\"")),
                    "{line} holds another text"
                );
                assert_eq!(revision.edits.len(), 1);
            }
            _ => {
                let bytes = library.bytes(id, which).await.expect("it was answered");
                assert_eq!(bytes, photograph(token), "{line}");
            }
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_answered_outlives_every_kill() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    outlives(folder.path(), wanted()).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_answered_in_the_folder_of_a_dossier_outlives_every_kill() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let text = folder.path().join("dossier.toml");
    std::fs::write(&text, bench::lamp_text()).expect("written");
    outlives(folder.path(), wanted()).await;
    let library = Library::open(folder.path()).await.expect("it opens again");
    let id = lamp(&library).await;
    let file = std::fs::read_to_string(&text).expect("there");
    assert_eq!(library.current(&id).await.expect("there").text, file);
    // A save that was broken off is brought to its end; none is taken for an edit of another program.
    let history = library.history(&id, None, usize::MAX).await.expect("there");
    let outside = history
        .iter()
        .filter(|revision| revision.origin == Origin::Outside);
    assert_eq!(outside.count(), 1, "the first alone came from outside");
}

/// How often it is to be killed.
fn wanted() -> u64 {
    let wanted = std::env::var("UNDERLID_KILLS").ok();
    wanted.map_or(KILLS, |kills| kills.parse().expect("a number"))
}

async fn outlives(folder: &Path, kills: u64) {
    let library = Library::open(folder)
        .await
        .expect("an empty folder, or a dossier's");
    let id = lamp(&library).await;
    library.close().await;
    // Knuth's MMIX constants: the moments differ from round to round and are the same in every run.
    let mut state: u64 = 7;
    let mut next = |below: u64| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) % below
    };
    let mut all = Vec::new();
    for round in 1..=kills {
        let answers = usize::try_from(1 + next(15)).expect("small");
        let later = Duration::from_micros(next(8000));
        let told = killed(folder, round, answers, later);
        let library = Library::open_existing(folder)
            .await
            .expect("it opens again");
        check(&library, &id, &told).await;
        all.extend(told);
        if round % 10 == 0 || round == kills {
            check(&library, &id, &all).await;
            let verified = library.verify().await.expect("in reach");
            assert_eq!(verified.damage, [], "after {round} kills");
        }
        // A list that was answered is answered the same again, and is not done twice.
        let before = library.head(&id).await.expect("there").revision;
        let again = Submission {
            client: format!("r{round}").parse().expect("letters and digits"),
            lists: vec![EditList {
                seq: 1,
                group: None,
                edits: vec![category("again", serde_json::Value::Null)],
                undo: None,
            }],
        };
        library
            .take(&id, &again, &Person::from("A"), AT)
            .await
            .expect("in reach");
        assert_eq!(library.head(&id).await.expect("there").revision, before);
        library.close().await;
    }
    let kept = all.iter().filter(|line| line.starts_with("kept ")).count();
    println!(
        "{kills} kills, {kept} lists and {} files answered, all there",
        all.len() - kept
    );
    assert!(all.len() as u64 >= kills);
}
