//! What was heard in the recordings of a dossier: losses by part, delays.
//!
//! In: the dossier. Out: losses over seatings with every reading of "dB", the noise that was played, delays with their
//! uncertainty, and which recordings could not be used. Not here: decoding and filters (`sound`), findings.

use crate::grounds::Grounds;
use crate::inputs::unit;
use crate::{Case, assumed};
use ::sound::bands::{Band, between};
use ::sound::calibration::SINE_BELOW;
use ::sound::filter::STATISTICAL_WIDTH;
use ::sound::level;
use ::sound::loss::{Levels, Losses};
use ::sound::reading::{How, Part, Parts, Reading};
use ::sound::spectra::{Spectrum, named};
use ::sound::weighting::Weighting;
use quantity::{Dimension, Distribution, Input, Locator, Origin, Sheet, Source, Spread, Term};
use record::{Dossier, Heard, Place, Recording, RecordingKind, Switched};
use std::collections::BTreeMap;

/// Name of the noise as it was recorded outside.
const AS_PLAYED: &str = "the noise that was played";

/// What recordings say of noise.
pub(crate) struct Noise<'d> {
    /// The third octaves that all of them hold.
    pub(crate) bands: Vec<Band>,
    /// Losses by part.
    pub(crate) parts: Parts,
    /// Noises that overall figures are told for.
    pub(crate) noises: Vec<Spectrum>,
    /// What was recorded, with its levels.
    pub(crate) used: Vec<(&'d Recording, Levels)>,
    /// What could not be used, and why.
    pub(crate) unused: Vec<String>,
}

/// Says whether a recording is about an item: itself, what it is in, or what is in it.
pub(crate) fn is_about(case: &Case<'_>, recording: &Recording, item: &str) -> bool {
    let own = recording.item.as_deref();
    own.is_none_or(|own| own == item || case.tree().touch(item, own))
}

impl<'d> Noise<'d> {
    /// Gathers the recordings of an item; `None` where there are none of noise.
    pub(crate) fn of(case: &Case<'d>, item: &str) -> Option<Self> {
        let mut unused = Vec::new();
        let mut heard: Vec<(&Recording, &Heard, f64)> = Vec::new();
        let of_noise = |recording: &&Recording| {
            let is = matches!(
                recording.what,
                RecordingKind::Outside | RecordingKind::Inside | RecordingKind::Quiet
            );
            is && is_about(case, recording, item)
        };
        for recording in case.dossier.recordings.iter().filter(of_noise) {
            match usable(case.dossier, recording) {
                Ok((found, offset)) => heard.push((recording, found, offset)),
                Err(why) => unused.push(format!("{}: {why}", Place::recording(&recording.id))),
            }
        }
        if heard.is_empty() && unused.is_empty() {
            return None;
        }
        let count = heard
            .iter()
            .map(|(_, h, _)| h.levels.len())
            .min()
            .unwrap_or(0);
        let mut bands = between(3, 50.0, 10_000.0);
        bands.truncate(count);
        let used: Vec<(&Recording, Levels)> = heard
            .into_iter()
            .map(|(recording, heard, offset)| (recording, levels(heard, offset, &bands)))
            .collect();
        let mut out = Self {
            bands,
            parts: Parts::default(),
            noises: named(),
            used,
            unused,
        };
        out.fill();
        Some(out)
    }

    /// Returns the levels of one kind.
    pub(crate) fn levels(&self, what: RecordingKind, switched: Option<Switched>) -> Vec<&Levels> {
        let is = |recording: &Recording| {
            recording.what == what && switched.is_none_or(|s| recording.switched == Some(s))
        };
        let all = self.used.iter().filter(|(recording, _)| is(recording));
        all.map(|(_, levels)| levels).collect()
    }

