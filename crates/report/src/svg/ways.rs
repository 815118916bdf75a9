//! Ways to spare parts: one row a part, its steps in order.
//!
//! In: ways. Out: a drawing, and the same in words.

use super::canvas::{Canvas, Held, InkClass, Stroke, Type};
use methods::words::{capital, counted, listed, lower};
use methods::{PartWay, WayStep};
use record::Undo;

const WIDTH: f64 = 620.0;
/// Names end here.
const NAMES: f64 = 168.0;
const LEFT: f64 = 182.0;
const ROW: f64 = 19.0;
const TOP: f64 = 6.0;
const BOX: [f64; 2] = [20.0, 14.0];
/// From one step to the next, at most.
const APART: f64 = 30.0;
/// Characters of a name that have room.
const ROOM: usize = 33;

/// Draws ways and describes them; `None` where there is none.
pub(crate) fn ways(ways: &[PartWay]) -> Option<(String, String)> {
    let most = ways.iter().map(|way| way.steps.len()).max()?;
    #[allow(clippy::cast_precision_loss, reason = "numbers of steps and rows")]
    let (most, rows) = (most.max(1) as f64, ways.len() as f64);
    let apart = APART.min((WIDTH - LEFT - BOX[0]) / most);
    let mut canvas = Canvas::default();
    let hair = Stroke(InkClass::Line, 1.0, false);
    let name = Type::of(10.5).held(Held::End);
    for (row, way) in ways.iter().enumerate() {
        #[allow(clippy::cast_precision_loss, reason = "number of a row")]
        let y = TOP + ROW * row as f64 + ROW / 2.0;
        canvas.text(NAMES, y + 4.0, name, &short(&way.name));
        #[allow(clippy::cast_precision_loss, reason = "number of steps")]
        let end = LEFT + apart * (way.steps.len().saturating_sub(1)) as f64;
        canvas.line([LEFT, y, end, y], hair);
        for (at, step) in way.steps.iter().enumerate() {
            #[allow(clippy::cast_precision_loss, reason = "number of a step")]
            let x = LEFT + apart * at as f64;
            draw(&mut canvas, step, x, y, apart);
        }
    }
    let alternative = in_words(ways);
    // On a phone it is moved under the finger, not made too small to read.
    let svg = canvas.finish_in_size(WIDTH, 2.0 * TOP + ROW * rows, &alternative);
    Some((svg, alternative))
}

fn draw(canvas: &mut Canvas, step: &WayStep, x: f64, y: f64, apart: f64) {
    let [wide, high] = [BOX[0].min(apart - 2.0), BOX[1]];
    let ink = Stroke(InkClass::Ink, 1.0, false);
    let renewed = step.undo == Undo::WithNewMaterial;
    let fill = if renewed {
        InkClass::Tint
    } else {
        InkClass::Paper
    };
    let ends = step.undo == Undo::No || !step.breaks.is_empty();
    let (left, top) = (x - wide / 2.0, y - high / 2.0);
    canvas.rect([left, top, wide, high], Some(fill), Some(ink));
    if ends {
        // The accent is for contradictions alone.
        let strong = Stroke(InkClass::Ink, 1.6, false);
        canvas.rect([left, top, wide, high], None, Some(strong));
        let [from, to] = [left + wide - 3.0, left + wide + 3.0];
        canvas.line([from, top - 3.0, to, top + 3.0], strong);
        canvas.line([from, top + 3.0, to, top - 3.0], strong);
    }
    if step.changes_tool {
        let bar = Stroke(InkClass::Ink, 2.2, false);
        canvas.line([left - 3.0, top - 1.0, left - 3.0, top + high + 1.0], bar);
    }
    let number = Type::of(9.5).held(Held::Middle);
    canvas.text(x, y + 3.5, number, &step.number.to_string());
}

fn short(name: &str) -> String {
    match name.chars().count() > ROOM {
        true => name.chars().take(ROOM - 1).chain(['…']).collect(),
        false => name.to_string(),
    }
}

fn in_words(ways: &[PartWay]) -> String {
    let told = ways.iter().map(|way| {
        let numbers = |of: &dyn Fn(&WayStep) -> bool| -> Vec<String> {
            way.steps
                .iter()
                .filter(|s| of(s))
                .map(|s| s.number.to_string())
                .collect()
        };
        let changes = way.steps.iter().filter(|s| s.changes_tool).count();
        let mut told = format!(
            "{}: steps {}; {}",
            capital(&lower(&way.name)),
            listed(numbers(&|_| true)),
            counted(changes, "change of tool", "changes of tool"),
        );
        for (what, of) in [
            (
                "new material at",
                numbers(&|s| s.undo == Undo::WithNewMaterial),
            ),
            (
                "breaks something at",
                numbers(&|s| s.undo == Undo::No || !s.breaks.is_empty()),
            ),
        ] {
            if !of.is_empty() {
                told += &format!("; {what} {}", listed(of));
            }
        }
        told
    });
    format!("{}.", told.collect::<Vec<_>>().join(". "))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn step(number: usize, undo: Undo, changes_tool: bool) -> WayStep {
        WayStep {
            number,
            step: format!("s{number}"),
            tool: String::new(),
            changes_tool,
            undo,
            breaks: Vec::new(),
            renews: Vec::new(),
        }
    }

    #[test]
    fn a_way_is_told_in_words_too() {
        let steps = vec![
            step(2, Undo::Yes, true),
            step(3, Undo::WithNewMaterial, false),
            step(5, Undo::No, true),
        ];
        let way = PartWay {
            item: "cell".into(),
            name: "Cell".into(),
            steps,
        };
        let (svg, words) = ways(&[way]).expect("one way");
        assert_eq!(
            words,
            "Cell: steps 2, 3 and 5; 2 changes of tool; new material at 3; breaks something at 5."
        );
        for number in [">2<", ">3<", ">5<"] {
            assert!(svg.contains(number), "{number}");
        }
        assert!(ways(&[]).is_none());
    }
}
