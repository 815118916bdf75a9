//! Functions made of a constant, a straight line and decaying exponentials.
//!
//! In: constant, slope, rates (1/s, never positive) and weights. Out: values, integrals, and the first time a
//! level is crossed, found for certain.
//! Not here: what the functions mean (`modes`).
//! Source: Rolle's theorem: between neighbouring zeros of a derivative a function is monotone, so that at most one
//! crossing lies between them. The zeros of a sum of exponentials follow in the same way from a sum with one term
//! fewer; if the weights do not change sign in the order of the rates there is none (Descartes' rule of signs,
//! which holds for exponentials as for powers).

/// Most exponentials of one function: one for each pair and one for the cell.
pub(crate) const TERMS: usize = 3;

/// `constant + slope·t + Σ weights·e^(rates·t)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Decay {
    pub(crate) constant: f64,
    pub(crate) slope: f64,
    pub(crate) rates: [f64; TERMS],
    pub(crate) weights: [f64; TERMS],
}

/// Which side of a level a function is on at the start.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    Below,
    Above,
}

impl Decay {
    pub(crate) fn value(&self, t: f64) -> f64 {
        let mut sum = self.constant + self.slope * t;
        for (rate, weight) in self.rates.iter().zip(&self.weights) {
            if *weight != 0.0 {
                sum += weight * (rate * t).exp();
            }
        }
        sum
    }

    fn both(&self, t: f64) -> (f64, f64) {
        let (mut sum, mut derivative) = (self.constant + self.slope * t, self.slope);
        for (rate, weight) in self.rates.iter().zip(&self.weights) {
            if *weight != 0.0 {
                let term = weight * (rate * t).exp();
                sum += term;
                derivative += term * rate;
            }
        }
        (sum, derivative)
    }

    /// The first time in `(0, horizon]` at which the function crosses `level`, coming from `side`. An infinite
    /// horizon is allowed.
    pub(crate) fn first_crossing(&self, level: f64, side: Side, horizon: f64) -> Option<f64> {
        let shifted = Decay {
            constant: self.constant - level,
            ..*self
        };
        let end = horizon.min(shifted.settled());
        let beyond = |value: f64| match side {
            Side::Below => value > 0.0,
            Side::Above => value < 0.0,
        };
        let turns = self.turns(end);
        let mut from = 0.0;
        for to in turns.iter().copied().chain([end]) {
            if beyond(shifted.value(to)) {
                return Some(if beyond(shifted.value(from)) {
                    from
                } else {
                    root(from, to, beyond, |t| shifted.both(t))
                });
            }
            from = to;
        }
        // A crossing exactly at the end of the horizon, or met there within the last digit.
        (end == horizon && shifted.value(end) == 0.0).then_some(end)
    }

    /// A time after which the sign does not change any more: the slowest part outweighs all others together.
    fn settled(&self) -> f64 {
        if self.slope != 0.0 {
            let rest = self.constant.abs() + self.weights.iter().map(|w| w.abs()).sum::<f64>();
            return 2.0 * rest / self.slope.abs();
        }
        let mut terms = Terms::default();
        terms.add(0.0, self.constant);
        for (rate, weight) in self.rates.iter().zip(&self.weights) {
            terms.add(*rate, *weight);
        }
        let Some((slowest, others)) = terms.list().split_first() else {
            return 0.0;
        };
        let Some(second) = others.first() else {
            return 0.0;
        };
        let rest: f64 = others.iter().map(|term| term.weight.abs()).sum();
        let ratio = 2.0 * rest / slowest.weight.abs();
        (ratio.ln() / (slowest.rate - second.rate)).max(0.0)
    }

    /// Where the function turns, within `(0, end)`, in order.
    fn turns(&self, end: f64) -> Times {
        let mut terms = Terms::default();
        terms.add(0.0, self.slope);
        for (rate, weight) in self.rates.iter().zip(&self.weights) {
            terms.add(*rate, rate * weight);
        }
        zeros(terms, end)
    }
}

#[derive(Debug, Clone, Copy, Default)]
struct Term {
    rate: f64,
    weight: f64,
}

/// Terms of a sum of exponentials, slowest first, no rate twice.
#[derive(Debug, Clone, Copy, Default)]
struct Terms {
    terms: [Term; TERMS + 1],
    count: usize,
}

impl Terms {
    fn list(&self) -> &[Term] {
        self.terms.get(..self.count).unwrap_or_default()
    }

