//! Contradictory practice is shown, with the likelier reading first where something speaks for it.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use codes::date::{Span, date_candidates};
use codes::{Context, Kind, MarkedObject, Reading, Registries, Value, read};
use jiff::civil::date;

fn on(thing: MarkedObject, text: &str) -> Vec<Reading> {
    let readings = read(text, &Context::on(thing));
    let total: f64 = readings.iter().map(|r| r.likelihood).sum();
    assert!(readings.is_empty() || (total - 1.0).abs() < 1e-9);
    assert!(readings.is_sorted_by(|a, b| a.likelihood >= b.likelihood));
    readings
}

#[track_caller]
fn kind(readings: &[Reading], kind: Kind) -> &Reading {
    let found = readings.iter().find(|r| r.kind == kind);
    found.unwrap_or_else(|| panic!("no {kind:?} among {readings:#?}"))
}

#[test]
fn r_last_after_two_digits_is_read_both_ways() {
    let readings = on(MarkedObject::Resistor, "10R");
    assert_eq!(readings[0].kind, Kind::ResistorLetters);
    let table = kind(&readings, Kind::ResistorEia96);
    assert_eq!(table.meaning, "Resistance 1.24 Ω, ± 1 %.");
    assert!(table.caution.is_some());
}

#[test]
fn the_thing_decides_between_resistor_capacitor_and_inductor() {
    for (thing, first) in [
        (MarkedObject::Resistor, "Resistance 100 kΩ."),
        (MarkedObject::Capacitor, "Capacitance 100 nF."),
        (MarkedObject::Inductor, "Inductance 100 mH."),
    ] {
        let readings = on(thing, "104");
        assert_eq!(readings[0].meaning, first);
        assert!(readings.len() >= 3);
    }
}

#[test]
fn a_value_outside_every_series_says_what_is_near() {
    let readings = on(MarkedObject::Resistor, "424");
    assert!(
        readings[0]
            .because
            .contains("in no series of IEC 60063; nearest E24 430 kΩ")
    );
}

#[test]
fn imperial_and_metric_are_never_confused() {
    let both = on(MarkedObject::Outline, "0603");
    let imperial = kind(&both, Kind::ChipSizeImperial);
    let metric = kind(&both, Kind::ChipSizeMetric);
    assert!(imperial.meaning.contains("1.6 x 0.8 mm") && imperial.meaning.contains("metric 1608"));
    assert!(metric.meaning.contains("0.6 x 0.3 mm") && metric.meaning.contains("imperial 0201"));
    assert!(imperial.caution.is_some() && metric.caution.is_some());
    let said = on(MarkedObject::Outline, "0603M");
    assert!(said.iter().all(|r| r.kind != Kind::ChipSizeImperial));
}

#[test]
fn tolerance_bands_that_charts_disagree_on_are_listed() {
    let readings = on(MarkedObject::Resistor, "brown-black-red-orange");
    let shown: Vec<&str> = readings.iter().map(|r| r.meaning.as_str()).collect();
    assert!(
        shown[0].contains("0.05 %") && shown.iter().any(|m| m.contains("3 %")),
        "{shown:?}"
    );
    let short = on(MarkedObject::Resistor, "BN BK RD GD");
    assert_eq!(short[0].meaning, "Resistance 1 kΩ, ± 5 %.");
    let grey = on(MarkedObject::Resistor, "brown black red grey");
    assert_eq!(
        grey.iter().filter(|r| r.meaning.contains("1 kΩ")).count(),
        3
    );
}

#[test]
fn the_popular_voltage_chart_stands_beside_the_data_sheet() {
    let readings = on(MarkedObject::Capacitor, "C");
    let volts: Vec<f64> = readings
        .iter()
        .filter_map(|r| match r.value {
            Some(Value::Voltage { volt }) => Some(volt),
            _ => None,
        })
        .collect();
    assert_eq!(volts, [16.0, 20.0]);
    assert_eq!(
        on(MarkedObject::Capacitor, "OJ")[0].meaning,
        "Rated voltage 6.3 V."
    );
}

#[test]
fn a_year_without_an_iso_week_53_may_have_one_in_the_other_numbering() {
    let readings = on(MarkedObject::Chip, "2153");
    let other = kind(&readings, Kind::DateYearWeek);
    let Some(Value::Dates { spans }) = &other.value else {
        panic!()
    };
    assert_eq!(
        spans[0],
        Span {
            first: date(2021, 12, 27),
            last: date(2022, 1, 2)
        }
    );
    assert!(other.caution.is_some());
    // 2024 begins on a Monday: both numberings agree.
    let same = on(MarkedObject::Chip, "2410");
    assert_eq!(
        same.iter().filter(|r| r.kind == Kind::DateYearWeek).count(),
        1
    );
    // 2012 was a leap year that began on a Sunday: its 54th week is one day long before 2013.
    let long = on(MarkedObject::Chip, "1254");
    assert!(
        kind(&long, Kind::DateYearWeek)
            .meaning
            .contains("2012-12-31")
    );
    assert!(
        !on(MarkedObject::Chip, "2400")
            .iter()
            .any(|r| r.kind == Kind::DateYearWeek)
    );
    assert!(
        !on(MarkedObject::Chip, "2454")
            .iter()
            .any(|r| r.kind == Kind::DateYearWeek)
    );
}

