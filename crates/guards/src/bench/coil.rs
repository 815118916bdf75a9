//! Inductance of flat coils by three published forms, and resonance with a capacitor.
//!
//! Source: Mohan, Hershenson, Boyd, Lee, Simple accurate expressions for planar spiral inductances, IEEE J. Solid-State
//! Circuits 34(10), 1999, 1419-1424; the constants as six public repositories repeat the paper's tables. Usual error 2
//! to 3 %; at a fill of 0.65 the forms part by 5 to 6 %. A coil of several layers, or on ferrite, is none of these: one
//! on a thick sheet of ferrite has up to twice the inductance.

use std::f64::consts::PI;

const MU_0: f64 = 4e-7 * PI;

/// Outline of a coil.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// Four sides.
    Square,
    /// Six sides.
    Hexagon,
    /// Eight sides.
    Octagon,
    /// Round: the current sheet alone is given for it.
    Circle,
}

/// A flat spiral of one layer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coil {
    /// Outline.
    pub shape: Shape,
    /// Turns.
    pub turns: f64,
    /// Outer diameter (width of a square) in millimetres.
    pub outer_mm: f64,
    /// Inner diameter in millimetres.
    pub inner_mm: f64,
    /// Width of the conductor in millimetres.
    pub width_mm: f64,
    /// Space between turns in millimetres.
    pub space_mm: f64,
}

impl Coil {
    /// Makes a coil of its outer diameter, conductor and space: `inner = outer − 2 n w − 2 (n − 1) s`.
    pub fn wound(shape: Shape, turns: f64, outer_mm: f64, width_mm: f64, space_mm: f64) -> Self {
        let inner_mm = outer_mm - 2.0 * turns * width_mm - 2.0 * (turns - 1.0) * space_mm;
        Self {
            shape,
            turns,
            outer_mm,
            inner_mm,
            width_mm,
            space_mm,
        }
    }

    fn fill(&self) -> f64 {
        (self.outer_mm - self.inner_mm) / (self.outer_mm + self.inner_mm)
    }

    fn mean_m(&self) -> f64 {
        0.5e-3 * (self.outer_mm + self.inner_mm)
    }

    /// Returns the inductance in henries after Wheeler, as the paper modified it; none for a circle.
    pub fn wheeler_h(&self) -> Option<f64> {
        let (k1, k2) = match self.shape {
            Shape::Square => (2.34, 2.75),
            Shape::Hexagon => (2.33, 3.82),
            Shape::Octagon => (2.25, 3.55),
            Shape::Circle => return None,
        };
        Some(k1 * MU_0 * self.turns.powi(2) * self.mean_m() / (1.0 + k2 * self.fill()))
    }

    /// Returns the inductance in henries of the current sheet.
    pub fn sheet_h(&self) -> f64 {
        let (c1, c2, c3, c4) = match self.shape {
            Shape::Square => (1.27, 2.07, 0.18, 0.13),
            Shape::Hexagon => (1.09, 2.23, 0.0, 0.17),
            Shape::Octagon => (1.07, 2.29, 0.0, 0.19),
            Shape::Circle => (1.0, 2.46, 0.0, 0.20),
        };
        let fill = self.fill();
        let form = (c2 / fill).ln() + c3 * fill + c4 * fill * fill;
        0.5 * MU_0 * self.turns.powi(2) * self.mean_m() * c1 * form
    }

    /// Returns the inductance in henries of the monomial that was fitted to computed fields; none for a circle.
    pub fn monomial_h(&self) -> Option<f64> {
        let (beta, [a1, a2, a3, a4, a5]) = match self.shape {
            Shape::Square => (1.62e-3, [-1.21, -0.147, 2.40, 1.78, -0.030]),
            Shape::Hexagon => (1.28e-3, [-1.24, -0.174, 2.47, 1.77, -0.049]),
            Shape::Octagon => (1.33e-3, [-1.21, -0.163, 2.43, 1.75, -0.049]),
            Shape::Circle => return None,
        };
        let um = |mm: f64| 1e3 * mm;
        let nanohenries = beta
            * um(self.outer_mm).powf(a1)
            * um(self.width_mm).powf(a2)
            * (1e6 * self.mean_m()).powf(a3)
            * self.turns.powf(a4)
            * um(self.space_mm).powf(a5);
        Some(1e-9 * nanohenries)
    }

    /// Returns the largest difference between the forms as a share of the current sheet's; none for a circle.
    pub fn spread(&self) -> Option<f64> {
        let forms = [self.wheeler_h()?, self.sheet_h(), self.monomial_h()?];
        let most = forms.iter().copied().fold(f64::MIN, f64::max);
        let least = forms.iter().copied().fold(f64::MAX, f64::min);
        Some((most - least) / self.sheet_h())
    }
}

/// Returns the frequency in hertz at which a coil and a capacitor resonate (Thomson).
pub fn resonance_hz(henries: f64, farads: f64) -> f64 {
    1.0 / (2.0 * PI * (henries * farads).sqrt())
}

/// Returns the capacitor in farads that resonates with a coil at a frequency.
pub fn resonant_f(henries: f64, hertz: f64) -> f64 {
    1.0 / ((2.0 * PI * hertz).powi(2) * henries)
}
