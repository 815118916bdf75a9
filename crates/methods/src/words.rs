//! The words that findings and reports print: kinds of the record, verdicts, counts, lists.
//!
//! In: kinds, numbers, names. Out: words. Not here: sentences about a product.

use crate::{Cell, Method, Verdict};
use quantity::{GAP, Origin};
use record::{
    Action, Certainty, ClaimKind, ContactKind, ConversionKind, Count, Hazard, Item, ItemKind,
    LinkKind, ReadingSubject, Undo,
};
use std::fmt::Display;

/// Gives a kind its printed words.
pub trait Words {
    /// Returns the words.
    fn words(self) -> &'static str;
}

macro_rules! words {
    ($($kind:ty { $($name:ident => $words:literal,)* })*) => {
        $(impl Words for $kind {
            fn words(self) -> &'static str {
                match self { $(Self::$name => $words,)* }
            }
        })*
    };
}

words! {
    ItemKind {
        Product => "product", Assembly => "assembly", Board => "board", Flex => "flexible circuit",
        Connector => "connector", Part => "part", Cell => "cell", Coil => "coil",
        Antenna => "antenna", Transducer => "transducer", Sensor => "sensor",
        Fastener => "fastener", Adhesive => "adhesive", Shell => "shell", Cable => "cable",
        Other => "other", Unknown => "unknown",
    }
    ClaimKind {
        Mass => "mass", Capacity => "capacity", Energy => "energy", Input => "input rating",
        RunTime => "run time", ChargingTime => "charging time", QuickCharge => "quick charge",
        Recharges => "recharges", Dimension => "dimension", NoiseReduction => "noise reduction",
        Delay => "delay", Ingress => "ingress protection", Part => "part", Interface => "interface",
        Radio => "radio standard", Function => "function", First => "first with a part", Leading => "foremost in a figure",
        Output => "output rating", Cable => "cable rating", Power => "power",
        LuminousFlux => "luminous flux", ViewAngle => "angle of view", Resolution => "resolution",
        Bands => "radio bands", Repair => "repair", Slogan => "slogan", Unknown => "unknown kind",
    }
    ReadingSubject {
        Mass => "mass", Length => "length", Width => "width", Height => "height",
        Thickness => "thickness", Diameter => "diameter", Voltage => "voltage",
        Current => "current", Charge => "charge", Energy => "energy", Resistance => "resistance",
        Temperature => "temperature", RunTime => "run time", ChargingTime => "charging time",
        Delay => "delay", NoiseReduction => "noise reduction", Unknown => "unknown quantity",
    }
    Action {
        Heat => "heat", Pry => "pry", Unclip => "unclip", Unscrew => "unscrew", Peel => "peel",
        Unplug => "unplug", Unsolder => "unsolder", Cut => "cut", Lift => "lift", Pull => "pull",
        Dissolve => "dissolve", Weigh => "weigh", Other => "other",
        Unknown => "unknown",
    }
    Hazard {
        LithiumCell => "lithium cell", Heat => "heat", Blade => "blade",
        ChargedCapacitor => "charged capacitor", Mains => "mains", Laser => "laser",
        GlassSplinters => "glass splinters", Solvent => "solvent", Unknown => "not looked into",
    }
    Undo { Yes => "yes", WithNewMaterial => "with new material", No => "no", Unknown => "unknown", }
    Certainty { Assumed => "assumed", Inferred => "inferred", Read => "read",
        Unknown => "not stated",
    }
    ContactKind {
        Socket => "socket", Contacts => "contacts", Coil => "coil", Antenna => "antenna",
        Button => "button", PortHole => "port hole", Unknown => "unknown",
    }
    ConversionKind {
        LinearCharger => "linear charger", SwitchedCharger => "switched charger",
        LinearRegulator => "linear regulator", SwitchedRegulator => "switched regulator",
        InductiveReceiver => "wireless receiver", Switch => "switch or protector",
        Unknown => "converter of unknown kind",
    }
    LinkKind { Power => "power", Signal => "signal", Unknown => "unknown", }
    Origin {
        Label => "read off a label", Measured => "measured", DataSheet => "data sheet",
        Estimated => "estimated", Standard => "standard", Assumed => "assumed", Unknown => "unknown",
        Derived => "derived",
    }
    Verdict {
        Holds => "holds", Fails => "fails", Undecided => "undecided",
        NeedsEvidence => "needs evidence",
    }
}

