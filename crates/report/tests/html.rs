//! The HTML report: valid in structure, whole in itself, the same every time.

#![allow(clippy::unwrap_used, reason = "a test may stop here")]

mod sample;

use report::{Photographs, compose, html};
use std::collections::BTreeSet;

fn page() -> String {
    html(&compose(
        &sample::dossier(),
        &sample::findings(),
        &sample::photographs(),
    ))
}

/// One tag of the page.
struct Tag {
    name: String,
    closing: bool,
    attributes: Vec<(String, String)>,
}

/// Splits the page into tags; fails on unquoted attributes and stray `<` or `>`.
fn tags(page: &str) -> Vec<Tag> {
    let mut out = Vec::new();
    let mut rest = page;
    while let Some(at) = rest.find('<') {
        assert!(
            !rest[..at].contains('>'),
            "stray '>' before {}",
            &rest[at..(at + 40).min(rest.len())]
        );
        rest = &rest[at + 1..];
        if let Some(after) = rest.strip_prefix("!DOCTYPE html>") {
            rest = after;
            continue;
        }
        let end = rest.find('>').unwrap();
        let inner = rest[..end].trim_end_matches('/');
        rest = &rest[end + 1..];
        let closing = inner.starts_with('/');
        let inner = inner.trim_start_matches('/');
        let (name, mut list) = inner.split_once([' ', '\n']).unwrap_or((inner, ""));
        let mut attributes = Vec::new();
        while let Some((key, after)) = list.trim_start().split_once("=\"") {
            let (value, after) = after.split_once('"').unwrap();
            attributes.push((key.to_string(), value.to_string()));
            list = after;
        }
        assert!(list.trim().is_empty(), "unquoted attribute: {inner}");
        // The style sheet holds '>' as a combinator.
        if name == "style" && !closing {
            rest = &rest[rest.find("</style>").unwrap()..];
        }
        out.push(Tag {
            name: name.into(),
            closing,
            attributes,
        });
    }
    out
}

fn attributes<'a>(tags: &'a [Tag], name: &'a str) -> impl Iterator<Item = &'a str> {
    tags.iter()
        .flat_map(|t| &t.attributes)
        .filter(move |(k, _)| k == name)
        .map(|(_, v)| v.as_str())
}

#[test]
fn tags_are_balanced() {
    let page = page();
    const VOID: [&str; 2] = ["meta", "img"];
    const EMPTY_IN_SVG: [&str; 4] = ["rect", "circle", "path", "line"];
    let mut open: Vec<String> = Vec::new();
    for tag in tags(&page) {
        if tag.closing {
            // Shapes of the photograph overlay are closed by a tag, those of drawings in themselves.
            if EMPTY_IN_SVG.contains(&tag.name.as_str()) {
                continue;
            }
            assert_eq!(open.pop().as_deref(), Some(tag.name.as_str()));
        } else if !VOID.contains(&tag.name.as_str()) && !EMPTY_IN_SVG.contains(&tag.name.as_str()) {
            open.push(tag.name);
        }
    }
    assert!(open.is_empty(), "{open:?}");
}

#[test]
fn every_link_leads_somewhere_in_the_file() {
    let page = page();
    let tags = tags(&page);
    let ids: Vec<&str> = attributes(&tags, "id").collect();
    let unique: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(unique.len(), ids.len(), "ids are unique");
    let links: Vec<&str> = attributes(&tags, "href").collect();
    assert!(links.len() > 40, "{}", links.len());
    for link in links {
        let target = link
            .strip_prefix('#')
            .expect("no link leads out of this sample");
        assert!(unique.contains(target), "#{target} leads nowhere");
    }
    for labels in ["aria-labelledby", "aria-describedby"] {
        for id in attributes(&tags, labels) {
            assert!(unique.contains(id), "{labels} {id}");
        }
    }
}

#[test]
fn every_place_of_the_document_has_its_anchor_on_the_page() {
    let document = compose(
        &sample::dossier(),
        &sample::findings(),
        &sample::photographs(),
    );
    let page = html(&document);
    let tags = tags(&page);
    let ids: BTreeSet<&str> = attributes(&tags, "id").collect();
    for anchor in document.anchors() {
        assert!(ids.contains(anchor.as_str()), "{anchor}");
    }
    let place = |evidence: &str| {
        document
            .places
            .get(&evidence.parse().unwrap())
            .map(|p| p.anchor.as_str())
    };
    assert_eq!(place("photo:lid#label"), Some("photo-lid.region-label"));
    assert_eq!(place("items.\"cell.a\".cell.capacity"), Some("item-cell.a"));
    assert_eq!(place("steps.open.tool"), Some("step-open"));
    assert_eq!(place("reading:whole"), Some("reading-whole"));
    assert_eq!(place("claims.weight"), Some("claim-weight"));
    assert_eq!(place("label:rating"), Some("label-rating"));
    assert_eq!(place("log:charge.csv"), None);
    assert_eq!(place("items.nowhere.cell.capacity"), None);
}

