//! Which products are alike, and why.
//!
//! In: declared attributes of products, and sets of parts. Out: a distance from 0 to 1 with the attributes that make
//! most of it; the likeness of two sets. Not here: which attributes are declared. A few that do not follow from one
//! another: mass, volume and energy together would count one difference three times.
//! Source: J. C. Gower, A general coefficient of similarity and some of its properties, 1971; P. Jaccard, 1901.

use crate::quantile::quantile;
use std::collections::BTreeSet;

/// How an attribute is compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scale {
    /// A number: the difference by the span.
    Number,
    /// A number above 0: the difference of logarithms by their span.
    Positive,
    /// A label: equal or not.
    Label,
    /// Whether something is there: equal or not, and left out where neither has it.
    Presence,
}

/// An attribute that products are compared by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Attribute {
    /// How it is compared.
    pub scale: Scale,
    /// How much it counts.
    pub weight: f64,
}

/// What a product has of an attribute.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// Not known.
    Unknown,
    /// A number.
    Number(f64),
    /// A label.
    Label(String),
    /// Whether it is there.
    Present(bool),
}

/// Attributes and how far the class spreads in each.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    attributes: Vec<Attribute>,
    spans: Vec<f64>,
}

/// How unlike two products are.
#[derive(Debug, Clone, PartialEq)]
pub struct Distance {
    /// From 0, equal in all that is known, to 1.
    pub value: f64,
    /// The share of all weight that is known of both.
    pub known: f64,
    /// The attributes that make most of it, at most three, with their share in the value; the greatest first.
    pub reasons: Vec<(usize, f64)>,
}

/// Reasons that are told.
const REASONS: usize = 3;

/// The share of all weight that must be known of both.
const KNOWN: f64 = 0.5;

impl Comparison {
    /// Compares by the middle nine tenths of each number's values; what differs by more counts as 1. One product
    /// far out then does not make all others alike.
    pub fn of_middle(attributes: Vec<Attribute>, products: &[Vec<Value>]) -> Self {
        Self::spread(attributes, products, |values| {
            Some(quantile(values, 0.95)? - quantile(values, 0.05)?)
        })
    }

    /// Compares by the whole range of each number's values, as first published.
    pub fn of_range(attributes: Vec<Attribute>, products: &[Vec<Value>]) -> Self {
        Self::spread(attributes, products, |values| {
            Some(quantile(values, 1.0)? - quantile(values, 0.0)?)
        })
    }

    fn spread(
        attributes: Vec<Attribute>,
        products: &[Vec<Value>],
        span: fn(&[f64]) -> Option<f64>,
    ) -> Self {
        let known = |(i, attribute): (usize, &Attribute)| {
            let values = products
                .iter()
                .filter_map(|p| on_scale(attribute.scale, p.get(i)?));
            span(&values.collect::<Vec<_>>()).unwrap_or(0.0)
        };
        let spans = attributes.iter().enumerate().map(known).collect();
        Self { attributes, spans }
    }

    /// Returns how unlike two products are; none where less than half of all weight is known of both, or all that is
    /// known is that neither has something.
    pub fn distance(&self, a: &[Value], b: &[Value]) -> Option<Distance> {
        let (mut all, mut known, mut counted) = (0.0, 0.0, 0.0);
        let mut shares = Vec::new();
        for (i, attribute) in self.attributes.iter().enumerate() {
            all += attribute.weight;
            let pair = a.get(i).zip(b.get(i));
            match pair.and_then(|(a, b)| difference(attribute.scale, self.spans[i], a, b)) {
                Some(Difference::Counted(difference)) => {
                    known += attribute.weight;
                    counted += attribute.weight;
                    shares.push((i, attribute.weight * difference));
                }
                Some(Difference::NeitherHasIt) => known += attribute.weight,
                None => {}
            }
        }
        if counted <= 0.0 || known < KNOWN * all {
            return None;
        }
        let value = shares.iter().map(|(_, share)| share).sum::<f64>() / counted;
        let mut reasons: Vec<(usize, f64)> = shares
            .into_iter()
            .map(|(i, share)| (i, share / counted))
            .collect();
        reasons.retain(|(_, share)| *share > 0.0);
        reasons.sort_by(|(_, a), (_, b)| b.total_cmp(a));
        reasons.truncate(REASONS);
        Some(Distance {
            value,
            known: known / all,
            reasons,
        })
    }

    /// Returns the others that can be compared with a product, the likest first, by their index.
    pub fn nearest(&self, own: &[Value], others: &[Vec<Value>]) -> Vec<(usize, Distance)> {
        let compared = others.iter().enumerate();
        let mut nearest: Vec<_> = compared
            .filter_map(|(i, other)| Some((i, self.distance(own, other)?)))
            .collect();
        nearest.sort_by(|(_, a), (_, b)| a.value.total_cmp(&b.value));
        nearest
    }
}

enum Difference {
    Counted(f64),
    NeitherHasIt,
}

/// The difference of two values from 0 to 1; none where one is not known or not of the scale.
fn difference(scale: Scale, span: f64, a: &Value, b: &Value) -> Option<Difference> {
    Some(Difference::Counted(match (scale, a, b) {
        (Scale::Label, Value::Label(a), Value::Label(b)) => f64::from(u8::from(a != b)),
        (Scale::Label, Value::Present(a), Value::Present(b)) => f64::from(u8::from(a != b)),
        (Scale::Presence, Value::Present(false), Value::Present(false)) => {
            return Some(Difference::NeitherHasIt);
        }
        (Scale::Presence, Value::Present(a), Value::Present(b)) => f64::from(u8::from(a != b)),
        (Scale::Number | Scale::Positive, a, b) => {
            let apart = (on_scale(scale, a)? - on_scale(scale, b)?).abs();
            if apart == 0.0 {
                0.0
            } else {
                (apart / span).min(1.0)
            }
        }
        _ => return None,
    }))
}

/// A number on its scale; none where it is not known or has no place there.
fn on_scale(scale: Scale, value: &Value) -> Option<f64> {
    let Value::Number(number) = value else {
        return None;
    };
    let placed = match scale {
        Scale::Number => *number,
        Scale::Positive => number.ln(),
        Scale::Label | Scale::Presence => return None,
    };
    placed.is_finite().then_some(placed)
}

/// Returns the share of the weight of all parts of two products that both have; none where there is no weight.
pub fn in_common<K: Ord>(
    a: &BTreeSet<K>,
    b: &BTreeSet<K>,
    weight: impl Fn(&K) -> f64,
) -> Option<f64> {
    let all: f64 = a.union(b).map(&weight).sum();
    let both: f64 = a.intersection(b).map(&weight).sum();
    (all > 0.0).then(|| both / all)
}

/// Returns the weight of a part that `having` of `products` have: common ones say little.
pub fn rarity(having: usize, products: usize) -> f64 {
    (products.max(1) as f64 / having.max(1) as f64)
        .ln()
        .max(0.0)
}
