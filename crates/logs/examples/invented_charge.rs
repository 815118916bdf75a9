//! Writes the charge log of the demonstration's lamp: invented, made of a simulated charge and noise.
//!
//! In: nothing. Out: on the standard output, what a bench meter at the cell would have written: a row every ten seconds,
//! two minutes of rest behind the end of the charge.

use charging::{Cell, Ocv, PUBLISHED, Pair, Stage, State, Until, charge};

/// Uniform numbers from 0 to 1, always the same ones.
struct Noise(u64);

impl Noise {
    fn uniform(&mut self) -> f64 {
        // Knuth, MMIX.
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(self.0 >> 32).unwrap_or_default()) / f64::from(u32::MAX)
    }

    /// About normal, by the sum of twelve.
    fn normal(&mut self, sd: f64) -> f64 {
        let sum: f64 = (0..12).map(|_| self.uniform()).sum();
        sd * (sum - 6.0)
    }
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let table = PUBLISHED.iter().find(|table| table.name == "Ai2020");
    let ocv: Ocv = table.ok_or("the table is published")?.ocv()?;
    let pairs = [
        Pair {
            ohm: 0.06,
            farad: 30.0 / 0.06,
        },
        Pair {
            ohm: 0.12,
            farad: 900.0 / 0.12,
        },
    ];
    let cell = Cell::new(0.626, ocv, 0.16, &pairs)?;
    let stage = Stage::current_voltage(0.2974, 4.2, 0.031)?;
    let charged = charge(&cell, State::rested(0.0), &[stage], Until::default())?;
    let mut noise = Noise(20_260_301);
    println!("Time (s),Voltage (V),Current (A)");
    for row in 0_u32.. {
        let t = 10.0 * f64::from(row);
        let Some(sample) = charged.at(t) else {
            break;
        };
        let volts = sample.moment.voltage_v + noise.normal(0.001);
        let amperes = sample.moment.current_a + noise.normal(0.0003);
        println!("{t:.0},{volts:.3},{amperes:.4}");
    }
    let end = (charged.finish.time_s / 10.0).floor() * 10.0;
    for row in 1..=12_u32 {
        let t = end + 10.0 * f64::from(row);
        let rested = 4.193 - 0.006 * (1.0 - (-f64::from(row) / 6.0).exp());
        println!("{t:.0},{:.3},0.0000", rested + noise.normal(0.001));
    }
    Ok(())
}
