//! The article for web sites, read by a reader of CommonMark that is not ours.
//!
//! Grammar: CommonMark 0.31.2, with tables and nothing else of what readers add to it.

use super::pages;
use pulldown_cmark::{Event, HeadingLevel, Options, Parser, Tag, TagEnd};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

/// What was met while an article was read.
#[derive(Default)]
struct Read {
    headings: Vec<(HeadingLevel, String)>,
    /// Address and alternative text.
    pictures: Vec<(String, String)>,
    links: Vec<String>,
    raw_html: Vec<String>,
    /// For each table, the cells of each of its rows.
    tables: Vec<Vec<usize>>,
    /// Text outside of tables, by paragraph.
    paragraphs: Vec<String>,
}

fn read(text: &str) -> Read {
    let mut read = Read::default();
    let mut words = String::new();
    for event in Parser::new_ext(text, Options::ENABLE_TABLES) {
        match event {
            Event::Start(Tag::Heading { .. } | Tag::Paragraph) => words.clear(),
            Event::Start(Tag::Image { dest_url, .. }) => {
                words.clear();
                read.pictures.push((dest_url.into_string(), String::new()));
            }
            Event::Start(Tag::Link { dest_url, .. }) => read.links.push(dest_url.into_string()),
            Event::Start(Tag::Table(_)) => read.tables.push(Vec::new()),
            Event::Start(Tag::TableHead | Tag::TableRow) => {
                read.tables.last_mut().unwrap().push(0);
            }
            Event::Start(Tag::TableCell) => {
                *read.tables.last_mut().unwrap().last_mut().unwrap() += 1;
            }
            Event::End(TagEnd::Heading(level)) => read.headings.push((level, words.clone())),
            Event::End(TagEnd::Image) => read.pictures.last_mut().unwrap().1.clone_from(&words),
            Event::End(TagEnd::Paragraph) => read.paragraphs.push(words.clone()),
            Event::Html(html) | Event::InlineHtml(html) => read.raw_html.push(html.into_string()),
            Event::Text(text) | Event::Code(text) => words += &text,
            Event::SoftBreak | Event::HardBreak => words.push(' '),
            _ => {}
        }
    }
    read
}

/// Whether an address in an article leads somewhere.
fn leads(address: &str, folder: &Path, anchors: &BTreeSet<String>) -> bool {
    match address.strip_prefix('#') {
        Some(anchor) => anchors.contains(anchor),
        None => address.starts_with("https://") || folder.join(address).is_file(),
    }
}

/// A heading as others make an anchor of it: small letters, hyphens for blanks, nothing else.
fn anchor(heading: &str) -> String {
    let kept = heading
        .chars()
        .filter(|c| c.is_alphanumeric() || " -_".contains(*c));
    kept.flat_map(char::to_lowercase)
        .map(|c| if c == ' ' { '-' } else { c })
        .collect()
}

#[test]
fn the_article_is_read_by_others_as_it_is_meant() {
    let folder = pages()[0].parent().unwrap();
    let article = read(&fs::read_to_string(folder.join("article.md")).unwrap());

    assert_eq!(article.headings[0].0, HeadingLevel::H1);
    let first = article.headings.iter().filter(|h| h.0 == HeadingLevel::H1);
    assert_eq!(first.count(), 1, "{:?}", article.headings);
    assert!(article.headings.len() > 3, "{:?}", article.headings);
    for pair in article.headings.windows(2) {
        assert!(
            pair[1].0 as u8 <= pair[0].0 as u8 + 1,
            "a level is left out: {pair:?}"
        );
    }
    let anchors: BTreeSet<String> = article.headings.iter().map(|h| anchor(&h.1)).collect();
    assert_eq!(
        anchors.len(),
        article.headings.len(),
        "two headings are the same"
    );
    assert!(article.headings.iter().all(|h| !h.1.trim().is_empty()));

    assert!(!article.pictures.is_empty());
    for (file, alternative) in &article.pictures {
        assert!(folder.join(file).is_file(), "there is no {file}");
        assert!(
            alternative.split_whitespace().count() > 1,
            "{file}: “{alternative}”"
        );
    }
    let used: BTreeSet<&str> = article.pictures.iter().map(|p| p.0.as_str()).collect();
    for file in fs::read_dir(folder.join("article")).unwrap() {
        let name = format!("article/{}", file.unwrap().file_name().to_str().unwrap());
        assert!(used.contains(name.as_str()), "{name} is shown nowhere");
    }
    for link in &article.links {
        assert!(leads(link, folder, &anchors), "{link} leads nowhere");
    }
    assert_eq!(article.raw_html, [""; 0]);

    for rows in &article.tables {
        assert!(
            rows.len() > 1 && rows.iter().all(|cells| *cells == rows[0]),
            "{rows:?}"
        );
    }
    // What is no table to the reader is text with bars in it; what is not set is left with its marks.
    for paragraph in &article.paragraphs {
        assert!(
            !paragraph.trim_start().starts_with('|'),
            "a broken table: {paragraph}"
        );
        for mark in ["**", "](", "\\"] {
            assert!(!paragraph.contains(mark), "{mark} is left in: {paragraph}");
        }
    }
}

/// That the check sees anything.
#[test]
fn what_is_wrong_in_an_article_is_seen() {
    let article = read(
        "# A\n\n![](none.jpg)\n\n<b>x</b> [y](nowhere.html)\n\n| a | b |\n|---|\n| 1 | 2 |\n\n\
         | c | d |\n|---|---|\n| 1 | 2 |\n",
    );
    assert_eq!(article.pictures, [("none.jpg".to_string(), String::new())]);
    assert_eq!(article.raw_html, ["<b>", "</b>"]);
    assert!(!leads(&article.links[0], Path::new("."), &BTreeSet::new()));
    assert_eq!(article.tables, [[2, 2]]);
    assert!(article.paragraphs.iter().any(|p| p.starts_with('|')));
}
