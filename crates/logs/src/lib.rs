//! Logs of charges and discharges: columns, phases, charge and energy.
//!
//! In: rows of a meter's file as text. Out: samples in SI units, phases with the intervals their switches lie in,
//! charge and energy with what sampling costs, and what is wrong with the file.
//! Not here: files (the caller opens them), simulation (`charging`), verdicts (`methods`).
