//! Symbol libraries with everything invented: versions, derivation, pins, packages, refusals.

use catalogue::symbols::{Import, library};
use catalogue::{Loss, Part};

fn parts(text: &str) -> Vec<Part> {
    let mut import = Import::default();
    import.add(text.as_bytes(), "Battery_Charger");
    let read = import.finish();
    assert_eq!(read.remarks, []);
    read.rows.into_iter().map(|row| row.part).collect()
}

/// A library whose symbols have the properties given and numbered pins.
fn with_pins(properties: &str, pins: &[(&str, &str)]) -> String {
    let pins: String = pins
        .iter()
        .map(|(number, name)| format!("(pin passive line (name \"{name}\") (number \"{number}\"))"))
        .collect();
    format!(
        "(kicad_symbol_lib (version 20211014) (symbol \"NHF1\" (property \"Reference\" \"U\") \
         {properties} (symbol \"NHF1_1_1\" {pins})))"
    )
}

#[test]
fn later_versions_of_the_format_are_read() {
    let text = r#"(kicad_symbol_lib
	(version 20241209)
	(generator "kicad_symbol_editor")
	(generator_version "9.0")
	(symbol "NHF2104x"
		(exclude_from_sim no)
		(in_bom yes)
		(property "Reference" "U" (at 0 0 0) (effects (font (size 1.27 1.27))))
		(property private "Footprint" "Package_SO:SOIC-8_3.9x4.9mm_P1.27mm" (at 0 0 0))
		(property "Datasheet" "~" (at 0 0 0) (effects (hide yes)))
		(property "Description" "charger, \"linear\"" (at 0 0 0))
		(property "ki_keywords" "charger linear" (at 0 0 0))
		(symbol "NHF2104x_1_1"
			(unit_name "power")
			(pin power_in line (at 0 0 0) (length 2.54) (hide yes)
				(name "~{VBUS}" (effects (font (size 1.27 1.27))))
				(number "1" (effects (font (size 1.27 1.27))))
			)
		)
		(embedded_fonts no)
	)
)
"#;
    let read = library(text.as_bytes(), "later");
    assert_eq!(read.version, 20_241_209);
    assert_eq!(read.symbols[0].units, ["power"]);
    assert_eq!(read.symbols[0].line, 5);
    let part = &parts(text)[0];
    assert_eq!(part.name, "NHF2104x");
    assert_eq!(part.description, "charger, \"linear\"");
    assert_eq!(part.data_sheet, "");
    assert_eq!(part.keywords, ["charger", "linear"]);
    assert_eq!(part.packages, ["SOIC-8"]);
    assert_eq!(part.pins, Some(8));
    assert_eq!(
        (part.body_mm, part.pitch_mm),
        (Some([4.9, 3.9]), Some(1.27))
    );
    assert_eq!(part.power_pins, ["VBUS"]);
    assert_eq!(part.role, "battery charger");
    assert_eq!(part.known_from, "symbol library Battery_Charger");
}

#[test]
fn a_symbol_takes_over_what_it_does_not_say() {
    let text = r#"(kicad_symbol_lib
      (symbol "C" (extends "B") (property "Value" "third"))
      (symbol "B" (extends "A") (property "Datasheet" "") (property "ki_description" "second"))
      (symbol "A" (property "Reference" "U") (property "Datasheet" "https://a.example")
        (property "ki_description" "first") (symbol "A_1_1" (pin input line (number "1")))))"#;
    let read = library(text.as_bytes(), "f");
    let told: Vec<_> = read
        .symbols
        .iter()
        .map(|s| {
            (
                s.name.as_str(),
                s.description.as_str(),
                s.data_sheet.as_str(),
                s.pins.len(),
            )
        })
        .collect();
    assert_eq!(
        told,
        [
            ("C", "second", "", 1),
            ("B", "second", "", 1),
            ("A", "first", "https://a.example", 1),
        ]
    );
    assert!(read.symbols.iter().all(|s| s.reference == "U"));
}

#[test]
fn what_cannot_be_used_is_refused_and_the_rest_read() {
    let text = "(kicad_symbol_lib\n(symbol \"A\" (extends \"B\"))\n(symbol \"B\" (extends \"A\"))\n\
        (symbol \"C\" (extends \"none\"))\n(symbol \"D\")\n(symbol \"D\")\n(symbol)\n\
        (\"odd\" 1) () ((x) y)\n(symbol \"E\" (\"odd\") () ((x) y) (property) (pin)))";
    let read = library(text.as_bytes(), "f");
    let names: Vec<&str> = read.symbols.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names, ["D", "E"]);
    assert!(read.remarks.iter().all(|remark| remark.loss == Loss::Row));
    let told: Vec<String> = read
        .remarks
        .iter()
        .map(|r| format!("{}: {}", r.line, r.why))
        .collect();
    assert_eq!(
        told,
        [
            "6: the symbol \"D\" stands in the file twice",
            "7: a symbol has no name",
            "2: the symbol \"A\" extends \"B\", which leads back to itself",
            "3: the symbol \"B\" extends \"A\", which leads back to itself",
            "4: the symbol \"C\" extends \"none\", which is not in the file",
        ]
    );
}

