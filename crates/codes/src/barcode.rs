//! Bar codes and matrix codes in a grey picture.
//!
//! In: grey pixels, row by row from the top left. Out: each code found, with its text, its symbology, the
//! points that locate it, and the readings of its text.
//! Not here: decoding picture files; finding the scale of a photograph.
//!
//! The picture is searched as it is and at half size, because a large sharp photograph of a small code is
//! often easier to read with less noise; where nothing is found, once more smoothed. Behind the cargo
//! feature `barcode`.

use crate::{Context, MarkedObject, Reading, read};
use rxing::common::HybridBinarizer;
use rxing::multi::{GenericMultipleBarcodeReader, MultipleBarcodeReader as _};
use rxing::{
    BarcodeFormat, BinaryBitmap, DecodeHints, Luma8LuminanceSource, MultiUseMultiFormatReader,
    RXingResult, Reader as _,
};
use serde::Serialize;

/// Most pixels that are searched.
const MOST_PIXELS: usize = 200_000_000;
/// Least side of a picture that is halved, in pixels.
const HALVED_FROM: u32 = 400;

/// A code found in a picture.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Barcode {
    /// Its text.
    pub text: String,
    /// The sort of code (`QR code`, `EAN-13`).
    pub symbology: String,
    /// Points that locate it, in pixels from the top left: corners or finder centres of matrix codes, ends of
    /// the scanned line of bar codes.
    pub points: Vec<(f32, f32)>,
    /// What the text may mean.
    pub readings: Vec<Reading>,
}

/// Why a picture was not searched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BarcodeError {
    /// The number of pixels does not fit width and height, or there are none.
    Size,
    /// There are more pixels than are searched.
    TooLarge,
}

impl std::fmt::Display for BarcodeError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Size => "the number of pixels is not width times height, or there are none",
            Self::TooLarge => "the picture has more than 200 million pixels",
        })
    }
}

impl std::error::Error for BarcodeError {}

/// Finds the codes in a grey picture (0 black, 255 white), in the order of their places from the top left.
/// Empty if none can be read.
///
/// # Errors
/// Refuses a picture whose pixels do not fit its size, and one of more than 200 million pixels.
pub fn find(
    grey: &[u8],
    width: u32,
    height: u32,
    context: &Context<'_>,
) -> Result<Vec<Barcode>, BarcodeError> {
    let pixels = usize::try_from(u64::from(width) * u64::from(height))
        .map_err(|_| BarcodeError::TooLarge)?;
    if pixels == 0 || grey.len() != pixels {
        return Err(BarcodeError::Size);
    }
    if pixels > MOST_PIXELS {
        return Err(BarcodeError::TooLarge);
    }
    let context = Context {
        on: context.on.or(Some(MarkedObject::Label)),
        ..*context
    };
    let mut found: Vec<Barcode> = Vec::new();
    let mut add = |results: Vec<RXingResult>, scale: f32| {
        for result in results {
            let code = barcode(&result, scale, &context);
            let known = found
                .iter()
                .any(|f| f.text == code.text && f.symbology == code.symbology && near(f, &code));
            if !known {
                found.push(code);
            }
        }
    };
    add(search(grey.to_vec(), width, height), 1.0);
    if width.min(height) >= HALVED_FROM {
        let (half, w, h) = halved(grey, width, height);
        add(search(half, w, h), 2.0);
    }
    if found.is_empty() {
        let soft = smoothed(grey, width, height);
        found = search(soft, width, height)
            .iter()
            .map(|result| barcode(result, 1.0, &context))
            .collect();
    }
    found.sort_by(|a, b| {
        let top = |c: &Barcode| c.points.first().copied().unwrap_or_default();
        let ((ax, ay), (bx, by)) = (top(a), top(b));
        ay.total_cmp(&by)
            .then(ax.total_cmp(&bx))
            .then_with(|| a.text.cmp(&b.text))
    });
    Ok(found)
}

/// Codes that are looked for. The library's reader of MaxiCode stops the program on some pictures, and
/// parcels are not taken apart here.
const FORMATS: [BarcodeFormat; 14] = [
    BarcodeFormat::QR_CODE,
    BarcodeFormat::MICRO_QR_CODE,
    BarcodeFormat::DATA_MATRIX,
    BarcodeFormat::AZTEC,
    BarcodeFormat::PDF_417,
    BarcodeFormat::CODE_128,
    BarcodeFormat::CODE_39,
    BarcodeFormat::CODE_93,
    BarcodeFormat::CODABAR,
    BarcodeFormat::ITF,
    BarcodeFormat::EAN_13,
    BarcodeFormat::EAN_8,
    BarcodeFormat::UPC_A,
    BarcodeFormat::UPC_E,
];

