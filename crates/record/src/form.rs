//! What can be filled in for each sort of entry: for command lines, prompts and pages.
//!
//! In: the grammar. Out: [`Form`]s with their [`Field`]s; the value of a field from words as a person gives them;
//! what an entry under way still lacks.
//! Not here: whether values are good (`check`), how they are asked for, how they get into a text (`draft`).

mod words;

pub use words::Shape;

use crate::count::UNKNOWN;
use crate::grammar::{
    Key, Kind, Names, ROOT, Table, Word, claim_measure, claim_needs, reading_measure,
};
use crate::place::Segment;
use crate::synonyms::key_meant;
use crate::{MeasureSubject, Place};
use serde_json::{Map, Value as Json, json};
use std::collections::BTreeMap;

/// One sort of entry that can be added to a dossier, or the facts of the product.
#[derive(Debug)]
pub struct Form {
    /// What it is called ("claim").
    pub word: &'static str,
    /// One line on it.
    pub doc: &'static str,
    /// The fields in the order they are written.
    pub fields: Vec<Field>,
    /// The field that a person names first, without saying its name.
    pub lead: Option<&'static str>,
    /// For lists inside another entry: the word for that entry ("item").
    pub of: Option<&'static str>,
    /// The list, and that in the other entry.
    list: &'static str,
    of_list: &'static str,
}

/// One value of a form.
#[derive(Debug)]
pub struct Field {
    /// Keys from the entry down (`part.package`).
    pub path: String,
    /// Short name, unique within the form (`package`).
    pub flag: String,
    /// One line on it.
    pub doc: &'static str,
    /// Whether every entry has to have it. An id is made where none is given.
    pub required: bool,
    kind: Kind,
}

/// What cannot be taken as the value of a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unfit {
    /// What is wrong.
    pub message: String,
    /// What to write instead.
    pub remedy: String,
}

/// The sorts of entries: word, list, the list of the entry it is in, the field named first.
const FORMS: &[(&str, &str, &str, Option<&str>)] = &[
    ("instrument", "instruments", "", Some("name")),
    ("claim", "claims", "", Some("text")),
    ("label", "product.labels", "", Some("text")),
    ("identifier", "product.identifiers", "", Some("text")),
    ("accessory", "product.accessories", "", Some("name")),
    ("sample", "product.samples", "", Some("name")),
    ("photo", "photos", "", None),
    ("region", "regions", "photos", None),
    ("reference", "references", "photos", Some("name")),
    ("item", "items", "", Some("name")),
    ("load", "loads", "items", None),
    ("link", "links", "", None),
    ("mode", "modes", "", Some("name")),
    ("step", "steps", "", Some("text")),
    ("reading", "readings", "", Some("value")),
    ("log", "logs", "", None),
    ("recording", "recordings", "", None),
    ("measure", "measures", "", Some("at")),
    ("correlation", "correlations", "", Some("between")),
    ("price", "prices", "", Some("each")),
    ("rate", "rates", "", Some("is")),
    ("repair-fact", "repair-facts", "", None),
    ("film", "films", "", Some("title")),
    ("clip", "clips", "films", Some("name")),
    ("cut", "cuts", "films", Some("clip")),
    ("pronunciation", "pronunciations", "", Some("word")),
    ("caption-ruling", "caption-rulings", "", None),
    ("past-ruling", "past-rulings", "", None),
];

/// Returns the sorts of entries in the order of the work.
pub fn forms() -> Vec<Form> {
    let form = |&(word, list, of_list, lead): &(&'static str, &'static str, &'static str, _)| {
        let within = match of_list {
            "" => &ROOT,
            outer => table_at(&ROOT, outer),
        };
        let table = table_at(within, list);
        let of = (!of_list.is_empty()).then_some(match of_list {
            "photos" => "photo",
            "films" => "film",
            _ => "item",
        });
        Form {
            word,
            doc: table.doc,
            fields: fields(table),
            lead,
            of,
            list,
            of_list,
        }
    };
    FORMS.iter().map(form).collect()
}

