//! Listening to the recordings of a dossier: what is heard in them is written into it.
//!
//! In: a folder. Out: for each recording its length, levels in third octaves, delay, and what is wrong with it; the same
//! in the dossier's text, from which all that follows is worked out. Files are read through the opener.
//! Not here: how anything is heard (`sound`), what follows (`methods`).

use crate::{Problem, Watch, dossier};
use record::{Dossier, Edit, Heard, Place, Recording, RecordingKind};
use serde::Serialize;
use serde_json::{Map, Value as Json};
use sound::bands::between;
use sound::bank::{Bank, holds};
use sound::calibration::Calibration;
use sound::delay::{Options, delay};
use sound::drift::{CLOCKS_PPM, follow};
use sound::event::{onset, seen, sound_after_picture};
use sound::{Faults, level};
use std::collections::HashMap;
use std::path::Path;
use store::{limits, opener};

/// Frequency of a calibrator where none is stated, hertz.
const CALIBRATOR_HZ: f64 = 1000.0;
/// Level told of a band in which there is nothing at all, decibels.
const NOTHING_DB: f64 = -400.0;

/// What was heard in one recording.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Listened {
    /// The recording.
    pub id: String,
    /// What was heard, unless its file cannot be used.
    pub heard: Option<Heard>,
    /// Why not.
    pub failed: Option<String>,
}

/// Listens to every recording of a dossier and writes down what is heard. A file that cannot be used does not keep the
/// others from being heard.
///
/// # Errors
/// Mistakes of the dossier; the text cannot be saved; stopped.
pub fn listen(folder: &Path, watch: &dyn Watch) -> Result<Vec<Listened>, Problem> {
    let read = dossier::open(folder, watch)?;
    let from = |file: &str| inside(folder, file);
    let mut files = Files {
        read: &from,
        kept: HashMap::new(),
    };
    let mut all = Vec::new();
    for (k, recording) in read.recordings.iter().enumerate() {
        watch.step(
            &format!("listening to {}", recording.file),
            k + 1,
            read.recordings.len(),
        );
        if !watch.goes_on() {
            return Err(methods::Cancelled.into());
        }
        let heard = hear(&read, recording, &mut files);
        let (heard, failed) = match heard {
            Ok(heard) => (Some(heard), None),
            Err(why) => (None, Some(why)),
        };
        all.push(Listened {
            id: recording.id.clone(),
            heard,
            failed,
        });
    }
    dossier::edit(
        folder,
        |draft, _| {
            for listened in &all {
                let Some(heard) = &listened.heard else {
                    continue;
                };
                draft.apply(&Edit::Set {
                    at: Place::recording(&listened.id).at_key("heard"),
                    new: serde_json::to_value(heard).expect("numbers and texts are JSON"),
                    old: None,
                })?;
            }
            Ok(())
        },
        watch,
    )?;
    Ok(all)
}

/// A file as it was decoded, told before anything is heard in it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Sounded {
    /// Samples of a channel in a second.
    pub(crate) rate_hz: u32,
    /// Channels.
    pub(crate) channels: usize,
    /// Length, s.
    pub(crate) seconds: f64,
}

/// Decodes a file before it is kept, and writes into its entry what is heard in it. `other` reads recordings that are
/// kept already. What the entry lacks is told where it is added.
///
/// # Errors
/// A file that is no recording, a channel that it has not, silence.
pub(crate) fn accept(
    bytes: Vec<u8>,
    name: &str,
    entry: &mut Map<String, Json>,
    read: &Dossier,
    other: &dyn Fn(&str) -> Result<Vec<u8>, String>,
) -> Result<Sounded, Problem> {
    let own = sound::decode(bytes, name).map_err(|e| Problem::unfit(e.to_string(), e.remedy))?;
    let sounded = Sounded {
        rate_hz: own.rate_hz,
        channels: own.channels.len(),
        seconds: own.seconds(),
    };
    let mut stated = entry.clone();
    stated.insert("file".to_string(), name.into());
    stated.entry("id").or_insert_with(|| "new".into());
    let Ok(recording) = serde_json::from_value::<Recording>(Json::Object(stated)) else {
        return Ok(sounded);
    };
    let mut files = Files {
        read: other,
        kept: HashMap::from([(name.to_string(), own)]),
    };
    let heard = hear(read, &recording, &mut files).map_err(|why| {
        let (message, remedy) = why.split_once("; ").unwrap_or((&why, "record it anew"));
        let own = format!("{name}: ");
        let message = message.strip_prefix(&own).unwrap_or(message);
        Problem::unfit(record::visible(&format!("{own}{message}")), remedy)
    })?;
    let heard = serde_json::to_value(heard).expect("numbers and texts are JSON");
    entry.insert("heard".to_string(), heard);
    Ok(sounded)
}

/// Reads a recording that lies in the folder of a dossier.
pub(crate) fn inside(folder: &Path, file: &str) -> Result<Vec<u8>, String> {
    opener::read_inside(folder, format!("recordings/{file}"), limits::RECORDING)
        .map_err(|e| format!("{}; {}", e.reason(), e.remedy()))
}

/// The files that were decoded last, two at most: channels of one file follow each other.
struct Files<'a> {
    read: &'a dyn Fn(&str) -> Result<Vec<u8>, String>,
    kept: HashMap<String, sound::Recording>,
}

