//! Plans as drawings and as pixels: sizes, contrast, text, errors.

#![allow(clippy::unwrap_used, reason = "helpers of tests may stop the test")]

#[path = "support/contrast.rs"]
mod contrast;

use callout::{
    Margins, Options, Photo, Plan, PlanError, PngError, PngStyle, Point, Region, Source,
    Surroundings, SvgStyle, figure, plan, png, svg,
};
use contrast::contrast;
use imaging::Picture;

const MM_PER_POINT: f64 = 25.4 / 72.0;

fn photo() -> Photo {
    Photo {
        width: 900,
        height: 700,
        pixels_per_mm: Some(18.0),
    }
}

fn region(id: &str, rect: [f64; 4]) -> Region {
    Region {
        id: id.to_owned(),
        rect,
        caption: format!("Part {id}"),
        ..Region::default()
    }
}

fn three() -> Vec<Region> {
    vec![
        region("board", [50.0, 50.0, 800.0, 600.0]),
        region("cell", [300.0, 200.0, 300.0, 250.0]),
        region("socket", [100.0, 520.0, 80.0, 60.0]),
    ]
}

fn filled(mut colour: impl FnMut(u32, u32) -> [u8; 3]) -> Picture {
    let (width, height) = (900, 700);
    let rgb = (0..width * height)
        .flat_map(|i| colour(i % width, i / width))
        .collect();
    Picture { width, height, rgb }
}

struct Decoded {
    width: u32,
    rgb: Vec<u8>,
    per_metre: u32,
}

impl Decoded {
    fn of(file: &[u8]) -> Self {
        let mut reader = ::png::Decoder::new(std::io::Cursor::new(file))
            .read_info()
            .unwrap();
        let dims = reader.info().pixel_dims.unwrap();
        assert_eq!(dims.unit, ::png::Unit::Meter);
        assert_eq!(dims.xppu, dims.yppu);
        let mut rgb = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut rgb).unwrap();
        Self {
            width: reader.info().width,
            rgb,
            per_metre: dims.xppu,
        }
    }

    fn pixel(&self, x: u32, y: u32) -> [u8; 3] {
        let at = (y * self.width + x) as usize * 3;
        [self.rgb[at], self.rgb[at + 1], self.rgb[at + 2]]
    }

    fn at(&self, p: Point) -> [u8; 3] {
        let scale = f64::from(self.per_metre) / 1000.0;
        self.pixel((p[0] * scale) as u32, (p[1] * scale) as u32)
    }
}

#[test]
fn numbers_are_as_large_as_asked_when_the_picture_fills_its_column() {
    for (column_mm, number_pt) in [(85.0, 7.0), (85.0, 7.5), (120.0, 9.0)] {
        let options = Options {
            column_mm,
            number_pt,
            ..Options::default()
        };
        let plan = plan(&photo(), &three(), &options).unwrap();
        let drawing = svg(&plan, &Source::Address("p.jpg"), &SvgStyle::default());
        let tree = roxmltree::Document::parse(&drawing).unwrap();
        let root = tree.root_element();
        assert_eq!(
            root.attribute("width").unwrap(),
            format!("{}mm", column_mm as u32)
        );
        let view = root.attribute("viewBox").unwrap();
        assert!(view.starts_with(&format!("0 0 {} ", column_mm as u32)));
        let numbers: Vec<f64> = tree
            .descendants()
            .filter(|n| n.attribute("text-anchor") == Some("middle"))
            .map(|n| n.attribute("font-size").unwrap().parse().unwrap())
            .collect();
        assert_eq!(numbers.len(), 3);
        for size in numbers {
            assert!((size - number_pt * MM_PER_POINT).abs() < 1e-3);
        }
    }
}

#[test]
fn a_png_is_printed_as_wide_as_its_column() {
    let plan = plan(&photo(), &three(), &Options::default()).unwrap();
    let picture = filled(|_, _| [90, 100, 110]);
    for pixels_per_mm in [None, Some(3.0), Some(5.7)] {
        let style = PngStyle {
            pixels_per_mm,
            ..PngStyle::default()
        };
        let found = Decoded::of(&png(&plan, &picture, &style).unwrap());
        let wide_mm = f64::from(found.width) / f64::from(found.per_metre) * 1000.0;
        assert!((wide_mm - 85.0).abs() < 0.2, "{wide_mm}");
    }
}

/// W3C PNG, 11.3.2.3 and 11.3.2.5: a file has a profile or says sRGB, not both.
#[test]
fn the_colours_of_the_photograph_are_told() {
    let plan = plan(&photo(), &three(), &Options::default()).unwrap();
    let picture = filled(|_, _| [90, 100, 110]);
    let profile: Vec<u8> = (0..600_u32).map(|i| (i * i % 251) as u8).collect();
    for stated in [None, Some(profile.as_slice())] {
        let style = PngStyle {
            profile: stated,
            ..PngStyle::default()
        };
        let file = png(&plan, &picture, &style).unwrap();
        let reader = ::png::Decoder::new(std::io::Cursor::new(file))
            .read_info()
            .unwrap();
        let info = reader.info();
        assert_eq!(info.icc_profile.as_deref(), stated);
        assert_eq!(info.srgb.is_some(), stated.is_none());
    }
}

