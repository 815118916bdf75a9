//! A part that was boxed and read, as one list of edits.
//!
//! In: the dossier as it is, a box on one of its photographs, a marking, what was chosen. Out: edits that record the
//! region, the measure where there is a scale, the item with what was seen of it and what it is taken to be.
//! Nothing is written here; who sends the edits takes them back as one.

mod named;

use super::bodies::{boards, is_in};
use crate::desk::View;
use crate::{Problem, free_id, picture};
use named::{Named, id, name};
pub(super) use named::{filled, slug};
use record::marking::Seen;
use record::{Edit, Identity, Item, ItemKind, Photo, Place, Position};
use serde::{Deserialize, Serialize};
use serde_json::{Value as Json, json};

/// A box as it is recorded.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Boxed {
    /// Its corners, clockwise from the upper left, pixels of the upright photograph.
    pub corners: [[f64; 2]; 4],
    /// Three points on each side; none where no side has a clear edge.
    #[serde(default)]
    pub at: Vec<[f64; 2]>,
    /// The uncertainty of each, as a measure records it.
    #[serde(default)]
    pub snapped: Vec<[f64; 3]>,
    /// What became of its sides, in words.
    #[serde(default)]
    pub told: String,
}

/// A part to be taken.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Taking {
    /// The photograph.
    pub photo: String,
    /// Its outline there.
    pub boxed: Boxed,
    /// The marking as typed; empty where there is none.
    #[serde(default)]
    pub marking: String,
    /// What it is taken to be; left open without.
    #[serde(default)]
    pub identity: Option<Identity>,
    /// Its package.
    #[serde(default)]
    pub package: Option<String>,
    /// Its pins.
    #[serde(default)]
    pub pins: Option<u32>,
    /// Reference printed beside it.
    #[serde(default)]
    pub designator: Option<String>,
    /// The item, where it is recorded already.
    #[serde(default)]
    pub item: Option<String>,
}

/// What takes a part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TakenPart {
    /// Its item.
    pub item: String,
    /// Its name.
    pub name: String,
    /// Its region on the photograph.
    pub region: String,
    /// The edits, to be taken as one.
    pub edits: Vec<Edit>,
}

/// Returns the edits that record a part.
///
/// # Errors
/// No such photograph or item; a marking that cannot be read.
pub fn take(view: &View, taking: &Taking) -> Result<TakenPart, Problem> {
    let photo = view.dossier.photo(&taking.photo);
    let photo = photo.ok_or_else(|| picture::no_photo(&view.dossier, &taking.photo))?;
    let marking = lines(&taking.marking)?;
    let recorded = match &taking.item {
        Some(id) => Some(view.dossier.item(id).ok_or_else(|| {
            let message = format!("there is no item with the id \"{id}\"");
            Problem::missing(message, "take it as a new part")
        })?),
        None => None,
    };
    let mut list = List {
        view,
        photo,
        taking,
        edits: Vec::new(),
    };
    let (item, name) = match recorded {
        Some(item) => (item.id.clone(), list.again(item, &marking)),
        None => list.item(&marking),
    };
    let region = list.region(&item, &name);
    if recorded.is_none() {
        list.evidence(&item, &region);
    }
    list.measure(&item, &region);
    Ok(TakenPart {
        item,
        name,
        region,
        edits: list.edits,
    })
}

/// Reads a marking and returns its lines as the record keeps them.
fn lines(marking: &str) -> Result<Vec<String>, Problem> {
    let seen = Seen::parse(marking.trim()).map_err(|e| {
        let message = format!("the marking “{marking}”: {}", e.message);
        Problem::unfit(message, e.remedy)
    })?;
    let lines = seen.lines.iter().map(ToString::to_string);
    Ok(lines.filter(|line| !line.trim().is_empty()).collect())
}

/// Edits being put together.
struct List<'v> {
    view: &'v View,
    photo: &'v Photo,
    taking: &'v Taking,
    edits: Vec<Edit>,
}

