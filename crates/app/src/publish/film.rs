//! What a film needs, as files: narration, pronunciation, shot list, chapters, description, overlays.
//!
//! In: a dossier as it is published, its findings, the version. Out: files under `film/`.
//! Not here: what is said, filmed and shown (`methods::film`), drawing (`pdf`).
//! Sources: WebVTT for chapters; Pronunciation Lexicon 1.0 (W3C); chapters as JSON by the podcast namespace, 1.2.0;
//! lines of a description as a large platform takes them: the first 0:00, three or more, each 10 s or longer.

use super::prepared::file;
use crate::Problem;
use catalogue::escaped_formula;
use methods::film::{Chapters, Narration, chapters, narration, overlays, pronunciations, shots};
use methods::{Findings, words::counted};
use record::{Dossier, FilmTime};
use report::Edition;
use std::fmt::Write as _;
use store::OutputFile;

/// A chapter of a description lasts so long at least, milliseconds.
const LEAST_CHAPTER_MS: u64 = 10_000;
/// So many chapters a description has at least.
const LEAST_CHAPTERS: usize = 3;

/// Makes the files.
pub(super) fn files(
    dossier: &Dossier,
    findings: &Findings,
    edition: Option<&Edition>,
) -> Result<Vec<OutputFile>, Problem> {
    let said = narration(dossier, findings);
    let mut notes = vec![format!("Time to say: {}.", said.assumption)];
    let mut files = vec![
        file("film/narration.md", script(dossier, &said).into_bytes()),
        file("film/narration.csv", lines(&said)?),
        file("film/pronunciation.csv", names(dossier)?),
        file("film/pronunciation.pls", lexicon(dossier).into_bytes()),
        file("film/shots.csv", shot_list(dossier, findings)?),
    ];
    let mut told = Vec::new();
    for film in &dossier.films {
        match chapters(dossier, film) {
            Ok(found) => {
                let path = |ending: &str| format!("film/chapters-{}.{ending}", film.id);
                files.push(file(&path("vtt"), webvtt(&found).into_bytes()));
                files.push(file(&path("json"), json(&found)?));
                let title = film.title.clone().unwrap_or_else(|| film.id.clone());
                notes.extend(
                    found
                        .left_out
                        .iter()
                        .map(|why| format!("{title}: not a chapter: {why}.")),
                );
                match description_lines(&found) {
                    Some(lines) => {
                        files.push(file(&path("txt"), lines.clone().into_bytes()));
                        told.push(format!("{title}\n{lines}"));
                    }
                    None => notes.push(format!(
                        "{title}: fewer than {LEAST_CHAPTERS} chapters of 10 s; a description takes no fewer."
                    )),
                }
            }
            Err(why) => notes.push(format!("{}: no chapters: {why}.", film.id)),
        }
    }
    let text = description(dossier, findings, edition, &told);
    files.push(file("film/description.txt", text.into_bytes()));
    let words = overlays(dossier);
    let three: Vec<[String; 3]> = words
        .iter()
        .map(|o| [o.name.clone(), o.line.clone(), o.certainty.clone()])
        .collect();
    for (overlay, drawn) in words.iter().zip(pdf::overlay_pictures(&three)?) {
        let path = |ending: &str| format!("film/overlays/{}.{ending}", overlay.item);
        files.push(file(&path("svg"), drawn.svg.into_bytes()));
        files.push(file(&path("png"), drawn.png));
    }
    files.push(file(
        "film/notes.txt",
        (notes.join("\n") + "\n").into_bytes(),
    ));
    Ok(files)
}

fn minutes(seconds: f64) -> String {
    let whole = seconds.round() as u64;
    format!("{}:{:02}", whole / 60, whole % 60)
}

fn script(dossier: &Dossier, said: &Narration) -> String {
    let (usual, least, most) = said.seconds;
    let mut out = format!(
        "# {}: narration\n\n{}, {} to say ({} to {}).\n",
        dossier.product.name,
        counted(said.lines.len(), "line", "lines"),
        minutes(usual),
        minutes(least),
        minutes(most)
    );
    for (number, line) in said.lines.iter().enumerate() {
        // Writing to a String cannot fail.
        let _ = write!(
            out,
            "\n{}. {}\n\n   Said: {} ({:.0} s; {} {})\n",
            number + 1,
            line.written,
            line.spoken,
            line.seconds,
            line.topic.word(),
            line.place
        );
    }
    out
}

