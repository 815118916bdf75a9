//! Parts: what holds what, one limit for one thing, margins in their order, and something to read.

use super::Contradiction;
use crate::words::Words as _;
use crate::{Cancelled, Case};
use quantity::Stated;
use record::{Certainty, ConversionKind, Item, ItemKind, PartFacts, Place};

/// Returns the contradictions about items.
pub(super) fn found(case: &Case<'_>) -> Result<Vec<Contradiction>, Cancelled> {
    let mut found = Vec::new();
    for item in &case.dossier.items {
        case.go_on()?;
        found.extend(inside_a_fastener(case, item));
        found.extend(shared_with_itself(item));
        if let Some(part) = &item.part {
            found.extend(read_without_marking(item, part));
            found.extend(out_of_order(item, part));
            found.extend(two_figures(item, part));
        }
    }
    Ok(found)
}

/// Screws and glue hold nothing inside but what belongs to them: a washer, a cap, a thread lock.
fn inside_a_fastener(case: &Case<'_>, item: &Item) -> Option<Contradiction> {
    let holder = case.tree().parent(&item.id)?;
    let belongs = matches!(
        item.kind,
        ItemKind::Fastener
            | ItemKind::Adhesive
            | ItemKind::Shell
            | ItemKind::Other
            | ItemKind::Unknown
    );
    let holds = !matches!(holder.kind, ItemKind::Fastener | ItemKind::Adhesive);
    (!belongs && !holds).then(|| Contradiction {
        rule: "inside-a-fastener",
        about: Place::item(&item.id).at("parent"),
        subject: format!("what {} is in", item.name),
        what: format!(
            "{} ({}) is recorded in {}, but {} holds no {}",
            item.name,
            item.kind.words(),
            holder.name,
            match holder.kind {
                ItemKind::Adhesive => "an adhesive",
                _ => "a fastener such as a screw",
            },
            item.kind.words(),
        ),
        so: "Counts, masses and the way to it follow the tree. Correct `parent`".to_string(),
        places: vec![Place::item(&holder.id)],
        with: None,
    })
}

fn shared_with_itself(item: &Item) -> Option<Contradiction> {
    let contact = item.contact.as_ref()?;
    contact
        .shares_with
        .contains(&item.id)
        .then(|| Contradiction {
            rule: "shares-with-itself",
            about: Place::item(&item.id).at("contact.shares-with"),
            subject: format!("what {} shares a limit with", item.name),
            what: format!("{} is recorded to share its limit with itself", item.name),
            so: "What it gives depends on what the others take. Name the other contacts"
                .to_string(),
            places: Vec::new(),
            with: None,
        })
}

fn read_without_marking(item: &Item, part: &PartFacts) -> Option<Contradiction> {
    let identity = part.identity.as_ref()?;
    let is_legible = |line: &String| line.chars().any(|c| c.is_alphanumeric() || c == '{');
    let is_read = identity.certainty == Certainty::Read;
    (is_read && !part.marking.iter().any(is_legible)).then(|| Contradiction {
        rule: "read-without-marking",
        about: Place::item(&item.id).at("part.identity"),
        subject: format!("how {} was identified", item.name),
        what: format!(
            "{} is recorded as {}, read from its marking, but {}",
            item.name,
            identity.name,
            if part.marking.is_empty() {
                "no marking is recorded"
            } else {
                "no character of its marking is legible"
            }
        ),
        so: "How sure claims about it are depends on it. Record the `marking` as seen, or say how it is known \
             with another `certainty`"
            .to_string(),
        places: Vec::new(),
        with: None,
    })
}

/// Ratings that no part has the other way round: the lower, the higher, why.
const IN_ORDER: [(&str, &str, &str); 2] = [
    (
        "stand-off-voltage",
        "clamping-voltage",
        "a protector that clamps below its working voltage would short the supply",
    ),
    (
        "over-voltage-threshold",
        "input-absolute-maximum",
        "a switch that opens above what it stands is destroyed first",
    ),
];

