//! What a sentence says a part does.
//!
//! In: words of a sentence. Out: phrases that name a role, and which part each belongs to. Not here: makers.
//! Source: common practice; the list of nouns is our own.

use crate::words::Word;
use std::collections::HashSet;
use std::ops::Range;
use std::sync::LazyLock;

/// Nouns that name what a part does.
const HEADS: &[&str] = &[
    "charger",
    "converter",
    "regulator",
    "sensor",
    "controller",
    "microcontroller",
    "processor",
    "memory",
    "flash",
    "amplifier",
    "driver",
    "switch",
    "mosfet",
    "transistor",
    "transceiver",
    "accelerometer",
    "gyroscope",
    "magnetometer",
    "thermometer",
    "barometer",
    "oscillator",
    "crystal",
    "gauge",
    "codec",
    "microphone",
    "dac",
    "adc",
    "ldo",
    "pmic",
    "soc",
    "mcu",
    "hub",
    "bridge",
    "eeprom",
    "multiplexer",
    "diode",
    "comparator",
    "optocoupler",
    "isolator",
    "receiver",
    "transmitter",
    "module",
    "modem",
    "timer",
    "supervisor",
    "protector",
    "monitor",
    "expander",
    "shifter",
    "buffer",
    "latch",
    "relay",
    "inverter",
    "rectifier",
    "op-amp",
    "opamp",
    "tuner",
    "encoder",
    "decoder",
    "front-end",
    "balancer",
    "detector",
    "thermistor",
    "dram",
    "ram",
    "sram",
    "fuse",
    "clock",
    "radio",
    "preamp",
    "preamplifier",
    "limiter",
    "filter",
    "boost",
    "buck",
    "reference",
    "watchdog",
    "igbt",
    "triac",
    "display",
];

/// Words that name a role only before "chip" or "IC", or as modifiers.
const MODIFIERS: &[&str] = &[
    "charging",
    "protection",
    "power",
    "battery",
    "motion",
    "touch",
    "hall",
    "light",
    "wireless",
    "linear",
    "buck",
    "boost",
    "buck-boost",
    "step-up",
    "step-down",
    "switching",
    "synchronous",
    "lithium",
    "lithium-ion",
    "li-ion",
    "lipo",
    "single-cell",
    "dual",
    "quad",
    "audio",
    "class-d",
    "class",
    "motor",
    "led",
    "haptic",
    "display",
    "usb",
    "usb-c",
    "bluetooth",
    "wi-fi",
    "wifi",
    "radio",
    "nfc",
    "rf",
    "temperature",
    "humidity",
    "pressure",
    "proximity",
    "ambient",
    "fuel",
    "load",
    "reset",
    "voltage",
    "current",
    "level",
    "real-time",
    "clock",
    "serial",
    "nor",
    "nand",
    "spi",
    "i2c",
    "dc-dc",
    "dc",
    "ac",
    "main",
    "low-dropout",
    "low-noise",
    "high-side",
    "low-side",
    "capacitive",
    "inertial",
    "optical",
    "magnetic",
    "digital",
    "analog",
    "analogue",
    "mems",
    "gate",
    "half-bridge",
    "h-bridge",
    "overvoltage",
    "over-voltage",
    "esd",
    "esd-protection",
    "surge",
    "flash",
    "storage",
    "memory",
    "security",
    "crypto",
    "authentication",
    "interface",
    "can",
    "lin",
    "rs-485",
    "ethernet",
    "video",
    "camera",
    "image",
    "gas",
    "smoke",
    "infrared",
    "ir",
    "ultrasonic",
    "pir",
    "radar",
    "gps",
    "gnss",
    "lora",
    "zigbee",
    "dual-channel",
    "dual-core",
    "32-bit",
    "8-bit",
    "16-bit",
    "six-axis",
    "three-axis",
    "3-axis",
    "6-axis",
    "two-cell",
    "power-path",
    "path",
    "management",
    "power-management",
    "operational",
    "error",
    "headphone",
    "speaker",
    "backlight",
    "piezo",
    "buzzer",
    "fan",
    "pump",
    "stepper",
    "brushless",
    "bldc",
    "hall-effect",
    "tilt",
    "position",
    "angle",
    "flow",
    "weight",
    "strain",
    "load-cell",
    "quiescent",
    "n-channel",
    "p-channel",
    "schottky",
    "zener",
    "tvs",
    "identification",
    "id",
    "pd",
    "power-delivery",
    "delivery",
    "sink",
    "source",
    "port",
    "signal",
    "bus",
    "io",
    "gpio",
    "lock",
    "heater",
    "laser",
    "photo",
    "photodiode",
    "ideal",
    "cell",
    "pack",
];

/// Goods that a modifier makes a role of.
const GOODS: &[&str] = &["ic", "chip", "controller"];