fn lines(said: &Narration) -> Result<Vec<u8>, Problem> {
    let head = [
        "number", "about", "place", "written", "spoken", "figures", "seconds",
    ];
    let rows = said.lines.iter().enumerate().map(|(number, line)| {
        let figures = line.figures.iter();
        let figures: Vec<String> = figures
            .map(|f| format!("{} = {}", f.written, f.spoken))
            .collect();
        vec![
            (number + 1).to_string(),
            line.topic.word().to_string(),
            line.place.to_string(),
            line.written.clone(),
            line.spoken.clone(),
            figures.join("; "),
            format!("{:.1}", line.seconds),
        ]
    });
    table(&head, rows)
}

fn names(dossier: &Dossier) -> Result<Vec<u8>, Problem> {
    let head = ["word", "said", "ipa", "recorded", "place"];
    let rows = pronunciations(dossier).into_iter().map(|name| {
        let recorded = if name.recorded { "yes" } else { "no" };
        vec![
            name.word,
            name.said.unwrap_or_default(),
            name.ipa.unwrap_or_default(),
            recorded.to_string(),
            name.place.to_string(),
        ]
    });
    table(&head, rows)
}

fn lexicon(dossier: &Dossier) -> String {
    let escaped = |text: &str| {
        let text = text
            .replace('&', "&amp;")
            .replace('<', "&lt;")
            .replace('>', "&gt;");
        report::words::clean(&text)
    };
    let mut out = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <lexicon version=\"1.0\" xmlns=\"http://www.w3.org/2005/01/pronunciation-lexicon\" alphabet=\"ipa\" xml:lang=\"en-GB\">\n",
    );
    for name in pronunciations(dossier) {
        let sound = match (&name.ipa, &name.said) {
            (Some(ipa), _) => format!("<phoneme>{}</phoneme>", escaped(ipa)),
            (None, Some(said)) => format!("<alias>{}</alias>", escaped(said)),
            (None, None) => continue,
        };
        out += &format!(
            "  <lexeme><grapheme>{}</grapheme>{sound}</lexeme>\n",
            escaped(&name.word)
        );
    }
    out + "</lexicon>\n"
}

fn shot_list(dossier: &Dossier, findings: &Findings) -> Result<Vec<u8>, Problem> {
    let head = [
        "number",
        "step",
        "item",
        "when",
        "see",
        "settles",
        "last chance",
        "state",
    ];
    let rows = shots(dossier, findings)
        .into_iter()
        .enumerate()
        .map(|(number, shot)| {
            let when = match &shot.step {
                Some(_) => shot.when.word(),
                None => "any time",
            };
            vec![
                (number + 1).to_string(),
                shot.step.unwrap_or_default(),
                shot.item.unwrap_or_default(),
                when.to_string(),
                shot.see,
                shot.settles
                    .map_or(String::new(), |place| place.to_string()),
                if shot.last_chance { "yes" } else { "no" }.to_string(),
                shot.state.words().to_string(),
            ]
        });
    table(&head, rows)
}

/// Rows as CSV; no cell is a formula.
fn table(head: &[&str], rows: impl Iterator<Item = Vec<String>>) -> Result<Vec<u8>, Problem> {
    let failed = |error: &dyn std::fmt::Display| Problem::internal(&error.to_string());
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(head).map_err(|e| failed(&e))?;
    for row in rows {
        let cells = row.iter().map(|cell| escaped_formula(cell).into_owned());
        writer.write_record(cells).map_err(|e| failed(&e))?;
    }
    writer.into_inner().map_err(|e| failed(&e))
}

fn webvtt(found: &Chapters) -> String {
    let clock = |ms: u64| {
        let (seconds, ms) = (ms / 1000, ms % 1000);
        format!(
            "{:02}:{:02}:{:02}.{ms:03}",
            seconds / 3600,
            seconds / 60 % 60,
            seconds % 60
        )
    };
    let mut out = String::from("WEBVTT\n");
    for (number, chapter) in found.chapters.iter().enumerate() {
        let next = found
            .chapters
            .get(number + 1)
            .map_or(found.end_ms, |c| c.start_ms);
        let title = chapter
            .title
            .replace('&', "&amp;")
            .replace('<', "&lt;")
            .replace("-->", "→");
        // Writing to a String cannot fail.
        let _ = write!(
            out,
            "\n{}\n{} --> {}\n{title}\n",
            number + 1,
            clock(chapter.start_ms),
            clock(next)
        );
    }
    out
}

fn json(found: &Chapters) -> Result<Vec<u8>, Problem> {
    let chapters: Vec<serde_json::Value> = found
        .chapters
        .iter()
        .map(|c| serde_json::json!({ "startTime": c.start_ms as f64 / 1000.0, "title": c.title }))
        .collect();
    let whole = serde_json::json!({ "version": "1.2.0", "chapters": chapters });
    serde_json::to_vec_pretty(&whole).map_err(|e| Problem::internal(&e.to_string()))
}

