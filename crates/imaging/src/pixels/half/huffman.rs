//! Huffman codes of a JPEG scan, read bit by bit from bytes in which 0xFF is stuffed.
//!
//! A table looked up with the next bits gives code and value at once where both fit; longer ones
//! follow the canonical search. Source: ITU-T T.81, annexes C and F.2.2.

/// Bits that are looked up at once.
const LOOK: u32 = 10;
/// Step over the coefficients that ends a block: no other step reaches as far.
pub(super) const END: usize = 128;

/// What the next bits mean: a step over coefficients, how many bits it takes, and the value where
/// that is among the looked-up bits, else the number of its bits.
#[derive(Clone, Copy, Default)]
pub(super) struct Entry {
    value: i16,
    step: u8,
    /// Bits of code and value; 0 where the code is longer than what is looked up.
    bits: u8,
    /// Bits of a value that follows.
    open: u8,
}

/// A table of codes.
pub(super) struct Table {
    look: Box<[Entry; 1 << LOOK]>,
    symbols: Vec<u8>,
    /// First code behind those of each length, left-aligned in 16 bits, and what leads from a code
    /// to its symbol.
    ends: [u32; 17],
    shifts: [i32; 17],
}

impl Table {
    /// Returns the table with these numbers of codes of 1 to 16 bits; `None` where they do not fit.
    pub(super) fn new(counts: [u8; 16], symbols: &[u8]) -> Option<Self> {
        let (mut ends, mut shifts) = ([0; 17], [0; 17]);
        let mut look = Box::new([Entry::default(); 1 << LOOK]);
        let (mut code, mut index) = (0u32, 0usize);
        for length in 1..=16u32 {
            shifts[length as usize] = index as i32 - code as i32;
            for _ in 0..counts[length as usize - 1] {
                let symbol = *symbols.get(index)?;
                if code >> length != 0 {
                    return None;
                }
                if length <= LOOK {
                    let free = LOOK - length;
                    for rest in 0..1u32 << free {
                        look[((code << free) | rest) as usize] = entry(symbol, length, rest, free);
                    }
                }
                code += 1;
                index += 1;
            }
            ends[length as usize] = code << (16 - length);
            code <<= 1;
        }
        Some(Self {
            look,
            symbols: symbols.to_vec(),
            ends,
            shifts,
        })
    }

    /// Reads a code and its value: how far to step and the value there. Needs 32 bits.
    #[inline(always)]
    pub(super) fn read(&self, bits: &mut Bits<'_>) -> Option<(usize, i32)> {
        let entry = self.look[(bits.held >> (64 - LOOK)) as usize];
        if entry.bits == 0 {
            let (length, symbol) = self.search(bits.held)?;
            bits.skip(length);
            let size = u32::from(symbol & 15);
            let value = if size == 0 { 0 } else { bits.value(size) };
            return Some((usize::from(step(symbol)), value));
        }
        bits.skip(u32::from(entry.bits));
        let value = if entry.open == 0 {
            i32::from(entry.value)
        } else {
            bits.value(u32::from(entry.open))
        };
        Some((usize::from(entry.step), value))
    }

    /// Length and symbol of a code that is longer than what is looked up.
    #[cold]
    fn search(&self, held: u64) -> Option<(u32, u8)> {
        let next = (held >> 48) as u32;
        let length = (LOOK as usize + 1..=16).find(|l| next < self.ends[*l])?;
        let index = (next >> (16 - length)) as i32 + self.shifts[length];
        let symbol = *self.symbols.get(usize::try_from(index).ok()?)?;
        Some((length as u32, symbol))
    }
}

/// Coefficients to step over: the run of zeros and the value behind it.
fn step(symbol: u8) -> u8 {
    match symbol {
        // A run of sixteen zeros.
        0xf0 => 16,
        // Shorter runs without a value end the block.
        s if s & 15 == 0 => END as u8,
        s => (s >> 4) + 1,
    }
}

/// The meaning of a code of `length` bits with `free` bits behind it that are `rest`.
fn entry(symbol: u8, length: u32, rest: u32, free: u32) -> Entry {
    let size = u32::from(symbol & 15);
    let whole = size <= free;
    let value = if size > 0 && whole {
        signed(rest >> (free - size), size) as i16
    } else {
        0
    };
    Entry {
        value,
        step: step(symbol),
        bits: (length + if whole { size } else { 0 }) as u8,
        open: if whole { 0 } else { size as u8 },
    }
}

/// The value that `size` bits stand for (T.81, figure F.12).
#[inline(always)]
fn signed(bits: u32, size: u32) -> i32 {
    let bits = bits as i32;
    if bits >> (size - 1) == 0 {
        bits + 1 - (1 << size)
    } else {
        bits
    }
}

/// Reads bits of a scan. Copied while a block is read and handed over by value, so that it stays in
/// registers.
#[derive(Clone, Copy)]
pub(super) struct Bits<'a> {
    data: &'a [u8],
    at: usize,
    /// The next bits from the highest one on.
    held: u64,
    count: u32,
    /// Bytes of zeros that were read behind the end.
    past: u32,
}

impl<'a> Bits<'a> {
    pub(super) fn new(data: &'a [u8]) -> Self {
        Self {
            data,
            at: 0,
            held: 0,
            count: 0,
            past: 0,
        }
    }

    /// Holds at least 32 bits.
    #[inline(always)]
    pub(super) fn fill(&mut self) {
        if self.count >= 32 {
            return;
        }
        if let Some(next) = self.data.get(self.at..).and_then(|r| r.first_chunk::<8>()) {
            let word = u64::from_be_bytes(*next);
            let zero = !word;
            if zero.wrapping_sub(0x0101_0101_0101_0101) & word & 0x8080_8080_8080_8080 == 0 {
                // Bits behind the last whole byte are taken too; they are the same the next time.
                self.held |= word >> self.count;
                let bytes = (63 - self.count) / 8;
                self.at += bytes as usize;
                self.count += bytes * 8;
                return;
            }
        }
        *self = self.filled_slowly();
    }

    #[cold]
    fn filled_slowly(mut self) -> Self {
        while self.count <= 56 {
            let byte = match (self.data.get(self.at), self.data.get(self.at + 1)) {
                (Some(0xff), Some(0)) => {
                    self.at += 2;
                    0xff
                }
                // A marker ends the bits.
                (Some(0xff), _) | (None, _) => {
                    self.past += 1;
                    0
                }
                (Some(byte), _) => {
                    self.at += 1;
                    *byte
                }
            };
            self.held |= u64::from(byte) << (56 - self.count);
            self.count += 8;
        }
        self
    }

    #[inline(always)]
    fn skip(&mut self, bits: u32) {
        self.held <<= bits;
        self.count -= bits;
    }

    #[inline(always)]
    fn value(&mut self, size: u32) -> i32 {
        let bits = (self.held >> (64 - size)) as u32;
        self.skip(size);
        signed(bits, size)
    }

    /// Says whether no more bits were used than there are.
    pub(super) fn held_enough(&self) -> bool {
        self.past * 8 <= self.count
    }

    /// Steps over a restart marker; `None` where none is next.
    pub(super) fn restart(&mut self) -> Option<()> {
        if !self.held_enough() {
            return None;
        }
        // Bytes that are held but not used belong before the marker, or there are none.
        let rest = self.data.get(self.at..)?;
        if let [0xff, 0xd0..=0xd7, ..] = rest {
            *self = Self {
                at: self.at + 2,
                ..Self::new(self.data)
            };
            return Some(());
        }
        None
    }
}
