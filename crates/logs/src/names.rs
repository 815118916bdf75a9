//! What the name of a column says: quantity, unit, channel.
//!
//! In: one cell of a header and, where there is one, of the row of units below it. Out: what it names. Words are those
//! of meters and bench instruments in several languages (`common practice`). Not here: what the numbers say (`guess`).

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Held {
    Time,
    Date,
    Voltage,
    Current,
    Power,
    Charge,
    Discharge,
    Energy,
    EnergyOut,
    Temperature,
    Mark,
    /// Known, and not read.
    Other,
}

/// What a name says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Heading {
    pub(crate) held: Option<Held>,
    pub(crate) unit: Option<&'static str>,
    pub(crate) channel: String,
    /// 0 for the plainest name of what it holds; more for names that say a part of it (of a step, least, most).
    pub(crate) rank: u8,
}

/// Units: what may be written, what we call it, what it measures, how many SI units it is.
const UNITS: [(&[&str], &str, Held, f64); 24] = [
    (
        &["s", "sec", "secs", "second", "seconds", "sek", "秒"],
        "s",
        Held::Time,
        1.0,
    ),
    (&["ms", "msec", "millis"], "ms", Held::Time, 1e-3),
    (&["us", "µs", "μs"], "µs", Held::Time, 1e-6),
    (
        &["min", "mins", "minute", "minutes", "minuten", "分"],
        "min",
        Held::Time,
        60.0,
    ),
    (
        &["h", "hr", "hrs", "hour", "hours", "std"],
        "h",
        Held::Time,
        3600.0,
    ),
    (&["d", "day", "days", "tage"], "d", Held::Time, 86_400.0),
    (&["v", "volt", "volts"], "V", Held::Voltage, 1.0),
    (&["mv"], "mV", Held::Voltage, 1e-3),
    (&["uv", "µv", "μv"], "µV", Held::Voltage, 1e-6),
    (
        &["a", "amp", "amps", "ampere", "amperes"],
        "A",
        Held::Current,
        1.0,
    ),
    (&["ma"], "mA", Held::Current, 1e-3),
    (&["ua", "µa", "μa"], "µA", Held::Current, 1e-6),
    (&["w", "watt", "watts"], "W", Held::Power, 1.0),
    (&["mw"], "mW", Held::Power, 1e-3),
    (
        &["ah", "amphr", "amphour", "amphours"],
        "Ah",
        Held::Charge,
        3600.0,
    ),
    (&["mah"], "mAh", Held::Charge, 3.6),
    (&["uah", "µah", "μah"], "µAh", Held::Charge, 3.6e-3),
    (&["as", "coulomb", "coulombs"], "C", Held::Charge, 1.0),
    (
        &["wh", "watthr", "watthour", "watthours"],
        "Wh",
        Held::Energy,
        3600.0,
    ),
    (&["mwh"], "mWh", Held::Energy, 3.6),
    (&["kwh"], "kWh", Held::Energy, 3.6e6),
    (&["j", "joule", "joules"], "J", Held::Energy, 1.0),
    (
        &["°c", "℃", "degc", "celsius", "ºc"],
        "°C",
        Held::Temperature,
        1.0,
    ),
    (&["c"], "°C", Held::Temperature, 1.0),
];

