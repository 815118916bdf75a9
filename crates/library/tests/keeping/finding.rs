//! What is found, and what is told of what is not indexed yet.

use crate::bench::{AT, answer, category, lamp, list, send};
use library::{
    DossierId, FigureRange, Find, Found, Indexed, Library, Part, Thing, ThingKind, Verdicts, Which,
};
use record::{Certainty, Place};
use serde_json::Value as Json;

fn item(id: &str, text: &str, [name, maker, role, package]: [&str; 4], marking: &[&str]) -> Thing {
    Thing {
        kind: ThingKind::Item,
        id: id.to_string(),
        text: text.to_string(),
        place: Some(Place::item(id)),
        part: Some(Part {
            name: name.to_string(),
            marking: marking.iter().map(ToString::to_string).collect(),
            maker: maker.to_string(),
            role: role.to_string(),
            package: package.to_string(),
            certainty: Some(Certainty::Read),
        }),
    }
}

fn claim(id: &str, text: &str) -> Thing {
    Thing {
        kind: ThingKind::Claim,
        id: id.to_string(),
        text: text.to_string(),
        place: Some(Place::claim(id)),
        part: None,
    }
}

/// A bicycle lamp and a door bell of one revision each.
pub(crate) fn vellit() -> Indexed {
    Indexed {
        revision: 1,
        product: "Vellit 2".to_string(),
        maker: "Quenmora".to_string(),
        model: "VL-2".to_string(),
        category: "bicycle lamp".to_string(),
        things: vec![
            claim("charge", "Charges in 75 min."),
            item(
                "touch",
                "Touch chip",
                ["OXT7", "Oxquillon", "touch controller", "QFN-16"],
                &["OXT7", "26W"],
            ),
            item(
                "motion",
                "Motion chip",
                ["TH310", "Threndova", "motion sensor", "LGA-8"],
                &["TH31?", "[8B]24"],
            ),
        ],
        verdicts: Verdicts {
            fails: 1,
            holds: 4,
            ..Verdicts::default()
        },
        figures: vec![FigureRange::of("run-time", "time", 68_400.0, 86_400.0)],
        compared: library::Compared::default(),
        rests: vec!["TH31B".to_string()],
    }
}

pub(crate) fn bell() -> Indexed {
    Indexed {
        revision: 1,
        product: "Ondrel Bell".to_string(),
        maker: "Oxquillon".to_string(),
        category: "door bell".to_string(),
        things: vec![
            claim("range", "Heard through three doors, 10 \u{b5}A at rest."),
            item(
                "radio",
                "Radio chip",
                ["TH-KARN2", "Threndova", "radio", "QFN-48"],
                &["TH-KARN2", "40F0"],
            ),
            item(
                "touch",
                "Charger",
                ["BWR58", "Bramwhist", "charger", "DFN-10"],
                &["BWR58", "~2"],
            ),
        ],
        verdicts: Verdicts {
            holds: 2,
            undecided: 3,
            ..Verdicts::default()
        },
        figures: vec![FigureRange::of("run-time", "time", 3600.0, f64::INFINITY)],
        ..Indexed::default()
    }
}

async fn both(library: &Library) -> [DossierId; 2] {
    let ids = [lamp(library).await, lamp(library).await];
    for (id, indexed) in ids.iter().zip([vellit(), bell()]) {
        library.index(id, &indexed).await.expect("there");
    }
    ids
}

fn products(found: &Found) -> Vec<&str> {
    found.hits.iter().map(|hit| hit.product.as_str()).collect()
}

async fn found(library: &Library, line: &str) -> Found {
    let find = Find::read(line).expect("it reads");
    library.find(&find).await.expect("in reach")
}