    fn fill(&mut self) {
        let owned = |what, switched| -> Vec<Levels> {
            self.levels(what, switched).into_iter().cloned().collect()
        };
        let open = owned(RecordingKind::Outside, None);
        let off = owned(RecordingKind::Inside, Some(Switched::Off));
        let on = owned(RecordingKind::Inside, Some(Switched::On));
        let quiet = owned(RecordingKind::Quiet, None);
        let mean = |all: &[Levels]| -> Vec<f64> {
            (0..self.bands.len())
                .map(|k| level::energy_mean(&all.iter().map(|l| l.db[k]).collect::<Vec<_>>()))
                .collect()
        };
        let floor = (!quiet.is_empty()).then(|| mean(&quiet));
        let floor = floor.as_deref();
        let mut pairs: BTreeMap<u32, [Option<&Levels>; 2]> = BTreeMap::new();
        for (recording, levels) in &self.used {
            if let (RecordingKind::Inside, Some(seating)) = (recording.what, recording.seating) {
                let pair = pairs.entry(seating).or_default();
                match recording.switched {
                    Some(Switched::Off) => pair[0] = Some(levels),
                    Some(Switched::On) => pair[1] = Some(levels),
                    _ => {}
                }
            }
        }
        let pairs: Vec<(Levels, Levels)> = pairs
            .into_values()
            .filter_map(|[off, on]| Some((off?.clone(), on?.clone())))
            .collect();
        let parts = Parts {
            passive: Losses::against_open(&self.bands, &open, &off, floor),
            total: Losses::against_open(&self.bands, &open, &on, floor),
            active: Losses::paired(&self.bands, &pairs, floor),
        };
        if !open.is_empty() {
            let played = mean(&open);
            let numbered = || {
                self.bands
                    .iter()
                    .map(|band| band.number)
                    .zip(played.clone())
            };
            for (weighting, words) in [(Weighting::A, "A-weighted"), (Weighting::Z, "unweighted")] {
                let words = format!("{AS_PLAYED}, {words}");
                self.noises
                    .push(Spectrum::weighted(words, numbered(), weighting));
            }
        }
        self.parts = parts;
    }

    /// Returns every reading of a decibel figure.
    pub(crate) fn readings(&self) -> Vec<Reading> {
        self.parts.readings(&self.noises)
    }

    /// Returns the places it rests on.
    pub(crate) fn evidence(&self) -> impl Iterator<Item = Place> {
        self.used
            .iter()
            .map(|(recording, _)| Place::recording(&recording.id))
    }
}

/// Returns what was heard in a recording of noise and the sound pressure level that its 0 stands for; 0 where none
/// is calibrated.
fn usable<'d>(dossier: &'d Dossier, recording: &'d Recording) -> Result<(&'d Heard, f64), String> {
    let heard = recording
        .heard
        .as_ref()
        .ok_or("it was not listened to; run underlid listen")?;
    if heard.clipped.is_some_and(|n| n > 0) {
        return Err("it is cut off at full scale: its level is too low".into());
    }
    if heard.dropouts.is_some_and(|n| n > 0) {
        return Err("samples are missing in it".into());
    }
    if recording.what == RecordingKind::Inside
        && !matches!(recording.switched, Some(Switched::On | Switched::Off))
    {
        return Err("it is not known whether the product was switched on".into());
    }
    let calibrated = offset(dossier, recording);
    let any = |r: &&Recording| r.calibrator.is_some() || r.full_scale.is_some();
    match calibrated {
        Some(offset) => Ok((heard, offset)),
        None if dossier.recordings.iter().any(|r| any(&r)) => {
            Err("others are calibrated and it is not".into())
        }
        None => Ok((heard, 0.0)),
    }
}

/// Returns the sound pressure level that 0 stands for in a recording.
fn offset(dossier: &Dossier, recording: &Recording) -> Option<f64> {
    if let Some(id) = &recording.calibrator {
        return dossier.recording(id)?.heard.as_ref()?.full_scale;
    }
    recording
        .full_scale
        .as_ref()
        .map(|level| level.si() + SINE_BELOW)
}

