//! Which package outlines a measured body fits.
//!
//! In: length and width with uncertainty, pitch and pins where seen; known outlines. Out: the
//! outlines ranked by probability, and how ambiguous that is. Not here: what part it is.
//!
//! Each outline counts alike beforehand. Its probability is proportional to the chance of the
//! measured sizes: the normal distribution of the measurement over a true size that lies anywhere between
//! the outline's limits. A body that is none of the known outlines competes with a density that
//! is even in the logarithm of both sizes.

use super::{Measured, Outline, assumed};
use statrs::function::erf::erfc;

/// What was measured of a body.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredBody {
    /// One side, mm.
    pub length: Measured,
    /// The other side, mm.
    pub width: Measured,
    /// Pitch of the pins, mm.
    pub pitch: Option<Measured>,
    /// Number of pins.
    pub pins: Option<u32>,
}

/// An outline with its probability.
#[derive(Debug, Clone, PartialEq)]
pub struct Match<'a> {
    /// The outline.
    pub outline: &'a Outline,
    /// Its probability, 0 to 1.
    pub probability: f64,
}

/// Ranked outlines.
#[derive(Debug, Clone, PartialEq)]
pub struct Matches<'a> {
    /// The likeliest first; only those with more than a ten-thousandth.
    pub ranked: Vec<Match<'a>>,
    /// Probability of an outline that is not in the table.
    pub unknown: f64,
    /// How many of the first together reach 95 %.
    pub needed: usize,
    /// The outcome in a sentence.
    pub sentence: String,
}

/// Standard uncertainties beyond which a size cannot be meant: the chance is below 10⁻³², whatever
/// else fits.
const OUT_OF_REACH: f64 = 12.0;

/// Ranks the given outlines by how well they fit what was seen.
pub fn matching<'a>(
    seen: &MeasuredBody,
    outlines: impl IntoIterator<Item = &'a Outline>,
) -> Matches<'a> {
    let (long, short) = if seen.width.value > seen.length.value {
        (seen.width, seen.length)
    } else {
        (seen.length, seen.width)
    };
    let all: Vec<&Outline> = outlines.into_iter().collect();
    let each = (1.0 - assumed::UNKNOWN_OUTLINE.value) / all.len().max(1) as f64;
    let mut ranked: Vec<Match<'a>> = all
        .into_iter()
        .map(|outline| Match {
            outline,
            probability: each * chance(outline, long, short, seen),
        })
        .filter(|m| m.probability > 0.0)
        .collect();
    let mut unknown = assumed::UNKNOWN_OUTLINE.value
        / (assumed::LN_SIZES.value * assumed::LN_SIZES.value * long.value * short.value).abs();
    if let Some(pitch) = seen.pitch {
        unknown /= assumed::LN_PITCHES.value * pitch.value.abs();
    }
    if seen.pins.is_some() {
        unknown /= assumed::PIN_COUNTS.value;
    }
    let whole = unknown + ranked.iter().map(|m| m.probability).sum::<f64>();
    if !(whole > 0.0 && whole.is_finite()) {
        return Matches {
            ranked: Vec::new(),
            unknown: 1.0,
            needed: 0,
            sentence: "The sizes are not numbers above zero.".into(),
        };
    }
    for m in &mut ranked {
        m.probability /= whole;
    }
    let unknown = unknown / whole;
    ranked.retain(|m| m.probability > 1e-4);
    ranked.sort_by(|a, b| {
        let by_name = a.outline.words().cmp(&b.outline.words());
        b.probability.total_cmp(&a.probability).then(by_name)
    });
    let mut reached = 0.0;
    let needed = ranked
        .iter()
        .take_while(|m| {
            let open = reached < 0.95;
            reached += m.probability;
            open
        })
        .count();
    let sentence = sentence(&ranked, unknown, needed, seen, long, short);
    Matches {
        ranked,
        unknown,
        needed,
        sentence,
    }
}