/// Searches once. A picture that makes the library stop counts as one without codes: it reads pictures of
/// unknown origin, and its own checks are not complete.
fn search(grey: Vec<u8>, width: u32, height: u32) -> Vec<RXingResult> {
    std::panic::catch_unwind(|| unguarded(grey, width, height)).unwrap_or_default()
}

/// Searches for all codes, or else for a single one.
fn unguarded(grey: Vec<u8>, width: u32, height: u32) -> Vec<RXingResult> {
    let hints = DecodeHints {
        PossibleFormats: Some(FORMATS.into_iter().collect()),
        TryHarder: Some(true),
        AlsoInverted: Some(true),
        ..DecodeHints::default()
    };
    let Ok(source) = Luma8LuminanceSource::new(grey, width, height) else {
        return Vec::new();
    };
    let mut bitmap = BinaryBitmap::new(HybridBinarizer::new(source));
    let mut all = GenericMultipleBarcodeReader::new(MultiUseMultiFormatReader::default());
    if let Ok(results) = all.decode_multiple_with_hints(&mut bitmap, &hints)
        && !results.is_empty()
    {
        return results;
    }
    let mut one = MultiUseMultiFormatReader::default();
    one.decode_with_hints(&mut bitmap, &hints)
        .into_iter()
        .collect()
}

fn barcode(result: &RXingResult, scale: f32, context: &Context<'_>) -> Barcode {
    let text = result.getText().to_string();
    Barcode {
        readings: read(&text, context),
        text,
        symbology: symbology(result.getBarcodeFormat()),
        points: result
            .getPoints()
            .iter()
            .map(|p| (p.x * scale, p.y * scale))
            .collect(),
    }
}

fn symbology(format: &BarcodeFormat) -> String {
    use BarcodeFormat as F;
    match format {
        F::QR_CODE => "QR code".to_string(),
        F::MICRO_QR_CODE => "micro QR code".to_string(),
        F::DATA_MATRIX => "Data Matrix".to_string(),
        F::AZTEC => "Aztec".to_string(),
        F::PDF_417 => "PDF417".to_string(),
        F::CODE_128 => "Code 128".to_string(),
        F::CODE_39 => "Code 39".to_string(),
        F::CODE_93 => "Code 93".to_string(),
        F::EAN_13 => "EAN-13".to_string(),
        F::EAN_8 => "EAN-8".to_string(),
        F::UPC_A => "UPC-A".to_string(),
        F::UPC_E => "UPC-E".to_string(),
        F::ITF => "ITF".to_string(),
        other => other.to_string(),
    }
}

/// Tells whether two findings of one text lie at one place: the picture is searched twice.
fn near(a: &Barcode, b: &Barcode) -> bool {
    let middle = |c: &Barcode| {
        let n = c.points.len().max(1) as f32;
        let (x, y) = c
            .points
            .iter()
            .fold((0.0, 0.0), |(x, y), p| (x + p.0, y + p.1));
        (x / n, y / n)
    };
    let size = |c: &Barcode| {
        let m = middle(c);
        c.points
            .iter()
            .map(|p| (p.0 - m.0).hypot(p.1 - m.1))
            .fold(0.0, f32::max)
    };
    let ((ax, ay), (bx, by)) = (middle(a), middle(b));
    (ax - bx).hypot(ay - by) <= size(a).max(size(b)).max(8.0)
}

/// Averages each pixel with its neighbours, three by three; at the edges with those that are there.
fn smoothed(grey: &[u8], width: u32, height: u32) -> Vec<u8> {
    let (w, h) = (width as usize, height as usize);
    let around = |at: usize, end: usize| at.saturating_sub(1)..(at + 2).min(end);
    let mut soft = Vec::with_capacity(grey.len());
    for y in 0..h {
        for x in 0..w {
            let (mut sum, mut count) = (0u16, 0u16);
            for row in around(y, h) {
                for column in around(x, w) {
                    sum += u16::from(grey[row * w + column]);
                    count += 1;
                }
            }
            // The mean of bytes is a byte.
            soft.push((sum / count) as u8);
        }
    }
    soft
}

/// Averages blocks of two by two pixels.
fn halved(grey: &[u8], width: u32, height: u32) -> (Vec<u8>, u32, u32) {
    let (w, h) = (width / 2, height / 2);
    let row = width as usize;
    let mut half = Vec::with_capacity(w as usize * h as usize);
    for y in 0..h as usize {
        for x in 0..w as usize {
            let at = 2 * y * row + 2 * x;
            let sum: u16 = [at, at + 1, at + row, at + row + 1]
                .into_iter()
                .map(|i| u16::from(grey[i]))
                .sum();
            half.push((sum / 4) as u8);
        }
    }
    (half, w, h)
}
