//! What was answered as kept is there: whatever happens to the program that saves, to PostgreSQL, or beside the save.
//!
//! A process of its own saves in a loop and prints every answer. It is ended by SIGKILL at a moment that it does not
//! choose; or PostgreSQL is ended, properly or as a crash would end it, and started again. Fifty people who save to the
//! same dossiers at once lose nothing. `UNDERLID_KILLS` sets how often, `UNDERLID_LOAD_SECONDS` how long;
//! `scripts/team.sh` kills fifty times and saves for sixty seconds.

#[path = "../../library/tests/keeping/bench.rs"]
#[allow(dead_code, reason = "the bench has more than this test needs")]
mod bench;

use bench::{AT, answer, category, lamp, list, send};
use bytes::Bytes;
use library::{
    ClientId, DossierId, Library, LibraryError, ListState, Person, Submission, Taken, Which,
};
use record::{Edit, Place};
use serde_json::json;
use std::collections::BTreeMap;
use std::io::{BufRead as _, BufReader, Lines};
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::{Duration, Instant};
use team_tests::{Bucket, Cluster, store_key};

const DATABASE: &str = "UNDERLID_SAVING_IN";
const STORE: &str = "UNDERLID_SAVING_FILES_IN";
const ROUND: &str = "UNDERLID_SAVING_ROUND";

/// How often the program is killed where nothing else is asked for.
const KILLS: u64 = 5;

/// How many people save at once.
const PEOPLE: usize = 50;

fn asked(name: &str, otherwise: u64) -> u64 {
    let asked = std::env::var(name).ok();
    asked.map_or(otherwise, |text| text.parse().expect("a number"))
}

/// Bytes of a photograph that is different each time.
fn photograph(token: &str) -> Bytes {
    Bytes::from(token.repeat(20_000))
}

fn named(token: &str) -> Edit {
    Edit::Set {
        at: Place::product().at("category"),
        new: json!(token),
        old: None,
    }
}

/// The process that saves until it is killed. What is not answered is sent again, as the workbench does.
#[tokio::test(flavor = "multi_thread")]
#[ignore = "started by the tests that kill it"]
async fn saving() {
    let told = |name: &str| std::env::var(name).expect("started by a test");
    let round = told(ROUND);
    let library = Library::team(&told(DATABASE), &told(STORE), &store_key()).await;
    let library = library.expect("both run");
    let id = library
        .heads(Which::Present)
        .await
        .expect("in reach")
        .remove(0)
        .id;
    let client: ClientId = format!("r{round}").parse().expect("letters and digits");
    let by = Person::from(client.as_str());
    for seq in 1.. {
        let token = format!("r{round}s{seq}");
        let submission = Submission {
            client: client.clone(),
            lists: vec![list(seq, vec![named(&token)])],
        };
        let kept = loop {
            match library.take(&id, &submission, &by, AT).await {
                Ok(taken) => break answer(taken),
                Err(LibraryError::Unreachable(_)) => {}
                Err(error) => panic!("{error}"),
            }
        };
        let ListState::Kept { revision } = kept.lists[0].state else {
            panic!("{kept:?}");
        };
        println!("kept {revision} {token}");
        if seq % 3 == 0 {
            let path = format!("photos/{token}.jpg");
            loop {
                match library.add_file(&id, &path, photograph(&token)).await {
                    Ok(_) => break,
                    Err(LibraryError::Unreachable(_)) => {}
                    Err(error) => panic!("{error}"),
                }
            }
            println!("file {path} {token}");
        }
    }
}

/// The process, and what it was answered.
struct Saver {
    child: Child,
    lines: Lines<BufReader<ChildStdout>>,
    answers: Vec<String>,
}

/// The answer in a line; the first may stand behind what the test runner prints.
fn answer_in(line: &str) -> Option<String> {
    let from = ["kept ", "file "]
        .iter()
        .filter_map(|word| line.find(word))
        .min()?;
    Some(line[from..].to_string())
}

