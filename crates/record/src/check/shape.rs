//! Key by key: does each value have the kind that the grammar asks for?
//!
//! Out: the values as JSON with the keys of the serde types; ids, references and evidence for the
//! rules that follow.

use super::{Check, nearest};
use crate::files::refuse_path;
use crate::grammar::{Ids, Key, Kind, Names, ROOT, Table, Word, header};
use crate::tree::{Entry, Node, Value};
use serde_json::{Map, Value as Json, json};

impl Check<'_> {
    /// Checks a table and all below it. `None` where something is wrong inside.
    pub(crate) fn table(&mut self, table: &'static Table, node: &Node, at: &str) -> Option<Json> {
        let Value::Table(entries) = &node.value else {
            let remedy = match header(table) {
                inline if inline.starts_with('`') => format!("write {at} = {{ … }}"),
                header => format!("write {header}"),
            };
            self.wrong_kind(node, at, "a table", &remedy);
            return None;
        };
        let mut out = Map::new();
        let mut good = true;
        for Entry {
            key,
            key_span,
            node,
        } in entries
        {
            let Some(known) = table.key(key) else {
                self.unknown_key(table, key, key_span);
                good = false;
                continue;
            };
            match self.value(&known.kind, node, known.name) {
                Some(value) => {
                    out.insert(known.name.to_string(), value);
                }
                None => good = false,
            }
        }
        for key in table.keys.iter().filter(|k| k.required) {
            if !self.partial && !entries.iter().any(|e| e.key == key.name) {
                self.missing_key(table, key, node);
                good = false;
            }
        }
        good.then_some(Json::Object(out))
    }

    fn missing_key(&mut self, table: &Table, key: &Key, node: &Node) {
        let meaning = if key.doc == key.name {
            String::new()
        } else {
            format!(" ({})", key.doc)
        };
        self.report(
            &node.span,
            format!("{} has no `{}`{meaning}", header(table), key.name),
            match key.kind {
                Kind::Table(inner) => format!("add the table [{}]", inner.name),
                _ => format!("add {} = {}", key.name, key.kind.example()),
            },
        );
    }

    fn unknown_key(&mut self, table: &'static Table, key: &str, span: &std::ops::Range<usize>) {
        let message = format!(
            "{} has no key `{}`",
            header(table),
            crate::source::excerpt(key)
        );
        let remedy = if let Some(near) = nearest(key, table.keys.iter().map(|k| k.name)) {
            format!("write {near}")
        } else if let Some(home) = home_of(table, key)
            .or_else(|| home_of(&ROOT, key))
            .filter(|home| home.name != table.name)
        {
            format!("put it in {}, or remove it", header(home))
        } else {
            let all: Vec<&str> = table.keys.iter().map(|k| k.name).collect();
            format!("remove it, or use one of: {}", all.join(", "))
        };
        self.report(span, message, remedy);
    }

    fn wrong_kind(&mut self, node: &Node, key: &str, wanted: &str, remedy: &str) {
        self.report(
            &node.span,
            format!("`{key}` must be {wanted}, found {}", node.value.kind()),
            remedy,
        );
    }

    /// Checks one value. `key` is the key it stands under, for messages.
    fn value(&mut self, kind: &'static Kind, node: &Node, key: &str) -> Option<Json> {
        match kind {
            Kind::Text => self.text(node, key, kind).map(Json::from),
            Kind::Marking => {
                let text = self.text(node, key, kind)?;
                self.brackets_pair(&text, node).then(|| text.into())
            }
            Kind::Id(ids) => self.id(*ids, node, key),
            Kind::Ref(ids) => {
                let id = self.text(node, key, kind)?;
                self.refs.push((*ids, id.clone(), node.span.clone()));
                Some(id.into())
            }
            Kind::Evidence => {
                let text = self.text(node, key, kind)?;
                self.evidence.push((text.clone(), node.span.clone()));
                Some(text.into())
            }
            Kind::PhotoFile => {
                let text = self.text(node, key, kind)?;
                match refuse_path(&text) {
                    None => Some(text.into()),
                    Some(why) => {
                        self.report(&node.span, why, "write the name of a file inside photos/");
                        None
                    }
                }
            }
            Kind::Date => self.date(node, key),
            Kind::Quantity(asked) => {
                let text = self.quantity_text(node, key, kind)?;
                self.quantity(asked, &text, node, key).then(|| text.into())
            }
            Kind::Rating => {
                let text = self.quantity_text(node, key, kind)?;
                self.rating(&text, node, key).then(|| text.into())
            }
            Kind::Words(words) => self.one_of(words, node, key, kind),
            Kind::Whole { least } => self.whole(*least, node, key),
            Kind::Number { low, high } => self.number(*low, *high, node, key),
            Kind::Boolean => match node.value {
                Value::Boolean(b) => Some(b.into()),
                _ => {
                    self.wrong_kind(
                        node,
                        key,
                        "true or false",
                        "write true or false without quotes",
                    );
                    None
                }
            },
            Kind::List(element) => self.list(element, node, key, kind),
            Kind::Row(element, length) => {
                let row = self.list(element, node, key, kind)?;
                let found = row.as_array().map_or(0, Vec::len);
                if found == *length {
                    return Some(row);
                }
                self.report(
                    &node.span,
                    format!("`{key}` must hold {length} values, found {found}"),
                    format!("write {}", kind.example()),
                );
                None
            }
            Kind::Table(table) | Kind::Inline(table) => self.table(table, node, key),
            Kind::Tables(table) => {
                let Value::List(nodes) = &node.value else {
                    self.report(
                        &node.span,
                        format!(
                            "{} is a list of tables, found {}",
                            table.name,
                            node.value.kind()
                        ),
                        format!("write [[{}]]", table.name),
                    );
                    return None;
                };
                let all: Vec<Option<Json>> = nodes
                    .iter()
                    .map(|n| self.table(table, n, table.name))
                    .collect();
                all.into_iter().collect::<Option<Vec<_>>>().map(Json::from)
            }
            Kind::Named(names) => self.named(names, node, key),
        }
    }

    fn text(&mut self, node: &Node, key: &str, kind: &Kind) -> Option<String> {
        let Some(text) = node.as_text() else {
            self.wrong_kind(
                node,
                key,
                "text in quotes",
                &format!("write {}", kind.example()),
            );
            return None;
        };
        if text.trim().is_empty() {
            self.report(
                &node.span,
                format!("`{key}` is empty"),
                "write something, or remove the key",
            );
            return None;
        }
        if let Some(bad) = text
            .chars()
            .find(|c| c.is_control() && !matches!(c, '\n' | '\r' | '\t'))
        {
            self.report(
                &node.span,
                format!(
                    "`{key}` holds the control character U+{:04X}",
                    u32::from(bad)
                ),
                "remove it",
            );
            return None;
        }
        Some(text.to_string())
    }

    /// Quantities are text; a bare number has lost its unit.
    fn quantity_text(&mut self, node: &Node, key: &str, kind: &Kind) -> Option<String> {
        if matches!(node.value, Value::Whole(_) | Value::Number(_)) {
            self.report(
                &node.span,
                format!("`{key}` is a number without a unit"),
                format!("write it as text with its unit: {}", kind.example()),
            );
            return None;
        }
        self.text(node, key, kind)
    }

    fn id(&mut self, ids: Ids, node: &Node, key: &str) -> Option<Json> {
        let id = self.text(node, key, &Kind::Id(ids))?;
        let good = id
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_')
            && id.starts_with(|c: char| c.is_ascii_alphanumeric());
        if !good {
            let plain: String = id
                .chars()
                .map(|c| {
                    if c.is_ascii_alphanumeric() || c == '_' {
                        c.to_ascii_lowercase()
                    } else {
                        '-'
                    }
                })
                .collect();
            let plain = plain.trim_matches(['-', '_']);
            let plain = if plain.is_empty() {
                "short-word"
            } else {
                plain
            };
            self.report(
                &node.span,
                format!(
                    "the id \"{}\" holds other characters than letters, digits, - and _",
                    crate::source::excerpt(&id)
                ),
                format!("write \"{plain}\""),
            );
            return None;
        }
        Some(id.into())
    }

    fn brackets_pair(&mut self, text: &str, node: &Node) -> bool {
        let mut open = false;
        let mut good = true;
        for c in text.chars() {
            match c {
                '[' if open => good = false,
                '[' => open = true,
                ']' if !open => good = false,
                ']' => open = false,
                _ => {}
            }
        }
        if open || !good || text.contains("[]") {
            self.report(
                &node.span,
                "the brackets in this marking do not pair",
                "write [8B] for one character that may be 8 or B, and ? for an unreadable one",
            );
            return false;
        }
        true
    }

    fn date(&mut self, node: &Node, key: &str) -> Option<Json> {
        let written = match &node.value {
            Value::Date(text) | Value::Text(text) => text.as_str(),
            _ => {
                self.wrong_kind(node, key, "a date", "write year-month-day: 2026-03-01");
                return None;
            }
        };
        match written.parse::<jiff::civil::Date>() {
            Ok(date) if written.len() == 10 => Some(date.to_string().into()),
            _ => {
                self.report(
                    &node.span,
                    format!("`{key}` is not a calendar date"),
                    "write year-month-day: 2026-03-01",
                );
                None
            }
        }
    }

    fn one_of(
        &mut self,
        words: &'static [Word],
        node: &Node,
        key: &str,
        kind: &Kind,
    ) -> Option<Json> {
        let found = self.text(node, key, kind)?;
        if words.iter().any(|w| w.word == found) {
            return Some(found.into());
        }
        let remedy = match nearest(&found, words.iter().map(|w| w.word)) {
            Some(near) => format!("write \"{near}\""),
            None => {
                let all: Vec<&str> = words.iter().map(|w| w.word).collect();
                format!("write one of: {}", all.join(", "))
            }
        };
        self.report(
            &node.span,
            format!("`{key}` cannot be \"{}\"", crate::source::excerpt(&found)),
            remedy,
        );
        None
    }

    fn whole(&mut self, least: u32, node: &Node, key: &str) -> Option<Json> {
        let Value::Whole(n) = node.value else {
            let meant = node
                .as_text()
                .and_then(|t| t.trim().parse().ok())
                .unwrap_or(least.max(1));
            let remedy = format!("write {meant} without quotes");
            self.wrong_kind(node, key, "a whole number", &remedy);
            return None;
        };
        if n < i64::from(least) || n > i64::from(u32::MAX) {
            self.report(
                &node.span,
                format!("`{key}` must be {least} or more and below 4294967296, found {n}"),
                "write the number as counted, or remove the key",
            );
            return None;
        }
        Some(n.into())
    }

    fn number(&mut self, low: f64, high: f64, node: &Node, key: &str) -> Option<Json> {
        let number = match node.value {
            // Whole numbers of the accepted ranges are exact as floating point.
            #[allow(clippy::cast_precision_loss, reason = "the range check follows")]
            Value::Whole(n) => n as f64,
            Value::Number(x) => x,
            _ => {
                self.wrong_kind(node, key, "a number", "write it without quotes and unit");
                return None;
            }
        };
        if !(low..=high).contains(&number) {
            self.report(
                &node.span,
                format!("`{key}` must lie between {low} and {high}, found {number}"),
                "correct the number",
            );
            return None;
        }
        Some(json!(number))
    }

    fn list(
        &mut self,
        element: &'static Kind,
        node: &Node,
        key: &str,
        kind: &Kind,
    ) -> Option<Json> {
        let Value::List(nodes) = &node.value else {
            self.wrong_kind(node, key, "a list", &format!("write {}", kind.example()));
            return None;
        };
        if matches!(element, Kind::Ref(_)) {
            let mut seen = std::collections::BTreeSet::new();
            for node in nodes {
                if let Some(text) = node.as_text()
                    && !seen.insert(text)
                {
                    self.report(
                        &node.span,
                        format!("\"{text}\" is in `{key}` twice"),
                        "write it once",
                    );
                }
            }
        }
        let all: Vec<Option<Json>> = nodes.iter().map(|n| self.value(element, n, key)).collect();
        all.into_iter().collect::<Option<Vec<_>>>().map(Json::from)
    }

    fn named(&mut self, names: &'static Names, node: &Node, key: &str) -> Option<Json> {
        let Value::Table(entries) = &node.value else {
            self.wrong_kind(
                node,
                key,
                "a table",
                &format!("write {key} = {{ {} = … }}", names.known[0].name),
            );
            return None;
        };
        let mut out = Map::new();
        let mut good = true;
        for entry in entries {
            let known = names.known.iter().find(|n| n.name == entry.key);
            let asked = match known {
                Some(known) => known.asked,
                None => {
                    let near = nearest(&entry.key, names.known.iter().map(|n| n.name));
                    if !names.open || near.is_some() {
                        let all: Vec<&str> = names.known.iter().map(|n| n.name).collect();
                        self.report(
                            &entry.key_span,
                            format!("`{key}` has no key `{}`", entry.key),
                            near.map_or_else(
                                || format!("remove it, or use one of: {}", all.join(", ")),
                                |near| format!("write {near}"),
                            ),
                        );
                        good = false;
                        continue;
                    }
                    &crate::grammar::ANY
                }
            };
            let text = self.quantity_text(&entry.node, &entry.key, &Kind::Quantity(asked));
            match text {
                Some(text) if self.quantity(asked, &text, &entry.node, &entry.key) => {
                    out.insert(entry.key.clone(), text.into());
                }
                _ => good = false,
            }
        }
        good.then_some(Json::Object(out))
    }
}

