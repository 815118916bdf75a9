//! What a string on a part or a label may mean.
//!
//! In: any text. Out: every reading that applies, with meaning, standard, likelihood and the reason.
//! Not here: part numbers (`marking`), files.
