//! Tables of markings as programs write them: any encoding and delimiter, bad rows among good ones, many rows.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use std::fs;
use std::io::{BufRead, BufReader, Read};
use std::path::Path;
use std::process::{Command, Stdio};
use support::{code, said, told, underlid};
use tempfile::TempDir;

const KNOWN: &str = "name,maker,packages,pins\n\
    THK4821,Threndova,QFN-16,16\n\
    OXT7,André,SOT-23-5,5\n\
    µR2104,Nordhafen,QFN-16,16\n";

fn at() -> TempDir {
    let at = TempDir::new().unwrap();
    fs::write(at.path().join("known.csv"), KNOWN).unwrap();
    at
}

/// The rows answered, and what was told beside them.
#[track_caller]
fn answered(table: &[u8], at: &Path) -> (Vec<csv::StringRecord>, String) {
    fs::write(at.join("seen.csv"), table).unwrap();
    let arguments = ["read", "--batch", "seen.csv", "--catalogue", "known.csv"];
    let output = underlid(&arguments, at);
    assert_eq!(code(&output), 0, "{}", told(&output));
    let mut rows = csv::Reader::from_reader(output.stdout.as_slice());
    (rows.records().map(Result::unwrap).collect(), told(&output))
}

#[test]
fn encodings_and_delimiters_do_not_matter() {
    let at = at();
    let text = "marking,maker,pins\r\nOXT?,André,5\r\nµR2104,,16\r\n";
    let (plain, _) = answered(text.as_bytes(), at.path());
    assert_eq!((&plain[0][1], &plain[1][1]), ("OXT7", "µR2104"));
    let wide = |text: &str, unit: fn(u16) -> [u8; 2]| -> Vec<u8> {
        text.encode_utf16().flat_map(unit).collect()
    };
    let marked = format!("\u{feff}{text}");
    let western: Vec<u8> = text
        .chars()
        .map(|c| u8::try_from(u32::from(c)).unwrap())
        .collect();
    for (table, encoding) in [
        (marked.clone().into_bytes(), ""),
        (wide(&marked, u16::to_le_bytes), "UTF-16"),
        (wide(&marked, u16::to_be_bytes), "UTF-16"),
        (wide(text, u16::to_le_bytes), "UTF-16"),
        (western, "Windows-1252"),
        (text.replace(',', ";").into_bytes(), ""),
        (text.replace(',', "\t").into_bytes(), ""),
        (text.replace("\r\n", "\r").into_bytes(), ""),
    ] {
        let (rows, told) = answered(&table, at.path());
        assert_eq!(rows, plain, "{encoding}");
        assert!(told.contains(encoding), "{told}");
    }
}

#[test]
fn a_line_break_in_a_cell_is_one_on_the_part() {
    let at = at();
    let (rows, _) = answered(
        b"marking,pins\n\"THK4821\r\n6K1\n\",16\nTHK4821|6K1,16\n",
        at.path(),
    );
    assert_eq!(&rows[0][0], "THK4821|6K1");
    assert_eq!(rows[0], rows[1]);
}

#[test]
fn columns_that_are_not_read_are_named() {
    let at = at();
    let (_, told) = answered(b"Marking;weight;pins;Case\nTHK4821;3;16;QFN\n", at.path());
    assert!(told.contains("not read: “weight”, “Case”"), "{told}");
    assert!(
        told.contains("marking, package, pins, size, pitch, maker, role"),
        "{told}"
    );
}

