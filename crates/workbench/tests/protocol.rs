//! How pages and server talk: lists of edits, answers, events, plain forms.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod wire;

use library::Person;
use serde_json::{Value, json};
use tokio::io::{AsyncReadExt as _, AsyncWriteExt as _};
use tokio::net::TcpStream;
use wire::Bench;

async fn send(bench: &Bench, client: &str, lists: Value) -> Value {
    let body = json!({ "client": client, "lists": lists }).to_string();
    let answer = bench.post(&bench.edits(), "application/json", &body).await;
    assert_eq!(answer.status, 200, "{}", answer.body);
    answer.json()
}

/// A window that listens to what happens to the dossier.
struct Window {
    stream: TcpStream,
    heard: String,
}

impl Window {
    async fn open(bench: &Bench) -> Self {
        let mut stream = TcpStream::connect(bench.address).await.unwrap();
        let request = format!(
            "GET /d/{}/live HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\n\r\n",
            bench.dossier, bench.address, bench.cookie
        );
        stream.write_all(request.as_bytes()).await.unwrap();
        let heard = String::new();
        let mut window = Self { stream, heard };
        window.hears(&["event: here"]).await;
        window
    }

    /// Reads until all of some words were heard; returns everything that was.
    async fn hears(&mut self, words: &[&str]) -> String {
        let mut buffer = [0; 4096];
        while !words.iter().all(|word| self.heard.contains(word)) {
            let n = self.stream.read(&mut buffer).await.unwrap();
            assert!(n > 0, "{}", self.heard);
            self.heard += &String::from_utf8_lossy(&buffer[..n]);
        }
        self.heard.clone()
    }
}

async fn name(bench: &Bench) -> String {
    bench.library.head(&bench.dossier).await.unwrap().name
}

fn set(at: &str, old: Value, new: Value) -> Value {
    json!({ "do": "set", "at": at, "old": old, "new": new })
}

#[tokio::test]
async fn a_list_is_kept_once_however_often_it_is_sent() {
    let bench = Bench::start().await;
    let list = json!([{ "seq": 41, "edits": [set("product.name", json!("Nivalet 3"), json!("Nivalet 4"))] }]);
    let first = send(&bench, "k3f", list.clone()).await;
    assert_eq!(
        first["lists"][0],
        json!({ "seq": 41, "state": "kept", "revision": 2 })
    );
    assert_eq!(send(&bench, "k3f", list).await["lists"], first["lists"]);
    assert_eq!(name(&bench).await, "Nivalet 4");
    assert_eq!(
        bench.library.head(&bench.dossier).await.unwrap().revision,
        2
    );
}

#[tokio::test]
async fn a_gap_is_answered_with_the_number_that_is_expected() {
    let bench = Bench::start().await;
    let list = |seq: u64| json!([{ "seq": seq, "edits": [set("product.model", Value::Null, json!("x"))] }]);
    send(&bench, "w", list(1)).await;
    assert_eq!(send(&bench, "w", list(3)).await, json!({ "expect": 2 }));
}

#[tokio::test]
async fn what_another_wrote_meanwhile_is_shown_and_both_are_kept() {
    let bench = Bench::start().await;
    let list = |new: &str| json!([{ "seq": 1, "edits": [set("product.name", json!("Nivalet 3"), json!(new))] }]);
    send(&bench, "a", list("Theirs")).await;
    let answer = send(&bench, "b", list("Ours")).await;
    let why = &answer["lists"][0]["why"][0];
    assert_eq!(answer["lists"][0]["state"], "refused");
    assert_eq!(
        (&why["kind"], &why["now"]),
        (&json!("changed"), &json!("Theirs"))
    );
    assert_eq!((&why["by"], &why["revision"]), (&json!("A."), &json!(2)));
    let untaken = bench.library.untaken(&bench.dossier).await.unwrap();
    assert_eq!(untaken.len(), 1);
}

