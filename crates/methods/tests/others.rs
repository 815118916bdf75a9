//! Claims held against what a library holds: refuted by one counter-example, never proved.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use jiff::civil::date;
use methods::{
    Finding, FindingId, Known, Method, OpenReason, Other, OtherPart, Others, Recorded, Trait,
    TraitKind, Verdict, examine_among,
};
use record::AnyFile;
use std::ops::ControlFlow;

/// A pebble of 100 g ± 0.1 g with a charger KX-12, on sale from 4 March 2024.
fn pebble(product: &str, claim: &str) -> record::Dossier {
    let text = format!(
        r#"format = 1
[product]
name = "Pebble"
maker = "Ondrelkamp"
category = "power bank"
opened = 2024-05-01
{product}

[[claims]]
id = "c"
text = "See here"
printed = "front of the box"
{claim}

[[items]]
id = "it"
name = "Pebble"
kind = "product"

[[items]]
id = "chip"
name = "Chip"
kind = "part"
parent = "it"
role = "charger"
[items.part]
marking = ["KX-12"]
[items.part.identity]
name = "KX-12"
maker = "Oskvale"
certainty = "read"
evidence = ["text:the chip"]

[[readings]]
id = "weighed"
item = "it"
what = "mass"
value = "100 g +- 0.1 g"
"#
    );
    record::read_text(&text, "dossier.toml", &AnyFile)
        .unwrap_or_else(|problems| panic!("{problems}"))
}

const RELEASED: &str = "released = 2024-03-04";
const FIRST: &str = "kind = \"first\"\nnames = \"KX-12\"";
const LIGHTEST: &str = "kind = \"leading\"\nleads = \"lightest\"";

fn other(id: &str, released: Option<jiff::civil::Date>, grams: f64, charger: &str) -> Other {
    let part = OtherPart {
        name: charger.into(),
        maker: "Oskvale".into(),
        role: "charger".into(),
        read: !charger.is_empty(),
    };
    Other {
        id: id.into(),
        product: format!("Slab {id}"),
        maker: "Tarnholt".into(),
        category: "Power Bank".into(),
        market: String::new(),
        family: String::new(),
        released,
        there: date(2024, 6, 1),
        traits: vec![Trait {
            what: TraitKind::Mass,
            value: grams / 1000.0,
            uncertainty: 5e-5,
        }],
        parts: vec![part],
    }
}

fn judged(dossier: &record::Dossier, others: &Others) -> Finding {
    let goes_on = |_| ControlFlow::Continue(());
    let (known, recorded) = (Known::default(), Recorded::none());
    let found = examine_among(dossier, &known, &recorded, others, &goes_on).unwrap();
    let mut claims = found.findings.into_iter();
    let of_claim = |f: &Finding| f.method() == Method::Claims;
    claims.find(of_claim).unwrap()
}

#[track_caller]
fn check(finding: &Finding, verdict: Verdict, says: &str) {
    assert_eq!(finding.verdict, Some(verdict), "{}", finding.sentence);
    assert!(finding.sentence.contains(says), "{}", finding.sentence);
}

#[test]
fn without_a_library_it_is_undecided_and_says_so() {
    for claim in [FIRST, LIGHTEST] {
        let found = judged(&pebble(RELEASED, claim), &Others::unknown());
        check(&found, Verdict::Undecided, "xamined without a library");
        let judgement = found.judgement.unwrap();
        assert_eq!(judgement.open, Some(OpenReason::OtherProducts));
    }
}

#[test]
fn one_earlier_product_with_the_part_refutes_being_first() {
    let others = Others::of(vec![
        other("a", Some(date(2023, 9, 1)), 120.0, "KX-12"),
        other("b", Some(date(2024, 9, 1)), 120.0, "KX-12"),
    ]);
    let found = judged(&pebble(RELEASED, FIRST), &others);
    check(&found, Verdict::Fails, "n this library, Slab a by Tarnholt");
    assert!(found.sentence.contains("2023-09-01"), "{}", found.sentence);
    assert!(found.missing.is_empty());
}

#[test]
fn a_later_product_or_one_on_the_same_day_refutes_nothing() {
    for day in [date(2024, 3, 4), date(2025, 1, 1)] {
        let others = Others::of(vec![other("a", Some(day), 120.0, "KX-12")]);
        let found = judged(&pebble(RELEASED, FIRST), &others);
        check(&found, Verdict::Undecided, "holds no earlier product");
    }
}

