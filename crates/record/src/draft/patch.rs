//! Changes of text by byte ranges.

use std::ops::Range;

/// Returns the one change between two texts: the lines from the first that differs to the last.
pub(super) fn difference(before: &str, after: &str) -> (Range<usize>, String) {
    let lines = |text| str::split_inclusive(text, '\n');
    let same = |pair: &(&str, &str)| pair.0 == pair.1;
    let head = lines(before).zip(lines(after)).take_while(same);
    let head: usize = head.map(|(line, _)| line.len()).sum();
    let (before_rest, after_rest) = (&before[head..], &after[head..]);
    let tail = lines(before_rest).rev().zip(lines(after_rest).rev());
    let tail: usize = tail.take_while(same).map(|(line, _)| line.len()).sum();
    let range = head..before.len() - tail;
    (range, after_rest[..after_rest.len() - tail].to_string())
}

/// A text after some changes.
#[derive(Debug)]
pub(super) struct Patches {
    pub(super) text: String,
    /// The ranges changed in the text before, with what took their place, in the order of the text.
    changes: Vec<(Range<usize>, String)>,
}

impl Patches {
    /// No change.
    pub(super) fn none(text: &str) -> Self {
        Self::of(text, Vec::new())
    }

    /// Changes ranges that do not overlap.
    pub(super) fn of(text: &str, mut changes: Vec<(Range<usize>, String)>) -> Self {
        changes.sort_by_key(|(range, _)| (range.start, range.end));
        let mut out = String::with_capacity(text.len());
        let mut done = 0;
        for (range, new) in &changes {
            out.push_str(&text[done..range.start]);
            out.push_str(new);
            done = range.end;
        }
        out.push_str(&text[done..]);
        Self { text: out, changes }
    }

    /// Returns these changes followed by changes of the text that they gave.
    pub(super) fn then(self, next: Self) -> Self {
        let first = self.ranges();
        let mut touched: Vec<Range<usize>> = first.iter().map(|(_, after)| after.clone()).collect();
        touched.extend(next.changes.iter().map(|(range, _)| range.clone()));
        touched.sort_by_key(|r| (r.start, r.end));
        let mut groups: Vec<Range<usize>> = Vec::new();
        for range in touched {
            match groups.last_mut() {
                Some(last) if range.start <= last.end => last.end = last.end.max(range.end),
                _ => groups.push(range),
            }
        }
        let within =
            |group: &Range<usize>, r: &Range<usize>| group.start <= r.start && r.end <= group.end;
        let (mut grown, mut shrunk) = (0, 0);
        let mut changes = Vec::new();
        for group in groups {
            let start = group.start + shrunk - grown;
            for (before, after) in first.iter().filter(|(_, after)| within(&group, after)) {
                grown += after.len();
                shrunk += before.len();
            }
            let end = group.end + shrunk - grown;
            let mut new = String::new();
            let mut done = group.start;
            for (range, text) in next.changes.iter().filter(|(r, _)| within(&group, r)) {
                new.push_str(&self.text[done..range.start]);
                new.push_str(text);
                done = range.end;
            }
            new.push_str(&self.text[done..group.end]);
            changes.push((start..end, new));
        }
        Self {
            text: next.text,
            changes,
        }
    }

    /// Returns the ranges changed, in the text before and in the text after.
    pub(super) fn ranges(&self) -> Vec<(Range<usize>, Range<usize>)> {
        let (mut grown, mut shrunk) = (0, 0);
        let mut out = Vec::new();
        for (range, new) in &self.changes {
            let start = range.start + grown - shrunk;
            out.push((range.clone(), start..start + new.len()));
            grown += new.len();
            shrunk += range.len();
        }
        out
    }

    /// Returns the ranges of the text after with what stood there before.
    pub(super) fn back(&self, before: &str) -> Vec<(Range<usize>, String)> {
        let ranges = self.ranges().into_iter().zip(&self.changes);
        ranges
            .filter(|((old, _), (_, new))| before[old.clone()] != **new)
            .map(|((old, after), _)| (after, before[old].to_string()))
            .collect()
    }
}
