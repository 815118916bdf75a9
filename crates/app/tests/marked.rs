//! Measures by points on a plate: what a page is offered is what the command records; equal bodies, one thing boxed
//! twice, a part that becomes known. The board is the one of the demonstration, whose geometry is known from its scene.

#![allow(clippy::unwrap_used, reason = "a test")]

use app::desk::{Desk, View};
use app::measure::{By, Counted, MeasureOptions, Measured, measure};
use app::plates::{
    Budget, CountIn, Marked, Marks, Plates, Snap, count_in, join, learn, table, twice,
};
use app::{Kind, Unwatched};
use bytes::Bytes;
use jiff::Timestamp;
use library::{DossierId, EditList, Library, ListState, Person, Submission, Taken};
use record::Edit;
use serde_json::Value;
use std::sync::Arc;
use store::cache::Cache;
use tempfile::TempDir;

const BOARD: &[u8] = include_bytes!("../../../demo/lamp/photos/lamp-main.jpg");

const TEXT: &str = r#"format = 1

[product]
name = "Nivalet 3"
maker = "Ondrelkamp"
opened = 2026-10-05

[[photos]]
id = "board"
file = "board.jpg"
caption = "Board"
camera = { tilt = "1°" }
SCALE
regions = [
  { id = "outline", rect = [220, 110, 792, 572], item = "main" },
  { id = "u6", rect = [748, 374, 66, 66], item = "touch" },
  { id = "again", rect = [750, 376, 66, 66], item = "second" },
]

[[items]]
id = "lamp"
name = "Lamp"
kind = "product"

[[items]]
id = "main"
name = "Main board"
kind = "board"
parent = "lamp"

[[items]]
id = "touch"
name = "Touch controller U6"
kind = "part"
parent = "main"

[[items]]
id = "second"
name = "Square part"
kind = "part"
parent = "main"
role = "touch controller"
evidence = ["photo:board#again"]
part = { marking = ["QZX99"], identity = { name = "QZX99", maker = "Quenmora", certainty = "read" } }

[[links]]
from = "main"
to = "second"
kind = "power"

[[readings]]
id = "r1"
item = "second"
what = "length"
value = "3.0 mm"
"#;

const SCALE: &str = "scale = { from = [176.0, 770.0], to = [1056.0, 770.0], length = \"40 mm\" }";

struct Stand {
    folder: TempDir,
    desk: Desk,
    plates: Plates,
    id: DossierId,
    seq: u64,
}

fn at() -> Timestamp {
    "2026-10-05T10:00:00Z".parse().unwrap()
}

impl Stand {
    /// The same dossier in a library and in a folder.
    async fn with(scale: &str) -> Self {
        let text = TEXT.replace("SCALE", scale);
        let folder = tempfile::tempdir().unwrap();
        std::fs::create_dir_all(folder.path().join("dossier/photos")).unwrap();
        std::fs::write(folder.path().join("dossier/dossier.toml"), &text).unwrap();
        std::fs::write(folder.path().join("dossier/photos/board.jpg"), BOARD).unwrap();
        let library = Library::in_memory();
        let files = vec![("photos/board.jpg".to_string(), Bytes::from_static(BOARD))];
        let by = Person::from("A");
        let id = library.create(&text, files, &by, at()).await.unwrap();
        let cache = Cache::at(folder.path().join("cache"));
        Self {
            plates: Plates::at(library.clone(), cache, Budget::default()),
            desk: Desk::at(library, Vec::new()),
            folder,
            id,
            seq: 0,
        }
    }

    async fn view(&self) -> Arc<View> {
        self.desk.view(&self.id).await.unwrap()
    }

    async fn marked(&self, marks: Marks) -> Marked {
        let view = self.view().await;
        self.plates.marked(&view, "board", marks).await.unwrap()
    }

    /// What the command finds with the same points.
    fn commanded(&self, options: MeasureOptions) -> Value {
        let options = MeasureOptions {
            folder: self.folder.path().join("dossier"),
            photo: Some("board".to_string()),
            snap: true,
            ..options
        };
        match measure(&options, &Unwatched).unwrap() {
            Measured::Sizes { results, .. } => serde_json::to_value(&results[0].measure).unwrap(),
            Measured::Scale(new) => serde_json::to_value(&new.reference).unwrap(),
        }
    }

    async fn write(&mut self, edits: Vec<Edit>) {
        self.seq += 1;
        let list = EditList {
            seq: self.seq,
            group: None,
            edits,
            undo: None,
        };
        let submission = Submission {
            client: "window-1".parse().unwrap(),
            lists: vec![list],
        };
        let by = Person::from("A");
        let edited = self.desk.take(&self.id, &submission, &by, at()).await;
        match edited.unwrap().taken {
            Taken::Lists(answer) => match &answer.lists[0].state {
                ListState::Kept { .. } => {}
                refused => panic!("{refused:?}"),
            },
            gap => panic!("{gap:?}"),
        }
    }
}

