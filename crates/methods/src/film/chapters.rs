//! Where the chapters of an edited film begin.
//!
//! A step begins by the clock; one marked moment ties each clip to it; the cuts say what became of the clips. A step that
//! began in what was cut out begins with the first cut that shows it.

use record::{Clip, Cut, Dossier, Film, FilmTime, Place, Step};

/// A chapter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chapter {
    /// Milliseconds from the beginning of the film.
    pub start_ms: u64,
    /// What it shows.
    pub title: String,
    /// The step; none for what comes before the first.
    pub step: Option<Place>,
}

/// The chapters of a film.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chapters {
    /// In the order of the film, the first at its beginning.
    pub chapters: Vec<Chapter>,
    /// Where the film ends, milliseconds.
    pub end_ms: u64,
    /// Steps that the film does not show, and why.
    pub left_out: Vec<String>,
}

/// Finds the chapters of a film; says what is missing where there are none.
///
/// # Errors
/// No clip, several clips without cuts, no step that the film shows, no end.
pub fn chapters(dossier: &Dossier, film: &Film) -> Result<Chapters, String> {
    let pieces = pieces(film)?;
    let (mut found, mut left_out) = (Vec::new(), Vec::new());
    for step in dossier.steps.iter().filter(|s| s.done) {
        match begins(step, &pieces) {
            Ok(start_ms) => found.push(Chapter {
                start_ms,
                title: title(&step.text),
                step: Some(Place::step(&step.id)),
            }),
            Err(why) => left_out.push(format!("{}: {why}", step.id)),
        }
    }
    if found.is_empty() {
        return Err(
            "the film shows no step whose time is recorded; record when steps were begun".into(),
        );
    }
    found.sort_by_key(|c| c.start_ms);
    found.dedup_by_key(|c| c.start_ms);
    let cut: u64 = pieces.iter().filter_map(|p| p.length_ms).sum();
    let all_cut = pieces.iter().all(|p| p.length_ms.is_some());
    let last = found.last().map_or(0, |c| c.start_ms);
    let end_ms = film.length.map(|l| l.ms).or(all_cut.then_some(cut));
    let end_ms = end_ms
        .or_else(|| stops(dossier, &pieces))
        .filter(|end| *end > last)
        .ok_or("where the film ends is not known; record its length")?;
    if found[0].start_ms > 0 {
        let title = film
            .title
            .clone()
            .unwrap_or_else(|| dossier.product.name.clone());
        found.insert(
            0,
            Chapter {
                start_ms: 0,
                title,
                step: None,
            },
        );
    }
    Ok(Chapters {
        chapters: found,
        end_ms,
        left_out,
    })
}

/// A piece of the film and the clock that it shows.
struct Piece {
    /// Where it begins in the film.
    film_ms: u64,
    /// The clock at its beginning, milliseconds on the common time line.
    clock_ms: i64,
    /// How long it is; none where the clip goes on.
    length_ms: Option<u64>,
}

fn pieces(film: &Film) -> Result<Vec<Piece>, String> {
    let starts = |clip: &Clip, from: FilmTime| {
        clip.clock.timestamp().as_millisecond() + signed(from.ms) - signed(clip.at.ms)
    };
    if film.cuts.is_empty() {
        return match &film.clips[..] {
            [] => Err(
                "the film has no clip; record one with a moment at which the clock is known".into(),
            ),
            [clip] => Ok(vec![Piece {
                film_ms: 0,
                clock_ms: starts(clip, FilmTime::of_ms(0)),
                length_ms: film.length.map(|l| l.ms),
            }]),
            _ => {
                Err("the film has several clips and no cuts; record what was taken of which".into())
            }
        };
    }
    let mut film_ms = 0;
    let mut found = Vec::new();
    for Cut { clip, from, to } in &film.cuts {
        // The record was checked when it was read.
        if let Some(clip) = film.clips.iter().find(|c| c.name == *clip) {
            let length_ms = to.ms.saturating_sub(from.ms);
            found.push(Piece {
                film_ms,
                clock_ms: starts(clip, *from),
                length_ms: Some(length_ms),
            });
            film_ms += length_ms;
        }
    }
    Ok(found)
}

fn signed(ms: u64) -> i64 {
    i64::try_from(ms).unwrap_or(i64::MAX)
}

fn begins(step: &Step, pieces: &[Piece]) -> Result<u64, &'static str> {
    let started = step.started.ok_or("when it was begun is not recorded")?;
    let started = started.timestamp().as_millisecond();
    let stopped = step
        .stopped
        .map_or(started, |s| s.timestamp().as_millisecond());
    let shows = |piece: &&Piece| {
        let end = piece
            .length_ms
            .map_or(i64::MAX, |l| piece.clock_ms.saturating_add(signed(l)));
        started < end && stopped >= piece.clock_ms
    };
    let piece = pieces
        .iter()
        .find(shows)
        .ok_or("the film does not show it")?;
    let inside = u64::try_from(started - piece.clock_ms).unwrap_or(0);
    Ok(piece.film_ms + inside)
}

