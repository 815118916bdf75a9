//! One cell, the same words in every output, on the findings of the demonstration dossier.

#![allow(clippy::unwrap_used, reason = "a test may stop here")]

mod support;

use methods::{Cell, Column, Kind, Method};
use report::{Block, Table, html, parts_csv, terminal};

/// Every table of the report.
fn tables() -> impl Iterator<Item = &'static Table> {
    let blocks = support::document().sections.iter().flat_map(|s| s.all());
    blocks.filter_map(|block| match block {
        Block::Table(table) => Some(table),
        _ => None,
    })
}

/// The cells of a table of the page as a reader sees them, row by row.
fn seen(page: &str, table: &Table) -> Vec<Vec<String>> {
    let start = page.find(&format!("<table id=\"{}\"", table.id)).unwrap();
    let text = &page[start..start + page[start..].find("</table>").unwrap()];
    let body = text.split_once("<tbody>").unwrap().1;
    let rows = body.split("<tr").skip(1);
    rows.map(|row| {
        let cells = row.split("</td>").flat_map(|part| part.split("</th>"));
        let cells: Vec<String> = cells.map(plain).collect();
        cells[..table.columns.len()].to_vec()
    })
    .collect()
}

/// Text without its tags.
fn plain(markup: &str) -> String {
    let mut out = String::new();
    for part in markup.split('<') {
        let text = part.split_once('>').map_or("", |(_, text)| text);
        out.push_str(text);
    }
    for mark in ["●", "◆", "◧", "◌"] {
        out = out.replace(mark, "");
    }
    // Figures stay with their units on the page.
    out.replace('\u{a0}', " ")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
        .replace("&amp;", "&")
}

#[test]
fn the_page_prints_every_cell_by_the_one_rule() {
    let page = html(support::document());
    let mut cells = 0;
    for table in tables() {
        let seen = seen(&page, table);
        assert_eq!(seen.len(), table.rows.len(), "{}", table.caption);
        for (printed, seen) in table.printed().zip(seen) {
            assert_eq!(printed, seen, "{}", table.caption);
            cells += seen.len();
        }
    }
    assert!(cells > 2000, "{cells}");
}

#[test]
fn the_parts_list_prints_what_the_page_prints() {
    let (_, findings) = support::lamp();
    let text = parts_csv(findings);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let parts = tables().find(|t| t.caption == "Parts list").unwrap();
    let at = |heading: &str| {
        parts
            .columns
            .iter()
            .position(|c| c.heading == heading)
            .unwrap()
    };
    let mut rated = 0;
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), parts.rows.len());
    for (csv, page) in rows.iter().zip(parts.printed()) {
        assert_eq!(csv[1], page[at("Kind")]);
        assert_eq!(csv[3], page[at("Count")]);
        assert_eq!(csv[11], page[at("Ratings")]);
        rated += usize::from(!csv[11].is_empty());
        // The page says certainty and probability in one cell, with the word for it.
        let sure = &page[at("Certainty")];
        assert!(sure.starts_with(&csv[9]), "{sure}");
        let odds = sure.rsplit_once('(').map_or("", |(_, odds)| odds);
        assert_eq!(odds.trim_end_matches(')'), &csv[10], "{sure}");
    }
    assert!(rated > 10);
}

#[test]
fn the_terminal_prints_what_the_page_prints() {
    let (dossier, findings) = support::lamp();
    let text = terminal(dossier, findings, 110).to_string();
    let blocks = support::document().sections.iter().flat_map(|s| s.all());
    let claims = blocks.filter_map(|block| match block {
        Block::Claims(claims) => Some(claims),
        _ => None,
    });
    let groups = claims.flat_map(|c| &c.groups);
    let mut rows: Vec<_> = groups
        .flat_map(|g| g.rows.iter().map(|row| (g.verdict, row)))
        .collect();
    rows.sort_by_key(|(_, row)| row.number);
    let judged = text.lines().filter(|l| {
        let word: String = l.trim_start().chars().skip(2).collect();
        let verdicts = ["holds", "fails", "undecided", "needs evidence"];
        l.contains('“') && verdicts.iter().any(|v| word.starts_with(v))
    });
    let judged: Vec<&str> = judged.collect();
    assert_eq!(judged.len(), rows.len());
    let mut odds_seen = 0;
    for (line, (verdict, row)) in judged.iter().zip(rows) {
        let verdict = report::verdict_words(verdict);
        assert!(line.contains(&format!(" {verdict} ")), "{line}: {row:?}");
        let odds = row
            .reason
            .strip_suffix(')')
            .and_then(|r| r.rsplit_once('('));
        if let Some((_, odds)) = odds.filter(|_| verdict != "fails") {
            odds_seen += 1;
            // The terminal's column has signs for the words.
            let odds = odds.replace("over ", "> ").replace("under ", "< ");
            let odds = odds.replace('\u{202f}', " ");
            let line = line.replace('\u{202f}', " ");
            assert!(line.contains(&format!(" {odds} ")), "{line}: {row:?}");
        }
    }
    assert!(odds_seen > 5);
    let claims = findings
        .findings
        .iter()
        .filter(|f| f.method() == Method::Claims);
    assert_eq!(claims.count(), judged.len());
}

/// A column says what its cells are: nothing else stands in it but words and nothing.
#[test]
fn cells_are_what_their_column_says() {
    let fits = |column: &Column, cell: &Cell| match cell {
        Cell::Nothing | Cell::Words { .. } => true,
        Cell::Count { .. } => column.kind == Kind::Count,
        Cell::Number(_) => match column.kind {
            Kind::Number => column.unit.is_none(),
            kind => kind == Kind::Quantity && column.unit.is_some(),
        },
        // A list of one is that one thing.
        Cell::Quantity(_) => matches!(column.kind, Kind::Quantity | Kind::Words),
        Cell::Date { .. } => column.kind == Kind::Date,
        Cell::Probability { .. } => column.kind == Kind::Probability,
        Cell::Verdict { .. } => column.kind == Kind::Verdict,
        Cell::Place { .. } => matches!(column.kind, Kind::Place | Kind::Words),
        Cell::Named { .. } | Cell::List { .. } => column.kind == Kind::Words,
    };
    for table in tables() {
        for row in &table.rows {
            assert_eq!(row.len(), table.columns.len(), "{}", table.caption);
            for (column, cell) in table.columns.iter().zip(row) {
                assert!(fits(column, cell), "{}: {column:?} {cell:?}", table.caption);
                // A bare number in words would be a number that nobody can reckon with.
                let Cell::Words { words } = cell else {
                    continue;
                };
                let number = words.trim_start_matches(['−', '-', '+', '<', '>', '≥', ' ']);
                assert!(
                    number.parse::<f64>().is_err() || column.kind == Kind::Words,
                    "{}: {words}",
                    table.caption
                );
            }
        }
    }
}
