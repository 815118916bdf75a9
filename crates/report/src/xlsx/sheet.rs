//! One sheet as data, and how it is drawn.
//!
//! In: headings and cells. Out: a worksheet with a frozen, filtered heading row and wrapped text.
//! Not here: which sheets there are.

use rust_xlsxwriter::{Format, FormatAlign, FormatBorder, Worksheet, XlsxError};
use std::collections::BTreeMap;

/// Most characters of a cell (the format allows 32,767).
const LONGEST: usize = 32_000;

/// One cell.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    /// Nothing.
    Empty,
    /// Text; never read as a formula.
    Text(String),
    /// Text moved to the right, for the depth in a tree.
    Indented(String, u8),
    /// A number and the decimals shown.
    Number(f64, usize),
    /// A fraction shown as percent.
    Percent(f64),
}

impl Cell {
    /// Makes a text cell; an empty one for empty text.
    pub(super) fn text(text: impl Into<String>) -> Self {
        let text = text.into();
        if text.is_empty() {
            Self::Empty
        } else {
            Self::Text(text)
        }
    }

    /// Makes a text cell from what may be absent.
    pub(super) fn optional(text: Option<&str>) -> Self {
        text.map_or(Self::Empty, Self::text)
    }

    /// Makes a number cell; what is not finite has no place in a sheet and is left out.
    pub(super) fn number(value: f64, decimals: usize) -> Self {
        if value.is_finite() {
            Self::Number(value, decimals)
        } else {
            Self::Empty
        }
    }

    /// Returns the text that may need more than one line.
    fn written(&self) -> &str {
        match self {
            Self::Text(text) | Self::Indented(text, _) => text,
            Self::Empty | Self::Number(..) | Self::Percent(_) => "",
        }
    }

    /// Makes a cell with a whole number.
    pub(super) fn count(count: usize) -> Self {
        u32::try_from(count).map_or(Self::Empty, |n| Self::Number(f64::from(n), 0))
    }
}

/// One sheet.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sheet {
    /// Name on the tab.
    pub(super) name: &'static str,
    /// Headings, units included, and widths in characters.
    pub(super) columns: Vec<(String, f64)>,
    /// Rows.
    pub(super) rows: Vec<Vec<Cell>>,
}

impl Sheet {
    /// Makes a sheet from fixed headings.
    pub(super) fn new(name: &'static str, columns: &[(&str, f64)], rows: Vec<Vec<Cell>>) -> Self {
        let columns = columns.iter().map(|(h, w)| ((*h).to_owned(), *w)).collect();
        Self {
            name,
            columns,
            rows,
        }
    }

    /// Draws the sheet.
    pub(super) fn write(&self, sheet: &mut Worksheet) -> Result<(), XlsxError> {
        let heading = Format::new()
            .set_bold()
            .set_text_wrap()
            .set_align(FormatAlign::Top)
            .set_border_bottom(FormatBorder::Thin);
        sheet.set_name(self.name)?;
        for (at, (text, width)) in (0_u16..).zip(&self.columns) {
            sheet.write_string_with_format(0, at, text, &heading)?;
            sheet.set_column_width(at, *width)?;
        }
        sheet.set_row_height(
            0,
            height(self.lines(self.columns.iter().map(|(h, _)| h.as_str()))),
        )?;
        let mut formats = Formats::default();
        for (row, cells) in (1_u32..).zip(&self.rows) {
            sheet.set_row_height(row, height(self.lines(cells.iter().map(Cell::written))))?;
            for (at, cell) in (0_u16..).zip(cells) {
                formats.write(sheet, row, at, cell)?;
            }
        }
        sheet.set_freeze_panes(1, 1)?;
        let last_row = u32::try_from(self.rows.len()).unwrap_or(u32::MAX);
        let last_column = u16::try_from(self.columns.len().saturating_sub(1)).unwrap_or(u16::MAX);
        sheet.autofilter(0, 0, last_row.max(1), last_column)?;
        // On paper: sideways, one page wide, heading repeated.
        sheet
            .set_landscape()
            .set_paper_size(9)
            .set_print_fit_to_pages(1, 0);
        sheet.set_repeat_rows(0, 0)?;
        Ok(())
    }
}

impl Sheet {
    /// Returns the lines that the texts of a row need in their columns. Not every spreadsheet
    /// program finds the height of wrapped text by itself.
    fn lines<'a>(&self, texts: impl Iterator<Item = &'a str>) -> usize {
        let of = |text: &str, width: f64| {
            text.lines()
                .map(|l| l.chars().count().div_ceil(letters(width)).max(1))
                .sum()
        };
        texts
            .zip(&self.columns)
            .map(|(t, (_, width))| of(t, *width))
            .max()
            .unwrap_or(1)
    }
}

/// Letters that safely fit in a column, whose width counts digits and includes the margins.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "widths are small positive constants"
)]
fn letters(width: f64) -> usize {
    ((width - 1.5).max(1.0)) as usize
}

/// Returns the height of a row, points; the format ends at 409.
fn height(lines: usize) -> f64 {
    f64::from(u16::try_from(lines.clamp(1, 27)).unwrap_or(27)) * 15.0
}

/// The formats in use, made once each.
#[derive(Default)]
struct Formats {
    numbers: BTreeMap<String, Format>,
    indents: BTreeMap<u8, Format>,
}

impl Formats {
    fn number(&mut self, pattern: String) -> &Format {
        self.numbers.entry(pattern).or_insert_with_key(|pattern| {
            Format::new()
                .set_num_format(pattern)
                .set_align(FormatAlign::Top)
        })
    }

    fn text(&mut self, indent: u8) -> &Format {
        self.indents.entry(indent).or_insert_with(|| {
            Format::new()
                .set_text_wrap()
                .set_align(FormatAlign::Top)
                .set_align(FormatAlign::Left)
                .set_indent(indent)
        })
    }

    fn write(
        &mut self,
        sheet: &mut Worksheet,
        row: u32,
        at: u16,
        cell: &Cell,
    ) -> Result<(), XlsxError> {
        match cell {
            Cell::Empty => {}
            Cell::Text(text) => {
                sheet.write_string_with_format(row, at, shortened(text), self.text(0))?;
            }
            Cell::Indented(text, depth) => {
                sheet.write_string_with_format(row, at, shortened(text), self.text(*depth))?;
            }
            Cell::Number(value, decimals) => {
                let pattern = if *decimals == 0 {
                    "0".to_owned()
                } else {
                    format!("0.{}", "0".repeat(*decimals))
                };
                sheet.write_number_with_format(row, at, *value, self.number(pattern))?;
            }
            Cell::Percent(fraction) => {
                sheet.write_number_with_format(
                    row,
                    at,
                    *fraction,
                    self.number("0.0 %".to_owned()),
                )?;
            }
        }
        Ok(())
    }
}

/// Returns the text as far as a cell can hold it.
fn shortened(text: &str) -> String {
    if text.len() <= LONGEST {
        text.to_owned()
    } else {
        let mut short: String = text.chars().take(LONGEST - 1).collect();
        short.push('…');
        short
    }
}
