//! Files: every container and coding that is read, damaged ones, those that are refused; what is wrong with samples.

#![allow(clippy::unwrap_used, reason = "a test may fail")]

mod support;

use sound::calibration::{Calibration, SINE_BELOW};
use sound::{Fault, Faults, Recording, SoundError, decode};
use std::f64::consts::PI;
use support::{Draws, near, sine};

fn tone() -> Vec<f64> {
    (0..4800)
        .map(|n| 0.5 * (2.0 * PI * 997.0 * f64::from(n) / 48_000.0).sin())
        .collect()
}

#[track_caller]
fn same(channel: &[f32], expected: &[f64], within: f64) {
    assert_eq!(channel.len(), expected.len());
    for (n, (got, expected)) in channel.iter().zip(expected).enumerate() {
        assert!(
            (f64::from(*got) - expected).abs() <= within,
            "sample {n}: {got}, expected {expected}"
        );
    }
}

/// Head and samples of a WAV file.
fn wave(tag: u16, channels: u16, rate: u32, bits: u16, data: &[u8]) -> Vec<u8> {
    let mut out = Vec::new();
    out.extend(b"RIFF");
    out.extend((36 + data.len() as u32).to_le_bytes());
    out.extend(b"WAVEfmt ");
    out.extend(16_u32.to_le_bytes());
    out.extend(tag.to_le_bytes());
    out.extend(channels.to_le_bytes());
    out.extend(rate.to_le_bytes());
    out.extend((rate * u32::from(channels) * u32::from(bits) / 8).to_le_bytes());
    out.extend((channels * bits / 8).to_le_bytes());
    out.extend(bits.to_le_bytes());
    out.extend(b"data");
    out.extend((data.len() as u32).to_le_bytes());
    out.extend(data);
    out
}

fn wave_16(channels: u16, samples: &[f64]) -> Vec<u8> {
    let data: Vec<u8> = samples
        .iter()
        .flat_map(|x| ((x * 32_768.0).round() as i16).to_le_bytes())
        .collect();
    wave(1, channels, 48_000, 16, &data)
}

fn read(bytes: Vec<u8>) -> Result<Recording, SoundError> {
    decode(bytes, "it.wav")
}

/// Bytes as Python's `wave` writes them and scipy reads them.
#[test]
fn bytes_stand_for_the_published_samples() {
    let hex = "524946462c00000057415645666d74201000000001000100\
               80bb000000770100020010006461746108000000\
               0000004000c0ff7f";
    let bytes: Vec<u8> = (0..hex.len() / 2)
        .map(|k| u8::from_str_radix(&hex[2 * k..2 * k + 2], 16).unwrap())
        .collect();
    assert_eq!(bytes.len(), 52);
    let recording = read(bytes).unwrap();
    assert_eq!(
        (recording.rate_hz, recording.bits, recording.channels.len()),
        (48_000, Some(16), 1)
    );
    same(
        &recording.channels[0],
        &[0.0, 0.5, -0.5, 32_767.0 / 32_768.0],
        0.0,
    );
    // Floats behind a longer head with a count of samples before them.
    let mut float = b"RIFF\x3e\0\0\0WAVEfmt \x12\0\0\0\x03\0\x01\0".to_vec();
    float.extend(44_100_u32.to_le_bytes());
    float.extend(176_400_u32.to_le_bytes());
    float.extend(b"\x04\0\x20\0\0\0fact\x04\0\0\0\x03\0\0\0data\x0c\0\0\0");
    for x in [0.0_f32, 0.5, -0.25] {
        float.extend(x.to_le_bytes());
    }
    assert_eq!(float.len(), 70);
    let recording = read(float).unwrap();
    assert_eq!(recording.rate_hz, 44_100);
    same(&recording.channels[0], &[0.0, 0.5, -0.25], 0.0);
}