#[test]
fn a_bad_row_costs_only_itself() {
    let at = at();
    let mut table =
        b"marking,pins,maker\nTHK4[21,,\nTHK4821,,Andr\xc3\xa9\n\xe9TH,,\n\"THK4821,16,\n".to_vec();
    table.extend_from_slice(b"OXT7,many,\nOXT7,5,x,7\nOXT7\nTH\x1b[31m,,\n");
    // After very many quotation marks that are not closed the others are still read.
    table.extend("\"9,,\n".repeat(300).into_bytes());
    table.extend_from_slice(b"OXT7,5,\n");
    let (rows, told) = answered(&table, at.path());
    assert_eq!(rows.len(), 309);
    let names: Vec<&str> = rows
        .iter()
        .map(|row| &row[1])
        .filter(|n| !n.is_empty())
        .collect();
    assert_eq!(names, ["THK4821", "OXT7", "OXT7"]);
    for (row, reason) in [
        (
            0,
            "line 2: the marking “THK4[21”: the brackets in this marking do not pair",
        ),
        (2, "line 4: the cell is not UTF-8"),
        (3, "line 5: a quotation mark is opened here and not closed"),
        (4, "line 6: “many” is not a number of pins"),
        (5, "line 7: the row has 4 cells, the heading 3"),
        (7, "the control character U+001B"),
    ] {
        assert!(rows[row][8].contains(reason), "{:?}", rows[row]);
    }
    assert!(
        told.contains("3 answered, 0 fit nothing known, 306 cannot be read"),
        "{told}"
    );
}

#[test]
fn without_any_answer_the_exit_code_says_so() {
    let at = at();
    fs::write(at.path().join("seen.csv"), "marking\nVWVWVWVW\n").unwrap();
    let arguments = ["read", "--batch", "seen.csv", "--catalogue", "known.csv"];
    assert_eq!(code(&underlid(&arguments, at.path())), 4);
    fs::write(at.path().join("seen.csv"), "Top mark\nVWVWVWVW\n").unwrap();
    let output = underlid(&arguments, at.path());
    assert_eq!(code(&output), 3);
    assert!(told(&output).contains("there is no column marking; the columns are “Top mark”"));
    assert_eq!(said(&output), "");
}

#[test]
fn answers_for_programs_are_one_object() {
    let at = at();
    fs::write(at.path().join("seen.csv"), "marking\nTHK4821\n\"x\nOX[\n").unwrap();
    let arguments = [
        "read",
        "--batch",
        "seen.csv",
        "--catalogue",
        "known.csv",
        "--format",
        "json",
    ];
    let output = underlid(&arguments, at.path());
    let answer: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let rows = &answer["answers"];
    let tally = ["answered", "fit-nothing", "cannot-be-read"].map(|key| answer[key].as_u64());
    assert_eq!(tally, [Some(1), Some(0), Some(2)]);
    assert_eq!(told(&output), "");
    assert_eq!(rows.as_array().unwrap().len(), 3);
    assert_eq!(
        (&rows[0]["line"], &rows[0]["verdict"]),
        (&2.into(), &"part".into())
    );
    assert!(rows[2]["refused"].as_str().unwrap().starts_with("line 4: "));
    fs::write(at.path().join("seen.csv"), "marking\n").unwrap();
    let output = underlid(&arguments, at.path());
    let answer: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let none = (&answer["answers"], &answer["answered"]);
    assert_eq!(none, (&serde_json::json!([]), &0.into()));
    assert_eq!(code(&output), 4);
}

/// Whoever reads the first rows and leaves has them long before the last one is worked out.
#[test]
fn rows_come_out_as_they_are_answered() {
    const ROWS: usize = 200_000;
    let at = at();
    let table = format!("marking\n{}", "THK4B2?\n".repeat(ROWS));
    fs::write(at.path().join("seen.csv"), table).unwrap();
    let mut child = Command::new(env!("CARGO_BIN_EXE_underlid"))
        .args(["read", "--batch", "seen.csv", "--catalogue", "known.csv"])
        .current_dir(at.path())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    assert!(lines.next().unwrap().unwrap().starts_with("marking,part"));
    assert!(
        lines
            .next()
            .unwrap()
            .unwrap()
            .starts_with("THK4B2?,THK4821")
    );
    drop(lines);
    let mut told = String::new();
    child
        .stderr
        .take()
        .unwrap()
        .read_to_string(&mut told)
        .unwrap();
    assert_eq!(child.wait().unwrap().code(), Some(0), "{told}");
    let tally = told
        .lines()
        .find(|line| line.contains(" answered, "))
        .unwrap();
    let answered: usize = tally
        .split_whitespace()
        .find_map(|word| word.parse().ok())
        .unwrap();
    assert!(answered < ROWS, "all rows were worked out first: {tally}");
}
