//! The pages of a site.

use super::{Gathered, PAGE, SiteProduct, SiteVersion, slug};
use crate::svg::escaped;

/// Returns all pages.
pub(super) fn pages(all: &Gathered<'_>) -> Vec<(String, Vec<u8>)> {
    let mut files = Vec::new();
    let products: Vec<String> = all.products.iter().map(|p| product_row(p, "")).collect();
    let search = "<form class=\"search\" role=\"search\" hidden><label for=\"words\">Search products, parts and makers</label>\
                  <input id=\"words\" type=\"search\" autocomplete=\"off\" spellcheck=\"false\">\
                  <p id=\"count\" role=\"status\"></p><ul id=\"found\"></ul></form>";
    let corrected = recent(all.products);
    lists(
        "index",
        "Teardown reports",
        &products,
        search,
        &corrected,
        &mut files,
    );
    let parts: Vec<String> = all
        .parts
        .iter()
        .map(|(slug, part)| {
            row(
                &format!("parts/{slug}.html"),
                part.name,
                &part.makers.join(", "),
            )
        })
        .collect();
    lists("parts", "Parts", &parts, "", "", &mut files);
    let makers: Vec<String> = all
        .makers
        .iter()
        .map(|(slug, maker)| row(&format!("makers/{slug}.html"), maker.name, ""))
        .collect();
    lists("makers", "Makers", &makers, "", "", &mut files);
    for (name, part) in &all.parts {
        let mut body = String::new();
        if !part.makers.is_empty() {
            let makers: Vec<String> = part.makers.iter().map(|m| maker_link(m)).collect();
            body += &format!("<p>Made by {}.</p>", makers.join(", "));
        }
        if !part.roles.is_empty() {
            body += &format!("<p>Seen as {}.</p>", escaped(&part.roles.join(", ")));
        }
        body += &list(
            "Products with it",
            part.products
                .iter()
                .map(|p| product_row(p, "../"))
                .collect(),
        );
        files.push(page(&format!("parts/{name}.html"), part.name, &body, "../"));
    }
    for (name, maker) in &all.makers {
        let mut body = String::new();
        let products = maker
            .products
            .iter()
            .map(|p| product_row(p, "../"))
            .collect();
        body += &list("Its products", products);
        let part = |slug: &String| {
            let part = &all.parts[slug];
            let n = part.products.len();
            let count = format!("{n} {}", if n == 1 { "product" } else { "products" });
            row(
                &format!("../parts/{slug}.html"),
                part.name,
                &format!("{}, in {count}", part.roles.join(", "))
                    .trim_start_matches(", ")
                    .to_string(),
            )
        };
        body += &list("Parts it supplies", maker.parts.iter().map(part).collect());
        files.push(page(
            &format!("makers/{name}.html"),
            maker.name,
            &body,
            "../",
        ));
    }
    files
}

fn maker_link(maker: &str) -> String {
    format!(
        "<a href=\"../makers/{}.html\">{}</a>",
        slug(maker),
        escaped(maker)
    )
}

fn row(address: &str, name: &str, beside: &str) -> String {
    let beside = match beside {
        "" => String::new(),
        beside => format!(" <span>{}</span>", escaped(beside)),
    };
    format!(
        "<li><a href=\"{address}\">{}</a>{beside}</li>",
        escaped(name)
    )
}

fn product_row(product: &SiteProduct, up: &str) -> String {
    let beside = [product.maker.as_str(), product.category.as_str()];
    let beside: Vec<&str> = beside.into_iter().filter(|text| !text.is_empty()).collect();
    let address = format!("{up}products/{}/report.html", product.slug);
    row(&address, &product.name, &beside.join(", "))
}

fn list(title: &str, rows: Vec<String>) -> String {
    match rows.is_empty() {
        true => String::new(),
        false => format!("<h2>{title}</h2><ul class=\"list\">{}</ul>", rows.concat()),
    }
}