impl Words for Method {
    fn words(self) -> &'static str {
        self.entry().words
    }
}

/// Writes `1 step`, `2 steps`.
pub fn counted<N: Display + PartialEq + From<u8>>(n: N, one: &str, many: &str) -> String {
    let noun = if n == N::from(1) { one } else { many };
    format!("{n} {noun}")
}

/// A sum of counts, some of which may not be stated.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Tally {
    /// Those stated, and one for each of the others.
    least: u32,
    /// How many are not stated.
    open: u32,
}

impl Tally {
    /// Takes in one count.
    pub(crate) fn add(&mut self, count: Count) {
        self.least = self.least.saturating_add(count.at_least());
        self.open += u32::from(count.number().is_none());
    }

    /// Takes in another sum.
    pub(crate) fn join(&mut self, other: Self) {
        self.least = self.least.saturating_add(other.least);
        self.open += other.open;
    }

    /// Writes `4`, or `at least 4` where a count is not stated.
    pub(crate) fn number(self) -> String {
        match self.open {
            0 => self.least.to_string(),
            _ => format!("at least {}", self.least),
        }
    }

    /// Returns the sum where every count is stated.
    pub(crate) fn exact(self) -> Option<u32> {
        (self.open == 0).then_some(self.least)
    }

    /// Returns whether it is one thing for certain.
    pub(crate) fn is_one(self) -> bool {
        self.least == 1 && self.open == 0
    }

    /// Writes `4 screws`, `at least 4 screws`.
    pub(crate) fn of(self, one: &str, many: &str) -> String {
        let noun = if self.is_one() { one } else { many };
        format!("{} {noun}", self.number())
    }

    /// Writes `Four screws`, `At least 4 screws`, at the start of a sentence.
    pub(crate) fn start(self, one: &str, many: &str) -> String {
        match self.open {
            0 => spelt_start(usize::try_from(self.least).unwrap_or(usize::MAX), one, many),
            _ => capital(&self.of(one, many)),
        }
    }

    /// Returns the sum as a cell of a table.
    pub(crate) fn cell(self) -> Cell {
        match self.open {
            0 => Cell::count(self.least),
            _ => Cell::words(self.number()),
        }
    }
}

/// Joins names with commas and a final "and".
pub fn listed(mut names: Vec<String>) -> String {
    match names.pop() {
        None => String::new(),
        Some(last) if names.is_empty() => last,
        Some(last) => format!("{} and {last}", names.join(", ")),
    }
}

/// Joins names with commas; "none" where there are none.
pub fn listed_or_none<T: AsRef<str>>(names: &[T]) -> String {
    let names: Vec<&str> = names.iter().map(AsRef::as_ref).collect();
    if names.is_empty() {
        "none".to_string()
    } else {
        names.join(", ")
    }
}

/// Returns the text with a capital first letter.
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

/// Returns a name as it stands inside a sentence: `lamp charger U2`; what is written in capitals or
/// with digits stays.
pub fn lower(name: &str) -> String {
    let first = name.split([' ', '-']).next().unwrap_or_default();
    let plain = first
        .chars()
        .skip(1)
        .all(|c| !c.is_uppercase() && !c.is_ascii_digit());
    let mut chars = name.chars();
    match chars.next() {
        Some(c) if plain && first.chars().count() > 1 => c.to_lowercase().chain(chars).collect(),
        _ => name.to_string(),
    }
}

/// Words that say what form a cell has; the cell of a thing needs none of them to be known.
const CELL_FORMS: [&str; 7] = [
    "pouch",
    "cylindrical",
    "prismatic",
    "button",
    "coin",
    "lithium",
    "lithium-ion",
];

