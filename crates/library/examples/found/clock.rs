//! How long questions take: by the clock, and in processor time of all threads, which other programs do not lengthen.

use std::fmt::Write as _;
use std::time::Instant;

/// Milliseconds of questions of one kind.
#[derive(Default)]
pub(crate) struct Times {
    wall: Vec<f64>,
    processor: Vec<f64>,
}

/// A question that was begun.
pub(crate) struct Begun {
    at: Instant,
    spent: f64,
}

impl Begun {
    pub(crate) fn now() -> Self {
        let spent = spent();
        let at = Instant::now();
        Self { at, spent }
    }

    pub(crate) fn end(self, times: &mut Times) {
        times.wall.push(1e3 * self.at.elapsed().as_secs_f64());
        times.processor.push(spent() - self.spent);
    }
}

impl Times {
    pub(crate) fn extend(&mut self, other: &Self) {
        self.wall.extend_from_slice(&other.wall);
        self.processor.extend_from_slice(&other.processor);
    }

    /// Adds the 50th and the 95th of a hundred to a line of JSON, with how much was found.
    pub(crate) fn tell(&mut self, told: &mut String, kind: &str, found: usize) {
        let [half, most] = quantiles(&mut self.wall);
        let [spent_half, spent_most] = quantiles(&mut self.processor);
        write!(
            told,
            "\"{kind}\":{{\"p50_ms\":{half:.2},\"p95_ms\":{most:.2},\"cpu_p50_ms\":{spent_half:.2},\
             \"cpu_p95_ms\":{spent_most:.2},\"size\":{found}}},"
        )
        .unwrap();
    }
}

fn quantiles(times: &mut [f64]) -> [f64; 2] {
    times.sort_by(f64::total_cmp);
    [0.5, 0.95].map(|at| times[((times.len() - 1) as f64 * at).round() as usize])
}

/// Processor time of all threads of this process, ms; nought where the system does not tell it so.
fn spent() -> f64 {
    // A thread's own time is brought up to date where it gives way.
    std::thread::yield_now();
    let Ok(threads) = std::fs::read_dir("/proc/self/task") else {
        return 0.0;
    };
    let of = |thread: std::io::Result<std::fs::DirEntry>| {
        let told = std::fs::read_to_string(thread.ok()?.path().join("schedstat")).ok()?;
        told.split_whitespace().next()?.parse::<f64>().ok()
    };
    threads.filter_map(of).sum::<f64>() / 1e6
}
