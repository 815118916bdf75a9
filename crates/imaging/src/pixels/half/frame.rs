//! What stands before the compressed data of a JPEG file: size, tables, components.

use super::fold::Fold;
use super::huffman::Table;
use crate::pixels::metadata::{jpeg_body, jpeg_marker_at};
use std::rc::Rc;

/// One component: brightness or a colour difference.
pub(super) struct Component {
    /// Blocks across and down in a coding unit.
    pub(super) factors: [usize; 2],
    pub(super) fold: Fold,
    /// Codes of the first coefficient of a block, and of the others.
    pub(super) first: Rc<Table>,
    pub(super) others: Rc<Table>,
}

/// A file of one scan.
pub(super) struct Frame<'a> {
    /// Width and height, pixels, both even.
    pub(super) size: [usize; 2],
    /// Largest sampling factors.
    pub(super) most: [usize; 2],
    pub(super) components: Vec<Component>,
    /// Coding units between restart markers; 0 without.
    pub(super) restart: usize,
    /// Everything behind the scan header.
    pub(super) data: &'a [u8],
}

/// Component of a frame header: name, sampling factors, quantisation table.
type Stated = (u8, [usize; 2], usize);

/// What the segments have told so far.
#[derive(Default)]
struct Known {
    size: [usize; 2],
    stated: Vec<Stated>,
    quantisation: [Option<[u16; 64]>; 4],
    tables: [[Option<Rc<Table>>; 4]; 2],
    restart: usize,
}

impl<'a> Frame<'a> {
    /// Reads up to the first scan; `None` for what is not read here.
    pub(super) fn read(bytes: &'a [u8]) -> Option<Self> {
        let mut known = Known::default();
        let mut at = 2;
        loop {
            let (marker, body_at) = jpeg_marker_at(bytes, at).ok()?;
            let body = jpeg_body(bytes, marker, body_at).ok()?;
            at = body_at + 2 + body.len();
            match marker {
                0xc0 | 0xc1 if known.stated.is_empty() => known.frame(body)?,
                0xc4 => known.codes(body)?,
                0xdb => known.quantisation(body)?,
                0xdd => known.restart = usize::from(number(body)?),
                0xda => return known.scan(body, &bytes[at..]),
                // Colours that are not brightness and differences.
                0xee if body.starts_with(b"Adobe") && body.get(11) != Some(&1) => return None,
                0xe0..=0xef | 0xfe => {}
                _ => return None,
            }
        }
    }
}

fn number(body: &[u8]) -> Option<u16> {
    body.first_chunk().map(|b| u16::from_be_bytes(*b))
}

impl Known {
    fn frame(&mut self, body: &[u8]) -> Option<()> {
        let (head, rest) = body.split_first_chunk::<6>()?;
        let [8, h1, h0, w1, w0, count @ (1 | 3)] = *head else {
            return None;
        };
        self.size = [[w1, w0], [h1, h0]].map(|b| usize::from(u16::from_be_bytes(b)));
        for part in rest.chunks_exact(3).take(usize::from(count)) {
            let factors = [part[1] >> 4, part[1] & 15].map(usize::from);
            self.stated.push((part[0], factors, usize::from(part[2])));
        }
        // A component alone is stored block by block, whatever its factors.
        if let [(_, factors, _)] = self.stated.as_mut_slice() {
            *factors = [1; 2];
        }
        let even = self.size.iter().all(|v| *v > 0 && v % 2 == 0);
        (even && self.stated.len() == usize::from(count)).then_some(())
    }

    fn quantisation(&mut self, mut body: &[u8]) -> Option<()> {
        while let [kind, rest @ ..] = body {
            let wide = usize::from(kind >> 4) + 1;
            let values = rest.get(..64 * wide)?;
            let mut table = [0; 64];
            for (to, from) in table.iter_mut().zip(values.chunks_exact(wide)) {
                *to = from.iter().fold(0, |sum, b| sum << 8 | u16::from(*b));
            }
            *self.quantisation.get_mut(usize::from(kind & 15))? = Some(table);
            body = &rest[64 * wide..];
        }
        Some(())
    }

    fn codes(&mut self, mut body: &[u8]) -> Option<()> {
        while let [kind, rest @ ..] = body {
            let (counts, rest) = rest.split_first_chunk::<16>()?;
            let count = counts.iter().map(|c| usize::from(*c)).sum();
            let table = Table::new(*counts, rest.get(..count)?)?;
            let class = self.tables.get_mut(usize::from(kind >> 4))?;
            *class.get_mut(usize::from(kind & 15))? = Some(Rc::new(table));
            body = &rest[count..];
        }
        Some(())
    }

    fn scan<'a>(&self, body: &[u8], data: &'a [u8]) -> Option<Frame<'a>> {
        let (count, rest) = body.split_first()?;
        let most = [0, 1].map(|axis| self.stated.iter().map(|s| s.1[axis]).max().unwrap_or(0));
        let parts = rest.get(..2 * self.stated.len())?;
        let whole = usize::from(*count) == self.stated.len() && most.iter().all(|m| *m <= 2);
        if !whole || rest.get(parts.len()..) != Some(&[0, 63, 0]) {
            return None;
        }
        let mut components = Vec::new();
        for (stated, part) in self.stated.iter().zip(parts.chunks_exact(2)) {
            let (name, factors, table) = stated;
            if part[0] != *name || factors.contains(&0) {
                return None;
            }
            let size = [0, 1].map(|axis| 4 * most[axis] / factors[axis]);
            let of =
                |class: usize, number: u8| self.tables[class].get(usize::from(number))?.clone();
            components.push(Component {
                factors: *factors,
                fold: Fold::new(size, self.quantisation.get(*table)?.as_ref()?),
                first: of(0, part[1] >> 4)?,
                others: of(1, part[1] & 15)?,
            });
        }
        let named = |names: &[u8]| self.stated.iter().map(|s| &s.0).eq(names);
        (!named(b"RGB")).then_some(Frame {
            size: self.size,
            most,
            components,
            restart: self.restart,
            data,
        })
    }
}
