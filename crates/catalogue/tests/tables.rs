//! Catalogue files and foreign tables, good and bad.

use catalogue::{Catalogue, Loss, Mapping, MappingError, Read, Table, import, preview, read};

fn told(read: &Read) -> Vec<String> {
    read.remarks.iter().map(ToString::to_string).collect()
}

#[test]
fn line_ends_byte_order_marks_and_delimiters_do_not_matter() {
    let plain = read(b"name,maker,aliases\nA1,Nordhafen,A2 | A3\nB1,,\n", "f");
    assert_eq!(plain.remarks, []);
    assert_eq!(plain.rows[0].part.aliases, ["A2", "A3"]);
    let utf16: Vec<u8> = [0xff, 0xfe]
        .into_iter()
        .chain(
            "name,maker,aliases\nA1,Nordhafen,A2 | A3\nB1,,\n"
                .encode_utf16()
                .flat_map(u16::to_le_bytes),
        )
        .collect();
    for text in [
        &b"\xef\xbb\xbfname,maker,aliases\r\nA1,Nordhafen,A2 | A3\r\nB1,,\r\n"[..],
        b"name;maker;aliases\nA1;Nordhafen;A2 | A3\nB1;;\n",
        b"name\tmaker\taliases\rA1\tNordhafen\tA2 | A3\rB1\t\t",
        b"\n\"name\",\"Maker\",ALIASES\n\nA1,\"Nordhafen\",\"A2 | A3\"\nB1,,\n,,\n",
        &utf16,
    ] {
        let other = read(text, "f");
        let parts = |read: &Read| read.rows.iter().map(|r| r.part.clone()).collect::<Vec<_>>();
        assert_eq!(parts(&other), parts(&plain));
        assert!(other.remarks.iter().all(|r| r.loss == Loss::Nothing));
    }
}

#[test]
fn every_bad_row_is_told_and_the_good_ones_are_read() {
    let text = b"name,pins,body_mm,pitch_mm,ratings,weight,pins\n\
        A1,0,,,,,\n\
        A2,8,3,,,,\n\
        ,8,,,,,\n\
        A3,8,3 x 3,0.5,5 V,,\n\
        A4,8\n\
        A\xe95,,,,,,\n\
        A6,8,3 x 3,\"1,270\",,,\n\
        A7,8,3 x 3,0.5 in,v=1 V | v=2 V,,\n\
        A8,\"8,,,,,\n\
        A9,16,\"4,9 x 3,9\",0.5 mm,v=1 V,5 g,99\n";
    let read = read(text, "own.csv");
    assert_eq!(read.rows.len(), 1);
    let part = &read.rows[0].part;
    assert_eq!((part.name.as_str(), part.pins), ("A9", Some(16)));
    assert_eq!(part.body_mm, Some([4.9, 3.9]));
    assert_eq!(read.rows[0].line, 11);
    assert_eq!(
        told(&read),
        [
            "own.csv:1, column weight: there is no column \"weight\"; it is not read, only kept; the columns are \
             name, maker, aliases, codes, packages, pins, body_mm, pitch_mm, role, power_pins, \
             ratings, ratings_origin, description, keywords, data_sheet, seen_with, known_from",
            "own.csv:1, column pins: the column pins stands there twice; the first one is read; \
             keep one of them",
            "own.csv:2, column pins: a part with 0 pins is not believed; write 1 to 20000",
            "own.csv:3, column body_mm: \"3\" is not a length and a width; write both in mm, for \
             example 4.9 x 3.9",
            "own.csv:4, column name: the name is empty; fill in the part number",
            "own.csv:5, column ratings: the rating \"5 V\" has no name; write ratings as \
             name=value, parted by |",
            "own.csv:6: the row has 2 cells, the heading 7; part cells like the heading; quote a \
             cell that holds the delimiter",
            "own.csv:7, column name: the cell is not UTF-8: after \"A\" comes the byte 0xE9; save \
             the file as CSV UTF-8",
            "own.csv:8, column pitch_mm: \"1,270\" may mean thousands or thousandths; write a \
             decimal point",
            "own.csv:9, column pitch_mm: \"0.5 in\" is not a length in mm; write millimetres as a \
             plain number, for example 0.5",
            "own.csv:9, column ratings: the rating \"v\" stands there twice; keep one of them",
            "own.csv:10: a quotation mark is opened here and not closed; close it, or write a \
             quotation mark inside a quoted cell twice",
        ]
    );
}

#[test]
fn an_unclosed_quotation_mark_costs_its_line() {
    let read = read(b"name,role\nA1,\"charger\nA2,sensor\nA3,\n", "f");
    let names: Vec<&str> = read.rows.iter().map(|r| r.part.name.as_str()).collect();
    assert_eq!(names, ["A2", "A3"]);
    assert_eq!(
        told(&read),
        [
            "f:2: a quotation mark is opened here and not closed; close it, or write a quotation mark \
          inside a quoted cell twice"
        ]
    );
}

