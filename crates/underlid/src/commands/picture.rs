//! `underlid picture`: photographs fit to publish.

use crate::arguments::{Format, KernelName, PictureArguments};
use crate::failure::Failure;
use crate::folder;
use crate::progress::Terminal;
use crate::screen::{self, shown};
use app::{Kernel, PictureOptions, Rectify};
use record::visible;
use std::fmt::Write as _;
use store::OutputFile;

pub(crate) fn run(arguments: PictureArguments, format: Format) -> Result<(), Failure> {
    let rectify = arguments.rectified.then_some(Rectify {
        per_mm: arguments.per_mm,
        kernel: match arguments.kernel {
            KernelName::Bilinear => Kernel::Bilinear,
            KernelName::Cubic => Kernel::Cubic,
            KernelName::Lanczos => Kernel::Lanczos,
        },
    });
    let options = PictureOptions {
        folder: folder::of(arguments.folder)?,
        photos: arguments.photos,
        into: arguments.into,
        rectify,
        dark: arguments.dark,
        column_mm: arguments.column,
        typefaces: arguments.typefaces,
    };
    let done = app::picture(&options, &Terminal)?;
    let typefaces = &done.typefaces;
    screen::print_as(
        format,
        &match format {
            Format::Json => {
                let names: Vec<&str> = done.files.iter().map(|f| f.path.as_str()).collect();
                format!(
                    "{:#}\n",
                    serde_json::json!({
                        "folder": done.into, "files": names, "rectified": done.remarks,
                        "typefaces": typefaces.names(), "missing": typefaces.missing,
                    })
                )
            }
            Format::Text => {
                let said = [typefaces.set_in(), typefaces.warning()];
                let said = said.into_iter().flatten().map(|words| visible(&words));
                let remarks: Vec<String> = done.remarks.iter().cloned().chain(said).collect();
                text(&done.into, &done.files, &remarks)
            }
        },
    )
}

fn text(into: &std::path::Path, files: &[OutputFile], remarks: &[String]) -> String {
    let mut out = format!("Pictures in {}:\n", shown(into));
    for file in files {
        // Writing to a String cannot fail.
        let _ = writeln!(
            out,
            "  {:<32} {:>7} kB",
            file.path,
            file.bytes.len().div_ceil(1000)
        );
    }
    for remark in remarks {
        let _ = writeln!(out, "{remark}");
    }
    out
}
