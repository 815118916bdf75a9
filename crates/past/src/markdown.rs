//! Texts in Markdown.
//!
//! In: Markdown, CommonMark with tables. Out: its words as blocks. Not here: pages inside it (`html`).
//! Source: CommonMark through `pulldown-cmark`.

use crate::html;
use crate::text::{Block, Kind, Text};
use pulldown_cmark::{Event, MetadataBlockKind, Options, Parser, Tag, TagEnd};

pub(crate) fn read(text: &str) -> Text {
    let begins: Vec<usize> = std::iter::once(0)
        .chain(text.match_indices('\n').map(|(at, _)| at + 1))
        .collect();
    let line = |at: usize| begins.partition_point(|begin| *begin <= at);
    let options = Options::ENABLE_TABLES
        | Options::ENABLE_STRIKETHROUGH
        | Options::ENABLE_YAML_STYLE_METADATA_BLOCKS;
    let mut read = Text::default();
    let mut block = Block::new(Kind::Prose);
    let (mut tables, mut images, mut head) = (0usize, 0usize, false);
    let mut page: Option<(usize, String)> = None;
    for (event, at) in Parser::new_ext(text, options).into_offset_iter() {
        let mut next = |block: &mut Block, kind: Kind| {
            read.add(std::mem::replace(block, Block::new(kind)));
        };
        match event {
            Event::Start(Tag::MetadataBlock(MetadataBlockKind::YamlStyle)) => head = true,
            Event::End(TagEnd::MetadataBlock(_)) => head = false,
            Event::Text(said) if head => {
                let named = said.lines().find_map(|l| l.strip_prefix("title:"));
                if let Some(title) = named {
                    let title = title.trim().trim_matches(['"', '\'']);
                    read.title = (!title.is_empty()).then(|| title.to_string());
                }
            }
            Event::Start(Tag::HtmlBlock) => page = Some((at.start, String::new())),
            Event::End(TagEnd::HtmlBlock) => {
                if let Some((begin, inside)) = page.take() {
                    for block in html::parsed(&inside, line(begin)).blocks {
                        read.add(block);
                    }
                }
            }
            Event::Html(inside) => {
                if let Some((_, page)) = &mut page {
                    page.push_str(&inside);
                }
            }
            Event::Start(Tag::Heading { .. }) => next(&mut block, Kind::Heading),
            Event::Start(Tag::Paragraph | Tag::Item | Tag::CodeBlock(_) | Tag::BlockQuote(_))
            | Event::End(
                TagEnd::Paragraph
                | TagEnd::Heading(_)
                | TagEnd::Item
                | TagEnd::CodeBlock
                | TagEnd::TableRow
                | TagEnd::TableHead,
            ) => next(&mut block, Kind::Prose),
            Event::Start(Tag::Table(_)) => tables += 1,
            Event::Start(Tag::TableHead | Tag::TableRow) => {
                let table = tables.saturating_sub(1);
                let cells = Vec::new();
                next(&mut block, Kind::Row { table, cells });
            }
            Event::Start(Tag::TableCell) => {
                if matches!(&block.kind, Kind::Row { cells, .. } if !cells.is_empty()) {
                    block.text.push_str(" | ");
                }
                let begin = block.text.len();
                if let Kind::Row { cells, .. } = &mut block.kind {
                    cells.push(begin..begin);
                }
            }
            Event::End(TagEnd::TableCell) => {
                let end = block.text.trim_end().len();
                block.text.truncate(end);
                if let Kind::Row { cells, .. } = &mut block.kind
                    && let Some(cell) = cells.last_mut()
                {
                    cell.end = end.max(cell.start);
                    cell.start = cell.start.min(end);
                }
            }
            Event::Start(Tag::Image { .. }) => images += 1,
            Event::End(TagEnd::Image) => images = images.saturating_sub(1),
            Event::Text(said) | Event::Code(said) if images == 0 => {
                for (n, part) in said.split('\n').enumerate() {
                    if n > 0 {
                        block.blank();
                    }
                    block.push(part, line(at.start) + n);
                }
            }
            Event::SoftBreak | Event::HardBreak => block.blank(),
            _ => {}
        }
    }
    read.add(block);
    read
}
