//! Lithium cell designations: `ICP103450`, `INR19/65`, `2ICP10/34/50-2`, and bare pouch sizes.
//!
//! In: a folded text. Out: readings. Source: IEC 61960 clause 5.1 as quoted by five pages: letters of
//! chemistry and shape, sizes in whole millimetres rounded up, tN for tenths below one millimetre, cells
//! in series before and in parallel after. Bare digits on pouch cells, with the thickness in tenths, are
//! maker practice from memory.

use crate::reading::{CellSize, Draft, Kind, Value};
use crate::text::{Folded, all_digits, digits_of, plain};

fn chemistry(kind: char, electrode: char) -> Option<String> {
    let kind = match kind {
        'I' => "lithium ion",
        'L' => "lithium metal",
        _ => return None,
    };
    let electrode = match electrode {
        'C' => "cobalt",
        'N' => "nickel",
        'M' => "manganese",
        'V' => "vanadium",
        'T' => "titanium",
        // Iron and mixed electrodes came with later editions.
        'F' => "iron",
        _ => return None,
    };
    Some(format!("{kind}, {electrode} electrode"))
}

/// Reads cell designations and bare pouch sizes.
pub(crate) fn read(folded: &Folded) -> Vec<Draft> {
    let mut drafts = designation(folded);
    drafts.extend(pouch(&folded.upper));
    drafts
}

/// The parts of a designation.
struct Parts {
    series: u32,
    parallel: u32,
    chemistry: String,
    round: bool,
    sizes: String,
}

fn parts(text: &str) -> Option<Parts> {
    let text: String = text.chars().filter(|c| *c != ' ').collect();
    let leading: String = text.chars().take_while(char::is_ascii_digit).collect();
    let series = if leading.is_empty() {
        1
    } else {
        leading.parse().ok().filter(|n| (1..=99).contains(n))?
    };
    let mut chars = text[leading.len()..].chars();
    let chemistry = chemistry(
        chars.next()?.to_ascii_uppercase(),
        chars.next()?.to_ascii_uppercase(),
    )?;
    let round = match chars.next()?.to_ascii_uppercase() {
        'R' => true,
        'P' => false,
        _ => return None,
    };
    let rest = chars.as_str();
    let (sizes, parallel) = match rest.rsplit_once('-') {
        Some((sizes, n)) if all_digits(n) && n.len() <= 2 && !sizes.is_empty() => {
            (sizes, n.parse().ok()?)
        }
        _ => (rest, 1),
    };
    Some(Parts {
        series,
        parallel,
        chemistry,
        round,
        sizes: sizes.trim_start_matches('-').to_string(),
    })
}

/// A length in millimetres: whole, or `t` with tenths.
fn length(text: &str) -> Option<f64> {
    match text.strip_prefix(['t', 'T']) {
        Some(tenths) => (all_digits(tenths) && tenths.len() == 1)
            .then(|| tenths.parse::<f64>().ok().map(|v| v / 10.0))
            .flatten(),
        None => (all_digits(text) && text.len() <= 3)
            .then(|| text.parse().ok())
            .flatten(),
    }
    .filter(|v| *v > 0.0)
}

/// Ways of cutting the size part, with what is special about each: lengths, share, caution.
fn cuts(round: bool, sizes: &str) -> Vec<(Vec<f64>, f64, &'static str)> {
    if sizes.contains('/') {
        let lengths: Option<Vec<f64>> = sizes.split('/').map(length).collect();
        return lengths.into_iter().map(|l| (l, 1.0, "")).collect();
    }
    let (tenth, digits) = match sizes.strip_prefix(['t', 'T']) {
        Some(rest) => (true, rest),
        None => (false, sizes),
    };
    if !all_digits(digits) {
        return Vec::new();
    }
    let number = |range: std::ops::Range<usize>| digits.get(range)?.parse::<f64>().ok();
    let mut found = Vec::new();
    let mut push = |lengths: [Option<f64>; 3], share: f64, caution: &'static str| {
        let lengths: Vec<f64> = lengths.into_iter().flatten().collect();
        if lengths.iter().all(|v| *v > 0.0) {
            found.push((lengths, share, caution));
        }
    };
    match (round, tenth, digits.len()) {
        (true, false, 4) => push([number(0..2), number(2..4), None], 1.0, ""),
        (true, false, 5) => {
            push(
                [number(0..2), number(2..5).map(|h| h / 10.0), None],
                1.0,
                "five digits: height in tenths of a millimetre, older practice than the standard's whole millimetres",
            );
            push(
                [number(0..2), number(2..5), None],
                0.02,
                "height as three digits of whole millimetres",
            );
        }
        (false, false, 6) => {
            let thickness = number(0..2);
            let thick = thickness.is_some_and(|t| t >= 20.0);
            push(
                [thickness, number(2..4), number(4..6)],
                if thick { 0.1 } else { 1.0 },
                "",
            );
            push(
                [thickness.map(|t| t / 10.0), number(2..4), number(4..6)],
                if thick { 0.5 } else { 0.05 },
                "thickness in tenths of a millimetre, as pouch cell makers print it; the standard means whole millimetres",
            );
        }
        (false, false, 7) => push(
            [number(0..2), number(2..4), number(4..7)],
            0.5,
            "seven digits: height of three digits",
        ),
        (false, true, 5) => push(
            [number(0..1).map(|t| t / 10.0), number(1..3), number(3..5)],
            1.0,
            "",
        ),
        _ => {}
    }
    found
}