/// Returns the form of the product.
pub fn product_form() -> Form {
    let table = table_at(&ROOT, "product");
    Form {
        word: "product",
        doc: table.doc,
        fields: fields(table),
        lead: None,
        of: None,
        list: "product",
        of_list: "",
    }
}

/// Returns the field at a place of the record; `None` for tables, lists of tables and what the format does not have.
pub fn field_at(place: &Place) -> Option<Field> {
    let mut table = &ROOT;
    let mut names: Option<&Names> = None;
    let mut found: Option<Field> = None;
    for segment in place.segments()? {
        let Segment::Key(key) = segment else { continue };
        if let Some(names) = names.take() {
            let known = names.known.iter().find(|n| n.name == key)?;
            found = Some(field(key, known.doc, Kind::Quantity(known.asked)));
            continue;
        }
        let at = table.key(key)?;
        match &at.kind {
            Kind::Table(inner) | Kind::Inline(inner) | Kind::Tables(inner) => table = inner,
            Kind::Named(inner) => names = Some(*inner),
            kind => found = Some(field(key, at.doc, *kind)),
        }
    }
    found
}

/// Returns the keys of the table at a place of the record; none where there is no table.
pub fn keys_at(place: &Place) -> Vec<&'static str> {
    let mut table = &ROOT;
    for segment in place.segments().into_iter().flatten() {
        let Segment::Key(key) = segment else { continue };
        match table.key(key).map(|key| &key.kind) {
            Some(Kind::Table(inner) | Kind::Inline(inner) | Kind::Tables(inner)) => table = inner,
            _ => return Vec::new(),
        }
    }
    table.keys.iter().map(|key| key.name).collect()
}

/// Returns what to write in place of a key that a table, named as messages name it (`[product]`), does not have.
pub fn key_meant_in(table: &str, found: &str) -> Option<String> {
    let name = table.trim_matches(['[', ']', '`']);
    let table = table_at(&ROOT, name);
    // It may stand one table further in.
    let further_in = table.keys.iter().find(|key| match &key.kind {
        Kind::Table(inner) | Kind::Inline(inner) => inner.key(found).is_some(),
        _ => false,
    });
    if let Some(key) = further_in {
        return Some(format!("write {}.{found}", key.name));
    }
    let keys: Vec<&str> = table.keys.iter().map(|k| k.name).collect();
    key_meant(name, found, &keys)
}

fn field(path: &str, doc: &'static str, kind: Kind) -> Field {
    Field {
        path: path.to_string(),
        flag: path.to_string(),
        doc,
        required: false,
        kind,
    }
}

impl Form {
    /// Returns the list that entries of this sort go to; `of` is the id of the entry that the list is in.
    pub fn list(&self, of: Option<&str>) -> Place {
        match (self.of_list, of) {
            ("photos", Some(id)) => Place::photo(id).at(self.list),
            ("films", Some(id)) => Place::film(id).at(self.list),
            ("items", Some(id)) => Place::item(id).at(self.list),
            _ => Place::dossier().at(self.list),
        }
    }

    /// Returns the field with this short name or path.
    pub fn field(&self, name: &str) -> Option<&Field> {
        self.fields
            .iter()
            .find(|f| f.flag == name || f.path == name || f.path.replace('.', "-") == name)
    }

