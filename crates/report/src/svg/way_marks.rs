//! The steps of a way over the photographs that show them: numbered marks at the regions that the steps name.
//!
//! In: a way, the record. Out: for each photograph its marks, and a drawing in pixels of the photograph that lies over it.
//! Not here: the photographs themselves.

use super::canvas::{Canvas, Held, InkClass, Stroke, Type};
use crate::photo_of_step;
use methods::PartWay;
use record::{Dossier, Photo};

/// A photograph with the steps of a way that it shows.
pub struct WayPhoto<'d> {
    /// The photograph.
    pub photo: &'d Photo,
    /// Numbers of the steps and the region of each: left, top, width, height, pixels; the whole if none.
    pub marks: Vec<(usize, Option<[u32; 4]>)>,
}

/// Returns the photographs of a way in the order of its steps, each once. Steps that no photograph shows are left out.
pub fn way_photos<'d>(dossier: &'d Dossier, way: &PartWay) -> Vec<WayPhoto<'d>> {
    let mut photos: Vec<WayPhoto<'d>> = Vec::new();
    for step in &way.steps {
        let seen = dossier
            .step(&step.step)
            .and_then(|s| photo_of_step(dossier, s));
        let Some((photo, region)) = seen else {
            continue;
        };
        let mark = (step.number, region.map(|r| r.rect));
        match photos.iter_mut().find(|seen| seen.photo.id == photo.id) {
            Some(seen) => seen.marks.push(mark),
            None => photos.push(WayPhoto {
                photo,
                marks: vec![mark],
            }),
        }
    }
    photos
}

/// Draws marks over a photograph of so many pixels.
pub fn way_marks(size: [u32; 2], marks: &[(usize, Option<[u32; 4]>)]) -> String {
    let [width, height] = size.map(f64::from);
    // As on a photograph 480 wide.
    let unit = (width / 480.0).max(height / 480.0).max(0.1);
    let radius = 13.0 * unit;
    let mut canvas = Canvas::default();
    let mut corner = 0.0;
    for (number, rect) in marks {
        let [x, y] = match rect {
            Some(rect) => {
                let [left, top, wide, high] = rect.map(f64::from);
                canvas.rect(
                    [left, top, wide, high],
                    None,
                    Some(Stroke(InkClass::Paper, 4.0 * unit, false)),
                );
                canvas.rect(
                    [left, top, wide, high],
                    None,
                    Some(Stroke(InkClass::Ink, 1.5 * unit, false)),
                );
                [
                    left.clamp(radius, width - radius),
                    top.clamp(radius, height - radius),
                ]
            }
            None => {
                corner += 1.0;
                [radius + (corner - 1.0) * 2.4 * radius, height - radius].map(|at| at.max(radius))
            }
        };
        let rim = Stroke(InkClass::Ink, 1.5 * unit, false);
        canvas.circle([x, y, radius], Some(InkClass::Paper), Some(rim));
        let kind = Type::of(15.0 * unit).bold().held(Held::Middle);
        canvas.text(x, y + 5.4 * unit, kind, &number.to_string());
    }
    let numbers = marks.iter().map(|(number, _)| number.to_string()).collect();
    let alternative = format!("Steps {} marked.", methods::words::listed(numbers));
    canvas.finish(width, height, &alternative)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Marks stay on the photograph, wherever the regions lie.
    #[test]
    fn marks_lie_on_the_photograph() {
        let marks = [
            (3, Some([0, 0, 10, 10])),
            (4, Some([995, 495, 5, 5])),
            (7, None),
        ];
        let svg = way_marks([1000, 500], &marks);
        let centres: Vec<(f64, f64)> = svg
            .lines()
            .filter(|line| line.starts_with("<circle"))
            .map(|line| {
                let of = |key: &str| {
                    let (_, rest) = line.split_once(key).expect("a circle has it");
                    let (number, _) = rest.split_once('"').expect("quoted");
                    number.parse().expect("a number")
                };
                (of("cx=\""), of("cy=\""))
            })
            .collect();
        assert_eq!(centres.len(), 3);
        assert!(
            centres
                .iter()
                .all(|(x, y)| (0.0..=1000.0).contains(x) && (0.0..=500.0).contains(y))
        );
    }
}
