//! Where a cue stands on the picture, and regions.
//!
//! In: the rest of a timing line, the lines of a `REGION` block. Out: [`Settings`], [`Region`], with the standard's
//! defaults. Not here: writing them (their bytes stay). Source: WebVTT, "parse the WebVTT cue settings" and
//! "collect WebVTT region settings".

use serde::Serialize;

/// Direction of vertical text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Vertical {
    /// `rl`: lines grow to the left.
    GrowingLeft,
    /// `lr`: lines grow to the right.
    GrowingRight,
}

/// Alignment of text, of a line or of a position.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Align {
    /// `start`.
    Start,
    /// `center`.
    Center,
    /// `end`.
    End,
    /// `left`, `line-left`.
    Left,
    /// `right`, `line-right`.
    Right,
}

/// Where a cue's first line stands.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Line {
    /// Chosen by the reader.
    Auto,
    /// A line: 0 is the first from the top, -1 the last.
    Number(f64),
    /// Percent of the height.
    Percent(f64),
}

/// The settings of a cue.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Settings {
    /// None for horizontal text.
    pub vertical: Option<Vertical>,
    /// Where the first line stands.
    pub line: Line,
    /// Which edge of the cue stands there.
    pub line_align: Align,
    /// Percent; none is automatic.
    pub position: Option<f64>,
    /// Which edge stands at the position; none is automatic.
    pub position_align: Option<Align>,
    /// Percent.
    pub size: f64,
    /// Of the text.
    pub align: Align,
    /// The region's name, where the other settings leave the cue in one.
    pub region: Option<String>,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            vertical: None,
            line: Line::Auto,
            line_align: Align::Start,
            position: None,
            position_align: None,
            size: 100.0,
            align: Align::Center,
            region: None,
        }
    }
}

impl Settings {
    /// Reads settings; those that are not understood are passed over, as the standard says.
    pub(crate) fn read(text: &str) -> Self {
        let mut settings = Self::default();
        for word in text.split([' ', '\t', '\u{c}']) {
            if let Some((name, value)) = word.split_once(':') {
                settings.set(name, value);
            }
        }
        let whole = settings.size.total_cmp(&100.0).is_eq();
        if settings.line != Line::Auto || settings.vertical.is_some() || !whole {
            settings.region = None;
        }
        settings
    }

    fn set(&mut self, name: &str, value: &str) -> Option<()> {
        let (number, edge) = match value.split_once(',') {
            Some((number, edge)) => (number, Some(edge)),
            None => (value, None),
        };
        match name {
            "region" => self.region = (!value.is_empty()).then(|| value.to_string()),
            "vertical" => {
                self.vertical = Some(match value {
                    "rl" => Vertical::GrowingLeft,
                    "lr" => Vertical::GrowingRight,
                    _ => return None,
                });
            }
            "line" => {
                let line = match percent(number) {
                    Some(percent) => Line::Percent(percent),
                    None => Line::Number(line_number(number)?),
                };
                let align = match edge {
                    None => self.line_align,
                    Some("start") => Align::Start,
                    Some("center") => Align::Center,
                    Some("end") => Align::End,
                    Some(_) => return None,
                };
                (self.line, self.line_align) = (line, align);
            }
            "position" => {
                let position = percent(number)?;
                let align = match edge {
                    None => self.position_align,
                    Some("line-left") => Some(Align::Left),
                    Some("center") => Some(Align::Center),
                    Some("line-right") => Some(Align::Right),
                    Some(_) => return None,
                };
                (self.position, self.position_align) = (Some(position), align);
            }
            "size" => self.size = percent(value)?,
            "align" => {
                self.align = match value {
                    "start" => Align::Start,
                    "center" => Align::Center,
                    "end" => Align::End,
                    "left" => Align::Left,
                    "right" => Align::Right,
                    _ => return None,
                };
            }
            _ => return None,
        }
        Some(())
    }
}

fn plain(text: &str) -> Option<f64> {
    let allowed = text.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    let framed = text.starts_with(|c: char| c.is_ascii_digit())
        && text.ends_with(|c: char| c.is_ascii_digit());
    (allowed && framed).then(|| text.parse().ok()).flatten()
}

fn percent(text: &str) -> Option<f64> {
    plain(text.strip_suffix('%')?).filter(|p| (0.0..=100.0).contains(p))
}

fn line_number(text: &str) -> Option<f64> {
    match text.strip_prefix('-') {
        Some(text) => plain(text).map(|n| -n),
        None => plain(text),
    }
}

/// A named part of the picture.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Region {
    /// Its name.
    pub id: String,
    /// Percent of the width.
    pub width: f64,
    /// Lines of text.
    pub lines: u32,
    /// The point of the region that is anchored, percent.
    pub region_anchor: (f64, f64),
    /// The point of the picture that it is anchored to, percent.
    pub viewport_anchor: (f64, f64),
    /// Whether lines scroll up.
    pub scrolls: bool,
}

impl Region {
    /// Reads the lines below `REGION`; none without a name.
    pub(crate) fn read(text: &str) -> Option<Self> {
        let mut region = Self {
            id: String::new(),
            width: 100.0,
            lines: 3,
            region_anchor: (0.0, 100.0),
            viewport_anchor: (0.0, 100.0),
            scrolls: false,
        };
        let point = |text: &str| {
            let (x, y) = text.split_once(',')?;
            Some((percent(x)?, percent(y)?))
        };
        for (name, value) in text
            .split_ascii_whitespace()
            .filter_map(|w| w.split_once(':'))
        {
            match name {
                "id" => region.id = value.to_string(),
                "width" => region.width = percent(value).unwrap_or(region.width),
                "lines" => region.lines = value.parse().unwrap_or(region.lines),
                "regionanchor" => {
                    region.region_anchor = point(value).unwrap_or(region.region_anchor)
                }
                "viewportanchor" => {
                    region.viewport_anchor = point(value).unwrap_or(region.viewport_anchor);
                }
                "scroll" => region.scrolls = value == "up",
                _ => {}
            }
        }
        (!region.id.is_empty()).then_some(region)
    }
}