#[test]
fn the_photograph_keeps_its_own_pixels() {
    let picture = filled(|x, y| [(x % 251) as u8, (y % 241) as u8, ((x + y) % 239) as u8]);
    let plan = plan(&photo(), &[], &Options::default()).unwrap();
    // 900 pixels on 84 mm are less than 300 to the inch: asked for exactly, nothing is resampled.
    let style = PngStyle {
        pixels_per_mm: Some(1.0 / plan.mm_per_pixel),
        ..PngStyle::default()
    };
    let found = Decoded::of(&png(&plan, &picture, &style).unwrap());
    let [x0, y0] =
        [plan.photo.left, plan.photo.top].map(|v| (v / plan.mm_per_pixel).round() as u32);
    for (x, y) in [(10, 10), (450, 350), (880, 20), (333, 690)] {
        let at = (y * 900 + x) as usize * 3;
        assert_eq!(found.pixel(x0 + x, y0 + y), picture.rgb[at..at + 3]);
    }
}

/// Source: WCAG 2.2, 1.4.11 Non-text Contrast: 3:1 against adjacent colours.
#[test]
fn leaders_stand_against_their_halo_on_any_picture() {
    let regions = [region("cell", [600.0, 300.0, 0.0, 0.0])];
    let options = Options {
        sides: Margins {
            left: true,
            top: false,
            right: false,
            bottom: false,
        },
        column_mm: 34.0,
        ..Options::default()
    };
    let plan = plan(&photo(), &regions, &options).unwrap();
    let mut noise = 1u32;
    let pictures = [
        filled(|_, _| [0; 3]),
        filled(|_, _| [255; 3]),
        filled(|_, _| [119; 3]),
        filled(|_, _| [200, 30, 30]),
        filled(|_, _| {
            [0; 3].map(|_: u8| {
                noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                (noise >> 24) as u8
            })
        }),
    ];
    for surroundings in [Surroundings::Light, Surroundings::Dark] {
        for picture in &pictures {
            let style = PngStyle {
                surroundings,
                pixels_per_mm: Some(16.0),
                profile: None,
            };
            let found = Decoded::of(&png(&plan, picture, &style).unwrap());
            let [from, to, _] = plan.callouts[0].leader;
            let away = plan.sizes.line / 2.0 + plan.sizes.halo / 2.0;
            for share in [0.2, 0.4, 0.6, 0.8] {
                let [x, y] = [0, 1].map(|i| from[i] + share * (to[i] - from[i]));
                let line = found.at([x, y]);
                for beside in [[x, y - away], [x, y + away]] {
                    let ratio = contrast(line, found.at(beside));
                    assert!(ratio >= 3.0, "{surroundings:?}: {ratio:.2}");
                }
            }
            // Text, 1.4.3: the darkest and the lightest pixel inside the ring.
            let ring = plan.callouts[0].ring;
            let r = plan.sizes.radius * 0.7;
            let inside: Vec<[u8; 3]> = (0..400)
                .map(|i| {
                    let (u, v) = (
                        f64::from(i % 20) / 10.0 - 1.0,
                        f64::from(i / 20) / 10.0 - 1.0,
                    );
                    found.at([ring[0] + u * r, ring[1] + v * r])
                })
                .collect();
            let best = inside
                .iter()
                .flat_map(|a| inside.iter().map(|b| contrast(*a, *b)))
                .fold(0.0, f64::max);
            assert!(best >= 4.5, "{surroundings:?}: {best:.2}");
        }
    }
}

#[test]
fn equal_input_gives_equal_pixels() {
    let picture = filled(|x, y| [(x / 4) as u8, (y / 3) as u8, 70]);
    let draw = || {
        let plan = plan(&photo(), &three(), &Options::default()).unwrap();
        let style = PngStyle {
            pixels_per_mm: Some(4.0),
            ..PngStyle::default()
        };
        png(&plan, &picture, &style).unwrap()
    };
    assert_eq!(draw(), draw());
}

#[test]
fn text_from_outside_cannot_leave_its_place() {
    let mut regions = three();
    regions[0].caption = "a </text><script>alert(1)</script> & \"b\"\u{0}\u{1b}".to_owned();
    regions[0].element_id = Some("photo\"><x y=\"".to_owned());
    let plan = plan(&photo(), &regions, &Options::default()).unwrap();
    let style = SvgStyle {
        alternative: "Board <of> the \"lamp\"",
        follows_reader: true,
        ground: true,
        ..SvgStyle::default()
    };
    let source = Source::Address("x\"/><image href=\"http://invalid.example/");
    let drawing = svg(&plan, &source, &style);
    let tree = roxmltree::Document::parse(&drawing).unwrap();
    let of_name = |name: &str| {
        tree.descendants()
            .filter(|n| n.has_tag_name(("http://www.w3.org/2000/svg", name)))
            .count()
    };
    assert_eq!(of_name("script"), 0);
    assert_eq!(of_name("image"), 1);
    assert_eq!(
        tree.root_element().attribute("aria-label"),
        Some("Board <of> the \"lamp\"")
    );
}