#[tokio::test]
async fn taking_back_gives_the_text_of_before_byte_for_byte() {
    let bench = Bench::start().await;
    let before = bench.library.current(&bench.dossier).await.unwrap().text;
    let edits = json!([{ "seq": 1, "edits": [
        set("product.name", json!("Nivalet 3"), json!("Other")),
        { "do": "add", "to": "claims", "entry": { "id": "new-one", "text": "48 g", "printed": "box", "kind": "mass", "value": "48 g" } },
    ] }]);
    let kept = send(&bench, "a", edits).await["revision"].as_u64().unwrap();
    send(&bench, "a", json!([{ "seq": 2, "undo": kept }])).await;
    let after = bench.library.current(&bench.dossier).await.unwrap().text;
    assert_eq!(before, after);
    // And put back.
    send(&bench, "a", json!([{ "seq": 3, "undo": kept + 1 }])).await;
    assert_eq!(name(&bench).await, "Other");
}

#[tokio::test]
async fn a_list_that_would_spoil_the_record_is_refused_whole() {
    let bench = Bench::start().await;
    let edits = json!([{ "seq": 1, "edits": [
        set("product.name", json!("Nivalet 3"), json!("Other")),
        set("reading:nothing.value", Value::Null, json!("3 g")),
    ] }]);
    let answer = send(&bench, "a", edits).await;
    assert_eq!(answer["lists"][0]["state"], "refused");
    assert_eq!(name(&bench).await, "Nivalet 3");
}

#[tokio::test]
async fn what_is_no_list_of_edits_is_refused_with_a_reason() {
    let bench = Bench::start().await;
    let bodies = [
        "",
        "{",
        "[]",
        "null",
        "{\"client\":\"UPPER\",\"lists\":[]}",
        "{\"client\":\"a\",\"lists\":[{\"seq\":-1}]}",
        "{\"client\":\"a\",\"lists\":[],\"more\":1}",
        "{\"client\":\"a\",\"lists\":[{\"seq\":1,\"edits\":[{\"do\":\"erase\"}]}]}",
    ];
    for body in bodies {
        let answer = bench.post(&bench.edits(), "application/json", body).await;
        assert_eq!(answer.status, 422, "{body}");
        assert!(answer.json()["remedy"].is_string(), "{body}");
    }
    let answer = bench.post(&bench.edits(), "text/plain", "{}").await;
    assert_eq!(answer.status, 422);
    let other = bench
        .post(
            "/d/nothing-here/edits",
            "application/json",
            r#"{"client":"a","lists":[]}"#,
        )
        .await;
    assert_eq!(other.status, 404);
}

/// Every place saves its fields without script.
#[tokio::test]
async fn plain_forms_write_the_same_edits() {
    let bench = Bench::start().await;
    let kind = "application/x-www-form-urlencoded";
    let edits = bench.edits();
    let answer = bench
        .post(
            &edits,
            kind,
            "at=product.name&old=%22Nivalet+3%22&new=L%C3%A4mp+%26+co&back=intake",
        )
        .await;
    assert_eq!(answer.status, 303, "{}", answer.body);
    assert_eq!(
        answer.header("location"),
        Some(format!("/d/{}/intake", bench.dossier).as_str())
    );
    assert_eq!(name(&bench).await, "Lämp & co");
    // Somebody else's value is not written over.
    let answer = bench
        .post(
            &edits,
            kind,
            "at=product.name&old=%22Nivalet+3%22&new=Other",
        )
        .await;
    assert_eq!(answer.status, 422);
    assert!(answer.body.contains("by now"), "{}", answer.body);
    let answer = bench
        .post(&edits, kind, "to=claims&entry.text=Weighs+48+g.&entry.printed=box&entry.kind=unknown&back=//attacker.example")
        .await;
    assert_eq!(answer.status, 303, "{}", answer.body);
    assert_eq!(
        answer.header("location"),
        Some(format!("/d/{}/intake", bench.dossier).as_str())
    );
    let text = bench.library.current(&bench.dossier).await.unwrap().text;
    assert!(text.contains("Weighs 48 g."));
    let answer = bench.post(&edits, kind, "undo=3&back=claims").await;
    assert_eq!(answer.status, 303, "{}", answer.body);
    let text = bench.library.current(&bench.dossier).await.unwrap().text;
    assert!(!text.contains("Weighs 48 g."));
}

