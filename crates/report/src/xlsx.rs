//! The workbook: claims, parts, power, cells, masses, sizes, steps, readings, open questions, every finding, every table and chart.
//!
//! In: a dossier and its findings. Out: the bytes of an XLSX file; the same input gives the same
//! bytes, since no clock is asked.
//! Not here: any calculation; formulas. Numbers stay numbers, shown with the digits that the other
//! outputs print; units stand in the headings or in the format of the number.

mod application;
mod cells;
mod claims;
mod details;
mod findings;
mod more;
mod sheet;
mod tables;
mod value;

use methods::Findings;
use record::Dossier;
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook, XlsxError};

/// Why no workbook was made.
#[derive(Debug, thiserror::Error)]
#[error("the workbook could not be written: {0}")]
pub struct WorkbookError(String);

impl From<XlsxError> for WorkbookError {
    fn from(error: XlsxError) -> Self {
        Self(error.to_string())
    }
}

impl From<zip::result::ZipError> for WorkbookError {
    fn from(error: zip::result::ZipError) -> Self {
        Self(error.to_string())
    }
}

impl From<std::io::Error> for WorkbookError {
    fn from(error: std::io::Error) -> Self {
        Self(error.to_string())
    }
}

/// Returns the workbook as an XLSX file.
///
/// # Errors
/// [`WorkbookError`] when the file format cannot hold the content, for example more rows than a
/// sheet has.
pub fn xlsx(dossier: &Dossier, findings: &Findings) -> Result<Vec<u8>, WorkbookError> {
    let sheets = [
        claims::claims(dossier, findings),
        tables::parts(findings),
        more::power(findings),
        cells::cells(dossier, findings),
        tables::masses(findings),
        more::sizes(findings),
        tables::steps(findings),
        tables::readings(dossier),
        more::open(dossier, findings),
        findings::findings(findings),
    ];
    let mut workbook = Workbook::new();
    workbook.set_properties(&properties(dossier)?);
    for sheet in &sheets {
        sheet.write(workbook.add_worksheet())?;
    }
    details::write(findings, workbook.add_worksheet())?;
    application::named(workbook.save_to_buffer()?)
}

/// Returns title, author and date of the file.
fn properties(dossier: &Dossier) -> Result<DocProperties, XlsxError> {
    let product = &dossier.product;
    let opened = product.opened;
    let part = |n: i8| u8::try_from(n).unwrap_or(1);
    // The file format counts days from 1900; an impossible year must not cost the workbook.
    let year = u16::try_from(opened.year())
        .unwrap_or(1900)
        .clamp(1900, 9999);
    let date = ExcelDateTime::from_ymd(year, part(opened.month()), part(opened.day()))?;
    Ok(DocProperties::new()
        .set_title(format!("{}: findings", product.name))
        .set_subject(format!("{} {}", product.maker, product.name))
        .set_author(product.analyst.clone().unwrap_or_default())
        .set_comment(if product.invented {
            "Invented demonstration data."
        } else {
            ""
        })
        .set_creation_datetime(&date))
}
