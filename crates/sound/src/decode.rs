//! From the bytes of a file to samples.
//!
//! In: the bytes of a WAV, AIFF, CAF, FLAC, MP3, MP4 or Ogg Vorbis file. Out: a [`Recording`], 1 being full scale.
//! A file that breaks off gives what was read, with a note. Not here: what the samples mean.
//!
//! Samples are kept in 24 bits of significand; that of wider ones is rounded, 150 dB below full scale.

use crate::error::{Fault, Note, SoundError};
use crate::recording::Recording;
use crate::riff;
use std::io::Cursor;
use symphonia::core::codecs::audio::AudioDecoderOptions;
use symphonia::core::errors::Error;
use symphonia::core::formats::probe::Hint;
use symphonia::core::formats::{FormatOptions, TrackType};
use symphonia::core::io::{MediaSourceStream, MediaSourceStreamOptions};
use symphonia::core::meta::MetadataOptions;

/// Most bytes of a file, 4 GiB: more than sizes of 32 bits can tell. Who opens files may allow fewer.
pub const MOST_BYTES: u64 = 1 << 32;
/// Most samples of all channels together: an hour of two channels at 48 kHz takes 1.4 GB of memory.
pub const MOST_SAMPLES: u64 = 2 * 48_000 * 3600;
/// Most channels of a file.
pub const MOST_CHANNELS: usize = 64;

/// Decodes a file. `file` is what it is called in messages.
///
/// # Errors
/// No bytes, no recording, a head that contradicts itself, more samples than [`MOST_SAMPLES`], no sound.
pub fn decode(mut bytes: Vec<u8>, file: &str) -> Result<Recording, SoundError> {
    if bytes.is_empty() {
        return Err(empty(file, "the file has no bytes"));
    }
    if bytes.len() as u64 >= MOST_BYTES {
        return Err(SoundError::new(
            Fault::TooLong,
            file,
            "the file has 4 GiB or more",
            "cut out the part that is wanted",
        ));
    }
    let wave = if riff::is_wave(&bytes) {
        Some(riff::plain(&mut bytes, file)?)
    } else {
        None
    };
    let mut reader = Reader::new(file);
    reader.read(bytes)?;
    if let Some(wave) = wave {
        reader.notes.splice(..0, wave.notes);
        // Codes of fixed blocks fill their last one up.
        if let Some(stated) = wave.stated {
            for channel in &mut reader.channels {
                channel.truncate(usize::try_from(stated).unwrap_or(usize::MAX));
            }
        }
    }
    reader.finish()
}

fn empty(file: &str, what: &str) -> SoundError {
    SoundError::new(
        Fault::Empty,
        file,
        what,
        "copy the file from the recorder again",
    )
}

struct Reader<'a> {
    file: &'a str,
    rate_hz: u32,
    bits: Option<u32>,
    channels: Vec<Vec<f32>>,
    notes: Vec<Note>,
}

impl<'a> Reader<'a> {
    fn new(file: &'a str) -> Self {
        Self {
            file,
            rate_hz: 0,
            bits: None,
            channels: Vec::new(),
            notes: Vec::new(),
        }
    }

    fn refuse(&self, fault: Fault, what: impl Into<String>, remedy: &str) -> SoundError {
        SoundError::new(fault, self.file, what, remedy)
    }

    fn not_sound(&self, error: &Error) -> SoundError {
        self.refuse(
            Fault::NotSound,
            format!("this is no recording that is read here ({error})"),
            "give a WAV, AIFF, CAF, FLAC, MP3, MP4 or Ogg Vorbis file",
        )
    }

