//! One part's top-marking codes, into a catalogue.

use crate::{Problem, Remedy, shown};
use catalogue::{Catalogue, Merged, Part, Row, TopCode};
use std::path::{Path, PathBuf};

/// Which codes stand on which part.
#[derive(Debug, Clone, Default)]
pub struct CodeOptions {
    /// Catalogue to add to; made if it is not there.
    pub into: PathBuf,
    /// Part number.
    pub part: String,
    /// Its maker, if the name alone does not say which part.
    pub maker: String,
    /// The codes.
    pub codes: Vec<String>,
    /// Package that they stand on; empty when not known.
    pub package: String,
    /// Where they are known from.
    pub known_from: String,
}

/// What became of the codes.
#[derive(Debug)]
pub struct Coded {
    /// The part as the catalogue has it now.
    pub part: Part,
    /// Whether the part is new.
    pub new: bool,
    /// Whether the catalogue was written.
    pub changed: bool,
    /// A known part whose name is nearly that of a new one.
    pub near: Option<String>,
    /// Other parts that carry one of the codes on the same package, or on one that is not known.
    pub others: Vec<(TopCode, String)>,
}

/// Adds top-marking codes to one part of a catalogue, and the part if it is not there.
///
/// # Errors
/// No part or code named; a name that several makers use; a catalogue that cannot be read or written, or with
/// rows that were refused.
pub fn code(options: &CodeOptions) -> Result<Coded, Problem> {
    let part = Part {
        name: options.part.clone(),
        maker: options.maker.clone(),
        codes: options
            .codes
            .iter()
            .map(|code| TopCode::on(code, &options.package))
            .collect(),
        packages: vec![options.package.clone()],
        known_from: options.known_from.clone(),
        ..Part::default()
    }
    .tidied();
    if part.name.is_empty() || part.codes.is_empty() {
        return Err(Problem::refused(
            "the part number or the code is empty",
            "name the part, then its code",
        ));
    }
    let row = Row {
        file: shown(&options.into),
        line: 0,
        part,
        cleared: Vec::new(),
        own: Vec::new(),
    };
    let (coded, changed) = super::add(&options.into, |known| {
        let near = known.near(&row.part.name).map(|part| part.name.clone());
        let merged = known.add([row.clone()]);
        let changed = merged.added + merged.corrected > 0;
        (
            coded(known, &row.part, merged, near, &options.into),
            changed,
        )
    })?;
    Ok(Coded { changed, ..coded? })
}

fn coded(
    known: &Catalogue,
    said: &Part,
    merged: Merged,
    near: Option<String>,
    path: &Path,
) -> Result<Coded, Problem> {
    if let Some(remark) = merged.remarks.first() {
        return Err(Problem::refused(
            format!("{}: {}", shown(path), remark.why),
            Remedy::NameMaker,
        )
        .at(path));
    }
    let carries = |part: &Part| said.codes.iter().all(|code| has(part, code));
    let maker = said.maker.to_lowercase();
    let own = known
        .named(&said.name)
        .find(|p| carries(p) && (maker.is_empty() || p.maker.to_lowercase() == maker));
    let own = own.expect("the part was added with its codes, or had them");
    let others = known.parts().iter().filter(|part| *part != own);
    let others = others.flat_map(|part| {
        let same = said.codes.iter().filter(|code| has(part, code));
        same.map(|code| (code.clone(), part.name.clone()))
    });
    Ok(Coded {
        others: others.collect(),
        part: own.clone(),
        new: merged.added > 0,
        changed: false,
        near: near.filter(|_| merged.added > 0),
    })
}

/// Whether a part carries a code, its package being the same or not known.
fn has(part: &Part, code: &TopCode) -> bool {
    part.codes.iter().any(|known| {
        known.text == code.text
            && (known.package == code.package
                || known.package.is_empty()
                || code.package.is_empty())
    })
}
