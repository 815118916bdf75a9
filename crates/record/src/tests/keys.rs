//! The grammar has the same keys, words and required keys as the serde types.

use crate::grammar::{self as g, Kind, Table, Word};
use serde::de::{self, Deserialize, Deserializer, Visitor};
use serde_json::{Map, Value};
use std::collections::BTreeSet;

/// A deserializer that only listens which keys or words a type asks for.
struct Listener<'a>(&'a mut Vec<&'static str>);

impl<'de> Deserializer<'de> for Listener<'_> {
    type Error = de::value::Error;

    fn deserialize_any<V: Visitor<'de>>(self, _: V) -> Result<V::Value, Self::Error> {
        Err(de::Error::custom("only listening"))
    }
    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        fields: &'static [&'static str],
        _: V,
    ) -> Result<V::Value, Self::Error> {
        self.0.extend(fields);
        Err(de::Error::custom("only listening"))
    }
    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        words: &'static [&'static str],
        _: V,
    ) -> Result<V::Value, Self::Error> {
        self.0.extend(words);
        Err(de::Error::custom("only listening"))
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 u8 u16 u32 u64 f32 f64 char str string bytes byte_buf option unit
        unit_struct newtype_struct seq tuple tuple_struct map identifier ignored_any
    }
}

fn asked_by<T: for<'de> Deserialize<'de>>() -> BTreeSet<&'static str> {
    let mut names = Vec::new();
    assert!(T::deserialize(Listener(&mut names)).is_err());
    names.into_iter().collect()
}

#[track_caller]
fn same_words<T: for<'de> Deserialize<'de>>(words: &[Word]) {
    let ours: BTreeSet<&str> = words.iter().map(|w| w.word).collect();
    assert_eq!(ours, asked_by::<T>());
}

/// Compares the keys; then the type takes an entry of only the required keys, and none without one.
#[track_caller]
fn same_keys<T: for<'de> Deserialize<'de>>(table: &'static Table) {
    let ours: BTreeSet<&str> = table.keys.iter().map(|k| k.name).collect();
    assert_eq!(ours, asked_by::<T>(), "keys of [{}]", table.name);
    let least = least_of(table);
    let read = serde_json::from_value::<T>(Value::Object(least.clone()));
    assert!(
        read.is_ok(),
        "[{}] with the required keys: {:?}",
        table.name,
        read.err()
    );
    for key in least.keys() {
        let mut without = least.clone();
        without.remove(key);
        let read = serde_json::from_value::<T>(Value::Object(without));
        assert!(read.is_err(), "[{}] does not need `{key}`", table.name);
    }
}

fn least_of(table: &'static Table) -> Map<String, Value> {
    let required = table.keys.iter().filter(|k| k.required);
    required
        .map(|k| (k.name.to_string(), least_value(&k.kind)))
        .collect()
}

fn least_value(kind: &'static Kind) -> Value {
    match kind {
        Kind::Date => "2026-03-01".into(),
        Kind::Moment => crate::moment::EXAMPLE.into(),
        Kind::FilmTime => crate::film_time::EXAMPLE.into(),
        Kind::Quantity(asked) => asked.example.into(),
        Kind::Rating => "5 V ⎓ 2 A".into(),
        Kind::Words(words) => words[0].word.into(),
        Kind::Count => 1.into(),
        Kind::Whole { least } => (*least).into(),
        Kind::Number { low, .. } => (*low).into(),
        Kind::Boolean => true.into(),
        Kind::List(_) | Kind::Tables(_) => Value::Array(Vec::new()),
        Kind::Row(element, length) => vec![least_value(element); *length].into(),
        Kind::Table(inner) | Kind::Inline(inner) => Value::Object(least_of(inner)),
        Kind::Named(_) => Value::Object(Map::new()),
        Kind::Text
        | Kind::Note
        | Kind::RegionOf(_)
        | Kind::Marking
        | Kind::Id(_)
        | Kind::Ref(_)
        | Kind::Evidence
        | Kind::FileIn(_) => "text:x".into(),
    }
}

