//! Who an address or a USB device belongs to, from registries the user has a copy of.
//!
//! In: the bytes of `oui.csv`, `mam.csv`, `oui36.csv`, `iab.csv` (registration authority's files)
//! and of `usb.ids`. Out: names. Nothing is bundled and nothing is fetched.
//! Not here: where those files lie (the command), taking a string apart (`codes`).

mod address;
mod usb;

pub use address::Block;
pub use usb::UsbName;

use crate::Remark;
use std::collections::BTreeMap;

/// Registered blocks of addresses, and USB vendors and products.
#[derive(Debug, Clone, Default)]
pub struct Registry {
    /// By number of bits and the value of those bits.
    blocks: BTreeMap<(u8, u64), Entry>,
    vendors: BTreeMap<u16, String>,
    products: BTreeMap<(u16, u16), String>,
}

#[derive(Debug, Clone)]
struct Entry {
    registry: String,
    owner: String,
}

impl Registry {
    /// Takes in a file of address blocks; returns the number of rows read and what was refused.
    pub fn add_addresses(&mut self, bytes: &[u8], file: &str) -> (usize, Vec<Remark>) {
        address::add(&mut self.blocks, bytes, file)
    }

    /// Takes in a `usb.ids` file; returns the number of names read and what was refused.
    pub fn add_usb(&mut self, bytes: &[u8], file: &str) -> (usize, Vec<Remark>) {
        usb::add(&mut self.vendors, &mut self.products, bytes, file)
    }

    /// Returns who a hardware address (MAC-48) is registered to.
    ///
    /// The longest block wins: 36, then 28, then 24 bits, because the short block around a long
    /// one is registered to the authority itself. An address given out locally (bit 1 of its first
    /// byte) belongs to nobody.
    ///
    /// ```
    /// let mut registry = catalogue::Registry::default();
    /// let text = b"Registry,Assignment,Organization Name,Organization Address\n\
    ///     MA-L,00A5B4,Registration Authority,\nMA-M,00A5B47,Nordhafen,\n";
    /// registry.add_addresses(text, "addresses.csv");
    /// let block = registry.vendor(&[0x00, 0xA5, 0xB4, 0x71, 0x02, 0x03]).expect("registered");
    /// assert_eq!((block.owner, block.bits), ("Nordhafen", 28));
    /// ```
    pub fn vendor(&self, address: &[u8; 6]) -> Option<Block<'_>> {
        address::owner(&self.blocks, address)
    }

    /// Returns the names of a USB vendor and product, as far as they are known.
    pub fn usb(&self, vendor: u16, product: u16) -> UsbName<'_> {
        UsbName {
            vendor: self.vendors.get(&vendor).map(String::as_str),
            product: self.products.get(&(vendor, product)).map(String::as_str),
        }
    }
}
