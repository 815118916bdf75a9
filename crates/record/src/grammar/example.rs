//! A good value for every kind of key, for messages that say what to write instead.

use super::Kind;
use crate::count::UNKNOWN;

impl Kind {
    /// Returns a good value as it is written.
    pub(crate) fn example(&self) -> String {
        match self {
            Self::Text | Self::Note => "\"…\"".into(),
            Self::Marking => "\"AB12\"".into(),
            Self::Id(_) => "\"short-word\"".into(),
            Self::Ref(ids) => format!("\"id of the {}\"", ids.word()),
            Self::RegionOf(_) => "\"id of the region\"".into(),
            Self::Evidence => "\"photo:ID\"".into(),
            Self::FileIn(super::LOGS) => "\"charge.csv\"".into(),
            Self::FileIn(super::RECORDINGS) => "\"noise.wav\"".into(),
            Self::FileIn(_) => "\"board-top.jpg\"".into(),
            Self::Date => "2026-03-01".into(),
            Self::Moment => crate::moment::EXAMPLE.into(),
            Self::FilmTime => format!("\"{}\"", crate::film_time::EXAMPLE),
            Self::Quantity(asked) => format!("\"{}\"", asked.example),
            Self::Rating => "\"5 V ⎓ 2 A\"".into(),
            // The first word of the list would be taken for a fact.
            Self::Words(words) => {
                let is_unknown = |w: &&super::Word| w.word == UNKNOWN;
                format!(
                    "\"{}\"",
                    words.iter().find(is_unknown).map_or("…", |w| w.word)
                )
            }
            Self::Count => "4".into(),
            Self::Whole { least } => least.max(&1).to_string(),
            Self::Number { low, high } => format!("{}", (low + high) / 2.0),
            Self::Boolean => "true".into(),
            Self::List(element) => format!("[{}]", element.example()),
            Self::Row(element, length) => {
                format!("[{}]", vec![element.example(); *length].join(", "))
            }
            Self::Table(table) | Self::Inline(table) => {
                let keys = table.keys.iter().filter(|k| k.required);
                let inner: Vec<String> = keys
                    .map(|k| format!("{} = {}", k.name, k.kind.example()))
                    .collect();
                format!("{{ {} }}", inner.join(", "))
            }
            Self::Tables(table) => format!("[[{}]]", table.name),
            Self::Named(names) => {
                format!(
                    "{{ {} = \"{}\" }}",
                    names.known[0].name, names.known[0].asked.example
                )
            }
        }
    }
}
