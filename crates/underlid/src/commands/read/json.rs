//! The answer for programs.

use super::headline::headline;
use app::read::{Decides, Reader, Said, Verdict};
use methods::Known;
use methods::markings::aligned;
use serde_json::{Value, json};

pub(super) fn json(said: &Said, reader: &Reader) -> Value {
    let known = reader.known();
    let verdict = match said.verdict() {
        Verdict::Part(_) => "part",
        Verdict::Open(_) => "open",
        Verdict::Code(..) => "code",
        Verdict::Nothing(_) => "none",
        Verdict::Refused(_) => "refused",
        Verdict::NoCatalogue => "no-catalogue",
    };
    json!({
        "marking": said.question.seen.to_string(),
        "verdict": verdict,
        "says": headline(said, reader),
        "look-at": said.decides(known.parts()).map(look_at),
        "parts": said.parts.as_ref().map(|answer| parts(answer, known)),
        "codes": said
            .codes
            .iter()
            .map(|(line, readings)| json!({ "line": line, "readings": readings }))
            .collect::<Vec<_>>(),
    })
}

fn look_at(decides: Decides) -> Value {
    match decides {
        Decides::Characters { line, places } => {
            let places = places.iter().map(
                |place| json!({ "character": place.place, "best": place.one, "rival": place.other }),
            );
            json!({ "line": line, "characters": places.collect::<Vec<_>>() })
        }
        Decides::Fact { what, values } => json!({ "fact": what, "values": values }),
        Decides::Ending([one, other]) => json!({ "ending": { "best": one, "rival": other } }),
        Decides::Nothing => Value::Null,
    }
}

fn parts(answer: &marking::Answer, known: &Known) -> Value {
    let candidates: Vec<Value> = answer
        .candidates
        .iter()
        .map(|c| {
            let [seen, name] = aligned(c);
            let part = known.parts().get(c.part);
            json!({
                "probability": c.probability,
                "name": part.map(|p| p.name.as_str()),
                "maker": part.map(|p| p.maker.as_str()),
                "role": part.map(|p| p.role.as_str()),
                "description": part.map(|p| p.description.as_str()),
                "packages": part.map(|p| p.packages.as_slice()),
                "pins": part.and_then(|p| p.pins),
                "known-from": part.map(|p| p.known_from.as_str()),
                "matched": c.name,
                "seen": seen,
                "against": name,
                "cost-nats": c.cost,
                "factors": c
                    .factors
                    .iter()
                    .map(|f| json!({ "clue": f.to_string(), "log-odds": f.log_odds }))
                    .collect::<Vec<_>>(),
            })
        })
        .collect();
    json!({
        "candidates": candidates,
        "none": answer.none,
        "unlisted": answer.unlisted,
        "refused": answer.refusal.map(|r| r.to_string()),
    })
}
