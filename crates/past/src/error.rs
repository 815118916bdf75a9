//! Why a text was not read: what is wrong, then what to do.
//!
//! In: nothing. Out: [`PastError`]. Not here: who finds it.

/// Why a text was not read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum PastError {
    /// More bytes than an article or the captions of a film have.
    #[error(
        "the file has {bytes} bytes, more than the {largest} allowed; split it, or check that it is a text"
    )]
    TooLarge {
        /// Bytes of the file.
        bytes: u64,
        /// [`crate::LARGEST`].
        largest: u64,
    },
    /// Nothing to read.
    #[error("the file holds no words; export the article again, or leave the file out")]
    Empty,
    /// Bytes that no text has.
    #[error(
        "the file is no text (byte {at} is a control character); export the article as HTML, Markdown or plain text"
    )]
    Binary {
        /// The first such byte, counted from 0.
        at: usize,
    },
    /// Bytes that do not fit the encoding that the file itself names.
    #[error("the file says it is {encoding} and is not; save it as UTF-8")]
    Encoding {
        /// The name of the encoding.
        encoding: &'static str,
    },
    /// Captions that cannot be read.
    #[error("{0}")]
    Captions(#[from] captions::CaptionError),
}

impl PastError {
    /// Returns what is wrong, without the remedy.
    pub fn reason(&self) -> String {
        self.parted().0
    }

    /// Returns what a person can do about it.
    pub fn remedy(&self) -> String {
        self.parted().1
    }

    fn parted(&self) -> (String, String) {
        let message = self.to_string();
        let (reason, remedy) = message.rsplit_once("; ").unwrap_or((&message, ""));
        (reason.to_string(), remedy.to_string())
    }
}
