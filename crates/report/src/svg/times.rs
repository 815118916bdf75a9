//! Times as bars on one axis: how long it charges, how long it runs.
//!
//! In: times in one unit. Out: a drawing and its words. Not here: which times there are.

use super::canvas::{Canvas, Held, InkClass, Stroke, Type, width_of, wrapped};

/// One bar.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TimeBar {
    pub(crate) words: String,
    /// Length of the solid part.
    pub(crate) solid: f64,
    /// Where the uncertain part ends; as `solid` where there is none.
    pub(crate) most: f64,
    /// The value in words.
    pub(crate) shown: String,
    /// What is printed: where on the axis, and the words.
    pub(crate) claims: Vec<(f64, String)>,
}

/// It fits a telephone at its own size: words stand above their bar.
const WIDTH: f64 = 324.0;
const LEFT: f64 = 2.0;
const RIGHT: f64 = 322.0;
const ROW: f64 = 66.0;
/// Base line of the words above a bar, and how far below it the middle of the bar lies.
const WORDS: f64 = 12.0;
const BELOW: f64 = 18.0;

/// Draws the bars in the order given; none for no bars.
pub(crate) fn times(bars: &[TimeBar]) -> Option<(String, String)> {
    let ends = bars
        .iter()
        .flat_map(|bar| bar.claims.iter().map(|(at, _)| *at).chain([bar.most]));
    let greatest = ends.filter(|end| end.is_finite()).fold(0.0, f64::max);
    if bars.is_empty() || greatest <= 0.0 {
        return None;
    }
    let x = |value: f64| LEFT + (RIGHT - LEFT) * (value / greatest).clamp(0.0, 1.0);
    let mut canvas = Canvas::default();
    let mut alternative = String::new();
    let mut y = 0.0;
    for bar in bars {
        let middle = y + WORDS + BELOW;
        let room = WIDTH - width_of(&bar.shown, 12.0, true) - 8.0;
        for part in wrapped(&bar.words, room, 12.0, false, 1) {
            canvas.text(0.0, y + WORDS, Type::of(12.0), &part);
        }
        canvas.rect(
            [LEFT, middle - 6.0, x(bar.solid) - LEFT, 12.0],
            Some(InkClass::Ink),
            None,
        );
        if bar.most > bar.solid {
            canvas.rect(
                [x(bar.solid), middle - 6.0, x(bar.most) - x(bar.solid), 12.0],
                Some(InkClass::Tint),
                Some(Stroke(InkClass::Ink, 0.8, true)),
            );
        }
        canvas.text(
            WIDTH,
            y + WORDS,
            Type::of(12.0).bold().held(Held::End),
            &bar.shown,
        );
        alternative += &format!("{}: {}", bar.words, bar.shown);
        for (at, words) in &bar.claims {
            let at = x(*at);
            canvas.line(
                [at, middle - 10.0, at, middle + 10.0],
                Stroke(InkClass::Quiet, 1.6, false),
            );
            let held = if at > (LEFT + RIGHT) / 2.0 {
                Held::End
            } else {
                Held::Start
            };
            canvas.text(
                at,
                middle + 22.0,
                Type::of(11.0).look(InkClass::Quiet).held(held),
                words,
            );
            alternative += &format!(", printed is {words}");
        }
        alternative += ". ";
        y += ROW;
    }
    let alternative = alternative.trim_end().to_string();
    Some((canvas.finish_small(WIDTH, y, &alternative), alternative))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_drawn_of_nothing() {
        assert!(times(&[]).is_none());
    }

    #[test]
    fn a_bar_and_its_claim_are_told_in_words() {
        let bar = TimeBar {
            words: "high".into(),
            solid: 3.0,
            most: 3.0,
            shown: "3 h".into(),
            claims: vec![(4.0, "“up to 4 h”".into())],
        };
        let (svg, words) = times(&[bar]).unwrap();
        assert_eq!(words, "high: 3 h, printed is “up to 4 h”.");
        // Three quarters of the axis of 320 units.
        assert!(svg.contains("width=\"240\""), "{svg}");
    }
}
