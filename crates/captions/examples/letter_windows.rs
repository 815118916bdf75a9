//! What a general match finds: windows of one to four words near a term by letters, for comparing speed.
//!
//! usage: letter_windows GLOSSARY CAPTIONS RUNS (files of `benches/peers/peer_captions.py gen`)
//!
//! Normalised edit distance below one fifth (where it is exactly that, the peer's cut-off of 0.8 is missed by rounding), then greedily without overlap (most alike, then longest, then
//! earliest). Source: Myers 1999, edit distance in the bits of one word. Prints one line of JSON.

#![allow(clippy::unwrap_used, reason = "an example fails by panicking")]
#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example that reads files and times"
)]

use std::cmp::Reverse;
use std::time::Instant;

/// Letters that are told apart: a to z, and the blank.
const LETTERS: usize = 27;

/// A term ready to be compared with.
struct Term {
    number: usize,
    length: usize,
    bag: [u64; 2],
    /// For each letter the places at which it stands.
    places: [u64; LETTERS],
}

/// One hit: where, how many words, which term, its distance, and over which length.
type Hit = (usize, usize, usize, usize, usize);

fn main() {
    let mut arguments = std::env::args().skip(1);
    let mut text = || std::fs::read_to_string(arguments.next().unwrap()).unwrap();
    let (glossary, captions) = (text(), text());
    let runs: usize = arguments.next().unwrap().parse().unwrap();
    let terms: Vec<&str> = glossary.lines().skip(1).collect();
    let words: Vec<&str> = captions
        .lines()
        .skip(1)
        .map(|row| row.split_once(',').unwrap().1)
        .collect();
    let (mut times, mut hits) = (Vec::new(), Vec::new());
    for _ in 0..runs {
        let start = Instant::now();
        hits = found(&words, &terms);
        times.push(start.elapsed().as_secs_f64());
    }
    times.sort_by(f64::total_cmp);
    let rows: Vec<_> = hits
        .iter()
        .map(|&(start, width, term, distance, length)| {
            let alike = 1.0 - distance as f64 / length as f64;
            (start, width, term, (alike * 1e4).round() / 1e4)
        })
        .collect();
    println!(
        "{}",
        serde_json::json!({ "hits": rows, "median_s": times[runs / 2] })
    );
}

fn found(words: &[&str], terms: &[&str]) -> Vec<Hit> {
    let mut sorted: Vec<Term> = terms.iter().enumerate().map(|(n, t)| term(n, t)).collect();
    sorted.sort_by_key(|t| t.length);
    let longest = sorted.last().map_or(0, |t| t.length);
    // How many terms are shorter than each length.
    let shorter: Vec<usize> = (0..=longest + 1)
        .map(|length| sorted.partition_point(|t| t.length < length))
        .collect();
    let joined = words.join(" ");
    let mut starts = Vec::with_capacity(words.len());
    let mut at = 0;
    for word in words {
        starts.push(at);
        at += word.len() + 1;
    }
    let letters: Vec<u8> = joined.bytes().map(letter).collect();
    let mut hits = Vec::new();
    for start in 0..words.len() {
        for width in 1..=4.min(words.len() - start) {
            let last = start + width - 1;
            let window = &letters[starts[start]..starts[last] + words[last].len()];
            let length = window.len();
            // Of the longer one less than a fifth may differ.
            let least = (4 * length / 5 + 1).min(longest + 1);
            let most = ((5 * length - 1) / 4).min(longest);
            let own = bag(window);
            for term in &sorted[shorter[least]..shorter[most + 1]] {
                let greater = term.length.max(length);
                let allowed = (greater - 1) / 5;
                if lacking(own, term.bag) > allowed || lacking(term.bag, own) > allowed {
                    continue;
                }
                let distance = distance(term, window);
                if distance <= allowed {
                    hits.push((start, width, term.number, distance, greater));
                }
            }
        }
    }
    without_overlap(hits, words.len())
}

fn letter(byte: u8) -> u8 {
    if byte == b' ' { 26 } else { byte - b'a' }
}

fn term(number: usize, text: &str) -> Term {
    let letters: Vec<u8> = text.bytes().map(letter).collect();
    let mut places = [0; LETTERS];
    for (at, letter) in letters.iter().enumerate() {
        places[usize::from(*letter)] |= 1 << at;
    }
    Term {
        number,
        length: letters.len(),
        bag: bag(&letters),
        places,
    }
}

/// Which letters stand once, twice, three and four times or more.
fn bag(letters: &[u8]) -> [u64; 2] {
    let mut planes = [0_u64; 4];
    for letter in letters {
        let mut bit = 1_u64 << letter;
        for plane in &mut planes {
            let there = *plane & bit;
            *plane |= bit;
            bit = there;
        }
    }
    [planes[0] | planes[1] << 32, planes[2] | planes[3] << 32]
}

/// How many letters of the one, counted up to four of each, the other lacks: no distance is less.
fn lacking(one: [u64; 2], other: [u64; 2]) -> usize {
    ((one[0] & !other[0]).count_ones() + (one[1] & !other[1]).count_ones()) as usize
}

/// Edit distance between a term of at most 64 letters and a window.
fn distance(term: &Term, window: &[u8]) -> usize {
    let (mut up, mut down) = (u64::MAX, 0_u64);
    let top = 1_u64 << (term.length - 1);
    let mut distance = term.length;
    for letter in window {
        let equal = term.places[usize::from(*letter)];
        let along = (((equal & up).wrapping_add(up)) ^ up) | equal | down;
        let higher = down | !(along | up);
        let lower = up & along;
        distance += usize::from(higher & top != 0);
        distance -= usize::from(lower & top != 0);
        let (higher, lower) = (higher << 1 | 1, lower << 1);
        up = lower | !(along | higher);
        down = higher & along;
    }
    distance
}

fn without_overlap(mut hits: Vec<Hit>, words: usize) -> Vec<Hit> {
    hits.sort_unstable_by(|a, b| {
        let alike = (a.3 * b.4).cmp(&(b.3 * a.4));
        alike.then((Reverse(a.1), a.0, a.2).cmp(&(Reverse(b.1), b.0, b.2)))
    });
    let mut used = vec![false; words];
    hits.retain(|&(start, width, ..)| {
        let span = &mut used[start..start + width];
        let free = !span.contains(&true);
        if free {
            span.fill(true);
        }
        free
    });
    hits.sort_unstable();
    hits
}