fn entry(edits: &[Edit]) -> &Value {
    match edits {
        [Edit::Add { entry, .. }] => entry,
        other => panic!("{other:?}"),
    }
}

fn number(text: &str) -> f64 {
    let word = text.split_whitespace().next().unwrap();
    word.parse().unwrap_or(f64::NAN)
}

const DISTANCE: [[f64; 2]; 2] = [[747.0, 407.0], [815.0, 407.0]];

#[tokio::test]
async fn what_a_plate_offers_is_what_the_command_records() {
    let mut stand = Stand::with(SCALE).await;
    let marks = Marks {
        at: DISTANCE.to_vec(),
        what: Some("length".to_string()),
        item: Some("touch".to_string()),
        within: Some(2.0),
        ..Marks::default()
    };
    let found = stand.marked(marks).await;
    assert_eq!(found.wanted.by, By::Ends);
    // The scene draws 3.00 mm.
    assert!((number(&found.gives[0]) - 3.0).abs() < 0.3, "{found:?}");
    assert!(found.gives[0].contains('±'), "{found:?}");
    let commanded = stand.commanded(MeasureOptions {
        at: Some(DISTANCE.to_vec()),
        what: Some("length".to_string()),
        item: Some("touch".to_string()),
        within: Some(2.0),
        ..MeasureOptions::default()
    });
    assert_eq!(*entry(&found.edits), commanded);
    stand.write(found.edits).await;
    let view = stand.view().await;
    assert_eq!(view.dossier.measures[0].item.as_deref(), Some("touch"));
}

#[tokio::test]
async fn a_ruler_without_its_name_known_gives_the_scale() {
    let mut stand = Stand::with("").await;
    let ends = vec![[170.0, 785.0], [1062.0, 785.0]];
    let few = stand
        .marked(Marks {
            known: Some("ruler every 1 mm".to_string()),
            ..Marks::default()
        })
        .await;
    assert_eq!((few.wanted.least, few.wanted.by), (2, By::Row));
    assert!(few.edits.is_empty() && few.gives.is_empty());
    let found = stand
        .marked(Marks {
            at: ends.clone(),
            known: Some("ruler every 1 mm".to_string()),
            ..Marks::default()
        })
        .await;
    // The scene draws 22 pixels to the millimetre.
    assert!((number(&found.gives[0]) - 22.0).abs() < 0.1, "{found:?}");
    let commanded = stand.commanded(MeasureOptions {
        at: Some(ends),
        row: true,
        every: Some("1 mm".to_string()),
        name: Some("ruler".to_string()),
        count: Counted::Things,
        ..MeasureOptions::default()
    });
    assert_eq!(*entry(&found.edits), commanded);
    stand.write(found.edits).await;
    let view = stand.view().await;
    let found = stand.plates.bodies(&view, "board").await.unwrap();
    assert!((found.px_per_mm.unwrap() - 22.0).abs() < 0.2);
}

#[tokio::test]
async fn a_thing_is_called_by_what_stands_in_front_of_its_size() {
    let stand = Stand::with("").await;
    let [l, t, r, b] = [748.0, 374.0, 814.0, 440.0];
    let found = stand
        .marked(Marks {
            at: vec![[l, t], [r, t], [r, b], [l, b]],
            known: Some("square pad 3 x 3 mm".to_string()),
            within: Some(2.0),
            ..Marks::default()
        })
        .await;
    assert_eq!(entry(&found.edits)["name"], "square pad");
    assert!((number(&found.gives[0]) - 22.0).abs() < 1.0, "{found:?}");
    assert!(found.gives[1].contains("tilts"), "{found:?}");
    let view = stand.view().await;
    let nothing = Marks {
        known: Some("a stone".to_string()),
        ..Marks::default()
    };
    let refused = stand.plates.marked(&view, "board", nothing).await;
    assert!(matches!(refused.unwrap_err().kind, Kind::Unfit(_)));
    let whose = Marks {
        what: Some("diameter".to_string()),
        ..Marks::default()
    };
    let refused = stand.plates.marked(&view, "board", whose).await;
    assert!(refused.unwrap_err().message.contains("size of a part"));
    // Without a scale a distance has no size, and the reason is said.
    let sizeless = stand
        .marked(Marks {
            at: DISTANCE.to_vec(),
            what: Some("distance".to_string()),
            ..Marks::default()
        })
        .await;
    assert!(sizeless.edits.is_empty());
    assert!(sizeless.why.unwrap().contains("known size"));
}

