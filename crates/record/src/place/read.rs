//! From text to a place.

use super::{Address, Name, Place, SHORT, Segment, is_bare};
use crate::grammar::{Kind, ROOT, Table};
use std::str::FromStr;

/// Why a text is no place.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PlaceError {
    /// The text cannot be taken apart.
    #[error("\"{text}\" is not a place: {why}")]
    Form {
        /// The text.
        text: String,
        /// What is wrong with it.
        why: &'static str,
    },
    /// A key that the format does not have.
    #[error("\"{text}\" is not a place: there is no key `{key}` in {within}")]
    UnknownKey {
        /// The text.
        text: String,
        /// The key.
        key: String,
        /// The table it was looked for in.
        within: String,
    },
}

impl FromStr for Place {
    type Err = PlaceError;

    fn from_str(text: &str) -> Result<Self, PlaceError> {
        Self::parse_in(&ROOT, text)
    }
}

impl Place {
    /// Reads a place; what is none stands as a publication in words, and nothing at all as the record.
    pub(super) fn read_or_words(text: &str) -> Self {
        let words = || match text.trim() {
            "" => Self::dossier(),
            _ => Self(Address::Publication(text.to_string())),
        };
        text.parse().unwrap_or_else(|_| words())
    }

    /// Reads a place of the format that `root` describes.
    pub(crate) fn parse_in(root: &'static Table, text: &str) -> Result<Self, PlaceError> {
        let wrong = |why| PlaceError::Form {
            text: text.to_string(),
            why,
        };
        if text == "dossier" {
            return Ok(Self::of(Vec::new()));
        }
        let head = text.split(|c: char| !c.is_ascii_lowercase()).next();
        let form = head.filter(|head| text[head.len()..].starts_with(':'));
        let Some(form) = form else {
            return path(root, &mut PathReader::new(text), Vec::new());
        };
        let rest = &text[form.len() + 1..];
        let address = match form {
            "log" if rest.trim().is_empty() => return Err(wrong("name the file")),
            "log" => Address::Log(rest.to_string()),
            "url" if rest.starts_with("https://") || rest.starts_with("http://") => {
                Address::Page(rest.to_string())
            }
            "url" => return Err(wrong("the address does not start with https://")),
            "text" if rest.trim().is_empty() => return Err(wrong("name the publication")),
            "text" => Address::Publication(rest.to_string()),
            _ => {
                let known = SHORT.iter().find(|(ids, _)| ids.short_form() == Some(form));
                let Some((_, list)) = known else {
                    return Err(wrong("no place has this form"));
                };
                return short(root, text, form, list);
            }
        };
        Ok(Self(address))
    }
}

/// Reads `photo:ID`, `photo:ID#REGION` and the like; keys may follow after a dot.
fn short(root: &'static Table, text: &str, form: &str, list: &[&str]) -> Result<Place, PlaceError> {
    let rest = &text[form.len() + 1..];
    let wrong = |why| PlaceError::Form {
        text: text.to_string(),
        why,
    };
    let end = rest.find(['.', '#']).unwrap_or(rest.len());
    let mut start: Vec<Segment> = list
        .iter()
        .map(|k| Segment::Key((*k).to_string()))
        .collect();
    let id = &rest[..end];
    if !is_bare(id) {
        return Err(wrong("an id is letters, digits, - and _"));
    }
    start.push(Segment::Entry(Name::first(vec![id.to_string()])));
    let mut rest = &rest[end..];
    if let Some(region) = rest.strip_prefix('#') {
        let end = region.find('.').unwrap_or(region.len());
        if form != "photo" || !is_bare(&region[..end]) {
            return Err(wrong("only a region of a photo follows #"));
        }
        start.push(Segment::Key("regions".to_string()));
        start.push(Segment::Entry(Name::first(vec![region[..end].to_string()])));
        rest = &region[end..];
    }
    match rest.strip_prefix('.') {
        None => Ok(Place::of(start)),
        Some(keys) => {
            let mut words = PathReader::new(text);
            words.at = text.len() - keys.len();
            path(root, &mut words, start)
        }
    }
}