#[test]
fn tables_have_the_keys_of_their_types() {
    same_keys::<crate::Dossier>(&g::ROOT);
    same_keys::<crate::Product>(&g::PRODUCT);
    same_keys::<crate::Price>(&g::PRICE);
    same_keys::<crate::Identifier>(&g::IDENTIFIER);
    same_keys::<crate::LabelText>(&g::LABEL);
    same_keys::<crate::Accessory>(&g::ACCESSORY);
    same_keys::<crate::Sample>(&g::SAMPLE);
    same_keys::<crate::Instrument>(&g::INSTRUMENT);
    same_keys::<crate::Claim>(&g::CLAIM);
    same_keys::<crate::Subject>(&g::SUBJECT);
    same_keys::<crate::Film>(&g::FILM);
    same_keys::<crate::Clip>(&g::CLIP);
    same_keys::<crate::Cut>(&g::CUT);
    same_keys::<crate::Pronunciation>(&g::PRONUNCIATION);
    same_keys::<crate::CaptionRuling>(&g::RULING);
    same_keys::<crate::PastRuling>(&g::PAST_RULING);
    same_keys::<crate::Photo>(&g::PHOTO);
    same_keys::<crate::ScaleReference>(&g::SCALE);
    same_keys::<crate::Reference>(&g::REFERENCE);
    same_keys::<crate::PhotoCamera>(&g::CAMERA);
    same_keys::<crate::PhotoMeasure>(&g::MEASURE);
    same_keys::<crate::Recording>(&g::RECORDING);
    same_keys::<crate::Heard>(&g::HEARD);
    same_keys::<crate::Region>(&g::REGION);
    same_keys::<crate::Item>(&g::ITEM);
    same_keys::<crate::PartFacts>(&g::PART);
    same_keys::<crate::Identity>(&g::IDENTITY);
    same_keys::<crate::CellFacts>(&g::CELL);
    same_keys::<crate::Fastener>(&g::FASTENER);
    same_keys::<crate::Contact>(&g::CONTACT);
    same_keys::<crate::Conversion>(&g::CONVERSION);
    same_keys::<crate::Load>(&g::LOAD);
    same_keys::<crate::Mode>(&g::MODE);
    same_keys::<crate::Link>(&g::LINK);
    same_keys::<crate::Step>(&g::STEP);
    same_keys::<crate::Reading>(&g::READING);
    same_keys::<crate::Correlation>(&g::CORRELATION);
    same_keys::<crate::CostAsked>(&g::COST);
    same_keys::<crate::ItemPrice>(&g::ITEM_PRICE);
    same_keys::<crate::ExchangeRate>(&g::RATE);
    same_keys::<crate::RepairAsked>(&g::REPAIR);
    same_keys::<crate::RepairFact>(&g::REPAIR_FACT);
    same_keys::<crate::Log>(&g::LOG);
    same_keys::<crate::LogColumns>(&g::COLUMNS);
    same_keys::<crate::LogTime>(&g::TIME);
    same_keys::<crate::LogColumn>(&g::COLUMN);
}

#[test]
fn words_are_those_of_their_types() {
    same_words::<crate::ClaimKind>(g::CLAIM_KINDS);
    same_words::<crate::PriceConfidence>(g::PRICE_CONFIDENCES);
    same_words::<crate::RepairProduct>(g::REPAIR_PRODUCTS);
    same_words::<crate::BatteryExemption>(g::BATTERY_EXEMPTIONS);
    same_words::<crate::RepairFactKind>(g::REPAIR_FACTS);
    same_words::<crate::YesNo>(g::YES_NO);
    same_words::<crate::RepairAudience>(g::REPAIR_AUDIENCES);
    same_words::<crate::SpareClass>(g::SPARE_CLASSES);
    same_words::<crate::ToolClass>(g::TOOL_CLASSES);
    same_words::<crate::Environment>(g::ENVIRONMENTS);
    same_words::<crate::Skill>(g::SKILLS);
    same_words::<crate::Renewal>(g::RENEWALS);
    same_words::<crate::ItemKind>(g::ITEM_KINDS);
    same_words::<crate::RoleOrigin>(g::ROLE_ORIGINS);
    same_words::<crate::ProvidesOrigin>(g::PROVIDES_ORIGINS);
    same_words::<crate::CellCondition>(g::CELL_CONDITIONS);
    same_words::<crate::Certainty>(g::CERTAINTY);
    same_words::<crate::LinkKind>(g::LINK_KINDS);
    same_words::<crate::ContactKind>(g::CONTACT_KINDS);
    same_words::<crate::ConversionKind>(g::CONVERSION_KINDS);
    same_words::<crate::ReadingSubject>(g::READING_SUBJECTS);
    same_words::<crate::LogKind>(g::LOG_KINDS);
    same_words::<crate::LogSeat>(g::LOG_SEATS);
    same_words::<crate::LogStart>(g::LOG_STARTS);
    same_words::<crate::LogDelimiter>(g::DELIMITERS);
    same_words::<crate::LogDecimal>(g::DECIMALS);
    same_words::<crate::LogTimeForm>(g::TIME_FORMS);
    same_words::<crate::LogSign>(g::SIGNS);
    same_words::<crate::ReferenceShape>(g::REFERENCE_SHAPES);
    same_words::<crate::RecordingKind>(g::RECORDING_KINDS);
    same_words::<crate::Switched>(g::SWITCHED);
    same_words::<crate::MeasureSubject>(g::MEASURE_SUBJECTS);
    // All that can be measured, and that it was not noted.
    let words: Vec<&str> = g::MEASURE_SUBJECTS.iter().map(|w| w.word).collect();
    let (unknown, measured) = words.split_last().unwrap();
    assert_eq!(crate::MeasureSubject::ALL.map(|s| s.word()), *measured);
    assert_eq!(crate::MeasureSubject::Unknown.word(), *unknown);
    same_words::<crate::Action>(g::ACTIONS);
    same_words::<crate::Undo>(g::UNDO);
    same_words::<crate::Hazard>(g::HAZARDS);
    same_words::<quantity::Origin>(g::ORIGINS);
}

/// Examples that messages offer are themselves good.
#[test]
fn every_example_quantity_is_accepted() {
    fn walk(table: &'static Table, seen: &mut usize) {
        for key in table.keys {
            match &key.kind {
                Kind::Quantity(asked) => try_one(asked, seen),
                Kind::Named(names) => names.known.iter().for_each(|n| try_one(n.asked, seen)),
                Kind::Table(t) | Kind::Inline(t) | Kind::Tables(t) => walk(t, seen),
                _ => {}
            }
        }
    }
    fn try_one(asked: &g::Asked, seen: &mut usize) {
        let stated = quantity::Stated::parse(asked.example).unwrap();
        assert!(asked.sort.accepts(stated.dimension()), "{}", asked.example);
        *seen += 1;
    }
    let mut seen = 0;
    walk(&g::ROOT, &mut seen);
    assert!(seen > 30);
}