    /// Returns the folder of the dossier into which the file of such an entry is copied; none where it has no file.
    pub fn file_folder(&self) -> Option<&'static str> {
        let file = self.fields.iter().find(|f| f.path == "file")?;
        match file.kind {
            Kind::FileIn(folder) => Some(folder),
            _ => None,
        }
    }

    /// Returns whether entries of this sort have an id.
    pub fn has_id(&self) -> bool {
        self.fields.iter().any(|f| f.path == "id")
    }

    /// Returns what to give in place of a field that the form does not have, where that is likely.
    pub fn meant(&self, found: &str) -> Option<String> {
        let flags: Vec<&str> = self.fields.iter().map(|f| f.flag.as_str()).collect();
        key_meant(self.list, found, &flags)
    }

    /// Puts a value into an entry, below the tables that it stands in.
    pub fn put(entry: &mut Map<String, Json>, path: &str, value: Json) {
        match path.split_once('.') {
            None => {
                entry.insert(path.to_string(), value);
            }
            Some((table, rest)) => {
                let inner = entry.entry(table).or_insert_with(|| json!({}));
                if let Json::Object(inner) = inner {
                    Self::put(inner, rest, value);
                }
            }
        }
    }

    /// Returns the fields that an entry still lacks to be one of its sort, in the order they are best asked for.
    /// An id is not among them.
    pub fn lacking(&self, entry: &Map<String, Json>) -> Vec<&Field> {
        let has = |path: &str| at(entry, path).is_some();
        let word = |path: &str| at(entry, path).and_then(Json::as_str);
        let mut wanted: Vec<&str> = Vec::new();
        for field in &self.fields {
            let inner = field.path.rsplit_once('.');
            let begun = inner.is_none_or(|(table, _)| has(table));
            if field.required && begun && field.path != "id" {
                wanted.push(&field.path);
            }
        }
        match self.word {
            "claim" => wanted.extend(word("kind").map_or(Vec::new(), |k| claim_needs(k, has))),
            "item" if word("kind").is_some_and(|kind| kind != "product") => wanted.push("parent"),
            // What was measured says what the value has to be.
            "reading" => wanted.sort_by_key(|path| *path == "value"),
            // The points come last: which ones depends on what is measured.
            "measure" => {
                let what = at(entry, "what").cloned().unwrap_or_default();
                let what: Result<MeasureSubject, _> = serde_json::from_value(what);
                if what.is_ok_and(|what| !what.sizes().is_empty()) {
                    wanted.push("item");
                }
                wanted.sort_by_key(|path| *path == "at");
            }
            _ => {}
        }
        wanted.retain(|path| !has(path));
        wanted.iter().filter_map(|path| self.field(path)).collect()
    }

    /// Returns a good value of a field beside what an entry says already.
    pub fn example(&self, field: &Field, entry: &Map<String, Json>) -> String {
        let word = |key: &str| at(entry, key).and_then(Json::as_str).unwrap_or_default();
        let asked = match (self.word, field.path.as_str()) {
            ("claim", "value") => claim_measure(word("kind")),
            ("reading", "value" | "tare") => reading_measure(word("what")),
            _ => None,
        };
        match asked {
            Some(asked) => asked.example.to_string(),
            None => field.example(),
        }
    }
}

impl Field {
    /// Returns the words of a closed list with their meaning; empty where any text will do.
    pub fn choices(&self) -> Vec<(&'static str, &'static str)> {
        let words: &[Word] = match &self.kind {
            Kind::Words(words) | Kind::List(Kind::Words(words)) => words,
            _ => &[],
        };
        words.iter().map(|w| (w.word, w.doc)).collect()
    }

