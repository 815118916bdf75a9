//! Settles a claim that something is in the product, and claims that no dossier alone can settle.
//!
//! In: a claim that names a part, its maker or role, an interface, a radio standard or a function. Out:
//! its finding. What an item provides is worth as much as the side that says so: an interface can be
//! seen, a radio standard follows from the data sheet of an identified part, a function has to be tried;
//! the maker's own words are repeated, not tested.

use super::begin;
use super::maker::{ByMaker, by_maker};
use super::meaning::{concluded, ended, quoted, taken_to_mean};
use super::wanted::wanted;
use crate::assessment::SURE;
use crate::grounds::Grounds;
use crate::presence::{Match, Presence, presence};
use crate::side::{Side, of_evidence};
use crate::words::{how_sure, the};
use crate::{Case, Cell, Finding, Judgement, Missing, OpenReason, Verdict};
use record::{Certainty, Claim, ClaimKind, ContactKind, Item, Place};

/// As many unidentified parts are named in a sentence.
const FEW: usize = 3;

/// What the record shows of a presence, with how it is known as the end of a sentence.
enum Shown {
    /// It is there.
    There(String),
    /// It may be there.
    Perhaps(String),
    /// Only the maker, or nobody, says so.
    Repeated(String),
}

impl Shown {
    fn verdict(&self) -> Verdict {
        match self {
            Self::There(_) => Verdict::Holds,
            Self::Perhaps(_) | Self::Repeated(_) => Verdict::Undecided,
        }
    }

    fn reason(&self, kind: ClaimKind) -> OpenReason {
        match self {
            Self::Repeated(_) => OpenReason::RepeatedNotTested,
            _ if kind == ClaimKind::Function => OpenReason::NotTried,
            Self::There(_) | Self::Perhaps(_) => OpenReason::IdentityUnsure,
        }
    }

    fn how(&self) -> String {
        match self {
            Self::There(how) | Self::Perhaps(how) => how.clone(),
            Self::Repeated(how) => format!("{how}: repeated, not tested"),
        }
    }
}

/// Looks for the named part, interface, radio or function.
pub(super) fn settle(case: &Case<'_>, claim: &Claim) -> Finding {
    let mut finding = begin(claim);
    let mut grounds = Grounds::default();
    let names = claim.names.as_deref().unwrap_or_default().trim();
    if let Some(found) = by_maker(case, claim) {
        of_maker(case, claim, found, &mut finding, &mut grounds);
    } else if names.is_empty() {
        finding.verdict = Some(Verdict::NeedsEvidence);
        finding.sentence = format!(
            "{} The record does not name what to look for: needs evidence.",
            ended(&quoted(claim))
        );
        let why = "the record does not name what to look for";
        finding.judgement = Some(Judgement::nothing(OpenReason::NotUnderstood, why));
        grounds.unused(format!(
            "{}: `names` is not stated",
            Place::claim(&claim.id)
        ));
        finding.missing.push(wanted(case, claim, None, None));
    } else if let Some(found) = best(case, claim, names) {
        let shown = shown(case, claim.kind, &found);
        if let Some(word) =
            unbounded(&claim.text, names).filter(|_| shown.verdict() == Verdict::Holds)
        {
            without_bounds(
                case,
                claim,
                (found, &shown, word),
                &mut finding,
                &mut grounds,
            );
            grounds.close(&mut finding);
            return finding;
        }
        let verdict = shown.verdict();
        finding.verdict = Some(verdict);
        let meaning = meaning(case, claim, names);
        let how = format!("{} {}", the(found.item), shown.how());
        finding.sentence = concluded(&taken_to_mean(claim, &meaning), &how, verdict);
        let judgement = Judgement::found(named(found.item), how).meaning(meaning);
        finding.judgement = Some(judgement.open(verdict, shown.reason(claim.kind)));
        for place in found.evidence {
            grounds.evidence(place);
        }
        if verdict == Verdict::Undecided {
            finding.missing.push(next(case, claim, found.item, &shown));
        }
    } else {
        absent(case, claim, names, &mut finding, &mut grounds);
    }
    grounds.close(&mut finding);
    finding
}

