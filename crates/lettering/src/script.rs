//! Scripts: which one a character belongs to, how a page marks it, which package has typefaces for it.
//!
//! Source: Unicode Standard Annex #24 (script of a character, by `unicode-script`); BCP 47 (RFC 5646) for tags of
//! languages, which allows `und` where only the script is known.

use unicode_bidi::BidiClass;
use unicode_properties::{GeneralCategory, GeneralCategoryGroup, UnicodeGeneralCategory as _};
use unicode_script::{Script, UnicodeScript as _};

/// First strong isolate and its end (Unicode Standard Annex #9, 2.4): what stands between has its own direction.
const ISOLATE: [char; 2] = ['\u{2068}', '\u{2069}'];

/// Returns whether a character is to be seen: no control, no space, no format character, no variation selector. The
/// sign for direct current is drawn where no typeface has it.
pub(crate) fn is_seen(c: char) -> bool {
    let hidden = matches!(
        c.general_category_group(),
        GeneralCategoryGroup::Other | GeneralCategoryGroup::Separator
    ) && c.general_category() != GeneralCategory::PrivateUse;
    let selector = matches!(c, '\u{fe00}'..='\u{fe0f}' | '\u{e0100}'..='\u{e01ef}');
    !hidden && !selector && c != '⎓'
}

/// Returns the name of a character's script.
pub(crate) fn name(c: char) -> &'static str {
    match c.script() {
        Script::Common | Script::Inherited => "symbol",
        script => script.full_name(),
    }
}

/// Returns the Debian package with a typeface for a character.
pub(crate) fn package(c: char) -> &'static str {
    match c.script() {
        Script::Han | Script::Hiragana | Script::Katakana | Script::Hangul | Script::Bopomofo => {
            "fonts-wqy-microhei"
        }
        Script::Common | Script::Inherited if u32::from(c) >= 0x1f000 => "fonts-noto-color-emoji",
        Script::Common if (0x3000..0xff00).contains(&u32::from(c)) => "fonts-wqy-microhei",
        _ => "fonts-noto-core",
    }
}

/// Returns the tag of a text in another script than Latin, for `lang` attributes; the language itself is not known.
pub fn language(text: &str) -> Option<&'static str> {
    let mut found = None;
    for c in text.chars() {
        match c.script() {
            // One of these tells Japanese from Chinese text.
            Script::Hiragana | Script::Katakana => return Some("und-Jpan"),
            Script::Hangul => return Some("und-Kore"),
            Script::Han => found = found.or(Some("und-Hani")),
            Script::Cyrillic => found = found.or(Some("und-Cyrl")),
            Script::Greek if !is_symbol(c) => found = found.or(Some("und-Grek")),
            Script::Arabic => found = found.or(Some("und-Arab")),
            Script::Hebrew => found = found.or(Some("und-Hebr")),
            _ => {}
        }
    }
    found
}

/// Greek letters that stand for quantities and units in Latin text.
fn is_symbol(c: char) -> bool {
    matches!(
        c,
        'Ω' | 'µ' | 'μ' | 'π' | 'Δ' | 'σ' | 'η' | 'ρ' | 'λ' | 'φ' | 'θ' | 'χ'
    )
}

/// Cuts a text where it changes between Latin and other scripts; each piece with its tag. What joins words of
/// another script (spaces, points, digits between them) stays with them.
pub fn runs(text: &str) -> Vec<(&str, Option<&'static str>)> {
    let is_foreign = |c: char| language(c.encode_utf8(&mut [0; 4])).is_some();
    let is_latin = |c: char| c.is_alphabetic() && !is_foreign(c);
    let mut pieces = Vec::new();
    let mut done = 0;
    while let Some(start) = text[done..].find(is_foreign).map(|at| done + at) {
        let rest = &text[start..];
        let stop = rest.find(is_latin).unwrap_or(rest.len());
        let last = rest[..stop]
            .char_indices()
            .rev()
            .find(|(_, c)| is_foreign(*c) || is_mark(*c))
            .map_or(stop, |(at, c)| at + c.len_utf8());
        if start > done {
            pieces.push((&text[done..start], None));
        }
        pieces.push((&rest[..last], language(&rest[..last])));
        done = start + last;
    }
    if done < text.len() {
        pieces.push((&text[done..], None));
    }
    pieces
}

fn is_mark(c: char) -> bool {
    c.general_category_group() == GeneralCategoryGroup::Mark
}

/// Left-to-right mark (Unicode Standard Annex #9, 2.6): unseen, it ends what runs to the left.
const TO_THE_RIGHT: char = '\u{200e}';

/// Returns a text in which each piece that runs to the left ends with a mark, so that points and numbers after a name
/// belong to the sentence around it; any other text as it is.
pub fn ended(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for (piece, _) in runs(text) {
        out.push_str(piece);
        if runs_to_the_left(piece) {
            out.push(TO_THE_RIGHT);
        }
    }
    out
}

/// Returns a text without the marks that [`marked`] sets.
pub fn unmarked(text: &str) -> String {
    text.replace(ISOLATE, "")
}

fn runs_to_the_left(text: &str) -> bool {
    text.chars().any(|c| {
        matches!(
            unicode_bidi::bidi_class(c),
            BidiClass::R | BidiClass::AL | BidiClass::AN
        )
    })
}

/// Returns a text with its own direction marked, where it has letters that run to the left; any other as it is.
pub fn marked(text: &str) -> String {
    if runs_to_the_left(text) {
        format!("{}{text}{}", ISOLATE[0], ISOLATE[1])
    } else {
        text.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scripts_have_their_tags() {
        for (text, tag) in [
            ("磁吸充电宝", Some("und-Hani")),
            ("イヤホン 片側", Some("und-Jpan")),
            ("무선 이어폰", Some("und-Kore")),
            ("Наушник", Some("und-Cyrl")),
            ("Ακουστικό", Some("und-Grek")),
            ("سماعة", Some("und-Arab")),
            ("אוזנייה", Some("und-Hebr")),
            ("Earbud 10 kΩ, 3 µm, η", None),
        ] {
            assert_eq!(language(text), tag, "{text}");
        }
    }

    #[test]
    fn pieces_are_cut_at_latin_words_and_lose_nothing() {
        let text = "Weight of סוללה 12 קטנה is 3 g, 光 x";
        let pieces = runs(text);
        assert_eq!(pieces.iter().map(|p| p.0).collect::<String>(), text);
        let foreign: Vec<_> = pieces.iter().filter(|p| p.1.is_some()).collect();
        assert_eq!(
            foreign,
            [
                &("סוללה 12 קטנה", Some("und-Hebr")),
                &("光", Some("und-Hani"))
            ]
        );
        assert_eq!(runs("plain"), [("plain", None)]);
        assert_eq!(runs(""), []);
    }

    #[test]
    fn only_text_that_runs_to_the_left_is_isolated() {
        assert_eq!(marked("光 plain"), "光 plain");
        assert_eq!(marked("שלום"), "\u{2068}שלום\u{2069}");
        assert_eq!(unmarked(&marked("שלום")), "שלום");
        assert_eq!(ended("What is שלום? 3"), "What is שלום\u{200e}? 3");
        assert_eq!(ended("光 plain"), "光 plain");
    }
}