#[test]
fn samples_of_every_width_are_read() {
    let tone = tone();
    let bytes_8: Vec<u8> = tone
        .iter()
        .map(|x| (128.0 + x * 128.0).round() as u8)
        .collect();
    same(
        &read(wave(1, 1, 48_000, 8, &bytes_8)).unwrap().channels[0],
        &tone,
        0.5 / 128.0 + 1e-9,
    );
    same(
        &read(wave_16(1, &tone)).unwrap().channels[0],
        &tone,
        0.5 / 32_768.0 + 1e-7,
    );
    let wide = |bits: u32| -> Vec<u8> {
        tone.iter()
            .flat_map(|x| {
                let whole = (x * f64::from(1_u32 << (bits - 1))).round() as i32;
                whole.to_le_bytes()[..bits as usize / 8].to_vec()
            })
            .collect()
    };
    same(
        &read(wave(1, 1, 48_000, 24, &wide(24))).unwrap().channels[0],
        &tone,
        1.2e-7,
    );
    same(
        &read(wave(1, 1, 48_000, 32, &wide(32))).unwrap().channels[0],
        &tone,
        6e-8,
    );
    let double: Vec<u8> = tone.iter().flat_map(|x| x.to_le_bytes()).collect();
    same(
        &read(wave(3, 1, 48_000, 64, &double)).unwrap().channels[0],
        &tone,
        6e-8,
    );
}

#[test]
fn other_containers_and_codings_are_read() {
    let tone = tone();
    let channel =
        |bytes: &[u8], name: &str| decode(bytes.to_vec(), name).unwrap().channels.remove(0);
    let step = 1.1 / 32_768.0;
    same(
        &channel(include_bytes!("recordings/tone_16.flac"), "a.flac"),
        &tone,
        step,
    );
    same(
        &channel(include_bytes!("recordings/tone.aiff"), "a.aiff"),
        &tone,
        step,
    );
    same(
        &channel(include_bytes!("recordings/tone.caf"), "a.caf"),
        &tone,
        step,
    );
    same(
        &channel(include_bytes!("recordings/wide.wav"), "a.wav"),
        &tone,
        6e-8,
    );
    same(
        &channel(include_bytes!("recordings/alaw.wav"), "a.wav"),
        &tone,
        0.02,
    );
    let stereo = decode(include_bytes!("recordings/tone_24.flac").to_vec(), "a.flac").unwrap();
    let turned: Vec<f64> = tone.iter().map(|x| -x).collect();
    same(stereo.channel(1).unwrap(), &tone, 1.3e-7);
    same(stereo.channel(2).unwrap(), &turned, 1.3e-7);
    // The start that an encoder puts before the sound is cut off, so that both begin where the sound does.
    for (bytes, name) in [
        (&include_bytes!("recordings/tone.mp3")[..], "a.mp3"),
        (&include_bytes!("recordings/tone.ogg")[..], "a.ogg"),
    ] {
        let got = channel(bytes, name);
        assert_eq!(got.len(), 4800, "{name}");
        same(&got[1000..3800], &tone[1000..3800], 0.05);
    }
    // Blocks of this coding are filled up; what the file states of its samples is believed, 4800 of 8178.
    let mut ima = include_bytes!("recordings/ima.wav").to_vec();
    assert_eq!(channel(&ima, "a.wav").len(), 8178);
    ima[48..52].copy_from_slice(&4800_u32.to_le_bytes());
    assert_eq!(channel(&ima, "a.wav").len(), 4800);
    // Sizes of 64 bits, as recorders write beyond 4 GB.
    same(
        &channel(include_bytes!("recordings/long_head.wav"), "a.wav"),
        &tone,
        step,
    );
}

#[test]
fn ten_channels_are_ten_channels() {
    let samples: Vec<f64> = (0..100)
        .flat_map(|_| (0..10).map(|c| f64::from(c) / 16.0))
        .collect();
    let recording = read(wave_16(10, &samples)).unwrap();
    assert_eq!(recording.channels.len(), 10);
    near(
        "tenth",
        f64::from(recording.channel(10).unwrap()[7]),
        9.0 / 16.0,
        1e-6,
    );
    for number in [0, 11] {
        let refused = recording.channel(number).unwrap_err();
        assert_eq!(refused.fault, Fault::NoChannel);
        assert!(refused.to_string().contains("the file has 10"), "{refused}");
    }
}

