//! Records that agree with themselves, drawn at random, have no contradiction; each slip put into one has.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use super::examine;
use crate::{Case, Known};
use std::fmt::Write as _;

/// Numbers between 0 and 1 from a seed (Knuth's linear congruential generator, MMIX).
struct Draw(u64);

impl Draw {
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
    fn below(&mut self, n: usize) -> usize {
        (self.next() * n as f64) as usize % n
    }
    fn chance(&mut self, p: f64) -> bool {
        self.next() < p
    }
}

/// What the scales of the drawn records may be off by: a constant, g, or a share.
const SCALES: [(&str, &str, f64, f64); 4] = [
    (
        "pocket",
        "resolution = \"0.01 g\"\naccuracy = \"0.03 g\"",
        0.03,
        0.0,
    ),
    (
        "share",
        "resolution = \"0.01 g\"\naccuracy = \"0.5 %\"",
        0.0,
        0.005,
    ),
    ("bare", "", 0.02, 0.0),
    (
        "loose",
        "resolution = \"0.01 g\"\naccuracy = \"0.02 g\"\nrepeatability = \"0.02 g\"",
        0.03,
        0.0,
    ),
];

/// A record in which everything fits: steps that free what they reach, in order and in time; weighings
/// within the errors of their scales; screws undone in parts; labels that say what their text says.
fn consistent(seed: u64) -> String {
    let mut draw = Draw(seed);
    draw.next();
    let mut text = String::from(
        "format = 1\n[product]\nname = \"P\"\nmaker = \"M\"\nopened = 2026-01-05\n\
         [[product.labels]]\nid = \"rating\"\nplace = \"below\"\ntext = \"IN 5V/1,5A MODEL 77\"\n\
         input = \"5 V ⎓ 1.5 A\"\ncontact = \"socket\"\n",
    );
    for (id, figures, ..) in SCALES {
        write!(
            text,
            "[[instruments]]\nid = \"{id}\"\nname = \"{id}\"\n{figures}\n"
        )
        .unwrap();
    }
    text.push_str(
        "[[instruments]]\nid = \"meter\"\nname = \"meter\"\nresolution = \"1 mV\"\naccuracy = \"1 %\"\n\
         [[items]]\nid = \"p\"\nname = \"P\"\nkind = \"product\"\n\
         [[items]]\nid = \"socket\"\nname = \"Socket\"\nkind = \"connector\"\nparent = \"p\"\n\
         contact = { kind = \"socket\", rating = \"5 V ⎓ 1500 mA\" }\n\
         [[items]]\nid = \"charger\"\nname = \"Charger\"\nkind = \"part\"\nparent = \"p\"\n\
         part = { marking = [\"AB1?\"], identity = { name = \"AB12\", certainty = \"read\" }, \
         ratings = { charge-current-limit = \"1 A\" } }\n\
         converts = { kind = \"linear-charger\", output-current-limit = \"1000 mA\" }\n\
         loads = [{ mode = \"on\", current = \"4 mA\" }, { mode = \"on\", current = \"40 mA\", duty = \"10 %\" }]\n",
    );
    let n = 2 + draw.below(6);
    let masses: Vec<f64> = (0..n).map(|_| 0.3 + 30.0 * draw.next()).collect();
    for k in 0..n {
        let kind = ["board", "shell", "cell", "part", "assembly"][draw.below(5)];
        let cell = if kind == "cell" {
            "cell = { form = \"unknown\" }\n"
        } else {
            ""
        };
        write!(
            text,
            "[[items]]\nid = \"i{k}\"\nname = \"I{k}\"\nkind = \"{kind}\"\nparent = \"p\"\n{cell}"
        )
        .unwrap();
    }
    let (first, second) = (1 + draw.below(3), 1 + draw.below(3));
    let count = match draw.below(4) {
        0 => String::new(),
        1 => "count = \"unknown\"\n".to_string(),
        _ => format!("count = {}\n", first + second),
    };
    write!(
        text,
        "[[items]]\nid = \"screws\"\nname = \"Screws\"\nkind = \"fastener\"\nparent = \"p\"\n{count}\
         fastener = {{ sort = \"screw\" }}\n"
    )
    .unwrap();
    for (k, undone) in [first, second].into_iter().enumerate() {
        write!(
            text,
            "[[steps]]\nid = \"u{k}\"\naction = \"unscrew\"\ntext = \"undo {k}\"\nundo = \"yes\"\n\
             fasteners = [\"screws\"]\nfastener-count = {undone}\nduration = \"2 min\"\n\
             started = 2026-01-05T10:0{k}:00+01:00\nstopped = 2026-01-05T10:0{}:30+01:00\n",
            k + 2
        )
        .unwrap();
    }
    for k in 0..n {
        let (action, on) = [
            ("lift", format!("on = \"i{k}\"\n")),
            ("other", "on = \"p\"\n".to_string()),
            ("unknown", String::new()),
        ][draw.below(3)]
        .clone();
        write!(
            text,
            "[[steps]]\nid = \"s{k}\"\naction = \"{action}\"\ntext = \"take {k}\"\nundo = \"unknown\"\n{on}\
             frees = [\"i{k}\"]\nstarted = 2026-01-05T1{}:00:00+01:00\n",
            1 + k
        )
        .unwrap();
    }
    text.push_str(
        "[[steps]]\nid = \"plan\"\naction = \"cut\"\ntext = \"cut\"\nundo = \"no\"\ndone = false\n",
    );
    readings(&mut draw, &mut text, &masses);
    text
}

