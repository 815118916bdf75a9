//! How the lines of a label are read: ratings with their sum, dates, numbers with check digits, cells, protection.
//!
//! In: the text of a label. Out: of each line that says something, what. The text alone is kept; what is said here is
//! what the methods find in it.
//! Not here: whether a sum agrees (`methods::power`), which dates a line tells (`methods::codes`), check digits and
//! designations (`codes`).

use super::identifier;
use codes::{Context, Kind, MarkedObject};
use jiff::civil::Date;
use quantity::Rating;

/// One line of a label that says something.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LabelLine {
    /// The line.
    pub text: String,
    /// What it says.
    pub says: String,
    /// Whether it agrees with itself, where that can be told.
    pub agrees: Option<bool>,
    /// The rating, and whether it is of an input or output, where the line says which.
    pub rating: Option<(&'static str, String)>,
}

/// Reads the lines of a label of a product that was opened on a day.
pub fn label(text: &str, opened: Date) -> Vec<LabelLine> {
    let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    lines.filter_map(|text| line(text, opened)).collect()
}

fn line(text: &str, opened: Date) -> Option<LabelLine> {
    let mut says = Vec::new();
    let mut agrees = None;
    let mut rating = None;
    if let Some(read) = rating_of(text) {
        let side = side(text);
        let sum = methods::power::sum(&read);
        // What stands in the line is not said again.
        let read_as = match text.contains(&read.to_string()) {
            true => String::new(),
            false => format!(" {read}"),
        };
        says.push(match side {
            Some(side) => format!("{side} rating{read_as}"),
            None => format!("rating{read_as}"),
        });
        if let Some((right, told)) = sum {
            agrees = Some(right);
            says.push(told);
        }
        rating = side.map(|side| (side, read.to_string()));
    }
    says.extend(methods::codes::dates_on_label(text, opened));
    for word in text.split_whitespace() {
        let word = word.trim_matches([',', ';', ':']);
        if let Some(read) = identifier(word) {
            agrees = read.check_digit.or(agrees);
            says.push(read.meaning.trim_end_matches('.').to_string());
        } else {
            says.extend(designation(word));
        }
    }
    let says = says.join(" · ");
    (!says.is_empty()).then(|| LabelLine {
        text: text.to_string(),
        says,
        agrees,
        rating,
    })
}

/// Returns the rating of a line: volts with amperes or watts behind whatever words.
fn rating_of(text: &str) -> Option<Rating> {
    let starts = text.char_indices().filter(|(at, c)| {
        let before = text[..*at].chars().next_back();
        c.is_ascii_digit() && before.is_none_or(|b| b.is_whitespace() || "(:=".contains(b))
    });
    let mut read = starts.filter_map(|(at, _)| Rating::parse(&text[at..]).ok());
    read.find(|rating| {
        let mut choices = rating.choices.iter();
        choices.all(|c| c.voltage.is_some() && (c.current.is_some() || c.power.is_some()))
    })
}

fn side(text: &str) -> Option<&'static str> {
    let lower = text.to_lowercase();
    let mut words = lower.split(|c: char| !c.is_alphanumeric());
    words.find_map(|word| match word {
        "input" | "in" | "eingang" => Some("input"),
        "output" | "out" | "ausgang" => Some("output"),
        _ => None,
    })
}

/// What a word says by itself: protection, a cell.
fn designation(word: &str) -> Option<String> {
    let readings = codes::read(word, &Context::on(MarkedObject::Label));
    let own = |kind: Kind| {
        matches!(
            kind,
            Kind::Ingress | Kind::CellDesignation | Kind::RoundCell
        )
    };
    let reading = readings.into_iter().next()?;
    own(reading.kind).then(|| reading.meaning.trim_end_matches('.').to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Vec<LabelLine> {
        label(text, jiff::civil::date(2026, 10, 5))
    }

    #[test]
    fn ratings_are_told_with_their_sum() {
        let lines = read("ONDRELKAMP NVC-3C\nINPUT    9 V = 2 A, 18 W\nOUTPUT 5 V DC 0.5 A, 4 W\n");
        assert_eq!(lines.len(), 2, "{lines:?}");
        assert_eq!(lines[0].agrees, Some(true));
        assert!(lines[0].says.contains("agrees"), "{lines:?}");
        assert_eq!(lines[0].rating.as_ref().unwrap().0, "input");
        // 5 × 0.5 is 2.5, not 4.
        assert_eq!(lines[1].agrees, Some(false));
        assert!(lines[1].says.contains("printed 4"), "{lines:?}");
    }

    #[test]
    fn dates_protection_and_numbers_are_told() {
        let lines = read("LOT 2631\nIP54\nEAN 6291041500231\nOpen by trained staff only");
        assert_eq!(lines.len(), 3, "{lines:?}");
        assert!(lines[0].says.contains("2631 is"), "{lines:?}");
        assert_eq!(lines[2].agrees, Some(false));
    }
}