impl Files<'_> {
    fn get(&mut self, file: &str) -> Result<&sound::Recording, String> {
        if !self.kept.contains_key(file) {
            let read = sound::decode((self.read)(file)?, file)
                .map_err(|e| format!("{e}; {}", e.remedy))?;
            // Two files are held against each other at most.
            if self.kept.len() > 1 {
                self.kept.clear();
            }
            self.kept.insert(file.to_string(), read);
        }
        Ok(&self.kept[file])
    }
}

/// Numbers as they are written: a thousandth of a decibel is far below what recordings tell.
fn rounded(x: f64, digits: i32) -> f64 {
    let tens = 10_f64.powi(digits);
    (x * tens).round() / tens
}

fn hear(read: &Dossier, recording: &Recording, files: &mut Files<'_>) -> Result<Heard, String> {
    let channel_of = |r: &Recording| r.channel.unwrap_or(1) as usize;
    let file = files.get(&recording.file)?;
    let samples = file
        .channel(channel_of(recording))
        .map_err(|e| format!("{e}; {}", e.remedy))?
        .to_vec();
    let rate_hz = f64::from(file.rate_hz);
    let mut notes: Vec<String> = file.notes.iter().map(|note| note.what.clone()).collect();
    let faults = Faults::of(&samples, rate_hz);
    if faults.silent {
        return Err("the channel is silent; state another `channel`".to_string());
    }
    let bands: Vec<_> = between(3, 50.0, 10_000.0)
        .into_iter()
        .filter(|band| holds(*band, rate_hz))
        .collect();
    let squares = Bank::new(bands).mean_squares(&[&samples], rate_hz);
    let count = |n: usize| (n > 0).then(|| u32::try_from(n).unwrap_or(u32::MAX));
    let mut heard = Heard {
        seconds: rounded(samples.len() as f64 / rate_hz, 6),
        rate: file.rate_hz,
        levels: squares[0]
            .iter()
            .map(|square| rounded(level::of_power(*square).max(NOTHING_DB), 3))
            .collect(),
        clipped: count(faults.clipped),
        dropouts: count(faults.dropouts),
        full_scale: None,
        delay: None,
        within: None,
        clock: None,
        peak: Vec::new(),
        notes: Vec::new(),
    };
    if recording.what == RecordingKind::Calibrator
        && let Some(level) = &recording.level
    {
        let hz = recording.frequency.unwrap_or(CALIBRATOR_HZ);
        match Calibration::recorded(&samples, rate_hz, level.si(), hz) {
            Some(found) => {
                heard.full_scale = Some(rounded(found.full_scale_db, 3));
                notes.extend(found.notes.into_iter().map(|note| note.what));
            }
            None => notes.push("it is too short for a calibrator: record a second or more".into()),
        }
    }
    if let (Some(frame), Some(rate)) = (recording.frame, recording.frame_rate) {
        match onset(&samples, rate_hz) {
            Some(begun) => {
                let apart = sound_after_picture(begun, seen(u64::from(frame), rate));
                (heard.delay, heard.within) = (Some(rounded(apart.s, 6)), Some(apart.u_s));
            }
            None => notes.push("no sound begins clearly enough to be held against a frame".into()),
        }
    }
    if let Some(source) = recording
        .source
        .as_deref()
        .and_then(|id| read.recording(id))
    {
        let same_file = source.file == recording.file;
        let from = files.get(&source.file)?;
        if f64::from(from.rate_hz) != rate_hz {
            return Err(format!(
                "{} has another rate, {} samples a second; convert one of them",
                source.file, from.rate_hz
            ));
        }
        let from = from
            .channel(channel_of(source))
            .map_err(|e| format!("{e}; {}", e.remedy))?;
        later(from, &samples, rate_hz, same_file, &mut heard, &mut notes);
    }
    heard.notes = notes;
    Ok(heard)
}

/// Tells how much later a channel is than its source.
fn later(
    source: &[f32],
    samples: &[f32],
    rate_hz: f64,
    same_file: bool,
    heard: &mut Heard,
    notes: &mut Vec<String>,
) {
    let options = Options::default();
    // One clock runs in one file; of two recorders each has its own.
    let track = if same_file {
        None
    } else {
        follow(source, samples, rate_hz, &options).ok()
    };
    let most = (20.0 * rate_hz) as usize;
    let part = |samples: &'_ [f32]| samples.len().min(most);
    let first = delay(
        &source[..part(source)],
        &samples[..part(samples)],
        rate_hz,
        &options,
    );
    match &first {
        Ok(found) => {
            heard.delay = Some(rounded(found.samples / rate_hz, 9));
            heard.within = Some(found.u_samples / rate_hz);
            heard.peak = found
                .around
                .iter()
                .map(|(lag, value)| [rounded(lag / rate_hz, 9), rounded(*value, 6)])
                .collect();
            if found.coefficient < 0.0 {
                notes.push("the polarity is turned over against the source".into());
            }
        }
        Err(why) => notes.push(format!("no delay is told: {why}; {}", why.remedy())),
    }
    if let Some(track) = track {
        heard.delay = Some(rounded(track.delay_s, 9));
        heard.within = Some(track.u_s.max(1e-6));
        heard.clock = Some(rounded(track.ppm, 3));
        if track.ppm.abs() > CLOCKS_PPM {
            notes.push(format!(
                "the clocks run {:.0} parts in a million apart, more than clocks do: a rate is stated wrongly",
                track.ppm.abs()
            ));
        }
    } else if !same_file && first.is_ok() {
        notes.push(
            "two recorders: how much their starts and clocks differ is part of the delay".into(),
        );
    }
}