fn readings(draw: &mut Draw, text: &mut String, masses: &[f64]) {
    let whole: f64 = masses.iter().sum();
    // The pieces not in the list of masses weigh next to nothing, so the hardest case is drawn.
    for (at, (item, mass)) in std::iter::once(("p".to_string(), whole))
        .chain(
            masses
                .iter()
                .enumerate()
                .map(|(k, m)| (format!("i{k}"), *m)),
        )
        .flat_map(|weighed| [weighed.clone(), weighed])
        .enumerate()
    {
        if draw.chance(0.4) {
            continue;
        }
        let (id, _, constant, share) = SCALES[draw.below(SCALES.len())];
        let error = (constant + share * mass) * (2.0 * draw.next() - 1.0);
        let (tare, line) = if draw.chance(0.2) {
            (12.0, "tare = \"12.00 g\"\n")
        } else {
            (0.0, "")
        };
        let when = match (item.strip_prefix('i'), draw.below(3)) {
            (Some(k), 0) => format!("after = \"s{k}\"\nstarted = 2026-01-05T23:00:00+01:00\n"),
            (Some(k), 1) => format!("after = \"s{k}\"\nbefore = \"plan\"\n"),
            _ => String::new(),
        };
        write!(
            text,
            "[[readings]]\nid = \"r{at}\"\nitem = \"{item}\"\nwhat = \"mass\"\nvalue = \"{:.2} g\"\n\
             instrument = \"{id}\"\n{line}{when}",
            mass + error + tare
        )
        .unwrap();
    }
}

fn contradictions(text: &str) -> Vec<String> {
    let dossier = record::read_text(text, "dossier.toml", &record::AnyFile)
        .unwrap_or_else(|problems| panic!("{problems}\n{text}"));
    let known = Known::default();
    let found = examine(&Case::new(&dossier, &known)).unwrap();
    found.into_iter().map(|f| f.sentence).collect()
}

#[test]
fn a_record_that_agrees_with_itself_has_no_contradiction() {
    for seed in 0..400 {
        let text = consistent(seed);
        let found = contradictions(&text);
        assert!(found.is_empty(), "seed {seed}: {found:?}\n{text}");
    }
}

/// Each slip, made in a record that agrees with itself, is wording once, with the remedy at its end.
#[test]
fn one_slip_gives_one_contradiction() {
    let slips = [
        (
            "fastener-count = 2",
            "fastener-count = 50",
            "undoes 50 fasteners",
        ),
        (
            "input = \"5 V ⎓ 1.5 A\"",
            "input = \"9 V ⎓ 1.5 A\"",
            "does not print 9 V",
        ),
        (
            "output-current-limit = \"1000 mA\"",
            "output-current-limit = \"900 mA\"",
            "Charger",
        ),
        (
            "current = \"40 mA\", duty = \"10 %\"",
            "current = \"40 mA\"",
            "two loads on on",
        ),
        (
            "marking = [\"AB1?\"]",
            "marking = [\"????\"]",
            "no character of its marking is legible",
        ),
        (
            "accuracy = \"1 %\"",
            "accuracy = \"100 %\"",
            "measures nothing",
        ),
        ("frees = [\"i1\"]", "frees = [\"i0\"]", "comes free in"),
        (
            "duration = \"2 min\"\nstarted = 2026-01-05T10:00:00+01:00",
            "duration = \"20 min\"\nstarted = 2026-01-05T10:00:00+01:00",
            "took 20 min",
        ),
        (
            "started = 2026-01-05T11:00:00+01:00",
            "started = 2026-01-05T09:00:00+01:00",
            "stands above it",
        ),
    ];
    for (right, wrong, wording) in slips {
        let text = (0..400)
            .map(consistent)
            .find(|t| t.contains(right) && t.contains("count = 4\n"));
        let text = text.unwrap().replacen(right, wrong, 1);
        let found = contradictions(&text);
        assert!(
            found.iter().any(|s| s.contains(wording)),
            "{wrong}: {found:?}"
        );
        assert!(found.iter().all(|s| s.ends_with('.')), "{found:?}");
    }
}