/// When the last step stopped, in a film that is one clip.
fn stops(dossier: &Dossier, pieces: &[Piece]) -> Option<u64> {
    let [piece] = pieces else { return None };
    let stopped = dossier.steps.iter().filter_map(|s| s.stopped);
    let last = stopped.map(|s| s.timestamp().as_millisecond()).max()?;
    u64::try_from(last - piece.clock_ms).ok()
}

/// The first sentence of a step, without its full stop.
fn title(text: &str) -> String {
    let line = text.trim().lines().next().unwrap_or_default();
    let first = line.split_once(". ").map_or(line, |(first, _)| first);
    let first = first.split_once("; ").map_or(first, |(first, _)| first);
    first.trim_end_matches('.').to_string()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;

    fn dossier(film: &str) -> Dossier {
        let step = |id: &str, started: &str, stopped: &str| {
            format!(
                "[[steps]]\nid = \"{id}\"\naction = \"pry\"\ntext = \"Do {id}; look. Then go on.\"\nundo = \"yes\"\n\
                 started = 2026-03-01T{started}Z\nstopped = 2026-03-01T{stopped}Z\n"
            )
        };
        let steps = [
            step("a", "14:00:30", "14:02:00"),
            step("b", "14:05:00", "14:06:00"),
            step("c", "14:10:00", "14:20:00"),
        ];
        let text = format!(
            "format = 1\n[product]\nname = \"Lamp\"\nmaker = \"Nobody\"\nopened = 2026-03-01\n\
             [[items]]\nid = \"p\"\nname = \"P\"\nkind = \"product\"\n{}\n[[films]]\nid = \"f\"\n{film}",
            steps.concat()
        );
        record::read_text(&text, "dossier.toml", &record::AnyFile).unwrap()
    }

    /// Where each chapter begins and what it is called, where the film ends, how many steps are left out.
    type Told = (Vec<(u64, String)>, u64, usize);

    fn found(film: &str) -> Result<Told, String> {
        let dossier = dossier(film);
        let found = chapters(&dossier, &dossier.films[0])?;
        let rows = found.chapters.into_iter().map(|c| (c.start_ms, c.title));
        Ok((rows.collect(), found.end_ms, found.left_out.len()))
    }

    fn row(ms: u64, title: &str) -> (u64, String) {
        (ms, title.to_string())
    }

    #[test]
    fn one_clip_is_tied_to_the_clock_by_its_marked_moment() {
        // The clock said 14:01:00 at 0:40 of the clip, so it began at 14:00:20.
        let clip = "clips = [{ name = \"a\", at = \"0:40\", clock = 2026-03-01T15:01:00+01:00 }]\n";
        assert_eq!(
            found(clip).unwrap(),
            (
                vec![
                    row(0, "Lamp"),
                    row(10_000, "Do a"),
                    row(280_000, "Do b"),
                    row(580_000, "Do c")
                ],
                1_180_000,
                0
            )
        );
    }

    #[test]
    fn chapters_follow_the_cuts() {
        let cuts = "clips = [{ name = \"a\", at = \"0\", clock = 2026-03-01T14:00:00Z }, \
             { name = \"b\", at = \"1:00\", clock = 2026-03-01T14:10:00Z }]\n\
             cuts = [{ clip = \"a\", from = \"0:20\", to = \"1:20\" }, { clip = \"b\", from = \"1:30\", to = \"3:00\" }]\n";
        // Of b, the film shows nothing from 14:01:20 to 14:10:30; c had begun then.
        assert_eq!(
            found(cuts).unwrap(),
            (
                vec![row(0, "Lamp"), row(10_000, "Do a"), row(60_000, "Do c")],
                150_000,
                1
            )
        );
    }

    #[test]
    fn what_is_missing_is_said() {
        assert!(found("").unwrap_err().contains("no clip"));
        let clip =
            |at: &str| format!("{{ name = \"{at}\", at = \"0\", clock = 2026-03-01T14:00:00Z }}");
        let two = format!("clips = [{}, {}]\n", clip("a"), clip("b"));
        assert!(found(&two).unwrap_err().contains("no cuts"));
        let late = "clips = [{ name = \"a\", at = \"0\", clock = 2026-03-01T18:00:00Z }]\n";
        assert!(found(late).unwrap_err().contains("no step"));
    }
}
