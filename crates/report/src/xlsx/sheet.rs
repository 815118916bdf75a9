//! One sheet as data, and how it is drawn.
//!
//! In: columns and cells. Out: a worksheet with a frozen, filtered heading row and wrapped text.
//! Not here: which sheets there are; what a cell becomes (`value`).

use super::value::{Value, value};
use methods::{Cell, Column};
use rust_xlsxwriter::{Format, FormatAlign, FormatBorder, Worksheet, XlsxError};
use std::collections::BTreeMap;

/// Most characters of a cell (the format allows 32,767).
const LONGEST: usize = 32_000;

/// One sheet.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sheet {
    /// Name on the tab.
    pub(super) name: &'static str,
    /// Columns and their widths in characters.
    pub(super) columns: Vec<(Column, f64)>,
    /// Rows.
    pub(super) rows: Vec<Vec<Cell>>,
    /// Depths of the rows in a tree, by which the first cells are moved to the right; may be empty.
    pub(super) depths: Vec<usize>,
}

impl Sheet {
    /// Makes a sheet.
    pub(super) fn new(
        name: &'static str,
        columns: Vec<(Column, f64)>,
        rows: Vec<Vec<Cell>>,
    ) -> Self {
        Self {
            name,
            columns,
            rows,
            depths: Vec::new(),
        }
    }

    /// Draws the sheet.
    pub(super) fn write(&self, sheet: &mut Worksheet) -> Result<(), XlsxError> {
        sheet.set_name(self.name)?;
        for (at, (_, width)) in (0_u16..).zip(&self.columns) {
            sheet.set_column_width(at, *width)?;
        }
        let mut writer = Writer::new(
            sheet,
            self.columns.iter().map(|(_, width)| *width).collect(),
        );
        let columns: Vec<&Column> = self.columns.iter().map(|(column, _)| column).collect();
        writer.headings(&columns)?;
        for (at, row) in self.rows.iter().enumerate() {
            let depth = self.depths.get(at).copied().unwrap_or(0);
            writer.row(&columns, row, depth)?;
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

/// Writes row after row.
pub(super) struct Writer<'s> {
    sheet: &'s mut Worksheet,
    widths: Vec<f64>,
    formats: BTreeMap<CellStyle, Format>,
    next: u32,
}

/// A format in use.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum CellStyle {
    /// A number or a day, by its pattern.
    Number(String),
    /// Text moved to the right by so many steps.
    Text(u8),
    /// A heading.
    Heading,
    /// The caption of a table among others.
    Caption,
}

impl<'s> Writer<'s> {
    /// Starts at the top of a sheet whose columns are so many characters wide.
    pub(super) fn new(sheet: &'s mut Worksheet, widths: Vec<f64>) -> Self {
        Self {
            sheet,
            widths,
            formats: BTreeMap::new(),
            next: 0,
        }
    }

    /// Writes the caption of a table, an empty row before it where it is not the first.
    pub(super) fn caption(&mut self, text: &str) -> Result<(), XlsxError> {
        if self.next > 0 {
            self.next += 1;
        }
        let format = format(&mut self.formats, CellStyle::Caption);
        self.sheet
            .write_string_with_format(self.next, 0, shortened(text), format)?;
        self.next += 1;
        Ok(())
    }

    /// Writes the row of headings.
    pub(super) fn headings(&mut self, columns: &[&Column]) -> Result<(), XlsxError> {
        let texts: Vec<String> = columns.iter().map(|column| column.text()).collect();
        let height = height(self.lines(&texts));
        self.sheet.set_row_height(self.next, height)?;
        for (at, text) in (0_u16..).zip(&texts) {
            let format = format(&mut self.formats, CellStyle::Heading);
            self.sheet
                .write_string_with_format(self.next, at, text, format)?;
        }
        self.next += 1;
        Ok(())
    }

    /// Writes a row; the first cell is moved to the right by its depth in a tree.
    pub(super) fn row(
        &mut self,
        columns: &[&Column],
        cells: &[Cell],
        depth: usize,
    ) -> Result<(), XlsxError> {
        let written: Vec<Value> = columns
            .iter()
            .zip(cells)
            .map(|(column, cell)| value(column, cell))
            .collect();
        let texts: Vec<&str> = written.iter().map(Value::text).collect();
        let height = height(self.lines(&texts));
        self.sheet.set_row_height(self.next, height)?;
        for (at, value) in (0_u16..).zip(&written) {
            let indent = u8::try_from(if at == 0 { depth } else { 0 }).unwrap_or(u8::MAX);
            self.cell(at, value, indent.min(15))?;
        }
        self.next += 1;
        Ok(())
    }

    fn cell(&mut self, at: u16, value: &Value, indent: u8) -> Result<(), XlsxError> {
        let row = self.next;
        let (sheet, formats) = (&mut *self.sheet, &mut self.formats);
        match value {
            Value::Nothing => {}
            Value::Text(text) => {
                let format = format(formats, CellStyle::Text(indent));
                sheet.write_string_with_format(row, at, shortened(text), format)?;
            }
            Value::Number(number, pattern) => {
                let format = format(formats, CellStyle::Number(pattern.clone()));
                sheet.write_number_with_format(row, at, *number, format)?;
            }
            Value::Date(day) => {
                let format = format(formats, CellStyle::Number("yyyy\\-mm\\-dd".to_owned()));
                sheet.write_datetime_with_format(row, at, day, format)?;
            }
        }
        Ok(())
    }

    /// Returns the lines that the texts of a row need in their columns. Not every spreadsheet
    /// program finds the height of wrapped text by itself.
    fn lines(&self, texts: &[impl AsRef<str>]) -> usize {
        let of = |text: &str, width: f64| {
            text.lines()
                .map(|l| l.chars().count().div_ceil(letters(width)).max(1))
                .sum()
        };
        texts
            .iter()
            .zip(&self.widths)
            .map(|(text, width)| of(text.as_ref(), *width))
            .max()
            .unwrap_or(1)
    }
}

fn format(formats: &mut BTreeMap<CellStyle, Format>, look: CellStyle) -> &Format {
    formats.entry(look).or_insert_with_key(|look| {
        let format = Format::new().set_align(FormatAlign::Top);
        match look {
            CellStyle::Number(pattern) => format.set_num_format(pattern),
            CellStyle::Text(indent) => format
                .set_text_wrap()
                .set_align(FormatAlign::Left)
                .set_indent(*indent),
            CellStyle::Heading => format
                .set_bold()
                .set_text_wrap()
                .set_border_bottom(FormatBorder::Thin),
            CellStyle::Caption => format.set_bold(),
        }
    })
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
