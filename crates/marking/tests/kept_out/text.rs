//! Names as rows of small integers, and what is seen of them.

/// A character: digits, capitals, then the few others that part numbers have.
pub type Letter = u8;

/// Digits and capitals.
pub const PLAIN: usize = 36;
/// All letters, that of any character (a small `x` among capitals) the last.
pub const LETTERS: usize = 42;
/// Stands in a name for a digit or capital that the listed name leaves open.
pub const OPEN: Letter = 41;

const OTHERS: [char; 5] = ['.', '/', '+', '(', '#'];

/// Letter of a character; `None` for what separates.
pub fn letter(c: char) -> Option<Letter> {
    match c {
        '0'..='9' => Some(c as u8 - b'0'),
        'A'..='Z' => Some(c as u8 - b'A' + 10),
        'a'..='z' => Some(c as u8 - b'a' + 10),
        '-' | '_' | ' ' => None,
        c => {
            let at = OTHERS.iter().position(|o| *o == c).unwrap_or(4);
            Some((PLAIN + at) as Letter)
        }
    }
}

pub fn character(letter: Letter) -> char {
    match letter {
        0..=9 => (b'0' + letter) as char,
        10..=35 => (b'A' + letter - 10) as char,
        other => OTHERS[usize::from(other) - PLAIN],
    }
}

pub fn is_digit(letter: Letter) -> bool {
    letter < 10
}

pub fn is_capital(letter: Letter) -> bool {
    (10..36).contains(&letter)
}

/// A name, and before which of its letters a hyphen stands.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Spelled {
    pub letters: Vec<Letter>,
    pub hyphen: Vec<bool>,
}

impl Spelled {
    pub fn of(name: &str) -> Self {
        let capitals = name.chars().any(|c| c.is_ascii_uppercase());
        let small = name.chars().any(|c| c.is_ascii_lowercase() && c != 'x');
        let mut out = Self::default();
        let mut hyphen = false;
        for c in name.chars() {
            match letter(c) {
                _ if c == 'x' && capitals && !small => out.push(OPEN, std::mem::take(&mut hyphen)),
                Some(l) => out.push(l, std::mem::take(&mut hyphen)),
                None => hyphen = !out.letters.is_empty(),
            }
        }
        out
    }

    pub fn push(&mut self, letter: Letter, hyphen: bool) {
        self.letters.push(letter);
        self.hyphen.push(hyphen);
    }

    pub fn len(&self) -> usize {
        self.letters.len()
    }

    pub fn cut(&self, from: usize, to: usize) -> Self {
        Self {
            letters: self.letters[from..to].to_vec(),
            hyphen: self.hyphen[from..to].to_vec(),
        }
    }

    pub fn with(&self, before: &str, after: &str) -> Self {
        let mut out = Self::of(before);
        self.letters
            .iter()
            .zip(&self.hyphen)
            .for_each(|(l, h)| out.push(*l, *h));
        after
            .chars()
            .filter_map(letter)
            .for_each(|l| out.push(l, false));
        out
    }

    /// Letters of the maker's prefix: those before the first digit, up to four, four letters left.
    pub fn prefix(&self) -> Option<usize> {
        let n = self.letters.iter().take_while(|l| is_capital(**l)).count();
        ((1..=4).contains(&n) && n + 4 <= self.len()).then_some(n)
    }

    /// Letters of the suffix: after the last hyphen, or else capitals after the last digit.
    pub fn suffix(&self) -> Option<usize> {
        let n = match self.hyphen.iter().rposition(|h| *h) {
            Some(at) => self.len() - at,
            None => self
                .letters
                .iter()
                .rev()
                .take_while(|l| is_capital(**l) || **l == OPEN)
                .count(),
        };
        ((1..=5).contains(&n) && n + 4 <= self.len()).then_some(n)
    }

    pub fn is_open(&self) -> bool {
        self.letters.contains(&OPEN)
    }
}

/// One thing seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seen {
    Read(Letter),
    Unreadable,
    Either(Letter, Letter),
    Gap,
}

/// Letters seen in a row, and before which of them a hyphen was written.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Segment {
    pub seen: Vec<Seen>,
    pub hyphen: Vec<bool>,
}

impl Segment {
    pub fn push(&mut self, seen: Seen, hyphen: bool) {
        let hyphen = hyphen && !self.seen.is_empty() && !matches!(seen, Seen::Gap);
        self.seen.push(seen);
        self.hyphen.push(hyphen);
    }

    pub fn read(text: &[Letter]) -> Self {
        Self {
            seen: text.iter().map(|l| Seen::Read(*l)).collect(),
            hyphen: vec![false; text.len()],
        }
    }

    /// As an analyst writes it down.
    pub fn written(&self) -> String {
        let mut out = String::new();
        for (seen, hyphen) in self.seen.iter().zip(&self.hyphen) {
            if *hyphen {
                out.push('-');
            }
            match seen {
                Seen::Read(l) => out.push(character(*l)),
                Seen::Unreadable => out.push('?'),
                Seen::Either(a, b) => {
                    out.extend(['[', character(*a), character(*b), ']']);
                }
                Seen::Gap => out.push('~'),
            }
        }
        out
    }

    pub fn joined(&self, other: &Self) -> Self {
        Self {
            seen: [&self.seen[..], &other.seen].concat(),
            hyphen: [&self.hyphen[..], &other.hyphen].concat(),
        }
    }

    pub fn split(&self, at: usize) -> (Self, Self) {
        let part = |range: std::ops::Range<usize>| Self {
            seen: self.seen[range.clone()].to_vec(),
            hyphen: self.hyphen[range].to_vec(),
        };
        (part(0..at), part(at..self.seen.len()))
    }

    pub fn letters_read(&self) -> usize {
        let read = |s: &&Seen| matches!(s, Seen::Read(_) | Seen::Either(..));
        self.seen.iter().filter(read).count()
    }
}