/// Words that name what is held.
const WORDS: [(&[&str], Held); 10] = [
    (
        &[
            "time",
            "timestamp",
            "elapsed",
            "datetime",
            "clock",
            "when",
            "zeit",
            "uhrzeit",
            "temps",
            "tiempo",
            "tempo",
            "hora",
            "datenum",
            "t",
            "时间",
            "時間",
            "時刻",
            "runtime",
        ],
        Held::Time,
    ),
    (&["date", "datum", "fecha", "日期", "data"], Held::Date),
    (
        &[
            "voltage", "volt", "volts", "v", "u", "spannung", "tension", "tensione", "voltaje",
            "ucell", "电压", "電圧", "vbus",
        ],
        Held::Voltage,
    ),
    (
        &[
            "current",
            "curr",
            "amp",
            "amps",
            "amperes",
            "i",
            "a",
            "strom",
            "courant",
            "corriente",
            "corrente",
            "电流",
            "電流",
        ],
        Held::Current,
    ),
    (
        &[
            "power",
            "watt",
            "watts",
            "p",
            "w",
            "leistung",
            "puissance",
            "potencia",
            "potenza",
            "功率",
            "電力",
        ],
        Held::Power,
    ),
    (
        &[
            "capacity",
            "charge",
            "mah",
            "ah",
            "kapazität",
            "kapazitaet",
            "ladung",
            "amphr",
            "capacité",
            "capacidad",
            "容量",
        ],
        Held::Charge,
    ),
    (
        &[
            "energy", "wh", "mwh", "energie", "énergie", "energía", "energia", "watthr", "能量",
        ],
        Held::Energy,
    ),
    (
        &[
            "temperature",
            "temp",
            "temperatur",
            "température",
            "temperatura",
            "温度",
        ],
        Held::Temperature,
    ),
    (
        &[
            "step", "cycle", "cyc", "group", "segment", "gruppe", "zyklus", "schritt",
        ],
        Held::Mark,
    ),
    (
        &[
            "differential",
            "dv",
            "dq",
            "resistance",
            "impedance",
            "ohm",
            "phase",
            "frequency",
            "throughput",
            "dp",
            "dm",
            "soc",
            "percent",
            "remark",
            "note",
            "comment",
            "es",
            "state",
        ],
        Held::Other,
    ),
];

/// Words that name where a channel sat, and the name we give it.
const CHANNELS: [(&[&str], &str); 3] = [
    (
        &[
            "in", "input", "usb", "socket", "vbus", "source", "supply", "adapter", "adaptor",
            "primary", "eingang",
        ],
        "in",
    ),
    (&["out", "output", "load", "ausgang"], "out"),
    (
        &["cell", "batt", "battery", "bat", "akku", "pack", "zelle"],
        "cell",
    ),
];

/// Returns our name of a unit, what it measures and how many SI units it is; charges in coulomb, energies in joule.
pub(crate) fn unit(symbol: &str) -> Option<(&'static str, Held, f64)> {
    let folded = symbol
        .trim()
        .trim_matches(['(', ')', '[', ']'])
        .to_lowercase();
    UNITS
        .iter()
        .find(|(spellings, ..)| spellings.contains(&folded.as_str()))
        .map(|(_, name, held, factor)| (*name, *held, *factor))
}

/// Reads the name of a column.
pub(crate) fn heading(name: &str) -> Heading {
    let (name, bracketed) = without_brackets(name);
    let mut words = words(&name);
    let together: String = words.concat();
    // "Amp-hr" and "Watt-hr" are one word.
    if unit(&together).is_some_and(|(_, held, _)| matches!(held, Held::Charge | Held::Energy)) {
        words = vec![together];
    }
    let bracketed = bracketed.as_deref().and_then(unit);
    let last = words.last().and_then(|word| unit(word));
    let temperature_letter = |told: &(&str, Held, f64)| told.1 == Held::Temperature;
    let said: Vec<Held> = words.iter().filter_map(|word| meaning(word)).collect();
    // The lone letter c is Celsius only beside a word for temperature or in brackets.
    let last = last.filter(|told| !temperature_letter(told) || said.contains(&Held::Temperature));
    let discharging = words
        .iter()
        .any(|word| word.starts_with("discharg") || word == "entladung");
    let told = bracketed.or(last);
    let held = settled(&said, told.map(|(_, held, _)| held), discharging);
    let unit_fits =
        told.filter(|(_, measured, _)| held.is_some_and(|held| measures(held) == *measured));
    let partial = |word: &String| {
        matches!(
            word.as_str(),
            "min" | "max" | "avg" | "mean" | "step" | "peak" | "least" | "most"
        )
    };
    let absolute = words
        .iter()
        .any(|word| word == "datetime" || word == "date" || word == "datenum");
    let rank = u8::from(held == Some(Held::Time) && absolute)
        + 2 * u8::from(held != Some(Held::Mark) && words.iter().any(partial));
    Heading {
        held,
        unit: unit_fits.map(|(name, ..)| name),
        channel: channel(&words),
        rank,
    }
}