    fn read(&mut self, bytes: Vec<u8>) -> Result<(), SoundError> {
        let options = MediaSourceStreamOptions::default();
        let source = MediaSourceStream::new(Box::new(Cursor::new(bytes)), options);
        let mut format = symphonia::default::get_probe()
            .probe(
                &Hint::new(),
                source,
                FormatOptions::default(),
                MetadataOptions::default(),
            )
            .map_err(|error| self.not_sound(&error))?;
        let no_track = Error::Unsupported("no sound in it");
        let track = format
            .default_track(TrackType::Audio)
            .ok_or_else(|| self.not_sound(&no_track))?;
        let id = track.id;
        let parameters = track
            .codec_params
            .as_ref()
            .and_then(|parameters| parameters.audio())
            .ok_or_else(|| self.not_sound(&no_track))?;
        self.bits = parameters.bits_per_sample;
        let mut decoder = symphonia::default::get_codecs()
            .make_audio_decoder(parameters, &AudioDecoderOptions::default())
            .map_err(|error| self.not_sound(&error))?;
        let mut block: Vec<Vec<f32>> = Vec::new();
        let mut damaged = 0_u64;
        loop {
            let packet = match format.next_packet() {
                Ok(Some(packet)) => packet,
                Ok(None) => break,
                Err(error) => {
                    self.broke_off(&error);
                    break;
                }
            };
            if packet.track_id != id {
                continue;
            }
            match decoder.decode(&packet) {
                Ok(decoded) => {
                    let rate_hz = decoded.spec().rate();
                    decoded.copy_to_vecs_planar(&mut block);
                    self.take(&block, rate_hz)?;
                }
                Err(Error::DecodeError(_)) => damaged += 1,
                Err(error) => {
                    self.broke_off(&error);
                    break;
                }
            }
        }
        if damaged > 0 {
            self.notes.push(Note::new(
                format!(
                    "{damaged} blocks are damaged and were left out: what follows each is too early"
                ),
                "copy the file from the recorder again; do not take delays from this one",
            ));
        }
        Ok(())
    }

    fn broke_off(&mut self, error: &Error) {
        self.notes.push(Note::new(
            format!("reading broke off ({error}); what was read so far counts"),
            "copy the file from the recorder again",
        ));
    }

    fn take(&mut self, block: &[Vec<f32>], rate_hz: u32) -> Result<(), SoundError> {
        if self.channels.is_empty() {
            self.rate_hz = rate_hz;
            self.channels = vec![Vec::new(); block.len()];
        }
        if block.len() != self.channels.len() || rate_hz != self.rate_hz {
            return Err(self.refuse(
                Fault::Head,
                "the number of channels or the rate changes inside the file",
                "cut the recording where they change",
            ));
        }
        if block.len() > MOST_CHANNELS {
            return Err(self.refuse(
                Fault::Head,
                format!(
                    "the file has {} channels; {MOST_CHANNELS} are the most",
                    block.len()
                ),
                "export the channels that are wanted",
            ));
        }
        let more = block.first().map_or(0, Vec::len);
        let so_far = self.channels.first().map_or(0, Vec::len);
        if ((so_far + more) * block.len()) as u64 > MOST_SAMPLES {
            return Err(self.refuse(
                Fault::TooLong,
                format!("the recording has more than {MOST_SAMPLES} samples, an hour of two channels at 48 kHz"),
                "cut out the part that is wanted",
            ));
        }
        for (to, from) in self.channels.iter_mut().zip(block) {
            to.extend_from_slice(from);
        }
        Ok(())
    }

    fn finish(mut self) -> Result<Recording, SoundError> {
        if self.channels.first().is_none_or(Vec::is_empty) {
            return Err(empty(self.file, "there is no sound in the file"));
        }
        if self.rate_hz == 0 {
            return Err(self.refuse(
                Fault::Head,
                "the head states a rate of 0 samples a second",
                "export the recording again",
            ));
        }
        let mut not_numbers = 0_u64;
        for sample in self.channels.iter_mut().flatten() {
            if !sample.is_finite() {
                *sample = 0.0;
                not_numbers += 1;
            }
        }
        if not_numbers > 0 {
            self.notes.push(Note::new(
                format!("{not_numbers} samples are no numbers and were taken as silence"),
                "export the recording again",
            ));
        }
        Ok(Recording {
            file: self.file.to_owned(),
            rate_hz: self.rate_hz,
            bits: self.bits,
            channels: self.channels,
            notes: self.notes,
        })
    }
}