impl List<'_> {
    fn add(&mut self, to: Place, entry: Json) {
        self.edits.push(Edit::Add {
            to,
            entry,
            position: Position::Last,
        });
    }

    fn set(&mut self, at: Place, new: Json, old: Json) {
        if new != old {
            let old = Some(old);
            self.edits.push(Edit::Set { at, new, old });
        }
    }

    /// Adds the item; returns its id and name.
    fn item(&mut self, marking: &[String]) -> (String, String) {
        let parent = self.parent();
        let taking = self.taking;
        let designator = filled(taking.designator.as_deref());
        let items = &self.view.dossier.items;
        let id = id(&parent, designator, marking, items);
        let name = name(&Named {
            role: None,
            designator,
            called: taking.identity.as_ref().map(|i| i.name.as_str()),
            id: &id,
        });
        let mut part = json!({});
        if !marking.is_empty() {
            part["marking"] = json!(marking);
        }
        for (key, value) in [
            ("package", json!(filled(taking.package.as_deref()))),
            ("pins", json!(taking.pins)),
            ("identity", json!(taking.identity)),
        ] {
            if !value.is_null() {
                part[key] = value;
            }
        }
        let mut entry = json!({ "id": id, "name": name, "kind": "part", "parent": parent });
        if let Some(designator) = designator {
            entry["designator"] = json!(designator);
        }
        entry["part"] = part;
        self.add(Place::dossier().at("items"), entry);
        (id, name)
    }

    /// Changes an item that is recorded already to what was seen now; returns its name.
    fn again(&mut self, item: &Item, marking: &[String]) -> String {
        let at = |key: &str| Place::item(&item.id).at("part").at(key);
        let facts = item.part.clone().unwrap_or_default();
        let taking = self.taking;
        let known = |list: &[String]| match list {
            [] => Json::Null,
            lines => json!(lines),
        };
        self.set(at("marking"), known(marking), known(&facts.marking));
        let mut identity = taking.identity.clone();
        if let (Some(new), Some(old)) = (&mut identity, &facts.identity) {
            new.evidence.clone_from(&old.evidence);
        }
        self.set(at("identity"), json!(identity), json!(facts.identity));
        if let Some(package) = filled(taking.package.as_deref()).filter(|_| facts.package.is_none())
        {
            self.set(at("package"), json!(package), Json::Null);
        }
        if let Some(pins) = taking.pins.filter(|_| facts.pins.is_none()) {
            self.set(at("pins"), json!(pins), Json::Null);
        }
        item.name.clone()
    }

    /// The board that the part is on; else what the photograph shows; else the product.
    fn parent(&self) -> String {
        let corners = &self.taking.boxed.corners;
        let middle = [0, 1].map(|i: usize| corners.iter().map(|c| c[i]).sum::<f64>() / 4.0);
        let area = |r: &[f64; 4]| (r[2] - r[0]) * (r[3] - r[1]);
        let boards = boards(self.view, &self.photo.regions).into_iter();
        let around = boards.filter(|(rect, _)| is_in(middle, rect));
        if let Some((_, board)) = around.min_by(|a, b| area(&a.0).total_cmp(&area(&b.0))) {
            return board;
        }
        let items = &self.view.dossier.items;
        let whole = |item: &&Item| {
            use ItemKind as K;
            matches!(item.kind, K::Board | K::Flex | K::Assembly | K::Product)
        };
        let of = |id: &str| items.iter().find(|item| item.id == id);
        let shown = self
            .photo
            .regions
            .iter()
            .filter_map(|r| of(r.item.as_deref()?));
        let subject = shown.clone().find(whole).or_else(|| {
            let mut parents = shown.filter_map(|item| of(item.parent.as_deref()?));
            parents.find(whole)
        });
        let root = subject.or_else(|| items.iter().find(|item| item.parent.is_none()));
        root.expect("a record that reads has its product among the items")
            .id
            .clone()
    }

    /// The region of the part on this photograph; adds it where there is none.
    fn region(&mut self, item: &str, name: &str) -> String {
        let mut regions = self.photo.regions.iter();
        if let Some(region) = regions.find(|r| r.item.as_deref() == Some(item)) {
            return region.id.clone();
        }
        let wanted = filled(self.taking.designator.as_deref()).map(slug);
        let wanted = wanted.filter(|id| !id.is_empty());
        let wanted = wanted.unwrap_or_else(|| item.to_string());
        let id = free_id(&wanted, |id| {
            self.photo.regions.iter().any(|region| region.id == id)
        });
        let entry = json!({
            "id": id,
            "rect": rect(&self.taking.boxed.corners, self.photo.pixels),
            "item": item,
            "caption": name,
        });
        self.add(Place::photo(&self.photo.id).at("regions"), entry);
        id
    }

    /// Ties a new item, and what it is taken to be, to its region.
    fn evidence(&mut self, item: &str, region: &str) {
        let seen = json!([Place::region(&self.photo.id, region).to_string()]);
        for edit in &mut self.edits {
            let Edit::Add { entry, .. } = edit else {
                continue;
            };
            if entry["id"] != json!(item) || entry.get("kind").is_none() {
                continue;
            }
            entry["evidence"] = seen.clone();
            if let Some(identity) = entry["part"].get_mut("identity") {
                identity["evidence"] = seen.clone();
            }
        }
    }

    /// The measure of its outline, where the photograph has a scale and the sides have edges.
    fn measure(&mut self, item: &str, region: &str) {
        let boxed = &self.taking.boxed;
        if !self.photo.has_reference() || boxed.at.is_empty() {
            return;
        }
        let dossier = &self.view.dossier;
        let id = free_id(&format!("{item}-body"), |id| dossier.measure(id).is_some());
        let mut entry = json!({
            "id": id,
            "photo": self.photo.id,
            "item": item,
            "region": region,
            "what": "body",
            "at": boxed.at,
            "on-sides": true,
            "snapped": boxed.snapped,
        });
        let older = dossier
            .current_measures()
            .find(|measure| measure.item.as_deref() == Some(item) && measure.what.word() == "body");
        if let Some(older) = older {
            if older.at == boxed.at {
                return;
            }
            entry["replaces"] = json!(older.id);
        }
        if !boxed.told.is_empty() {
            entry["note"] = json!(boxed.told);
        }
        self.add(Place::dossier().at("measures"), entry);
    }
}

