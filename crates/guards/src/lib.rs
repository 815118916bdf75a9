//! Which hazard reaches what through a network of parts, and what stands in its way.
//!
//! In: a graph of items and nets, which item answers which hazard. Out: guarded, unguarded, undecided or no path,
//! with a witness, the smallest cut, the depth and what every path shares; margins of ratings as probabilities.
//! Not here: dossiers (`methods` builds the graph), advice on safety beyond what is printed in standards.