/// The plain quantity behind what is held.
pub(crate) fn measures(held: Held) -> Held {
    match held {
        Held::Discharge => Held::Charge,
        Held::EnergyOut => Held::Energy,
        Held::Date => Held::Time,
        other => other,
    }
}

fn settled(said: &[Held], told: Option<Held>, discharging: bool) -> Option<Held> {
    let has = |held: Held| said.contains(&held);
    let held = if has(Held::Other) {
        Some(Held::Other)
    } else if has(Held::Temperature) {
        Some(Held::Temperature)
    } else if has(Held::Mark) && !has(Held::Time) && told != Some(Held::Time) {
        Some(Held::Mark)
    } else if has(Held::Time) && !has(Held::Voltage) && !has(Held::Current) {
        Some(Held::Time)
    } else if has(Held::Date) && told.is_none() {
        Some(Held::Date)
    } else if matches!(
        told,
        Some(Held::Charge | Held::Energy | Held::Current | Held::Voltage | Held::Power)
    ) {
        told
    } else {
        [
            Held::Voltage,
            Held::Current,
            Held::Power,
            Held::Energy,
            Held::Charge,
        ]
        .into_iter()
        .find(|held| has(*held))
        .or(told)
    };
    match held {
        Some(Held::Charge) if discharging => Some(Held::Discharge),
        Some(Held::Energy) if discharging => Some(Held::EnergyOut),
        // Discharging alone names no quantity.
        other => other,
    }
}

fn meaning(word: &str) -> Option<Held> {
    let bare = word.trim_end_matches(|letter: char| letter.is_ascii_digit());
    WORDS
        .iter()
        .find(|(words, _)| words.contains(&word) || (!bare.is_empty() && words.contains(&bare)))
        .map(|(_, held)| *held)
        .or_else(|| word.starts_with("discharg").then_some(Held::Charge))
}

fn channel(words: &[String]) -> String {
    for word in words {
        if let Some((_, name)) = CHANNELS
            .iter()
            .find(|(names, _)| names.contains(&word.as_str()))
        {
            return (*name).to_owned();
        }
        let digits = word.trim_start_matches(|letter: char| !letter.is_ascii_digit());
        let letters = &word[..word.len() - digits.len()];
        let numbered = matches!(letters, "ch" | "channel" | "kanal")
            || (letters.len() == 1 && meaning(letters).is_some());
        if numbered && !digits.is_empty() && digits.len() < 3 {
            return format!("ch{digits}");
        }
    }
    let after = words
        .iter()
        .position(|word| word == "channel" || word == "ch");
    after
        .and_then(|at| words.get(at + 1))
        .filter(|word| word.bytes().all(|byte| byte.is_ascii_digit()))
        .map_or_else(String::new, |digits| format!("ch{digits}"))
}

/// Splits `Spannung [V]` and `U/V` into the name and what stands in brackets or behind a stroke.
fn without_brackets(name: &str) -> (String, Option<String>) {
    if let Some(open) = name.find(['(', '[', '{'])
        && let Some(length) = name[open..].find([')', ']', '}'])
    {
        let inside = name[open + 1..open + length].to_owned();
        let rest = format!("{} {}", &name[..open], &name[open + length + 1..]);
        return (rest, Some(inside));
    }
    if let Some((front, behind)) = name.rsplit_once('/')
        && unit(behind).is_some()
    {
        return (front.to_owned(), Some(behind.trim().to_owned()));
    }
    (name.to_owned(), None)
}

