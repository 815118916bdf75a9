//! How much noise does it keep out, and how fast does it answer?
//!
//! In: what was heard in the recordings of a dossier. Out: one finding on noise with its curves and every reading of
//! "dB"; one for each delay. Not here: hearing (`sound`, the crate), claims. See `docs/methods/sound.md`.

mod charts;

use crate::assumed;
use crate::grounds::Grounds;
use crate::heard::{self, HeardDelay, Noise, measured, part_words, words};
use crate::inputs::unit;
use crate::words::{capital, the_start};
use crate::{Answer, Case, Cell, Column, Detail, Finding, Method, Missing, Table};
use ::sound::loss::Estimate;
use ::sound::reading::{How, Part, Reading};
use quantity::{Distribution, Figure, Sheet};
use record::{Place, RecordingKind};

/// Delay between sound and picture that is noticed, in the recommendation's sign: sound early, sound late.
const NOTICED: &str = "ITU-R BT.1359-1 (1998): sound is noticed to be off from 45 ms early or 125 ms late, and \
     accepted from 90 ms early to 185 ms late; found with loudspeakers and tube displays";
const BANDS: &str = "IEC 61260-1:2014, third octaves of class 1; IEC 61672-1:2013, A-weighting";
const KIND: &str =
    "an insertion loss where the microphone was, no attenuation at an ear (ISO 4869-3)";

/// Tells what recordings say of noise and delay.
///
/// # Errors
/// [`crate::Cancelled`] if the case is to be worked on no longer.
pub fn examine(case: &Case<'_>) -> Answer {
    case.go_on()?;
    let mut findings = Vec::new();
    if case.dossier.recordings.is_empty() {
        return Ok(findings);
    }
    let product = case.lookup().product().map(|item| item.id.clone());
    if let Some(noise) = product.as_deref().and_then(|id| Noise::of(case, id)) {
        findings.push(of_noise(&noise));
    }
    for delay in heard::delays(case.dossier) {
        case.go_on()?;
        findings.push(of_delay(case, &delay));
    }
    Ok(findings)
}

fn of_noise(noise: &Noise<'_>) -> Finding {
    let mut finding = Finding::new(
        Method::Sound,
        word!("noise-reduction"),
        "How much noise it takes off",
    );
    let mut grounds = Grounds::default();
    for place in noise.evidence() {
        grounds.evidence(place);
    }
    for why in &noise.unused {
        grounds.unused(why.clone());
    }
    let readings = noise.readings();
    if readings.is_empty() {
        finding.sentence =
            "What it takes off a noise needs recordings outside and inside, switched on and off."
                .to_string();
        finding.missing.push(Missing::at_any_time(
            "record a steady noise outside and inside, switched off and on, in three or more seatings",
        ));
        grounds.close(&mut finding);
        return finding;
    }
    grounds.source(BANDS);
    grounds.assume(KIND);
    let sheet = Sheet::new();
    let mut told: Vec<String> = Vec::new();
    for part in [Part::Total, Part::Active, Part::Passive] {
        let largest = readings
            .iter()
            .find(|r| r.part == part && matches!(r.how, How::Largest(_)));
        let Some(largest) = largest else { continue };
        if let Some(figure) = figure(&sheet, noise, largest) {
            let least = if largest.value.at_least {
                "at least "
            } else {
                ""
            };
            told.push(format!("{least}{} off {}", figure.text, words(largest)));
            finding.add_figure(key(part), figure);
        }
    }
    // What switching on does is told where that was recorded.
    let works = readings.iter().any(|r| r.part != Part::Passive);
    let overall: Vec<f64> = readings
        .iter()
        .filter(|r| (r.part != Part::Passive || !works) && matches!(r.how, How::Overall(_)))
        .map(|r| r.value.db)
        .collect();
    let ends = overall.iter().fold(None, |ends: Option<(f64, f64)>, x| {
        Some(ends.map_or((*x, *x), |(a, b)| (a.min(*x), b.max(*x))))
    });
    let spread = ends.map_or(String::new(), |(low, high)| {
        format!(
            " Overall it takes off {low:.1} to {high:.1} dB, depending on the noise and on what is compared with what; a figure that names neither says little."
        )
    });
    finding.sentence = format!("It takes {}.{spread}", told.join("; "));
    if readings.iter().all(|r| r.value.freedom.is_none()) {
        finding.missing.push(Missing::at_any_time(
            "record it in three or more seatings: how much depends on the fit is not known",
        ));
    }
    if noise
        .used
        .iter()
        .any(|(recording, _)| recording.what == RecordingKind::Quiet)
    {
        let margin = assumed::SOUND_OVER_QUIET.text();
        grounds.assume(format!(
            "what comes through less than {margin} above quiet is a lower bound"
        ));
    }
    if readings.iter().any(|r| r.value.at_least) {
        grounds.caution("in some bands what came through is hidden by the quiet: there the loss is a lower bound");
    }
    finding.details.extend(charts::losses(noise));
    finding.details.extend(charts::spectra(noise));
    finding.details.push(Detail::Table(table(&readings)));
    grounds.close(&mut finding);
    finding
}

