//! Names of several makers' patterns, drawn by a fixed rule (xorshift), for examples that time keys.

use std::fmt::Write as _;

/// Returns so many different names, each with the number of its maker, 0 to 39.
pub(crate) fn names(count: usize, seed: u64) -> Vec<(String, u64)> {
    let mut state = 0x9e37_79b9_7f4a_7c15_u64 ^ seed.wrapping_mul(0x2545_f491_4f6c_dd1d);
    let mut next = |most: u64| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        state % most
    };
    let letters: Vec<char> = ('A'..='Z').collect();
    let one = |n: usize| {
        let mut name = String::new();
        for _ in 0..2 + next(2) {
            name.push(letters[next(26) as usize]);
        }
        let _ = write!(name, "{}", next(99_999));
        if next(3) == 0 {
            name.push(letters[next(26) as usize]);
        }
        let _ = write!(name, "-{n:X}");
        (name, next(40))
    };
    (0..count).map(one).collect()
}