fn out_of_order(item: &Item, part: &PartFacts) -> Vec<Contradiction> {
    let wrong = IN_ORDER.iter().filter_map(|(low, high, why)| {
        let (below, above) = (part.ratings.get(*low)?, part.ratings.get(*high)?);
        let (x, y) = (below.low_si(), above.high_si());
        (below.dimension() == above.dimension() && x > y).then(|| Contradiction {
            rule: "margins-out-of-order",
            about: Place::item(&item.id).at("part.ratings"),
            subject: format!("the voltages of {}", item.name),
            what: format!(
                "{} has a {} of {above}, below its {} of {below}: {why}",
                item.name,
                high.replace('-', " "),
                low.replace('-', " "),
            ),
            so: format!("What gets past it is worked out from both. Correct `{low}` or `{high}`"),
            places: Vec::new(),
            with: Some((*low).to_string()),
        })
    });
    wrong.collect()
}

/// Returns figures that stand both among the ratings of a part and in its conversion.
fn two_figures(item: &Item, part: &PartFacts) -> Vec<Contradiction> {
    let Some(converts) = &item.converts else {
        return Vec::new();
    };
    let charges = matches!(
        converts.kind,
        ConversionKind::LinearCharger | ConversionKind::SwitchedCharger
    );
    let output = &converts.output_current_limit;
    let twice: [(&str, Option<&Stated>, &str); 5] = [
        (
            "charge-current-limit",
            output.as_ref().filter(|_| charges),
            "output-current-limit",
        ),
        (
            "output-current-limit",
            output.as_ref(),
            "output-current-limit",
        ),
        (
            "input-current-limit",
            converts.input_current_limit.as_ref(),
            "input-current-limit",
        ),
        ("efficiency", converts.efficiency.as_ref(), "efficiency"),
        (
            "quiescent-current",
            converts.quiescent_current.as_ref(),
            "quiescent-current",
        ),
    ];
    let differ = twice.into_iter().filter_map(|(rating, stated, key)| {
        let (one, other) = (part.ratings.get(rating)?, stated?);
        (!agree(one, other)).then(|| two_limits(item, (rating, one), (key, other)))
    });
    let mut found: Vec<Contradiction> = differ.collect();
    // The limit of a charger goes by two names.
    let names = ["charge-current-limit", "output-current-limit"];
    if let [Some(one), Some(other)] = names.map(|n| part.ratings.get(n))
        && charges
        && !agree(one, other)
        && found.is_empty()
    {
        found.push(two_limits(item, (names[0], one), (names[1], other)));
    }
    found
}

fn two_limits(item: &Item, one: (&str, &Stated), other: (&str, &Stated)) -> Contradiction {
    Contradiction {
        rule: "two-limits",
        about: Place::item(&item.id),
        subject: format!("the {} of {}", one.0.replace('-', " "), item.name),
        what: format!(
            "{} is recorded with a {} of {} among its ratings and a {} of {} in its conversion",
            item.name,
            one.0.replace('-', " "),
            one.1,
            other.0.replace('-', " "),
            other.1,
        ),
        so: "What flows through it depends on which is right. Keep the one that is set by the circuit".to_string(),
        places: vec![Place::item(&item.id).at("part.ratings"), Place::item(&item.id).at("converts")],
        with: Some(one.0.to_string()),
    }
}

/// Returns whether two figures can be the same value, their last digits being rounded.
fn agree(a: &Stated, b: &Stated) -> bool {
    let half = |s: &Stated| 0.5 * s.last_digit.abs() * s.unit.factor();
    let slack = half(a).min(half(b)) * (1.0 + 1e-9);
    a.dimension() != b.dimension()
        || (a.low_si() - slack <= b.high_si() && b.low_si() - slack <= a.high_si())
}

/// As [`agree`], for the rest of the module's family.
pub(super) fn can_be_equal(a: &Stated, b: &Stated) -> bool {
    agree(a, b)
}
