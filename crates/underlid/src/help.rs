//! The list of commands in the order of the work, for `--help`.
//!
//! In: the command line as data. Out: the same with its commands in groups. A command that no group names stands
//! with the last.

use clap::Command;
use std::fmt::Write as _;

const GROUPS: &[(&str, &[&str])] = &[
    ("Begin", &["demo", "new", "serve"]),
    ("Record", &["add", "set", "remove", "check", "tasks"]),
    ("Conclude", &["examine", "ready", "publish", "verify"]),
    ("Many dossiers", &["library", "past"]),
    ("Photographs", &["measure", "outlines", "picture"]),
    ("Parts", &["read", "catalogue"]),
    ("Films, sound and logs", &["captions", "listen", "log"]),
    ("Bench", &["bench"]),
    (
        "About Underlid",
        &["schema", "completions", "man", "notices"],
    ),
];

/// Puts the commands into groups.
pub(crate) fn grouped(command: Command) -> Command {
    let mut listed = String::new();
    let known = |name: &str| GROUPS.iter().any(|(_, names)| names.contains(&name));
    let commands: Vec<&Command> = command.get_subcommands().collect();
    let width = commands.iter().map(|c| c.get_name().len()).max();
    let width = width.unwrap_or_default();
    for (at, (heading, names)) in GROUPS.iter().enumerate() {
        let own = names
            .iter()
            .filter_map(|name| commands.iter().find(|c| c.get_name() == *name));
        let is_last = at + 1 == GROUPS.len();
        let others = commands
            .iter()
            .filter(|c| is_last && !known(c.get_name()) && c.get_name() != "help");
        // Writing to a String cannot fail.
        let _ = writeln!(listed, "{heading}:");
        for command in own.chain(others) {
            let about = command.get_about().map(ToString::to_string);
            let _ = writeln!(
                listed,
                "  {:width$}  {}",
                command.get_name(),
                about.unwrap_or_default()
            );
        }
        listed.push('\n');
    }
    command.help_template(format!(
        "{{about-with-newline}}\n{{usage-heading}} {{usage}}\n\n{listed}Options:\n{{options}}{{after-help}}"
    ))
}