/// Returns an item with its article, inside a sentence: `the lamp charger U2`, `the lamp's cell`; a
/// product keeps its own name.
pub fn the(item: &Item) -> String {
    let name = called(item);
    if item.kind == ItemKind::Product {
        return name;
    }
    let name = lower(
        name.strip_prefix("The ")
            .or(name.strip_prefix("the "))
            .unwrap_or(&name),
    );
    if item.kind == ItemKind::Cell
        && let Some((cell, owner)) = name.split_once(" of the ")
    {
        let own = cell.split(' ').filter(|word| !CELL_FORMS.contains(word));
        let own: Vec<&str> = own.collect();
        return format!("the {owner}'s {}", own.join(" "));
    }
    format!("the {name}")
}

/// Returns an item with its article, at the start of a sentence.
pub fn the_start(item: &Item) -> String {
    capital(&the(item))
}

/// Returns where something is printed, with articles: `front of box` is `the front of the box`, `on the
/// cell` is `the print on the cell`.
pub fn place(printed: &str) -> String {
    const AT: [&str; 8] = [
        "on",
        "in",
        "at",
        "under",
        "underneath",
        "inside",
        "beside",
        "behind",
    ];
    let with = format!(" {printed} ")
        .replace(" of box ", " of the box ")
        .replace(" of label ", " of the label ")
        .replace(" of box;", " of the box;")
        .replace(" of box,", " of the box,")
        .replace(" of leaflet ", " of the leaflet ")
        .replace(" on box ", " on the box ");
    let with = with.trim();
    let first = with.split(' ').next().unwrap_or_default().to_lowercase();
    match first.as_str() {
        "the" | "a" | "an" | "its" => lower(with),
        word if AT.contains(&word) => format!("the print {}", lower(with)),
        _ => format!("the {}", lower(with)),
    }
}

/// Leaves out of a text what only its author can act on: sentences and clauses that name a key of the
/// record or say how to change an assumption.
pub fn for_readers(text: &str) -> String {
    const ASKS: [&str; 7] = [
        "Correct ",
        "State ",
        "Give ",
        "Change ",
        "Add ",
        "Mark a thing",
        "Name in ",
    ];
    let asks =
        |clause: &str| clause.contains('`') || ASKS.iter().any(|word| clause.starts_with(word));
    let mut told = Vec::new();
    for sentence in text.split_inclusive(". ") {
        let sentence = sentence.trim_end();
        let clauses: Vec<&str> = sentence.split("; ").collect();
        let kept: Vec<&str> = clauses
            .iter()
            .copied()
            .filter(|c| !asks(c) && !c.starts_with("write the figure") && !c.starts_with("state "))
            .collect();
        match kept.len() {
            0 => {}
            n if n == clauses.len() => told.push(sentence.to_string()),
            _ if sentence.ends_with('.') => {
                told.push(format!("{}.", kept.join("; ").trim_end_matches('.')));
            }
            _ => told.push(kept.join("; ")),
        }
    }
    told.join(" ")
}

/// Returns the word of a probability on the one scale that is used everywhere.
pub fn scale(p: f64) -> &'static str {
    match p {
        p if !p.is_finite() => "unknown",
        p if p > 0.999 => "practically certain",
        p if p > 0.95 => "very likely",
        p if p > 0.75 => "likely",
        p if p > 0.55 => "more likely than not",
        p if p > 0.45 => "as likely as not",
        p if p > 0.25 => "less likely than not",
        p if p > 0.05 => "unlikely",
        p if p > 0.001 => "very unlikely",
        _ => "practically excluded",
    }
}

/// Says how likely something is, with its probability: `very likely (99.4 %)`.
pub fn likely(p: f64) -> String {
    likely_to(p, "")
}

/// Says how likely it is that something does what the words say: `less likely than not to hold (33 %)`.
pub fn likely_to(p: f64, what: &str) -> String {
    let word = scale(p);
    let space = if what.is_empty() { "" } else { " " };
    match p.is_finite() {
        true => format!("{word}{space}{what} ({})", percent(p)),
        false => word.to_string(),
    }
}

