//! Photographs under the hand: taken in, cut up, searched, measured; parts read and taken. The board is the one of
//! the demonstration, whose geometry is known from its scene.

#![allow(clippy::unwrap_used, reason = "a test")]

use app::desk::{Desk, View};
use app::plates::{
    Arrived, Body, Boxed, Budget, Picture, Plate, Plates, RoleTaking, Snap, SnappedBox, Taking,
    role, take,
};
use app::read::{Asked, Choices, Sort, choices};
use app::{Kind, plates};
use bytes::Bytes;
use imaging::pixels::{Encoding, Limits, decode, encode, levels};
use jiff::Timestamp;
use library::{DossierId, EditList, Library, ListState, Person, Submission, Taken};
use record::{Certainty, Edit, Place};
use std::sync::Arc;
use store::cache::Cache;
use tempfile::TempDir;

const BOARD: &[u8] = include_bytes!("../../../demo/lamp/photos/lamp-main.jpg");
const PARTS: &[u8] = include_bytes!("../../../demo/lamp/catalogue/known-parts.csv");

/// The board alone: outline and scale are recorded, no part is.
const TEXT: &str = r#"format = 1

[product]
name = "Nivalet 3"
maker = "Ondrelkamp"
opened = 2026-10-05

[[photos]]
id = "lamp-main"
file = "lamp-main.jpg"
caption = "Main board of the lamp, upper side"
camera = { tilt = "1°" }
scale = { from = [176.0, 770.0], to = [1056.0, 770.0], length = "40 mm" }
regions = [
  { id = "board", rect = [220, 110, 792, 572], item = "board" },
]

[[items]]
id = "lamp"
name = "Lamp"
kind = "product"

[[items]]
id = "board"
name = "Main board"
kind = "board"
parent = "lamp"
"#;

struct Stand {
    _folder: TempDir,
    library: Library,
    desk: Desk,
    plates: Plates,
    id: DossierId,
    seq: u64,
}

fn at() -> Timestamp {
    "2026-10-05T10:00:00Z".parse().unwrap()
}

impl Stand {
    async fn with(text: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let library = Library::in_memory();
        let files = vec![
            (
                "photos/lamp-main.jpg".to_string(),
                Bytes::from_static(BOARD),
            ),
            ("catalogue/parts.csv".to_string(), Bytes::from_static(PARTS)),
        ];
        let by = Person::from("A");
        let id = library.create(text, files, &by, at()).await.unwrap();
        let cache = Cache::at(folder.path().to_path_buf());
        Self {
            plates: Plates::at(library.clone(), cache, Budget::default()),
            desk: Desk::at(library.clone(), Vec::new()),
            _folder: folder,
            library,
            id,
            seq: 0,
        }
    }

    async fn view(&self) -> Arc<View> {
        self.desk.view(&self.id).await.unwrap()
    }

    /// Takes edits as one list; returns the revision that they make.
    async fn write(&mut self, edits: Vec<Edit>) -> u64 {
        self.seq += 1;
        let list = EditList {
            seq: self.seq,
            group: None,
            edits,
            undo: None,
        };
        self.list(list).await
    }

    async fn undo(&mut self, revision: u64) -> u64 {
        self.seq += 1;
        let list = EditList {
            seq: self.seq,
            group: None,
            edits: Vec::new(),
            undo: Some(revision),
        };
        self.list(list).await
    }

    async fn list(&mut self, list: EditList) -> u64 {
        let submission = Submission {
            client: "window-1".parse().unwrap(),
            lists: vec![list],
        };
        let by = Person::from("A");
        let edited = self.desk.take(&self.id, &submission, &by, at()).await;
        match edited.unwrap().taken {
            Taken::Lists(answer) => match answer.lists[0].state.clone() {
                ListState::Kept { revision } => revision,
                refused => panic!("{refused:?}"),
            },
            gap => panic!("{gap:?}"),
        }
    }

    async fn boxed(&self, rect: [f64; 4], within: f64) -> SnappedBox {
        let [x, y, w, h] = rect;
        let corners = [[x, y], [x + w, y], [x + w, y + h], [x, y + h]];
        let view = self.view().await;
        let snap = Snap::new(corners, within);
        let found = self.plates.snap(&view, "lamp-main", &snap).await;
        found.unwrap()
    }
}

