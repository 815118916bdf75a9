//! The few fields of an Exif block that matter here, and the smallest block that turns a picture.
//!
//! In: a TIFF structure, from a file nobody vouches for. Out: orientation, place, and which kinds
//! of notes are there. Reading never fails: what cannot be read is not reported, and the block is
//! taken out whole either way.
//!
//! Tags: CIPA DC-008-2019, tables 4 to 15.

/// How stored rows and columns relate to the upright picture (Exif tag 274).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Orientation(u8);

impl Default for Orientation {
    fn default() -> Self {
        Self(1)
    }
}

impl Orientation {
    /// Returns the orientation of this Exif number, 1 to 8.
    pub(crate) fn from_number(number: u16) -> Option<Self> {
        u8::try_from(number)
            .ok()
            .filter(|n| (1..=8).contains(n))
            .map(Self)
    }

    pub(crate) fn number(self) -> u8 {
        self.0
    }

    pub(crate) fn is_upright(self) -> bool {
        self.0 == 1
    }
}

/// A place on the earth as a camera noted it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Location {
    /// Degrees, north positive.
    pub latitude_deg: f64,
    /// Degrees, east positive.
    pub longitude_deg: f64,
}

#[derive(Debug, Clone, Default)]
pub(crate) struct Exif {
    pub(crate) orientation: Option<Orientation>,
    pub(crate) location: Option<Location>,
    pub(crate) tells_place: bool,
    pub(crate) has_profile: bool,
    pub(crate) taken: Option<String>,
    kinds: Vec<&'static str>,
}

impl Exif {
    /// Returns the block's name with the kinds of notes in it.
    pub(crate) fn describe(&self) -> String {
        if self.kinds.is_empty() {
            "Exif".to_string()
        } else {
            format!("Exif ({})", self.kinds.join(", "))
        }
    }

    pub(crate) fn has_notes(&self) -> bool {
        !self.kinds.is_empty()
    }

    fn note(&mut self, kind: &'static str) {
        if !self.kinds.contains(&kind) {
            self.kinds.push(kind);
        }
    }
}

/// What stands before the block in JPEG, and in some WebP files.
pub(crate) const SIGNATURE: &[u8] = b"Exif\0\0";
const ORIENTATION: u16 = 274;
const PROFILE: u16 = 34675;
const XMP: u16 = 700;
const IPTC: u16 = 33723;
/// Fields from here on are private ones (TIFF 6.0, section 8).
const FIRST_PRIVATE: u16 = 32768;
const EXIF_DIRECTORY: u16 = 34665;
const GPS_DIRECTORY: u16 = 34853;
/// Most entries looked at in one directory.
const MOST_ENTRIES: usize = 1000;

/// Byte order and bytes of a TIFF structure.
#[derive(Clone, Copy)]
struct Tiff<'a> {
    bytes: &'a [u8],
    little: bool,
}

/// One field of a directory.
#[derive(Clone, Copy)]
struct Entry {
    tag: u16,
    kind: u16,
    count: u32,
    /// Where the four bytes of value or offset are.
    at: usize,
}

impl<'a> Tiff<'a> {
    fn u16(&self, at: usize) -> Option<u16> {
        let b = *self.bytes.get(at..)?.first_chunk::<2>()?;
        Some(if self.little {
            u16::from_le_bytes(b)
        } else {
            u16::from_be_bytes(b)
        })
    }

    fn u32(&self, at: usize) -> Option<u32> {
        let b = *self.bytes.get(at..)?.first_chunk::<4>()?;
        Some(if self.little {
            u32::from_le_bytes(b)
        } else {
            u32::from_be_bytes(b)
        })
    }

    fn entries(&self, directory: usize) -> Vec<Entry> {
        let count = usize::from(self.u16(directory).unwrap_or(0)).min(MOST_ENTRIES);
        (0..count)
            .map_while(|i| {
                let at = directory + 2 + 12 * i;
                Some(Entry {
                    tag: self.u16(at)?,
                    kind: self.u16(at + 2)?,
                    count: self.u32(at + 4)?,
                    at: at + 8,
                })
            })
            .collect()
    }

    /// Returns a directory an entry points to.
    fn pointed(&self, entry: Entry) -> Vec<Entry> {
        self.u32(entry.at)
            .map(|at| self.entries(at as usize))
            .unwrap_or_default()
    }

