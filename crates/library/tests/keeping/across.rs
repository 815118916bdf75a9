//! Products beside each other: who has a part, what a maker supplies, a figure over the years.

use crate::bench::{AT, lamp};
use jiff::civil::date;
use library::{
    Across, AcrossAnswer, Beside, Compared, DossierId, Indexed, Library, Part, Thing, ThingKind,
    Whole,
};

fn part(name: &str, maker: &str, role: &str) -> Thing {
    Thing {
        kind: ThingKind::Item,
        id: name.to_lowercase(),
        text: role.to_string(),
        place: None,
        part: Some(Part {
            name: name.into(),
            maker: maker.into(),
            role: role.into(),
            ..Part::default()
        }),
    }
}

async fn product(library: &Library, name: &str, year: i16, grams: f64, parts: Vec<Thing>) -> DossierId {
    let id = lamp(library).await;
    let indexed = Indexed {
        revision: 1,
        product: name.into(),
        maker: "Ondrelkamp".into(),
        category: "Power bank".into(),
        things: parts,
        compared: Compared {
            released: Some(date(year, 1, 1)),
            figures: vec![Whole {
                kind: "mass".into(),
                value: grams / 1e3,
                uncertainty: 1e-4,
            }],
            ..Compared::default()
        },
        ..Indexed::default()
    };
    library.index(&id, &indexed).await.expect("there");
    id
}

async fn three(library: &Library) -> [DossierId; 3] {
    let charger = || part("KX-12", "Oskvale", "charger");
    let sensor = || part("TH-310", "Threndova", "motion sensor");
    [
        product(library, "Pebble", 2021, 212.0, vec![charger(), sensor()]).await,
        product(library, "Slab", 2022, 205.0, vec![charger()]).await,
        product(library, "Cobble", 2023, 198.0, vec![part("KX-14", "Oskvale", "charger")]).await,
    ]
}

fn beside(dossier: &DossierId) -> Beside {
    Beside {
        dossier: dossier.clone(),
        category: "power bank".into(),
        maker: String::new(),
        parts: vec!["kx 12".into()],
        most: 10,
    }
}

pub(crate) async fn products_beside_one_come_with_what_they_are_compared_by(library: Library) {
    let [pebble, slab, cobble] = three(&library).await;
    let peers = library.peers(&beside(&pebble)).await.expect("in reach");
    let names: Vec<&str> = peers.peers.iter().map(|p| p.facts.product.as_str()).collect();
    assert_eq!(names, ["Cobble", "Slab"]);
    assert_eq!(peers.left, 0);
    assert_eq!(peers.peers[1].facts.compared.figures[0].value, 0.205);
    assert_eq!(peers.peers[1].facts.parts[0].0, "KX-12");
    assert!(!peers.peers[1].published);

    let before = library.peers_mark(&pebble).await.expect("in reach");
    let own = Indexed { revision: 2, ..Indexed::default() };
    library.index(&pebble, &own).await.expect("there");
    assert_eq!(library.peers_mark(&pebble).await.expect("in reach"), before);
    library.withdraw(&slab, true, AT).await.expect("there");
    assert_ne!(library.peers_mark(&pebble).await.expect("in reach"), before);
    let peers = library.peers(&beside(&pebble)).await.expect("in reach");
    assert_eq!(peers.peers.len(), 1);
    assert_eq!(peers.peers[0].dossier, cobble);
}

pub(crate) async fn what_a_maker_supplies_is_counted_by_products_in_use(library: Library) {
    let [_, slab, _] = three(&library).await;
    let supplied = async |expected: &[(&str, usize)]| {
        let asked = Across::Supplied("OSKVALE".into());
        let answer = library.across(&asked).await.expect("in reach");
        let AcrossAnswer::Supplied(rows) = answer else {
            panic!("another answer: {answer:?}");
        };
        let rows: Vec<(&str, usize)> = rows.iter().map(|r| (r.part.as_str(), r.products)).collect();
        assert_eq!(rows, expected);
    };
    supplied(&[("KX-12", 2), ("KX-14", 1)]).await;
    library.withdraw(&slab, true, AT).await.expect("there");
    supplied(&[("KX-12", 1), ("KX-14", 1)]).await;
    library.withdraw(&slab, false, AT).await.expect("there");
    // What was indexed before counts no more.
    let later = Indexed { revision: 2, ..Indexed::default() };
    library.index(&slab, &later).await.expect("there");
    supplied(&[("KX-12", 1), ("KX-14", 1)]).await;
}

pub(crate) async fn names_are_found_by_how_they_begin(library: Library) {
    three(&library).await;
    let answer = library.across(&Across::Begun("K".into())).await.expect("in reach");
    let AcrossAnswer::Begun(begun) = answer else {
        panic!("another answer: {answer:?}");
    };
    assert_eq!(begun.parts, ["KX-12", "KX-14"]);
    let answer = library.across(&Across::Begun("o".into())).await.expect("in reach");
    let AcrossAnswer::Begun(begun) = answer else {
        panic!("another answer: {answer:?}");
    };
    assert_eq!(begun.makers, ["Ondrelkamp", "Oskvale"]);
    let classes = library.across(&Across::Classes).await.expect("in reach");
    assert_eq!(classes, AcrossAnswer::Classes(vec![("Power bank".into(), 3)]));
}

pub(crate) async fn a_figure_over_the_years_is_told_latest_first(library: Library) {
    three(&library).await;
    for class in [None, Some("POWER-BANK".to_string())] {
        let asked = Across::Over("mass".into(), class);
        let answer = library.across(&asked).await.expect("in reach");
        let AcrossAnswer::Over(dots, more) = answer else {
            panic!("another answer: {answer:?}");
        };
        // Days from 1 January 1970 to that of 2023, 2022 and 2021.
        let days: Vec<(i64, f64)> = dots.iter().map(|dot| (dot.day, dot.value)).collect();
        assert_eq!(days, [(19358, 0.198), (18993, 0.205), (18628, 0.212)]);
        assert!(!more);
    }
    let asked = Across::Over("mass".into(), Some("lamp".into()));
    let none = library.across(&asked).await.expect("in reach");
    assert_eq!(none, AcrossAnswer::Over(Vec::new(), false));
}
