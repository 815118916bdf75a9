//! How much a device takes off a noise: two recordings, band by band, over several seatings.
//!
//! In: levels in bands without and with the device. Out: the loss in each band with its uncertainty, overall for a
//! noise, in the largest band, on average. Not here: recordings (`bank`), which part is meant (`reading`).
//!
//! An insertion loss on a fixture, no attenuation at a real ear (ISO 4869-3). It does not depend on calibration, if
//! both recordings have the same, nor band by band on the noise; an overall figure depends on the noise.

use crate::bands::Band;
use crate::level::{self, Cleared};
use crate::spectra::Spectrum;

/// Levels of one recording.
#[derive(Debug, Clone, PartialEq)]
pub struct Levels {
    /// By band, decibels.
    pub db: Vec<f64>,
    /// Standard uncertainty of each from how long was averaged, decibels.
    pub u_db: Vec<f64>,
}

/// A value in decibels with what is known of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The value, decibels.
    pub db: f64,
    /// Its standard uncertainty, decibels.
    pub u_db: f64,
    /// Degrees of freedom of that; `None` if it does not rest on a spread.
    pub freedom: Option<f64>,
    /// The value is a lower bound: the microphone or the room hid the rest.
    pub at_least: bool,
}

/// Losses by seating and band.
#[derive(Debug, Clone, PartialEq)]
pub struct Losses {
    /// The bands, from low to high.
    pub bands: Vec<Band>,
    /// `seatings[seating][band]`, decibels.
    pub seatings: Vec<Vec<f64>>,
    /// Standard uncertainty that all seatings share, by band.
    pub shared_u: Vec<f64>,
    /// Standard uncertainty of a single seating from how long was averaged, by band.
    pub single_u: Vec<f64>,
    /// Bands in which some seating gives a lower bound only.
    pub bounds: Vec<bool>,
}

impl Losses {
    /// Holds every seating against the mean of what was recorded without the device. `floor` is what the
    /// microphone hears in quiet, by band. `None` if either side is missing.
    pub fn against_open(
        bands: &[Band],
        open: &[Levels],
        closed: &[Levels],
        floor: Option<&[f64]>,
    ) -> Option<Self> {
        if open.is_empty() || closed.is_empty() {
            return None;
        }
        let mut out = Self::empty(bands, closed.len());
        for k in 0..bands.len() {
            let levels: Vec<f64> = open.iter().map(|levels| levels.db[k]).collect();
            let reference = level::energy_mean(&levels);
            let random: f64 = open.iter().map(|levels| levels.u_db[k].powi(2)).sum();
            let random = random.sqrt() / open.len() as f64;
            out.shared_u[k] =
                spread(&levels).map_or(random, |sd| random.max(sd / (levels.len() as f64).sqrt()));
            out.fill(k, closed, |_| reference, floor);
        }
        Some(out)
    }

    /// Holds every seating switched on against the same seating switched off. `None` without pairs.
    pub fn paired(
        bands: &[Band],
        pairs: &[(Levels, Levels)],
        floor: Option<&[f64]>,
    ) -> Option<Self> {
        if pairs.is_empty() {
            return None;
        }
        let on: Vec<Levels> = pairs.iter().map(|(_, on)| on.clone()).collect();
        let mut out = Self::empty(bands, pairs.len());
        for k in 0..bands.len() {
            out.fill(k, &on, |seating| pairs[seating].0.db[k], floor);
            let off: f64 = pairs.iter().map(|(off, _)| off.u_db[k].powi(2)).sum();
            out.single_u[k] = out.single_u[k].hypot((off / pairs.len() as f64).sqrt());
        }
        Some(out)
    }

    fn empty(bands: &[Band], seatings: usize) -> Self {
        let none = || vec![0.0; bands.len()];
        Self {
            bands: bands.to_vec(),
            seatings: vec![none(); seatings],
            shared_u: none(),
            single_u: none(),
            bounds: vec![false; bands.len()],
        }
    }