impl Saver {
    fn begin(database: &str, store: &str, round: u64) -> Self {
        let mut child = Command::new(std::env::current_exe().expect("this test"))
            .args(["--ignored", "--exact", "saving", "--nocapture"])
            .env(DATABASE, database)
            .env(STORE, store)
            .env(ROUND, round.to_string())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("it can be started");
        let out = child.stdout.take().expect("piped");
        Self {
            child,
            lines: BufReader::new(out).lines(),
            answers: Vec::new(),
        }
    }

    /// Waits for so many answers more.
    fn hear(&mut self, more: usize) {
        let wanted = self.answers.len() + more;
        while self.answers.len() < wanted {
            let line = self.lines.next().expect("it saves until it is killed");
            self.answers.extend(answer_in(&line.expect("text")));
        }
    }

    fn kill(mut self) -> Vec<String> {
        self.child.kill().expect("it runs");
        self.child.wait().expect("it ends");
        let rest = self.lines.map_while(Result::ok);
        self.answers
            .extend(rest.filter_map(|line| answer_in(&line)));
        self.answers
    }
}

/// Looks for all that was answered.
async fn check(library: &Library, id: &DossierId, answers: &[String]) {
    for line in answers {
        let words: Vec<&str> = line.split(' ').collect();
        // A line that the kill broke off was not answered.
        let [what, which, token] = words[..] else {
            continue;
        };
        if what == "kept" {
            let number = which.parse().expect("a number");
            let (_, text) = library.revision(id, number).await.expect("it was answered");
            assert!(
                text.contains(&format!("\"{token}\"")),
                "{line} holds another text"
            );
        } else {
            let bytes = library.bytes(id, which).await.expect("it was answered");
            assert_eq!(bytes, photograph(token), "{line}");
        }
    }
    let verified = library.verify().await.expect("in reach");
    assert_eq!(verified.damage, []);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_answered_outlives_every_kill() {
    let Some(cluster) = Cluster::shared() else {
        return;
    };
    let (database, store) = (cluster.database(), Bucket::shared().address());
    let library = Library::team(&database, &store, &store_key()).await;
    let library = library.expect("both run");
    let id = lamp(&library).await;
    let kills = asked("UNDERLID_KILLS", KILLS);
    let mut all = Vec::new();
    for round in 1..=kills {
        let mut saver = Saver::begin(&database, &store, round);
        // Different from round to round, and the same in every run.
        saver.hear(usize::try_from(1 + round * 7 % 13).expect("small"));
        std::thread::sleep(Duration::from_micros(round * 1_237 % 8_000));
        let told = saver.kill();
        check(&library, &id, &told).await;
        // A list that was answered is answered the same again, and is not done twice.
        let before = library.head(&id).await.expect("there").revision;
        let again = vec![list(1, vec![category("again", json!(null))])];
        send(&library, &id, &format!("R{round}"), again).await;
        assert_eq!(library.head(&id).await.expect("there").revision, before);
        all.extend(told);
    }
    check(&library, &id, &all).await;
    let kept = all.iter().filter(|line| line.starts_with("kept ")).count();
    println!(
        "{kills} kills, {kept} lists and {} files answered, all there",
        all.len() - kept
    );
    assert!(all.len() as u64 >= kills);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_answered_outlives_the_end_of_postgres() {
    // A server of its own: the other tests need theirs.
    let Some(cluster) = Cluster::begin() else {
        return;
    };
    let (database, store) = (cluster.database(), Bucket::shared().address());
    let library = Library::team(&database, &store, &store_key()).await;
    let library = library.expect("both run");
    let id = lamp(&library).await;
    let mut saver = Saver::begin(&database, &store, 1);
    for manner in ["fast", "immediate", "immediate", "fast"] {
        saver.hear(6);
        cluster.stop(manner);
        let refused = library.head(&id).await;
        assert!(
            matches!(refused, Err(LibraryError::Unreachable(_))),
            "{refused:?}"
        );
        cluster.start();
        saver.hear(6);
        check(&library, &id, &saver.answers).await;
    }
    let answers = saver.kill();
    check(&library, &id, &answers).await;
    println!("4 ends of PostgreSQL, {} answers, all there", answers.len());
}

/// Saves what one person enters until the time is over, and returns each value with the revision it was kept as.
async fn enters(library: Library, ids: Vec<DossierId>, person: usize, until: Instant) -> Entered {
    let who = format!("P{person}");
    let client: ClientId = who.to_lowercase().parse().expect("letters and digits");
    let mut entered = Entered::default();
    let mut last = BTreeMap::<DossierId, u64>::new();
    for turn in 0_usize.. {
        if Instant::now() >= until {
            break;
        }
        let id = &ids[(person + turn) % ids.len()];
        let seq = last.entry(id.clone()).or_default();
        *seq += 1;
        let name = format!("p{person}t{turn}");
        let add = Edit::Add {
            to: Place::dossier().at("items"),
            entry: json!({"id": name, "name": name, "kind": "part", "parent": "product"}),
            position: record::Position::default(),
        };
        let submission = Submission {
            client: client.clone(),
            lists: vec![list(*seq, vec![add])],
        };
        let by = Person::from(who.as_str());
        loop {
            match library.take(id, &submission, &by, AT).await {
                Ok(Taken::Lists(answer)) => {
                    let ListState::Kept { revision } = answer.lists[0].state else {
                        panic!("{answer:?}");
                    };
                    entered.push((id.clone(), revision, name));
                    break;
                }
                Ok(Taken::Gap { expect }) => panic!("a gap: {expect}"),
                // A window sends again what was not taken in time; the list is the same, and counts once.
                Err(LibraryError::Busy(_) | LibraryError::Unreachable(_)) => {}
                Err(error) => panic!("{error}"),
            }
        }
    }
    entered
}

type Entered = Vec<(DossierId, u64, String)>;

#[tokio::test(flavor = "multi_thread")]
async fn fifty_people_at_once_lose_nothing() {
    let Some(cluster) = Cluster::shared() else {
        return;
    };
    let (database, store) = (cluster.database(), Bucket::shared().address());
    // Three servers at one database: their saves meet there, and not in a turn that they share.
    let mut servers = Vec::new();
    for _ in 0..3 {
        let opened = Library::team(&database, &store, &store_key()).await;
        servers.push(opened.expect("both run"));
    }
    let mut ids = Vec::new();
    for _ in 0..5 {
        ids.push(lamp(&servers[0]).await);
    }
    let seconds = asked("UNDERLID_LOAD_SECONDS", 3);
    let until = Instant::now() + Duration::from_secs(seconds);
    let people = (0..PEOPLE).map(|person| {
        let server = servers[person % servers.len()].clone();
        tokio::spawn(enters(server, ids.clone(), person, until))
    });
    let mut entered = Entered::new();
    for person in people.collect::<Vec<_>>() {
        entered.extend(person.await.expect("no panic"));
    }
    let library = &servers[0];
    for id in &ids {
        let here = entered.iter().filter(|(dossier, _, _)| dossier == id);
        let mut revisions: Vec<u64> = here.clone().map(|(_, revision, _)| *revision).collect();
        revisions.sort_unstable();
        let expected: Vec<u64> = (2..2 + revisions.len() as u64).collect();
        assert_eq!(revisions, expected, "each list is a revision of its own");
        let dossier = library.current(id).await.expect("there").dossier();
        let dossier = dossier.expect("reads");
        for (_, _, name) in here {
            assert!(
                dossier.items.iter().any(|item| item.id == *name),
                "{name} is lost"
            );
        }
    }
    assert_eq!(library.verify().await.expect("in reach").damage, []);
    println!(
        "{PEOPLE} people, {seconds} s, {} saves, none lost",
        entered.len()
    );
    assert!(entered.len() >= PEOPLE);
}
