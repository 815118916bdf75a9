//! The HTML report: valid in structure, whole in itself, the same every time.

#![allow(clippy::unwrap_used, reason = "a test may stop here")]

mod support;

use report::{Photographs, compose, html};
use std::collections::BTreeSet;
use std::sync::OnceLock;

fn page() -> &'static str {
    static PAGE: OnceLock<String> = OnceLock::new();
    PAGE.get_or_init(|| html(support::document()))
}

/// One tag of the page.
struct Tag {
    name: String,
    closing: bool,
    attributes: Vec<(String, String)>,
}

/// Splits the page into tags; fails on unquoted attributes and stray `<` or `>`, but for those of the script, whose
/// content is no markup.
fn tags(page: &str) -> Vec<Tag> {
    let mut out = Vec::new();
    let (before, after) = page.split_once("<script>").unwrap_or((page, ""));
    let after = after.split_once("</script>").map_or("", |(_, after)| after);
    let page = match after {
        "" => before.to_string(),
        after => format!("{before}<script></script>{after}"),
    };
    let mut rest = page.as_str();
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
    const VOID: [&str; 3] = ["meta", "img", "br"];
    const EMPTY_IN_SVG: [&str; 7] = ["rect", "circle", "path", "line", "image", "polyline", "use"];
    let mut open: Vec<String> = Vec::new();
    for tag in tags(page) {
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

/// Whether an address is that of a photograph in full size, beside the report.
fn is_photograph(address: &str) -> bool {
    let names: Vec<String> = support::photographs()
        .files
        .into_values()
        .map(|shown| shown.path)
        .collect();
    names.iter().any(|name| name == address)
}

#[test]
fn every_link_leads_somewhere_in_the_file() {
    let page = page();
    let tags = tags(page);
    let ids: Vec<&str> = attributes(&tags, "id").collect();
    let unique: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(unique.len(), ids.len(), "ids are unique");
    let links: Vec<&str> = attributes(&tags, "href").collect();
    assert!(links.len() > 40, "{}", links.len());
    for link in links {
        if is_photograph(link) {
            continue;
        }
        let target = link
            .strip_prefix('#')
            .expect("only photographs lie beside the file");
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
    let document = support::document();
    let tags = tags(page());
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
    assert_eq!(place("photo:bench-cell"), Some("photo-bench-cell"));
    assert_eq!(
        place("items.lamp-cell.cell.capacity"),
        Some("item-lamp-cell")
    );
    assert_eq!(place("reading:m-lamp"), Some("reading-m-lamp"));
    assert_eq!(place("items.nowhere.cell.capacity"), None);
    // What is printed as a place leads to it: every finding about an item of the record.
    let (dossier, findings) = support::lamp();
    for finding in &findings.findings {
        let Some(item) = finding.about.as_ref().and_then(|a| a.item_id()) else {
            continue;
        };
        let id = &dossier.item(item).unwrap().id;
        let about = finding.about.as_ref().unwrap().to_string();
        assert_eq!(
            place(&about),
            Some(report::anchor("item", id).as_str()),
            "{about}"
        );
    }
}

#[test]
fn the_file_needs_no_network_and_no_script_but_its_own() {
    let page = page();
    let tags = tags(page);
    for tag in &tags {
        let banned = [
            "link", "iframe", "object", "embed", "base", "form", "audio", "video",
        ];
        assert!(!banned.contains(&tag.name.as_str()), "{}", tag.name);
        for (key, value) in &tag.attributes {
            assert!(!key.starts_with("on"), "{key}");
            if ["src", "srcset", "data", "poster", "xlink:href"].contains(&key.as_str()) {
                assert!(value.starts_with("data:image/"), "{key}");
            }
        }
    }
    // One script of its own, which the policy knows by its hash.
    let scripts = tags.iter().filter(|t| t.name == "script" && !t.closing);
    assert_eq!(scripts.map(|t| t.attributes.len()).collect::<Vec<_>>(), [0]);
    assert!(page.contains("default-src 'none'; font-src data:; style"));
    assert!(page.contains("; img-src data: 'self'; script-src 'sha256-"));
    assert!(page.contains("script-src 'sha256-") && !page.contains("script-src 'unsafe"));
    let faces = page.matches("url(data:font/woff2;base64,").count();
    assert_eq!(page.matches("url(").count(), faces);
    assert!(!page.contains("@import"));
}

#[test]
fn what_the_record_says_stays_text() {
    let (mut dossier, mut findings) = support::lamp().clone();
    dossier.product.name = "Brimlamp <2> & co".into();
    dossier.items[1].name = "Cradle & <base>".into();
    dossier.product.labels[0].text = "LOT <7>\u{7}".into();
    findings.findings[0].sentence = "It is \"quoted\" & <tagged>.".into();
    let page = html(&compose(&dossier, &findings, &Photographs::default()));
    assert!(page.contains("Brimlamp &lt;2&gt; &amp; co"));
    assert!(page.contains("Cradle &amp; &lt;base&gt;") && page.contains("LOT &lt;7&gt;\u{fffd}"));
    for markup in ["<2>", "<tagged>", "<base>", "<7>"] {
        assert!(!page.contains(markup), "{markup}");
    }
    assert!(!page.contains('\u{7}'), "control characters are replaced");
}

#[test]
fn the_page_can_be_found_around_in() {
    let page = page();
    let tags = tags(page);
    let count = |name: &str| tags.iter().filter(|t| t.name == name && !t.closing).count();
    for landmark in ["header", "nav", "main", "footer", "h1"] {
        assert_eq!(count(landmark), 1, "{landmark}");
    }
    // Numbered photographs have titles of their own.
    let head = page.split_once("</head>").unwrap().0;
    assert_eq!(head.matches("<title>").count(), 1);
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
fn sections_stand_in_the_order_of_a_readers_questions() {
    let document = support::document();
    let titles: Vec<&str> = document.sections.iter().map(|s| s.title.as_str()).collect();
    assert_eq!(
        titles,
        [
            "Do the printed claims hold?",
            "What is inside",
            "The chips",
            "What faces the outside",
            "How power and signals run",
            "How long does it charge and run?",
            "The cells",
            "What it does to sound",
            "How it opens",
            "Can it be repaired?",
            "What it weighs",
            "What it costs to build",
            "What could not be told",
            "Slips in our record",
            "Method, disclosure, version"
        ]
    );
}

#[test]
fn the_page_does_not_depend_on_when_it_is_made() {
    // Everything once more from the files: nothing of the first run is left in it.
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp");
    let dossier = store::open(&folder).unwrap();
    let goes_on = |_| std::ops::ControlFlow::Continue(());
    let findings = methods::examine_with(
        &dossier,
        support::known(),
        &support::recorded(&dossier),
        &goes_on,
    )
    .unwrap();
    let again = html(&compose(&dossier, &findings, &support::photographs()));
    assert!(again == page(), "two runs differ");
}

#[test]
fn an_empty_record_still_makes_a_page() {
    let (mut dossier, mut findings) = support::lamp().clone();
    dossier.items.clear();
    dossier.claims.clear();
    dossier.steps.clear();
    dossier.readings.clear();
    dossier.photos.clear();
    findings.findings.clear();
    let page = html(&compose(&dossier, &findings, &Photographs::default()));
    assert!(page.contains("No printed claim is on record."));
}

#[test]
fn findings_about_what_is_not_recorded_lead_nowhere_but_are_printed() {
    let (mut dossier, findings) = support::lamp().clone();
    dossier.items.clear();
    dossier.claims.clear();
    dossier.steps.clear();
    let page = html(&compose(&dossier, &findings, &Photographs::default()));
    let tags = tags(&page);
    let ids: Vec<&str> = attributes(&tags, "id").collect();
    let unique: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(unique.len(), ids.len());
    for link in attributes(&tags, "href") {
        assert!(unique.contains(link.trim_start_matches('#')), "{link}");
    }
}
