//! A text cut into sentences with their words, names and roles.
//!
//! In: a [`Text`]. Out: sentences. Not here: what they say of a part (`find`, `told`).

use crate::columns::Columns;
use crate::kinds::is_no_part;
use crate::makers::{self, Phrase};
use crate::roles;
use crate::sentences::sentences;
use crate::text::{Block, Kind, Text};
use crate::words::{Word, words};
use std::collections::BTreeMap;
use std::ops::Range;

/// One sentence under work.
pub(crate) struct Sentence<'t> {
    pub(crate) words: Vec<Word<'t>>,
    pub(crate) text: &'t str,
    pub(crate) line: usize,
    pub(crate) phrases: Vec<Phrase>,
    pub(crate) roles: Vec<Range<usize>>,
    pub(crate) cells: Option<Cells>,
    pub(crate) title: bool,
}

/// What the columns of a row hold, as words of the sentence.
#[derive(Debug, Clone, Default)]
pub(crate) struct Cells {
    pub(crate) part: Range<usize>,
    pub(crate) maker: Range<usize>,
    pub(crate) role: Range<usize>,
}

/// Cuts a text into sentences with their words.
pub(crate) fn prepared(text: &Text) -> Vec<Sentence<'_>> {
    let mut all = Vec::new();
    let mut columns: BTreeMap<usize, Columns> = BTreeMap::new();
    for (number, block) in text.blocks.iter().enumerate() {
        let title = number == 0 && block.kind == Kind::Heading;
        match &block.kind {
            Kind::Row { table, cells } => {
                let texts: Vec<&str> = cells
                    .iter()
                    .map(|cell| block.text.get(cell.clone()).unwrap_or_default())
                    .collect();
                let headings = !columns.contains_key(table);
                if headings {
                    let read = Columns::of(&texts);
                    let any = read.any();
                    columns.insert(*table, read);
                    if any {
                        continue;
                    }
                }
                let mut sentence = sentence(block, 0..block.text.len(), false);
                sentence.cells = columns
                    .get(table)
                    .filter(|c| c.any())
                    .map(|columns| in_cells(&sentence.words, cells, columns));
                all.push(sentence);
            }
            _ => {
                for range in sentences(&block.text) {
                    all.push(sentence(block, range, title));
                }
            }
        }
    }
    all
}

fn in_cells(words: &[Word<'_>], cells: &[Range<usize>], columns: &Columns) -> Cells {
    let of = |column: Option<usize>| {
        let Some(cell) = column.and_then(|n| cells.get(n)) else {
            return 0..0;
        };
        let first = words.partition_point(|word| word.from < cell.start);
        first..words.partition_point(|word| word.to <= cell.end).max(first)
    };
    Cells {
        part: of(columns.part),
        maker: of(columns.maker),
        role: of(columns.role),
    }
}

fn sentence(block: &Block, range: Range<usize>, title: bool) -> Sentence<'_> {
    let text = &block.text[range.clone()];
    let words = joined(text, words(text));
    Sentence {
        phrases: makers::phrases(&words),
        roles: roles::roles(&words),
        line: block.line(range.start),
        words,
        text,
        cells: None,
        title,
    }
}

/// Joins letters and the number behind them, where they are written apart: "RKT 2104".
fn joined<'t>(text: &'t str, words: Vec<Word<'t>>) -> Vec<Word<'t>> {
    let mut all: Vec<Word<'t>> = Vec::new();
    for word in words {
        let digits = word.text.chars().take_while(char::is_ascii_digit).count();
        let tail = &word.text[digits..];
        let number = (3..=5).contains(&digits)
            && tail.len() <= 4
            && tail.chars().all(|c| c.is_ascii_uppercase() || c == '-');
        if let Some(last) = all.last_mut()
            && number
            && word.gap == " "
            && !last.owns
            && (2..=4).contains(&last.text.len())
            && last.text.chars().all(|c| c.is_ascii_uppercase())
            && !is_no_part(&format!("{}{}", last.text, word.text))
            && !matches!(
                last.text,
                "THE" | "AND" | "OF" | "NO" | "IN" | "EUR" | "USD" | "GBP" | "AT"
            )
        {
            last.to = word.to;
            last.text = &text[last.from..word.to];
            last.lower = last.text.to_lowercase();
            last.owns = word.owns;
            continue;
        }
        all.push(word);
    }
    all
}
