//! Markings as they come from boards, made from a seed, one cause or several at a time.
//!
//! Nothing here knows the cost table: a character misread is drawn from groups that share their strokes,
//! a scratch runs over neighbours, and whoever types makes the slips of a keyboard.

use super::{DIGITS, Dice, LETTERS};
use record::marking::escaped;

/// Why a marking is not its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// It is.
    Clean,
    /// A lot or a date beside it.
    Added,
    /// One or two characters taken for others with the same strokes.
    Strokes,
    /// A scratch or a worn spot over one to four neighbours.
    Scratch,
    /// The same, with a `?` more or fewer than characters.
    Miscounted,
    /// Two neighbours in each other's place.
    Exchanged,
    /// A key beside the right one, a letter doubled or left out.
    Typed,
    /// Something missing at an end, noted or not.
    End,
    /// Two of these.
    Two,
}

impl Cause {
    /// All of them.
    pub const ALL: [Self; 9] = [
        Self::Clean,
        Self::Added,
        Self::Strokes,
        Self::Scratch,
        Self::Miscounted,
        Self::Exchanged,
        Self::Typed,
        Self::End,
        Self::Two,
    ];

    /// One drawn as often as it comes on boards, as far as anyone knows.
    pub fn any(dice: &mut Dice) -> Self {
        match dice.below(100) {
            0..25 => Self::Clean,
            25..40 => Self::Added,
            40..58 => Self::Strokes,
            58..68 => Self::Scratch,
            68..71 => Self::Miscounted,
            71..74 => Self::Exchanged,
            74..80 => Self::Typed,
            80..90 => Self::End,
            _ => Self::Two,
        }
    }
}

/// Characters of one group share most of their strokes.
const STROKES: [&str; 15] = [
    "08", "0O", "0D", "OQ", "8B", "83", "5S", "6G", "2Z", "1I", "17", "UV", "MN", "PF", "CG",
];
const ROWS: [&str; 4] = ["1234567890", "QWERTYUIOP", "ASDFGHJKL", "ZXCVBNM"];

#[derive(Debug, Clone, Default)]
struct Text {
    glyphs: Vec<String>,
    before: bool,
    after: bool,
    beside: String,
}

impl Text {
    fn plain(&self, at: usize) -> Option<char> {
        let mut chars = self.glyphs.get(at)?.chars();
        let first = chars.next()?;
        (chars.next().is_none() && first.is_ascii_alphanumeric()).then_some(first)
    }

    fn places(&self, fits: impl Fn(char) -> bool) -> Vec<usize> {
        let places = 0..self.glyphs.len();
        places
            .filter(|i| self.plain(*i).is_some_and(&fits))
            .collect()
    }

    fn written(&self) -> String {
        let gap = |there: bool| if there { "~" } else { "" };
        let (before, after) = (gap(self.before), gap(self.after));
        format!("{before}{}{after}{}", self.glyphs.concat(), self.beside)
    }
}

fn printed(name: &str, dice: &mut Dice) -> Text {
    let capitals = name.chars().any(|c| c.is_ascii_uppercase());
    let smalls = name.chars().any(|c| c.is_ascii_lowercase() && c != 'x');
    let glyphs = name.chars().filter(|c| *c != '_').map(|c| {
        let c = match c {
            'x' if capitals && !smalls => {
                let digit = dice.chance(60);
                dice.pick(if digit { DIGITS } else { LETTERS })
            }
            c => c.to_ascii_uppercase(),
        };
        escaped(c.encode_utf8(&mut [0; 4]))
    });
    Text {
        glyphs: glyphs.collect(),
        ..Text::default()
    }
}

/// A marking of a name with errors of one cause.
pub fn marking(name: &str, cause: Cause, dice: &mut Dice) -> String {
    let mut text = printed(name, dice);
    worsen(&mut text, cause, dice);
    text.written()
}

fn worsen(text: &mut Text, cause: Cause, dice: &mut Dice) {
    match cause {
        Cause::Clean => {}
        Cause::Added => text.beside = beside(dice),
        Cause::Strokes => (0..1 + dice.below(2)).for_each(|_| strokes(text, dice)),
        Cause::Scratch => scratch(text, 0, dice),
        Cause::Miscounted => {
            let more = dice.chance(50);
            scratch(text, if more { 1 } else { -1 }, dice);
        }
        Cause::Exchanged => exchange(text, dice),
        Cause::Typed => typed(text, dice),
        Cause::End => end(text, dice),
        Cause::Two => {
            let some = [
                Cause::Added,
                Cause::Strokes,
                Cause::Scratch,
                Cause::Typed,
                Cause::End,
            ];
            for _ in 0..2 {
                worsen(text, dice.pick(&some), dice);
            }
        }
    }
}

