//! Sizes out of photographs, from dossiers written as text. Products are invented; the expected sizes
//! follow from the rule of three, which holds exactly for a camera that looks straight down.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "support/answers.rs"]
mod support;

use methods::sizes::Sources;
use methods::{Cell, Detail, Finding, Verdict};
use record::Dossier;
use support::answers;

/// A board of 400 × 300 pixels beside a ruler of 50 mm on 1000 pixels: 20 × 15 mm.
fn examine(size: &str, region: &str) -> Vec<Finding> {
    let text = format!(
        "format = 1\n[product]\nname = \"Sample\"\nmaker = \"Nobody\"\nopened = 2026-01-05\ninvented = true\n\
         [[items]]\nid = \"set\"\nname = \"Sample\"\nkind = \"product\"\n\
         [[items]]\nid = \"board\"\nname = \"Board\"\nkind = \"board\"\nparent = \"set\"\nsize = {{ {size} }}\n\
         [[photos]]\nid = \"top\"\nfile = \"top.jpg\"\ncaption = \"Board from above\"\n\
         scale = {{ from = [100.0, 900.0], to = [1100.0, 900.0], length = \"50.0 mm\" }}\n\
         camera = {{ tilt = \"6°\" }}\n\
         regions = [{{ id = \"b\", rect = [300, 300, 400, 300], item = \"board\"{region} }}]\n"
    );
    let dossier: Dossier = match record::read_text(&text, "dossier.toml", &|_: &str| true) {
        Ok(dossier) => dossier,
        Err(problems) => panic!("{problems:#?}"),
    };
    answers(methods::geometry::examine, &dossier)
}

/// The outline of the board, in the plane of the ruler.
const OUTLINE: &str = ", outline = true, height = \"0.00(0) mm\"";

#[test]
fn sizes_that_fit_hold() {
    let found = examine("length = \"20.0 mm\", width = \"15.0 mm\"", OUTLINE);
    assert_eq!(found[0].id.to_string(), "geometry.sizes/photo:top");
    assert_eq!(
        found[0].verdict,
        Some(Verdict::Holds),
        "{}",
        found[0].sentence
    );
    let Detail::Table(table) = &found[0].details[0] else {
        panic!("a table was expected");
    };
    for (row, expected) in table.rows.iter().zip([20.0, 15.0]) {
        let Cell::Quantity(size) = &row[2] else {
            panic!("a quantity was expected: {row:?}");
        };
        assert_eq!(size.unit.symbol(), "mm");
        assert!((size.value - expected).abs() < 0.05, "{size:?}");
        assert!(
            size.standard_uncertainty.is_some_and(|u| u > 0.0),
            "{size:?}"
        );
    }
}

#[test]
fn a_wrong_size_is_contradicted_with_its_working() {
    let found = examine("length = \"24.0 mm\", width = \"15.0 mm\"", OUTLINE);
    assert_eq!(found[0].verdict, Some(Verdict::Fails));
    assert!(
        found[0]
            .sentence
            .contains("of 2 on record otherwise too 1 disagrees"),
        "{}",
        found[0].sentence
    );
    let figure = &found[0].figures[0];
    assert!((figure.value - 20.0).abs() < 0.05, "{}", figure.value);
    assert!(figure.standard_uncertainty > 0.05);
    assert!(!figure.working.is_empty() && !figure.inputs.is_empty());
}

#[test]
fn a_round_thing_is_held_against_its_diameter() {
    let found = examine("diameter = \"17.5 mm\"", OUTLINE);
    assert_eq!(
        found[0].verdict,
        Some(Verdict::Holds),
        "{}",
        found[0].sentence
    );
}

#[test]
fn a_region_that_is_no_outline_measures_nothing() {
    assert!(examine("length = \"24.0 mm\", width = \"15.0 mm\"", "").is_empty());
}

#[test]
fn without_a_recorded_size_there_is_no_verdict() {
    let found = examine("", OUTLINE);
    assert_eq!(found[0].verdict, None);
}