/// Returns a word of the claim that promises something of every place, time or thing, beside what it names.
fn unbounded<'t>(text: &'t str, names: &str) -> Option<&'t str> {
    const WORDS: [&str; 6] = ["anywhere", "everywhere", "always", "never", "any", "every"];
    let is_one = |word: &&str| WORDS.iter().any(|w| w.eq_ignore_ascii_case(word));
    let words = |text: &'t str| text.split(|c: char| !c.is_alphanumeric());
    let own = words(text).find(is_one)?;
    let named = names.split(|c: char| !c.is_alphanumeric());
    (!named.into_iter().any(|w| w.eq_ignore_ascii_case(own))).then_some(own)
}

/// Settles a claim that promises something without bounds: that it is there shows no more than that.
fn without_bounds(
    case: &Case<'_>,
    claim: &Claim,
    (found, shown, word): (Presence<'_>, &Shown, &str),
    finding: &mut Finding,
    grounds: &mut Grounds,
) {
    let verdict = Verdict::NeedsEvidence;
    finding.verdict = Some(verdict);
    let meaning = meaning(case, claim, claim.names.as_deref().unwrap_or_default());
    let how = format!(
        "{} {}; but “{}” names no bounds, so that much is not testable as printed",
        the(found.item),
        shown.how(),
        word.to_lowercase()
    );
    finding.sentence = concluded(&taken_to_mean(claim, &meaning), &how, verdict);
    let judgement = Judgement::found(named(found.item), how).meaning(meaning);
    finding.judgement = Some(judgement.open(verdict, OpenReason::NotTestable));
    for place in found.evidence {
        grounds.evidence(place);
    }
    finding.missing.push(Missing {
        measure: format!("find out within which bounds it does so: “{word}” names none"),
        ..wanted(case, claim, None, None)
    });
}

fn best<'d>(case: &Case<'d>, claim: &Claim, names: &str) -> Option<Presence<'d>> {
    let about = claim.says.item.as_deref();
    presence(case, claim.kind, names, about).into_iter().next()
}

fn meaning(case: &Case<'_>, claim: &Claim, names: &str) -> String {
    let inside = claim.says.item.as_deref().and_then(|id| case.item(id));
    let inside = inside.map_or_else(|| "it".to_string(), the);
    match claim.kind {
        ClaimKind::Function => format!("that {inside} can do this: {names}"),
        _ => format!("that {names} is in {inside}"),
    }
}

/// Returns a part as what was found: its identity, or its name where it has none.
fn named(item: &Item) -> Cell {
    let identity = item.part.as_ref().and_then(|p| p.identity.as_ref());
    let name = identity.map_or(&item.name, |i| &i.name);
    Cell::place(Place::item(&item.id), name)
}

/// What to do next for something that may be there.
fn next(case: &Case<'_>, claim: &Claim, item: &Item, shown: &Shown) -> Missing {
    let open = wanted(case, claim, None, None);
    let unread = item.part.as_ref().is_some_and(|p| {
        p.identity
            .as_ref()
            .is_none_or(|i| i.certainty != Certainty::Read)
    });
    if matches!(shown, Shown::Perhaps(_)) && unread && claim.kind != ClaimKind::Function {
        Missing {
            measure: format!("clean and magnify {} and read its marking", the(item)),
            ..open
        }
    } else {
        open
    }
}

/// Settles a claim on the maker and role of a part.
fn of_maker(
    case: &Case<'_>,
    claim: &Claim,
    found: ByMaker<'_>,
    finding: &mut Finding,
    grounds: &mut Grounds,
) {
    let verdict = if found.sure() {
        Verdict::Holds
    } else {
        Verdict::Undecided
    };
    finding.verdict = Some(verdict);
    finding.conformance = found.probability;
    let what = format!("that {} is in it", found.wanted);
    let how = format!("{} {}", the(found.item), found.how());
    finding.sentence = concluded(&taken_to_mean(claim, &what), &how, verdict);
    let judgement = Judgement::found(named(found.item), how).meaning(what);
    finding.judgement = Some(judgement.open(verdict, OpenReason::IdentityUnsure));
    for place in crate::inputs::item_evidence(found.item) {
        grounds.evidence(place);
    }
    if verdict == Verdict::Undecided {
        finding.missing.push(Missing {
            measure: format!("clean and magnify {} and read its marking", the(found.item)),
            ..wanted(case, claim, None, None)
        });
    }
}