fn taking(boxed: &SnappedBox, choices: &Choices, row: usize, marking: &str) -> Taking {
    let chosen = &choices.rows[row];
    Taking {
        photo: "lamp-main".to_string(),
        boxed: Boxed {
            corners: boxed.corners,
            at: boxed.at.clone(),
            snapped: boxed.snapped.clone(),
            told: boxed.told.clone(),
        },
        marking: marking.to_string(),
        identity: chosen.identity.clone(),
        package: chosen.package.clone(),
        pins: chosen.pins,
        designator: None,
        item: None,
    }
}

fn asked(text: &str, boxed: &SnappedBox) -> Asked {
    Asked {
        text: text.to_string(),
        body_mm: boxed.size_mm,
        board: Some("board".to_string()),
        ..Asked::default()
    }
}

fn said(view: &View, asked: &Asked) -> Choices {
    choices(view, asked, &mut marking::Scratch::default())
}

/// U6 as its scene draws it: 3.00 mm × 3.00 mm, 66 px at 22 px/mm.
const U6: [f64; 4] = [748.0, 374.0, 66.0, 66.0];
const U5: [f64; 4] = [748.0, 220.0, 55.0, 66.0];

#[tokio::test]
async fn tiles_are_those_of_the_upright_picture_and_are_kept() {
    let stand = Stand::with(TEXT).await;
    let view = stand.view().await;
    let plate = Plate::of(&view, "lamp-main").unwrap();
    let pixels = plate.pixels.unwrap();
    let sizes = stand.plates.levels(plate.sha256, pixels).await.unwrap();
    assert_eq!(sizes, levels(pixels[0], pixels[1], plates::TILE));
    let whole = decode(BOARD, &Limits::default()).unwrap().picture;
    for (number, level) in sizes.iter().enumerate() {
        let (column, row) = (level.columns - 1, level.rows - 1);
        let level_number = number as u8;
        let what = Picture::Tile {
            level: level_number,
            column,
            row,
        };
        let jpeg = stand
            .plates
            .jpeg(plate.sha256, what)
            .await
            .unwrap()
            .unwrap();
        let tile = decode(&jpeg, &Limits::default()).unwrap().picture;
        let left = |n: u32, side: u32| side - n * plates::TILE;
        assert_eq!(tile.width, left(column, level.width));
        assert_eq!(tile.height, left(row, level.height));
        if number == 0 {
            // The middle of the last tile is what the photograph shows there.
            let (x, y) = (tile.width / 2, tile.height / 2);
            let at = |p: &imaging::Picture, x: u32, y: u32| p.rgb[3 * (y * p.width + x) as usize];
            let (tx, ty) = (x + column * plates::TILE, y + row * plates::TILE);
            assert!(at(&tile, x, y).abs_diff(at(&whole, tx, ty)) < 16);
        }
    }
    for (level, column, row) in [(9, 0, 0), (0, 99, 0), (0, 0, 99)] {
        let what = Picture::Tile { level, column, row };
        assert_eq!(stand.plates.jpeg(plate.sha256, what).await.unwrap(), None);
    }
    // Others that sit down at the same folder find the tiles there; these have no photographs at all.
    let cache = Cache::at(stand._folder.path().to_path_buf());
    let others = Plates::at(Library::in_memory(), cache, Budget::default());
    let first = Picture::Tile {
        level: 0,
        column: 0,
        row: 0,
    };
    assert!(others.jpeg(plate.sha256, first).await.unwrap().is_some());
    for digest in ["", "..", &"g".repeat(64), &"é".repeat(32)] {
        assert_eq!(others.jpeg(digest, first).await.unwrap(), None);
    }
    assert!(others.jpeg(&"0".repeat(64), first).await.is_err());
}