/// Returns the first table of the grammar that has this key.
fn home_of(table: &'static Table, key: &str) -> Option<&'static Table> {
    let inner = |k: &'static Key| match k.kind {
        Kind::Table(t) | Kind::Inline(t) | Kind::Tables(t) => Some(t),
        _ => None,
    };
    // The tables right here are nearer to what was meant than those further down.
    table
        .keys
        .iter()
        .filter_map(inner)
        .find(|t| t.key(key).is_some())
        .or_else(|| {
            table
                .keys
                .iter()
                .filter_map(inner)
                .find_map(|t| home_of(t, key))
        })
}

impl Kind {
    /// Returns a good value as it is written.
    pub(crate) fn example(&self) -> String {
        match self {
            Self::Text => "\"…\"".into(),
            Self::Marking => "\"AB12\"".into(),
            Self::Id(_) => "\"short-word\"".into(),
            Self::Ref(ids) => format!("\"id of the {}\"", ids.word()),
            Self::Evidence => "\"photo:ID\"".into(),
            Self::PhotoFile => "\"board-top.jpg\"".into(),
            Self::Date => "2026-03-01".into(),
            Self::Quantity(asked) => format!("\"{}\"", asked.example),
            Self::Rating => "\"5 V ⎓ 2 A\"".into(),
            Self::Words(words) => format!("\"{}\"", words[0].word),
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