    /// Returns the bytes an entry points to; its values are bytes, or longs as some writers have it.
    fn content(&self, entry: Entry) -> Option<&'a [u8]> {
        let size = if entry.kind == 4 { 4 } else { 1 };
        let at = self.u32(entry.at)? as usize;
        let length = (entry.count as usize).checked_mul(size)?;
        self.bytes.get(at..)?.get(..length)
    }

    /// Returns a fraction.
    fn ratio(&self, entries: &[Entry], tag: u16) -> Option<f64> {
        let entry = entries.iter().find(|e| e.tag == tag && e.kind == 5)?;
        let at = self.u32(entry.at)? as usize;
        Some(f64::from(self.u32(at)?) / f64::from(self.u32(at + 4)?))
    }

    fn letter(&self, entries: &[Entry], tag: u16) -> Option<u8> {
        let entry = entries.iter().find(|e| e.tag == tag)?;
        self.bytes.get(entry.at).copied()
    }

    /// Returns an angle stored as three fractions: degrees, minutes, seconds.
    fn angle(&self, entries: &[Entry], tag: u16) -> Option<f64> {
        let entry = entries
            .iter()
            .find(|e| e.tag == tag && e.kind == 5 && e.count == 3)?;
        let at = self.u32(entry.at)? as usize;
        let mut sum = 0.0;
        for (i, share) in [1.0, 60.0, 3600.0].into_iter().enumerate() {
            let over = f64::from(self.u32(at + 8 * i)?);
            let under = f64::from(self.u32(at + 8 * i + 4)?);
            if under > 0.0 {
                sum += over / under / share;
            }
        }
        Some(sum)
    }

    /// Returns the text of a field without the zero at its end.
    fn text(&self, entries: &[Entry], tag: u16) -> Option<&'a str> {
        let entry = entries.iter().find(|e| e.tag == tag && e.kind == 2)?;
        let length = entry.count as usize;
        let at = match length {
            0..=4 => entry.at,
            _ => self.u32(entry.at)? as usize,
        };
        let text = std::str::from_utf8(self.bytes.get(at..)?.get(..length)?).ok()?;
        Some(text.trim_end_matches('\0').trim())
    }

    /// Returns when the picture was taken where the offset from UTC is noted too, as RFC 3339 writes it. Exif has
    /// `2026:03:01 14:05:00` and `+01:00`.
    fn taken(&self, inner: &[Entry]) -> Option<String> {
        const TAKEN: u16 = 36867;
        const OFFSET: u16 = 36881;
        let (date, time) = self.text(inner, TAKEN)?.split_once(' ')?;
        let offset = self.text(inner, OFFSET)?;
        Some(format!("{}T{time}{offset}", date.replace(':', "-")))
    }

    fn location(&self, gps: &[Entry]) -> Option<Location> {
        let signed = |angle: f64, letter: Option<u8>, negative: u8| {
            if letter.map(|l| l.to_ascii_uppercase()) == Some(negative) {
                -angle
            } else {
                angle
            }
        };
        let found = Location {
            latitude_deg: signed(self.angle(gps, 2)?, self.letter(gps, 1), b'S'),
            longitude_deg: signed(self.angle(gps, 4)?, self.letter(gps, 3), b'W'),
        };
        (found.latitude_deg.abs() <= 90.0 && found.longitude_deg.abs() <= 180.0).then_some(found)
    }
}

/// Opens a TIFF structure and returns it with its first directory.
fn open(bytes: &[u8]) -> Option<(Tiff<'_>, usize)> {
    let little = match bytes {
        [b'I', b'I', 42, 0, ..] => true,
        [b'M', b'M', 0, 42, ..] => false,
        _ => return None,
    };
    let tiff = Tiff { bytes, little };
    let first = tiff.u32(4)? as usize;
    Some((tiff, first))
}

/// Returns the colour profile of a TIFF file as it is stored.
pub(crate) fn profile(bytes: &[u8]) -> Option<&[u8]> {
    let (tiff, first) = open(bytes)?;
    let entry = tiff
        .entries(first)
        .into_iter()
        .find(|e| e.tag == PROFILE && matches!(e.kind, 1 | 7))?;
    tiff.content(entry)
}

