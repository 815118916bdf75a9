//! The most bytes that a file of each kind may have: one table, for every read.
//!
//! Each limit lies well above the largest file of its kind that is met in practice (`common practice`)
//! and well below what a machine of 8 GB of memory can bear.

const MIB: u64 = 1024 * 1024;

/// The text of a dossier; photographs and logs lie beside it.
pub const DOSSIER: u64 = record::LARGEST;
/// A photograph: a medium-format camera writes 200 MB at most.
pub const PHOTOGRAPH: u64 = 256 * MIB;
/// A table of parts as text: a million rows of 200 bytes.
pub const CATALOGUE: u64 = 256 * MIB;
/// Findings of a report, or the list of a bundle.
pub const FINDINGS: u64 = 256 * MIB;
/// An index kept in the cache folder: a million names take 600 MiB.
pub const INDEX: u64 = 1024 * MIB;
/// The tiles of one photograph: at most half as large as the largest photograph.
pub const TILES: u64 = 128 * MIB;
/// A file that was published: a report with its pictures inside.
pub const PUBLISHED: u64 = 1024 * MIB;
/// A table of any kind that is imported, a workbook among them.
pub const TABLE: u64 = 256 * MIB;
/// One symbol library.
pub const SYMBOLS: u64 = 256 * MIB;
/// A list of hardware addresses or USB numbers; the public ones have a few megabytes.
pub const REGISTRY: u64 = 64 * MIB;
/// A typeface or a collection of them; those with all Han characters have 20 to 50 megabytes a cut.
pub const TYPEFACE: u64 = 128 * MIB;
/// An archive of a dossier: some hundred photographs.
pub const ARCHIVE: u64 = 16 * 1024 * MIB;
/// The history of a dossier: a thousand revisions with their texts.
pub const HISTORY: u64 = 256 * MIB;
/// The log of a meter, read as it comes: 10 million rows take half a gigabyte.
pub const LOG: u64 = 16 * 1024 * MIB;
/// Captions of a film: those of several hours have less than one megabyte.
pub const CAPTIONS: u64 = 16 * MIB;
/// A sound recording: an hour of two channels at 48 kHz in 24 bits has 1 GB; it is decoded whole.
pub const RECORDING: u64 = 1024 * MIB;
/// Markings to be read one a line.
pub const BATCH: u64 = 64 * MIB;