/// Every window hears of what was kept and what it moved.
#[tokio::test]
async fn events_tell_what_was_saved_and_moved() {
    let bench = Bench::start().await;
    let mut window = Window::open(&bench).await;
    let reading = json!({ "do": "add", "to": "readings", "entry":
        { "id": "touch", "item": "lamp", "what": "delay", "value": "38.0 ms" } });
    send(&bench, "a", json!([{ "seq": 1, "edits": [reading] }])).await;
    let heard = window.hears(&["event: moved", "\"now\":\"holds\""]).await;
    assert!(
        heard.contains("event: saved") && heard.contains("\"client\":\"a\""),
        "{heard}"
    );
    assert!(heard.contains("id: 2."), "{heard}");
}

/// Two servers may stand before one library: what came through the other is told here too.
#[tokio::test]
async fn a_window_hears_what_another_server_kept() {
    let bench = Bench::start().await;
    let mut window = Window::open(&bench).await;
    let edit = json!({ "do": "set", "at": "product.category", "new": "lamps" });
    let sent = json!({ "client": "elsewhere", "lists": [{ "seq": 1, "edits": [edit] }] });
    let sent = serde_json::from_value(sent).unwrap();
    let (person, now) = (Person::from("B."), "2026-11-28T13:00:00Z".parse().unwrap());
    let library = &bench.library;
    library
        .save(&bench.dossier, &sent, &person, now)
        .await
        .unwrap();
    let heard = window.hears(&["event: again", "\"revision\":2"]).await;
    assert!(!heard.contains("event: saved"), "{heard}");
}

#[tokio::test]
async fn questions_write_nothing() {
    let bench = Bench::start().await;
    let ask = async |what: &str, body: Value| {
        let path = format!("/d/{}/{what}", bench.dossier);
        bench
            .post(&path, "application/json", &body.to_string())
            .await
            .json()
    };
    let edit = json!({ "do": "add", "to": "readings", "entry":
        { "id": "touch", "item": "lamp", "what": "delay", "value": "38.0 ms" } });
    let would = ask("would", json!({ "n": 7, "edits": [edit] })).await;
    assert_eq!(would["n"], 7);
    assert_eq!(would["moved"]["verdicts"][0]["now"], "holds");
    let reads = ask(
        "claim-reads",
        json!({ "n": 8, "text": "Charges in 75 min." }),
    )
    .await;
    let says = reads["proposals"][0]["says"][0]
        .as_str()
        .unwrap()
        .replace('\u{202f}', " ");
    assert!(says.starts_with("at most 75 min + 3.75 min"), "{says}");
    let found = ask("find", json!({ "n": 9, "words": "touch contr" })).await;
    assert!(
        found["hits"][0]["words"]
            .as_str()
            .unwrap()
            .contains("touch controller"),
        "{found}"
    );
    let balance = ask("balance", json!({ "n": 10, "edits": [] })).await;
    assert!(
        balance["says"][0].as_str().unwrap().contains("weighings"),
        "{balance}"
    );
    let refused = ask(
        "would",
        json!({ "n": 11, "edits": [{ "do": "set", "at": "reading:none.value", "new": "3 g" }] }),
    )
    .await;
    assert!(refused["refused"].is_string(), "{refused}");
    assert_eq!(
        bench.library.head(&bench.dossier).await.unwrap().revision,
        1
    );
}

