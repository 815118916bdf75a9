//! Drawings: masses, power path, verdicts.
