//! Products whose boards are photographed and nothing more: for the stories of Inside.

use bytes::Bytes;
use library::{Library, Person};

const LAMP: &[u8] = include_bytes!("../../../../demo/lamp/photos/lamp-main.jpg");
const CRADLE: &[u8] = include_bytes!("../../../../demo/lamp/photos/cradle-main.jpg");
const PARTS: &[u8] = include_bytes!("../../../../demo/lamp/catalogue/known-parts.csv");

/// The boards of the demonstration with their outline and scale, and no part of either.
pub(crate) const TEXT: &str = r#"format = 1

[product]
name = "Bare boards"
maker = "Ondrelkamp"
opened = 2026-10-05

[[photos]]
id = "lamp-main"
file = "lamp-main.jpg"
caption = "Main board of the lamp, upper side"
camera = { tilt = "1°" }
scale = { from = [176.0, 770.0], to = [1056.0, 770.0], length = "40 mm" }
regions = [
  { id = "board", rect = [220, 110, 792, 572], item = "lamp-main" },
]

[[photos]]
id = "cradle-main"
file = "cradle-main.jpg"
caption = "Main board of the cradle, upper side"
camera = { tilt = "1°" }
CRADLE-SCALE

[[items]]
id = "lamp"
name = "Lamp"
kind = "product"

[[items]]
id = "lamp-main"
name = "Main board of the lamp"
kind = "board"
parent = "lamp"

[[items]]
id = "cradle-main"
name = "Main board of the cradle"
kind = "board"
parent = "lamp"
"#;

/// The text as it is kept.
pub(crate) fn text() -> String {
    let demo = include_str!("../../../../demo/lamp/dossier.toml");
    let (_, photo) = demo.split_once("id = \"cradle-main\"\nfile").unwrap();
    let (photo, _) = photo.split_once("[[photos]]").unwrap();
    let scale = photo
        .lines()
        .find(|line| line.starts_with("scale"))
        .unwrap();
    let board = photo
        .lines()
        .find(|line| line.contains("item = \"cradle-main\""))
        .unwrap();
    TEXT.replace("CRADLE-SCALE", &format!("{scale}\nregions = [\n{board}\n]"))
}

/// A board without anything of known size, on which one thing was boxed twice.
const UNSCALED: &str = r#"format = 1

[product]
name = "Unscaled board"
maker = "Ondrelkamp"
opened = 2026-10-05

[[photos]]
id = "board"
file = "board.jpg"
caption = "Board without a scale"
camera = { tilt = "1°" }
regions = [
  { id = "outline", rect = [220, 110, 792, 572], item = "board" },
  { id = "u6", rect = [748, 374, 66, 66], item = "touch" },
  { id = "again", rect = [750, 376, 66, 66], item = "second" },
]

[[items]]
id = "product"
name = "Product"
kind = "product"

[[items]]
id = "board"
name = "Board"
kind = "board"
parent = "product"

[[items]]
id = "touch"
name = "Touch controller U6"
kind = "part"
parent = "board"

[[items]]
id = "second"
name = "Square part"
kind = "part"
parent = "board"
role = "touch controller"
part = { marking = ["OXT7", "26W"] }

[[readings]]
id = "r1"
item = "second"
what = "length"
value = "3.0 mm"
"#;

/// Adds the boards to a library.
pub(crate) async fn add(library: &Library, by: &Person) {
    let files = vec![
        ("photos/lamp-main.jpg".to_string(), Bytes::from_static(LAMP)),
        (
            "photos/cradle-main.jpg".to_string(),
            Bytes::from_static(CRADLE),
        ),
        (
            "catalogue/known-parts.csv".to_string(),
            Bytes::from_static(PARTS),
        ),
    ];
    let at = "2026-10-05T10:00:00Z".parse().unwrap();
    library.create(&text(), files, by, at).await.unwrap();
    let files = vec![("photos/board.jpg".to_string(), Bytes::from_static(LAMP))];
    library.create(UNSCALED, files, by, at).await.unwrap();
}
