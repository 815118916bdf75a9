//! Words, quoted texts and parentheses of a nested list, one after the other.
//!
//! In: bytes. Out: [`Token`]s that borrow from them; a [`Fault`] has the place in the bytes, from
//! which [`line_and_column`] makes what a person can find. Nothing is built, so a library of
//! 100 MB costs no memory.

use std::borrow::Cow;

/// Deepest nesting accepted. Symbol libraries need eight levels.
pub const DEEPEST: usize = 64;

/// One piece of a nested list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Token<'a> {
    Open,
    Close,
    Word(&'a [u8]),
    /// What stands between quotation marks, escapes still in it.
    Quoted(&'a [u8]),
}

/// What is wrong, and at which byte.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Fault {
    pub(super) at: usize,
    pub(super) why: &'static str,
}

/// Reads tokens one after the other.
#[derive(Debug)]
pub(super) struct Tokens<'a> {
    bytes: &'a [u8],
    at: usize,
    depth: usize,
}

impl<'a> Tokens<'a> {
    pub(super) fn new(bytes: &'a [u8]) -> Self {
        Self {
            bytes,
            at: 0,
            depth: 0,
        }
    }

    /// Returns the place of the next byte to be read.
    pub(super) fn place(&self) -> usize {
        self.at
    }

    /// Returns the next token; nothing at the end of the bytes.
    pub(super) fn next(&mut self) -> Result<Option<Token<'a>>, Fault> {
        let bytes = self.bytes;
        while bytes.get(self.at).is_some_and(|b| is_space(*b)) {
            self.at += 1;
        }
        let start = self.at;
        let Some(first) = bytes.get(start) else {
            if self.depth > 0 {
                return Err(self.fault("the file ends inside a list"));
            }
            return Ok(None);
        };
        match first {
            b'(' => {
                self.at += 1;
                self.open()?;
                Ok(Some(Token::Open))
            }
            b')' => {
                self.at += 1;
                if self.depth == 0 {
                    return Err(self.fault("a list is closed that was not opened"));
                }
                self.depth -= 1;
                Ok(Some(Token::Close))
            }
            b'"' => self.quoted().map(Some),
            _ => {
                while bytes.get(self.at).is_some_and(|b| in_word(*b)) {
                    self.at += 1;
                }
                Ok(Some(Token::Word(&bytes[start..self.at])))
            }
        }
    }

    fn quoted(&mut self) -> Result<Token<'a>, Fault> {
        let start = self.at + 1;
        let mut at = start;
        loop {
            match self.bytes.get(at) {
                Some(b'"') => break,
                Some(b'\\') => at += 2,
                Some(_) => at += 1,
                None => return Err(self.fault("a quotation mark is not closed")),
            }
        }
        self.at = at + 1;
        Ok(Token::Quoted(&self.bytes[start..at]))
    }

    /// Passes over the rest of the list that was opened last, its closing included.
    ///
    /// Most of a library is drawing and passed over here, so words are not told apart.
    pub(super) fn skip(&mut self) -> Result<(), Fault> {
        let outside = self.depth.saturating_sub(1);
        while self.depth > outside {
            match self.bytes.get(self.at) {
                Some(b'(') => {
                    self.at += 1;
                    self.open()?;
                }
                Some(b')') => {
                    self.at += 1;
                    self.depth -= 1;
                }
                Some(b'"') => {
                    self.quoted()?;
                }
                Some(_) => self.at += 1,
                None => return Err(self.fault("the file ends inside a list")),
            }
        }
        Ok(())
    }

    fn open(&mut self) -> Result<(), Fault> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(self.fault("the lists are nested too deeply"));
        }
        Ok(())
    }

    /// Returns the next word or text of the list that was opened last. At the end of the list,
    /// which is consumed, or before a list inside it, which is not, there is none.
    pub(super) fn atom(&mut self) -> Result<Option<Cow<'a, str>>, Fault> {
        let before = (self.at, self.depth);
        match self.next()? {
            Some(Token::Word(word)) => Ok(Some(String::from_utf8_lossy(word))),
            Some(Token::Quoted(text)) => Ok(Some(unescaped(text))),
            _ => {
                (self.at, self.depth) = before;
                Ok(None)
            }
        }
    }

    /// Returns the word that the list opened last begins with. A list that begins otherwise is
    /// nothing known and passed over whole.
    pub(super) fn head(&mut self) -> Result<Option<&'a [u8]>, Fault> {
        match self.next()? {
            Some(Token::Word(word)) => return Ok(Some(word)),
            Some(Token::Quoted(_)) => self.skip()?,
            Some(Token::Open) => {
                self.skip()?;
                self.skip()?;
            }
            Some(Token::Close) | None => {}
        }
        Ok(None)
    }

    pub(super) fn fault(&self, why: &'static str) -> Fault {
        Fault { at: self.at, why }
    }
}

fn is_space(byte: u8) -> bool {
    matches!(byte, b' ' | b'\t' | b'\n' | b'\r' | 0x0b | 0x0c)
}

fn in_word(byte: u8) -> bool {
    !is_space(byte) && !matches!(byte, b'(' | b')' | b'"')
}

/// Resolves the escapes of a quoted text; bytes that are not UTF-8 become U+FFFD.
fn unescaped(text: &[u8]) -> Cow<'_, str> {
    if !text.contains(&b'\\') {
        return String::from_utf8_lossy(text);
    }
    let mut plain = Vec::with_capacity(text.len());
    let mut bytes = text.iter();
    while let Some(byte) = bytes.next() {
        if *byte != b'\\' {
            plain.push(*byte);
            continue;
        }
        plain.push(match bytes.next() {
            Some(b'n') => b'\n',
            Some(b'r') => b'\r',
            Some(b't') => b'\t',
            Some(other) => *other,
            None => b'\\',
        });
    }
    Cow::Owned(String::from_utf8_lossy(&plain).into_owned())
}

/// Returns line and column of a byte, both counted from 1, the column in bytes.
pub(super) fn line_and_column(bytes: &[u8], at: usize) -> (u64, u64) {
    let before = &bytes[..at.min(bytes.len())];
    let line = before.iter().filter(|b| **b == b'\n').count() as u64 + 1;
    let start = before
        .iter()
        .rposition(|b| *b == b'\n')
        .map_or(0, |n| n + 1);
    (line, (before.len() - start) as u64 + 1)
}