#[test]
fn the_day_of_opening_chooses_the_cycle() {
    let context = Context::on(MarkedObject::Capacitor).opened(date(2005, 6, 1));
    let readings = read("R4", &context);
    let first = kind(&readings, Kind::DateYearMonth);
    assert!(
        first
            .meaning
            .starts_with("Made in 2003-04; or 1983-04, 2023-04"),
        "{}",
        first.meaning
    );
    let late = read(
        "2649",
        &Context::on(MarkedObject::Chip).opened(date(2026, 10, 5)),
    );
    let late = kind(&late, Kind::DateYearWeek);
    assert!(
        late.caution
            .as_ref()
            .unwrap()
            .contains("later than the day of opening")
    );
}

#[test]
fn the_table_that_runs_a_year_late_is_an_alternative() {
    let readings = on(MarkedObject::Capacitor, "N4");
    let years: Vec<i16> = readings
        .iter()
        .filter(|r| r.kind == Kind::DateYearMonth)
        .filter_map(|r| match &r.value {
            Some(Value::Dates { spans }) => Some(spans[0].first.year()),
            _ => None,
        })
        .collect();
    assert_eq!(years, [2021, 2002]);
}

#[test]
fn weeks_and_days_of_iso_8601() {
    let week = &on(MarkedObject::Label, "2026-W48")[0];
    assert_eq!(week.meaning, "The week 2026-11-23 to 2026-11-29.");
    // A calendar library gives 2026-11-25 as 2026-W48-3.
    assert_eq!(
        on(MarkedObject::Label, "2026-W48-3")[0].meaning,
        "The day 2026-11-25."
    );
    assert!(on(MarkedObject::Label, "2025-W53").is_empty());
}

#[test]
fn day_and_month_in_either_order() {
    let readings = on(MarkedObject::Label, "03/04/2024");
    assert_eq!(readings.len(), 2);
    assert!(readings.iter().all(|r| r.caution.is_some()));
    assert_eq!(on(MarkedObject::Label, "13.04.2024").len(), 1);
}

#[test]
fn pouch_sizes_are_read_in_tenths_and_in_whole_millimetres() {
    let readings = on(MarkedObject::Cell, "403450");
    assert!(readings[0].meaning.contains("4 mm thick"), "{readings:#?}");
    assert!(readings.iter().any(|r| r.meaning.contains("40 mm thick")));
    let thick = on(MarkedObject::Cell, "103450");
    assert!(thick[0].meaning.contains("10 mm thick"), "{thick:#?}");
    let pack = &on(MarkedObject::Cell, "3INR19/65-2")[0];
    assert!(pack.meaning.contains("3 in series and 2 in parallel"));
}

#[test]
fn coin_cells_with_and_without_letters() {
    let readings = on(MarkedObject::Cell, "CR2032");
    assert!(readings[0].meaning.contains("20 mm across, 3.2 mm high"));
    assert!(
        readings[0]
            .caution
            .as_ref()
            .unwrap()
            .contains("below 21 mm")
    );
    let bare = read("2032", &Context::default());
    for wanted in [Kind::RoundCell, Kind::DateYearWeek, Kind::ResistorDigits] {
        kind(&bare, wanted);
    }
}

/// Source: 18650 and 21700 from cell sheets (18.0 mm by 65.0 mm; 21.0 mm by 70.0 mm), 26 mm by 65 mm from that
/// of an iron phosphate cell; the others from memory of catalogues.
#[test]
fn sizes_of_cells_are_not_weeks() {
    for (text, size) in [
        ("18650", "18 mm across, 65 mm high"),
        ("21700", "21 mm across, 70 mm high"),
        ("26650", "26 mm across, 65 mm high"),
        ("14500", "14 mm across, 50 mm high"),
        ("16340", "16 mm across, 34 mm high"),
        ("10440", "10 mm across, 44 mm high"),
        ("32700", "32 mm across, 70 mm high"),
        ("4680", "46 mm across, 80 mm high"),
        ("1254", "12 mm across, 5.4 mm high"),
        ("1454", "14 mm across, 5.4 mm high"),
        ("CR2032", "20 mm across, 3.2 mm high"),
        ("LIR2450", "24 mm across, 5 mm high"),
        ("LR6", "14.5 mm across, 50.5 mm high"),
        ("SR44", "11.6 mm across, 5.4 mm high"),
    ] {
        for context in [Context::default(), Context::on(MarkedObject::Cell)] {
            let first = &read(text, &context)[0];
            assert!(first.meaning.contains(size), "{text}: {first:?}");
        }
    }
    for text in ["18650", "21700", "14500", "26650", "CR2032", "LIR2450"] {
        assert!(date_candidates(text, None).is_empty(), "{text}");
    }
    // A week with a digit of the plant stays one.
    assert!(!date_candidates("24135", None).is_empty());
}