/// Decides on something that no recorded item answers to. It is held to be absent only where the
/// record says that it is complete and every part in it is identified.
fn absent(
    case: &Case<'_>,
    claim: &Claim,
    names: &str,
    finding: &mut Finding,
    grounds: &mut Grounds,
) {
    let about = claim.says.item.as_deref();
    let (unknown, few) = case.named().unidentified(case, about, FEW);
    let (verdict, why) = if !case.dossier.product.complete {
        let why = "but the record does not claim to list every part".to_string();
        (Verdict::NeedsEvidence, why)
    } else if claim.kind == ClaimKind::Function {
        let why = "and what a program makes of the parts is not seen on them".to_string();
        (Verdict::Undecided, why)
    } else if unknown == 0 {
        let why = "the record lists every part, and every one is identified".to_string();
        (Verdict::Fails, why)
    } else {
        let few: Vec<String> = few.into_iter().map(the).collect();
        let why = format!(
            "the record lists every part, but {} of them {} not identified ({}{})",
            unknown,
            if unknown == 1 { "is" } else { "are" },
            few.join(", "),
            if unknown > few.len() { ", …" } else { "" }
        );
        (Verdict::Undecided, why)
    };
    finding.verdict = Some(verdict);
    let meaning = meaning(case, claim, names);
    let how = format!("no such part is on record, {why}");
    finding.sentence = concluded(&taken_to_mean(claim, &meaning), &how, verdict);
    let judgement = Judgement::found(Cell::Nothing, how).meaning(meaning);
    finding.judgement = Some(judgement.open(verdict, OpenReason::NotMeasured));
    if case.dossier.product.complete {
        grounds.evidence(Place::product().at("complete"));
        grounds.assume(
            "The record is complete, as `product.complete` states; remove it if a part may have been \
             overlooked.",
        );
    }
    if verdict != Verdict::Fails {
        finding.missing.push(wanted(case, claim, None, None));
    }
}

/// Settles an ingress code: a seal that is seen proves nothing, an opening that is seen speaks against it.
pub(super) fn ingress(case: &Case<'_>, claim: &Claim) -> Finding {
    const WHY: &str =
        "seals can be seen, but only a test of an unopened sample shows what they keep out";
    let mut finding = begin(claim);
    let mut grounds = Grounds::default();
    let opening = unclosed(case, claim);
    let (verdict, why) = match opening {
        Some(item) => {
            grounds.evidence(Place::item(&item.id));
            grounds.seen(&item.evidence);
            let against = format!(
                "{} is recorded as an opening and nothing in it as a seal, which speaks against it; {WHY}",
                the(item)
            );
            (Verdict::Undecided, against)
        }
        None => (Verdict::NeedsEvidence, WHY.to_string()),
    };
    finding.verdict = Some(verdict);
    finding.sentence = concluded(&quoted(claim), &why, verdict);
    let found = opening.map_or(Cell::Nothing, Cell::item);
    let judgement = Judgement::found(found, why);
    finding.judgement = Some(judgement.open(verdict, OpenReason::NotTried));
    grounds.unused(WHY);
    finding.missing.push(wanted(case, claim, None, None));
    grounds.close(&mut finding);
    finding
}

/// Returns an opening to the outside that nothing closes, as far as the record tells.
fn unclosed<'d>(case: &Case<'d>, claim: &Claim) -> Option<&'d Item> {
    let about = claim.says.item.as_deref();
    case.dossier.items.iter().find(|item| {
        let opening = item
            .contact
            .as_ref()
            .is_some_and(|c| c.kind == ContactKind::PortHole);
        opening
            && about.is_none_or(|id| case.tree().within(&item.id, id))
            && case.tree().children(&item.id).next().is_none()
    })
}

/// Tells a statement without figure or fact, and what would make it testable.
pub(super) fn slogan(case: &Case<'_>, claim: &Claim) -> Finding {
    let mut finding = begin(claim);
    let text = claim.text.to_lowercase();
    let says = |words: &[&str]| words.iter().any(|w| text.contains(w));
    let testable = if says(&["charg", "fast", "quick"]) {
        "“charges from empty to full in N min from a supply of V and A”"
    } else if says(&["batter", "power", "energy", "long", "last", "day", "endur"]) {
        "“runs for N h in mode M from a full charge”"
    } else if says(&["quiet", "noise", "sound", "loud", "audio"]) {
        "“lowers noise by N dB(A), measured so and so”"
    } else if says(&["light", "bright", "shine"]) {
        "“gives N lm for N h”"
    } else if says(&["small", "thin", "slim", "tiny", "weigh", "feather"]) {
        "“weighs N g and is N mm thick”"
    } else {
        "a figure with its unit and the condition that it holds for"
    };
    finding.verdict = Some(Verdict::NeedsEvidence);
    finding.sentence = format!(
        "{} This gives no figure and no condition: not testable as printed. It would be as {testable}.",
        ended(&quoted(claim))
    );
    let why = format!("it would be testable as {testable}");
    finding.judgement = Some(Judgement::nothing(OpenReason::NotTestable, why));
    finding.missing.push(wanted(case, claim, None, None));
    finding
}