/// Splits a name into lower-case words, at signs and where a capital follows a small letter.
fn words(name: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word = String::new();
    let mut small = false;
    for letter in name.chars() {
        let parts = !(letter.is_alphanumeric() || letter == '°');
        let ends = parts || (small && letter.is_uppercase());
        if ends && !word.is_empty() {
            words.push(std::mem::take(&mut word));
        }
        if !parts {
            word.extend(letter.to_lowercase());
        }
        small = letter.is_lowercase();
    }
    if !word.is_empty() {
        words.push(word);
    }
    // `Vbat` and `Iin` are a quantity and a channel.
    let mut words: Vec<String> = words.into_iter().flat_map(quantity_and_channel).collect();
    // The data lines of a socket are no supply.
    if name.contains("D+") || name.contains("D-") || name.contains("dV/d") {
        words.push("dp".into());
    }
    words
}

fn quantity_and_channel(word: String) -> Vec<String> {
    let channel = word
        .strip_prefix(['v', 'u', 'i', 'p'])
        .filter(|rest| CHANNELS.iter().any(|(names, _)| names.contains(rest)));
    match channel {
        Some(channel) => vec![word[..1].to_owned(), channel.to_owned()],
        None => vec![word],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(name: &str, held: Held, unit: Option<&str>, channel: &str) {
        let found = heading(name);
        assert_eq!(
            (found.held, found.unit, found.channel.as_str()),
            (Some(held), unit, channel),
            "{name}"
        );
    }

    #[test]
    fn names_that_meters_write_are_understood() {
        check("time_s", Held::Time, Some("s"), "");
        check("Zeit [s]", Held::Time, Some("s"), "");
        check("Spannung [V]", Held::Voltage, Some("V"), "");
        check("U(mV)", Held::Voltage, Some("mV"), "");
        check("t(s)", Held::Time, Some("s"), "");
        check("t", Held::Time, None, "");
        check("I / mA", Held::Current, Some("mA"), "");
        check("Elapsed (min)", Held::Time, Some("min"), "");
        check("in_v", Held::Voltage, Some("V"), "in");
        check("cell_a", Held::Current, Some("A"), "cell");
        check("capacity_mah", Held::Charge, Some("mAh"), "");
        check("Discharge_Capacity", Held::Discharge, None, "");
        check("Charge_Energy_Wh", Held::Energy, Some("Wh"), "");
        check("Discharge_Energy", Held::EnergyOut, None, "");
        check("Amp-hr", Held::Charge, Some("Ah"), "");
        check("Amps", Held::Current, Some("A"), "");
        check("Cell_Temperature_C", Held::Temperature, Some("°C"), "cell");
        check("Test (Min)", Held::Time, Some("min"), "");
        check("Step_Index", Held::Mark, None, "");
        check("Step_Time", Held::Time, None, "");
        check("Internal_Resistance", Held::Other, None, "");
        check("dV/dt", Held::Other, None, "");
        check("D+ (V)", Held::Other, None, "");
        check("U2", Held::Voltage, None, "ch2");
        check("CH1 Current (A)", Held::Current, Some("A"), "ch1");
        check("Vbat", Held::Voltage, None, "cell");
        check("I_in (mA)", Held::Current, Some("mA"), "in");
        check("Iin", Held::Current, None, "in");
        check("VoltageMin", Held::Voltage, None, "");
        check("电压(V)", Held::Voltage, Some("V"), "");
    }

    #[test]
    fn a_name_that_says_a_part_ranks_behind_the_whole() {
        assert!(heading("Step_Time").rank > heading("DateTime").rank);
        assert!(heading("DateTime").rank > heading("Test_Time").rank);
        assert!(heading("Voltage max (V)").rank > heading("Voltage (V)").rank);
    }
}
