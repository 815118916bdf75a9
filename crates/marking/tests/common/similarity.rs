//! What names look like: folded, and with look-alikes taken for equal; plain edit distance.

/// Capitals, without hyphens and spaces.
pub fn folded(name: &str) -> Vec<char> {
    let kept = name.chars().filter(|c| !matches!(c, '-' | '_' | ' '));
    kept.flat_map(char::to_uppercase).collect()
}

/// The first of its look-alikes for each character.
pub fn skeleton(name: &str) -> Vec<char> {
    let first = |c: char| match c {
        'O' | 'D' | 'Q' => '0',
        'I' | 'L' | '7' => '1',
        'S' => '5',
        'B' | '3' => '8',
        'Z' => '2',
        'G' => '6',
        'V' => 'U',
        c => c,
    };
    folded(name).into_iter().map(first).collect()
}

/// How a name resembles another one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Similarity {
    /// The same when folded.
    Same,
    /// The same but for look-alikes.
    LookAlike,
    /// One is the beginning of the other, look-alikes taken for equal.
    Beginning,
    /// Nothing of these.
    No,
}

/// Tells how two names resemble each other.
pub fn alike(a: &str, b: &str) -> Similarity {
    let (x, y) = (skeleton(a), skeleton(b));
    match () {
        () if folded(a) == folded(b) => Similarity::Same,
        () if x == y => Similarity::LookAlike,
        () if x.starts_with(&y) || y.starts_with(&x) => Similarity::Beginning,
        () => Similarity::No,
    }
}

/// Plain edit distance: V. I. Levenshtein, Soviet Physics Doklady 10 (1966) 707.
pub fn distance(a: &[char], b: &[char], row: &mut Vec<usize>) -> usize {
    row.clear();
    row.extend(0..=b.len());
    for (i, x) in a.iter().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, y) in b.iter().enumerate() {
            let swap = diagonal + usize::from(x != y);
            diagonal = row[j + 1];
            row[j + 1] = swap.min(diagonal + 1).min(row[j] + 1);
        }
    }
    row[b.len()]
}