    fn fill(
        &mut self,
        k: usize,
        closed: &[Levels],
        reference: impl Fn(usize) -> f64,
        floor: Option<&[f64]>,
    ) {
        let mut random = 0.0;
        for (seating, levels) in closed.iter().enumerate() {
            let inside = match floor {
                Some(floor) => level::cleared(levels.db[k], floor[k]),
                None => Cleared::Level(levels.db[k]),
            };
            let (Cleared::Level(db) | Cleared::AtMost(db)) = inside;
            self.bounds[k] |= matches!(inside, Cleared::AtMost(_));
            self.seatings[seating][k] = reference(seating) - db;
            random += levels.u_db[k].powi(2);
        }
        self.single_u[k] = (random / closed.len() as f64).sqrt();
    }

    /// Returns the mean loss in each band.
    pub fn curve(&self) -> Vec<Estimate> {
        (0..self.bands.len()).map(|k| self.band(k)).collect()
    }

    fn band(&self, k: usize) -> Estimate {
        let losses: Vec<f64> = self.seatings.iter().map(|losses| losses[k]).collect();
        self.estimate(&losses, self.shared_u[k], self.single_u[k], self.bounds[k])
    }

    fn estimate(&self, values: &[f64], shared: f64, single: f64, at_least: bool) -> Estimate {
        let count = values.len() as f64;
        let mean = values.iter().sum::<f64>() / count;
        let (own, freedom) = match spread(values) {
            // What a spread of few happens to be smaller than noise alone makes it, it is not.
            Some(sd) => (sd.max(single) / count.sqrt(), Some(count - 1.0)),
            None => (single, None),
        };
        Estimate {
            db: mean,
            u_db: own.hypot(shared),
            freedom,
            at_least,
        }
    }

    /// Returns how much less of a noise comes through, overall. `None` if the losses do not cover it.
    pub fn overall(&self, noise: &Spectrum) -> Option<Estimate> {
        let at: Vec<(usize, f64)> = noise
            .levels
            .iter()
            .map(|(number, db)| Some((self.position(*number)?, *db)))
            .collect::<Option<_>>()?;
        let of = |losses: &Vec<f64>| {
            let inside = level::sum(at.iter().map(|(k, db)| db - losses[*k]));
            noise.overall() - inside
        };
        let values: Vec<f64> = self.seatings.iter().map(of).collect();
        // What bands do not share adds as squares, each by its share of what comes through.
        let curve = self.curve();
        let through = level::sum(at.iter().map(|(k, db)| db - curve[*k].db));
        let share = |(k, db): &(usize, f64)| level::power(db - curve[*k].db - through);
        let random = |u: &[f64]| {
            let squares = at.iter().map(|entry| (share(entry) * u[entry.0]).powi(2));
            squares.sum::<f64>().sqrt()
        };
        let at_least = at
            .iter()
            .any(|entry| self.bounds[entry.0] && share(entry) > 0.01);
        let (shared, single) = (random(&self.shared_u), random(&self.single_u));
        Some(self.estimate(&values, shared, single, at_least))
    }

    /// Returns the band with the largest loss.
    pub fn largest(&self) -> Option<(Band, Estimate)> {
        let curve = self.curve();
        let k = (0..curve.len()).max_by(|a, b| curve[*a].db.total_cmp(&curve[*b].db))?;
        Some((self.bands[k], curve[k]))
    }

    /// Returns the mean of the losses in the third octaves numbered from `first` to `last`, and of seatings.
    pub fn mean(&self, first: i32, last: i32) -> Option<Estimate> {
        let at: Vec<usize> = (first..=last)
            .map(|number| self.position(number))
            .collect::<Option<_>>()?;
        let count = at.len() as f64;
        let of = |losses: &Vec<f64>| at.iter().map(|k| losses[*k]).sum::<f64>() / count;
        let values: Vec<f64> = self.seatings.iter().map(of).collect();
        let random = |u: &[f64]| {
            let squares: f64 = at.iter().map(|k| u[*k].powi(2)).sum();
            squares.sqrt() / count
        };
        let (shared, single) = (random(&self.shared_u), random(&self.single_u));
        let at_least = at.iter().any(|k| self.bounds[*k]);
        Some(self.estimate(&values, shared, single, at_least))
    }

    fn position(&self, number: i32) -> Option<usize> {
        self.bands.iter().position(|band| band.number == number)
    }
}

/// Returns the standard deviation of values; `None` of fewer than two.
fn spread(values: &[f64]) -> Option<f64> {
    if values.len() < 2 {
        return None;
    }
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let squares: f64 = values.iter().map(|x| (x - mean).powi(2)).sum();
    Some((squares / (count - 1.0)).sqrt())
}