#[test]
fn the_file_needs_neither_network_nor_script() {
    let page = page();
    let tags = tags(&page);
    for tag in &tags {
        let banned = [
            "script", "link", "iframe", "object", "embed", "base", "form", "audio", "video",
        ];
        assert!(!banned.contains(&tag.name.as_str()), "{}", tag.name);
        for (key, value) in &tag.attributes {
            assert!(!key.starts_with("on"), "{key}");
            if ["src", "srcset", "data", "poster", "xlink:href"].contains(&key.as_str()) {
                assert!(value.starts_with("data:image/"), "{key}");
            }
        }
    }
    let without_namespaces = page.replace("xmlns=\"http://www.w3.org/2000/svg\"", "");
    assert!(!without_namespaces.contains("http:") && !without_namespaces.contains("https:"));
}

#[test]
fn what_the_record_says_stays_text() {
    let page = page();
    assert!(page.contains("Brimlamp &lt;2&gt; &amp; co"));
    assert!(!page.contains("<2>") && !page.contains("<tagged>") && !page.contains("<base>"));
    assert!(!page.contains('\u{7}'), "control characters are replaced");
}

#[test]
fn the_page_can_be_found_around_in() {
    let page = page();
    let tags = tags(&page);
    let count = |name: &str| tags.iter().filter(|t| t.name == name && !t.closing).count();
    for landmark in ["header", "nav", "main", "footer", "h1", "title"] {
        assert_eq!(count(landmark), 1, "{landmark}");
    }
    assert_eq!(attributes(&tags, "lang").next(), Some("en"));
    assert_eq!(count("table"), count("caption"));
    let headings = tags.iter().filter(|t| t.name == "th" && !t.closing).count();
    assert_eq!(headings, attributes(&tags, "scope").count());
    for image in tags.iter().filter(|t| t.name == "img") {
        assert!(
            image
                .attributes
                .iter()
                .any(|(k, v)| k == "alt" && !v.is_empty())
        );
    }
    let levels: Vec<u8> = tags
        .iter()
        .filter(|t| !t.closing && t.name.len() == 2 && t.name.starts_with('h'))
        .filter_map(|t| t.name[1..].parse().ok())
        .collect();
    assert!(
        levels.windows(2).all(|w| w[1] <= w[0] + 1),
        "no level is skipped: {levels:?}"
    );
}

#[test]
fn sections_stand_in_the_order_of_the_day() {
    let document = compose(
        &sample::dossier(),
        &sample::findings(),
        &sample::photographs(),
    );
    let titles: Vec<&str> = document.sections.iter().map(|s| s.title.as_str()).collect();
    assert_eq!(
        titles,
        [
            "Summary",
            "Intake",
            "Opening",
            "Inside",
            "Power",
            "Claims",
            "Masses and cells",
            "Method notes and sources"
        ]
    );
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    assert_eq!(page(), page());
}

#[test]
fn an_empty_record_still_makes_a_page() {
    let mut dossier = sample::dossier();
    dossier.items.clear();
    dossier.claims.clear();
    dossier.steps.clear();
    dossier.readings.clear();
    dossier.photos.clear();
    let mut findings = sample::findings();
    findings.findings.clear();
    let page = html(&compose(&dossier, &findings, &Photographs::default()));
    assert!(page.contains("No claim has been judged."));
}

#[test]
fn findings_about_what_is_not_recorded_lead_nowhere_but_are_printed() {
    let mut dossier = sample::dossier();
    dossier.items.clear();
    dossier.claims.clear();
    dossier.steps.clear();
    let findings = sample::findings();
    let page = html(&compose(&dossier, &findings, &Photographs::default()));
    let tags = tags(&page);
    let ids: Vec<&str> = attributes(&tags, "id").collect();
    let unique: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(unique.len(), ids.len());
    for link in attributes(&tags, "href") {
        assert!(unique.contains(link.trim_start_matches('#')), "{link}");
    }
}
