//! What a library promises, on PostgreSQL and a store: the same list of tests that every engine passes.

#[path = "../../library/tests/keeping/across.rs"]
mod across;
#[path = "../../library/tests/keeping/alike.rs"]
mod alike;
#[path = "../../library/tests/keeping/bench.rs"]
mod bench;
#[path = "../../library/tests/keeping/files.rs"]
mod files;
#[path = "../../library/tests/keeping/finding.rs"]
mod finding;
#[path = "../../library/tests/keeping/found_alike.rs"]
mod found_alike;
#[path = "../../library/tests/keeping/list.rs"]
mod list;
#[path = "../../library/tests/keeping/people.rs"]
mod people;
#[path = "../../library/tests/keeping/publications.rs"]
mod publications;
#[path = "../../library/tests/keeping/revisions.rs"]
mod revisions;
#[path = "keeping/rows.rs"]
mod rows;
#[path = "../../library/tests/keeping/sound.rs"]
mod sound;
#[path = "keeping/store.rs"]
mod store;

use team_tests::team;

mod in_postgres {
    crate::list::keeps_all!(team);
}

#[test]
fn postgres_answers_and_holds_what_memory_does() {
    alike::holds_what_memory_does(team);
}

#[test]
fn postgres_finds_what_memory_finds() {
    found_alike::finds_what_memory_finds(team);
}
