//! Identities against their markings. Parts and makers are invented; what is checked are the rules of
//! `docs/methods/markings.md` and the laws of probability.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use catalogue::{Catalogue, Part};
use methods::{Case, Detail, Finding, Known, Verdict, markings};
use record::Dossier;

fn part(name: &str, role: &str, package: &str, pins: u32, body_mm: [f64; 2]) -> Part {
    Part {
        name: name.into(),
        maker: "Threndova".into(),
        role: role.into(),
        packages: vec![package.into()],
        pins: Some(pins),
        body_mm: Some(body_mm),
        ..Part::default()
    }
}

fn known() -> Known {
    let parts = [
        part("THK4821", "charger", "QFN-16", 16, [3.0, 3.0]),
        part("THK4B21", "charger", "QFN-16", 16, [3.0, 3.0]),
        part("KMW7755", "charger", "QFN-16", 16, [3.0, 3.0]),
        part("OXT7", "touch controller", "QFN-24", 24, [4.0, 4.0]),
        part("VEL9300", "regulator", "SOT-23-5", 5, [2.9, 1.6]),
    ];
    Known::new(parts.into_iter().collect::<Catalogue>())
}

fn dossier(items: &str) -> Dossier {
    let head = "format = 1\n[product]\nname = \"Sample\"\nmaker = \"Nobody\"\nopened = 2026-01-05\n\
        invented = true\n[[items]]\nid = \"set\"\nname = \"Sample\"\nkind = \"product\"\n";
    match record::read_text(&format!("{head}{items}"), "dossier.toml", &|_: &str| true) {
        Ok(dossier) => dossier,
        Err(problems) => panic!("{problems:#?}"),
    }
}

/// One item with a marking and, if wanted, an identity.
fn item(id: &str, marking: &str, identity: &str, more: &str) -> String {
    let identity = if identity.is_empty() {
        String::new()
    } else {
        format!("identity = {{ {identity} }}\n")
    };
    format!(
        "[[items]]\nid = \"{id}\"\nname = \"{id}\"\nkind = \"part\"\nparent = \"set\"\n{more}\n\
         [items.part]\nmarking = [{marking}]\npackage = \"QFN-16\"\npins = 16\n{identity}"
    )
}

fn examine(dossier: &Dossier, known: &Known) -> Vec<Finding> {
    markings::examine(&Case::new(dossier, known)).unwrap()
}

fn findings(items: &str) -> Vec<Finding> {
    examine(&dossier(items), &known())
}

#[track_caller]
fn of<'f>(findings: &'f [Finding], id: &str) -> &'f Finding {
    findings
        .iter()
        .find(|f| f.id.to_string() == id)
        .unwrap_or_else(|| {
            let ids: Vec<String> = findings.iter().map(|f| f.id.to_string()).collect();
            panic!("no {id} in {ids:?}")
        })
}

#[test]
fn a_sharp_marking_bears_out_what_was_read() {
    let found = findings(&item(
        "u1",
        "\"KMW7755\"",
        "name = \"KMW7755\", certainty = \"read\"",
        "",
    ));
    assert!(
        found
            .iter()
            .all(|f| f.id.to_string() != "markings.identity/items.u1"),
        "{found:#?}"
    );
    let Detail::Table(table) = &of(&found, "markings.identities").details[0] else {
        panic!("a table was expected");
    };
    assert_eq!(table.rows.len(), 1);
}

#[test]
fn an_ambiguous_marking_is_weaker_than_read_and_names_the_character() {
    let marking = "\"THK4[8B]21\"";
    let found = findings(&item(
        "u1",
        marking,
        "name = \"THK4821\", certainty = \"read\"",
        "",
    ));
    let finding = of(&found, "markings.identity/items.u1");
    assert_eq!(finding.verdict, Some(Verdict::Undecided));
    let p = finding.conformance.unwrap();
    assert!((0.3..0.7).contains(&p), "{p}");
    let look = &finding.missing[0].measure;
    assert!(
        look.contains("character 5") && look.contains("THK4B21"),
        "{look}"
    );
    // As an inference the same identity promises no more than it holds.
    let inferred = findings(&item(
        "u1",
        marking,
        "name = \"THK4821\", certainty = \"inferred\"",
        "",
    ));
    assert!(
        inferred
            .iter()
            .all(|f| f.id.to_string() != "markings.identity/items.u1")
    );
}

#[test]
fn a_contradicted_identity_fails_and_says_what_fits() {
    let found = findings(&item(
        "u1",
        "\"THK4821\"",
        "name = \"OXT7\", certainty = \"inferred\"",
        "",
    ));
    let finding = of(&found, "markings.identity/items.u1");
    assert_eq!(finding.verdict, Some(Verdict::Fails));
    assert!(finding.sentence.contains("THK4821"), "{}", finding.sentence);
}