#[test]
fn what_is_no_text_table_is_refused_whole() {
    for (bytes, why) in [
        (&b""[..], "the file holds no row"),
        (b"maker,role\nA,B\n", "there is no column \"name\""),
        (
            b"PK\x03\x04....",
            "the file is a workbook or another ZIP archive, not text",
        ),
        (
            b"\x89PNG\0",
            "the file holds a NUL byte at byte 4; it is not text",
        ),
        (
            b"\xff\xfe\x00\xd8",
            "the file begins like UTF-16 and is not",
        ),
    ] {
        let read = read(bytes, "f");
        assert_eq!(read.rows, []);
        let last = read.remarks.last().expect("a remark");
        assert_eq!((last.why.as_str(), last.loss), (why, Loss::File));
    }
}

#[test]
fn later_files_correct_earlier_ones() {
    let mut parts = Catalogue::default();
    let first = b"name,maker,role,pins,ratings\nA1,,charger,8,v=5 V\nB1,Nordhafen,sensor,,\n";
    assert_eq!(parts.merge(read(first, "1").rows).added, 2);
    let second = b"name,maker,role,pins,ratings\nA1,Tarnwerk,,10,-\nB1,,switch,,\n";
    let merged = parts.merge(read(second, "2").rows);
    let told: Vec<String> = merged
        .corrections
        .iter()
        .map(|c| {
            format!(
                "{} {} {}: {:?} {:?} {}:{}",
                c.name, c.maker, c.column, c.before, c.after, c.file, c.line
            )
        })
        .collect();
    assert_eq!(
        told,
        [
            "A1 Tarnwerk maker: \"\" \"Tarnwerk\" 2:2",
            "A1 Tarnwerk pins: \"8\" \"10\" 2:2",
            "A1 Tarnwerk ratings: \"v=5 V\" \"\" 2:2",
            "B1 Nordhafen role: \"sensor\" \"switch\" 2:3",
        ]
    );
    assert_eq!(parts.parts()[0].role, "charger");
    // The same rows again change nothing.
    assert_eq!(parts.merge(read(second, "2").rows).unchanged, 2);
    // Another maker's part of that name is another part, and then a row must say whose it means.
    let third = b"name,maker,role\nA1,TARNWERK,charger\nA1,Nordhafen,fuse\nA1,,relay\n";
    let merged = parts.merge(read(third, "3").rows);
    assert_eq!((merged.added, merged.unchanged), (1, 1));
    assert_eq!(
        merged.remarks[0].to_string(),
        "3:4: \"A1\" is made by Tarnwerk and Nordhafen, and the row does not say by whom; fill in \
         the maker"
    );
}

#[test]
fn a_foreign_table_is_mapped_by_its_headings() {
    let text = "Item;Mfr. Part No.;Manufacturer;Top Mark;Pkg;# Pins;Size (mm);Datasheet\n\
        1;A1;Nordhafen;4A7, 4A8;QFN-16;16 pins;3×3;n/a\n\
        2;;Nordhafen;;;;;\n\
        3;A3;-;;;many;;\n";
    let table = Table::from_bytes(text.as_bytes(), "bought.csv").expect("a table");
    let mut mapping = Mapping::guess(table.heading());
    assert_eq!(
        mapping.pairs(),
        [
            ("name", "Mfr. Part No."),
            ("maker", "Manufacturer"),
            ("codes", "Top Mark"),
            ("packages", "Pkg"),
            ("pins", "# Pins"),
            ("body_mm", "Size (mm)"),
            ("data_sheet", "Datasheet"),
        ]
    );
    assert_eq!(mapping.unused(), ["Item"]);
    let read = import(&table, &mapping);
    assert_eq!(read.rows.len(), 1);
    let part = &read.rows[0].part;
    let codes: Vec<String> = part.codes.iter().map(ToString::to_string).collect();
    assert_eq!(codes, ["4A7 @ QFN-16", "4A8 @ QFN-16"]);
    assert_eq!((part.pins, part.body_mm), (Some(16), Some([3.0, 3.0])));
    assert_eq!(
        (part.data_sheet.as_str(), part.known_from.as_str()),
        ("", "bought.csv")
    );
    assert_eq!(
        told(&read),
        [
            "bought.csv:3, column Mfr. Part No.: the name is empty; fill in the part number",
            "bought.csv:4, column # Pins: \"many\" is not a number of pins; write a whole number \
             above 0",
        ]
    );
    let seen = preview(&table, &mapping, 2);
    assert_eq!(seen.len(), 2);
    assert!(seen[0].part.is_ok() && seen[1].part.is_err());

    mapping.set("name = item").expect("a heading in other case");
    mapping.set("codes=").expect("nothing");
    assert_eq!(mapping.heading_of("name"), Some("Item"));
    assert_eq!(mapping.heading_of("codes"), None);
    assert_eq!(
        mapping.set("name"),
        Err(MappingError::NotAPair("name".into()))
    );
    assert_eq!(
        mapping.set("nmae=Item"),
        Err(MappingError::UnknownColumn(
            "nmae".into(),
            "perhaps name is meant".into()
        ))
    );
    assert!(matches!(
        mapping.set("name=Artikel"),
        Err(MappingError::UnknownHeading(..))
    ));
}