fn key(part: Part) -> crate::Word {
    match part {
        Part::Passive => word!("largest-passive"),
        Part::Total => word!("largest-total"),
        Part::Active => word!("largest-active"),
    }
}

fn figure(sheet: &Sheet, noise: &Noise<'_>, reading: &Reading) -> Option<Figure> {
    let name = format!("loss: {}", words(reading));
    let input = measured(&name, distribution(&reading.value), "dB", noise.evidence());
    sheet.figure(sheet.input(input)).ok()
}

/// Returns an estimate as a distribution: Student's where its uncertainty rests on few seatings.
fn distribution(value: &Estimate) -> Distribution {
    match value.freedom {
        Some(degrees_of_freedom) => Distribution::ScaledT {
            mean: value.db,
            scale: value.u_db,
            degrees_of_freedom,
        },
        None => Distribution::Normal {
            mean: value.db,
            sd: value.u_db,
        },
    }
}

fn table(readings: &[Reading]) -> Table {
    let row = |reading: &Reading| {
        let how = match &reading.how {
            How::Overall(noise) => format!("overall: {noise}"),
            _ => words(reading)
                .strip_suffix(&format!(", {}", part_words(reading.part)))
                .unwrap_or_default()
                .to_string(),
        };
        let bound = if reading.value.at_least {
            "at least"
        } else {
            ""
        };
        vec![
            Cell::words(capital(&how)),
            Cell::words(part_words(reading.part)),
            Cell::words(bound),
            Cell::measured(reading.value.db, reading.value.u_db, unit("dB")),
        ]
    };
    Table {
        caption: "What “so many decibels” may mean of this product".to_string(),
        columns: vec![
            Column::words("Figure"),
            Column::words("Held against each other"),
            Column::words("Bound"),
            Column::in_unit("Loss", unit("dB")),
        ],
        rows: readings.iter().map(row).collect(),
    }
}

fn of_delay(case: &Case<'_>, delay: &HeardDelay<'_>) -> Finding {
    let recording = delay.recording;
    let against_picture = recording.frame.is_some();
    let title = if against_picture {
        "How far sound and picture are apart"
    } else {
        "How long it takes to answer"
    };
    let mut finding = Finding::new(Method::Sound, word!("delay"), title).about(delay.place());
    let mut grounds = Grounds::default();
    grounds.evidence(delay.place());
    if let Some(source) = &recording.source {
        grounds.evidence(Place::recording(source));
    }
    for note in &delay.heard.notes {
        grounds.caution(note.clone());
    }
    let sheet = Sheet::new();
    let term = delay.term(&sheet, &mut grounds);
    match sheet.figure(term) {
        Ok(figure) => {
            let item = recording.item.as_deref().and_then(|id| case.item(id));
            let item = item.or_else(|| case.lookup().product());
            let subject = item.map_or("It".to_string(), the_start);
            finding.sentence = if against_picture {
                format!("The sound comes {} after the picture.", figure.text)
            } else {
                format!("{subject} answers after {}.", figure.text)
            };
            if let Some(ppm) = delay.heard.clock.filter(|ppm| ppm.abs() > 1.0) {
                finding.sentence.push_str(&format!(
                    " The clocks of the two recorders run {:.0} parts in a million apart; the delay is that at the beginning.",
                    ppm.abs()
                ));
            }
            finding.add_figure(word!("delay"), figure);
        }
        Err(error) => grounds.unused(error.to_string()),
    }
    if against_picture {
        grounds.source(NOTICED);
    } else {
        grounds.assume(told_by());
        grounds.source("Knapp and Carter, The generalized correlation method for estimation of time delay, 1976");
    }
    finding.details.extend(charts::peak(delay));
    grounds.close(&mut finding);
    finding
}

/// When a peak of the correlation tells a delay, in words.
fn told_by() -> String {
    format!(
        "a delay is told where its peak is {} times the spread of the correlation, no other peak is {} of its height and no earlier one {}; clocks that differ by more than {} are not believed",
        assumed::SOUND_OVER_NOISE.text(),
        assumed::SOUND_AMBIGUOUS.text(),
        assumed::SOUND_EARLIER.text(),
        assumed::SOUND_CLOCKS.text(),
    )
}

/// Says whether a recording is one of noise.
fn is_noise(what: RecordingKind) -> bool {
    matches!(what, RecordingKind::Outside | RecordingKind::Inside)
}