/// Lines for a description; a chapter that is too short joins the one before it.
fn description_lines(found: &Chapters) -> Option<String> {
    let mut kept: Vec<(u64, &str)> = Vec::new();
    for chapter in &found.chapters {
        let start = chapter.start_ms / 1000 * 1000;
        if kept
            .last()
            .is_none_or(|(last, _)| start >= last + LEAST_CHAPTER_MS)
        {
            kept.push((start, &chapter.title));
        }
    }
    while kept
        .last()
        .is_some_and(|(last, _)| found.end_ms < last + LEAST_CHAPTER_MS)
    {
        kept.pop();
    }
    if kept.len() < LEAST_CHAPTERS {
        return None;
    }
    let lines = kept
        .iter()
        .map(|(ms, title)| format!("{} {title}\n", FilmTime::of_ms(*ms)));
    Some(lines.collect())
}

/// What it is, the verdicts with what was found, chapters, corrections; nothing without its finding.
fn description(
    dossier: &Dossier,
    findings: &Findings,
    edition: Option<&Edition>,
    chapters: &[String],
) -> String {
    let product = &dossier.product;
    let what = product
        .category
        .as_ref()
        .map_or(String::new(), |c| format!(": {c}"));
    let mut out = format!(
        "{} by {}{what}. Opened {}.\n",
        product.name, product.maker, product.opened
    );
    if product.invented {
        out += "Invented product and data.\n";
    }
    out += "\nDo the printed claims hold?\n";
    for finding in &findings.findings {
        let (Some(claim), Some(verdict)) = (finding.claim(dossier), finding.verdict) else {
            continue;
        };
        let found = finding.judgement.as_ref().map(methods::Judgement::printed);
        let found = found
            .filter(|f| !f.is_empty())
            .map_or(String::new(), |f| format!(" (found: {f})"));
        let text = claim.text.split_whitespace().collect::<Vec<_>>().join(" ");
        // Writing to a String cannot fail.
        let _ = writeln!(out, "- “{text}” {}{found}", report::verdict_words(verdict));
    }
    for lines in chapters {
        let _ = write!(out, "\nChapters: {lines}");
    }
    out += "\nThe whole report, with the working behind every figure: report.html\n";
    if let Some(edition) = edition {
        let _ = writeln!(out, "\n{}", edition.sentence());
        for correction in &edition.corrections {
            let said = |words: &Option<String>| words.clone().unwrap_or_else(|| "nothing".into());
            let what = correction
                .figure
                .as_ref()
                .map_or(String::new(), |f| format!(", {f}"));
            let (was, now) = (said(&correction.was), said(&correction.now));
            let _ = writeln!(out, "- {}{what}: was {was}, is {now}", correction.title);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use methods::film::Chapter;

    fn chapters_at(starts: &[u64], end_ms: u64) -> Chapters {
        let chapter = |start_ms: &u64| Chapter {
            start_ms: *start_ms,
            title: format!("At <{start_ms}>"),
            step: None,
        };
        Chapters {
            chapters: starts.iter().map(chapter).collect(),
            end_ms,
            left_out: Vec::new(),
        }
    }

    #[test]
    fn chapters_are_a_webvtt_file_that_is_read_back() {
        let found = chapters_at(&[0, 61_500, 3_723_004], 3_800_000);
        let text = webvtt(&found);
        let read = captions::read(text.as_bytes(), captions::Format::WebVtt);
        let read = read.unwrap_or_else(|e| panic!("{e}"));
        let times: Vec<(u64, u64)> = read.cues.iter().map(|c| (c.start_ms, c.end_ms)).collect();
        assert_eq!(
            times,
            [(0, 61_500), (61_500, 3_723_004), (3_723_004, 3_800_000)]
        );
        assert_eq!(read.fault_count, 0);
        assert!(text.contains("At &lt;0>"));
    }

    #[test]
    fn a_description_has_three_chapters_of_ten_seconds_or_none() {
        let lines = |starts: &[u64]| description_lines(&chapters_at(starts, 200_000));
        let told = lines(&[0, 4_000, 12_400, 75_000, 195_000]);
        assert_eq!(
            told.as_deref(),
            Some("0:00 At <0>\n0:12 At <12400>\n1:15 At <75000>\n")
        );
        assert_eq!(lines(&[0, 4_000, 12_400]), None);
    }
}
