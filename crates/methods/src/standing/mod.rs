//! Where does it stand among the products opened before?
//!
//! In: the figures and parts of a product, and what a library holds of others. Out: one finding on its figures with their
//! plot, one on the products most like it, one on parts seen for the first time. Nothing without a library.
//! Not here: the arithmetic (`standing`, the crate); claims that compare (`claims`). See `docs/methods/standing.md`.

mod figures;
mod nearest;
mod sightings;

use crate::others::{Other, once_a_family};
use crate::words::{counted, spelt_of};
use crate::{Answer, Case, Finding, Method};
use record::Scope;

/// Tells where a product stands in a library.
///
/// # Errors
/// [`crate::Cancelled`] if the case is to be worked on no longer.
pub fn examine(case: &Case<'_>) -> Answer {
    case.go_on()?;
    let Some(set) = Set::of(case) else {
        return Ok(Vec::new());
    };
    let mut findings = Vec::new();
    findings.extend(figures::told(case, &set));
    case.go_on()?;
    findings.extend(nearest::told(case, &set));
    case.go_on()?;
    findings.extend(sightings::told(case, &set));
    Ok(findings)
}

/// The products that one is compared with: those of its class where there are any, otherwise all; one of each family.
struct Set<'d> {
    others: Vec<&'d Other>,
    class: Option<&'d str>,
    left: usize,
}

impl<'d> Set<'d> {
    fn of(case: &Case<'d>) -> Option<Self> {
        let product = &case.dossier.product;
        let class = case.others().within(product, Scope::Class)?;
        let (others, class) = match class.is_empty() {
            false => (class, product.category.as_deref()),
            true => (case.others().within(product, Scope::Market)?, None),
        };
        (!others.is_empty()).then(|| Self {
            others: once_a_family(others),
            class,
            left: case.others().left,
        })
    }

    /// Returns the set in words: `the 13 other products of its class (power bank) in this library`.
    fn words(&self) -> String {
        let n = self.others.len();
        let class = self
            .class
            .map_or_else(String::new, |class| format!(" of its class ({class})"));
        match n {
            1 => format!("the one other product{class} in this library"),
            n => format!("the {n} other products{class} in this library"),
        }
    }

    /// Says what holds for everything told of it.
    fn close(&self, finding: &mut Finding) {
        finding.assume(
            "Products of a library are chosen by interest and not by chance: all of this is about this library, of each \
             family of products one counts, and the class is `product.category`.",
        );
        if self.left > 0 {
            finding.unused.push(format!(
                "{} of this library {} not looked at",
                counted(self.left, "more product", "more products"),
                if self.left == 1 { "was" } else { "were" }
            ));
        }
    }
}

fn begin(question: crate::Word, title: &str) -> Finding {
    Finding::new(Method::Standing, question, title)
}

/// Returns `one of them`, `five of them`.
fn of_them(n: usize) -> String {
    spelt_of(n, "of them", "of them")
}
