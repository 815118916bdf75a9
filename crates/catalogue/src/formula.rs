//! Cells of a written table that a spreadsheet program would run as a formula.
//!
//! In: the text of a cell. Out: the same with an apostrophe in front where a program would take it for a formula,
//! and back. Numbers stay numbers, and a lone dash stays a dash.
//! Source: OWASP, "CSV Injection": cells that begin with `=`, `+`, `-`, `@`, tab, carriage return, line feed or a
//! full-width form of the signs.

use std::borrow::Cow;

/// Returns the cell as it may be written to a text table. [`unescaped_formula`] gives it back.
pub fn escaped_formula(cell: &str) -> Cow<'_, str> {
    // A cell that begins with apostrophes and would be a formula without them gets one more, so that reading
    // takes away no apostrophe of the author's.
    if is_formula(cell.trim_start_matches('\'')) {
        Cow::Owned(format!("'{cell}"))
    } else {
        Cow::Borrowed(cell)
    }
}

/// Returns the cell that was written by [`escaped_formula`].
pub fn unescaped_formula(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if is_formula(rest.trim_start_matches('\'')) => rest,
        _ => cell,
    }
}

fn is_formula(cell: &str) -> bool {
    cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠'])
        && cell != "-"
        && !is_number(cell)
}

/// Tells a plain number with sign, decimal sign and power of ten, from everything that is calculated.
fn is_number(cell: &str) -> bool {
    let plain = cell.strip_prefix(['+', '-']).unwrap_or(cell);
    let (digits, power) = match plain.split_once(['e', 'E']) {
        Some((digits, power)) => (digits, power.strip_prefix(['+', '-']).unwrap_or(power)),
        None => (plain, "0"),
    };
    let (whole, part) = digits.split_once(['.', ',']).unwrap_or((digits, "0"));
    [whole, part, power]
        .iter()
        .all(|run| !run.is_empty() && run.bytes().all(|b| b.is_ascii_digit()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_program_would_run_gets_an_apostrophe_and_loses_it_again() {
        for cell in [
            "=1+1",
            "=HYPERLINK(\"http://x\")",
            "+1+cmd|' /C x'!A0",
            "-2+3",
            "-A1",
            "@SUM(A1)",
            "\tx",
            "\rx",
            "\nx",
            "＝1",
            "--",
            "-5 V",
            "+.",
        ] {
            assert_eq!(escaped_formula(cell), format!("'{cell}"));
            assert_eq!(unescaped_formula(&escaped_formula(cell)), cell);
        }
    }

    #[test]
    fn numbers_and_ordinary_text_are_not_touched() {
        for cell in [
            "", "-", "-5", "+3.3", "-0,5", "-1.2e-3", "K7Q2-3", "1=1", "a-b", "µF", "'",
            "'quoted'", "\\-",
        ] {
            assert_eq!(escaped_formula(cell), cell);
            assert_eq!(unescaped_formula(cell), cell);
        }
    }

    #[test]
    fn apostrophes_of_the_author_survive() {
        for cell in ["'=1", "''=1", "'", "'-5", "'-", "'a"] {
            assert_eq!(unescaped_formula(&escaped_formula(cell)), cell, "{cell}");
        }
    }
}
