//! What is known beside the string: what it stands on, when it was seen, who can look names up.

use jiff::civil::Date;
use serde::Serialize;

/// The sort of thing a string stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MarkedObject {
    /// A resistor.
    Resistor,
    /// A capacitor.
    Capacitor,
    /// An inductor.
    Inductor,
    /// A cell or battery.
    Cell,
    /// An integrated circuit, transistor or other semiconductor.
    Chip,
    /// A printed label, an enclosure or a box.
    Label,
    /// What a USB device says of itself.
    UsbDevice,
    /// A note of a package or part size.
    Outline,
}

/// Names that the caller can look up, for example in the user's own copies of public registers.
/// Every answer may be `None`.
pub trait Registries {
    /// Names who registered an address block. `prefix` holds the leading `bits` (36, 28 or 24) of an
    /// address, right-aligned.
    fn address_block(&self, _prefix: u64, _bits: u8) -> Option<String> {
        None
    }
    /// Names a USB vendor.
    fn usb_vendor(&self, _vendor: u16) -> Option<String> {
        None
    }
    /// Names a USB product.
    fn usb_product(&self, _vendor: u16, _product: u16) -> Option<String> {
        None
    }
}

/// What is known beside the string. The default knows nothing.
#[derive(Clone, Copy, Default)]
pub struct Context<'a> {
    /// What the string stands on, if that is known.
    pub on: Option<MarkedObject>,
    /// When the thing was opened or seen: dates after it are not plausible.
    pub opened: Option<Date>,
    /// Where names can be looked up.
    pub registers: Option<&'a dyn Registries>,
}

impl std::fmt::Debug for Context<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Context")
            .field("on", &self.on)
            .field("opened", &self.opened)
            .field("registers", &self.registers.is_some())
            .finish()
    }
}

impl<'a> Context<'a> {
    /// A context that knows what the string stands on.
    pub fn on(thing: MarkedObject) -> Self {
        Self {
            on: Some(thing),
            ..Self::default()
        }
    }

    /// Sets the day of opening.
    #[must_use]
    pub fn opened(mut self, day: Date) -> Self {
        self.opened = Some(day);
        self
    }

    /// Sets where names can be looked up.
    #[must_use]
    pub fn with_registries(mut self, registers: &'a dyn Registries) -> Self {
        self.registers = Some(registers);
        self
    }
}