#[test]
fn a_broken_file_names_the_place() {
    for (text, why, line, column) in [
        ("", "the file does not begin with (kicad_symbol_lib", 1, "1"),
        (
            "(module x)",
            "the file does not begin with (kicad_symbol_lib",
            1,
            "1",
        ),
        (
            "(kicad_symbol_lib\n (symbol \"A))",
            "a quotation mark is not closed",
            2,
            "10",
        ),
        (
            "(kicad_symbol_lib\n (symbol \"A\")",
            "the file ends inside a list",
            2,
            "14",
        ),
        (
            "(kicad_symbol_lib))",
            "a list is closed that was not opened",
            1,
            "20",
        ),
        (
            "(kicad_symbol_lib)\nx",
            "text follows the end of the library",
            2,
            "2",
        ),
    ] {
        let read = library(text.as_bytes(), "f");
        let remark = &read.remarks[0];
        assert_eq!(remark.loss, Loss::File);
        assert_eq!(
            (remark.why.as_str(), remark.line, remark.column.as_str()),
            (why, line, column),
            "{text}"
        );
    }
}

#[test]
fn supplies_are_no_parts_and_names_are_written_out() {
    let text = r##"(kicad_symbol_lib
      (symbol "VBUS" (power) (property "Reference" "#PWR"))
      (symbol "Logo" (property "Reference" "#LOGO"))
      (symbol "NHF{slash}1" (property "Reference" "U")))"##;
    let mut import = Import::default();
    let imported = import.add(text.as_bytes(), "f");
    assert_eq!((imported.symbols, imported.no_part), (3, 2));
    assert_eq!(import.finish().rows[0].part.name, "NHF/1");
}

#[test]
fn a_name_in_two_libraries_is_one_part() {
    let mut import = Import::default();
    import.add(
        b"(kicad_symbol_lib (symbol \"A\" (property \"ki_keywords\" \"one\")))",
        "First",
    );
    let second = import.add(
        b"(kicad_symbol_lib (symbol \"A\" (property \"ki_keywords\" \"two\")
          (property \"ki_description\" \"a thing\")))",
        "Second",
    );
    assert_eq!((second.known, import.len()), (1, 1));
    let part = import.finish().rows.remove(0).part;
    assert_eq!(
        (part.keywords[0].as_str(), part.description.as_str()),
        ("one", "a thing")
    );
    assert_eq!(part.known_from, "symbol library First");
}

#[test]
fn exposed_pads_are_told_apart() {
    let five = [("1", "A"), ("2", "B"), ("3", "C"), ("4", "D"), ("5", "E")];
    let named = [
        ("1", "A"),
        ("2", "B"),
        ("3", "C"),
        ("4", "D"),
        ("EP", "GND"),
    ];
    let fixed = |name: &str| format!("(property \"Footprint\" \"L:{name}\")");
    let filter = |name: &str| format!("(property \"ki_fp_filters\" \"{name}\")");
    for (properties, pins, count, package) in [
        (fixed("QFN-4-1EP_1x1mm_P0.5mm"), five, 4, Some("QFN-4")),
        (fixed("QFN-4_1x1mm_P0.5mm"), five, 4, Some("QFN-4")),
        // Pins that are not connected need not be drawn.
        (fixed("SOIC-8_3.9x4.9mm_P1.27mm"), five, 8, Some("SOIC-8")),
        // An outline with a tab: its leads are not counted by its name.
        (fixed("TO-263-4"), five, 5, Some("TO-263-4")),
        (filter("DFN*1EP*1x1mm*"), five, 4, Some("DFN-4")),
        (filter("DFN*1x1mm*"), five, 5, Some("DFN-5")),
        (filter("DFN*1x1mm*"), named, 4, Some("DFN-4")),
        (filter("Something*"), five, 5, None),
    ] {
        let part = &parts(&with_pins(&properties, &pins))[0];
        assert_eq!(part.pins, Some(count), "{properties}");
        assert_eq!(
            part.packages.first().map(String::as_str),
            package,
            "{properties}"
        );
    }
    // Both drawings of a gate have the same pins.
    let twice = [("1", "A"), ("2", "B"), ("1", "A"), ("2", "B")];
    assert_eq!(parts(&with_pins("", &twice))[0].pins, Some(2));
}