fn sentence(
    ranked: &[Match<'_>],
    unknown: f64,
    needed: usize,
    seen: &MeasuredBody,
    long: Measured,
    short: Measured,
) -> String {
    let size = format!("{:.2} × {:.2} mm", long.value, short.value);
    let Some(first) = ranked.first() else {
        return format!("No known outline measures {size}.");
    };
    if unknown > 0.5 {
        return format!(
            "No known outline fits {size} well; the nearest is {} with {:.0} %.",
            first.outline.words(),
            100.0 * first.probability
        );
    }
    let lead = format!(
        "{} ({:.0} %)",
        first.outline.words(),
        100.0 * first.probability
    );
    if needed <= 1 {
        return format!("{size} fits {lead}.");
    }
    let missing = match (seen.pitch, seen.pins) {
        (None, None) => "; pitch and number of pins would decide",
        (None, Some(_)) => "; the pitch would help to decide",
        (Some(_), None) => "; the number of pins would help to decide",
        (Some(_), Some(_)) => "",
    };
    format!("{size} fits {needed} outlines, first {lead}{missing}.")
}

/// Density of what was seen, given the outline.
fn chance(outline: &Outline, long: Measured, short: Measured, seen: &MeasuredBody) -> f64 {
    let limits = |nominal: f64, stated: Option<[f64; 2]>| {
        let half = assumed::OUTLINE_LIMIT
            .value
            .min(assumed::OUTLINE_LIMIT_SHARE.value * nominal);
        stated.unwrap_or([nominal - half, nominal + half])
    };
    let mut chance = within(long, limits(outline.length_mm, outline.length_limits));
    if chance == 0.0 {
        return 0.0;
    }
    chance *= within(short, limits(outline.width_mm, outline.width_limits));
    if let Some(pitch) = seen.pitch {
        chance *= match outline.pitch_mm {
            Some(p) => normal(
                pitch.value - p,
                pitch.uncertainty.hypot(assumed::OUTLINE_PITCH.value),
            ),
            None => assumed::MISCOUNT.value / (assumed::LN_PITCHES.value * pitch.value.abs()),
        };
    }
    if let Some(pins) = seen.pins {
        chance *= if outline.pins == Some(pins) {
            1.0 - assumed::MISCOUNT.value
        } else {
            assumed::MISCOUNT.value / assumed::PIN_COUNTS.value
        };
    }
    if chance.is_finite() { chance } else { 0.0 }
}

/// Density of a measured value whose true value lies anywhere between two limits.
fn within(measured: Measured, [low, high]: [f64; 2]) -> f64 {
    let u = measured.uncertainty.abs().max(1e-6);
    if measured.value - high > OUT_OF_REACH * u || low - measured.value > OUT_OF_REACH * u {
        return 0.0;
    }
    if high - low < 1e-6 {
        return normal(measured.value - (low + high) / 2.0, u);
    }
    // P(Z > z), accurate far out on the side that matters.
    let above = |z: f64| 0.5 * erfc(z / std::f64::consts::SQRT_2);
    let (a, b) = ((measured.value - high) / u, (measured.value - low) / u);
    let between = if a > 0.0 {
        above(a) - above(b)
    } else {
        above(-b) - above(-a)
    };
    between.max(0.0) / (high - low)
}

fn normal(off: f64, u: f64) -> f64 {
    (-0.5 * (off / u).powi(2)).exp() / (u * std::f64::consts::TAU.sqrt())
}

#[cfg(test)]
mod tests {
    use super::super::outlines;
    use super::*;

    fn seen(l: f64, w: f64, pitch: Option<f64>, pins: Option<u32>) -> MeasuredBody {
        MeasuredBody {
            length: Measured::new(l, 0.02),
            width: Measured::new(w, 0.02),
            pitch: pitch.map(|p| Measured::new(p, 0.005)),
            pins,
        }
    }

    fn chance_of(seen: &MeasuredBody, name: &str) -> f64 {
        let found = matching(seen, outlines());
        let named = found.ranked.iter().find(|m| {
            m.outline.words() == name || m.outline.words().starts_with(&format!("{name},"))
        });
        named.map_or(0.0, |m| m.probability)
    }

    /// Nominal sizes of the outline drawings MS-012, MO-153, MO-187, TO-236 and MO-178 as copied
    /// in the table; bodies 0.03 mm off nominal.
    #[test]
    fn size_pitch_and_pins_find_common_outlines() {
        let body = seen(4.93, 3.87, Some(1.27), Some(8));
        let soic = chance_of(&body, "SOIC, 8 leads, 4.9 × 3.9 mm, pitch 1.27 mm");
        assert!(soic > 0.85, "{soic}");
        // The same body comes with an exposed pad below, which a photograph from above cannot tell.
        let both = seen(4.97, 4.43, Some(0.65), Some(16));
        let name = "TSSOP, 16 leads, 5 × 4.4 mm, pitch 0.65 mm";
        assert!(chance_of(&both, name) > 0.4);
        assert!(chance_of(&both, &format!("{name}, exposed pad")) > 0.4);
        assert!(chance_of(&seen(2.97, 3.03, Some(0.65), Some(8)), "MSOP, 8 leads") > 0.05);
        assert!(chance_of(&seen(1.31, 2.93, None, Some(3)), "SOT-23, 3 leads") > 0.4);
        assert!(chance_of(&seen(1.02, 0.49, None, Some(2)), "chip 0402 (metric 1005)") > 0.5);
    }

    #[test]
    fn three_by_three_alone_is_ambiguous_and_says_so() {
        let found = matching(&seen(3.0, 3.0, None, None), outlines());
        assert!(found.needed > 15, "{}", found.sentence);
        assert!(
            found.sentence.contains("pitch and number of pins"),
            "{}",
            found.sentence
        );
        let whole: f64 = found.ranked.iter().map(|m| m.probability).sum();
        assert!((whole + found.unknown - 1.0).abs() < 0.01);
    }

    #[test]
    fn a_body_of_no_known_size_is_called_unknown_and_a_further_outline_is_found() {
        let odd = seen(7.77, 2.22, None, None);
        assert!(matching(&odd, outlines()).unknown > 0.9);
        let own = [Outline {
            family: "house module".into(),
            length_mm: 7.75,
            width_mm: 2.25,
            ..Outline::default()
        }];
        let found = matching(&odd, outlines().iter().chain(&own));
        assert_eq!(found.ranked[0].outline.family, "house module");
        assert!(found.ranked[0].probability > 0.9);
    }

    #[test]
    fn sizes_that_are_none_have_no_outline() {
        for bad in [f64::NAN, 0.0, -1.0, f64::INFINITY] {
            let found = matching(&seen(bad, 3.0, None, None), outlines());
            assert!(
                found.ranked.is_empty() || found.unknown > 0.5,
                "{bad}: {}",
                found.sentence
            );
        }
    }
}