/// Lines, and the first letters of the products that they find, in order.
pub(crate) async fn each_condition_is_met(library: Library) {
    both(&library).await;
    let expected = [
        ("", "OV"),
        ("vell", "V"),
        ("VELLIT 2", "V"),
        // A product of that name stands before one that holds a part by it.
        ("oxq", "OV"),
        ("quenmora OXT7", "V"),
        ("th-karn2", "O"),
        ("THKARN", "O"),
        ("10 \u{3bc}A", "O"),
        ("Ｏｘｔ７", "V"),
        ("qfn16", "V"),
        ("nothing", ""),
        ("part:oxt", "V"),
        ("part:bell", ""),
        ("category:bell", "O"),
        ("role:\"motion sensor\"", "V"),
        ("maker:Threndova", "OV"),
        ("maker:Oxquillon", "OV"),
        // One part is to be both.
        ("maker:Threndova role:charger", ""),
        ("maker:Bramwhist role:charger", "O"),
        ("maker:Threndova role:charger part:BWR58", ""),
        ("maker:Oxquillon role:touch", "V"),
        ("marking:TH310", "V"),
        ("marking:TH31[8B]", "V"),
        ("TH31?", "V"),
        ("marking:?XT7", "V"),
        ("marking:[8B]24|TH3", "V"),
        ("marking:B24", "V"),
        ("marking:C24", ""),
        ("marking:TH", "OV"),
        ("marking:TH maker:Threndova role:radio", "O"),
        ("fails:>0", "V"),
        ("fails:0", "O"),
        ("holds:2..4", "OV"),
        ("undecided>=3 holds<3", "O"),
        ("run-time>23h", "OV"),
        ("run-time>25h", "O"),
        ("run-time<2h", "O"),
        ("run-time:1..2h", "O"),
        ("run-time>20g", ""),
        ("maker:Threndova OXT7 run-time>20h fails:>0", "V"),
    ];
    for (line, initials) in expected {
        let found = found(&library, line).await;
        let told: String = products(&found).iter().map(|name| &name[..1]).collect();
        assert_eq!(told, initials, "{line}");
        assert!(!found.more);
    }
}

pub(crate) async fn hits_tell_what_matched_and_where(library: Library) {
    let [id, _] = both(&library).await;
    let told = found(&library, "motion threndova").await;
    let hit = &told.hits[0];
    assert_eq!((&hit.dossier, hit.revision, hit.latest), (&id, 1, 1));
    assert_eq!((hit.verdicts.holds, hit.verdicts.fails), (4, 1));
    let first = &hit.matched[0];
    assert_eq!(first.place, Some(Place::item("motion")));
    let part = first.part.as_ref().expect("a part");
    assert_eq!(
        (part.name.as_str(), part.package.as_str()),
        ("TH310", "LGA-8")
    );
    assert_eq!(hit.matched.len(), 1);
    let claims = found(&library, "charges 75").await;
    let matched = &claims.hits[0].matched[0];
    assert_eq!(
        (matched.kind, matched.id.as_str()),
        (ThingKind::Claim, "charge")
    );
}

pub(crate) async fn the_best_stand_first_and_pages_follow_each_other(library: Library) {
    // Each is indexed after the one before; the names begin alike from the second on.
    let names = ["Charge", "Other", "Charger", "Charger", "Other"];
    let mut ids = Vec::new();
    for (at, name) in names.iter().enumerate() {
        let id = lamp(&library).await;
        let mut indexed = Indexed {
            revision: 1,
            product: (*name).to_string(),
            ..Indexed::default()
        };
        let text = if at == 1 { "the charge" } else { "charged" };
        indexed.things.push(claim("c", text));
        library.index(&id, &indexed).await.expect("there");
        ids.push(id);
    }
    // By the product's name, the one indexed last first; then the whole word; then its beginning.
    let order = [3, 2, 0, 1, 4].map(|at| ids[at].clone());
    let mut find = Find::read("charge").expect("it reads");
    let mut seen = Vec::new();
    find.most = 2;
    loop {
        let page = library.find(&find).await.expect("in reach");
        seen.extend(page.hits.into_iter().map(|hit| hit.dossier));
        find.from += 2;
        if !page.more {
            break;
        }
    }
    assert_eq!(seen, order);
}