#[test]
fn a_figure_lists_its_captions_by_number_and_carries_the_callers_ids() {
    let mut regions = three();
    regions[1].element_id = Some("photo-lid-cell".to_owned());
    let options = Options {
        legend: false,
        ..Options::default()
    };
    let source = Source::Embedded {
        media_type: "image/jpeg",
        bytes: b"foobar",
    };
    let found = figure(&photo(), &source, &regions, &options, &SvgStyle::default()).unwrap();
    let numbers: Vec<u32> = found.entries.iter().map(|e| e.number).collect();
    assert_eq!(numbers, [1, 2, 3]);
    assert!(found.svg.contains("data:image/jpeg;base64,Zm9vYmFy"));
    assert_eq!(found.width_mm, 85.0);
    let tree = roxmltree::Document::parse(&found.svg).unwrap();
    let outline = tree
        .descendants()
        .find(|n| n.attribute("id") == Some("photo-lid-cell"))
        .unwrap();
    assert_eq!(outline.attribute("class"), Some("region"));
    let titles = tree
        .descendants()
        .filter(|n| n.tag_name().name() == "title");
    let said: Vec<&str> = titles.filter_map(|n| n.text()).collect();
    let listed: Vec<&str> = found.entries.iter().map(|e| e.caption.as_str()).collect();
    assert_eq!(said, listed);
}

#[track_caller]
fn refused(photo: Photo, regions: &[Region], options: &Options) -> PlanError {
    plan(&photo, regions, options)
        .map(|_: Plan| ())
        .unwrap_err()
}

#[test]
fn unusable_input_is_refused_with_its_reason() {
    let usual = Options::default();
    let none = Photo {
        width: 0,
        ..photo()
    };
    assert_eq!(refused(none, &[], &usual), PlanError::EmptyPhoto);
    for rect in [
        [901.0, 0.0, 5.0, 5.0],
        [-9.0, 0.0, 5.0, 5.0],
        [0.0, 0.0, -1.0, 5.0],
        [0.0, f64::NAN, 5.0, 5.0],
        [0.0, 0.0, f64::INFINITY, 5.0],
    ] {
        let id = "far".to_owned();
        let found = refused(photo(), &[region("far", rect)], &usual);
        assert_eq!(found, PlanError::Region { id });
    }
    for number_pt in [6.9, 0.0, f64::NAN, f64::INFINITY] {
        let options = Options {
            number_pt,
            ..usual.clone()
        };
        let found = refused(photo(), &[], &options);
        assert!(matches!(found, PlanError::Numbers { .. }), "{found}");
    }
    for column_mm in [0.0, 5.0, -1.0, f64::NAN] {
        let options = Options {
            column_mm,
            ..usual.clone()
        };
        let found = refused(photo(), &three(), &options);
        assert!(matches!(found, PlanError::Column { .. }), "{found}");
    }
    for scale in [0.0, -3.0, f64::NAN, 1e300, 1e-300] {
        let photo = Photo {
            pixels_per_mm: Some(scale),
            ..photo()
        };
        let found = refused(photo, &three(), &usual);
        assert!(matches!(found, PlanError::Scale { .. }), "{found}");
    }
    let nowhere = Margins {
        top: false,
        left: false,
        right: false,
        bottom: false,
    };
    let options = Options {
        sides: nowhere,
        ..usual
    };
    assert_eq!(refused(photo(), &[], &options), PlanError::NoMargin);
}

#[test]
fn more_numbers_than_fit_are_refused_with_the_number_that_fits() {
    let many: Vec<Region> = (0..120)
        .map(|i| {
            region(
                &i.to_string(),
                [f64::from(i) * 7.0, f64::from(i) * 5.0, 20.0, 20.0],
            )
        })
        .collect();
    let PlanError::TooMany { callouts, fit } = refused(photo(), &many, &Options::default()) else {
        panic!("not refused for their number");
    };
    assert_eq!(callouts, 120);
    assert!((60..120).contains(&fit), "{fit}");
    assert!(plan(&photo(), &many[..fit], &Options::default()).is_ok());
}

#[test]
fn pixels_of_another_photograph_are_refused() {
    let plan = plan(&photo(), &three(), &Options::default()).unwrap();
    let mut picture = filled(|_, _| [0; 3]);
    picture.rgb.pop();
    let found = png(&plan, &picture, &PngStyle::default()).unwrap_err();
    assert!(matches!(found, PngError::Pixels { .. }), "{found}");
    let style = PngStyle {
        pixels_per_mm: Some(1e6),
        ..PngStyle::default()
    };
    let found = png(&plan, &filled(|_, _| [0; 3]), &style).unwrap_err();
    assert!(matches!(found, PngError::Size { .. }), "{found}");
}