fn levels(heard: &Heard, offset: f64, bands: &[Band]) -> Levels {
    let u = |band: &Band| level::of_noise_sd(STATISTICAL_WIDTH * band.width_hz(), heard.seconds);
    Levels {
        db: heard.levels[..bands.len()]
            .iter()
            .map(|db| db + offset)
            .collect(),
        u_db: bands.iter().map(u).collect(),
    }
}

/// A delay that was heard.
pub(crate) struct HeardDelay<'d> {
    /// Where.
    pub(crate) recording: &'d Recording,
    /// What was heard.
    pub(crate) heard: &'d Heard,
    /// How much later it is, seconds.
    pub(crate) s: f64,
    /// Standard uncertainty, seconds.
    pub(crate) u_s: f64,
}

/// Returns the delays of a dossier in the order of the record.
pub(crate) fn delays(dossier: &Dossier) -> Vec<HeardDelay<'_>> {
    let of = |recording| {
        let recording: &Recording = recording;
        let heard = recording.heard.as_ref()?;
        Some(HeardDelay {
            recording,
            heard,
            s: heard.delay?,
            u_s: heard.within?,
        })
    };
    dossier.recordings.iter().filter_map(of).collect()
}

impl HeardDelay<'_> {
    /// Returns the place of the recording.
    pub(crate) fn place(&self) -> Place {
        Place::recording(&self.recording.id)
    }

    /// Returns the delay: what was heard less the time that the sound took for its longer way.
    pub(crate) fn term<'s>(&self, sheet: &'s Sheet, grounds: &mut Grounds) -> Term<'s> {
        let distribution = Distribution::Normal {
            mean: self.s,
            sd: self.u_s,
        };
        grounds.evidence(self.place());
        let heard = sheet.input(measured("delay heard", distribution, "ms", [self.place()]));
        let name = "how much farther the sound travelled";
        let way = match &self.recording.farther {
            // Neither went through the air.
            Some(stated) if stated.si() == 0.0 && stated.spread == Spread::None => None,
            Some(stated) => grounds.fact(
                sheet,
                name,
                stated,
                Dimension::LENGTH,
                Origin::Measured,
                self.place(),
            ),
            None => {
                let change = "state `farther` in the recording to replace it";
                Some(grounds.assumed(sheet, name, &assumed::SOUND_FARTHER, change))
            }
        };
        let delay = match way {
            Some(way) => {
                let note = "0.6 m/s for each kelvin";
                heard - way / grounds.assumed(sheet, "speed of sound", &assumed::SOUND_SPEED, note)
            }
            None => heard,
        };
        delay.named("delay", &unit("ms"))
    }
}

/// Makes an input of what was heard.
pub(crate) fn measured(
    name: &str,
    distribution: Distribution,
    symbol: &str,
    places: impl IntoIterator<Item = Place>,
) -> Input {
    let source = Source {
        origin: Origin::Measured,
        evidence: places
            .into_iter()
            .map(|p| Locator::new(p.to_string()))
            .collect(),
        note: String::new(),
    };
    Input::distributed(name, distribution, crate::inputs::unit(symbol), source)
}

/// Returns a reading in words, as what a figure is.
pub(crate) fn words(reading: &Reading) -> String {
    let hz = |band: &Band| match band.nominal_hz() {
        hz if hz >= 1000.0 => format!("{} kHz", hz / 1000.0),
        hz => format!("{hz} Hz"),
    };
    let how = match &reading.how {
        How::Largest(band) => format!("the third octave it damps most, {}", hz(band)),
        How::Mean(first, last) => {
            format!(
                "the mean of the third octaves from {} to {}",
                hz(first),
                hz(last)
            )
        }
        How::Overall(noise) => format!("overall for {noise}"),
    };
    format!("{how}, {}", part_words(reading.part))
}

/// Returns what is held against what.
pub(crate) fn part_words(part: Part) -> &'static str {
    match part {
        Part::Passive => "switched off against nothing in the way",
        Part::Total => "switched on against nothing in the way",
        Part::Active => "switched on against switched off",
    }
}