/// What is typed of a label, an identifier or a weight is read as the methods read it; an arrival is told its places.
#[tokio::test]
async fn lines_of_intake_are_read_while_they_are_typed() {
    let bench = Bench::start().await;
    let ask = async |what: &str, body: Value| {
        let path = format!("/d/{}/{what}", bench.dossier);
        bench
            .post(&path, "application/json", &body.to_string())
            .await
    };
    let label = ask(
        "label-reads",
        json!({ "n": 1, "text": "INPUT 9 V = 2 A, 18 W\nOUTPUT 5 V DC 0.5 A, 4 W\nLOT 2631" }),
    )
    .await
    .json();
    let agrees: Vec<&Value> = label["lines"]
        .as_array()
        .unwrap()
        .iter()
        .map(|l| &l["agrees"])
        .collect();
    assert_eq!(
        agrees,
        [&json!(true), &json!(false), &Value::Null],
        "{label}"
    );
    assert!(label["entry"]["input"].is_string(), "{label}");
    // Source: the worked example of the check digit, GS1 General Specifications, section 7.9.
    let right = ask(
        "identifier-reads",
        json!({ "n": 2, "text": "6291041500213" }),
    )
    .await
    .json();
    assert_eq!(
        (&right["right"], &right["kind"]),
        (&json!(true), &json!("GTIN-13"))
    );
    let slip = ask(
        "identifier-reads",
        json!({ "n": 3, "text": "6291041500231" }),
    )
    .await
    .json();
    assert_eq!(slip["right"], false);
    let set = json!({ "do": "add", "to": "readings", "entry":
        { "id": "again", "item": "cradle-base", "what": "mass", "value": "60 g", "instrument": "scale" } });
    let balance = ask(
        "balance",
        json!({ "n": 4, "edits": [set], "item": "cradle-base" }),
    )
    .await
    .json();
    assert!(
        balance["balance"].to_string().contains("unaccounted for"),
        "{balance}"
    );
    let arrived = ask(
        "arrives",
        json!({ "n": 5, "text": "3,02", "held": "lamp-motion" }),
    )
    .await
    .json();
    let first = &arrived["destinations"][0];
    assert_eq!(first["edits"][0]["entry"]["value"], "3.02 mm", "{arrived}");
    let long = "9".repeat(501);
    assert_eq!(
        ask("arrives", json!({ "n": 6, "text": long })).await.status,
        422
    );
    assert_eq!(
        ask("label-reads", json!({ "n": 7, "text": "x".repeat(4001) }))
            .await
            .status,
        422
    );
    assert_eq!(
        bench.library.head(&bench.dossier).await.unwrap().revision,
        1
    );
}

fn table(parts: &[(&str, &str)]) -> String {
    let part = |(name, body): &(&str, &str)| {
        let file = if *name == "file" {
            "; filename=\"a.csv\""
        } else {
            ""
        };
        format!("--b\r\nContent-Disposition: form-data; name=\"{name}\"{file}\r\n\r\n{body}\r\n")
    };
    parts.iter().map(part).collect::<String>() + "--b--\r\n"
}

