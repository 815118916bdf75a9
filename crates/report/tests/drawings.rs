//! The drawings: readable XML, text as text, nothing on top of anything else.

#![allow(clippy::unwrap_used, reason = "a test may stop here")]

mod sample;

use report::{Block, compose};
use roxmltree::{Document, Node};

fn drawings() -> Vec<(String, String)> {
    let document = compose(
        &sample::dossier(),
        &sample::findings(),
        &sample::photographs(),
    );
    let blocks = document.sections.into_iter().flat_map(|s| s.blocks);
    blocks
        .filter_map(|b| match b {
            Block::Drawing { id, svg, .. } => Some((id, svg)),
            _ => None,
        })
        .collect()
}

fn number(node: &Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

#[test]
fn there_are_four_kinds() {
    let ids: Vec<String> = drawings().into_iter().map(|(id, _)| id).collect();
    assert_eq!(
        ids,
        [
            "drawing-verdicts",
            "drawing-power.socket",
            "drawing-against",
            "drawing-mass.all"
        ]
    );
}

#[test]
fn each_is_xml_with_words_and_an_alternative() {
    for (id, svg) in drawings() {
        let xml = Document::parse(&svg).unwrap_or_else(|e| panic!("{id}: {e}"));
        let root = xml.root_element();
        assert_eq!(root.tag_name().name(), "svg");
        assert!(
            root.attribute("aria-label").is_some_and(|a| a.len() > 10),
            "{id}"
        );
        assert!(
            xml.descendants()
                .any(|n| n.has_tag_name(("http://www.w3.org/2000/svg", "text")))
        );
        // Drawings hold no ids, so that many fit on one page, and no variables, which the PDF
        // writer does not know.
        assert!(!svg.contains(" id=") && !svg.contains("var("), "{id}");
    }
}

#[test]
fn text_and_shapes_stay_inside_the_picture() {
    for (id, svg) in drawings() {
        let xml = Document::parse(&svg).unwrap();
        let (w, h) = (
            number(&xml.root_element(), "width"),
            number(&xml.root_element(), "height"),
        );
        for node in xml.descendants().filter(|n| n.is_element()) {
            if ["text", "rect"].contains(&node.tag_name().name()) {
                let (x, y) = (number(&node, "x"), number(&node, "y"));
                assert!(
                    (0.0..=w).contains(&x) && (0.0..=h).contains(&y),
                    "{id}: {node:?}"
                );
            }
        }
    }
}

#[test]
fn every_coloured_shape_can_be_restyled() {
    let mut coloured = 0;
    for (id, svg) in drawings() {
        let xml = Document::parse(&svg).unwrap();
        for node in xml.descendants().filter(|n| n.is_element()) {
            let painted = ["fill", "stroke"]
                .iter()
                .any(|a| node.attribute(*a).is_some_and(|v| v.starts_with('#')));
            assert!(
                !painted || node.attribute("class").is_some(),
                "{id}: {node:?}"
            );
            coloured += usize::from(painted);
        }
    }
    assert!(
        coloured > 50,
        "only {coloured} coloured shapes in all drawings"
    );
}

#[test]
fn the_binding_element_is_named_in_words() {
    let (_, svg) = drawings()
        .into_iter()
        .find(|(id, _)| id == "drawing-power.socket")
        .unwrap();
    assert!(svg.contains(">limits the path</text>"));
    assert!(svg.contains(">Coil &amp;"));
}

#[test]
fn labels_of_links_lie_on_no_box() {
    let (_, svg) = drawings()
        .into_iter()
        .find(|(id, _)| id == "drawing-power.socket")
        .unwrap();
    let xml = Document::parse(&svg).unwrap();
    let rects: Vec<([f64; 4], bool)> = xml
        .descendants()
        .filter(|n| n.tag_name().name() == "rect")
        .filter(|n| n.attribute("fill") != Some("none"))
        .map(|n| {
            (
                ["x", "y", "width", "height"].map(|a| number(&n, a)),
                n.attribute("stroke").is_none(),
            )
        })
        .collect();
    for (i, (a, _)) in rects.iter().enumerate() {
        for (b, _) in &rects[..i] {
            let apart = a[0] + a[2] <= b[0] + 0.5
                || b[0] + b[2] <= a[0] + 0.5
                || a[1] + a[3] <= b[1] + 0.5
                || b[1] + b[3] <= a[1] + 0.5;
            assert!(apart, "{a:?} lies on {b:?}");
        }
    }
    assert_eq!(rects.iter().filter(|(_, is_label)| *is_label).count(), 4);
}
