//! Which known part carries a marking.
//!
//! In: a marking as seen, what else is known about the part, and a catalogue. Out: ranked candidates
//! with probabilities, "none of these" among them.
//! Not here: the notation of a marking (`record`), value and date codes (`codes`), files.