    /// Returns the sort of entry that it names by its id ("item").
    pub fn refers_to(&self) -> Option<&'static str> {
        match &self.kind {
            Kind::Ref(ids) | Kind::List(Kind::Ref(ids)) | Kind::Row(Kind::Ref(ids), _) => {
                Some(ids.word())
            }
            _ => None,
        }
    }

    /// Returns whether it holds several values, each of which may be given by itself.
    pub fn is_list(&self) -> bool {
        matches!(self.kind, Kind::List(_))
    }

    /// Returns a good value as a person writes it.
    pub fn example(&self) -> String {
        match &self.kind {
            Kind::Id(_) | Kind::Ref(_) | Kind::List(Kind::Ref(_)) | Kind::RegionOf(_) => {
                "short-word".to_string()
            }
            Kind::Words(_) | Kind::List(Kind::Words(_)) => {
                let words = self.choices();
                words.first().map_or_else(String::new, |w| w.0.to_string())
            }
            Kind::Boolean => "yes".to_string(),
            Kind::List(Kind::Evidence) => "photo:ID#REGION".to_string(),
            Kind::List(Kind::Row(_, length)) => [numbers(*length), numbers(*length)].join(" "),
            Kind::Row(Kind::Ref(_), length) => vec!["short-word"; *length].join(","),
            Kind::Row(_, length) => numbers(*length),
            Kind::List(element) => element.example().trim_matches('"').to_string(),
            kind => kind.example().trim_matches('"').to_string(),
        }
    }

    /// Returns what it has to be, in a few words ("a mass", "a date").
    pub fn wanted(&self) -> &'static str {
        match &self.kind {
            Kind::Quantity(asked) => asked.word,
            Kind::Rating => "volts and amperes",
            Kind::Date => "a date",
            Kind::Moment => "a date and time with offset",
            Kind::FilmTime => "a time of a film",
            Kind::Boolean => "yes or no",
            Kind::Count => "a number of pieces, or unknown",
            Kind::Whole { .. } => "a whole number",
            Kind::Number { .. } => "a number",
            Kind::Words(_) | Kind::List(Kind::Words(_)) => "one of its words",
            Kind::Ref(_) | Kind::List(Kind::Ref(_)) | Kind::RegionOf(_) => "an id",
            Kind::Row(Kind::Ref(_), _) => "ids",
            Kind::List(Kind::Row(..)) | Kind::Row(..) => "numbers",
            _ => "text",
        }
    }

    /// Returns the value that was given in one or several words. Lists of ids and of words may stand in one with
    /// commas between, lines of a marking with `|` between.
    ///
    /// # Errors
    /// What is no value of this kind, several where one is meant.
    pub fn value(&self, given: &[String]) -> Result<Json, Unfit> {
        let one = |kind: &Kind| match given {
            [word] => self.single(kind, word),
            _ => Err(Unfit {
                message: format!("`{}` is one value, found {}", self.path, given.len()),
                remedy: "give it once".to_string(),
            }),
        };
        let split = |by: &[char]| -> Vec<String> {
            let pieces = given.iter().flat_map(|word| word.split(by));
            let pieces = pieces.map(|piece| piece.trim().to_string());
            pieces.filter(|piece| !piece.is_empty()).collect()
        };
        let pieces = match &self.kind {
            Kind::List(Kind::Ref(_) | Kind::Words(_)) => split(&[',']),
            Kind::List(Kind::Marking) => split(&['|']),
            Kind::List(Kind::Row(..)) => split(&[' ', '\t', '\n']),
            Kind::List(_) => given.to_vec(),
            Kind::Row(..) => {
                let words = split(&[',', ' ']);
                return self.row(&self.kind, &words);
            }
            kind => return one(kind),
        };
        let Kind::List(element) = &self.kind else {
            return one(&self.kind);
        };
        let each = |piece: &String| match element {
            Kind::Row(..) => {
                let words: Vec<String> = piece.split(',').map(str::to_string).collect();
                self.row(element, &words)
            }
            _ => self.single(element, piece),
        };
        pieces.iter().map(each).collect()
    }

    fn row(&self, kind: &Kind, words: &[String]) -> Result<Json, Unfit> {
        let Kind::Row(element, length) = kind else {
            return Err(self.unfit("a list of numbers", &words.join(",")));
        };
        if words.len() != *length {
            let what = match element {
                Kind::Ref(_) => "ids",
                _ => "numbers",
            };
            return Err(self.unfit(&format!("{length} {what}"), &words.join(",")));
        }
        words
            .iter()
            .map(|word| self.single(element, word))
            .collect()
    }

    fn single(&self, kind: &Kind, word: &str) -> Result<Json, Unfit> {
        let word = word.trim();
        let whole = |w: &str| w.parse::<i64>().ok().map(Json::from);
        match kind {
            Kind::Count if word == UNKNOWN => Ok(UNKNOWN.into()),
            Kind::Count | Kind::Whole { .. } => {
                whole(word).ok_or_else(|| self.unfit("a whole number", word))
            }
            Kind::Number { .. } => match word.parse::<f64>() {
                Ok(number) if number.is_finite() => Ok(json!(number)),
                _ => Err(self.unfit("a number with a decimal point", word)),
            },
            Kind::Boolean => match word.to_lowercase().as_str() {
                "yes" | "y" | "true" => Ok(true.into()),
                "no" | "n" | "false" => Ok(false.into()),
                _ => Err(self.unfit("yes or no", word)),
            },
            Kind::Words(words) if words.iter().all(|w| w.word != word) => {
                let all: Vec<&'static str> = words.iter().map(|w| w.word).collect();
                let meant = crate::synonyms::word_meant(word, &all);
                let listed = all.join(", ");
                Err(Unfit {
                    message: format!(
                        "`{}` cannot be \"{}\"",
                        self.path,
                        crate::source::excerpt(word)
                    ),
                    remedy: match meant {
                        Some(meant) => format!("{meant} (the words are: {listed})"),
                        None => format!("write one of: {listed}"),
                    },
                })
            }
            Kind::Date if word.len() != 10 || word.parse::<jiff::civil::Date>().is_err() => {
                Err(self.unfit("a calendar date, year-month-day", word))
            }
            Kind::Moment if word.parse::<crate::Moment>().is_err() => {
                Err(self.unfit("a date and time with its offset from UTC", word))
            }
            Kind::FilmTime if word.parse::<crate::FilmTime>().is_err() => {
                Err(self.unfit("a time of a film, minutes and seconds", word))
            }
            _ => Ok(word.into()),
        }
    }

    fn unfit(&self, wanted: &str, found: &str) -> Unfit {
        Unfit {
            message: format!(
                "`{}` must be {wanted}, found \"{}\"",
                self.path,
                crate::source::excerpt(found)
            ),
            remedy: format!("write it like {}", self.example()),
        }
    }
}

