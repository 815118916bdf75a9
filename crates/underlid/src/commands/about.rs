//! `underlid completions` and `underlid man`: what shells and readers of manuals take from the command line's own
//! description.

use crate::arguments::{Arguments, Format};
use crate::failure::Failure;
use crate::screen;
use app::Problem;
use clap::CommandFactory as _;
use clap_complete::Shell;

pub(crate) fn completions(shell: Shell, format: Format) -> Result<(), Failure> {
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "underlid", &mut text);
    screen::print_text(format, &String::from_utf8_lossy(&text))
}

pub(crate) fn man(words: &[String], format: Format) -> Result<(), Failure> {
    let mut command = Arguments::command();
    command.build();
    for word in words {
        let found = command.find_subcommand(word).cloned();
        command = found.ok_or_else(|| {
            let names: Vec<&str> = command
                .get_subcommands()
                .map(clap::Command::get_name)
                .collect();
            let remedy = match names.is_empty() {
                true => format!("{} has no commands in it", command.get_name()),
                false => format!("choose one of: {}", names.join(", ")),
            };
            let word = record::visible(word);
            Problem::unfit(format!("there is no command “{word}”"), remedy)
        })?;
    }
    let inner = command.get_subcommands().map(clap::Command::get_name);
    let inner: Vec<String> = inner.map(ToString::to_string).collect();
    let mut page = Vec::new();
    clap_mangen::Man::new(command)
        .render(&mut page)
        .map_err(Failure::Unprinted)?;
    let page = String::from_utf8_lossy(&page);
    match format {
        Format::Text => screen::print(&page),
        Format::Json => screen::print_json(&serde_json::json!({ "text": page, "commands": inner })),
    }
}
