//! One editable value of the record: label, value, the place it is written to, and what stood there.
//!
//! In: a place. Out: a form that saves without script, and that the pages' own client takes over.
//! Not here: reading what is typed (`ask::would`), writing it (`edits`).

use crate::pages::Context;
use maud::{Markup, html};
use record::{Field, Place, field_at};
use serde_json::Value as Json;

/// How a field stands on its page.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Look<'a> {
    /// The label; the key in words where none is given.
    pub(crate) label: Option<&'a str>,
    /// Whether the label is read but not seen, as a heading of the column says it.
    pub(crate) quiet: bool,
    /// Whether it may have several lines.
    pub(crate) long: bool,
    /// Whether it is one line that wraps instead of being cut.
    pub(crate) wraps: bool,
    /// Further words for its class.
    pub(crate) class: &'a str,
}

/// Writes the field of a place.
pub(crate) fn field(context: &Context<'_>, at: &Place, look: Look<'_>) -> Markup {
    let Some(kind) = field_at(at) else {
        return html! {};
    };
    let present = context.values.at(at).unwrap_or(Json::Null);
    let words = kind.words(&present);
    let id = report::anchor("f", &at.to_string());
    let key = label_of(&kind);
    let label = look.label.unwrap_or(&key);
    html! {
        form class={ "field " (look.class) } method="post" action={ "/d/" (context.view.id) "/edits" } data-field {
            input type="hidden" name="at" value=(at);
            input type="hidden" name="old" value=(present.to_string());
            input type="hidden" name="back" value=(context.station.path());
            label for=(id) class=[look.quiet.then_some("unseen")] { (label) }
            @if look.wraps {
                textarea id=(id) name="new" data-shape=(kind.shape().word()) data-line rows="1" class="line"
                    aria-describedby={ (id) "-reads" } autocomplete="off" enterkeyhint="next" { (words) }
            } @else {
                (control(&kind, &id, "new", &words, look.long))
            }
            p class="reads" id={ (id) "-reads" } {}
        }
    }
}

/// Returns the key of a field in words.
pub(crate) fn label_of(field: &Field) -> String {
    field
        .path
        .rsplit('.')
        .next()
        .unwrap_or_default()
        .replace('-', " ")
}

/// Returns an example of a quantity, which nobody can take for a value that is recorded.
pub(crate) fn example(kind: &Field) -> Option<String> {
    kind.is_quantity()
        .then(|| format!("such as {}", kind.example()))
}

/// Returns the unit of the value that stands in a field, which a bare number of an instrument takes over.
fn unit_of(kind: &Field, words: &str) -> Option<String> {
    let stated = quantity::Stated::parse(words).ok();
    let stated = stated.filter(|stated| kind.is_quantity() && !stated.unit.symbol().is_empty())?;
    Some(stated.unit.symbol().to_string())
}

/// Writes the control of a field by itself, for forms with several.
pub(crate) fn control(kind: &Field, id: &str, name: &str, words: &str, long: bool) -> Markup {
    let shape = kind.shape().word();
    let choices = kind.choices();
    let reads = format!("{id}-reads");
    html! {
        @if !choices.is_empty() && !kind.is_list() {
            select id=(id) name=(name) data-shape=(shape) aria-describedby=(reads) {
                option value="" selected[words.is_empty()] { "" }
                @for (word, doc) in &choices {
                    option value=(word) title=(doc) selected[words == *word] { (word.replace('-', " ")) }
                }
            }
        } @else if shape == "boolean" {
            select id=(id) name=(name) data-shape=(shape) aria-describedby=(reads) {
                @for word in ["", "yes", "no"] {
                    option value=(word) selected[words == word] { (word) }
                }
            }
        } @else if long || kind.is_running_text() || words.contains('\n') {
            textarea id=(id) name=(name) data-shape=(shape) rows=(words.lines().count().clamp(1, 12))
                aria-describedby=(reads) autocomplete="off" { (words) }
        } @else {
            input id=(id) name=(name) value=(words) data-shape=(shape) aria-describedby=(reads)
                autocomplete="off" enterkeyhint="next" spellcheck="false"
                data-quantity[kind.is_quantity()] data-unit=[unit_of(kind, words)] placeholder=[example(kind)];
        }
    }
}
