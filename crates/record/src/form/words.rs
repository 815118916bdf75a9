//! Values and the words that stand for them in a field, for pages that turn one into the other themselves.
//!
//! In: a field. Out: how its words are parted ([`Shape`]); the words of a value.
//! Not here: reading words ([`Field::value`]).

use super::Field;
use crate::grammar::{Ids, Kind};
use serde_json::Value as Json;

/// How the words of a field become a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// As they are.
    Text,
    /// A whole number, or the word `unknown`.
    Count,
    /// A number.
    Number,
    /// `yes` or `no`.
    Boolean,
    /// Several values with this between.
    List(char),
    /// Numbers with commas between.
    Row,
    /// Rows of numbers, with spaces between.
    Rows,
}

impl Shape {
    /// Returns the word for it, as pages name it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Text => "text",
            Self::Count => "count",
            Self::Number => "number",
            Self::Boolean => "boolean",
            Self::List(',') => "list-comma",
            Self::List('|') => "list-bar",
            Self::List(_) => "list-line",
            Self::Row => "row",
            Self::Rows => "rows",
        }
    }
}

impl Field {
    /// Returns how its words become a value.
    pub fn shape(&self) -> Shape {
        match &self.kind {
            Kind::Count | Kind::Whole { .. } => Shape::Count,
            Kind::Number { .. } => Shape::Number,
            Kind::Boolean => Shape::Boolean,
            Kind::Row(..) => Shape::Row,
            Kind::List(Kind::Row(..)) => Shape::Rows,
            Kind::List(Kind::Marking) => Shape::List('|'),
            Kind::List(Kind::Ref(_) | Kind::Words(_)) => Shape::List(','),
            Kind::List(_) => Shape::List('\n'),
            _ => Shape::Text,
        }
    }

    /// Returns whether it holds running text, which may have several lines.
    pub fn is_running_text(&self) -> bool {
        matches!(
            self.kind,
            Kind::Note | Kind::List(Kind::Evidence | Kind::Text)
        )
    }

    /// Returns whether it holds a quantity or a rating, whose words can be read.
    pub fn is_quantity(&self) -> bool {
        matches!(self.kind, Kind::Quantity(_) | Kind::Rating)
    }

    /// Returns whether it names items: one, or several in a list.
    pub fn names_items(&self) -> bool {
        matches!(
            self.kind,
            Kind::Ref(Ids::Items) | Kind::List(Kind::Ref(Ids::Items))
        )
    }

    /// Returns whether it names places of the record as evidence.
    pub fn is_evidence(&self) -> bool {
        matches!(self.kind, Kind::Evidence | Kind::List(Kind::Evidence))
    }

    /// Returns the words of a value, which [`Field::value`] reads back.
    pub fn words(&self, value: &Json) -> String {
        let between = match self.shape() {
            Shape::List(',') => ", ",
            Shape::List('|') => "|",
            Shape::List(_) => "\n",
            Shape::Row => ",",
            Shape::Rows => " ",
            _ => "",
        };
        let one = |value: &Json| match value {
            Json::String(text) => text.clone(),
            Json::Bool(true) => "yes".to_string(),
            Json::Bool(false) => "no".to_string(),
            Json::Null => String::new(),
            other => other.to_string(),
        };
        let joined = |values: &[Json], between: &str| {
            let words: Vec<String> = values.iter().map(one).collect();
            words.join(between)
        };
        match value {
            Json::Array(rows) if self.shape() == Shape::Rows => {
                let rows = rows.iter().map(|row| match row {
                    Json::Array(numbers) => joined(numbers, ","),
                    other => one(other),
                });
                rows.collect::<Vec<_>>().join(between)
            }
            Json::Array(values) => joined(values, between),
            other => one(other),
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::{forms, product_form};

    #[test]
    fn the_words_of_every_example_read_back_as_the_same_value() {
        for form in forms().iter().chain([&product_form()]) {
            for field in &form.fields {
                let value = field.value(&[field.example()]).unwrap();
                let words = field.words(&value);
                let again = field.value(&[words]);
                assert_eq!(again.as_ref(), Ok(&value), "{} {}", form.word, field.path);
            }
        }
    }
}
