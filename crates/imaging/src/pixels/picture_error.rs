//! Why a picture file was not accepted: the fault, its place in the file, what to do about it.

use std::fmt;

/// What is wrong with a picture file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// The first bytes belong to none of JPEG, PNG, WebP, TIFF and GIF.
    NotAPicture,
    /// A format or a feature of a format that is not read.
    Unread(String),
    /// The file ends before the named part does.
    Ends {
        /// The part that is cut off.
        inside: String,
    },
    /// A part contradicts the format's rules.
    Broken(String),
    /// The picture says it is larger than is accepted.
    TooLarge {
        /// Stated width, pixels.
        width: u32,
        /// Stated height, pixels.
        height: u32,
        /// Most pixels that are accepted.
        most_pixels: u64,
    },
    /// The stated size cannot be held by the bytes that follow.
    SizeNotHeld {
        /// Stated width, pixels.
        width: u32,
        /// Stated height, pixels.
        height: u32,
        /// Bytes of picture data that are there.
        bytes: u64,
    },
    /// The decoder refused the picture data.
    Decoder(String),
    /// The picture cannot be written as asked.
    Unwritten(String),
    /// The work was stopped from outside.
    Stopped,
}

/// A fault with its place in the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PictureError {
    /// What is wrong.
    pub fault: Fault,
    /// Offset from the start of the file, bytes, where it is known.
    pub at: Option<u64>,
}

impl PictureError {
    pub(crate) fn new(fault: Fault) -> Self {
        Self { fault, at: None }
    }

    pub(crate) fn at(fault: Fault, place: usize) -> Self {
        Self {
            fault,
            at: Some(place as u64),
        }
    }

    pub(crate) fn ends(inside: impl Into<String>, place: usize) -> Self {
        Self::at(
            Fault::Ends {
                inside: inside.into(),
            },
            place,
        )
    }

    pub(crate) fn broken(what: impl Into<String>, place: usize) -> Self {
        Self::at(Fault::Broken(what.into()), place)
    }

    /// Returns what a person can do about it.
    pub fn remedy(&self) -> &'static str {
        match self.fault {
            Fault::NotAPicture | Fault::Unread(_) => {
                "save the picture as JPEG, PNG, WebP, TIFF or GIF and name that file"
            }
            Fault::Ends { .. } | Fault::SizeNotHeld { .. } => {
                "copy the file again from the camera or its card"
            }
            Fault::Broken(_) | Fault::Decoder(_) => {
                "copy the file again, or open it in a picture editor and save it anew"
            }
            Fault::TooLarge { .. } => "save a smaller copy",
            Fault::Stopped => "start it again",
            Fault::Unwritten(_) => "ask for a smaller picture or another format",
        }
    }
}

impl fmt::Display for PictureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.fault {
            Fault::NotAPicture => write!(f, "the file is none of JPEG, PNG, WebP, TIFF and GIF"),
            Fault::Unread(what) => write!(f, "{what} is not read"),
            Fault::Ends { inside } => write!(f, "the file ends inside {inside}"),
            Fault::Broken(what) => write!(f, "{what}"),
            Fault::TooLarge {
                width,
                height,
                most_pixels,
            } => write!(
                f,
                "the picture says it is {width} × {height} pixels, more than the {most_pixels} that are accepted"
            ),
            Fault::SizeNotHeld {
                width,
                height,
                bytes,
            } => write!(
                f,
                "the picture says it is {width} × {height} pixels, which {bytes} bytes of picture data cannot hold"
            ),
            Fault::Decoder(what) => write!(f, "the picture data cannot be decoded: {what}"),
            Fault::Stopped => write!(f, "the work was stopped"),
            Fault::Unwritten(what) => write!(f, "the picture cannot be written: {what}"),
        }?;
        match self.at {
            Some(place) => write!(f, " (byte {place})"),
            None => Ok(()),
        }
    }
}

impl std::error::Error for PictureError {}