/// Answers for a lamp of which one photo, from straight above at 20 pixels per mm, and measures are given.
fn measured(extra: &str) -> Dossier {
    let text = format!(
        "format = 1\n[product]\nname = \"Sample\"\nmaker = \"Nobody\"\nopened = 2026-01-05\ninvented = true\n\
         [[items]]\nid = \"set\"\nname = \"Sample\"\nkind = \"product\"\n\
         [[items]]\nid = \"cell\"\nname = \"Cell\"\nkind = \"cell\"\nparent = \"set\"\n\
         size = {{ thickness = \"5.00(0) mm\" }}\n\
         [items.cell]\nform = \"pouch\"\nenergy = \"2.3(0) Wh\"\n{extra}"
    );
    match record::read_text(&text, "dossier.toml", &|_: &str| true) {
        Ok(dossier) => dossier,
        Err(problems) => panic!("{problems}"),
    }
}

/// A photo with a card in view and its measures; `length` is that of the card.
fn photo(length: &str, camera: &str) -> String {
    format!(
        "[[photos]]\nid = \"top\"\nfile = \"top.jpg\"\ncaption = \"From above\"\npixels = [2000, 1500]\n\
         camera = {{ tilt = \"6°\"{camera} }}\n\
         references = [{{ name = \"card\", shape = \"distance\", at = [[150, 750], [1850, 750]], \
         length = \"{length}\", within = 0.01 }}]\n"
    )
}

/// A measure in the plane of the card unless `extra` says otherwise.
fn measure(id: &str, what: &str, at: &str, extra: &str) -> String {
    let height = if extra.contains("height") {
        ""
    } else {
        "height = \"0.00(0) mm\"\n"
    };
    format!(
        "[[measures]]\nid = \"{id}\"\nphoto = \"top\"\nitem = \"cell\"\nwhat = \"{what}\"\nat = [{at}]\n\
         within = 0.01\n{height}{extra}\n"
    )
}

const BODY: &str = "[700, 600], [1300, 600], [1300, 900], [700, 900]";

/// With one wrong scale both sides are wrong together: relative uncertainties add up in the product and do
/// not combine as squares (JCGM 100:2008, 5.2.2).
#[test]
fn sides_of_one_photograph_share_its_scale() {
    let dossier = measured(&format!(
        "{}{}",
        photo("85.0 ± 1.7 mm", ""),
        measure("m", "body", BODY, "")
    ));
    let figures: Vec<_> = answers(methods::cell::examine, &dossier)
        .into_iter()
        .flat_map(|f| f.figures)
        .collect();
    let density = figures.iter().find(|f| f.name == "energy density").unwrap();
    let scale = (1.7 / 3f64.sqrt()) / 85.0;
    let relative = density.standard_uncertainty / density.value;
    // Tilt and lens add a little to the scale's own 2 × 1.15 %.
    assert!(
        relative > 1.98 * scale && relative < 2.5 * scale,
        "{relative} {scale}"
    );
    let litre = 30.0 * 15.0 * 5.0 * 1e-6;
    let in_wh_per_litre = density.unit.to_si(density.value) / 3.6e6;
    assert!(
        (in_wh_per_litre * litre / 2.3 - 1.0).abs() < 2e-3,
        "{density:?}"
    );
}

#[test]
fn a_claim_about_a_size_is_decided_by_the_photograph() {
    let claim = |says: &str| {
        let dossier = measured(&format!(
            "{}{}[[claims]]\nid = \"long\"\ntext = \"{says} long\"\nprinted = \"box\"\nkind = \"dimension\"\n\
             says = {{ item = \"cell\", dimension = \"length\" }}\nvalue = \"{says}\"\ntolerance = \"0.5 mm\"\n",
            photo("85.0(0) mm", ""),
            measure("m", "body", BODY, "")
        ));
        let found = answers(methods::claims::examine, &dossier);
        (found[0].verdict, found[0].evidence.clone())
    };
    let (verdict, evidence) = claim("30 mm");
    assert_eq!(verdict, Some(Verdict::Holds));
    assert!(
        evidence.contains(&record::Place::measure("m")),
        "{evidence:?}"
    );
    assert!(
        evidence.contains(&record::Place::photo("top")),
        "{evidence:?}"
    );
    assert_eq!(claim("34 mm").0, Some(Verdict::Fails));
}