/// Reads the path that follows `segments`, beside the grammar.
fn path(
    root: &'static Table,
    words: &mut PathReader<'_>,
    mut segments: Vec<Segment>,
) -> Result<Place, PlaceError> {
    let mut expected = state(root, &segments);
    loop {
        let name = words.name()?;
        let single = |words: &PathReader<'_>| match &name {
            Name { fields, number: 1 } if fields.len() == 1 => Ok(fields[0].clone()),
            _ => Err(words.wrong("a key is one word")),
        };
        let unknown = |key: &str, within: String| PlaceError::UnknownKey {
            text: words.text.to_string(),
            key: key.to_string(),
            within,
        };
        match expected {
            Expected::Key(table) => {
                let key = single(words)?;
                let Some(known) = table.key(&key) else {
                    return Err(unknown(&key, crate::grammar::header(table)));
                };
                expected = after(known);
                segments.push(Segment::Key(key));
            }
            Expected::Entry(table) => {
                expected = Expected::Key(table);
                segments.push(Segment::Entry(name));
            }
            Expected::Name(names, ref within) => {
                let key = single(words)?;
                if !names.open && !names.known.iter().any(|n| n.name == key) {
                    return Err(unknown(&key, format!("`{within}`")));
                }
                expected = Expected::Nothing;
                segments.push(Segment::Key(key));
            }
            Expected::Nothing => return Err(words.wrong("it goes on below a single value")),
        }
        if !words.dot()? {
            return Ok(Place::of(segments));
        }
    }
}

enum Expected {
    Key(&'static Table),
    Entry(&'static Table),
    Name(&'static crate::grammar::Names, &'static str),
    Nothing,
}

fn after(key: &'static crate::grammar::Key) -> Expected {
    match &key.kind {
        Kind::Table(inner) | Kind::Inline(inner) => Expected::Key(inner),
        Kind::Tables(inner) => Expected::Entry(inner),
        Kind::Named(names) => Expected::Name(names, key.name),
        _ => Expected::Nothing,
    }
}

/// Returns what may follow a path that is known to be good.
fn state(root: &'static Table, segments: &[Segment]) -> Expected {
    let mut expected = Expected::Key(root);
    for segment in segments {
        expected = match (expected, segment) {
            (Expected::Key(table), Segment::Key(key)) => {
                table.key(key).map_or(Expected::Nothing, after)
            }
            (Expected::Entry(table), Segment::Entry(_)) => Expected::Key(table),
            _ => Expected::Nothing,
        };
    }
    expected
}

/// Takes a path apart into names.
struct PathReader<'t> {
    text: &'t str,
    at: usize,
}

impl<'t> PathReader<'t> {
    fn new(text: &'t str) -> Self {
        Self { text, at: 0 }
    }

    fn rest(&self) -> &'t str {
        &self.text[self.at..]
    }

    fn wrong(&self, why: &'static str) -> PlaceError {
        PlaceError::Form {
            text: self.text.to_string(),
            why,
        }
    }

    /// Passes a dot. `false` at the end.
    fn dot(&mut self) -> Result<bool, PlaceError> {
        if self.rest().is_empty() {
            return Ok(false);
        }
        if !self.rest().starts_with('.') {
            return Err(self.wrong(
                "names with other characters than letters, digits, - and _ stand in quotes",
            ));
        }
        self.at += 1;
        Ok(true)
    }

    /// Reads words with commas between, and the number behind them.
    fn name(&mut self) -> Result<Name, PlaceError> {
        let mut fields = vec![self.word()?];
        while self.rest().starts_with(',') {
            self.at += 1;
            fields.push(self.word()?);
        }
        while fields.len() > 1 && fields.last().is_some_and(String::is_empty) {
            fields.pop();
        }
        let mut number = 1;
        if self.rest().starts_with('#') {
            self.at += 1;
            let digits = self
                .rest()
                .find(|c: char| !c.is_ascii_digit())
                .unwrap_or(self.rest().len());
            number = self.rest()[..digits]
                .parse()
                .ok()
                .filter(|n| *n > 0)
                .ok_or_else(|| self.wrong("a number from 1 follows #"))?;
            self.at += digits;
        }
        Ok(Name { fields, number })
    }

    fn word(&mut self) -> Result<String, PlaceError> {
        let rest = self.rest();
        if let Some(inner) = rest.strip_prefix('"') {
            return self.quoted(inner);
        }
        let end = rest
            .find(|c: char| !(c.is_ascii_alphanumeric() || c == '-' || c == '_'))
            .unwrap_or(rest.len());
        if end == 0 {
            return Err(self.wrong("a name is missing"));
        }
        self.at += end;
        Ok(rest[..end].to_string())
    }

    fn quoted(&mut self, inner: &str) -> Result<String, PlaceError> {
        let mut out = String::new();
        let mut chars = inner.char_indices();
        while let Some((at, c)) = chars.next() {
            match c {
                '"' => {
                    self.at += 1 + at + 1;
                    return Ok(out);
                }
                '\\' => out.push(match chars.next().map(|(_, c)| c) {
                    Some('n') => '\n',
                    Some('r') => '\r',
                    Some('t') => '\t',
                    Some(c @ ('"' | '\\')) => c,
                    _ => return Err(self.wrong("behind \\ stands one of \" \\ n r t")),
                }),
                c => out.push(c),
            }
        }
        Err(self.wrong("a quote is not closed"))
    }
}
