//! The table of columns in `docs/catalogue.md`, made from [`COLUMNS`] so that it cannot drift.

use crate::COLUMNS;

fn table() -> String {
    let mut table = String::from("| column | meaning | example |\n| --- | --- | --- |\n");
    for column in COLUMNS {
        let example = column.example.replace('|', "\\|");
        table.push_str(&format!(
            "| `{}` | {} | `{example}` |\n",
            column.name, column.meaning
        ));
    }
    table
}

#[test]
fn the_page_shows_the_columns() {
    let page = include_str!("../../../docs/catalogue.md");
    let (_, rest) = page.split_once("<!-- columns -->\n").expect("a start");
    let (shown, _) = rest.split_once("<!-- end of columns -->").expect("an end");
    assert_eq!(shown, table());
}

#[test]
fn the_examples_can_be_read() {
    let heading: Vec<&str> = COLUMNS.iter().map(|column| column.name).collect();
    let row: Vec<String> = COLUMNS
        .iter()
        .map(|column| format!("\"{}\"", column.example))
        .collect();
    let text = format!("{}\n{}\n", heading.join(","), row.join(","));
    let read = crate::read(text.as_bytes(), "examples");
    assert_eq!(read.remarks, []);
    assert_eq!(
        read.rows[0].part.cells(),
        COLUMNS
            .iter()
            .map(|c| ordered(c.example))
            .collect::<Vec<_>>()
    );
}

/// Ratings are kept by name.
fn ordered(example: &str) -> String {
    let mut items: Vec<&str> = example.split(" | ").collect();
    if example.contains('=') {
        items.sort_unstable();
    }
    items.join(" | ")
}
