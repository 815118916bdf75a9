//! Text in other scripts than Latin, marked for the browser.
//!
//! In: a finished page. Out: the same page, in which each piece of text in another script stands in an element of its
//! own with the tag of its script and its own direction, so that a name that runs to the left does not turn the
//! sentence around it, and typefaces and voices fit. A page in Latin text stays as it is, byte by byte.
//! Not here: drawings (they mark their own text), titles (they hold no elements).
//!
//! Source: HTML Standard, 4.5.24 (the `bdi` element); BCP 47 (tags).

/// Elements whose content is no text of the page.
const LEFT_ALONE: [&str; 5] = ["style", "script", "title", "svg", "textarea"];

/// Marks the text of a page. Angle brackets stand for tags only: text and attributes have theirs escaped.
pub(super) fn marked(page: &str) -> String {
    let mut out = String::with_capacity(page.len());
    let mut rest = page;
    let mut inside: Option<&str> = None;
    while let Some(at) = rest.find('<') {
        text(&mut out, &rest[..at], inside.is_none());
        let end = rest[at..].find('>').map_or(rest.len(), |n| at + n + 1);
        let tag = &rest[at..end];
        match inside {
            None => inside = LEFT_ALONE.into_iter().find(|name| opens(tag, name)),
            Some(name) if tag.strip_prefix("</").is_some_and(|t| t.starts_with(name)) => {
                inside = None;
            }
            Some(_) => {}
        }
        out.push_str(tag);
        rest = &rest[end..];
    }
    text(&mut out, rest, inside.is_none());
    out
}

fn opens(tag: &str, name: &str) -> bool {
    tag.strip_prefix('<')
        .and_then(|t| t.strip_prefix(name))
        .is_some_and(|after| after.starts_with([' ', '>', '\n']))
}

fn text(out: &mut String, text: &str, marks: bool) {
    if !marks || text.is_ascii() {
        out.push_str(text);
        return;
    }
    for (piece, tag) in lettering::runs(text) {
        match tag {
            Some(tag) => {
                out.push_str("<bdi lang=\"");
                out.push_str(tag);
                out.push_str("\" dir=\"auto\">");
                out.push_str(piece);
                out.push_str("</bdi>");
            }
            None => out.push_str(piece),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::marked;

    #[test]
    fn names_in_other_scripts_have_their_tag_and_direction() {
        let page =
            "<p title=\"光\">Weight of סוללה קטנה is 3 g</p><svg><text>光</text></svg><p>光</p>";
        assert_eq!(
            marked(page),
            "<p title=\"光\">Weight of <bdi lang=\"und-Hebr\" dir=\"auto\">סוללה קטנה</bdi> is 3 g</p>\
             <svg><text>光</text></svg><p><bdi lang=\"und-Hani\" dir=\"auto\">光</bdi></p>"
        );
    }

    #[test]
    fn a_page_in_latin_stays_as_it_is() {
        let page =
            "<style>a>b{}</style><title>光</title><p>3 µm ± 1 °C – Ω &amp; 5 &lt; 6</p> tail <";
        assert_eq!(marked(page), page);
    }
}
