//! One locked store for every write.