/// The four mounting holes are drawn alike; their middles are from the picture.
#[tokio::test]
async fn bodies_that_look_the_same_are_found_and_counted_in() {
    let mut stand = Stand::with(SCALE).await;
    let view = stand.view().await;
    let found = stand.plates.bodies(&view, "board").await.unwrap();
    let corner = |body: &app::plates::Body| {
        let [x, y] = body.middle();
        !(330.0..=900.0).contains(&x) && !(200.0..=590.0).contains(&y)
    };
    let holes: Vec<_> = found.bodies.iter().filter(|b| corner(b)).collect();
    assert!(holes.len() >= 3, "{}", found.bodies.len());
    let alike = stand.plates.alike(&view, "board", holes[0].corners).await;
    let alike = alike.unwrap();
    assert!(alike.len() >= 2, "{alike:?}");
    assert!(alike.iter().all(|a| corner(&a.body)), "{alike:?}");
    let boxes = alike.iter().map(|a| a.body.corners).collect();
    let asked = CountIn {
        photo: "board".to_string(),
        item: "touch".to_string(),
        boxes,
    };
    stand.write(count_in(&view, &asked).unwrap()).await;
    let view = stand.view().await;
    let touch = view.dossier.item("touch").unwrap();
    assert_eq!(touch.count.number(), Some(1 + alike.len() as u32));
    let rows = table(&view, "board").unwrap();
    let row = rows.iter().find(|row| row.item.id == "touch").unwrap();
    assert_eq!((row.seen, row.called.as_str()), (1 + alike.len(), "U6"));
}

#[tokio::test]
async fn two_items_that_are_one_are_joined_with_all_that_names_them() {
    let mut stand = Stand::with(SCALE).await;
    let view = stand.view().await;
    let pairs = twice(&view, "board").unwrap();
    let ids: Vec<[&str; 2]> = pairs
        .iter()
        .map(|p| p.map(|item| item.id.as_str()))
        .collect();
    assert_eq!(ids, [["touch", "second"]]);
    stand.write(join(&view, "touch", "second").unwrap()).await;
    let view = stand.view().await;
    assert!(view.dossier.item("second").is_none());
    let touch = view.dossier.item("touch").unwrap();
    assert_eq!(touch.role.as_deref(), Some("touch controller"));
    let part = touch.part.as_ref().unwrap();
    assert_eq!(part.marking, ["QZX99"]);
    assert_eq!(part.identity.as_ref().unwrap().name, "QZX99");
    assert_eq!(view.dossier.readings[0].item, "touch");
    assert_eq!(view.dossier.links[0].to, "touch");
    let of = |region: &&record::Region| region.item.as_deref() == Some("touch");
    assert_eq!(view.dossier.photos[0].regions.iter().filter(of).count(), 2);
    assert_eq!(twice(&view, "board").unwrap().len(), 0);
    assert!(join(&view, "touch", "touch").is_err());
}

#[tokio::test]
async fn what_was_read_becomes_known_once() {
    let stand = Stand::with(SCALE).await;
    let view = stand.view().await;
    assert!(view.known.parts().is_empty());
    let rows = table(&view, "board").unwrap();
    assert!(
        rows.iter()
            .any(|row| row.item.id == "second" && row.unlisted)
    );
    let learned = learn(&stand.desk, &view, "second").await.unwrap();
    assert_eq!(learned.file.as_deref(), Some("catalogue/seen-qzx99.csv"));
    let view = stand.view().await;
    let part = view.known.parts().get(0).unwrap();
    assert_eq!(
        (part.name.as_str(), part.maker.as_str()),
        ("QZX99", "Quenmora")
    );
    let again = learn(&stand.desk, &view, "second").await.unwrap();
    assert_eq!(again.file, None);
    assert!(learn(&stand.desk, &view, "touch").await.is_err());
}

/// A rival that would change the size by more than its interval is asked about; taken, its side lies there.
#[tokio::test]
async fn a_rival_that_matters_is_asked_about_and_can_be_taken() {
    let stand = Stand::with(SCALE).await;
    let view = stand.view().await;
    let found = stand.plates.bodies(&view, "board").await.unwrap();
    let mut asked = 0;
    for body in &found.bodies {
        let marked = Snap::new(body.corners, 2.0);
        let snapped = stand.plates.snap(&view, "board", &marked).await.unwrap();
        let Some(ask) = snapped.asks.first() else {
            continue;
        };
        asked += 1;
        let rival = Snap {
            rival: Some(ask.side),
            ..marked
        };
        let taken = stand.plates.snap(&view, "board", &rival).await.unwrap();
        assert!(taken.told.starts_with(&ask.told), "{}", taken.told);
        assert!(taken.asks.iter().all(|other| other.side != ask.side));
        let wanted = snapped.sides[ask.side].rival.as_ref().unwrap().outwards_px;
        let side = |corners: &[[f64; 2]; 4]| {
            let (p, q) = (corners[ask.side], corners[(ask.side + 1) % 4]);
            match ask.side {
                0 => -f64::midpoint(p[1], q[1]),
                1 => f64::midpoint(p[0], q[0]),
                2 => f64::midpoint(p[1], q[1]),
                _ => -f64::midpoint(p[0], q[0]),
            }
        };
        let moved = side(&taken.corners) - side(&snapped.corners);
        assert!(
            (moved - wanted).abs() < 3.0,
            "{moved} of {wanted}: {}",
            ask.told
        );
    }
    println!("{asked} of {} sizes are asked about", found.bodies.len());
    assert!(asked > 0);
}
