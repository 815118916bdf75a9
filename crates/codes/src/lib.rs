//! What a string on a part or a label may mean.
//!
//! In: any text, and what is known beside it ([`Context`]). Out: every reading that applies, with meaning,
//! standard, likelihood and the reason. One module per family of code.
//! Not here: part numbers (`marking`), files, names of makers (the caller looks them up through
//! [`Registries`]).
//!
//! Where practice is split, every reading is given and says what speaks against it; nothing is chosen in
//! silence. What was not seen in a source says so and is less likely.
//!
//! ```
//! use codes::{Context, Kind, MarkedObject, read};
//! let readings = read("4K7", &Context::on(MarkedObject::Resistor));
//! assert_eq!(readings[0].kind, Kind::ResistorLetters);
//! assert_eq!(readings[0].meaning, "Resistance 4.7 kΩ.");
//! ```

#[cfg(feature = "barcode")]
pub mod barcode;
mod cell_designation;
mod chip_size;
pub mod colours;
mod context;
pub mod date;
mod dielectric;
mod digit_code;
pub mod e_series;
pub mod eia96;
pub mod gs1;
pub mod imei;
pub mod ingress;
pub mod likelihood;
mod mac;
pub mod mlcc;
mod reading;
mod rkm;
mod round_cell;
mod text;
pub mod tolerance;
mod usb;
mod voltage;

pub use context::{Context, MarkedObject, Registries};
pub use reading::{CellSize, Kind, Reading, Value};

/// Returns every reading of a string, the most likely first. Likelihoods add up to 1. Empty for a string
/// that no family reads; any text is allowed.
pub fn read(text: &str, context: &Context<'_>) -> Vec<Reading> {
    let Some(folded) = text::fold(text) else {
        return Vec::new();
    };
    let mut drafts = rkm::read(&folded);
    drafts.extend(digit_code::read(&folded));
    drafts.extend(eia96::read(&folded));
    drafts.extend(colours::read(&folded));
    drafts.extend(dielectric::read(&folded));
    drafts.extend(voltage::read(&folded));
    drafts.extend(mlcc::read(&folded));
    drafts.extend(date::read(&folded, context));
    drafts.extend(cell_designation::read(&folded));
    drafts.extend(round_cell::read(&folded));
    drafts.extend(ingress::read(&folded));
    drafts.extend(gs1::read(&folded));
    drafts.extend(imei::read(&folded));
    drafts.extend(mac::read(&folded, context));
    drafts.extend(usb::read(&folded, context));
    drafts.extend(chip_size::read(&folded));
    likelihood::settle(drafts, context)
}
