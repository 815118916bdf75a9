//! The drawings: readable XML, text as text, nothing on top of anything else.

#![allow(clippy::unwrap_used, reason = "a test may stop here")]

mod specimen;
mod support;

use methods::{Chart, Detail, Form};
use report::{Block, Photographs, compose};
use roxmltree::{Document, Node};

/// The drawings of the demonstration report, upright ones too, and those of charts of every form.
fn drawings() -> Vec<(String, String)> {
    let mut all = of(support::document());
    all.extend(upright().into_iter().map(|(id, _, svg)| (id, svg)));
    let (dossier, findings) = support::lamp();
    let mut findings = findings.clone();
    findings.findings.truncate(1);
    let forms = [
        Form::Parts,
        Form::Bars,
        Form::Intervals,
        Form::Lines,
        Form::Steps,
        Form::Ratios,
    ];
    let charts = forms.map(|form| Chart {
        form,
        ..specimen::chart()
    });
    findings.findings[0].details = charts.map(Detail::Chart).to_vec();
    // Beside the steps of the record, which have a line of their own.
    let mut charted = of(&compose(dossier, &findings, &Photographs::default()));
    charted.retain(|(id, _)| id != "drawing-opening-times");
    assert_eq!(charted.len(), forms.len());
    all.extend(charted);
    all
}

fn of(document: &report::Document) -> Vec<(String, String)> {
    let blocks = document.sections.iter().flat_map(|s| s.all());
    blocks
        .filter_map(|b| match b {
            Block::Drawing { id, svg, .. } => Some((id.clone(), svg.clone())),
            _ => None,
        })
        .collect()
}

/// The drawings that a narrow page has of its own: anchor, drawing for a wide page, drawing for a narrow one.
fn upright() -> Vec<(String, String, String)> {
    let blocks = support::document().sections.iter().flat_map(|s| s.all());
    blocks
        .filter_map(|b| match b {
            Block::Drawing {
                id,
                svg,
                upright: Some(upright),
                ..
            } => Some((id.clone(), svg.clone(), upright.clone())),
            _ => None,
        })
        .collect()
}