/// Says how sure an identity is: how somebody came by it and, where its marking tells, how probable that makes it:
/// `read, very likely (98 %)`; none is `not identified`.
pub fn how_sure(by: Option<Certainty>, probability: Option<f64>) -> String {
    let Some(by) = by else {
        return "not identified".to_string();
    };
    match (by, probability) {
        (_, None) => by.words().to_string(),
        (Certainty::Read | Certainty::Inferred, Some(p)) => {
            format!("{}, {}", by.words(), likely(p))
        }
        // What nobody read may still have a marking that tells.
        (Certainty::Assumed | Certainty::Unknown, Some(p)) => {
            format!("{}, by its marking {}", by.words(), likely(p))
        }
    }
}

/// Returns how sure an identity is in steps from 0 to 3: on the scale of [`likely`] where its marking tells, else by
/// how somebody came by it.
pub fn sureness(by: Option<Certainty>, probability: Option<f64>) -> u8 {
    match (by, probability) {
        (None, _) => 0,
        (_, Some(p)) if p > 0.95 => 3,
        (_, Some(p)) if p > 0.75 => 2,
        (_, Some(p)) if p > 0.45 => 1,
        (_, Some(_)) => 0,
        (Some(Certainty::Read), None) => 3,
        (Some(Certainty::Inferred), None) => 2,
        (Some(Certainty::Assumed), None) => 1,
        (Some(Certainty::Unknown), None) => 0,
    }
}

/// Writes a small number as a word, a greater one in digits: `two`, `13`.
pub fn spelt(n: usize) -> String {
    const WORDS: [&str; 13] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    WORDS
        .get(n)
        .map_or_else(|| n.to_string(), |word| (*word).to_string())
}

/// Writes `one step needs`, `two steps need`, `no steps need`: a small number as a word, the noun and what
/// follows it agreeing with it.
pub fn spelt_of(n: usize, one: &str, many: &str) -> String {
    format!("{} {}", spelt(n), if n == 1 { one } else { many })
}

/// As [`spelt_of`], at the start of a sentence: `Two steps need`.
pub fn spelt_start(n: usize, one: &str, many: &str) -> String {
    capital(&spelt_of(n, one, many))
}

/// Returns the end of a sentence about a claim.
pub(crate) fn concludes(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Holds => "the claim holds",
        Verdict::Fails => "the claim fails",
        Verdict::Undecided => "undecided",
        Verdict::NeedsEvidence => "needs evidence",
    }
}

/// Returns the name of an item for a sentence: `charger U2` where the name is a designator.
pub fn called(item: &Item) -> String {
    match item.role.as_deref() {
        Some(role) if item.name.chars().count() <= 4 => format!("{role} {}", item.name),
        _ => item.name.clone(),
    }
}

/// Returns the decimals that a probability is shown with in percent: one below 10 % and above 99 %,
/// none between.
pub fn percent_decimals(p: f64) -> usize {
    usize::from(!(0.1..=0.99).contains(&p))
}