/// The upright frame around corners: left, top, width and height in whole pixels of the photograph.
pub(super) fn rect(corners: &[[f64; 2]; 4], pixels: Option<[u32; 2]>) -> [u32; 4] {
    let bound = |i: usize| {
        let most = pixels.map_or(f64::from(u32::MAX), |p| f64::from(p[i]));
        let of = corners.iter().map(move |c| c[i].clamp(0.0, most));
        let least = of.clone().fold(f64::INFINITY, f64::min).round();
        let greatest = of.fold(0.0, f64::max).round();
        [least as u32, (greatest - least).max(1.0) as u32]
    };
    let ([x, w], [y, h]) = (bound(0), bound(1));
    [x, y, w, h]
}

/// What a part does, to be recorded.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct RoleTaking {
    /// Its item.
    pub item: String,
    /// What it does; empty for not known.
    pub role: String,
    /// Whether that was looked up for what it is taken to be.
    #[serde(default)]
    pub from_catalogue: bool,
    /// Reference printed beside it.
    #[serde(default)]
    pub designator: Option<String>,
    /// How many equal ones there are.
    #[serde(default)]
    pub count: Option<u32>,
    /// Whether its name is to follow.
    #[serde(default)]
    pub named: bool,
}

/// Returns the edits that record what a part does.
///
/// A role that was looked up is recorded as such: it is no clue for the marking, or the identity would prove itself.
pub fn role(taking: &RoleTaking) -> Vec<Edit> {
    let at = |key: &str| Place::item(&taking.item).at(key);
    let set = |key: &str, new: Json| Edit::Set {
        at: at(key),
        new,
        old: None,
    };
    let mut edits = Vec::new();
    if let Some(role) = filled(Some(&taking.role)) {
        let origin = match taking.from_catalogue {
            true => "catalogue",
            false => "analyst",
        };
        edits.push(set("role", json!(role)));
        edits.push(set("role-origin", json!(origin)));
        if taking.named {
            let name = name(&Named {
                role: Some(role),
                designator: filled(taking.designator.as_deref()),
                called: None,
                id: &taking.item,
            });
            edits.push(set("name", json!(name)));
        }
    }
    if let Some(count) = taking.count.filter(|count| *count > 1) {
        edits.push(set("count", json!(count)));
    }
    edits
}
