//! A list in which nothing stands twice.
//!
//! In: values in any order, as often as they come. Out: each once, in the order of first coming.
//! Not here: what the values say.

use std::collections::HashSet;
use std::hash::Hash;

/// Below this many values looking through them is faster than hashing.
const FEW: usize = 16;

/// Values, each once, in the order in which they came first.
#[derive(Debug, Clone)]
pub(crate) struct Distinct<T = String> {
    values: Vec<T>,
    /// The same values, kept only where there are many.
    known: HashSet<T>,
}

impl<T> Default for Distinct<T> {
    fn default() -> Self {
        Self {
            values: Vec::new(),
            known: HashSet::new(),
        }
    }
}

impl<T: Clone + Eq + Hash> Distinct<T> {
    /// Adds a value unless it is there.
    pub(crate) fn push(&mut self, value: impl Into<T>) {
        let value = value.into();
        if self.contains(&value) {
            return;
        }
        if self.values.len() == FEW {
            self.known.extend(self.values.iter().cloned());
        }
        if self.values.len() >= FEW {
            self.known.insert(value.clone());
        }
        self.values.push(value);
    }

    fn contains(&self, value: &T) -> bool {
        if self.values.len() <= FEW {
            self.values.contains(value)
        } else {
            self.known.contains(value)
        }
    }

    /// Returns the values.
    pub(crate) fn into_vec(self) -> Vec<T> {
        self.values
    }

    /// Returns the values.
    pub(crate) fn as_slice(&self) -> &[T] {
        &self.values
    }
}

impl<T: Clone + Eq + Hash> From<Vec<T>> for Distinct<T> {
    fn from(values: Vec<T>) -> Self {
        values.into_iter().collect()
    }
}

impl<T: Clone + Eq + Hash> FromIterator<T> for Distinct<T> {
    fn from_iter<I: IntoIterator<Item = T>>(values: I) -> Self {
        let mut once = Self::default();
        once.extend(values);
        once
    }
}

impl<T: Clone + Eq + Hash> Extend<T> for Distinct<T> {
    fn extend<I: IntoIterator<Item = T>>(&mut self, values: I) {
        for value in values {
            self.push(value);
        }
    }
}

impl<T> IntoIterator for Distinct<T> {
    type Item = T;
    type IntoIter = std::vec::IntoIter<T>;
    fn into_iter(self) -> Self::IntoIter {
        self.values.into_iter()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_value_stands_once_in_the_order_of_coming() {
        for n in [3_usize, FEW - 1, FEW, FEW + 1, 100] {
            let all: Vec<String> = (0..n).map(|i| format!("t{i}")).collect();
            let twice: Distinct<String> = all.iter().chain(all.iter().rev()).cloned().collect();
            assert_eq!(twice.as_slice(), all);
            assert_eq!(twice.into_vec(), all);
        }
    }
}
