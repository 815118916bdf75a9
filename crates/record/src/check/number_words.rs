//! Numbers in words, in the languages that boxes print, and digits of other scripts.
//!
//! In: a word or a character. Out: the number it stands for. Not here: joining words to one number
//! (`figures`).

/// Words for one number each.
const NUMBERS: &[(f64, &[&str])] = &[
    (0.0, &["zero", "null"]),
    (
        1.0,
        &[
            "one", "once", "single", "ein", "eine", "einen", "einmal", "un", "une", "uno", "una",
            "um", "uma", "een", "один", "одна", "一",
        ],
    ),
    (
        2.0,
        &[
            "two", "twice", "double", "pair", "both", "zwei", "zweimal", "doppelt", "deux", "dos",
            "due", "dois", "duas", "twee", "два", "две", "二", "两", "兩",
        ],
    ),
    (
        3.0,
        &[
            "three", "thrice", "triple", "drei", "dreimal", "trois", "tres", "tre", "três", "drie",
            "три", "三",
        ],
    ),
    (
        4.0,
        &[
            "four",
            "vier",
            "viermal",
            "quatre",
            "cuatro",
            "quattro",
            "quatro",
            "четыре",
            "四",
        ],
    ),
    (
        5.0,
        &[
            "five", "fünf", "fünfmal", "cinq", "cinco", "cinque", "vijf", "пять", "五",
        ],
    ),
    (6.0, &["six", "sechs", "seis", "sei", "zes", "шесть", "六"]),
    (
        7.0,
        &[
            "seven", "sieben", "sept", "siete", "sette", "sete", "zeven", "семь", "七",
        ],
    ),
    (
        8.0,
        &[
            "eight",
            "acht",
            "huit",
            "ocho",
            "otto",
            "oito",
            "восемь",
            "八",
        ],
    ),
    (
        9.0,
        &[
            "nine",
            "neun",
            "neuf",
            "nueve",
            "nove",
            "negen",
            "девять",
            "九",
        ],
    ),
    (
        10.0,
        &[
            "ten",
            "zehn",
            "dix",
            "diez",
            "dieci",
            "dez",
            "tien",
            "десять",
            "十",
        ],
    ),
    (11.0, &["eleven", "elf", "onze", "once", "undici"]),
    (
        12.0,
        &[
            "twelve", "dozen", "zwölf", "douze", "doce", "dodici", "doze", "twaalf",
        ],
    ),
    (13.0, &["thirteen", "dreizehn"]),
    (14.0, &["fourteen", "vierzehn"]),
    (
        15.0,
        &["fifteen", "fünfzehn", "quinze", "quince", "quindici"],
    ),
    (16.0, &["sixteen", "sechzehn", "seize"]),
    (17.0, &["seventeen", "siebzehn"]),
    (18.0, &["eighteen", "achtzehn"]),
    (19.0, &["nineteen", "neunzehn"]),
    (
        20.0,
        &[
            "twenty",
            "zwanzig",
            "vingt",
            "veinte",
            "venti",
            "vinte",
            "twintig",
            "двадцать",
        ],
    ),
    (24.0, &["vierundzwanzig"]),
    (
        30.0,
        &[
            "thirty",
            "dreißig",
            "trente",
            "treinta",
            "trenta",
            "trinta",
            "dertig",
            "тридцать",
        ],
    ),
    (
        40.0,
        &[
            "forty", "vierzig", "quarante", "cuarenta", "quaranta", "quarenta", "veertig",
        ],
    ),
    (
        50.0,
        &[
            "fifty",
            "fünfzig",
            "cinquante",
            "cincuenta",
            "cinquanta",
            "vijftig",
        ],
    ),
    (
        60.0,
        &[
            "sixty", "sechzig", "soixante", "sesenta", "sessanta", "zestig",
        ],
    ),
    (70.0, &["seventy", "siebzig"]),
    (80.0, &["eighty", "achtzig"]),
    (90.0, &["ninety", "neunzig"]),
];

/// Returns the numbers that a lower-case word may stand for; a word of two languages may be two.
pub(super) fn numbers(word: &str) -> impl Iterator<Item = f64> + '_ {
    let all = NUMBERS
        .iter()
        .filter(move |(_, words)| words.contains(&word));
    all.map(|(number, _)| *number)
}

/// Returns the factor that a word multiplies what is before it with.
pub(super) fn factor(word: &str) -> Option<f64> {
    Some(match word {
        "hundred" | "hundert" | "cent" | "百" => 100.0,
        "thousand" | "tausend" | "mille" | "mil" | "千" => 1000.0,
        "万" | "萬" => 10_000.0,
        "million" | "millionen" => 1e6,
        _ => return None,
    })
}

/// Returns the share that a word stands for.
pub(super) fn share(word: &str) -> Option<f64> {
    Some(match word {
        "half" | "½" | "halb" | "halbe" | "halben" | "demi" | "demie" | "media" | "medio"
        | "mezza" | "mezzo" | "meia" | "halve" | "half-hour" | "半" => 0.5,
        "quarter" | "quarters" | "¼" | "viertel" => 0.25,
        "¾" | "dreiviertel" => 0.75,
        "third" | "thirds" | "⅓" | "drittel" => 1.0 / 3.0,
        "⅔" => 2.0 / 3.0,
        _ => return None,
    })
}

/// First digits, zero, of other scripts that boxes print.
const ZEROS: [char; 4] = ['０', '٠', '۰', '०'];

/// Returns a character as ASCII where it is a digit of another script or a gap between groups.
pub(super) fn plain(c: char) -> char {
    let digit = ZEROS.iter().find_map(|zero| {
        let value = u32::from(c).checked_sub(u32::from(*zero))?;
        char::from_digit(value, 10)
    });
    match c {
        '\u{a0}' | '\u{202f}' | '\u{2009}' => ' ',
        '\u{2212}' => '-',
        '\u{2019}' => '\'',
        _ => digit.unwrap_or(c),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_of_other_scripts_and_gaps_are_plain() {
        let text: String = "２٣۴५\u{202f}x".chars().map(plain).collect();
        assert_eq!(text, "2345 x");
    }

    #[test]
    fn a_word_of_two_languages_is_two_numbers() {
        assert_eq!(numbers("once").collect::<Vec<_>>(), [1.0, 11.0]);
        assert_eq!(numbers("zwei").collect::<Vec<_>>(), [2.0]);
        assert_eq!(numbers("lamp").count(), 0);
    }
}
