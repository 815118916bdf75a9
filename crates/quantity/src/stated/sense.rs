//! The words around a figure that say how it is meant.

use super::Sense;
use super::cursor::Cursor;

/// What stands before a figure.
pub(super) struct Lead {
    pub(super) sense: Sense,
    /// `from`, `between`: a range must follow.
    pub(super) from: bool,
}

/// Longer phrases stand before their beginnings.
const BEFORE: [(&str, Sense); 48] = [
    ("no more than", Sense::UpTo),
    ("not more than", Sense::UpTo),
    ("less than", Sense::UpTo),
    ("at most", Sense::UpTo),
    ("up to", Sense::UpTo),
    ("upto", Sense::UpTo),
    ("below", Sense::UpTo),
    ("under", Sense::UpTo),
    ("within", Sense::UpTo),
    ("maximum", Sense::UpTo),
    ("max.", Sense::UpTo),
    ("max", Sense::UpTo),
    ("<=", Sense::UpTo),
    ("≤", Sense::UpTo),
    ("<", Sense::UpTo),
    ("no less than", Sense::AtLeast),
    ("not less than", Sense::AtLeast),
    ("greater than", Sense::AtLeast),
    ("more than", Sense::AtLeast),
    ("at least", Sense::AtLeast),
    ("above", Sense::AtLeast),
    ("over", Sense::AtLeast),
    ("minimum", Sense::AtLeast),
    ("min.", Sense::AtLeast),
    ("min", Sense::AtLeast),
    (">=", Sense::AtLeast),
    ("≥", Sense::AtLeast),
    (">", Sense::AtLeast),
    ("approximately", Sense::About),
    ("approx.", Sense::About),
    ("approx", Sense::About),
    ("around", Sense::About),
    ("roughly", Sense::About),
    ("about", Sense::About),
    ("circa", Sense::About),
    ("ca.", Sense::About),
    ("ca", Sense::About),
    ("c.", Sense::About),
    ("typically", Sense::About),
    ("typical", Sense::About),
    ("typ.", Sense::About),
    ("typ", Sense::About),
    ("nominal", Sense::About),
    ("nom.", Sense::About),
    ("nom", Sense::About),
    ("≈", Sense::About),
    ("~", Sense::About),
    ("exactly", Sense::Exactly),
];

/// Takes the words before a figure.
pub(super) fn leading_sense(cursor: &mut Cursor) -> Lead {
    let from = cursor.eat_phrase("from") || cursor.eat_phrase("between");
    let sense = BEFORE
        .iter()
        .find(|(phrase, _)| cursor.eat_phrase(phrase))
        .map(|(_, s)| *s);
    if sense.is_some() {
        cursor.skip_spaces();
        cursor.eat(':');
    }
    cursor.skip_spaces();
    Lead {
        sense: sense.unwrap_or(Sense::Exactly),
        from,
    }
}

/// Takes a word after a figure: `40 h max`, `3 mA typ.`, `35 dB min`.
pub(super) fn trailing_sense(cursor: &mut Cursor) -> Option<Sense> {
    const AFTER: [(&str, Sense); 11] = [
        ("maximum", Sense::UpTo),
        ("max.", Sense::UpTo),
        ("max", Sense::UpTo),
        ("or less", Sense::UpTo),
        ("minimum", Sense::AtLeast),
        ("min.", Sense::AtLeast),
        ("min", Sense::AtLeast),
        ("or more", Sense::AtLeast),
        ("typical", Sense::About),
        ("typ.", Sense::About),
        ("typ", Sense::About),
    ];
    let before = cursor.i;
    cursor.skip_spaces();
    let bracketed = cursor.eat('(');
    let found = AFTER
        .iter()
        .find(|(phrase, _)| cursor.eat_phrase(phrase))
        .map(|(_, s)| *s);
    if found.is_none() || (bracketed && !cursor.eat(')')) {
        cursor.i = before;
        return None;
    }
    found
}
