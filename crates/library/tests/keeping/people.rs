//! Who may use a library, and who is logged in.

use crate::bench::AT;
use jiff::{SignedDuration, Timestamp};
use library::{Library, LibraryError, Person, Role};
use std::collections::BTreeSet;

const PASSWORD: &str = "copper lamp on the bench";

async fn ada(library: &Library) -> Person {
    let name = Person::from("Ada");
    let added = library.add_person(&name, Role::Editor, PASSWORD, AT).await;
    added.expect("the name is free");
    name
}

async fn logged_in(library: &Library, name: &str, password: &str) -> Option<String> {
    let begun = library.log_in(&Person::from(name), password, AT).await;
    begun.expect("in reach")
}

fn after(hours: i64) -> Timestamp {
    AT + SignedDuration::from_hours(hours)
}

pub(crate) async fn a_name_is_one_however_it_is_written(library: Library) {
    assert_eq!(library.people().await.expect("in reach"), []);
    let name = ada(&library).await;
    for same in ["ada", " ADA ", "\u{ff21}da"] {
        let again = library
            .add_person(&Person::from(same), Role::Owner, PASSWORD, AT)
            .await;
        assert!(
            matches!(again, Err(LibraryError::PersonThere(_))),
            "{same}: {again:?}"
        );
        assert!(
            logged_in(&library, same, PASSWORD).await.is_some(),
            "{same}"
        );
    }
    let nobody = library
        .add_person(&Person::from(" "), Role::Owner, PASSWORD, AT)
        .await;
    assert!(
        matches!(nobody, Err(LibraryError::NoPerson(_))),
        "{nobody:?}"
    );
    let short = library
        .add_person(&Person::from("Grace"), Role::Owner, "eleven char", AT)
        .await;
    assert!(
        matches!(short, Err(LibraryError::Password(12))),
        "{short:?}"
    );
    let people = library.people().await.expect("in reach");
    assert_eq!(people.len(), 1);
    assert_eq!(
        (&people[0].name, people[0].role, people[0].made),
        (&name, Role::Editor, AT)
    );
}

pub(crate) async fn a_session_is_new_each_time_and_ends_by_itself(library: Library) {
    let name = ada(&library).await;
    let mut tokens = BTreeSet::new();
    for _ in 0..3 {
        let token = logged_in(&library, "Ada", PASSWORD).await.expect("right");
        assert!(token.len() == 64 && tokens.insert(token));
    }
    let first = tokens.first().expect("three").clone();
    let whose = async |token: &str, at| library.session(token, at).await.expect("in reach");
    let account = whose(&first, after(7 * 24 - 1)).await.expect("it lasts");
    assert_eq!((account.name, account.role), (name, Role::Editor));
    assert_eq!(whose(&first, after(7 * 24)).await, None);
    assert_eq!(whose("planted", AT).await, None);
    library.log_out(&first).await.expect("in reach");
    assert_eq!(whose(&first, AT).await, None);
    assert!(whose(tokens.last().expect("three"), AT).await.is_some());
}

pub(crate) async fn whoever_gets_another_password_or_is_removed_is_logged_in_no_more(
    library: Library,
) {
    let name = ada(&library).await;
    let token = logged_in(&library, "Ada", PASSWORD).await.expect("right");
    let other = "another lamp on the bench";
    library.set_password(&name, other).await.expect("there");
    assert_eq!(library.session(&token, AT).await.expect("in reach"), None);
    assert_eq!(logged_in(&library, "Ada", PASSWORD).await, None);
    let token = logged_in(&library, "Ada", other).await.expect("right");
    library.remove_person(&name).await.expect("there");
    assert_eq!(library.session(&token, AT).await.expect("in reach"), None);
    assert_eq!(logged_in(&library, "Ada", other).await, None);
    for gone in [
        library.remove_person(&name).await,
        library.set_password(&name, other).await,
    ] {
        assert!(matches!(gone, Err(LibraryError::NoPerson(_))), "{gone:?}");
    }
}

pub(crate) async fn a_wrong_name_or_password_begins_nothing(library: Library) {
    ada(&library).await;
    let long = "x".repeat(5000);
    for (name, password) in [
        ("Ada", ""),
        ("Ada", "copper lamp on the bencH"),
        ("Ada", long.as_str()),
        ("Grace", PASSWORD),
        ("", PASSWORD),
        ("Grace", ""),
    ] {
        assert_eq!(logged_in(&library, name, password).await, None, "{name}");
    }
}