/// What a photograph gives need not be measured before the thing is destroyed; without it, it must.
#[test]
fn a_size_taken_on_a_photograph_is_no_missing_evidence() {
    let claim = "[[claims]]\nid = \"long\"\ntext = \"30 mm long\"\nprinted = \"box\"\nkind = \"dimension\"\n\
                 says = { item = \"cell\", dimension = \"length\" }\nvalue = \"30 mm\"\n\
                 [[steps]]\nid = \"cut\"\naction = \"cut\"\ntext = \"Cut the cell out\"\nfrees = [\"cell\"]\n\
                 undo = \"no\"\n";
    let asked = |measures: &str| {
        let dossier = measured(&format!("{}{measures}{claim}", photo("85.0(0) mm", "")));
        answers(methods::opening::examine, &dossier)
            .iter()
            .flat_map(|f| &f.missing)
            .any(|m| m.measure.contains("measure the length of the cell"))
    };
    assert!(asked(""));
    assert!(!asked(&measure("m", "body", BODY, "")));
}

/// The plane, and everything measured on it, is the same piece of memory however often it is asked for.
#[test]
fn a_photograph_is_fitted_once_and_a_thing_on_it_measured_once() {
    let dossier = measured(&format!(
        "{}{}",
        photo("85.0(0) mm", ""),
        measure("m", "body", BODY, "")
    ));
    let sources = Sources::of(&dossier);
    let recorded = dossier.measure("m").unwrap();
    let photographs = sources.photographs();
    let (seen, length, _) = photographs.measured(recorded, "length").unwrap();
    let (again, width, _) = photographs.measured(recorded, "width").unwrap();
    assert!(std::ptr::eq(seen, again) && std::ptr::eq(length, width));
    let on = photographs.get("top").unwrap();
    assert!(std::ptr::eq(on.seen().as_ref().unwrap(), seen));
    let cell = dossier.item("cell").unwrap();
    let input = sources.input(cell, "width").unwrap();
    assert!((input.distribution.mean() - 15e-3).abs() < 2e-5);
    assert!(sources.input(cell, "height").is_none());
}

/// Three points on each side of the same body, in straight lines through its corners.
#[test]
fn a_body_marked_on_its_sides_has_the_size_that_its_corners_give() {
    let on_sides = "[800, 600], [1000, 600], [1200, 600], [1300, 650], [1300, 750], [1300, 850], \
                    [1200, 900], [1000, 900], [800, 900], [700, 850], [700, 750], [700, 650]";
    let sizes = |at: &str, extra: &str| {
        let dossier = measured(&format!(
            "{}{}",
            photo("85.0(0) mm", ""),
            measure("m", "body", at, extra)
        ));
        let found = answers(methods::geometry::examine, &dossier);
        let figures = found[0].figures.iter();
        figures
            .map(|f| (f.value, f.standard_uncertainty))
            .collect::<Vec<_>>()
    };
    let (corners, sides) = (sizes(BODY, ""), sizes(on_sides, "on-sides = true"));
    assert!(
        corners.len() >= 2 && corners.len() == sides.len(),
        "{corners:?} {sides:?}"
    );
    // The doubt of the lens bends the sides a little, to the second order.
    for ((a, u), (b, _)) in corners.iter().zip(&sides) {
        assert!((a - b).abs() < 0.01 * u, "{corners:?} {sides:?}");
    }
}

#[test]
fn measuring_again_uses_the_newer_and_tells_the_older() {
    let dossier = measured(&format!(
        "{}{}{}",
        photo("85.0(0) mm", ""),
        measure("first", "width", "[700, 600], [700, 980]", ""),
        measure(
            "second",
            "width",
            "[700, 600], [700, 900]",
            "replaces = \"first\""
        )
    ));
    let cell = dossier.item("cell").unwrap();
    let width = Sources::of(&dossier).input(cell, "width").unwrap();
    assert!((width.distribution.mean() - 15e-3).abs() < 2e-5);
    assert!(
        width
            .source
            .evidence
            .contains(&(&record::Place::measure("second")).into())
    );
    let found = answers(methods::geometry::examine, &dossier);
    let told = found[0].unused.join("\n");
    assert!(
        told.contains("measure:first gave width 19.0")
            && told.contains("measured again as 'second'"),
        "{told}"
    );
}

