//! The feed of corrections.

use super::{SiteProduct, SiteVersion};
use crate::svg::escaped;

/// Entries that a feed keeps: the latest.
const ENTRIES: usize = 200;
/// Changes that an entry tells.
const TOLD: usize = 20;
/// When nothing was corrected yet.
const NEVER: &str = "1970-01-01T00:00:00Z";

/// Writes the corrections of all products as a feed, the latest first.
pub(super) fn feed(products: &[SiteProduct]) -> String {
    let corrected = |p: &SiteProduct| p.versions.iter().skip(1).cloned().collect::<Vec<_>>();
    let mut all: Vec<(&SiteProduct, SiteVersion)> = products
        .iter()
        .flat_map(|p| corrected(p).into_iter().map(move |v| (p, v)))
        .collect();
    all.sort_by(|(_, a), (_, b)| b.at.cmp(&a.at));
    all.truncate(ENTRIES);
    let published = products
        .iter()
        .flat_map(|p| &p.versions)
        .map(|v| v.at.as_str());
    let updated = published.max().unwrap_or(NEVER);
    let entries: String = all
        .iter()
        .map(|(product, version)| entry(product, version))
        .collect();
    format!(
        "<?xml version=\"1.0\" encoding=\"utf-8\"?>\n<feed xmlns=\"http://www.w3.org/2005/Atom\">\n\
         <title>Corrections of teardown reports</title>\n<id>urn:underlid:corrections</id>\n\
         <updated>{updated}</updated>\n<author><name>The publishers of these reports</name></author>\n\
         <link rel=\"self\" href=\"corrections.atom\"/>\n<link href=\"index.html\"/>\n{entries}</feed>\n"
    )
}

fn entry(product: &SiteProduct, version: &SiteVersion) -> String {
    let address = format!("products/{}/report.html", product.slug);
    let mut told = String::new();
    if !version.reason.is_empty() {
        told += &format!("<p>{}</p>", escaped(&version.reason));
    }
    told += "<ul>";
    for (sentence, anchor) in version.changes.iter().take(TOLD) {
        told += &format!(
            "<li><a href=\"{address}#{}\">{}</a></li>",
            escaped(anchor),
            escaped(sentence)
        );
    }
    if version.changes.len() > TOLD {
        told += &format!("<li>{} more</li>", version.changes.len() - TOLD);
    }
    told += "</ul>";
    format!(
        "<entry>\n<title>{}, version {}</title>\n<id>urn:underlid:{}:{}</id>\n<updated>{}</updated>\n\
         <link href=\"{address}\"/>\n<content type=\"html\">{}</content>\n</entry>\n",
        escaped(&product.name),
        version.version,
        escaped(&product.id),
        version.version,
        escaped(&version.at),
        escaped(&told)
    )
}
