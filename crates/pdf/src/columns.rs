//! Widths of table columns.
//!
//! In: the texts of a table. Out: for each column whether it takes what it needs or a share of the
//! rest, and the size of type. Not here: drawing.

/// Letters that fit on one line of a table at its largest type.
const LINE: usize = 92;
/// The same for one of two columns, and for both, at 6.3 pt.
const COLUMN: usize = 64;
const WHOLE: usize = 134;
/// Columns up to this many letters are never squeezed.
const NARROW: usize = 9;
/// A line is counted in wide letters; so much more stands on it of running text.
const ROOMIER: (usize, usize) = (5, 4);
/// Letters that the column takes which says where something is seen.
const SEEN: usize = 16;

/// How wide a column is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Width {
    /// As wide as what stands in it.
    Natural,
    /// So many letters wide, beside columns that share the rest.
    Letters(usize),
    /// A share of the rest.
    Share(f64),
}

impl Width {
    pub(super) fn letters(self) -> Option<usize> {
        match self {
            Self::Letters(letters) => Some(letters),
            Self::Natural | Self::Share(_) => None,
        }
    }

    pub(super) fn share(self) -> Option<f64> {
        match self {
            Self::Share(share) => Some(share),
            Self::Natural | Self::Letters(_) => None,
        }
    }
}

/// How a table is set.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Setting {
    /// The width of each column.
    pub(super) widths: Vec<Width>,
    /// Size of type, points.
    pub(super) size_pt: f64,
    /// Whether the table needs the long side of the page.
    pub(super) landscape: bool,
    /// Whether the table needs both columns of the page.
    pub(super) wide: bool,
}

/// Chooses the setting of a table; `seen` says whether a further column tells where something is seen.
pub(super) fn setting(
    headings: &[impl AsRef<str>],
    rows: &[Vec<impl AsRef<str>>],
    seen: bool,
) -> Setting {
    let needs = needs(headings, rows);
    let (natural, needed) = (needs.natural(), needs.needed());
    let landscape = needed > LINE * 5 / 4 || headings.len() > 9;
    let line = if landscape { LINE * 3 / 2 } else { LINE };
    let size_pt = if natural <= line {
        8.5
    } else if needed <= line * 9 / 10 {
        8.0
    } else if needed <= line * 12 / 10 {
        7.0
    } else {
        6.0
    };
    Setting {
        widths: needs.widths(line, seen),
        size_pt,
        landscape,
        wide: true,
    }
}

/// Chooses the setting of a table of the working, which stands in one of two columns where it fits.
pub(super) fn small(
    headings: &[impl AsRef<str>],
    rows: &[Vec<impl AsRef<str>>],
    seen: bool,
) -> Setting {
    let needs = needs(headings, rows);
    let (natural, needed) = (needs.natural(), needs.needed());
    // Texts that would run over many lines of a column stand better on the whole line.
    let wide = needed > COLUMN || headings.len() > 6 || natural > 4 * COLUMN;
    let line = if wide { WHOLE } else { COLUMN };
    Setting {
        widths: needs.widths(line, seen),
        size_pt: if needed <= line { 6.3 } else { 5.6 },
        landscape: needed > WHOLE * 9 / 8,
        wide,
    }
}

/// The letters that each column has at most, and those of its longest word.
struct Needs {
    longest: Vec<usize>,
    least: Vec<usize>,
}

impl Needs {
    /// Two letters of gap between columns.
    fn gaps(&self) -> usize {
        2 * self.longest.len()
    }

    /// Letters of a line on which nothing is broken.
    fn natural(&self) -> usize {
        self.longest.iter().sum::<usize>() + self.gaps()
    }

    /// Letters of a line on which no word is broken.
    fn needed(&self) -> usize {
        self.least.iter().sum::<usize>() + self.gaps()
    }

    /// The width of each column on a line of so many letters.
    fn widths(&self, line: usize, seen: bool) -> Vec<Width> {
        if self.natural() <= line {
            return vec![Width::Natural; self.longest.len()];
        }
        let taken = self.gaps() + if seen { SEEN } else { 0 };
        widths(&self.longest, &self.least, line.saturating_sub(taken))
    }
}

