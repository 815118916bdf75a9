//! `underlid verify`: a reader's own check of a report.

use crate::arguments::Format;
use crate::failure::Failure;
use crate::progress::Terminal;
use crate::screen;
use app::VerifyOptions;
use std::path::PathBuf;

pub(crate) fn run(bundle: PathBuf, report: Option<PathBuf>, format: Format) -> Result<(), Failure> {
    let verified = app::verify(&VerifyOptions { bundle, report }, &Terminal)?;
    let text = match format {
        Format::Json => format!(
            "{:#}",
            serde_json::json!({
                "agrees": verified.agrees,
                "differs": verified.differs,
                "fingerprint": verified.fingerprint,
            })
        ),
        Format::Text => {
            let mut text = String::new();
            for said in &verified.differs {
                text += &format!("Differs: {said}\n");
            }
            for said in &verified.agrees {
                text += &format!("{said}\n");
            }
            text += &format!("Fingerprint of the bundle: {}\n", verified.fingerprint);
            text += if verified.differs.is_empty() {
                "The report follows from the bundle. Compare the fingerprint with the one in the report.\n"
            } else {
                "The report does not follow from the bundle as it is.\n"
            };
            text
        }
    };
    screen::print_as(format, &text)?;
    if verified.differs.is_empty() {
        Ok(())
    } else {
        Err(Failure::Answered)
    }
}