#[test]
fn heads_that_are_wrong_do_not_hide_the_samples() {
    let tone = tone();
    let right = wave_16(1, &tone);
    let put = |at: usize, bytes: &[u8]| {
        let mut out = right.clone();
        out[at..at + bytes.len()].copy_from_slice(bytes);
        out
    };
    let before_data = |chunk: &[u8]| {
        let mut out = right.clone();
        out.splice(36..36, chunk.iter().copied());
        out
    };
    let step = 0.5 / 32_768.0 + 1e-7;
    for (what, bytes, noted) in [
        ("no size", put(40, &[0; 4]), true),
        ("size of a stream", put(40, &[0xff; 4]), false),
        ("size of the file too small", put(4, &[10, 0, 0, 0]), false),
        (
            "odd chunk, padded",
            before_data(b"LIST\x05\0\0\0INFOx\0"),
            false,
        ),
        (
            "odd chunk, not padded",
            before_data(b"LIST\x05\0\0\0INFOx"),
            false,
        ),
    ] {
        let recording = read(bytes).unwrap();
        same(&recording.channels[0], &tone, step);
        assert_eq!(
            !recording.notes.is_empty(),
            noted,
            "{what}: {:?}",
            recording.notes
        );
    }
    let cut = read(right[..right.len() / 2 + 1].to_vec()).unwrap();
    assert!(cut.channels[0].len() > 2300 && cut.channels[0].len() < 2400);
    assert!(cut.notes[0].what.contains("cut off"), "{:?}", cut.notes);
}

#[test]
fn what_is_no_recording_is_refused_with_a_remedy() {
    let right = wave_16(1, &tone());
    let put = |at: usize, bytes: &[u8]| {
        let mut out = right.clone();
        out[at..at + bytes.len()].copy_from_slice(bytes);
        out
    };
    for (what, bytes, fault) in [
        ("no bytes", Vec::new(), Fault::Empty),
        ("a head alone", right[..44].to_vec(), Fault::Empty),
        ("half a head", right[..30].to_vec(), Fault::Head),
        ("no channels", put(22, &[0, 0]), Fault::Head),
        ("no rate", put(24, &[0; 4]), Fault::Head),
        (
            "text",
            b"hello, this is not sound\n".repeat(40),
            Fault::NotSound,
        ),
        (
            "a coding that is not read",
            include_bytes!("recordings/opus.ogg").to_vec(),
            Fault::NotSound,
        ),
    ] {
        let refused = read(bytes).unwrap_err();
        assert_eq!(refused.fault, fault, "{what}: {refused}");
        assert!(
            refused.to_string().starts_with("it.wav: ") && !refused.remedy.is_empty(),
            "{what}"
        );
    }
}

#[test]
fn samples_that_are_no_numbers_are_silence_and_noted() {
    let data: Vec<u8> = [0.5_f32, f32::NAN, f32::INFINITY, 0.25]
        .iter()
        .flat_map(|x| x.to_le_bytes())
        .collect();
    let recording = read(wave(3, 1, 48_000, 32, &data)).unwrap();
    same(&recording.channels[0], &[0.5, 0.0, 0.0, 0.25], 0.0);
    assert!(
        recording.notes[0].what.starts_with("2 samples"),
        "{:?}",
        recording.notes
    );
}

