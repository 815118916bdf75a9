//! `underlid outlines`: what on a photograph may be a part.

use super::measure::points;
use crate::arguments::{Format, OutlineArguments};
use crate::failure::Failure;
use crate::folder;
use crate::progress::Terminal;
use crate::screen;
use app::{Offered, OutlineOptions, Outlined, Problem, outlines};
use record::visible;
use report::words::percent;
use std::fmt::Write as _;
use std::path::Path;
use store::opener::{Kind, kind};

pub(crate) fn run(arguments: OutlineArguments, format: Format) -> Result<(), Failure> {
    let options = OutlineOptions {
        at: arguments.at.as_deref().map(place).transpose()?,
        folder: match (&arguments.folder, kind(Path::new(&arguments.photo))) {
            (None, Ok(Some(Kind::Folder))) => return Err(no_photo(&arguments.photo).into()),
            _ => folder::of(arguments.folder)?,
        },
        photo: arguments.photo,
        least_probability: arguments.least,
    };
    let found = outlines(&options, &Terminal)?;
    let text = match format {
        Format::Json => json(&found),
        Format::Text => table(&found),
    };
    screen::print_as(format, &text)
}

/// One word was given, and it is the folder.
fn no_photo(folder: &str) -> Problem {
    Problem::unfit(
        "no photo is named",
        format!("add its id: underlid outlines {} ID", visible(folder)),
    )
}

fn place(text: &str) -> Result<[f64; 2], Problem> {
    match points::read(text)?.as_slice() {
        [one] => Ok(*one),
        several => Err(Problem::unfit(
            format!("{} places are stated, one is looked at", several.len()),
            "write one place as x,y, such as --at \"120,80\"",
        )),
    }
}

fn json(found: &Outlined) -> String {
    let outlines: Vec<_> = found
        .offered
        .iter()
        .map(|o| {
            serde_json::json!({
                "kind": o.outline.kind,
                "corners": o.outline.corners,
                "probability": o.outline.probability,
                "weakest-side-levels": o.outline.weakest_side,
                "size-mm": o.size_mm,
                "region": o.region,
            })
        })
        .collect();
    format!(
        "{:#}\n",
        serde_json::json!({
            "photo": found.photo,
            "pixels": found.pixels,
            "pixels-per-mm": found.px_per_mm,
            "outlines": outlines,
        })
    )
}

fn table(found: &Outlined) -> String {
    if found.offered.is_empty() {
        return format!(
            "No outline stands out in photograph {}.\n",
            visible(&found.photo)
        );
    }
    let mut out = format!(
        "{:>6}  {:<9}  {:>11}  {:>13}  {:>7}  region\n",
        "middle", "", "", "about", "part"
    );
    for o in &found.offered {
        // Writing to a String cannot fail.
        let _ = writeln!(out, "{}", row(o));
    }
    if found.px_per_mm.is_none() {
        out += "Nothing of known size is marked, so sizes are in pixels.\n";
    }
    out
}

fn row(offered: &Offered) -> String {
    let outline = &offered.outline;
    let [x, y] = outline.middle();
    let size = match offered.size_mm {
        Some([long, short]) => format!("{long:.1} × {short:.1} mm"),
        None => {
            let [a, b, c, _] = outline.corners;
            let side = |p: [f64; 2], q: [f64; 2]| (p[0] - q[0]).hypot(p[1] - q[1]);
            let [first, second] = [side(a, b), side(b, c)];
            format!("{:.0} × {:.0} px", first.max(second), first.min(second))
        }
    };
    format!(
        "{x:>6.0},{y:<6.0}  {:<9}  {size:>16}  {:>7}  {}",
        outline.kind.word(),
        percent(outline.probability),
        offered.region.as_deref().map_or_else(String::new, visible),
    )
    .trim_end()
    .to_string()
}
