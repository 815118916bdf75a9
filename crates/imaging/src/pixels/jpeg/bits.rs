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
    pub(super) bytes: Vec<u8>,
    /// The last `count` bits are not written yet.
    held: u64,
    count: u32,
}

impl Bits {
    pub(super) fn new(bytes: Vec<u8>) -> Self {
        Self {
            bytes,
            held: 0,
            count: 0,
        }
    }

    /// Writes a block; `level` is the component's first coefficient of the block before.
    #[inline(always)]
    pub(super) fn block(&mut self, block: &Coefficients, level: &mut i16, tables: &Tables) {
        let change = block.values[0] - std::mem::replace(level, block.values[0]);
        self.value(i32::from(change), 0, &tables.first);
        let mut rest = block.set & !1;
        let mut from = 1;
        while rest != 0 {
            let place = rest.trailing_zeros();
            rest &= rest - 1;
            let mut zeros = place - from;
            from = place + 1;
            while zeros > 15 {
                self.code(tables.others[SIXTEEN], 0, 0);
                zeros -= 16;
            }
            let value = block.values[usize::from(ORDER[place as usize % 64])];
            self.value(i32::from(value), zeros, &tables.others);
        }
        if from < 64 {
            self.code(tables.others[END], 0, 0);
        }
    }

    /// Writes a run of zeros and the value behind it.
    #[inline(always)]
    fn value(&mut self, value: i32, zeros: u32, codes: &[u32; 256]) {
        let size = 32 - value.unsigned_abs().leading_zeros();
        // Of a negative value the bits of the next lower one are written.
        let bits = (value + (value >> 31)) as u32 & ((1 << size) - 1);
        self.code(codes[(zeros << 4 | size) as usize % 256], bits, size);
    }

    /// Writes a code, as [`Codes::by_symbol`] gives it, and `size` bits behind it.
    #[inline(always)]
    fn code(&mut self, code: u32, bits: u32, size: u32) {
        // At most 31 bits are held, and 16 + 11 come.
        self.held = (self.held << (code % 16 + 1) | u64::from(code >> 4)) << size | u64::from(bits);
        self.count += code % 16 + 1 + size;
        if self.count >= 32 {
            self.count -= 32;
            self.word((self.held >> self.count) as u32);
        }
    }

    #[inline(always)]
    fn word(&mut self, word: u32) {
        let bytes = word.to_be_bytes();
        // Whether no byte is 0xFF: then none of the inverted is zero.
        if (!word).wrapping_sub(0x0101_0101) & word & 0x8080_8080 == 0 {
            self.bytes.extend_from_slice(&bytes);
        } else {
            self.stuffed(&bytes);
        }
    }

    #[cold]
    fn stuffed(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.bytes.push(*byte);
            if *byte == 0xff {
                self.bytes.push(0);
            }
        }
    }

    /// Fills the last byte with ones and returns all.
    pub(super) fn end(mut self) -> Vec<u8> {
        let free = self.count.next_multiple_of(8) - self.count;
        let held = self.held << free | ((1 << free) - 1);
        let count = (self.count + free) / 8;
        let bytes = (held as u32).to_be_bytes();
        self.stuffed(&bytes[4 - count as usize..]);
        self.bytes
    }
}
