//! A site of many reports: an index that is searched without a server, a page for each part and maker, a feed of
//! corrections.
//!
//! In: what was published of each product, as plain data. Out: files with relative addresses alone.
//! Not here: the reports themselves, which are published as they are; where files go (`app`).
//! Source of the feed: RFC 4287, The Atom Syndication Format.

mod feed;
mod pages;

use std::collections::BTreeMap;

/// Entries of a list on one page.
const PAGE: usize = 200;
/// Entries of one piece of the index for searching.
const PIECE: usize = 500;

/// A product with its published report.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SiteProduct {
    /// What its folder below `products/` is called.
    pub slug: String,
    /// What its dossier is called, for identities that last.
    pub id: String,
    /// Trade name.
    pub name: String,
    /// Maker.
    pub maker: String,
    /// What it is, in words; empty if not known.
    pub category: String,
    /// Its parts that are identified.
    pub parts: Vec<SitePart>,
    /// What was published of it, the first version first.
    pub versions: Vec<SiteVersion>,
}

/// An identified part.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct SitePart {
    /// Part number.
    pub name: String,
    /// Who makes it; empty if not known.
    pub maker: String,
    /// What it does; empty if not known.
    pub role: String,
}

/// A version of a report.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SiteVersion {
    /// Its number.
    pub version: u64,
    /// When, as RFC 3339 writes it.
    pub at: String,
    /// Why, in the author's words.
    pub reason: String,
    /// What is another than before, a sentence each, with its address in the report.
    pub changes: Vec<(String, String)>,
}

/// Returns the files of a site beside the reports: path and content.
pub fn site(products: &[SiteProduct]) -> Vec<(String, Vec<u8>)> {
    let all = Gathered::of(products);
    let mut files = pages::pages(&all);
    files.extend(search(&all));
    files.push(("corrections.atom".into(), feed::feed(products).into_bytes()));
    files.push(("site.css".into(), include_bytes!("site/site.css").to_vec()));
    files.push((
        "search.js".into(),
        include_bytes!("site/search.js").to_vec(),
    ));
    files
}

/// Returns a name as a part of an address: small letters, digits and strokes.
pub fn slug(name: &str) -> String {
    let mut slug = String::new();
    for c in name.chars().flat_map(char::to_lowercase) {
        match c {
            c if c.is_ascii_alphanumeric() => slug.push(c),
            // A character without a plain form keeps names apart that differ in it alone.
            c if c.is_alphanumeric() => slug.push_str(&format!("u{:x}", u32::from(c))),
            _ if !slug.ends_with('-') && !slug.is_empty() => slug.push('-'),
            _ => {}
        }
    }
    let slug: String = slug.trim_matches('-').chars().take(LONGEST).collect();
    if slug.is_empty() {
        "unnamed".to_string()
    } else {
        slug
    }
}

/// Characters of a name in an address.
const LONGEST: usize = 80;

/// Products by their parts and makers.
struct Gathered<'a> {
    products: &'a [SiteProduct],
    /// By slug: name, makers, roles, products.
    parts: BTreeMap<String, PartPage<'a>>,
    /// By slug: name, products by it, parts by it.
    makers: BTreeMap<String, MakerPage<'a>>,
}

#[derive(Default)]
struct PartPage<'a> {
    name: &'a str,
    makers: Vec<&'a str>,
    roles: Vec<&'a str>,
    products: Vec<&'a SiteProduct>,
}

#[derive(Default)]
struct MakerPage<'a> {
    name: &'a str,
    products: Vec<&'a SiteProduct>,
    /// Slugs of parts.
    parts: Vec<String>,
}

fn once<T: PartialEq>(list: &mut Vec<T>, one: T) {
    if !list.contains(&one) {
        list.push(one);
    }
}

impl<'a> Gathered<'a> {
    fn of(products: &'a [SiteProduct]) -> Self {
        let mut parts: BTreeMap<String, PartPage<'a>> = BTreeMap::new();
        let mut makers: BTreeMap<String, MakerPage<'a>> = BTreeMap::new();
        for product in products {
            if !product.maker.is_empty() {
                let maker = makers.entry(slug(&product.maker)).or_default();
                maker.name = &product.maker;
                once(&mut maker.products, product);
            }
            for part in &product.parts {
                let page = parts.entry(slug(&part.name)).or_default();
                page.name = &part.name;
                once(&mut page.products, product);
                if !part.role.is_empty() {
                    once(&mut page.roles, &part.role);
                }
                if !part.maker.is_empty() {
                    once(&mut page.makers, &part.maker);
                    let maker = makers.entry(slug(&part.maker)).or_default();
                    if maker.name.is_empty() {
                        maker.name = &part.maker;
                    }
                    once(&mut maker.parts, slug(&part.name));
                }
            }
        }
        Self {
            products,
            parts,
            makers,
        }
    }
}

/// The index for searching, in pieces that are fetched one after the other: name, what beside it, address.
fn search(all: &Gathered<'_>) -> Vec<(String, Vec<u8>)> {
    let mut entries: Vec<[String; 3]> = Vec::new();
    for product in all.products {
        let beside = [product.maker.as_str(), product.category.as_str()];
        let beside: Vec<&str> = beside.into_iter().filter(|text| !text.is_empty()).collect();
        let address = format!("products/{}/report.html", product.slug);
        entries.push([product.name.clone(), beside.join(", "), address]);
    }
    for (slug, part) in &all.parts {
        let beside: Vec<&str> = part.makers.iter().chain(&part.roles).copied().collect();
        entries.push([
            part.name.into(),
            beside.join(", "),
            format!("parts/{slug}.html"),
        ]);
    }
    for (slug, maker) in &all.makers {
        entries.push([
            maker.name.into(),
            "maker".into(),
            format!("makers/{slug}.html"),
        ]);
    }
    let pieces: Vec<&[[String; 3]]> = entries.chunks(PIECE).collect();
    let mut files = vec![("search/list.json".to_string(), json(&pieces.len()))];
    for (n, piece) in pieces.into_iter().enumerate() {
        files.push((format!("search/{n}.json"), json(&piece)));
    }
    files
}

fn json(value: &impl serde::Serialize) -> Vec<u8> {
    serde_json::to_vec(value).expect("texts and numbers have a JSON form")
}