#[tokio::test]
async fn a_photograph_arrives_once_and_says_what_its_notes_say() {
    let mut stand = Stand::with(TEXT).await;
    let view = stand.view().await;
    let same = stand
        .plates
        .bring(&view, "again.jpg", Bytes::from_static(BOARD));
    let Arrived::Here { photo, .. } = same.await.unwrap() else {
        panic!("it is recorded already");
    };
    assert_eq!(photo, "lamp-main");
    let (picture, name) = (noise(40, 30, 7), "../Über den/ <b>IMG 1.jpg");
    let bytes = encode(&picture, Encoding::Jpeg(90), None, None).unwrap();
    let arrived = stand.plates.bring(&view, name, bytes.clone().into());
    let Arrived::New { photo, edits, .. } = arrived.await.unwrap() else {
        panic!("it is new");
    };
    assert_eq!(photo, "b-img-1");
    // Until its entry is written, the same bytes are offered again under the file that is kept.
    let again = stand.plates.bring(&view, "other.jpg", bytes.clone().into());
    assert!(matches!(again.await.unwrap(), Arrived::New { photo, .. } if photo == "b-img-1"));
    assert_eq!(stand.library.files(&stand.id).await.unwrap().len(), 3);
    stand.write(edits).await;
    let view = stand.view().await;
    let recorded = view.dossier.photo(&photo).unwrap();
    assert_eq!(recorded.file, "b-IMG-1.jpg");
    assert_eq!(recorded.caption, "<b>IMG 1");
    assert_eq!(recorded.pixels, Some([40, 30]));
    let here = stand
        .plates
        .bring(&view, "x.jpg", bytes.into())
        .await
        .unwrap();
    assert!(matches!(here, Arrived::Here { photo, .. } if photo == "b-img-1"));
    // Another photograph of that name gets one of its own.
    let other = encode(&noise(40, 30, 8), Encoding::Jpeg(90), None, None).unwrap();
    let other = stand.plates.bring(&view, name, other.into()).await.unwrap();
    assert!(matches!(other, Arrived::New { photo, .. } if photo == "b-img-1-2"));
}

#[tokio::test]
async fn a_broken_picture_is_named_and_nothing_of_it_is_kept() {
    let stand = Stand::with(TEXT).await;
    let view = stand.view().await;
    let huge = {
        // A header that states 60,000 × 60,000 pixels, and nothing else.
        let mut png = encode(&noise(2, 2, 1), Encoding::Png, None, None).unwrap();
        png[16..20].copy_from_slice(&60_000u32.to_be_bytes());
        png[20..24].copy_from_slice(&60_000u32.to_be_bytes());
        png
    };
    for bytes in [&BOARD[..2_000], b"GIF89a", b"", &huge[..]] {
        let broken = Bytes::copy_from_slice(bytes);
        let problem = stand.plates.bring(&view, "mud.jpg", broken).await;
        let problem = problem.unwrap_err();
        assert_eq!(problem.kind, Kind::Refused, "{problem}");
        assert!(problem.message.contains("mud.jpg"), "{problem}");
    }
    assert_eq!(stand.library.files(&stand.id).await.unwrap().len(), 2);
}

#[tokio::test]
async fn bodies_stand_in_reading_order_on_the_board() {
    let stand = Stand::with(TEXT).await;
    let view = stand.view().await;
    let found = stand.plates.bodies(&view, "lamp-main").await.unwrap();
    assert_eq!(found.board.as_deref(), Some("board"));
    assert!((found.px_per_mm.unwrap() - 22.0).abs() < 0.1);
    // Of the fifteen parts that the scene draws, by the middles of their regions in the demonstration.
    let drawn = [
        [594.0, 374.0],
        [341.0, 231.0],
        [325.0, 347.0],
        [340.0, 457.0],
        [472.0, 215.0],
        [775.0, 253.0],
        [781.0, 407.0],
        [451.0, 561.0],
        [336.0, 567.0],
        [572.0, 561.0],
        [710.0, 334.0],
        [838.0, 154.0],
        [902.0, 409.0],
        [704.0, 578.0],
        [849.0, 594.0],
    ];
    let holds = |b: &Body, [x, y]: [f64; 2]| {
        let [mx, my] = b.middle();
        (mx - x).hypot(my - y) < 15.0
    };
    let seen = drawn
        .iter()
        .filter(|at| found.bodies.iter().any(|b| holds(b, **at)));
    assert!(seen.count() >= 12, "{:#?}", found.bodies);
    for body in &found.bodies {
        let [x, y] = body.middle();
        assert!((220.0..=1012.0).contains(&x) && (110.0..=682.0).contains(&y));
        let [long, short] = body.size_mm.unwrap();
        assert!(long <= 25.0 && short >= 0.9 && long <= 5.0 * short);
        assert_eq!(body.small, short < 1.2);
    }
    // U2 stands in one row before U5, U1 after both.
    let at = |at: [f64; 2]| found.bodies.iter().position(|b| holds(b, at));
    let order = [[341.0, 231.0], [775.0, 253.0], [594.0, 374.0]].map(at);
    let middles: Vec<[f64; 2]> = found.bodies.iter().map(Body::middle).collect();
    assert!(
        order.iter().all(Option::is_some) && order.is_sorted(),
        "{order:?} {middles:.0?}"
    );
}

