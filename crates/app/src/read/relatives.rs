//! Candidates in families: parts of one maker whose names share their stem.
//!
//! In: an answer, likeliest first, and the known parts. Out: [`Family`]s, likeliest first.
//! Not here: what the stem of a name is (`marking`), how families are shown.

use catalogue::Part;
use marking::{Answer, stem};

/// Candidates that are relatives.
#[derive(Debug, Clone, PartialEq)]
pub struct Family {
    /// What their names share; the whole name of one that is alone.
    pub head: String,
    /// Places of the candidates in the answer, likeliest first.
    pub members: Vec<usize>,
    /// Probability that the part is one of them.
    pub probability: f64,
}

/// Puts the candidates of an answer into families. One without maker belongs to the first of its stem.
pub fn families(answer: &Answer, parts: &[Part]) -> Vec<Family> {
    let mut found: Vec<(Family, String)> = Vec::new();
    for (at, candidate) in answer.candidates.iter().enumerate() {
        let part = parts.get(candidate.part);
        let name = part.map_or(candidate.name.as_str(), |part| part.name.as_str());
        let maker = part.map_or_else(String::new, |part| part.maker.to_lowercase());
        let own = stem(name);
        let related = |(family, other): &&mut (Family, String)| {
            family.head.eq_ignore_ascii_case(own)
                && (maker.is_empty() || other.is_empty() || *other == maker)
        };
        match found.iter_mut().find(related) {
            Some((family, _)) => {
                family.members.push(at);
                family.probability += candidate.probability;
            }
            None => {
                let family = Family {
                    head: own.to_string(),
                    members: vec![at],
                    probability: candidate.probability,
                };
                found.push((family, maker));
            }
        }
    }
    let mut families: Vec<Family> = found.into_iter().map(|(family, _)| family).collect();
    for family in &mut families {
        if let [alone] = family.members[..] {
            let candidate = &answer.candidates[alone];
            let part = parts.get(candidate.part);
            family.head = part.map_or_else(|| candidate.name.clone(), |part| part.name.clone());
        }
    }
    families.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    families
}
