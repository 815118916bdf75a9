//! One bounded opener for every read.