#[tokio::test]
async fn a_box_moves_to_the_drawn_edges_and_tells_how_far() {
    let stand = Stand::with(TEXT).await;
    // L1: 4.00 mm × 4.00 mm at (528, 517), marked a little beside.
    let boxed = stand.boxed([526.0, 515.5, 91.0, 90.0], 2.0).await;
    let [long, short] = boxed.size_mm.unwrap();
    // How high it stands is not stated, which leaves two tenths open.
    assert!(
        (long - 4.0).abs() < 0.2 && (short - 4.0).abs() < 0.2,
        "{boxed:#?}"
    );
    assert_eq!((boxed.at.len(), boxed.snapped.len()), (12, 12));
    assert!(boxed.told.starts_with("sides moved "), "{}", boxed.told);
    assert!(boxed.size.contains(" mm ± "), "{}", boxed.size);
    let names: Vec<&str> = boxed.sides.iter().map(|s| s.name).collect();
    assert_eq!(names, ["above", "right", "below", "left"]);
    // Where nothing is drawn the box stays, and says why.
    let plain = stand.boxed([930.0, 480.0, 40.0, 40.0], 2.0).await;
    assert!(plain.at.is_empty() && plain.sides.iter().all(|side| side.open.is_some()));
    assert_eq!(plain.corners[0], [930.0, 480.0]);
    assert!(plain.told.contains("no clear edge"), "{}", plain.told);
}

#[tokio::test]
async fn what_grows_at_a_place_holds_it_and_a_bare_place_gets_a_square() {
    let stand = Stand::with(TEXT).await;
    let view = stand.view().await;
    let at = [781.0, 407.0];
    let grown = stand.plates.grow(&view, "lamp-main", at).await.unwrap();
    assert!((1..=5).contains(&grown.len()));
    let [mx, my] = grown[0].middle();
    assert!((mx - at[0]).hypot(my - at[1]) < 12.0, "{grown:#?}");
    let outside = stand.plates.grow(&view, "lamp-main", [-1.0, 5.0]).await;
    assert_eq!(outside.unwrap_err().kind, Kind::Refused);
    let missing = stand.plates.grow(&view, "none", at).await;
    assert_eq!(missing.unwrap_err().kind, Kind::Missing);
}

#[tokio::test]
async fn a_sharp_marking_is_read_and_a_worn_one_stays_open() {
    let stand = Stand::with(TEXT).await;
    let view = stand.view().await;
    let u6 = stand.boxed(U6, 2.0).await;
    let sharp = said(&view, &asked("OXT7", &u6));
    let first = &sharp.rows[0];
    assert_eq!((first.sort, first.name.as_str()), (Sort::Part, "OXT7"));
    assert_eq!(first.word, Some("read"));
    let identity = first.identity.as_ref().unwrap();
    assert_eq!(identity.certainty, Certainty::Read);
    assert_eq!(first.role.as_deref(), Some("touch controller"));
    assert!(first.letters.iter().all(|(_, other)| !other));

    let u5 = stand.boxed(U5, 2.0).await;
    let worn = said(&view, &asked("TH31?|[8B]24", &u5));
    let names: Vec<&str> = worn.rows.iter().map(|r| r.name.as_str()).take(3).collect();
    assert_eq!(names, ["As seen, identity open", "TH310", "TH31B"]);
    assert_eq!(worn.marked, 0);
    assert_eq!(
        (worn.rows[1].word, worn.rows[2].word),
        (Some("even"), Some("even"))
    );
    assert_eq!(worn.rows[1].letters[4], ('0', true));
    assert_eq!(
        worn.rows[1].identity.as_ref().unwrap().certainty,
        Certainty::Inferred
    );
    assert!(worn.rows[1].identity.as_ref().unwrap().because.is_some());
    let decides = worn.decides.unwrap();
    assert!(
        decides.starts_with("Character 5") && decides.contains("decides: 0 or B"),
        "{decides}"
    );

    let foreign = said(&view, &asked("WXYZ9876Q", &u5));
    assert_eq!(foreign.rows[0].sort, Sort::Unknown);
    assert_eq!(foreign.rows[0].name, "None of the 50 known parts");
    assert!(foreign.rows[0].identity.is_none());
    let unreadable = said(&view, &asked("TH31[8", &u5));
    assert!(unreadable.rows.is_empty() && unreadable.fault.is_some());
    assert_eq!(said(&view, &asked("  ", &u5)), Choices::default());
}