#[test]
fn clipping_is_found_at_full_scale_and_below_it() {
    let clean = sine(997.0, 48_000.0, 1.0, 0.999);
    assert_eq!(Faults::of(&clean, 48_000.0), Faults::default());
    let low: Vec<f32> = sine(20.0, 48_000.0, 1.0, 0.7)
        .iter()
        .map(|x| (x * 32_768.0).round() / 32_768.0)
        .collect();
    assert_eq!(
        Faults::of(&low, 48_000.0).clipped,
        0,
        "a slow sine is flat at its top"
    );
    let over: Vec<f32> = sine(997.0, 48_000.0, 1.0, 1.2)
        .iter()
        .map(|x| x.clamp(-1.0, 1.0))
        .collect();
    let found = Faults::of(&over, 48_000.0);
    assert!(found.clipped > 1900 && found.clipped < 2000, "{found:?}");
    // Cut off before the converter, then turned down.
    let before: Vec<f32> = sine(997.0, 48_000.0, 1.0, 0.8)
        .iter()
        .map(|x| x.clamp(-0.6, 0.6))
        .collect();
    // One in ten steps into its plateau too gently to be told from a slow top.
    assert!(Faults::of(&before, 48_000.0).clipped > 1700);
}

#[test]
fn missing_samples_are_found_and_silence_is_told() {
    let mut sound = Draws(1).noise(48_000, 0.1);
    assert_eq!(Faults::of(&sound, 48_000.0).dropouts, 0);
    sound[10_000..10_100].fill(0.0);
    sound[30_000..30_480].fill(0.0);
    assert_eq!(Faults::of(&sound, 48_000.0).dropouts, 2);
    // Before a sound begins and after it ends nothing is missing.
    sound[..5000].fill(0.0);
    sound[45_000..].fill(0.0);
    assert_eq!(Faults::of(&sound, 48_000.0).dropouts, 2);
    assert!(Faults::of(&[0.0; 100], 48_000.0).silent);
}

#[test]
fn a_calibrator_or_a_sensitivity_tells_what_full_scale_is() {
    let tone = sine(1000.0, 48_000.0, 3.0, 0.1);
    let by_tone = Calibration::recorded(&tone, 48_000.0, 94.0, 1000.0).unwrap();
    assert!(by_tone.notes.is_empty(), "{:?}", by_tone.notes);
    near("tone", by_tone.tone_hz.unwrap(), 1000.0, 0.01);
    // 94 dB at a tenth of full scale: a sine of full scale has 114 dB.
    near(
        "full scale",
        by_tone.full_scale_db,
        114.0 + SINE_BELOW,
        0.01,
    );
    near(
        "stated",
        Calibration::stated(114.0).full_scale_db,
        by_tone.full_scale_db,
        0.01,
    );
    near(
        "level",
        by_tone.level_db(sound::mean_square(&tone)),
        94.0,
        0.01,
    );
    assert_eq!(
        Calibration::recorded(&tone[..1000], 48_000.0, 94.0, 1000.0),
        None
    );
    assert_eq!(
        Calibration::recorded(&[0.0; 96_000], 48_000.0, 94.0, 1000.0),
        None
    );
}

#[test]
fn a_wrong_rate_shows_at_the_calibrator() {
    // Recorded at 44.1 kHz, stated as 48 kHz.
    let tone = sine(1000.0, 44_100.0, 3.0, 0.1);
    let found = Calibration::recorded(&tone, 48_000.0, 94.0, 1000.0).unwrap();
    assert!(
        found.notes[0]
            .what
            .contains("44.1 kHz are stated as 48 kHz"),
        "{:?}",
        found.notes
    );
    let noisy: Vec<f32> = tone
        .iter()
        .zip(Draws(1).noise(tone.len(), 0.05))
        .map(|(x, n)| x + n)
        .collect();
    let found = Calibration::recorded(&noisy, 44_100.0, 94.0, 1000.0).unwrap();
    assert!(
        found.notes[0].what.contains("more than its tone"),
        "{:?}",
        found.notes
    );
    let fading: Vec<f32> = sine(1000.0, 48_000.0, 3.0, 0.1)
        .iter()
        .enumerate()
        .map(|(n, x)| x * (1.0 - n as f32 / 600_000.0))
        .collect();
    let found = Calibration::recorded(&fading, 48_000.0, 94.0, 1000.0).unwrap();
    assert!(found.notes[0].what.contains("moves"), "{:?}", found.notes);
}
