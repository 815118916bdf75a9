//! What stands in front of the imagined camera.
//!
//! All lengths are millimetres, x to the right, y downwards, from the top left corner of the
//! picture. Shapes are drawn in the order given, later ones above earlier ones.

use crate::view::{IncludedScene, View};
use serde::{Deserialize, Serialize};

/// One photograph to be drawn.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Scene {
    /// Id; the file is named after it.
    pub id: String,
    /// Caption of the photograph.
    pub caption: String,
    /// Width and height of what is in view, mm.
    pub size: [f32; 2],
    /// Pixels per millimetre.
    pub scale: f32,
    /// Seed of the sensor noise.
    #[serde(default)]
    pub seed: u64,
    /// What everything lies on.
    #[serde(default)]
    pub mat: Mat,
    /// A ruler in view.
    #[serde(default)]
    pub ruler: Option<Ruler>,
    /// Seen through a camera; from straight above without perspective if not given.
    #[serde(default)]
    pub view: Option<View>,
    /// Shapes of other scenes, below those of this one.
    #[serde(default)]
    pub with: Vec<IncludedScene>,
    /// The things in view.
    #[serde(default)]
    pub shapes: Vec<Shape>,
}

/// The surface underneath.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case", default)]
pub struct Mat {
    /// Colour.
    pub colour: Colour,
    /// Distance of the printed grid lines, mm; 0 for a plain surface.
    pub grid: f32,
}

impl Default for Mat {
    fn default() -> Self {
        Self {
            colour: Colour([62, 78, 82]),
            grid: 10.0,
        }
    }
}

/// A straight steel ruler lying level, zero to the left.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Ruler {
    /// Where the zero tick meets the measuring edge (the upper edge), mm.
    pub zero: [f32; 2],
    /// Marked length, whole mm.
    pub length: u32,
}

/// One thing in view.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "shape")]
pub enum Shape {
    /// A solid with a rectangular outline: board, package, connector, shell, card.
    Body(Body),
    /// A round thing: lens, magnet, screw, coil, button.
    Disc(Disc),
    /// Lettering printed or engraved.
    #[serde(rename = "words")]
    Lettering(Lettering),
    /// A wire, a trace, a bead of glue: a stroke along points.
    Bar(Bar),
}

/// What a thing is called in the dossier.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct RegionName {
    /// Id of the region it becomes; none for things nobody points at.
    #[serde(default)]
    pub region: Option<String>,
    /// Item seen there.
    #[serde(default)]
    pub item: Option<String>,
    /// Caption of the region.
    #[serde(default)]
    pub caption: Option<String>,
}

/// A solid with a rectangular outline, seen from above.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Body {
    /// Name.
    #[serde(flatten)]
    pub named: RegionName,
    /// Left and top edge, mm.
    pub at: [f32; 2],
    /// Width and height, mm.
    pub size: [f32; 2],
    /// Radius of the corners, mm.
    #[serde(default)]
    pub corner: f32,
    /// How the surface takes the light.
    #[serde(default)]
    pub look: SurfaceFinish,
    /// Colour.
    pub colour: Colour,
    /// Height above what it lies on, mm; makes the shadow.
    #[serde(default)]
    pub rise: f32,
    /// Height of its outline above the table, mm, for a camera that sees it nearer.
    #[serde(default)]
    pub stands: f32,
    /// Terminals; they stick out of the outline, which stays the size of the body.
    #[serde(default)]
    pub pins: Option<Pins>,
    /// Whether a dot marks the first terminal.
    #[serde(default)]
    pub dot: bool,
    /// Lines of marking, centred.
    #[serde(default)]
    pub lines: Vec<String>,
    /// Height of a capital letter of the marking, mm.
    #[serde(default = "letter_height")]
    pub letter: f32,
    /// Colour of the marking.
    #[serde(default = "engraved")]
    pub ink: Colour,
    /// How much of the marking has worn off, 0 to 1.
    #[serde(default)]
    pub worn: f32,
}

fn letter_height() -> f32 {
    0.5
}

fn engraved() -> Colour {
    Colour([186, 188, 186])
}

/// How a surface looks.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SurfaceFinish {
    /// Matt, a little lighter towards the top left: moulded packages, plastic, card.
    #[default]
    Matt,
    /// A circuit board with a bright edge.
    Board,
    /// Brushed metal.
    Metal,
    /// A round can lying on its side, along the longer direction.
    Can,
    /// A soft pouch with a seam at the left.
    Pouch,
    /// A dark display with glowing figures.
    Display,
}

/// Terminals of a part.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Pins {
    /// Which sides carry them.
    pub sides: TerminalSides,
    /// How many on each of those sides.
    pub each: u32,
    /// Distance from one to the next, mm.
    pub pitch: f32,
    /// How far they stick out, mm.
    #[serde(default)]
    pub out: f32,
}