#[tokio::test]
async fn taking_writes_what_the_record_reads_and_the_findings_know() {
    let mut stand = Stand::with(TEXT).await;
    let view = stand.view().await;
    let before = view.text.clone();
    let u6 = stand.boxed(U6, 2.0).await;
    let rows = said(&view, &asked("OXT7", &u6));
    let taken = take(&view, &taking(&u6, &rows, 0, "OXT7|26W")).unwrap();
    assert_eq!(
        (taken.item.as_str(), taken.region.as_str()),
        ("oxt7", "oxt7")
    );
    let first = stand.write(taken.edits).await;
    let view = stand.view().await;
    let item = view.dossier.item("oxt7").unwrap();
    assert_eq!(item.parent.as_deref(), Some("board"));
    let part = item.part.as_ref().unwrap();
    assert_eq!(part.marking, ["OXT7", "26W"]);
    assert_eq!(
        (part.package.as_deref(), part.pins),
        (Some("QFN-16"), Some(16))
    );
    let identity = part.identity.as_ref().unwrap();
    assert_eq!(
        (identity.name.as_str(), identity.certainty),
        ("OXT7", Certainty::Read)
    );
    assert_eq!(identity.evidence.len(), 1);
    let region = &view.dossier.photo("lamp-main").unwrap().regions[1];
    assert_eq!(region.item.as_deref(), Some("oxt7"));
    // The findings know the size that the measure gives, and the identity.
    let case = methods::Case::new(&view.dossier, &view.known);
    let sides = methods::assessment::body_mm(&case, item).unwrap();
    for ((mm, u), shown) in sides.iter().zip(u6.size_mm.unwrap()) {
        assert!((mm - 3.0).abs() < 2.0 * u && *u < 0.15, "{sides:?}");
        // What was shown before is what is recorded.
        assert!((mm - shown).abs() < 1e-9, "{sides:?}, {:?}", u6.size_mm);
    }
    assert!(case.assessments().probability(item).unwrap() > 0.9);
    // It is found on the plate as a body with a part.
    let bodies = stand.plates.bodies(&view, "lamp-main").await.unwrap();
    let own = bodies
        .bodies
        .iter()
        .filter(|b| b.item.as_deref() == Some("oxt7"));
    assert_eq!(own.count(), 1);

    let edits = role(&RoleTaking {
        item: "oxt7".to_string(),
        role: "touch controller".to_string(),
        from_catalogue: true,
        designator: Some("U6".to_string()),
        count: None,
        named: true,
    });
    let second = stand.write(edits).await;
    let view = stand.view().await;
    let item = view.dossier.item("oxt7").unwrap();
    assert_eq!(item.name, "Touch controller U6");
    assert_eq!(item.role_origin, Some(record::RoleOrigin::Catalogue));
    stand.undo(second).await;
    stand.undo(first).await;
    assert_eq!(stand.view().await.text, before);
}