/// Writes a probability as text, never as 0 % or 100 %.
pub fn percent(p: f64) -> String {
    if !p.is_finite() {
        "unknown".to_string()
    } else if p < 0.001 {
        format!("under 0.1{GAP}%")
    } else if p > 0.999 {
        format!("over 99.9{GAP}%")
    } else {
        format!("{:.*}{GAP}%", percent_decimals(p), 100.0 * p)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nouns_agree_with_their_number_and_lists_end_in_and() {
        assert_eq!(
            counted(1_u32, "kind of cell", "kinds of cell"),
            "1 kind of cell"
        );
        assert_eq!(counted(2_usize, "contact", "contacts"), "2 contacts");
        assert_eq!(counted(0_usize, "step", "steps"), "0 steps");
        let names = |n: usize| {
            ["a", "b", "c"][..n]
                .iter()
                .map(|s| (*s).to_string())
                .collect()
        };
        assert_eq!(listed(names(0)), "");
        assert_eq!(listed(names(1)), "a");
        assert_eq!(listed(names(2)), "a and b");
        assert_eq!(listed(names(3)), "a, b and c");
        assert_eq!(listed_or_none::<&str>(&[]), "none");
        assert_eq!(listed_or_none(&["a", "b"]), "a, b");
    }

    #[test]
    fn certainty_is_told_on_one_scale() {
        let said = |by, p| how_sure(by, p).replace(GAP, " ");
        assert_eq!(said(None, Some(0.99)), "not identified");
        assert_eq!(said(Some(Certainty::Read), None), "read");
        assert_eq!(
            said(Some(Certainty::Read), Some(0.88)),
            "read, likely (88 %)"
        );
        assert_eq!(
            said(Some(Certainty::Assumed), Some(0.9995)),
            "assumed, by its marking practically certain (over 99.9 %)"
        );
        assert_eq!(
            likely_to(0.33, "to hold").replace(GAP, " "),
            "less likely than not to hold (33 %)"
        );
        // What is doubtful by its marking is doubtful, whoever read it.
        assert_eq!(sureness(Some(Certainty::Read), Some(0.5)), 1);
        assert_eq!(sureness(Some(Certainty::Read), None), 3);
        assert_eq!(sureness(Some(Certainty::Assumed), None), 1);
    }

    #[test]
    fn readers_are_not_told_what_to_write() {
        let said = "Tolerance 2 % assumed; state `tolerance` in claim a to change it";
        assert_eq!(for_readers(said), "Tolerance 2 % assumed");
        let said = "The masses depend on it. Correct `value`, or `count`.";
        assert_eq!(for_readers(said), "The masses depend on it.");
        assert_eq!(
            for_readers("It weighs 2.5 g; it is light."),
            "It weighs 2.5 g; it is light."
        );
    }

    #[test]
    fn items_have_their_article_and_their_owner() {
        let named = |kind: ItemKind, name: &str| {
            let text = format!(
                "format = 1\n[product]\nname = \"A\"\nmaker = \"B\"\nopened = 2026-01-05\ninvented = true\n\
                 [[items]]\nid = \"x\"\nname = \"{name}\"\nkind = \"product\"\n"
            );
            let dossier = record::read_text(&text, "dossier.toml", &record::AnyFile).unwrap();
            let mut item = dossier.items[0].clone();
            item.kind = kind;
            the(&item)
        };
        assert_eq!(
            named(ItemKind::Cell, "Pouch cell of the lamp"),
            "the lamp's cell"
        );
        assert_eq!(
            named(ItemKind::Cell, "Left cell of the lamp"),
            "the lamp's left cell"
        );
        assert_eq!(
            named(ItemKind::Part, "Lamp charger U2"),
            "the lamp charger U2"
        );
        assert_eq!(named(ItemKind::Product, "Nivalet 3"), "Nivalet 3");
        assert_eq!(
            named(ItemKind::Part, "TH-KARN2 module"),
            "the TH-KARN2 module"
        );
    }

    #[test]
    fn likelihood_has_its_words() {
        let said = [0.9995, 0.994, 0.86, 0.65, 0.5, 0.33, 0.1, 0.004, 0.0005].map(likely);
        let plain = said.map(|s| s.replace(GAP, " "));
        assert_eq!(plain[0], "practically certain (over 99.9 %)");
        assert_eq!(plain[1], "very likely (99.4 %)");
        assert_eq!(plain[2], "likely (86 %)");
        assert_eq!(plain[3], "more likely than not (65 %)");
        assert_eq!(plain[5], "less likely than not (33 %)");
        assert_eq!(plain[7], "very unlikely (0.4 %)");
        assert_eq!(plain[8], "practically excluded (under 0.1 %)");
    }

    #[test]
    fn a_probability_never_claims_certainty() {
        assert_eq!(percent(0.0), "under 0.1\u{202f}%");
        assert_eq!(percent(1.0), "over 99.9\u{202f}%");
        assert_eq!(percent(0.046), "4.6\u{202f}%");
        assert_eq!(percent(0.954), "95\u{202f}%");
        assert_eq!(percent(0.995), "99.5\u{202f}%");
        assert_eq!(percent(f64::NAN), "unknown");
    }
}
