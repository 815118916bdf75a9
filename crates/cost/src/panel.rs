//! How many boards come out of a panel.
//!
//! In: sizes of panel and board, gap and border. Out: pieces of a straight grid in both orientations, counted, and the
//! share of the panel that they are. Lengths in one unit throughout.
//! Not here: mixed orientations. Without gaps they can give more (43 × 26 holds 53 of 7 × 3 where the grid holds 48),
//! and no simple search proves the most; a grid is how boards are cut.

/// A panel as it is worked on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Panel {
    /// One side.
    pub length: f64,
    /// The other.
    pub width: f64,
    /// Left between two boards.
    pub gap: f64,
    /// Left along each edge.
    pub border: f64,
}

/// Boards on a panel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Laid {
    /// With the length of the board along that of the panel.
    pub straight: u64,
    /// Turned by a quarter.
    pub turned: u64,
    /// Share of the panel's area that the boards of the better grid are, 0 to 1.
    pub utilisation: f64,
}

impl Laid {
    /// Boards of the better grid.
    pub fn count(self) -> u64 {
        self.straight.max(self.turned)
    }
}

/// Rounding that a quotient of written lengths may carry.
const ROUNDING: f64 = 1e-9;

impl Panel {
    /// Lays boards out as a grid.
    pub fn laid(&self, length: f64, width: f64) -> Laid {
        let along = |panel: f64, board: f64| -> u64 {
            let room = panel - 2.0 * self.border + self.gap;
            let pitch = board + self.gap;
            if room > 0.0 && pitch > 0.0 && board > 0.0 {
                (room / pitch + ROUNDING).floor() as u64
            } else {
                0
            }
        };
        let grid = |a: f64, b: f64| along(self.length, a).saturating_mul(along(self.width, b));
        let (straight, turned) = (grid(length, width), grid(width, length));
        let area = straight.max(turned) as f64 * length * width;
        Laid {
            straight,
            turned,
            utilisation: area / (self.length * self.width),
        }
    }

    /// Returns the quotient of the areas, which is no count: up to 44 % too many in the panels of the tests.
    pub fn quotient(&self, length: f64, width: f64) -> f64 {
        let (l, w) = (
            self.length - 2.0 * self.border,
            self.width - 2.0 * self.border,
        );
        l * w / ((length + self.gap) * (width + self.gap))
    }
}

/// Returns the outer size along one side of an array of boards.
pub fn array(count: u32, board: f64, gap: f64, border: f64) -> f64 {
    let count = f64::from(count);
    count * board + (count - 1.0).max(0.0) * gap + 2.0 * border
}
