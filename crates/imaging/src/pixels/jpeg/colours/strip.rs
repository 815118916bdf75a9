//! A row of coding units: the values of each component, block by block.

/// Values of one component.
pub(super) struct Plane {
    pub(super) values: Vec<u8>,
    pub(super) stride: usize,
}

impl Plane {
    fn new(stride: usize, rows: usize) -> Self {
        Self {
            values: vec![0; stride * rows],
            stride,
        }
    }

    pub(super) fn rows(&mut self) -> std::slice::ChunksExactMut<'_, u8> {
        self.values.chunks_exact_mut(self.stride)
    }
}

/// A row of coding units: brightness, blue and red differences.
pub(in super::super) struct Strip {
    pub(super) planes: [Plane; 3],
    pub(super) half: bool,
    /// Colour values across.
    pub(super) colours: usize,
}

impl Strip {
    /// Makes room for a row of this many pixels, colours at half resolution or not.
    pub(in super::super) fn new(width: usize, half: bool) -> Self {
        let across = if half { 2 } else { 1 };
        let stride = width.next_multiple_of(8 * across);
        let colours = || Plane::new(stride / across, 8);
        Self {
            planes: [Plane::new(stride, 8 * across), colours(), colours()],
            half,
            colours: width.div_ceil(across),
        }
    }

    /// Rows of pixels.
    pub(in super::super) fn rows(&self) -> usize {
        if self.half { 16 } else { 8 }
    }

    /// Coding units.
    pub(in super::super) fn units(&self) -> usize {
        self.planes[1].stride / 8
    }

    /// Blocks of a component in a unit.
    #[inline(always)]
    pub(in super::super) fn blocks(&self, component: usize) -> usize {
        if self.half && component == 0 { 4 } else { 1 }
    }

    /// A block of a unit.
    #[inline(always)]
    pub(in super::super) fn block(
        &self,
        component: usize,
        unit: usize,
        block: usize,
    ) -> [[u8; 8]; 8] {
        let plane = &self.planes[component];
        let across = if self.blocks(component) == 4 { 2 } else { 1 };
        let from = block / 2 * 8 * plane.stride + (unit * across + block % 2) * 8;
        let mut rows = [[0; 8]; 8];
        for (y, row) in rows.iter_mut().enumerate() {
            row.copy_from_slice(&plane.values[from + y * plane.stride..][..8]);
        }
        rows
    }
}
