//! `underlid past`: texts published before, read for parts and taken into a library.

use crate::arguments::{Format, PastArguments};
use crate::failure::Failure;
use crate::progress::Terminal;
use crate::screen::{self, shown};
use app::past::{
    PastOptions, PastProduct, PastRead, PastTaken, Taking, past, read_list, take, write_list,
};
use jiff::Timestamp;
use record::visible;
use std::fmt::Write as _;

pub(crate) fn run(arguments: PastArguments, format: Format) -> Result<(), Failure> {
    let options = PastOptions {
        texts: arguments.texts,
        catalogues: arguments.catalogues.clone(),
    };
    let read = past(&options, &Terminal)?;
    for problem in &read.unread {
        screen::tell(&format!(
            "passed over: {problem}\n  try: {}",
            problem.remedy
        ));
    }
    let Some(library) = arguments.into else {
        if let Some(list) = &arguments.list {
            write_list(list, &read.products)?;
        }
        let text = match format {
            Format::Json => json(&read, &[]),
            Format::Text => {
                let written = arguments.list.as_ref();
                let written = written.map_or(String::new(), |list| {
                    format!("Written to {}\n", shown(list))
                });
                preview(&read.products) + &written
            }
        };
        return screen::print_as(format, &text);
    };
    let decisions = match &arguments.list {
        Some(list) => read_list(list)?,
        None => Vec::new(),
    };
    let name = arguments.name.or_else(|| std::env::var("USER").ok());
    let taking = Taking {
        library,
        catalogues: arguments.catalogues,
        by: name.unwrap_or_else(|| "here".to_string()).into(),
        at: Timestamp::now(),
    };
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .map_err(Failure::Unprinted)?;
    let taken = runtime.block_on(take(&taking, &read.products, &decisions))?;
    let text = match format {
        Format::Json => json(&read, &taken),
        Format::Text => told(&taken),
    };
    screen::print_as(format, &text)
}

fn json(read: &PastRead, taken: &[PastTaken]) -> String {
    let unread: Vec<String> = read.unread.iter().map(ToString::to_string).collect();
    let mut answer = serde_json::json!({ "products": read.products, "unread": unread });
    if !taken.is_empty() {
        answer["taken"] = serde_json::json!(taken);
    }
    format!("{answer:#}\n")
}

fn preview(products: &[PastProduct]) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    for product in products {
        let _ = writeln!(out, "{}", visible(&product.product));
        for text in &product.texts {
            let _ = writeln!(
                out,
                "  {}: {} parts",
                visible(&text.file),
                text.found.parts.len()
            );
            for part in &text.found.parts {
                let of = |what: &Option<String>| what.as_deref().map_or("not told".into(), visible);
                let known = if part.known { ", in a catalogue" } else { "" };
                let _ = writeln!(
                    out,
                    "    {} ({:.2}{known}); maker: {}; role: {}",
                    visible(&part.part),
                    part.probability,
                    of(&part.maker),
                    of(&part.role)
                );
                for quote in &part.quotes {
                    let _ = writeln!(
                        out,
                        "      line {}: {}",
                        quote.line,
                        visible(&quote.sentence)
                    );
                }
            }
        }
    }
    out
}

fn told(taken: &[PastTaken]) -> String {
    let mut out = String::new();
    for product in taken {
        let new = if product.is_new {
            "new"
        } else {
            "there already"
        };
        let _ = writeln!(
            out,
            "{} ({new}): {} accepted, {} refused, {} to look at",
            visible(&product.product),
            product.accepted,
            product.refused,
            product.waiting
        );
    }
    out
}