    fn add(&mut self, rate: f64, weight: f64) {
        if weight == 0.0 {
            return;
        }
        let at = self.list().partition_point(|term| term.rate > rate);
        if at < self.count && self.terms[at].rate == rate {
            self.terms[at].weight += weight;
            if self.terms[at].weight == 0.0 {
                self.terms.copy_within(at + 1..self.count, at);
                self.count -= 1;
            }
            return;
        }
        self.terms.copy_within(at..self.count, at + 1);
        self.terms[at] = Term { rate, weight };
        self.count += 1;
    }

    fn sign_changes(&self) -> usize {
        self.list()
            .windows(2)
            .filter(|pair| (pair[0].weight > 0.0) != (pair[1].weight > 0.0))
            .count()
    }
}

/// Times in rising order; a sum of n exponentials has at most n − 1 zeros.
#[derive(Debug, Clone, Copy, Default)]
struct Times {
    times: [f64; TERMS],
    count: usize,
}

impl Times {
    fn push(&mut self, time: f64) {
        self.times[self.count] = time;
        self.count += 1;
    }

    fn iter(&self) -> std::slice::Iter<'_, f64> {
        self.times.get(..self.count).unwrap_or_default().iter()
    }
}

/// Zeros of a sum of exponentials within `(0, end)`, in order.
fn zeros(terms: Terms, end: f64) -> Times {
    let mut found = Times::default();
    if terms.sign_changes() == 0 {
        return found;
    }
    let slowest = terms.terms[0];
    if let [first, second] = terms.list() {
        let time = (-second.weight / first.weight).ln() / (first.rate - second.rate);
        if time > 0.0 && time < end {
            found.push(time);
        }
        return found;
    }
    // Divided by its slowest exponential, the sum has a derivative with one term fewer, and no exponent grows.
    let mut derivative = Terms::default();
    let mut divided = Decay {
        constant: slowest.weight,
        slope: 0.0,
        rates: [0.0; TERMS],
        weights: [0.0; TERMS],
    };
    for (k, term) in terms.list().iter().skip(1).enumerate() {
        let rate = term.rate - slowest.rate;
        derivative.add(rate, term.weight * rate);
        divided.rates[k] = rate;
        divided.weights[k] = term.weight;
    }
    let mut from = 0.0;
    for to in zeros(derivative, end).iter().copied().chain([end]) {
        let (low, high) = (divided.value(from), divided.value(to));
        if (low > 0.0) != (high > 0.0) && high != 0.0 {
            let up = high > 0.0;
            let time = root(from, to, |v| (v > 0.0) == up, |t| divided.both(t));
            if time > 0.0 && time < end {
                found.push(time);
            }
        }
        from = to;
    }
    found
}

/// The point of a monotone stretch where the value passes to `beyond`: Newton's step where it stays inside the
/// bracket, the middle of the bracket where it does not.
pub(crate) fn root(
    from: f64,
    to: f64,
    beyond: impl Fn(f64) -> bool,
    both: impl Fn(f64) -> (f64, f64),
) -> f64 {
    /// Newton's step squares the error, so that a step this small leaves nothing.
    const LAST_STEP: f64 = 1e-9;
    const PATIENCE: usize = 30;
    /// Enough to halve the widest bracket of finite numbers down to the last digit.
    const MOST_TRIES: usize = 4500;
    let (mut low, mut high) = (from, to);
    let mut at = from;
    for tries in 0..MOST_TRIES {
        let (value, derivative) = both(at);
        if value == 0.0 {
            return at;
        }
        if beyond(value) {
            high = at;
        } else {
            low = at;
        }
        let step = at - value / derivative;
        // Where Newton's steps creep, as down a steep exponential, every other one halves the bracket.
        if step > low && step < high && (tries < PATIENCE || tries % 2 == 0) {
            if (step - at).abs() <= LAST_STEP * step.abs() {
                return step;
            }
            at = step;
        } else {
            let middle = 0.5 * (low + high);
            // The derivative may vanish where the bracket begins; the neighbour of the root is the root then.
            if middle <= low || middle >= high || (high - low) <= 4e-16 * high.abs() {
                return high;
            }
            at = middle;
        }
    }
    at
}

/// ∫₀ᵗ e^(rate·s) ds from `grown = e^(rate·t) − 1`.
pub(crate) fn integral_of_exponential(rate: f64, grown: f64, t: f64) -> f64 {
    if rate == 0.0 { t } else { grown / rate }
}
