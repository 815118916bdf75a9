//! Moulded parts: how long they cool, what they and their tools cost.
//!
//! In: wall, material, machine, tool. Out: cooling time, cost per part. Lengths in mm, times in s, diffusivity in mm²/s.
//! Source: conduction in a slab cooled on both sides (H. S. Carslaw, J. C. Jaeger, Conduction of Heat in Solids, 3.3):
//! centre θ = Σ 4/(kπ)·(−1)ⁿ·exp(−k²π²at/s²), mean θ = Σ 8/(k²π²)·exp(…), k = 2n + 1. The first term alone is the
//! trade's formula. A form met in print, ln[(Tm − Tw)/(Tm − Te)], is wrong: 1.27 s for 8.84 s.

use std::f64::consts::PI;

/// A wall that cools from both sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wall {
    /// Thickness, mm.
    pub thickness: f64,
    /// Thermal diffusivity, mm²/s.
    pub diffusivity: f64,
    /// Temperature of the melt.
    pub melt: f64,
    /// Temperature of the mould.
    pub mould: f64,
    /// Temperature at which it is pushed out.
    pub eject: f64,
}

/// What must have cooled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cooled {
    /// The middle of the wall.
    Centre,
    /// Its mean.
    Mean,
}

impl Wall {
    /// Share of the melt's heat that is left when it is pushed out.
    fn left(&self) -> f64 {
        (self.eject - self.mould) / (self.melt - self.mould)
    }

    /// Returns the cooling time by the first term of the series, s. Good to 1e-4 unless it is pushed out near the
    /// temperature of the melt.
    pub fn cooling(&self, cooled: Cooled) -> f64 {
        let head = match cooled {
            Cooled::Centre => 4.0 / PI,
            Cooled::Mean => 8.0 / (PI * PI),
        };
        self.thickness.powi(2) / (PI * PI * self.diffusivity) * (head / self.left()).ln()
    }

    /// Returns the cooling time by the whole series, s, found by halving; none where nothing has to cool.
    pub fn cooling_exact(&self, cooled: Cooled) -> Option<f64> {
        let left = self.left();
        if !(left > 0.0 && left < 1.0) {
            return None;
        }
        let scale = self.thickness.powi(2) / self.diffusivity;
        let (mut low, mut high) = (0.0, 10.0 * scale);
        for _ in 0..80 {
            let middle = f64::midpoint(low, high);
            match self.theta(cooled, middle) > left {
                true => low = middle,
                false => high = middle,
            }
        }
        Some(high)
    }

    /// Share of the melt's heat that is left after a time.
    fn theta(&self, cooled: Cooled, seconds: f64) -> f64 {
        let decay = PI * PI * self.diffusivity * seconds / self.thickness.powi(2);
        let terms = (0_u32..4000).map(|n| {
            let k = f64::from(2 * n + 1);
            let sign = if n % 2 == 0 { 1.0 } else { -1.0 };
            let head = match cooled {
                Cooled::Centre => 4.0 / (PI * k) * sign,
                Cooled::Mean => 8.0 / (PI * PI * k * k),
            };
            head * (-k * k * decay).exp()
        });
        terms.take_while(|term| term.abs() > 1e-18).sum()
    }
}

/// Returns what one part costs: material, process and its share of the tool, over the yield.
pub fn part(material: f64, process: f64, tool: f64, good: f64) -> f64 {
    (material + process + tool) / good
}

/// Returns the share of tools that each of `volume` pieces bears: tools are bought whole.
pub fn tool_share(cost: f64, life: f64, volume: f64) -> f64 {
    cost * (volume / life).ceil().max(1.0) / volume
}

/// Returns the time on a machine that one piece takes, over the share of the time that it runs, as cost.
pub fn machine(hour: f64, cycle_seconds: f64, cavities: f64, runs: f64) -> f64 {
    hour / 3600.0 * cycle_seconds / cavities / runs
}
