//! Codes of a scan, written bit by bit.
//!
//! Source: ITU-T T.81, F.1.2 (what is coded) and B.1.1.5 (a zero behind each byte 0xFF).

use super::block::{Coefficients, ORDER};
use super::tables::Codes;

/// Codes of one kind of component.
pub(super) struct Tables {
    first: [u32; 256],
    others: [u32; 256],
}

impl Tables {
    pub(super) fn new(first: &Codes, others: &Codes) -> Self {
        Self {
            first: first.by_symbol(),
            others: others.by_symbol(),
        }
    }
}

/// A run of sixteen zeros; the end of a block.
const SIXTEEN: usize = 0xf0;
const END: usize = 0;

/// Bits on their way to a file.
pub(super) struct Bits {
    bytes: Vec<u8>,
    held: Held,
}

/// Bits that do not fill a word yet: the last `count` of `bits`. Handed over by value, so that it
/// stays in registers.
#[derive(Clone, Copy, Default)]
struct Held {
    bits: u64,
    count: u32,
}

impl Bits {
    /// Writes behind what is there.
    pub(super) fn new(bytes: Vec<u8>) -> Self {
        Self {
            bytes,
            held: Held::default(),
        }
    }

    /// Writes a block; `level` is the component's first coefficient of the block before.
    #[inline(always)]
    pub(super) fn block(&mut self, block: &Coefficients, level: &mut i16, tables: &Tables) {
        let bytes = &mut self.bytes;
        let change = block.values[0] - std::mem::replace(level, block.values[0]);
        let mut held = self.held.value(bytes, i32::from(change), 0, &tables.first);
        let mut rest = block.set & !1;
        let mut from = 1;
        while rest != 0 {
            let place = rest.trailing_zeros();
            rest &= rest - 1;
            let mut zeros = place - from;
            from = place + 1;
            while zeros > 15 {
                held = held.code(bytes, tables.others[SIXTEEN], 0, 0);
                zeros -= 16;
            }
            let value = block.values[usize::from(ORDER[place as usize % 64])];
            held = held.value(bytes, i32::from(value), zeros, &tables.others);
        }
        if from < 64 {
            held = held.code(bytes, tables.others[END], 0, 0);
        }
        self.held = held;
    }

    /// Fills the last byte with ones and returns all.
    pub(super) fn end(mut self) -> Vec<u8> {
        let Held { bits, count } = self.held;
        let free = count.next_multiple_of(8) - count;
        let word = (bits << free | ((1 << free) - 1)) as u32;
        stuffed(
            &mut self.bytes,
            &word.to_be_bytes()[4 - count.div_ceil(8) as usize..],
        );
        self.bytes
    }
}

impl Held {
    /// Writes a run of zeros and the value behind it.
    #[inline(always)]
    fn value(self, bytes: &mut Vec<u8>, value: i32, zeros: u32, codes: &[u32; 256]) -> Self {
        let size = 32 - value.unsigned_abs().leading_zeros();
        // Of a negative value the bits of the next lower one are written.
        let bits = (value + (value >> 31)) as u32 & ((1 << size) - 1);
        self.code(bytes, codes[(zeros << 4 | size) as usize % 256], bits, size)
    }

    /// Writes a code, as [`Codes::by_symbol`] gives it, and `size` bits behind it.
    #[inline(always)]
    fn code(self, bytes: &mut Vec<u8>, code: u32, bits: u32, size: u32) -> Self {
        let length = code % 16 + 1;
        let both = u64::from(code >> 4) << size | u64::from(bits);
        // At most 31 bits are held, and 16 + 11 come.
        let bits = self.bits << (length + size) | both;
        let mut count = self.count + length + size;
        if count >= 32 {
            count -= 32;
            word(bytes, (bits >> count) as u32);
        }
        Self { bits, count }
    }
}

#[inline(always)]
fn word(bytes: &mut Vec<u8>, word: u32) {
    // Whether no byte is 0xFF: then none of the inverted is zero.
    if (!word).wrapping_sub(0x0101_0101) & word & 0x8080_8080 == 0 {
        bytes.extend_from_slice(&word.to_be_bytes());
    } else {
        stuffed(bytes, &word.to_be_bytes());
    }
}

#[cold]
fn stuffed(bytes: &mut Vec<u8>, more: &[u8]) {
    for byte in more {
        bytes.push(*byte);
        if *byte == 0xff {
            bytes.push(0);
        }
    }
}