#[test]
fn immersion_does_not_imply_jets() {
    let readings = on(MarkedObject::Label, "IP68");
    assert!(
        readings[0]
            .caution
            .as_ref()
            .unwrap()
            .contains("do not imply 5 or 6")
    );
    assert!(on(MarkedObject::Label, "IP78").is_empty());
    assert!(
        on(MarkedObject::Label, "IP69K")[0]
            .caution
            .as_ref()
            .unwrap()
            .contains("ISO 20653")
    );
}

struct Blocks;

impl Registries for Blocks {
    fn address_block(&self, prefix: u64, bits: u8) -> Option<String> {
        match (bits, prefix) {
            (24, 0xAC_DE48) => Some("the registrar".to_string()),
            (36, 0xA_CDE4_8A1B) => Some("a small maker".to_string()),
            (28, 0xACD_E487) => Some("a middling maker".to_string()),
            _ => None,
        }
    }
    fn usb_vendor(&self, vendor: u16) -> Option<String> {
        (vendor == 0x1a2b).then(|| "an invented vendor".to_string())
    }
}

#[test]
fn the_longest_block_of_an_address_is_asked_first() {
    let context = Context::on(MarkedObject::Label).with_registries(&Blocks);
    for (text, bits, name) in [
        ("AC:DE:48:A1:B0:01", 36, "a small maker"),
        ("ac-de-48-71-00-01", 28, "a middling maker"),
        ("acde.48f0.0001", 24, "the registrar"),
    ] {
        let readings = read(text, &context);
        let Some(Value::Address {
            vendor,
            vendor_bits,
            local,
            group,
            ..
        }) = &readings[0].value
        else {
            panic!()
        };
        assert_eq!((vendor.as_deref(), *vendor_bits), (Some(name), Some(bits)));
        assert!(!local && !group);
    }
    let local = &read("02:00:00:00:00:01", &context)[0];
    assert!(local.meaning.contains("administered locally"));
    let group = &read("01:00:5E:00:00:01", &context)[0];
    assert!(group.meaning.contains("group address"));
}

#[test]
fn usb_numbers_are_named_by_the_callers_list() {
    let context = Context::on(MarkedObject::UsbDevice).with_registries(&Blocks);
    for text in ["1a2b:3c4d", "VID_1A2B&PID_3C4D", "VID 1A2B PID 3C4D"] {
        let first = &read(text, &context)[0];
        assert_eq!(first.kind, Kind::UsbId);
        assert!(
            first.meaning.contains("an invented vendor"),
            "{}",
            first.meaning
        );
        let Some(Value::Usb {
            vendor, product, ..
        }) = first.value
        else {
            panic!()
        };
        assert_eq!((vendor, product), (0x1a2b, Some(0x3c4d)));
    }
}

#[test]
fn numbers_with_application_identifiers() {
    let sscc = &on(MarkedObject::Label, "(00) 3 7610425002123456 9")[0];
    assert!(sscc.meaning.starts_with("SSCC") && sscc.meaning.contains("right"));
    let gln = &on(MarkedObject::Label, "(414) 7300011000017")[0];
    assert!(gln.meaning.starts_with("GLN"));
}

#[test]
fn the_date_codes_of_a_line_are_found_with_their_place() {
    let found = date_candidates("LOT 2631  S/N NC3-2630-004417", None);
    let weeks: Vec<(&str, usize)> = found
        .iter()
        .filter(|c| c.reading.kind == Kind::DateYearWeek)
        .map(|c| (c.text.as_str(), c.range.start))
        .collect();
    assert_eq!(weeks[0], ("2631", 4));
    assert!(weeks.contains(&("2630", 18)), "{weeks:?}");
    let suffixed = date_candidates("2628B", None);
    assert!(suffixed[0].distinct);
    assert_eq!(suffixed[0].spans[0].first, date(2026, 7, 6));
    assert!(
        suffixed[0]
            .reading
            .because
            .contains("B after it is the maker's")
    );
    assert!(date_candidates("R4", None).iter().all(|c| !c.distinct));
}

#[test]
fn what_a_bare_string_most_likely_is() {
    for (text, kind, start) in [
        ("103", Kind::ResistorDigits, "Resistance 10 kΩ"),
        ("2413", Kind::DateYearWeek, "Made in the week 2024-03-25"),
        ("2032", Kind::RoundCell, "Round cell"),
        ("0603", Kind::ChipSizeImperial, "Chip size by the imperial"),
        ("66B", Kind::ResistorEia96, "Resistance 4.75 kΩ"),
        ("106C", Kind::CapacitorDigits, "Capacitance 10 µF, 16 V"),
        ("20240612", Kind::DateCalendar, "The day 2024-06-12"),
        ("3528-21", Kind::TantalumCase, "Moulded tantalum case B"),
    ] {
        let first = &read(text, &Context::default())[0];
        assert_eq!(first.kind, kind, "{text}: {first:?}");
        assert!(first.meaning.starts_with(start), "{text}: {first:?}");
    }
}
