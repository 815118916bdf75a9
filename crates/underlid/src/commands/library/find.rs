//! `underlid library find`: products, and what in them matches.

use crate::arguments::{FindArguments, Format};
use crate::failure::Failure;
use crate::progress::Terminal;
use crate::screen;
use app::finding::{self, FindOptions, Finding};
use app::keeping;
use library::{Hit, Matched, Part, Verdicts};
use record::visible;
use serde_json::json;

pub(super) async fn run(arguments: FindArguments, format: Format) -> Result<(), Failure> {
    let library = keeping::open(&arguments.library).await?;
    let options = FindOptions {
        line: line(&arguments.words),
        catalogues: arguments.catalogues,
        most: arguments.most,
        from: arguments.from,
    };
    let finding = finding::find(&library, options, &Terminal).await?;
    library.close().await;
    let text = match format {
        Format::Json => {
            let left = finding
                .left
                .iter()
                .map(|left| json!({ "dossier": left.id, "why": left.problem.message }));
            let found = &finding.found;
            let answer = json!({
                "hits": found.hits, "more": found.more, "behind": found.behind,
                "not-indexed": left.collect::<Vec<_>>(),
            });
            format!("{answer:#}\n")
        }
        Format::Text => told(&finding),
    };
    screen::print_as(format, &text)
}

/// The words as one line; one that the shell kept together stays together.
fn line(words: &[String]) -> String {
    let whole = words
        .iter()
        .map(|word| match word.contains(char::is_whitespace) {
            true => format!("\"{}\"", word.replace('"', "")),
            false => word.clone(),
        });
    whole.collect::<Vec<_>>().join(" ")
}

fn told(finding: &Finding) -> String {
    let found = &finding.found;
    let mut text = String::new();
    if found.hits.is_empty() {
        text += "Nothing was found.\n";
    }
    for hit in &found.hits {
        text += &product(hit);
        for matched in &hit.matched {
            text += &thing(matched);
        }
        if hit.further > 0 {
            text += &format!("    and {} more\n", hit.further);
        }
    }
    if found.more {
        text += "There are more.\n";
    }
    for left in &finding.left {
        text += &format!(
            "Not indexed: {}: {}\n",
            left.id,
            visible(&left.problem.message)
        );
    }
    text
}

fn product(hit: &Hit) -> String {
    let behind = match hit.revision < hit.latest {
        true => format!(", as of revision {}", hit.revision),
        false => String::new(),
    };
    format!(
        "{}  {}, {}{}{behind}\n",
        hit.dossier,
        visible(&hit.product),
        visible(&hit.maker),
        verdicts(hit.verdicts)
    )
}

fn verdicts(counts: Verdicts) -> String {
    let told = [
        (counts.holds, "hold"),
        (counts.fails, "fail"),
        (counts.undecided, "undecided"),
        (counts.needs_evidence, "need evidence"),
    ];
    let told = told.iter().filter(|(count, _)| *count > 0);
    let told: Vec<String> = told
        .map(|(count, word)| format!("{count} {word}"))
        .collect();
    match told.is_empty() {
        true => String::new(),
        false => format!("  ({})", told.join(", ")),
    }
}

fn thing(matched: &Matched) -> String {
    let place = match &matched.place {
        Some(place) => format!("  {}", visible(&place.to_string())),
        None => String::new(),
    };
    let part = matched.part.as_ref().map(part).unwrap_or_default();
    format!("    {}{part}{place}\n", visible(&matched.text))
}

fn part(part: &Part) -> String {
    let known = [&part.name, &part.maker, &part.role, &part.package];
    let known: Vec<String> = known
        .into_iter()
        .filter(|text| !text.is_empty())
        .map(|text| visible(text))
        .collect();
    match known.is_empty() {
        true => String::new(),
        false => format!(": {}", known.join(", ")),
    }
}