/// Returns the resolution of a TIFF file where it is the same in both directions and its unit is a
/// length (TIFF 6.0, XResolution, YResolution, ResolutionUnit; an inch is meant where none is named).
pub(crate) fn pixels_per_mm(bytes: &[u8]) -> Option<f64> {
    let (tiff, first) = open(bytes)?;
    let entries = tiff.entries(first);
    let unit = entries.iter().find(|e| e.tag == 296);
    let unit_mm = match unit.map_or(Some(2), |e| tiff.u16(e.at))? {
        2 => 25.4,
        3 => 10.0,
        _ => return None,
    };
    let [x, y] = [tiff.ratio(&entries, 282)?, tiff.ratio(&entries, 283)?];
    ((x / y - 1.0).abs() < 1e-6).then_some(x / unit_mm)
}

/// Returns what an Exif block tells; a leading `Exif` signature is skipped.
pub(crate) fn read(bytes: &[u8]) -> Exif {
    let bytes = bytes.strip_prefix(SIGNATURE).unwrap_or(bytes);
    let mut exif = Exif::default();
    let Some((tiff, first)) = open(bytes) else {
        exif.tells_place = speaks_of_place(bytes);
        return exif;
    };
    let entries = tiff.entries(first);
    for &entry in &entries {
        match entry.tag {
            ORIENTATION => {
                exif.orientation = tiff.u16(entry.at).and_then(Orientation::from_number);
            }
            PROFILE => exif.has_profile = true,
            270 | 37510 | 40091..=40095 => exif.note("description"),
            271 | 272 | 305 => exif.note("camera"),
            306 => exif.note("time"),
            315 | 33432 => exif.note("names"),
            EXIF_DIRECTORY => {
                let inner = tiff.pointed(entry);
                exif.taken = tiff.taken(&inner);
                for entry in inner {
                    read_inner(&mut exif, entry.tag);
                }
            }
            GPS_DIRECTORY => {
                exif.note("place");
                exif.tells_place = true;
                exif.location = tiff.location(&tiff.pointed(entry));
            }
            330 => exif.note("preview picture"),
            XMP | IPTC => {
                exif.note(if entry.tag == XMP { "XMP" } else { "IPTC" });
                exif.tells_place |= tiff.content(entry).is_some_and(speaks_of_place);
            }
            tag if tag >= FIRST_PRIVATE => exif.note("private fields"),
            _ => {}
        }
    }
    let next = tiff
        .u16(first)
        .and_then(|count| tiff.u32(first + 2 + 12 * usize::from(count)));
    if next.is_some_and(|at| at != 0) {
        exif.note("preview picture");
    }
    exif
}

fn read_inner(exif: &mut Exif, tag: u16) {
    match tag {
        36867 | 36868 | 36880..=36882 | 37520..=37522 => exif.note("time"),
        37500 => exif.note("maker's notes"),
        37510 => exif.note("description"),
        42032 => exif.note("names"),
        42033 | 42037 => exif.note("serial numbers"),
        33434 | 33437 | 34855 | 37386 | 42034..=42036 => exif.note("camera"),
        _ => {}
    }
}

/// Says whether a text names a place in one of the usual ways (XMP and IPTC property names).
pub(crate) fn speaks_of_place(content: &[u8]) -> bool {
    const WORDS: [&[u8]; 6] = [
        b"GPSLatitude",
        b"GPSLongitude",
        b"LocationShown",
        b"LocationCreated",
        b"photoshop:City",
        b"Iptc4xmpCore:Location",
    ];
    WORDS
        .iter()
        .any(|word| content.windows(word.len()).any(|w| w == *word))
}

/// Returns a TIFF structure with the orientation alone, 26 bytes.
pub(crate) fn only(orientation: Orientation) -> Vec<u8> {
    let mut block = b"MM\0\x2a\0\0\0\x08".to_vec();
    block.extend(1u16.to_be_bytes());
    block.extend(ORIENTATION.to_be_bytes());
    block.extend(3u16.to_be_bytes());
    block.extend(1u32.to_be_bytes());
    block.extend(u16::from(orientation.number()).to_be_bytes());
    block.extend([0, 0]);
    block.extend(0u32.to_be_bytes());
    block
}
