//! What a lens does to the places of an ideal pinhole picture.
//!
//! In: places on the plane at distance 1 before the pinhole. Out: places there after the lens, and back.
//! Not here: pixels. Source: radial and tangential terms after Brown (1966) and Conrady (1919).

/// Radial and tangential faults.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Lens {
    /// Radial terms of r², r⁴ and r⁶.
    pub radial: [f64; 3],
    /// Tangential terms.
    pub tangential: [f64; 2],
}

impl Lens {
    /// Returns where the lens puts an ideal place.
    pub fn distorted(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let stretch = self.stretch(x, y);
        let [dx, dy] = self.pushed(x, y);
        [x * stretch + dx, y * stretch + dy]
    }

    /// Returns the ideal place that the lens puts here.
    pub fn ideal(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let mut place = [x, y];
        for _ in 0..40 {
            let stretch = self.stretch(place[0], place[1]);
            let [dx, dy] = self.pushed(place[0], place[1]);
            let next = [(x - dx) / stretch, (y - dy) / stretch];
            let moved = (next[0] - place[0]).abs() + (next[1] - place[1]).abs();
            place = next;
            if moved < 1e-9 {
                break;
            }
        }
        place
    }

    fn stretch(&self, x: f64, y: f64) -> f64 {
        let r2 = x * x + y * y;
        let [k1, k2, k3] = self.radial;
        1.0 + r2 * (k1 + r2 * (k2 + r2 * k3))
    }

    fn pushed(&self, x: f64, y: f64) -> [f64; 2] {
        let r2 = x * x + y * y;
        let [p1, p2] = self.tangential;
        [
            2.0 * p1 * x * y + p2 * (r2 + 2.0 * x * x),
            p1 * (r2 + 2.0 * y * y) + 2.0 * p2 * x * y,
        ]
    }
}