fn letters(n: usize, digits: usize, dice: &mut Dice) -> String {
    let one = |dice: &mut Dice| {
        let digit = dice.chance(digits);
        dice.pick(if digit { DIGITS } else { LETTERS })
    };
    (0..n).map(|_| one(dice)).collect()
}

/// A date of year and week, or a lot code, on its own line, behind a space, or right behind.
fn beside(dice: &mut Dice) -> String {
    let what = if dice.chance(50) {
        format!("{:02}{:02}", 12 + dice.below(15), 1 + dice.below(52))
    } else {
        let n = 3 + dice.below(4);
        letters(n, 50, dice)
    };
    let between = ["|", "|", " ", " ", ""][dice.below(5)];
    format!("{between}{what}")
}

fn strokes(text: &mut Text, dice: &mut Dice) {
    let of = |c: char| STROKES.iter().filter(move |g| g.contains(c));
    let at = text.places(|c| of(c).next().is_some());
    if at.is_empty() {
        return;
    }
    let at = dice.pick(&at);
    if let Some(c) = text.plain(at) {
        let groups: Vec<&&str> = of(c).collect();
        let other = dice.pick(&groups).chars().find(|x| *x != c).unwrap_or(c);
        text.glyphs[at] = match dice.below(5) {
            0 => format!("[{c}{other}]"),
            1 => format!("[{other}{c}]"),
            _ => other.to_string(),
        };
    }
}

/// One to four neighbours are gone: a `?` for each, so many more, or a gap for all.
fn scratch(text: &mut Text, more: isize, dice: &mut Dice) {
    let len = text.glyphs.len();
    let wide = (1 + dice.below(4)).min(len.saturating_sub(3));
    if wide == 0 {
        return;
    }
    let from = dice.below(len - wide + 1);
    let gap = more == 0 && wide > 1 && from > 0 && from + wide < len && dice.chance(30);
    let seen = match (gap, wide.checked_add_signed(more)) {
        (true, _) => vec!["~".to_string()],
        (_, Some(n)) => vec!["?".to_string(); n.max(1)],
        _ => Vec::new(),
    };
    text.glyphs.splice(from..from + wide, seen);
}

fn exchange(text: &mut Text, dice: &mut Dice) {
    let both = |i: usize| Some((text.plain(i)?, text.plain(i + 1)?));
    let places = 0..text.glyphs.len();
    let at: Vec<usize> = places
        .filter(|i| both(*i).is_some_and(|(a, b)| a != b))
        .collect();
    if !at.is_empty() {
        let at = dice.pick(&at);
        text.glyphs.swap(at, at + 1);
    }
}

fn typed(text: &mut Text, dice: &mut Dice) {
    let at = text.places(|_| true);
    if at.len() < 4 {
        return;
    }
    let at = dice.pick(&at);
    match dice.below(4) {
        0 => drop(text.glyphs.remove(at)),
        1 => text.glyphs.insert(at, text.glyphs[at].clone()),
        2 => exchange(text, dice),
        _ => {
            let c = text.plain(at).unwrap_or('0');
            let row = ROWS.iter().find(|row| row.contains(c));
            if let Some(row) = row {
                let place = row.find(c).unwrap_or(0);
                let beside = if dice.chance(50) {
                    place + 1
                } else {
                    place.max(1) - 1
                };
                if let Some(key) = row.chars().nth(beside) {
                    text.glyphs[at] = key.to_string();
                }
            }
        }
    }
}

fn end(text: &mut Text, dice: &mut Dice) {
    let most = text.glyphs.len().saturating_sub(5).min(3);
    if most == 0 {
        return;
    }
    let (n, front, noted) = (1 + dice.below(most), dice.chance(20), dice.chance(40));
    if front {
        text.glyphs.drain(..n);
        text.before |= noted;
    } else {
        text.glyphs.truncate(text.glyphs.len() - n);
        text.after |= noted;
    }
}
