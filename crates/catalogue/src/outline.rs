//! Package outlines from the names of footprints and of filters for them.
//!
//! In: `SOIC-8_3.9x4.9mm_P1.27mm`, `QFN*1EP*3x3mm*P0.5mm*`, `SOT?23*`. Out: an [`Outline`] with
//! what the name says and nothing else; a name without a known family gives none.
//!
//! The way such names are built: family and number of leads, `nEP` for exposed pads, body as
//! width by length, `P` and the pitch, `EP` and the size of the pad. A filter puts `*` for any
//! text and `?` for one character, here a hyphen. `W7.62mm` is the distance of pin rows and
//! `Layout8x8` a grid of balls; neither is a body.
//! Limit: the size in a name is not always the drawn one; a few names differ by 0.1 mm and more.

use serde::Serialize;

/// A package outline as far as a name tells it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Outline {
    /// Family: "QFN", "SOT-23".
    pub family: String,
    /// Number of leads, exposed pads not counted.
    pub pins: Option<u32>,
    /// Number of exposed pads.
    pub exposed: u32,
    /// Length and width of the body, mm, the longer first.
    pub body_mm: Option<[f64; 2]>,
    /// Pitch of the leads, mm.
    pub pitch_mm: Option<f64>,
}

/// Families that a number of leads follows.
const COUNTED: &str = "\
    SO SOIC SOP HSOP HSOIC HTSOP SSO SSOP HSSOP TSSOP HTSSOP MSOP HMSOP VSSOP HVSSOP QSOP TSOP \
    TSOP-I TSOP-II SOJ QFN DQFN HQFN HVQFN HXQFN MQFN PQFN SQFN TQFN UQFN UFQFPN VQFN WQFN XQFN \
    MLF MLPQ MLPD DFN DHVQFN TDFN UDFN VDFN WDFN XDFN DDFN DFN-S SON HVSON HUSON USON VSON WSON \
    XSON X2SON QFP EQFP HTQFP LQFP MQFP PQFP TQFP VQFP CQFP LCC PLCC CLCC QFJ BGA CBGA FBGA \
    FCBGA FTBGA LBGA LFBGA MAPBGA TBGA TFBGA UBGA UCBGA UFBGA VFBGA WFBGA XBGA XFBGA CSBGA CABGA \
    CSP DSBGA LFCSP WLCSP WLP UCSP LGA FLGA TFLGA VLGA WLGA PGA CPGA DIP CDIP CERDIP PDIP SDIP \
    SPDIP SMDIP SIP SIL ZIP TDSON TSDSON TSON LFPAK ESIP MELF MINIMELF MICROMELF SMA SMB SMC \
    DPAK D2PAK";

/// Families that a number of the outline follows, and then the number of leads.
const NUMBERED: &[&str] = &["SOT", "TSOT", "SC", "SOD", "TO", "DO", "SSOT"];

impl Outline {
    /// Reads a footprint name or a filter for footprint names; a library name before a colon is
    /// passed over.
    ///
    /// ```
    /// let outline = catalogue::Outline::read("QFN*1EP*3x3mm*P0.5mm*").expect("a known family");
    /// assert_eq!(outline.body_mm, Some([3.0, 3.0]));
    /// assert_eq!(outline.pitch_mm, Some(0.5));
    /// assert_eq!(outline.exposed, 1);
    /// assert_eq!(outline.name(Some(16)), "QFN-16");
    /// ```
    pub fn read(name: &str) -> Option<Self> {
        let name = name.rsplit(':').next().unwrap_or(name).replace('?', "-");
        let (family, pins) = name.split(['*', '_', ' ']).find_map(family)?;
        let mut outline = Self {
            family,
            pins,
            exposed: 0,
            body_mm: None,
            pitch_mm: None,
        };
        for token in name.split(['*', '_', '-', ' ']) {
            if let Some(pads) = token.strip_suffix("EP") {
                outline.exposed = pads.parse().ok().filter(|n| *n < 100).unwrap_or(0);
            } else if let Some(pitch) = token.strip_prefix('P') {
                let pitch = mm(pitch).filter(|_| outline.pitch_mm.is_none());
                outline.pitch_mm = outline.pitch_mm.or(pitch);
            } else if outline.body_mm.is_none() {
                outline.body_mm = body(token);
            }
        }
        Some(outline)
    }

