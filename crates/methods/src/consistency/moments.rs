//! Times of day: steps in the order done, readings and photographs on the right side of their steps.

use super::Contradiction;
use crate::assumed::CLOCK_TOLERANCE;
use crate::{Cancelled, Case};
use record::{Moment, Place, Step};

/// Returns the contradictions between times of day.
pub(super) fn found(case: &Case<'_>) -> Result<Vec<Contradiction>, Cancelled> {
    let mut found = Vec::new();
    let mut last: Option<(&Step, Moment)> = None;
    for step in case.dossier.steps.iter().filter(|s| s.done) {
        case.go_on()?;
        found.extend(longer_than_the_clock(step));
        let Some(began) = step.started.or(step.stopped) else {
            continue;
        };
        if let Some((before, earlier)) = last
            && let Some(was) = step.stopped.or(step.started)
            && was.is_before(&earlier)
        {
            found.push(Contradiction {
                rule: "order-of-times",
                about: Place::step(&step.id),
                subject: format!("when “{}” was done", step.text),
                what: format!(
                    "The step “{}” was over at {was}, before “{}”, which stands above it, began at {earlier}",
                    step.text, before.text
                ),
                so: "The order of the steps decides what each had to wait for. Put the steps in the order done, \
                     or correct the times"
                    .to_string(),
                places: vec![Place::step(&before.id)],
                with: None,
            });
        }
        if last.is_none_or(|(_, earlier)| earlier.is_before(&began)) {
            last = Some((step, began));
        }
    }
    for reading in &case.dossier.readings {
        case.go_on()?;
        let name = format!("Reading {} ({})", reading.id, reading.value);
        let (first, last) = (
            reading.started.or(reading.stopped),
            reading.stopped.or(reading.started),
        );
        let sides = Neighbours {
            about: Place::reading(&reading.id),
            name,
            after: reading.after.as_deref(),
            before: reading.before.as_deref(),
        };
        found.extend(sides.wrong(case, first, last));
    }
    for photo in &case.dossier.photos {
        let sides = Neighbours {
            about: Place::photo(&photo.id),
            name: format!("The photograph “{}”", photo.caption),
            after: photo.after.as_deref(),
            before: None,
        };
        found.extend(sides.wrong(case, photo.taken, photo.taken));
    }
    Ok(found)
}

/// A step that took longer than from its start to its stop.
fn longer_than_the_clock(step: &Step) -> Option<Contradiction> {
    let (started, stopped) = (step.started?, step.stopped?);
    let duration = step.duration.as_ref()?;
    let elapsed = (stopped.timestamp().as_second() - started.timestamp().as_second()) as f64;
    // Times of day are noted to the minute, durations to their last digit.
    let rounding = CLOCK_TOLERANCE.si() + 0.5 * duration.last_digit.abs() * duration.unit.factor();
    (duration.low_si() > elapsed + rounding).then(|| Contradiction {
        rule: "longer-than-the-clock",
        about: Place::step(&step.id),
        subject: format!("how long “{}” took", step.text),
        what: format!(
            "The step “{}” took {duration}, but it began at {started} and was over at {stopped}",
            step.text
        ),
        so: "The time to open the product sums the durations. Correct `duration`, `started` or `stopped`"
            .to_string(),
        places: Vec::new(),
        with: None,
    })
}

/// What was taken after one step and before another.
struct Neighbours<'a> {
    about: Place,
    name: String,
    after: Option<&'a str>,
    before: Option<&'a str>,
}

impl Neighbours<'_> {
    fn wrong(
        &self,
        case: &Case<'_>,
        first: Option<Moment>,
        last: Option<Moment>,
    ) -> Option<Contradiction> {
        let step = |id: &str| Some(&case.dossier.steps[case.lookup().step(id)?]);
        let after = self.after.and_then(step).and_then(|s| {
            let over = s.stopped.or(s.started)?;
            last.filter(|t| t.is_before(&over)).map(|t| (s, t, "after"))
        });
        let before = self.before.and_then(step).and_then(|s| {
            let began = s.started.or(s.stopped)?;
            first
                .filter(|t| began.is_before(t))
                .map(|t| (s, t, "before"))
        });
        let (step, taken, side) = after.or(before)?;
        let when = if side == "after" {
            format!("which was over at {}", step.stopped.or(step.started)?)
        } else {
            format!("which began at {}", step.started.or(step.stopped)?)
        };
        Some(Contradiction {
            rule: "wrong-side-of-a-step",
            about: self.about.clone(),
            subject: format!(
                "what came first, “{}” or what was taken {side} it",
                step.text
            ),
            what: format!(
                "{} is recorded {side} the step “{}”, {when}, but was taken at {taken}",
                self.name, step.text
            ),
            so: format!("What was still in place depends on it. Correct `{side}`, or the times"),
            places: vec![Place::step(&step.id)],
            with: Some(side.to_string()),
        })
    }
}
