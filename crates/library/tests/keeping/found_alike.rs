//! Whatever is indexed and asked, tables find what the plain functions find, in the same order.

use crate::bench::lamp;
use library::{
    Across, Beside, Compared, FigureRange, Find, Found, Holding, Indexed, Library, Part, Thing,
    ThingKind, Verdicts, Whole,
};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

fn word() -> impl Strategy<Value = String> {
    "(a|ab|abc|b|ba|\u{b5}a|A-b|b c|)"
}

fn marking() -> impl Strategy<Value = String> {
    "([ab]|\\?|\\[ab\\]|\\{\\}){1,4}~?[ab]?"
}

fn part() -> impl Strategy<Value = Part> {
    let marking = proptest::collection::vec(marking(), 0..3);
    (word(), word(), word(), marking).prop_map(|(name, maker, role, marking)| Part {
        name,
        maker,
        role,
        marking,
        ..Part::default()
    })
}

fn thing() -> impl Strategy<Value = Thing> {
    (word(), word(), proptest::option::weighted(0.8, part())).prop_map(|(id, text, part)| Thing {
        kind: ThingKind::Item,
        id,
        text,
        place: None,
        part,
    })
}

fn compared() -> impl Strategy<Value = Compared> {
    let day = |n: u8| jiff::civil::date(2020, 1, 1).saturating_add(jiff::Span::new().days(n));
    let kind = "(mass|energy)";
    let figure = (kind, 1_u8..4).prop_map(|(kind, value)| Whole {
        kind,
        value: f64::from(value),
        uncertainty: 0.5,
    });
    let figures = proptest::option::of(figure).prop_map(|figure| figure.into_iter().collect());
    (proptest::option::of(0_u8..4), figures).prop_map(move |(released, figures)| Compared {
        released: released.map(day),
        figures,
        ..Compared::default()
    })
}

fn indexed() -> impl Strategy<Value = Indexed> {
    let names = (word(), word(), word(), word());
    let figure = (-2_i8..3, 0_i8..3).prop_map(|(low, width)| {
        let low = f64::from(low) * 0.1;
        FigureRange::of("mass", "mass", low, low + f64::from(width) * 0.1)
    });
    let figures = proptest::collection::vec(figure, 0..3);
    let things = proptest::collection::vec(thing(), 0..4);
    let rests = proptest::collection::vec(word(), 0..2);
    let told = (rests, compared());
    (names, things, figures, 0_u32..3, told, 1_u64..3).prop_map(
        |((product, maker, model, category), things, figures, fails, told, revision)| Indexed {
            revision,
            product,
            maker,
            model,
            category,
            things,
            verdicts: Verdicts {
                fails,
                ..Verdicts::default()
            },
            figures,
            rests: told.0,
            compared: told.1,
        },
    )
}

fn line() -> impl Strategy<Value = String> {
    let one = prop_oneof![
        3 => word(),
        1 => word().prop_map(|w| format!("part:\"{w}\"")),
        1 => word().prop_map(|w| format!("maker:\"{w}\"")),
        1 => word().prop_map(|w| format!("role:\"{w}\"")),
        1 => word().prop_map(|w| format!("category:\"{w}\"")),
        2 => marking().prop_map(|m| format!("marking:{m}")),
        1 => (0..3).prop_map(|n| format!("fails:{n}")),
        1 => (0..3).prop_map(|n| format!("mass>{n}00g")),
        1 => (0..3).prop_map(|n| format!("mass<={n}00g")),
    ];
    proptest::collection::vec(one, 0..4).prop_map(|words| words.join(" "))
}

/// What was found, with ids of the library as numbers.
fn told(found: &Found, ids: &[library::DossierId]) -> String {
    let hits = found.hits.iter().map(|hit| {
        let at = ids.iter().position(|id| *id == hit.dossier);
        format!("{at:?} {hit:?}").replace(hit.dossier.as_str(), "")
    });
    format!(
        "{:?} {} {}",
        hits.collect::<Vec<_>>(),
        found.more,
        found.behind
    )
}

fn without_ids(mut text: String, ids: &[library::DossierId]) -> String {
    for (at, id) in ids.iter().enumerate() {
        text = text.replace(id.as_str(), &format!("#{at}"));
    }
    text
}

async fn answers(
    library: &Library,
    filed: &[(usize, Indexed)],
    lines: &[(String, usize)],
) -> Vec<String> {
    let mut ids = Vec::new();
    for _ in 0..4 {
        ids.push(lamp(library).await);
    }
    for (at, indexed) in filed {
        library.index(&ids[*at], indexed).await.expect("there");
    }
    let mut all = Vec::new();
    for (line, from) in lines {
        let Ok(mut find) = Find::read(line) else {
            continue;
        };
        (find.from, find.most) = (*from, 2);
        let found = library.find(&find).await.expect("in reach");
        all.push(format!("{line}: {}", told(&found, &ids)));
        for held in [Holding::Part(line.clone()), Holding::Maker(line.clone())] {
            let with = match &held {
                Holding::Part(name) => library.with_part(name, 2).await,
                Holding::Maker(name) => library.with_maker(name, 2).await,
            };
            all.push(told(&with.expect("in reach"), &ids));
        }
        let touched = library
            .touched_by(std::slice::from_ref(line))
            .await
            .expect("in reach");
        let mut touched: Vec<_> = touched
            .iter()
            .map(|id| ids.iter().position(|i| i == id))
            .collect();
        touched.sort_unstable();
        all.push(format!("{touched:?}"));
        let beside = Beside {
            dossier: ids[0].clone(),
            category: line.clone(),
            maker: line.clone(),
            parts: vec![line.clone()],
            most: 2,
        };
        let peers = library.peers(&beside).await.expect("in reach");
        all.push(without_ids(format!("{peers:?}"), &ids));
        let one = line.split([':', '"', ' ']).next_back().unwrap_or_default();
        for asked in [
            Across::Supplied(line.clone()),
            Across::Begun(line.chars().take(1).collect()),
            Across::Over("mass".into(), None),
            Across::Over("mass".into(), Some(one.to_string())),
            Across::Classes,
        ] {
            let answer = library.across(&asked).await.expect("in reach");
            all.push(without_ids(format!("{asked:?} {answer:?}"), &ids));
        }
    }
    all
}

/// Files and asks at random in a library and in one in memory.
pub(crate) fn finds_what_memory_finds<K>(begin: impl AsyncFn() -> Option<(K, Library)>) {
    let mut runner = TestRunner::new(ProptestConfig {
        cases: 32,
        failure_persistence: None,
        ..ProptestConfig::default()
    });
    let all = (
        proptest::collection::vec((0_usize..4, indexed()), 0..8),
        proptest::collection::vec((line(), 0_usize..3), 1..6),
    );
    let runtime = tokio::runtime::Runtime::new().expect("the system has threads");
    let compared = runner.run(&all, |(filed, lines)| {
        runtime.block_on(async {
            let Some((_kept, other)) = begin().await else {
                return Ok(());
            };
            let left = answers(&Library::in_memory(), &filed, &lines).await;
            let right = answers(&other, &filed, &lines).await;
            other.close().await;
            prop_assert_eq!(left, right);
            Ok(())
        })
    });
    compared.expect("both are the same");
}
