//! Times what the photographs of a dossier cost, alone and many times over.
//!
//! `photographs FOLDER [RUNS]` prints, for 1, 10 and 100 times the photographs and measures, the
//! mean milliseconds of sorting and fitting everything, and of the findings with their working.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments and files, and is timed"
)]

use methods::sizes::Sources;
use methods::{Case, Known};
use record::Dossier;
use std::error::Error;
use std::time::Instant;

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let path = arguments.next().ok_or("a dossier is needed")?;
    let runs: usize = arguments.next().map_or(Ok(21), |a| a.parse())?;
    let folder = std::path::Path::new(&path);
    let dossier = store::open(folder).map_err(|_| "the dossier has problems")?;
    println!("| photographs | measures | points | fitted and measured, ms | with findings, ms |");
    println!("|---|---|---|---|---|");
    for times in [1, 10, 100] {
        let many = repeated(&dossier, times);
        let runs = (runs / times).max(2);
        let fitted = mean(runs, || {
            let sources = Sources::of(&many);
            let all = sources.photographs().all().iter();
            all.filter(|on| on.is_marked() && on.seen().is_ok()).count()
        });
        let known = Known::default();
        let found = mean(runs, || {
            methods::geometry::examine(&Case::new(&many, &known)).map_or(0, |f| f.len())
        });
        let points: usize = many.measures.iter().map(|m| m.at.len()).sum();
        println!(
            "| {} | {} | {points} | {fitted:.2} | {found:.2} |",
            many.photos.len(),
            many.measures.len()
        );
    }
    Ok(())
}

/// The dossier with its photographs and the measures on them many times over.
fn repeated(dossier: &Dossier, times: usize) -> Dossier {
    let mut many = dossier.clone();
    for k in 1..times {
        let other = |id: &str| format!("{id}-{k}");
        many.photos
            .extend(dossier.photos.iter().cloned().map(|mut photo| {
                photo.id = other(&photo.id);
                photo
            }));
        many.measures
            .extend(dossier.measures.iter().cloned().map(|mut measure| {
                measure.id = other(&measure.id);
                measure.photo = other(&measure.photo);
                measure.replaces = measure.replaces.as_deref().map(other);
                measure
            }));
    }
    many
}

/// Mean processor time of this thread, ms; time on the clock where the system does not tell it.
fn mean(runs: usize, mut work: impl FnMut() -> usize) -> f64 {
    let (start, spent) = (Instant::now(), processor_ns());
    for _ in 0..runs {
        std::hint::black_box(work());
    }
    let whole = match (spent, processor_ns()) {
        (Some(before), Some(after)) => (after - before) * 1e-6,
        _ => start.elapsed().as_secs_f64() * 1e3,
    };
    whole / runs as f64
}

/// What the scheduler has counted for this thread, ns; good to a few milliseconds.
fn processor_ns() -> Option<f64> {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    told.split_whitespace().next()?.parse().ok()
}
