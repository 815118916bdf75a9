//! Films: times have their form, cuts name clips of their film and run forwards.

use super::{Check, nearest};
use crate::FilmTime;
use crate::film_time::EXAMPLE;
use crate::tree::Node;
use serde_json::Value as Json;

impl Check<'_> {
    pub(super) fn film_time(&mut self, node: &Node, key: &str) -> Option<Json> {
        let remedy = format!("write minutes and seconds in quotes: \"{EXAMPLE}\"");
        let Some(text) = node.as_text() else {
            self.wrong_kind(node, key, "a time of a film", &remedy);
            return None;
        };
        match text.parse::<FilmTime>() {
            Ok(time) => Some(time.to_string().into()),
            Err(_) => {
                self.report(
                    &node.span,
                    format!("`{key}` is not a time of a film"),
                    remedy,
                );
                None
            }
        }
    }
}

pub(super) fn films(check: &mut Check<'_>, root: &Node) {
    for film in root.list("films") {
        let clips: Vec<&str> = film
            .list("clips")
            .iter()
            .filter_map(|c| c.text("name"))
            .collect();
        for (at, clip) in film.list("clips").iter().enumerate() {
            if let Some(name) = clip.get("name")
                && name
                    .as_text()
                    .is_some_and(|n| clips[..at.min(clips.len())].contains(&n))
            {
                check.report(
                    &name.span,
                    "another clip has this name",
                    "give each its own name",
                );
            }
        }
        for cut in film.list("cuts") {
            cut_of(check, cut, &clips);
        }
    }
}

fn cut_of(check: &mut Check<'_>, cut: &Node, clips: &[&str]) {
    if let Some(node) = cut.get("clip")
        && let Some(name) = node.as_text()
        && !clips.contains(&name)
        && !check.partial
    {
        let remedy = match nearest(name, clips.iter().copied()) {
            Some(near) => format!("write \"{near}\""),
            None => "add it under [[films.clips]], or correct the name".to_string(),
        };
        let told = crate::source::excerpt(name);
        check.report(
            &node.span,
            format!("the film has no clip \"{told}\""),
            remedy,
        );
    }
    let time = |key| cut.text(key)?.parse::<FilmTime>().ok();
    if let (Some(from), Some(to), Some(node)) = (time("from"), time("to"), cut.get("to"))
        && to <= from
    {
        check.report(
            &node.span,
            format!("`to` ({to}) is not after `from` ({from})"),
            "correct one of the two",
        );
    }
}
