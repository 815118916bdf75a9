//! Cells, chargers and sources as equations: how a charge or a discharge goes.
//!
//! In: numbers in SI units (seconds, amperes, volts, ohms, farads, watts, kelvins apart) and charge in
//! ampere-hours. Out: times, charge, energy, heat and what binds at each moment.
//! Not here: dossiers, evidence, uncertainty of inputs (the caller draws them), logs (`logs`).
//! Source: the equations of a cell with one resistance and pairs of resistance and capacitance, solved in closed
//! form on each piece of a piecewise-linear open-circuit voltage.