fn designation(folded: &Folded) -> Vec<Draft> {
    let Some(parts) = parts(&folded.text) else {
        return Vec::new();
    };
    cuts(parts.round, &parts.sizes)
        .into_iter()
        .filter_map(|(lengths, share, caution)| {
            let (size, said) = match (parts.round, lengths.as_slice()) {
                (true, &[diameter, height]) => (
                    CellSize {
                        diameter_mm: Some(diameter),
                        height_mm: Some(height),
                        ..CellSize::default()
                    },
                    format!(
                        "cylindrical, {} mm across, {} mm high",
                        plain(diameter),
                        plain(height)
                    ),
                ),
                (false, &[thickness, width, height]) => (
                    CellSize {
                        thickness_mm: Some(thickness),
                        width_mm: Some(width),
                        height_mm: Some(height),
                        ..CellSize::default()
                    },
                    format!(
                        "flat, {} mm thick, {} mm wide, {} mm high",
                        plain(thickness),
                        plain(width),
                        plain(height)
                    ),
                ),
                _ => return None,
            };
            let arrangement = if parts.series == 1 && parts.parallel == 1 {
                String::new()
            } else {
                format!(
                    ", {} in series and {} in parallel",
                    parts.series, parts.parallel
                )
            };
            let mut draft = Draft::new(
                Kind::CellDesignation,
                0.01 * share,
                format!("Cell: {}, {said}{arrangement}.", parts.chemistry),
                "letters of chemistry, electrode and shape, then sizes in millimetres rounded up",
            )
            .value(Value::Cell(CellSize {
                chemistry: Some(parts.chemistry.clone()),
                series: parts.series,
                parallel: parts.parallel,
                ..size
            }))
            .caution(caution)
            .caution(
                "a lithium cell: do not pierce, bend, crush or heat it; local rules come first",
            );
            if parts.chemistry.contains("iron") {
                draft = draft.caution("letter F for iron: not checked in a source");
            }
            Some(draft)
        })
        .collect()
}

/// Six digits on a pouch cell: thickness in tenths, width, height; or whole millimetres.
fn pouch(text: &str) -> Vec<Draft> {
    let digits = digits_of(text);
    if digits.len() != 6 {
        return Vec::new();
    }
    let pair = |i: usize| f64::from(digits[i] * 10 + digits[i + 1]);
    let (thickness, width, height) = (pair(0), pair(2), pair(4));
    if thickness == 0.0 || width < 5.0 || height < 5.0 {
        return Vec::new();
    }
    let thick = thickness >= 20.0;
    [
        (
            thickness / 10.0,
            if thick { 1.0 } else { 0.1 },
            "thickness in tenths of a millimetre",
        ),
        (
            thickness,
            if thick { 0.02 } else { 1.0 },
            "thickness in whole millimetres",
        ),
    ]
    .into_iter()
    .map(|(thickness, share, why)| {
        Draft::new(
            Kind::PouchSize,
            share * 0.000_1,
            format!(
                "Pouch cell {} mm thick, {} mm wide, {} mm high.",
                plain(thickness),
                plain(width),
                plain(height)
            ),
            format!("three pairs of digits: {why}, then width and height in millimetres"),
        )
        .value(Value::Cell(CellSize {
            thickness_mm: Some(thickness),
            width_mm: Some(width),
            height_mm: Some(height),
            series: 1,
            parallel: 1,
            ..CellSize::default()
        }))
        .caution("maker practice, not a standard; measure the thickness")
    })
    .collect()
}
