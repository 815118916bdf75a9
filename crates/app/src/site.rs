//! A public site of a library: the reports that were published, a page for each of their parts and makers.
//!
//! In: a library, a folder. Out: the folder, whole, in one step. Only what was published goes out, and of a report
//! with sections left out only its pages. Not here: pages of the site (`report`), publishing a report (`desk`).

use crate::{Problem, Watch};
use library::{DossierId, FileEntry, Library, Publication, Which};
use methods::{Detail, Findings};
use report::{SitePart, SiteProduct, SiteVersion};
use std::collections::BTreeSet;
use std::path::Path;
use store::{Output, OutputFile};
use tokio::runtime::Handle;

const SITE: Output = Output {
    kind: "site",
    unmarked: &[],
};

/// Files of a publication that sections are left out of; all others hold what was found, whole.
const PAGES: [&str; 7] = [
    "report.html",
    "report.pdf",
    "working.pdf",
    "sheet.html",
    "sheet.pdf",
    "article.md",
    "link.jpg",
];
/// The findings of a publication.
const FINDINGS: &str = "findings.json";

/// A site that was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Site {
    /// Reports in it.
    pub reports: usize,
    /// Files in it.
    pub files: usize,
    /// Products of the library of which nothing was published, by name.
    pub unpublished: Vec<String>,
}

/// A report that goes out.
struct Going {
    product: SiteProduct,
    files: Vec<FileEntry>,
}

/// Writes the site of a library. A run that is stopped leaves what was there before.
///
/// # Errors
/// A folder that holds something else; a library that cannot be read; work that was stopped.
pub async fn site(
    library: &Library,
    into: &Path,
    watch: &(dyn Watch + Sync),
) -> Result<Site, Problem> {
    SITE.may_fill(into)?;
    let mut going = Vec::new();
    let mut unpublished = Vec::new();
    let heads = library.heads(Which::Present).await?;
    for (n, head) in heads.iter().enumerate() {
        watch.step("gathering reports", n + 1, heads.len());
        if !watch.goes_on() {
            return Err(Problem::stopped());
        }
        let publications = library.publications(&head.id).await?;
        match one(library, &head.id, &head.name, &head.maker, &publications).await? {
            Some(one) => going.push(one),
            None => unpublished.push(head.name.clone()),
        }
    }
    going.sort_by(|a, b| {
        let key = |g: &Going| (g.product.name.to_lowercase(), g.product.slug.clone());
        key(a).cmp(&key(b))
    });
    let products: Vec<SiteProduct> = going.iter().map(|g| g.product.clone()).collect();
    let own = report::site(&products);
    let reports = going.len();
    let count = own.len() + going.iter().map(|g| g.files.len()).sum::<usize>();
    let handle = Handle::current();
    // Files are fetched while the folder is filled, one at a time.
    tokio::task::block_in_place(|| {
        let own = own
            .into_iter()
            .map(|(path, bytes)| Ok(OutputFile { path, bytes }));
        let copied = going.iter().enumerate().flat_map(|(n, one)| {
            watch.step("writing reports", n + 1, reports);
            one.files.iter().map(|file| {
                if !watch.goes_on() {
                    return Err(Problem::stopped());
                }
                let bytes = handle.block_on(library.object(&file.sha256))?;
                Ok(OutputFile {
                    path: format!("products/{}/{}", one.product.slug, file.path),
                    bytes: bytes.to_vec(),
                })
            })
        });
        SITE.write_each(into, own.chain(copied))
    })?;
    Ok(Site {
        reports,
        files: count,
        unpublished,
    })
}

async fn one(
    library: &Library,
    id: &DossierId,
    name: &str,
    maker: &str,
    publications: &[Publication],
) -> Result<Option<Going>, Problem> {
    let Some(last) = publications.last() else {
        return Ok(None);
    };
    if !last.files.iter().any(|file| file.path == "report.html") {
        return Ok(None);
    }
    let whole = library.leaving_out(id).await?.sections.is_empty();
    let goes = |file: &&FileEntry| {
        let path = file.path.as_str();
        whole || PAGES.contains(&path) || path.starts_with("photos/")
    };
    let mut parts = Vec::new();
    let mut category = String::new();
    let mut versions = Vec::new();
    for publication in publications {
        let mut changes = Vec::new();
        if whole && let Some((findings, edition)) = findings(library, publication).await? {
            if publication.version == last.version {
                parts = parts_of(&findings);
            }
            let corrected = edition.into_iter().flat_map(|edition| edition.corrections);
            changes.extend(corrected.map(|c| (told(&c), report::CORRECTIONS.to_string())));
        }
        versions.push(SiteVersion {
            version: publication.version,
            at: publication.at.to_string(),
            reason: publication.reason.clone().unwrap_or_default(),
            changes,
        });
    }
    // The words of the record as they were published, not those of today.
    let (_, text) = library.revision(id, last.revision).await?;
    let (mut name, mut maker) = (name.to_string(), maker.to_string());
    if let Ok(dossier) = record::read_text(&text, store::TEXT, &record::AnyFile) {
        let product = dossier.published().product;
        category = product.category.unwrap_or_default();
        (name, maker) = (product.name, product.maker);
    }
    let product = SiteProduct {
        slug: format!("{}-{id}", report::slug(&name)),
        id: id.to_string(),
        name,
        maker,
        category,
        parts,
        versions,
    };
    let files = last.files.iter().filter(goes).cloned().collect();
    Ok(Some(Going { product, files }))
}

async fn findings(
    library: &Library,
    publication: &Publication,
) -> Result<Option<(Findings, Option<report::Edition>)>, Problem> {
    let Some(file) = publication.files.iter().find(|file| file.path == FINDINGS) else {
        return Ok(None);
    };
    let bytes = library.object(&file.sha256).await?;
    // Findings that another version of the program wrote are passed over; the report itself is there.
    Ok(report::read_published(&String::from_utf8_lossy(&bytes)).ok())
}

fn parts_of(findings: &Findings) -> Vec<SitePart> {
    let details = findings
        .findings
        .iter()
        .flat_map(|finding| &finding.details);
    let rows = details.filter_map(|detail| match detail {
        Detail::Parts { rows } => Some(rows),
        _ => None,
    });
    let named = rows.flatten().filter(|row| !row.identity.trim().is_empty());
    let parts: BTreeSet<SitePart> = named
        .map(|row| SitePart {
            name: row.identity.clone(),
            maker: row.maker.clone(),
            role: row.role.clone(),
        })
        .collect();
    parts.into_iter().collect()
}

fn told(correction: &report::Correction) -> String {
    let what = match &correction.figure {
        Some(figure) => format!("{}, {figure}", correction.title),
        None => correction.title.clone(),
    };
    let was = correction.was.as_deref().unwrap_or("not told");
    let now = correction.now.as_deref().unwrap_or("not told");
    format!("{what}: was {was}, is {now}")
}