    /// Returns the name of the outline with its number of leads: "QFN-16", "SOT-23-5"; the given
    /// number serves where the outline does not say.
    ///
    /// The commonest form of a numbered outline goes without: three leads for SOT-23 and the like
    /// are not written.
    pub fn name(&self, pins: Option<u32>) -> String {
        let pins = self.pins.or(pins);
        match pins {
            Some(pins) if writes_pins(&self.family, pins) => format!("{}-{pins}", self.family),
            _ => self.family.clone(),
        }
    }
}

/// Reads the family and the number of leads from one piece of a name.
fn family(piece: &str) -> Option<(String, Option<u32>)> {
    let piece = piece.trim_start_matches('-').to_uppercase();
    let letters = piece.bytes().take_while(u8::is_ascii_alphabetic).count();
    let (word, rest) = piece.split_at(letters);
    let mut numbers = rest.split('-').filter(|part| !part.is_empty());
    if NUMBERED.contains(&word) {
        let which = numbers.next()?;
        if !which.bytes().next()?.is_ascii_digit() {
            return None;
        }
        let pins = numbers.next().and_then(|n| n.parse().ok());
        return Some((format!("{word}-{which}"), pins));
    }
    // "TSOP-II-32": a roman number belongs to the family.
    let roman = numbers.clone().next().filter(|n| matches!(*n, "I" | "II"));
    let long = roman.map(|n| format!("{word}-{n}"));
    let found = long
        .filter(|long| is_counted(long))
        .or_else(|| is_counted(word).then(|| word.to_string()))?;
    if found != word {
        numbers.next();
    }
    // "SOIC-16W" is a wide SOIC-16; its width tells.
    let count = numbers.next().and_then(|n| {
        let digits = n.bytes().take_while(u8::is_ascii_digit).count();
        let tail = &n[digits..];
        matches!(tail, "" | "W" | "N" | "M" | "L" | "C")
            .then(|| n[..digits].parse().ok())
            .flatten()
    });
    // "LFPAK33" and "DIP*300" are sizes, told apart by what a family can have.
    let count = count.filter(|n| *n >= 2 && *n <= 5_000 && !found.starts_with("LFPAK"));
    Some((found, count))
}

fn is_counted(word: &str) -> bool {
    COUNTED.split_whitespace().any(|family| family == word)
}

fn writes_pins(family: &str, pins: u32) -> bool {
    match family {
        "SOT-23" | "TSOT-23" | "SC-70" | "SC-59" | "SOT-89" | "SOT-323" => pins != 3,
        // These numbers already say how many leads there are.
        "SOT-223" | "SOT-143" | "SOT-343" | "SOT-353" | "SOT-363" | "SOT-553" | "SOT-563"
        | "SOT-416" | "SOT-523" | "SOT-723" | "SOT-963" => false,
        _ if family.starts_with("SOD") || family.starts_with("DO-") => false,
        "SMA" | "SMB" | "SMC" | "MELF" | "MINIMELF" | "MICROMELF" => false,
        _ => true,
    }
}

/// Reads `3.9x4.9mm`; a third side is the height. The sides must end in `mm`, or in the `m` of a
/// misspelt filter.
fn body(token: &str) -> Option<[f64; 2]> {
    let sides = token
        .strip_suffix("mm")
        .or_else(|| token.strip_suffix('m'))?;
    let mut sides = sides.split('x');
    let (a, b) = (number(sides.next()?)?, number(sides.next()?)?);
    Some([a.max(b), a.min(b)])
}

fn mm(token: &str) -> Option<f64> {
    number(token.strip_suffix("mm")?)
}

fn number(text: &str) -> Option<f64> {
    let plain = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    let value: f64 = text.parse().ok().filter(|_| plain)?;
    (value > 0.0 && value <= crate::number::LONGEST_MM).then_some(value)
}