#[tokio::test]
async fn an_equal_marking_takes_over_what_was_decided_for_the_other() {
    let mut stand = Stand::with(TEXT).await;
    let view = stand.view().await;
    let u5 = stand.boxed(U5, 2.0).await;
    let rows = said(&view, &asked("TH31?", &u5));
    let th310 = rows.rows.iter().position(|r| r.name == "TH310").unwrap();
    let one = Taking {
        designator: Some("U5".to_string()),
        ..taking(&u5, &rows, th310, "TH31?")
    };
    let one = take(&view, &one).unwrap();
    assert_eq!((one.item.as_str(), one.region.as_str()), ("board-u5", "u5"));
    stand.write(one.edits).await;
    let view = stand.view().await;
    let u6 = stand.boxed(U6, 2.0).await;
    let rows = said(&view, &asked("TH31?", &u6));
    let first = &rows.rows[0];
    assert_eq!(first.sort, Sort::AsOn);
    assert_eq!(first.name, "as on TH310 U5: TH310");
    let identity = first.identity.as_ref().unwrap();
    assert_eq!(identity.because.as_deref(), Some("same marking as U5"));
    assert_eq!(identity.certainty, Certainty::Inferred);
    // Open ones of that marking are told, so that they can be taken with it.
    let open = rows.rows.iter().position(|r| r.sort == Sort::Open).unwrap();
    let two = take(&view, &taking(&u6, &rows, open, "TH31?")).unwrap();
    assert_eq!(two.item, "th31");
    stand.write(two.edits).await;
    let view = stand.view().await;
    let rows = said(&view, &asked("TH31?", &u6));
    assert_eq!(rows.also, ["th31"]);
    // The item itself does not count as another.
    let own = Asked {
        item: Some("board-u5".to_string()),
        ..asked("TH31?", &u5)
    };
    assert!(said(&view, &own).rows.iter().all(|r| r.sort != Sort::AsOn));
    // Read again, only what changed is written.
    let again = Taking {
        item: Some("board-u5".to_string()),
        marking: "TH310".to_string(),
        ..taking(&u5, &said(&view, &asked("TH310", &u5)), 0, "")
    };
    let again = take(&view, &again).unwrap();
    let places: Vec<String> = again.edits.iter().filter_map(place).collect();
    assert_eq!(
        places,
        [
            "items.board-u5.part.marking",
            "items.board-u5.part.identity"
        ]
    );
    stand.write(again.edits).await;
}

fn place(edit: &Edit) -> Option<String> {
    match edit {
        Edit::Set { at, .. } => Some(at.to_string()),
        Edit::Add { to, .. } => Some(to.to_string()),
        _ => None,
    }
}

#[tokio::test]
async fn a_part_without_marking_without_scale_and_without_board_is_taken_too() {
    let text = r#"format = 1

[product]
name = "Nivalet 3"
maker = "Ondrelkamp"
opened = 2026-10-05

[[photos]]
id = "lamp-main"
file = "lamp-main.jpg"
caption = "Main board"

[[items]]
id = "lamp"
name = "Lamp"
kind = "product"
"#;
    let mut stand = Stand::with(text).await;
    let view = stand.view().await;
    let u6 = stand.boxed(U6, 2.0).await;
    assert_eq!(u6.size_mm, None);
    assert!(u6.size.ends_with(" px"), "{}", u6.size);
    let blank = Taking {
        identity: None,
        package: None,
        pins: None,
        ..taking(&u6, &said(&view, &asked("x", &u6)), 0, "")
    };
    let taken = take(&view, &blank).unwrap();
    assert_eq!(
        (taken.item.as_str(), taken.name.as_str()),
        ("part-1", "Part 1")
    );
    stand.write(taken.edits).await;
    let view = stand.view().await;
    assert!(view.dossier.measures.is_empty());
    let item = view.dossier.item("part-1").unwrap();
    assert_eq!(item.parent.as_deref(), Some("lamp"));
    assert_eq!(
        view.dossier.photos[0].regions[0].item.as_deref(),
        Some("part-1")
    );
    assert_eq!(Place::item("part-1").to_string(), "items.part-1");
}

/// Colours at every pixel by a fixed rule (xorshift).
fn noise(width: u32, height: u32, secret: u64) -> imaging::Picture {
    let mut state = secret | 1;
    let mut next = || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state >> 24) as u8
    };
    imaging::Picture {
        width,
        height,
        rgb: (0..width * height * 3).map(|_| next()).collect(),
    }
}
