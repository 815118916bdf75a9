//! Price books: what is read, and what is refused with line, column and remedy.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use catalogue::Loss;
use cost::book::{Column, Confidence, Kind, MOST_ROWS, guessed, read, read_mapped};
use jiff::civil::date;
use proptest::prelude::*;
use quantity::Currency;

const BOOK: &str = "\
of,name,price,currency,per,within,confidence,date,source,series,life,weight,loss
part,TH-KARN2,1: 3.10 | 1000: 2.20 | 10000: 1.85,USD,,,quote,2026-05-04,invented,,,,\"2 %, at least 10\"
class,resistor,4.00,USD,1000,30 %,estimate,,,,,,
board,4,1.90,CNY,dm²,20 %,list,2026-05-04,invented,,,0.7,
panel,usual,length = 609.6 | width = 457.2 | gap = 2 | border = 20,,,,,,,,,,
act,screw,7.5,,s,25 %,estimate,,,,,,
labour,hour,9,EUR,h,15 %,estimate,,,,,,
yield,board,98.5 %,,,0.5 %,estimate,,,,,,
rate,USD,0.92,EUR,,2 %,list,2026-06-01,invented,,,,
tool,shell,45000,EUR,,30 %,estimate,,,,500000,,
";

#[test]
fn a_book_is_read() {
    let read = read(BOOK.as_bytes(), "prices.csv");
    assert_eq!(read.remarks, []);
    let book = read.book;
    assert_eq!(book.rows().len(), 9);
    let part = book.of(Kind::Part, "th-karn 2").unwrap();
    assert_eq!(part.prices().unwrap().breaks().len(), 3);
    assert_eq!(part.currency, Some(Currency::Usd));
    assert_eq!(
        (part.confidence, part.date),
        (Confidence::Quote, Some(date(2026, 5, 4)))
    );
    assert!(part.is_sourced());
    assert_eq!(part.attrition.unwrap().bought(100.0), 110.0);
    // 4.00 for a thousand.
    let class = book.of(Kind::Class, "Resistor").unwrap();
    assert!((class.prices().unwrap().smooth(1.0) - 0.004).abs() < 1e-15);
    assert!(!class.is_sourced() && (class.within - 0.3).abs() < 1e-12);
    assert_eq!(book.of(Kind::Board, "4").unwrap().weight, Some(0.7));
    assert_eq!(
        book.of(Kind::Panel, "usual").unwrap().setting("gap"),
        Some(2.0)
    );
    assert_eq!(book.of(Kind::Act, "screw").unwrap().number(), Some(7.5));
    assert_eq!(book.of(Kind::Yield, "board").unwrap().number(), Some(0.985));
    assert_eq!(book.of(Kind::Tool, "shell").unwrap().life, Some(5e5));
    assert!(book.of(Kind::Part, "nothing").is_none());
}

/// A book written reads back the same, but for its lines.
#[test]
fn a_book_is_written_and_read_back() {
    let first = read(BOOK.as_bytes(), "prices.csv").book;
    let text = cost::book::write(first.rows());
    let again = read(text.as_bytes(), "prices.csv");
    assert_eq!(again.remarks, []);
    assert_eq!(again.book, first);
}

#[test]
fn a_later_row_corrects_an_earlier_one() {
    let mut book = read(BOOK.as_bytes(), "prices.csv").book;
    let later =
        "of,name,price,currency,confidence\npart,TH-KARN2,1.50,EUR,quote\npart,new,1,EUR,quote\n";
    book.merge(read(later.as_bytes(), "later.csv").book);
    let part = book.of(Kind::Part, "TH-KARN2").unwrap();
    assert_eq!((part.file.as_str(), part.line), ("later.csv", 2));
    assert_eq!(book.rows().len(), 10);
}

#[test]
fn headings_of_others_are_guessed_or_told() {
    let theirs =
        "Kind;MPN;Unit Price;Cur;Tolerance;Supplier;As of\npart;X1;2.5;eur;10 %;shop;2026-01-02\n";
    let book = read(theirs.as_bytes(), "theirs.csv");
    assert_eq!(book.remarks, []);
    assert_eq!(book.book.of(Kind::Part, "X1").unwrap().source, "shop");
    let odd = "a,b,c,d,e\npart,X1,2.5,EUR,10 %\n";
    assert_eq!(read(odd.as_bytes(), "odd.csv").remarks[0].loss, Loss::File);
    let map = [
        Column::Of,
        Column::Name,
        Column::Value,
        Column::Currency,
        Column::Within,
    ]
    .map(Some);
    let book = read_mapped(odd.as_bytes(), "odd.csv", Some(&map)).book;
    assert_eq!(book.rows().len(), 1);
    assert_eq!(
        guessed(&["Price".into(), "price".into()]),
        [Some(Column::Value), None]
    );
}

