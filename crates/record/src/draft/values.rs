//! What stands where in a text: for pages that show it and for edits that say what they found.
//!
//! In: a text that is TOML. Out: values by place, as JSON with the keys of the format; entries of lists.
//! Not here: what the values mean (`read`).

use super::spot::View;
use crate::Place;
use crate::grammar::{Kind, ROOT};
use crate::place::numbered;
use crate::place::{Segment, Tree as _};
use serde_json::Value as Json;

/// The values of a text, by place.
pub struct Values<'t>(View<'t>);

impl<'t> Values<'t> {
    /// Looks at a text.
    pub fn of(text: &'t str) -> Self {
        Self(View::of(&ROOT, text))
    }

    /// Returns what stands at a place, as edits expect it; nothing where it is not given.
    pub fn at(&self, place: &Place) -> Option<Json> {
        self.0.present(place)
    }

    /// Returns the places of the entries of a list, in their order.
    pub fn entries(&self, list: &Place) -> Vec<Place> {
        let Some(segments) = list.segments() else {
            return Vec::new();
        };
        let mut table = &ROOT;
        for segment in segments {
            let Segment::Key(key) = segment else { continue };
            match table.key(key).map(|k| &k.kind) {
                Some(Kind::Table(inner) | Kind::Inline(inner) | Kind::Tables(inner)) => {
                    table = inner;
                }
                _ => return Vec::new(),
            }
        }
        let nodes = self.0.tree(list).and_then(|node| node.elements());
        let names = numbered(table, nodes.unwrap_or_default());
        let place = |name| list.clone().with(Segment::Entry(name));
        names.into_iter().map(place).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn values_stand_where_edits_expect_them() {
        let text = "format = 1\n[product]\nname = \"A\"\nmaker = \"B\"\nopened = 2026-01-05\n\
                    [[claims]]\nid = \"light\"\ntext = \"48 g\"\nprinted = \"box\"\nkind = \"mass\"\n\
                    value = \"48 g\"\n[[claims]]\nid = \"quick\"\ntext = \"Quick\"\nprinted = \"box\"\nkind = \"slogan\"\n";
        let values = Values::of(text);
        let at = |place: &str| values.at(&place.parse().unwrap());
        assert_eq!(at("product.name"), Some(json!("A")));
        assert_eq!(at("product.opened"), Some(json!("2026-01-05")));
        assert_eq!(at("claims.light.value"), Some(json!("48 g")));
        assert_eq!(at("claims.light.note"), None);
        let claims = values.entries(&Place::dossier().at("claims"));
        assert_eq!(claims, [Place::claim("light"), Place::claim("quick")]);
        assert!(values.entries(&Place::dossier().at("steps")).is_empty());
    }
}