#[test]
fn an_identity_that_no_catalogue_knows_needs_evidence() {
    let found = findings(&item(
        "u1",
        "\"QQ77\"",
        "name = \"QQ77\", certainty = \"read\"",
        "",
    ));
    assert_eq!(
        of(&found, "markings.identity/items.u1").verdict,
        Some(Verdict::NeedsEvidence)
    );
}

#[test]
fn an_unidentified_part_is_named_where_the_marking_is_clear() {
    let found = findings(&item("u1", "\"THK4821\"", "", ""));
    let finding = of(&found, "markings.identity/items.u1");
    assert_eq!(finding.verdict, None);
    assert!(finding.sentence.contains("THK4821"), "{}", finding.sentence);
}

#[test]
fn equal_markings_with_unlike_identities_contradict() {
    let one = item(
        "u1",
        "\"A4\"",
        "name = \"VEL9300\", certainty = \"inferred\"",
        "",
    );
    let other = item(
        "u2",
        "\"a-4\"",
        "name = \"OXT7\", certainty = \"assumed\"",
        "",
    );
    let found = findings(&format!("{one}{other}"));
    let finding = of(&found, "markings.equal");
    assert_eq!(finding.verdict, Some(Verdict::Fails));
    assert!(
        finding
            .evidence
            .contains(&record::Place::item("u2").at("part.marking"))
    );
    // An unsure character may be what tells them apart.
    let unsure = item(
        "u2",
        "\"A[4A]\"",
        "name = \"OXT7\", certainty = \"assumed\"",
        "",
    );
    let found = findings(&format!("{one}{unsure}"));
    assert!(found.iter().all(|f| f.id.to_string() != "markings.equal"));
}

#[test]
fn a_body_of_another_size_contradicts_the_identity() {
    let identity = "name = \"THK4821\", certainty = \"read\"";
    let sized = |size: &str| {
        let size = format!("size = {{ {size} }}");
        findings(&item("u1", "\"THK4821\"", identity, &size))
    };
    let fits = sized("length = \"3.1 ± 0.05 mm\", width = \"3.0 mm\"");
    assert!(
        fits.iter()
            .all(|f| f.id.to_string() != "markings.size/items.u1")
    );
    let wrong = sized("length = \"4.0 ± 0.05 mm\", width = \"3.0 mm\"");
    let finding = of(&wrong, "markings.size/items.u1");
    assert_eq!(finding.verdict, Some(Verdict::Fails));
    let excess = &finding.figures[0];
    assert!((excess.value - 1.0).abs() < 1e-9, "{}", excess.value);
    assert!(!excess.working.is_empty());
    // A measurement this rough contradicts nothing.
    let rough = sized("length = \"4.0 ± 1 mm\", width = \"3.0 mm\"");
    assert!(
        rough
            .iter()
            .all(|f| f.id.to_string() != "markings.size/items.u1")
    );
}

#[test]
fn without_a_catalogue_the_finding_says_what_it_could_not_use() {
    let dossier = dossier(&item(
        "u1",
        "\"THK4821\"",
        "name = \"THK4821\", certainty = \"read\"",
        "",
    ));
    let found = examine(&dossier, &Known::default());
    assert_eq!(found.len(), 1);
    assert!(
        found[0].unused[0].contains("--catalogue"),
        "{:?}",
        found[0].unused
    );
}

/// Two rivals that the marking does not tell apart: what was seen beside them before decides, and without
/// it they stay even.
#[test]
fn what_was_seen_beside_a_part_before_counts() {
    let parts = [
        part("THK4821", "charger", "QFN-16", 16, [3.0, 3.0]),
        Part {
            seen_with: vec!["OXT-7".into(), "VEL9300".into()],
            ..part("THK4B21", "charger", "QFN-16", 16, [3.0, 3.0])
        },
        part("OXT7", "touch controller", "QFN-24", 24, [4.0, 4.0]),
    ];
    let known = Known::new(parts.into_iter().collect::<Catalogue>());
    let board = |neighbour: &str| {
        let text = format!(
            "{}{}",
            item(
                "u1",
                "\"THK4[8B]21\"",
                "name = \"THK4B21\", certainty = \"inferred\"",
                ""
            ),
            item("u2", "\"OXT7\"", neighbour, "")
        );
        let dossier = dossier(&text);
        let case = Case::new(&dossier, &known);
        let found = case.assessments().probability(case.item("u1").unwrap());
        found.unwrap()
    };
    let beside = board("name = \"OXT7\", certainty = \"read\"");
    let guessed = board("name = \"OXT7\", certainty = \"assumed\"");
    assert!((guessed - 0.5).abs() < 0.05, "{guessed}");
    // One of one neighbours among three parts: ln(1 + 3/20) more than a part never seen there.
    let odds = (beside / (1.0 - beside)) / (guessed / (1.0 - guessed));
    assert!((odds - 1.15).abs() < 0.01, "{odds}");
}