/// A table is shown as it would be taken and writes nothing; what is no table is refused with a reason.
#[tokio::test]
async fn a_table_is_read_as_it_would_be_taken() {
    let bench = Bench::start().await;
    let path = format!("/d/{}/table", bench.dossier);
    let kind = "multipart/form-data; boundary=b";
    let send = async |body: String| bench.post(&path, kind, &body).await;
    let cells = "RefDes,Marking,Board\nU91,ZK4<b>,lamp-main\nU92,A,nowhere\n";
    let told = send(table(&[("file", cells)])).await.json();
    assert_eq!(told["edits"].as_array().unwrap().len(), 1, "{told}");
    let html = told["html"].as_str().unwrap();
    assert!(
        html.contains("1 row cannot be taken") && !html.contains("<b>"),
        "{html}"
    );
    // Other columns: what it is said to be.
    let odd = [
        ("cells", "a\tb\nlamp\t41.2 g\n"),
        ("map", "[\"item\",\"mass\"]"),
    ];
    let asked = send(table(&odd[..1])).await.json();
    assert_eq!(asked["edits"], json!([]));
    let told = send(table(&odd)).await.json();
    assert_eq!(told["edits"][0]["entry"]["value"], "41.2 g", "{told}");
    for body in [
        table(&[]),
        table(&[("file", "")]),
        table(&[("file", "\u{0}\u{1}\u{2}")]),
        table(&[
            ("cells", "item,mass (g)\nlamp,3\n"),
            ("map", "[\"weight of evidence\"]"),
        ]),
        "--b\r\nContent-Disposition: form-data; name=\"file\"\r\n\r\nhalf".to_string(),
    ] {
        let answer = send(body.clone()).await;
        assert!(
            (400..500).contains(&answer.status),
            "{body}: {}",
            answer.body
        );
        assert!(answer.json()["remedy"].is_string());
    }
    let other = bench
        .send(
            &format!("POST {path} HTTP/1.1"),
            &[
                ("Cookie", &bench.cookie),
                ("Content-Type", kind),
                ("Origin", "http://attacker.example"),
            ],
            &table(&[("file", cells)]),
        )
        .await;
    assert_eq!(other.status, 403);
    let large = table(&[("file", &"x".repeat(17 << 20))]);
    let answer = send(large).await;
    assert!(
        answer.status == 413 || answer.status == 422 || answer.status == 0,
        "{}",
        answer.status
    );
    assert_eq!(
        bench.library.head(&bench.dossier).await.unwrap().revision,
        1
    );
    let page = bench.get(&path).await;
    assert!(page.body.contains("Cells copied from a spreadsheet"));
}

/// The page of repair draws the way to each part over the photographs, there and back; a step that can no longer be
/// undone moves what is said.
#[tokio::test]
async fn repair_tells_the_way_to_each_part_and_back() {
    let bench = Bench::start().await;
    let path = format!("/d/{}/repair?at=cradle-cell", bench.dossier);
    let page = bench.get(&path).await;
    assert_eq!(page.status, 200);
    for words in [
        "To the cylindrical cell of the cradle, and back",
        "Steps 5 marked.",
        "speaks against it",
        "second-hand",
        "double-sided tape under the foot",
        "repair.product",
    ] {
        assert!(page.body.contains(words), "{words}");
    }
    assert!(!page.body.contains("does not comply"));
    // Plain forms write there and go back here.
    let back = format!("/d/{}/repair", bench.dossier);
    for form in [
        "at=steps.peel-foot.undo&old=%22with-new-material%22&new=no&back=repair",
        "to=repair-facts&back=repair&entry.what=manual&entry.is=no&entry.source=shop&entry.date=2026-10-05",
    ] {
        let kind = "application/x-www-form-urlencoded";
        let answer = bench.post(&bench.edits(), kind, form).await;
        assert_eq!(answer.status, 303, "{}", answer.body);
        assert_eq!(answer.header("location"), Some(back.as_str()));
    }
    let page = bench.get(&path).await;
    assert!(page.body.contains("Cannot be undone: "));
}

/// The page of the cost tells what the demonstration costs; another volume, another price and another rate move it.
#[tokio::test]
async fn the_cost_moves_with_volume_price_and_rate() {
    let bench = Bench::start().await;
    let page = bench.get(&format!("/d/{}/cost", bench.dossier)).await;
    assert_eq!(page.status, 200);
    let body = page.body.replace(['\u{202f}', '\u{a0}'], " ");
    for words in [
        "At 20 000 built, one piece costs",
        "What the uncertainty of the cost rests on",
        "Spring clip",
        "Ask for a quote of",
        "cost.volume",
    ] {
        assert!(body.contains(words), "{words}");
    }
    let edits = [
        set("cost.volume", json!(20_000), json!(200_000)),
        json!({ "do": "add", "to": "prices", "entry":
            { "of": "lamp-main", "each": "9.00 EUR", "confidence": "quote", "date": "2026-10-01", "source": "invented" } }),
        json!({ "do": "add", "to": "rates", "entry": { "of": "USD", "is": "0.80 EUR", "date": "2026-10-01" } }),
    ];
    for edit in edits {
        let body = json!({ "n": 1, "edits": [edit] }).to_string();
        let path = format!("/d/{}/would", bench.dossier);
        let would = bench.post(&path, "application/json", &body).await.json();
        let figures = would["moved"]["figures"].to_string();
        assert!(figures.contains("cost"), "{edit}: {would}");
    }
}