/// The latest corrections.
fn recent(products: &[SiteProduct]) -> String {
    const RECENT: usize = 5;
    let mut all: Vec<(&SiteProduct, &SiteVersion)> = products
        .iter()
        .flat_map(|p| p.versions.iter().skip(1).map(move |v| (p, v)))
        .collect();
    all.sort_by(|(_, a), (_, b)| b.at.cmp(&a.at));
    let told = all.iter().take(RECENT).map(|(product, version)| {
        let day = version.at.split('T').next().unwrap_or_default();
        let address = format!("products/{}/report.html", product.slug);
        let why = match version.reason.as_str() {
            "" => format!("version {}", version.version),
            reason => format!("version {}: {reason}", version.version),
        };
        row(&address, &product.name, &format!("{day}, {why}"))
    });
    let rows: Vec<String> = told.collect();
    match rows.is_empty() {
        true => "<p>No report was corrected yet. <a href=\"corrections.atom\">Feed of corrections</a></p>".to_string(),
        false => format!(
            "{}<p><a href=\"corrections.atom\">Feed of corrections</a></p>",
            list("Latest corrections", rows)
        ),
    }
}

/// Writes a list on as many pages as it takes.
fn lists(
    name: &str,
    title: &str,
    rows: &[String],
    before: &str,
    behind: &str,
    files: &mut Vec<(String, Vec<u8>)>,
) {
    let address = |n: usize| match n {
        0 => format!("{name}.html"),
        n => format!("{name}-{}.html", n + 1),
    };
    let pages: Vec<&[String]> = match rows.is_empty() {
        true => vec![&[]],
        false => rows.chunks(PAGE).collect(),
    };
    let last = pages.len() - 1;
    for (n, rows) in pages.into_iter().enumerate() {
        let mut body = String::new();
        if n == 0 {
            body += before;
        }
        body += &match rows.is_empty() {
            true => "<p>Nothing was published yet.</p>".to_string(),
            false => format!("<ul class=\"list\">{}</ul>", rows.concat()),
        };
        let mut turns = Vec::new();
        if n > 0 {
            turns.push(format!(
                "<a href=\"{}\" rel=\"prev\">Before</a>",
                address(n - 1)
            ));
        }
        if n < last {
            turns.push(format!(
                "<a href=\"{}\" rel=\"next\">More</a>",
                address(n + 1)
            ));
        }
        if !turns.is_empty() {
            body += &format!("<p class=\"turns\">{}</p>", turns.join(" "));
        }
        if n == 0 {
            body += behind;
        }
        let title = match n {
            0 => title.to_string(),
            n => format!("{title}, page {}", n + 1),
        };
        files.push(page(&address(n), &title, &body, ""));
    }
}

fn page(path: &str, title: &str, body: &str, up: &str) -> (String, Vec<u8>) {
    let script = match path {
        "index.html" => "<script type=\"module\" src=\"search.js\"></script>",
        _ => "",
    };
    let here = |address: &str| {
        if address == path {
            " aria-current=\"page\""
        } else {
            ""
        }
    };
    let places = [
        ("index.html", "Products"),
        ("parts.html", "Parts"),
        ("makers.html", "Makers"),
    ];
    let places: String = places
        .iter()
        .map(|(address, name)| format!("<a href=\"{up}{address}\"{}>{name}</a> ", here(address)))
        .collect();
    let title = escaped(title);
    let text = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{title}</title>\n\
         <link rel=\"stylesheet\" href=\"{up}site.css\">\n\
         <link rel=\"alternate\" type=\"application/atom+xml\" title=\"Corrections\" href=\"{up}corrections.atom\">\n\
         {script}\n</head>\n<body>\n<header><nav aria-label=\"Places\">{}</nav></header>\n\
         <main>\n<h1>{title}</h1>\n{body}\n</main>\n</body>\n</html>\n",
        places.trim_end()
    );
    (path.to_string(), text.into_bytes())
}