pub(crate) async fn the_newest_revision_wins_in_whatever_order_they_come(library: Library) {
    let id = lamp(&library).await;
    assert_eq!(
        library.behind().await.expect("in reach"),
        std::slice::from_ref(&id)
    );
    library.index(&id, &vellit()).await.expect("there");
    assert!(library.behind().await.expect("in reach").is_empty());

    let edits = vec![category("torch", Json::Null)];
    answer(send(&library, &id, "A", vec![list(1, edits)]).await);
    assert_eq!(
        library.behind().await.expect("in reach"),
        std::slice::from_ref(&id)
    );
    let late = found(&library, "vellit").await;
    assert_eq!(
        (late.behind, late.hits[0].revision, late.hits[0].latest),
        (1, 1, 2)
    );

    let mut second = bell();
    second.revision = 2;
    library.index(&id, &second).await.expect("there");
    library.index(&id, &vellit()).await.expect("there");
    assert!(library.behind().await.expect("in reach").is_empty());
    assert!(found(&library, "vellit").await.hits.is_empty());
    assert!(found(&library, "TH31?").await.hits.is_empty());
    assert!(
        found(&library, "run-time>30h fails:>0")
            .await
            .hits
            .is_empty()
    );
    assert!(
        library
            .touched_by(&["OXT7".to_string()])
            .await
            .expect("in reach")
            .is_empty()
    );
    assert_eq!(products(&found(&library, "bell").await), ["Ondrel Bell"]);
}

pub(crate) async fn withdrawn_dossiers_are_not_found(library: Library) {
    let [id, _] = both(&library).await;
    library.withdraw(&id, true, AT).await.expect("there");
    assert!(found(&library, "vellit").await.hits.is_empty());
    assert_eq!(
        library
            .heads(Which::Withdrawn)
            .await
            .expect("in reach")
            .len(),
        1
    );
    library.withdraw(&id, false, AT).await.expect("there");
    assert_eq!(found(&library, "vellit").await.hits.len(), 1);
}

pub(crate) async fn who_used_a_part_and_who_has_a_supplier(library: Library) {
    both(&library).await;
    let with = library.with_part("th karn2", 10).await.expect("in reach");
    assert_eq!(products(&with), ["Ondrel Bell"]);
    assert_eq!(with.hits[0].matched[0].place, Some(Place::item("radio")));
    // A beginning is another name.
    assert!(
        library
            .with_part("TH31", 10)
            .await
            .expect("in reach")
            .hits
            .is_empty()
    );
    let from = library.with_maker("THRENDOVA", 10).await.expect("in reach");
    assert_eq!(products(&from), ["Ondrel Bell", "Vellit 2"]);
    // The maker of a product supplies no part of it.
    let own = library.with_maker("Oxquillon", 10).await.expect("in reach");
    assert_eq!(products(&own), ["Vellit 2"]);
    assert!(
        library
            .with_part("", 10)
            .await
            .expect("in reach")
            .hits
            .is_empty()
    );
}

pub(crate) async fn a_changed_part_touches_what_rests_on_it_alone(library: Library) {
    let [vellit, bell] = both(&library).await;
    let expected = [
        ("OXT7", vec![&vellit]),
        // A candidate that was not taken.
        ("th31b", vec![&vellit]),
        // A new part whose name the marking TH31? may be.
        ("TH318-LG", vec![&vellit]),
        // A code of which nothing but the end was read.
        ("BX2", vec![&bell]),
        ("PLX8", vec![]),
        ("", vec![]),
    ];
    for (name, ids) in expected {
        let touched = library
            .touched_by(&[name.to_string()])
            .await
            .expect("in reach");
        assert_eq!(touched.iter().collect::<Vec<_>>(), ids, "{name}");
    }
}