#[test]
fn a_refused_row_names_its_column_and_a_remedy() {
    let cases = [
        ("part,a,1,XBT,,10 %,,,,,,,", "currency", "no currency"),
        ("part,a,1,,,10 %,,,,,,,", "currency", "without a currency"),
        (
            "part,a,1: -0.5 | 10: 0.2,EUR,,10 %,,,,,,,",
            "price",
            "-0.5 is no price",
        ),
        (
            "part,a,10: 1 | 1: 2,EUR,,10 %,,,,,,,",
            "price",
            "does not come after",
        ),
        ("part,a,,EUR,,10 %,,,,,,,", "price", "no price"),
        ("part,a,cheap,EUR,,10 %,,,,,,,", "price", "is no number"),
        ("part,a,1e999,EUR,,10 %,,,,,,,", "price", "is no number"),
        ("part,a,1,EUR,,,estimate,,,,,,", "within", "spread"),
        ("part,a,1,EUR,,5000 %,,,,,,,", "within", "tenfold"),
        ("part,a,1,EUR,,-5 %,,,,,,,", "within", "tenfold"),
        ("part,a,1,EUR,kg,10 %,,,,,,,", "per", "pieces"),
        ("part,a,1,EUR,0,10 %,,,,,,,", "per", "pieces"),
        (
            "part,a,1,EUR,,10 %,sure,,,,,,",
            "confidence",
            "no confidence",
        ),
        ("part,a,1,EUR,,10 %,,31.5.2026,,,,,", "date", "no day"),
        (
            "wish,a,1,EUR,,10 %,,,,,,,",
            "of",
            "nothing that has a price",
        ),
        ("yield,a,120 %,,,10 %,,,,,,,", "price", "share from 0 to 1"),
        ("act,a,0,,,10 %,,,,,,,", "price", "above zero"),
        ("tool,a,1,EUR,,10 %,,,,,0,,", "life", "above zero"),
        ("part,a,1,EUR,,10 %,,,,,,,-2 %", "loss", "below zero"),
        (
            "panel,a,depth = 1,,,,,,,,,,",
            "price",
            "not among its settings",
        ),
    ];
    let heading = BOOK.lines().next().unwrap();
    for (row, column, why) in cases {
        let read = read(format!("{heading}\n{row}\n").as_bytes(), "prices.csv");
        assert_eq!(read.book.rows(), [], "{row}");
        let remark = &read.remarks[0];
        assert_eq!(
            (remark.line, remark.column.as_str()),
            (2, column),
            "{row}: {remark}"
        );
        assert!(remark.why.contains(why), "{row}: {remark}");
        assert!(!remark.remedy.is_empty() && remark.to_string().starts_with("prices.csv:2"));
    }
}

/// A million rows are read as far as the bound, and what follows is told.
#[test]
fn a_book_is_bounded() {
    let mut text = String::from("of,name,price,currency,within\n");
    for k in 0..1_000_000 {
        text.push_str(&format!("part,p{k},1,EUR,10 %\n"));
    }
    let found = read(text.as_bytes(), "long.csv");
    assert_eq!(found.book.rows().len(), MOST_ROWS);
    assert_eq!(found.remarks.len(), 1);
    assert!(found.remarks[0].why.contains("more than 100000 rows"));
    let bad = "of,name,price,currency,within\n".to_string() + &"part,a,1,QQQ,10 %\n".repeat(5000);
    let found = read(bad.as_bytes(), "bad.csv");
    assert_eq!(found.remarks.len(), 101);
    assert!(found.remarks[100].why.contains("4900 more rows"));
}

#[test]
fn what_is_no_table_is_refused_whole() {
    for bytes in [&b""[..], b"\0\0\0", b"PK\x03\x04", b"\n\n\n"] {
        let found = read(bytes, "odd.csv");
        assert!(found.book.is_empty());
        assert_eq!(found.remarks.len(), 1);
    }
}

/// Pieces of cells, so that rows come near to being good.
const PIECES: [&str; 24] = [
    "part", "class", "board", "panel", "rate", "yield", "act", "tool", ",", ",", ",", "\n", "\n",
    "1: 1", "|", "=", "0.5", "-1", "1e300", "%", "EUR", "estimate", "\"", "length",
];

proptest! {
    /// Anything is read or refused, and what was read is written and read back.
    #[test]
    fn any_text_is_read_or_refused(picks in proptest::collection::vec(0..PIECES.len(), 0..60)) {
        let mut text = String::from("of,name,price,currency,within,confidence,life,weight,loss\n");
        picks.iter().for_each(|at| text.push_str(PIECES[*at]));
        let found = read(text.as_bytes(), "prices.csv").book;
        for ladder in found.rows().iter().filter_map(|row| row.prices()) {
            let (price, doubt) = ladder.price(1e9);
            prop_assert!(price >= 0.0 && doubt >= 0.0);
        }
        let again = read(cost::book::write(found.rows()).as_bytes(), "prices.csv").book;
        prop_assert_eq!(again.rows().len(), found.rows().len());
    }
}