/// Sides that carry terminals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum TerminalSides {
    /// Left and right.
    LeftRight,
    /// Top and bottom.
    TopBottom,
    /// All four.
    Four,
    /// Metal caps over the left and right ends (chip resistors and capacitors).
    Caps,
    /// Bottom only.
    Bottom,
}

/// A round thing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Disc {
    /// Name.
    #[serde(flatten)]
    pub named: RegionName,
    /// Middle, mm.
    pub middle: [f32; 2],
    /// Outer diameter, mm.
    pub diameter: f32,
    /// Diameter of the opening, mm.
    #[serde(default)]
    pub opening: f32,
    /// Colour.
    pub colour: Colour,
    /// Height, mm; makes the shadow.
    #[serde(default)]
    pub rise: f32,
    /// Height of its outline above the table, mm, for a camera that sees it nearer.
    #[serde(default)]
    pub stands: f32,
    /// Windings to be seen in the ring; 0 for a plain surface.
    #[serde(default)]
    pub turns: u32,
    /// Whether a cross recess is to be seen (a screw).
    #[serde(default)]
    pub cross: bool,
    /// Whether it is brushed or polished metal.
    #[serde(default)]
    pub metal: bool,
}

/// Lettering.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Lettering {
    /// Name.
    #[serde(flatten)]
    pub named: RegionName,
    /// Left end of the first base line, mm.
    pub at: [f32; 2],
    /// Lines, top to bottom.
    pub lines: Vec<String>,
    /// Height of a capital letter, mm.
    pub letter: f32,
    /// Colour.
    pub ink: Colour,
    /// Whether it is bold.
    #[serde(default)]
    pub bold: bool,
}

/// A stroke along points with round ends.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Bar {
    /// Name.
    #[serde(flatten)]
    pub named: RegionName,
    /// Points, mm.
    pub points: Vec<[f32; 2]>,
    /// Width, mm.
    pub width: f32,
    /// Colour.
    pub colour: Colour,
    /// Height, mm; makes the shadow and a highlight along the middle.
    #[serde(default)]
    pub rise: f32,
}

/// A colour, written `#rrggbb`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Colour(pub [u8; 3]);

/// A colour that could not be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("a colour is written #rrggbb with hexadecimal digits, not '{0}'")]
pub struct ColourError(pub String);

impl TryFrom<String> for Colour {
    type Error = ColourError;
    fn try_from(text: String) -> Result<Self, ColourError> {
        let digits = text
            .strip_prefix('#')
            .filter(|d| d.len() == 6 && d.is_ascii());
        let channel = |i: usize| {
            digits
                .and_then(|d| d.get(i..i + 2))
                .and_then(|d| u8::from_str_radix(d, 16).ok())
        };
        match (channel(0), channel(2), channel(4)) {
            (Some(r), Some(g), Some(b)) => Ok(Self([r, g, b])),
            _ => Err(ColourError(text)),
        }
    }
}

impl From<Colour> for String {
    fn from(c: Colour) -> Self {
        let [r, g, b] = c.0;
        format!("#{r:02x}{g:02x}{b:02x}")
    }
}

impl Colour {
    /// Returns the channels as 0 to 255 in floating point.
    pub(crate) fn channels(self) -> [f32; 3] {
        self.0.map(f32::from)
    }
}

impl Scene {
    /// Takes the shapes over that it borrows. `other` returns a scene by its id.
    ///
    /// # Errors
    /// The id of a scene that `other` does not have.
    pub fn completed(
        mut self,
        mut other: impl FnMut(&str) -> Option<Scene>,
    ) -> Result<Self, String> {
        let mut below = Vec::new();
        for borrowed in std::mem::take(&mut self.with) {
            let scene = other(&borrowed.scene).ok_or_else(|| borrowed.scene.clone())?;
            below.extend(scene.shapes.iter().map(|shape| borrowed.moved(shape)));
        }
        below.append(&mut self.shapes);
        self.shapes = below;
        Ok(self)
    }

    /// Returns width and height of the picture, pixels.
    pub fn picture(&self) -> [f64; 2] {
        match &self.view {
            Some(view) => view.picture.map(f64::from),
            None => self.size.map(|mm| f64::from(mm * self.scale)),
        }
    }
}

impl Shape {
    pub(crate) fn named_mut(&mut self) -> &mut RegionName {
        match self {
            Self::Body(b) => &mut b.named,
            Self::Disc(d) => &mut d.named,
            Self::Lettering(w) => &mut w.named,
            Self::Bar(b) => &mut b.named,
        }
    }

    /// Returns the name.
    pub fn named(&self) -> &RegionName {
        match self {
            Self::Body(b) => &b.named,
            Self::Disc(d) => &d.named,
            Self::Lettering(w) => &w.named,
            Self::Bar(b) => &b.named,
        }
    }
}