/// A log is shown as it would be taken, its columns are corrected, and it is kept; a recording likewise.
#[tokio::test]
async fn logs_and_recordings_are_brought_in() {
    let bench = Bench::start().await;
    let kind = "multipart/form-data; boundary=b";
    let send = async |sort: &str, body: String| {
        let path = format!("/d/{}/bring/{sort}", bench.dossier);
        bench.post(&path, kind, &body).await
    };
    let log = "t / s,U / V,I / A\n0,3.7,0.8\n10,3.8,0.8\n20,3.9,0.8\n";
    let said = [("what", "charge"), ("seat", "cell"), ("item", "lamp-cell")];
    let with = |more: &[(&'static str, &'static str)]| {
        let file = [("file", log)];
        table(&[&file[..], &said[..], more].concat())
    };
    let told = send("log", with(&[])).await.json();
    let html = told["html"].as_str().unwrap();
    assert!(
        html.contains("3 rows") && html.contains("Keep it"),
        "{html}"
    );
    assert!(html.contains("value=\"voltage\" selected"), "{html}");
    // Nothing is kept by looking at it.
    let files = bench.library.files(&bench.dossier).await.unwrap();
    assert!(files.iter().all(|file| file.path != "logs/a.csv"));
    // A column without a unit that can be read is named, with what to do.
    let wrong = r#"[{"holds":"time","unit":"s"},{"holds":"voltage","unit":"V"},{"holds":"current","unit":"furlong"}]"#;
    let told = send("log", with(&[("columns", wrong), ("keep", "yes")])).await;
    assert!((400..500).contains(&told.status), "{}", told.body);
    assert!(told.body.contains("furlong"), "{}", told.body);
    let right = r#"[{"holds":"time","unit":"min"},{"holds":"voltage","unit":"V"},{"holds":"current","unit":"mA"}]"#;
    let kept = send("log", with(&[("columns", right), ("keep", "yes")])).await;
    let edits = kept.json()["edits"].clone();
    assert_eq!(
        edits[0]["entry"]["columns"]["current"]["unit"], "mA",
        "{edits}"
    );
    assert_eq!(edits[0]["entry"]["columns"]["time"]["unit"], "min");
    let list = json!([{ "seq": 1, "edits": edits }]);
    assert_eq!(send_lists(&bench, list).await["lists"][0]["state"], "kept");
    let text = bench.library.current(&bench.dossier).await.unwrap().text;
    assert!(text.contains("file = \"a.csv\""));
    // What is not said is asked for; what is no sound is refused.
    let lacks = send("log", table(&[("file", log)])).await.json();
    assert!(
        lacks["html"].as_str().unwrap().contains("is not said"),
        "{lacks}"
    );
    let none = send(
        "recording",
        table(&[("file", "no sound"), ("what", "event")]),
    )
    .await;
    assert!((400..500).contains(&none.status), "{}", none.body);
    assert!(none.json()["remedy"].is_string());
    let page = bench
        .get(&format!("/d/{}/bring/recording", bench.dossier))
        .await;
    assert_eq!(page.status, 200);
}

async fn send_lists(bench: &Bench, lists: Value) -> Value {
    send(bench, "brings", lists).await
}