#[test]
fn a_table_without_part_numbers_says_which_headings_there_are() {
    let table = Table::from_bytes(b"a\tb\n1\t2\n", "t.tsv").expect("a table");
    let read = import(&table, &Mapping::guess(table.heading()));
    assert_eq!(
        told(&read),
        [
            "t.tsv:1: no column is known to hold the part number; say which, as name=HEADING; there \
          are: a, b"
        ]
    );
}

#[test]
fn workbooks_are_read_like_text() {
    let mut book = rust_xlsxwriter::Workbook::new();
    book.add_worksheet().set_name("Cover").expect("a name");
    let sheet = book.add_worksheet().set_name("Parts").expect("a name");
    for (column, heading) in ["Part Number", "Maker", "Pins", "Pitch"].iter().enumerate() {
        let column = u16::try_from(column).expect("four");
        sheet.write(2, column, *heading).expect("a cell");
    }
    sheet.write(3, 0, "A1").expect("a cell");
    sheet.write(3, 2, 16).expect("a cell");
    sheet.write(3, 3, 0.5).expect("a cell");
    sheet.write(4, 0, 7_400_123).expect("a cell");
    let date = rust_xlsxwriter::ExcelDateTime::from_ymd(2026, 3, 1).expect("a date");
    let format = rust_xlsxwriter::Format::new().set_num_format("d mmm");
    sheet
        .write_with_format(5, 0, &date, &format)
        .expect("a cell");
    // The last possible cell; laid out densely this sheet would not fit into any memory.
    sheet.write(1_048_575, 16_383, "far").expect("a cell");
    let bytes = book.save_to_buffer().expect("a workbook");

    let table = Table::from_bytes(&bytes, "bought.xlsx").expect("a table");
    let read = import(&table, &Mapping::guess(table.heading()));
    let names: Vec<&str> = read.rows.iter().map(|r| r.part.name.as_str()).collect();
    assert_eq!(names, ["A1", "7400123"]);
    assert_eq!(read.rows[0].part.pins, Some(16));
    assert_eq!(read.rows[0].part.pitch_mm, Some(0.5));
    assert_eq!(
        told(&read),
        [
            "bought.xlsx:6, column Part Number: the spreadsheet program made a date or a duration of \
          this cell; format the column as text and type the cell again"
        ]
    );
    let missing = Table::from_workbook(&bytes, "bought.xlsx", Some("Teile")).expect_err("none");
    assert_eq!(missing.remedy, "name one of: Cover, Parts");
    let cover = Table::from_workbook(&bytes, "bought.xlsx", Some("Cover")).expect_err("empty");
    assert_eq!(cover.why, "the workbook holds no row");
    for length in [4, 30, bytes.len() / 2, bytes.len() - 1] {
        Table::from_bytes(&bytes[..length], "cut.xlsx").expect_err("cut");
    }
}

/// OWASP, "CSV Injection": a cell that a spreadsheet program would run gets an apostrophe in front.
#[test]
fn no_cell_of_a_written_catalogue_is_a_formula_and_every_one_comes_back() {
    let names = [
        "=1+1", "+A1", "-2+3", "@SUM(A1)", "'=1", "-5", "+3.3", "'", "＝1", "A-1",
    ];
    let parts = names.map(|name| catalogue::Part {
        name: name.to_string(),
        maker: "=cmd|' /C x'!A0".to_string(),
        codes: vec!["-A".into(), "=B".into()],
        ..Default::default()
    });
    let written = catalogue::write(&catalogue::Catalogue::from_iter(parts.clone()));
    for line in written.lines().skip(1) {
        let cell = line.trim_start_matches('"');
        let live = cell.starts_with(['=', '+', '-', '@', '＝']);
        assert!(
            !live || cell.starts_with("-5,") || cell.starts_with("+3.3,"),
            "{line}"
        );
        assert!(
            line.contains(",'=cmd") && line.contains(",'-A | =B,"),
            "{line}"
        );
    }
    let read = catalogue::read(written.as_bytes(), "own.csv");
    assert!(read.remarks.is_empty(), "{:?}", read.remarks);
    let mut back: Vec<_> = read.rows.into_iter().map(|row| row.part).collect();
    let mut parts = parts.to_vec();
    back.sort_by(|a, b| a.name.cmp(&b.name));
    parts.sort_by(|a, b| a.name.cmp(&b.name));
    assert_eq!(back, parts);
}