/// 1 − 0.05^(1/10) = 0.258866: upper limit of a share that none of ten shows (Jovanovic and Levy, 1997).
#[test]
fn not_seen_in_ten_says_what_ten_can_say_and_proves_nothing() {
    let day = |k: i8| Some(date(2022, k, 1));
    let ten = |name: &str| (1..=10).map(|k| other(&k.to_string(), day(k), 120.0, name)).collect();
    let found = judged(&pebble(RELEASED, FIRST), &Others::of(ten("TH-310")));
    check(&found, Verdict::Undecided, "not seen in ten earlier products");
    assert!(found.sentence.contains(&format!("26{}%", quantity::GAP)), "{}", found.sentence);
    let reason = found.judgement.unwrap().open;
    assert_eq!(reason, Some(OpenReason::NotInLibrary));
    let unread = judged(&pebble(RELEASED, FIRST), &Others::of(ten("")));
    check(&unread, Verdict::Undecided, "in none of them was the part in that place identified");
}

#[test]
fn without_a_day_on_sale_nobody_was_first() {
    let others = Others::of(vec![other("a", Some(date(2023, 9, 1)), 120.0, "KX-12")]);
    let found = judged(&pebble("", FIRST), &others);
    check(&found, Verdict::Undecided, "since when this product is on sale");
    assert!(found.missing.iter().any(|m| m.measure.contains("product.released")));
}

#[test]
fn siblings_of_its_own_family_do_not_count() {
    let mut sibling = other("a", Some(date(2023, 9, 1)), 90.0, "KX-12");
    sibling.maker = "Ondrelkamp".into();
    sibling.family = "Stones".into();
    let product = format!("{RELEASED}\nfamily = \"stones\"");
    for claim in [FIRST, LIGHTEST] {
        let found = judged(&pebble(&product, claim), &Others::of(vec![sibling.clone()]));
        check(&found, Verdict::Undecided, "holds no earlier product");
    }
}

#[test]
fn a_lighter_product_refutes_only_beyond_the_uncertainty_of_both() {
    let with = |grams| Others::of(vec![other("a", Some(date(2023, 9, 1)), grams, "")]);
    let surely = judged(&pebble(RELEASED, LIGHTEST), &with(99.0));
    check(&surely, Verdict::Fails, "has 99.00");
    let within = judged(&pebble(RELEASED, LIGHTEST), &with(99.95));
    check(&within, Verdict::Undecided, "surely lies beyond it");
    let heavier = judged(&pebble(RELEASED, LIGHTEST), &with(150.0));
    check(&heavier, Verdict::Undecided, "practically certain");
}

#[test]
fn a_claim_compares_within_the_scope_it_states() {
    let mut other = other("a", Some(date(2023, 9, 1)), 50.0, "");
    other.category = "lamp".into();
    let others = Others::of(vec![other]);
    let class = judged(&pebble(RELEASED, LIGHTEST), &others);
    check(&class, Verdict::Undecided, "of its class");
    let market = format!("{LIGHTEST}\namong = \"market\"");
    check(&judged(&pebble(RELEASED, &market), &others), Verdict::Fails, "Slab a");
    let maker = format!("{LIGHTEST}\namong = \"maker\"");
    check(&judged(&pebble(RELEASED, &maker), &others), Verdict::Undecided, "maker’s products");
}

/// One of a hundred equal products lies 2 standard deviations below another by chance in 90 % of libraries:
/// 1 − 0.977^100. So more than that is asked of the one that refutes.
#[test]
fn the_more_are_compared_the_further_one_has_to_lie_beyond() {
    // Each differs with a standard deviation of 71 mg; one lies 2.1 of them below.
    let many = |n: usize| {
        let mut all = vec![other("near", Some(date(2023, 9, 1)), 99.85, "")];
        all.extend((1..n).map(|k| other(&k.to_string(), Some(date(2023, 9, 1)), 200.0, "")));
        Others::of(all)
    };
    let verdict = |n| judged(&pebble(RELEASED, LIGHTEST), &many(n)).verdict;
    assert_eq!(verdict(1), Some(Verdict::Fails));
    assert_eq!(verdict(100), Some(Verdict::Undecided));
}

#[test]
fn what_a_library_knows_reads_back_the_same() {
    let others = Others::of(vec![other("a", None, 99.5, "KX-12")]);
    let text = serde_json::to_string(&others).unwrap();
    assert_eq!(serde_json::from_str::<Others>(&text).unwrap(), others);
    let id: FindingId = judged(&pebble(RELEASED, FIRST), &others).id;
    assert_eq!(id.to_string(), "claims.verdict/claims.c");
}