/// A top at height h below a camera at Z looks larger by Z / (Z − h) (similar triangles). Where nobody says how
/// high or how far, both are inputs: the value is that of the usual height and distance, and the interval holds
/// what any of them gives.
#[test]
fn a_height_is_corrected_for_and_is_doubt_where_it_is_not_stated() {
    let sides = |camera: &str, height: &str| {
        let dossier = measured(&format!(
            "{}{}",
            photo("85.0(0) mm", camera),
            measure("m", "length", "[700, 600], [1300, 600]", height)
        ));
        let cell = dossier.item("cell").unwrap().clone();
        let length = Sources::of(&dossier).input(&cell, "length").unwrap();
        let figure = answers(methods::geometry::examine, &dossier).remove(0);
        (length.distribution.mean() * 1e3, figure)
    };
    let stated = "height = \"5.0(1) mm\"";
    let (mm, _) = sides(", distance = \"250(5) mm\"", stated);
    assert!((mm - 30.0 * (1.0 - 5.0 / 250.0)).abs() < 0.02, "{mm}");
    // 36 mm frame: 26 mm equivalent on a diagonal of 2500 pixels is 1502 pixels, so at 20 pixels per mm
    // the camera is 75.1 mm away.
    let (mm, _) = sides(", equivalent-focal-length = \"26 mm\"", stated);
    assert!((mm - 30.0 * (1.0 - 5.0 / 75.1)).abs() < 0.05, "{mm}");
    // 1.1 × 2000 pixels at 20 pixels per mm: 110 mm.
    let (mm, finding) = sides("", stated);
    assert!((mm - 30.0 * (1.0 - 5.0 / 110.0)).abs() < 0.02, "{mm}");
    let told = finding.assumptions.join("\n");
    assert!(told.contains("camera's place is not stated"), "{told}");
    let interval = finding.figures[0].interval;
    for distance in [65.0, 200.0] {
        let true_mm = 30.0 * (1.0 - 5.0 / distance);
        assert!(
            interval.low < true_mm && true_mm < interval.high,
            "{distance}: {interval:?}"
        );
    }
    // A cell: between −0.5 and 12 mm, most likely 3 mm.
    let (mm, finding) = sides(
        ", distance = \"250(5) mm\"",
        "note = \"height not measured\"",
    );
    assert!(
        (mm - 30.0 * (1.0 - 14.5 / 3.0 / 250.0)).abs() < 0.02,
        "{mm}"
    );
    let told = finding.assumptions.join("\n");
    assert!(
        told.contains("The height of Cell") && told.contains("12 mm"),
        "{told}"
    );
    let figure = &finding.figures[0];
    for height in [0.0, 8.5] {
        let true_mm = 30.0 * (1.0 - height / 250.0);
        assert!(
            figure.interval.low < true_mm && true_mm < figure.interval.high,
            "{height}: {figure:?}"
        );
    }
    assert!(
        figure.inputs.iter().any(|i| i.name == "height"),
        "{figure:?}"
    );
}

/// The same card seen from straight above and from 25° off: a scale bar holds in the first alone.
#[test]
fn a_scale_that_varies_over_the_picture_has_no_bar() {
    let bar = |corners: &str| {
        let text = format!(
            "[[photos]]\nid = \"top\"\nfile = \"top.jpg\"\ncaption = \"From above\"\npixels = [2000, 1500]\n\
             references = [{{ name = \"plate\", shape = \"rectangle\", at = [{corners}], length = \"60 mm\", \
             width = \"40 mm\" }}]\n"
        );
        methods::photogrammetry::pixels_per_mm(&measured(&text).photos[0])
    };
    let level = bar("[400, 350], [1600, 350], [1600, 1150], [400, 1150]").unwrap();
    assert!((level - 20.0).abs() < 0.05, "{level}");
    assert_eq!(
        bar("[500, 400], [1500, 400], [1650, 1150], [350, 1150]"),
        None
    );
}
