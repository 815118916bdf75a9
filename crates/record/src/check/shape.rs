//! Key by key: does each value have the kind that the grammar asks for?
//!
//! Out: the values as JSON with the keys of the serde types; ids, references and evidence for the
//! rules that follow.

use super::{Check, nearest};
use crate::count::UNKNOWN;
use crate::files::refuse_path;
use crate::grammar::{Key, Kind, Names, ROOT, Table, header};
use crate::synonyms::key_meant;
use crate::tree::{Entry, Node, Value};
use serde_json::{Map, Value as Json};

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
        self.report_lack(
            &node.span,
            key.name,
            format!("{} has no `{}`{meaning}", header(table), key.name),
            how_to_add(key),
        );
    }

    fn unknown_key(&mut self, table: &'static Table, key: &str, span: &std::ops::Range<usize>) {
        if self.full() {
            self.untold += 1;
            return;
        }
        let message = format!(
            "{} has no key `{}`",
            header(table),
            crate::source::excerpt(key)
        );
        let all: Vec<&str> = table.keys.iter().map(|k| k.name).collect();
        let remedy = if let Some(meant) = key_meant(table.name, key, &all) {
            meant
        } else if let Some(home) = home_of(table, key)
            .or_else(|| home_of(&ROOT, key))
            .filter(|home| home.name != table.name)
        {
            format!("put it in {}, or remove it", header(home))
        } else {
            format!("remove it, or use one of: {}", all.join(", "))
        };
        self.report(span, message, remedy);
    }

    pub(super) fn wrong_kind(&mut self, node: &Node, key: &str, wanted: &str, remedy: &str) {
        self.report(
            &node.span,
            format!("`{key}` must be {wanted}, found {}", node.value.kind()),
            remedy,
        );
    }

    /// Checks one value. `key` is the key it stands under, for messages.
    fn value(&mut self, kind: &'static Kind, node: &Node, key: &str) -> Option<Json> {
        match kind {
            Kind::Text | Kind::Note | Kind::RegionOf(_) => {
                self.text(node, key, kind).map(Json::from)
            }
            Kind::Marking => {
                let text = self.text(node, key, kind)?;
                self.marking(&text, node).then(|| text.into())
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
            Kind::FileIn(folder) => {
                let text = self.text(node, key, kind)?;
                match refuse_path(&text) {
                    None => Some(text.into()),
                    Some(why) => {
                        let remedy = format!("write the name of a file inside {folder}/");
                        self.report(&node.span, why, remedy);
                        None
                    }
                }
            }
            Kind::Date => self.date(node, key),
            Kind::Moment => self.moment(node, key),
            Kind::FilmTime => self.film_time(node, key),
            Kind::Quantity(asked) => {
                let text = self.quantity_text(node, key, kind)?;
                self.quantity(asked, &text, node, key).then(|| text.into())
            }
            Kind::Rating => {
                let text = self.quantity_text(node, key, kind)?;
                self.rating(&text, node, key).then(|| text.into())
            }
            Kind::Words(words) => self.one_of(words, node, key, kind),
            Kind::Count => self.count(node, key),
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
/// Says what to add, without a fact that the analyst may not know.
fn how_to_add(key: &Key) -> String {
    let name = key.name;
    match key.kind {
        Kind::Table(inner) => format!("add the table [{}]", inner.name),
        Kind::Words(words) => {
            let others = words.iter().map(|w| w.word).filter(|w| *w != UNKNOWN);
            let listed = others.collect::<Vec<_>>().join(", ");
            if words.iter().any(|w| w.word == UNKNOWN) {
                format!("add {name} = \"{UNKNOWN}\", or the word that fits: {listed}")
            } else {
                format!("add {name} with the word that fits: {listed}")
            }
        }
        Kind::Quantity(_) | Kind::Rating => {
            format!("add {name} = \"…\", written like {}", key.kind.example())
        }
        _ => format!("add {name} = {}", key.kind.example()),
    }
}

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