fn number(node: &Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

#[test]
fn the_report_draws_these() {
    let ids: Vec<String> = of(support::document())
        .into_iter()
        .map(|(id, _)| id)
        .collect();
    assert_eq!(
        ids,
        [
            "drawing-claims",
            "drawing-power.map",
            "drawing-power.log_2f_logs.lamp-charge",
            "drawing-power.log_2f_logs.lamp-charge-2",
            "drawing-inventory.signals",
            "drawing-charging",
            "drawing-run-time",
            "drawing-sound.noise-reduction",
            "drawing-sound.noise-reduction-2",
            "drawing-sound.delay_2f_recordings.lit",
            "drawing-opening-times",
            "drawing-repair.spares",
            "drawing-mass.pieces"
        ]
    );
}

/// What is drawn again for a narrow page says the same on less width.
#[test]
fn upright_drawings_are_narrower_and_say_the_same() {
    let drawn = upright();
    let ids: Vec<&str> = drawn.iter().map(|(id, ..)| id.as_str()).collect();
    assert!(ids.contains(&"drawing-power.map"), "{ids:?}");
    assert!(ids.contains(&"drawing-mass.pieces"), "{ids:?}");
    for (id, wide, narrow) in &drawn {
        let [wide, narrow] = [wide, narrow].map(|svg| Document::parse(svg).unwrap());
        let [wide, narrow] = [wide.root_element(), narrow.root_element()];
        assert!(
            number(&narrow, "width") <= 0.8 * number(&wide, "width"),
            "{id}"
        );
        let told = |svg: &Node<'_, '_>| svg.attribute("aria-label").map(str::to_string);
        assert_eq!(told(&narrow), told(&wide), "{id}");
    }
}

/// The chart of masses says for every piece what the findings hold, to the digits of its uncertainty.
#[test]
fn the_chart_of_masses_says_the_numbers_of_the_findings() {
    let (_, findings) = support::lamp();
    let (_, svg) = of(support::document()).pop().unwrap();
    let xml = Document::parse(&svg).unwrap();
    let alternative = xml.root_element().attribute("aria-label").unwrap();
    let details = findings.findings.iter().flat_map(|f| &f.details);
    let rows = details.filter_map(|d| match d {
        Detail::Masses { rows } => Some(rows),
        _ => None,
    });
    let mut told = 0;
    for row in rows.flatten().filter(|row| row.depth == 1) {
        let (mass, u) = row.adjusted.unwrap();
        // All of these weigh grams, with uncertainties from 0.010 g to 0.099 g.
        assert!((0.01..0.0995).contains(&u), "{u}");
        let half = 1.959_963_985 * u;
        let unit = quantity::Unit::parse("g").unwrap();
        let value = quantity::format_measured(mass, (mass - half, mass + half), &unit);
        let said = format!("{} {value}", row.name);
        assert!(
            alternative.contains(&said),
            "{said} is not in {alternative}"
        );
        assert!(svg.contains(&format!(">{value}</text>")), "{said}");
        told += 1;
    }
    assert!(told > 1);
}

#[test]
fn series_are_told_apart_without_colour_and_axes_are_named() {
    let charted = drawings();
    let (_, svg) = &charted[charted.len() - 3];
    let xml = Document::parse(svg).unwrap();
    let words: Vec<&str> = xml.descendants().filter_map(|n| n.text()).collect();
    for needed in ["Voltage / V", "Time / min", "lamp", "cradle", "4", "30"] {
        assert!(words.contains(&needed), "{needed} is not in {words:?}");
    }
    let shapes = |name: &str| {
        xml.descendants()
            .filter(|n| n.tag_name().name() == name)
            .count()
    };
    // Four points and the mark beside the name, as circles for one series and squares for the other.
    assert_eq!((shapes("circle"), shapes("rect")), (5, 5));
    let lines: Vec<&str> = xml
        .descendants()
        .filter_map(|n| n.attribute("d"))
        .filter(|d| d.matches('L').count() == 3)
        .collect();
    assert_eq!(lines.len(), 2, "two lines through four points each");
    let alternative = xml.root_element().attribute("aria-label").unwrap();
    assert_eq!(
        alternative,
        "Voltage over time. lamp: 3.1 V at 0 min, 4.2 V at 30 min; cradle: 3.4 V at 0 min, 4.1 V at 30 min. Constant current \
         from 0 min, constant voltage from 24 min."
    );
}

/// On an axis of ratios the marks of 10, 100 and 1000 are equally far apart, and the powers of ten are labelled.
#[test]
fn equal_ratios_are_equally_far_apart() {
    let mut chart = Chart {
        form: Form::Ratios,
        ..specimen::chart()
    };
    chart.series.truncate(1);
    chart.series[0].points.truncate(3);
    for (point, at) in chart.series[0].points.iter_mut().zip([10.0, 100.0, 1000.0]) {
        point.at = Some(at);
    }
    let (svg, _) = report::chart_drawing(&chart).unwrap();
    let xml = Document::parse(&svg).unwrap();
    let marks: Vec<f64> = xml
        .descendants()
        .filter(|n| n.tag_name().name() == "circle")
        .map(|n| n.attribute("cx").unwrap().parse().unwrap())
        .collect();
    assert!(
        (marks[1] - marks[0] - (marks[2] - marks[1])).abs() < 0.2,
        "{marks:?}"
    );
    let words: Vec<&str> = xml.descendants().filter_map(|n| n.text()).collect();
    assert!(
        ["10", "100", "1000"].iter().all(|w| words.contains(w)),
        "{words:?}"
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
        .find(|(id, _)| id == "drawing-power.map")
        .unwrap();
    assert!(svg.contains(">limits the path</text>"));
}

#[test]
fn labels_of_links_lie_on_no_box() {
    let mut maps = drawings();
    maps.retain(|(id, _)| id == "drawing-power.map");
    assert_eq!(
        maps.len(),
        2,
        "one for a wide page and one for a narrow one"
    );
    for (_, svg) in maps {
        no_label_lies_on_a_box(&svg);
    }
}

fn no_label_lies_on_a_box(svg: &str) {
    let xml = Document::parse(svg).unwrap();
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
    // Every link of the lamp carries something. The three loads beside the processor on its regulator share its
    // arrow; the link from the cradle to the lamp is told at both of its ends.
    let details = support::lamp().1.findings.iter().flat_map(|f| &f.details);
    let maps = details.filter_map(|d| match d {
        Detail::Power(map) => Some(map),
        _ => None,
    });
    let links: usize = maps.map(|map| map.edges.len()).sum();
    let labels = rects.iter().filter(|(_, is_label)| *is_label).count();
    assert_eq!(labels, links - 3 + 1);
}