/// Makes an id of a text: a few of its first words, in small letters.
pub fn id_of(text: &str) -> String {
    let letters = text.chars().map(|c| match c {
        c if c.is_ascii_alphanumeric() || c == '_' => c.to_ascii_lowercase(),
        _ => ' ',
    });
    let plain: String = letters.collect();
    let mut id = String::new();
    for word in plain.split_whitespace() {
        if !id.is_empty() && id.len() + word.len() >= 24 {
            break;
        }
        if !id.is_empty() {
            id.push('-');
        }
        id += word;
    }
    let id = id.trim_start_matches('_');
    if id.is_empty() {
        "short-word".to_string()
    } else {
        id.to_string()
    }
}

/// Writes some numbers as a row of them is given.
fn numbers(length: usize) -> String {
    let good = ["12", "8", "30", "20"];
    let row: Vec<&str> = good.iter().copied().cycle().take(length).collect();
    row.join(",")
}

/// Returns the value at a path of an entry.
fn at<'e>(entry: &'e Map<String, Json>, path: &str) -> Option<&'e Json> {
    match path.split_once('.') {
        None => entry.get(path),
        Some((table, rest)) => at(entry.get(table)?.as_object()?, rest),
    }
}

fn table_at(within: &'static Table, path: &str) -> &'static Table {
    path.split('.').fold(within, |table, name| {
        match table.key(name).map(|key| &key.kind) {
            Some(Kind::Table(inner) | Kind::Inline(inner) | Kind::Tables(inner)) => inner,
            _ => table,
        }
    })
}

fn fields(table: &'static Table) -> Vec<Field> {
    let mut all = Vec::new();
    gather(table, "", &mut all);
    let mut uses: BTreeMap<String, usize> = BTreeMap::new();
    for field in &all {
        *uses.entry(last(&field.path).to_string()).or_default() += 1;
    }
    for field in &mut all {
        let nested = field.path.contains('.');
        field.flag = match uses.get(last(&field.path)) {
            Some(1) => last(&field.path).to_string(),
            _ if !nested => field.path.clone(),
            _ => {
                // The table it stands in tells it apart; all above it are accepted too.
                let mut parts = field.path.rsplit('.');
                let (key, table) = (parts.next(), parts.next());
                format!("{}-{}", table.unwrap_or_default(), key.unwrap_or_default())
            }
        };
    }
    all
}

fn last(path: &str) -> &str {
    path.rsplit('.').next().unwrap_or(path)
}

/// Lists the keys of a table and of those inside it; lists of tables are forms of their own.
fn gather(table: &'static Table, above: &str, all: &mut Vec<Field>) {
    let below = |name: &str| match above {
        "" => name.to_string(),
        above => format!("{above}.{name}"),
    };
    for Key {
        name,
        kind,
        required,
        doc,
    } in table.keys
    {
        match kind {
            Kind::Table(inner) | Kind::Inline(inner) => gather(inner, &below(name), all),
            Kind::Tables(_) => {}
            Kind::Named(names) => {
                for known in names.known {
                    let path = format!("{}.{}", below(name), known.name);
                    let quantity = Kind::Quantity(known.asked);
                    all.push(field(&path, known.doc, quantity));
                }
            }
            _ => all.push(Field {
                required: *required,
                ..field(&below(name), doc, *kind)
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_field_has_a_short_name_of_its_own_and_reads_its_own_example() {
        for form in forms().iter().chain([&product_form()]) {
            let mut seen = std::collections::BTreeSet::new();
            for field in &form.fields {
                assert!(seen.insert(&field.flag), "{} {}", form.word, field.flag);
                let example = field.example();
                let value = field.value(std::slice::from_ref(&example));
                assert!(
                    value.is_ok(),
                    "{} {}: {example}: {value:?}",
                    form.word,
                    field.path
                );
            }
        }
    }

    #[test]
    fn lists_of_ids_are_parted_at_commas_and_lines_of_a_marking_at_bars() {
        let forms = forms();
        let form = |word: &str| forms.iter().find(|f| f.word == word).unwrap();
        let value = |word: &str, field: &str, given: &str| {
            form(word).field(field).unwrap().value(&[given.to_string()])
        };
        assert_eq!(
            value("step", "frees", "cell, board"),
            Ok(json!(["cell", "board"]))
        );
        assert_eq!(
            value("item", "marking", "AB12|6?"),
            Ok(json!(["AB12", "6?"]))
        );
        assert_eq!(
            value("region", "rect", "1,2,30,40"),
            Ok(json!([1, 2, 30, 40]))
        );
        assert_eq!(
            value("item", "evidence", "text:one, two"),
            Ok(json!(["text:one, two"]))
        );
        assert!(value("region", "rect", "1,2,30").is_err());
        assert!(value("item", "count", "four").is_err());
    }

    #[test]
    fn what_a_claim_lacks_follows_from_its_kind() {
        let forms = forms();
        let claim = forms.iter().find(|f| f.word == "claim").unwrap();
        let lacks = |entry: Json| -> Vec<String> {
            let entry = entry.as_object().unwrap().clone();
            claim
                .lacking(&entry)
                .iter()
                .map(|f| f.flag.clone())
                .collect()
        };
        assert_eq!(lacks(json!({})), ["text", "printed", "kind"]);
        let said = json!({ "text": "x", "printed": "box", "kind": "dimension" });
        assert_eq!(lacks(said), ["value", "dimension"]);
        let said = json!({ "text": "x", "printed": "box", "kind": "slogan" });
        assert_eq!(lacks(said), Vec::<String>::new());
    }
}