/// A statement of which the record does not know what it states.
pub(super) fn unknown(case: &Case<'_>, claim: &Claim) -> Finding {
    let mut finding = begin(claim);
    finding.verdict = Some(Verdict::NeedsEvidence);
    finding.sentence = format!(
        "{} The record does not know what this states, so nothing can be held against it: needs evidence.",
        ended(&quoted(claim))
    );
    let why = "the record does not know what it states";
    finding.judgement = Some(Judgement::nothing(OpenReason::NotUnderstood, why));
    finding.missing.push(wanted(case, claim, None, None));
    finding
}

/// Returns what the record shows of a presence.
fn shown(case: &Case<'_>, kind: ClaimKind, found: &Presence<'_>) -> Shown {
    let probability = case.assessments().probability(found.item);
    let identity = found.item.part.as_ref().and_then(|p| p.identity.as_ref());
    match found.by {
        Match::Identity(sure) => {
            let name = identity.map_or("", |i| i.name.as_str());
            let how = format!("is {name} ({})", within(&how_sure(Some(sure), probability)));
            if is_read(sure, probability) {
                Shown::There(how)
            } else {
                Shown::Perhaps(how)
            }
        }
        Match::Provides => provided(kind, found.item, probability),
        Match::Role => {
            Shown::Perhaps("has that role, but its identity does not say so".to_string())
        }
        Match::Name => Shown::Perhaps("is called so, but nothing else says so".to_string()),
    }
}

/// Returns whether an identity is as good as read.
fn is_read(sure: Certainty, probability: Option<f64>) -> bool {
    sure == Certainty::Read && probability.is_none_or(|p| p >= SURE)
}

/// Writes words that stand in brackets without brackets of their own.
fn within(words: &str) -> String {
    words.replace(" (", ", ").replace(')', "")
}

/// Returns what it is worth that an item is recorded as providing something.
fn provided(kind: ClaimKind, item: &Item, probability: Option<f64>) -> Shown {
    let identity = item.part.as_ref().and_then(|p| p.identity.as_ref());
    // A test is worth what it left on record: a reading, a log, a measure.
    let tested = item
        .evidence
        .iter()
        .any(|e| of_evidence(e) == Side::Measured);
    let told = item.provides_origin.map(Side::from);
    let told = told.filter(|side| *side != Side::Measured || tested);
    let side = told.unwrap_or_else(|| {
        let seen = item.evidence.iter().map(of_evidence).max();
        match (identity, seen) {
            (Some(_), Some(Side::Measured)) => Side::Measured,
            // All that stands behind it is what the maker prints.
            (Some(_), Some(Side::MakersPrint)) => Side::MakersPrint,
            (Some(_), _) => Side::DataSheet,
            (None, seen) => seen.unwrap_or(Side::Judged),
        }
    });
    let (read, is) = match identity {
        Some(identity) => {
            let sure = how_sure(Some(identity.certainty), probability);
            (
                is_read(identity.certainty, probability),
                format!(" and is {} ({})", identity.name, within(&sure)),
            )
        }
        None => (true, String::new()),
    };
    match (side, kind) {
        (Side::Measured, _) => Shown::There(format!("is tested to provide it{is}")),
        (Side::MakersPrint, _) => {
            Shown::Repeated(format!("provides it by the maker's own words{is}"))
        }
        (Side::Judged, _) => Shown::Repeated(format!(
            "provides it, but how that is known is not recorded{is}"
        )),
        (Side::Seen, ClaimKind::Radio | ClaimKind::Bands | ClaimKind::Function)
            if told.is_none() =>
        {
            Shown::Repeated(format!(
                "provides it by the record, which a photograph cannot show{is}"
            ))
        }
        (Side::Seen, _) if read => Shown::There(format!("is seen to provide it{is}")),
        (Side::DataSheet, ClaimKind::Function) => {
            Shown::Perhaps(format!("makes it possible{is}, but it was not tried"))
        }
        (Side::DataSheet, _) if read => Shown::There(format!("provides it{is}")),
        (Side::Seen | Side::DataSheet, _) => Shown::Perhaps(format!("provides it{is}")),
    }
}