/// Words before a role that say what a part is not.
const DENY: &[&str] = &[
    "like",
    "not",
    "no",
    "without",
    "instead",
    "than",
    "resembles",
    "isn't",
    "never",
];

/// Farthest that a role stands from its part, words.
const FARTHEST: usize = 10;

static HEAD_SET: LazyLock<HashSet<&str>> = LazyLock::new(|| HEADS.iter().copied().collect());
static MODIFIER_SET: LazyLock<HashSet<&str>> =
    LazyLock::new(|| MODIFIERS.iter().copied().collect());

/// Whether a word names what a part does, one of it or several.
fn is_head(lower: &str) -> bool {
    HEAD_SET.contains(lower)
        || lower
            .strip_suffix('s')
            .is_some_and(|single| HEAD_SET.contains(single))
}

pub(crate) fn is_role_word(lower: &str) -> bool {
    is_head(lower) || MODIFIER_SET.contains(lower)
}

/// Finds the roles that a sentence names.
pub(crate) fn roles(words: &[Word<'_>]) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    let lower = |at: usize| words[at].lower.as_str();
    let head = |at: usize| is_head(lower(at));
    let mut at = 0;
    while at < words.len() {
        let goods = GOODS.contains(&lower(at))
            && at > 0
            && words[at].follows()
            && MODIFIER_SET.contains(lower(at - 1));
        if !(head(at) || goods) || words[at].owns {
            at += 1;
            continue;
        }
        // The last noun of several in a row is what it is: "flash memory", "buck converter".
        let mut end = at;
        while end + 1 < words.len()
            && words[end + 1].follows()
            && (head(end + 1) || GOODS.contains(&lower(end + 1)))
        {
            end += 1;
        }
        let mut begin = at;
        while begin > 0
            && at - begin < 3
            && words[begin].follows()
            && !words[begin - 1].owns
            && MODIFIER_SET.contains(lower(begin - 1))
        {
            begin -= 1;
        }
        // "Looked like a sensor", "not a charger".
        let denied = words[begin.saturating_sub(2)..begin]
            .iter()
            .any(|word| DENY.contains(&word.lower.as_str()));
        if !denied && found.last().is_none_or(|last| last.end <= begin) {
            found.push(begin..end + 1);
        }
        at = end + 1;
    }
    found
}

/// Gives each part of a sentence at most one role: the nearest pairs first.
pub(crate) fn shared(
    words: &[Word<'_>],
    roles: &[Range<usize>],
    parts: &[usize],
) -> Vec<Option<usize>> {
    let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
    for (p, part) in parts.iter().enumerate() {
        for (r, role) in roles.iter().enumerate() {
            let (low, high) = match role.end <= *part {
                true => (role.end - 1, *part),
                false => (*part, role.start),
            };
            let between = high - low - 1;
            if between > FARTHEST {
                continue;
            }
            let crossed = parts
                .iter()
                .filter(|other| **other > low && **other < high)
                .count();
            let mut cost = between as f64 + 6.0 * crossed as f64;
            let gap = |at: usize| words.get(at).map_or("", |word| word.gap);
            // A clause that ends between them parts them.
            let ends = |at: usize| {
                gap(at).contains([';', '|'])
                    || matches!(words[at].text, "and" | "while" | "but" | "plus" | "whereas")
            };
            if (low + 1..=high).any(ends) {
                cost += 4.0;
            }
            // PART, a charger; PART is the charger.
            let says =
                |at: usize| matches!(words[at].text, "is" | "are" | "was" | "as" | "a" | "an");
            if role.start > *part && (part + 1..role.start).any(says) {
                cost -= 1.5;
            }
            pairs.push((cost, p, r));
        }
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut given = vec![None; parts.len()];
    let mut taken = vec![false; roles.len()];
    for (cost, part, role) in pairs {
        if cost <= FARTHEST as f64 && given[part].is_none() && !taken[role] {
            given[part] = Some(role);
            taken[role] = true;
        }
    }
    given
}

/// A role as it is recorded: one of it, in lower case unless it is an abbreviation.
pub(crate) fn named(words: &[Word<'_>], role: &Range<usize>) -> String {
    let mut named = String::new();
    for (n, word) in words[role.clone()].iter().enumerate() {
        if n > 0 {
            named.push(' ');
        }
        let rest = word.text.chars().skip(1);
        let plain = rest.clone().next().is_some() && rest.clone().all(|c| !c.is_uppercase());
        let proper = matches!(
            word.text,
            "Bluetooth" | "Hall" | "Wi-Fi" | "Ethernet" | "Zigbee"
        );
        match plain && !proper {
            true => named.push_str(&word.lower),
            false => named.push_str(word.text),
        }
    }
    let last = words[role.end - 1].lower.as_str();
    let single = last.strip_suffix('s');
    if single.is_some_and(|single| HEAD_SET.contains(single) || GOODS.contains(&single))
        && !HEAD_SET.contains(last)
    {
        named.pop();
    }
    named
}