fn needs(headings: &[impl AsRef<str>], rows: &[Vec<impl AsRef<str>>]) -> Needs {
    let letters = |t: &str| t.lines().map(|l| l.chars().count()).max().unwrap_or(0);
    let word = |t: &str| {
        t.split([' ', '\n', '\t'])
            .map(|w| w.chars().count())
            .max()
            .unwrap_or(0)
    };
    let mut longest: Vec<usize> = headings.iter().map(|h| word(h.as_ref()).min(14)).collect();
    let mut least: Vec<usize> = headings.iter().map(|h| word(h.as_ref())).collect();
    for row in rows {
        for (at, cell) in row.iter().enumerate().take(headings.len()) {
            longest[at] = longest[at].max(letters(cell.as_ref()).min(240));
            least[at] = least[at].max(word(cell.as_ref()).min(24));
        }
    }
    Needs { longest, least }
}

/// Returns the width of each column of a table that does not fit on a line of so many letters: short ones, and those
/// that cannot be broken, take what they need; of the rest each has its longest word, and shares what is left.
fn widths(longest: &[usize], least: &[usize], line: usize) -> Vec<Width> {
    let is_kept = |long: usize, least: usize| long <= NARROW || long <= least;
    let both = || longest.iter().copied().zip(least.iter().copied());
    let kept = both().filter(|(long, least)| is_kept(*long, *least));
    let kept: usize = kept.map(|(long, least)| long.max(least)).sum();
    let rest = || both().filter(|(long, least)| !is_kept(*long, *least));
    let words: usize = rest().map(|(_, least)| least).sum();
    #[allow(clippy::cast_precision_loss, reason = "a few dozen letters at most")]
    let wish = |long: usize, least: usize| (((long as f64).sqrt() * 3.0) - least as f64).max(0.0);
    let wishes: f64 = rest().map(|(long, least)| wish(long, least)).sum();
    #[allow(clippy::cast_precision_loss, reason = "a few dozen letters at most")]
    let spare = (line * ROOMIER.0 / ROOMIER.1).saturating_sub(kept + words) as f64;
    both()
        .map(|(long, least)| {
            if is_kept(long, least) {
                return Width::Letters(long.max(least));
            }
            let more = match wishes > 0.0 {
                true => spare * wish(long, least) / wishes,
                false => 0.0,
            };
            #[allow(clippy::cast_precision_loss, reason = "a few dozen letters at most")]
            Width::Share(least as f64 + more)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_small_table_takes_what_it_needs() {
        let s = setting(&["Item", "Mass / g"], &[vec!["shell", "12.3"]], false);
        assert_eq!(
            s,
            Setting {
                widths: vec![Width::Natural, Width::Natural],
                size_pt: 8.5,
                landscape: false,
                wide: true
            }
        );
    }

    #[test]
    fn long_texts_share_the_line_and_numbers_do_not() {
        let long =
            "a sentence of some length that has to be broken over several lines of the table";
        let s = setting(&["Claim", "g", "Why"], &[vec![long, "12.3", long]], false);
        assert!(matches!(
            s.widths[..],
            [Width::Share(_), Width::Letters(4), Width::Share(_)]
        ));
    }

    #[test]
    fn many_columns_turn_the_page() {
        let headings = ["a"; 11];
        assert!(setting(&headings, &[] as &[Vec<&str>], false).landscape);
    }

    /// A word that is wider than its column runs into the next one.
    #[test]
    fn no_column_is_narrower_than_its_longest_word() {
        let long =
            "a caution of several sentences that takes most of the line if it is let, and is let "
                .repeat(3);
        let headings = ["No.", "Words", "Tool", "Temperature", "Cautions"];
        let row = vec![
            "12",
            "Unsolder the wires",
            "soldering iron",
            "340 °C",
            &long,
        ];
        let s = small(&headings, &[row], true);
        let width = |at: usize| {
            s.widths[at]
                .share()
                .or(s.widths[at].letters().map(|n| n as f64))
        };
        for (at, least) in [(1, 8.0), (2, 9.0), (3, 11.0)] {
            assert!(
                width(at).is_some_and(|w| w >= least),
                "{at}: {:?}",
                s.widths
            );
        }
        // What is left goes to what is long.
        assert!(width(4) > width(2), "{:?}", s.widths);
    }
}
