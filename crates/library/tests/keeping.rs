//! What a library promises, whatever holds its rows: one list of tests, run on every engine.

#[path = "keeping/across.rs"]
mod across;
#[path = "keeping/alike.rs"]
mod alike;
#[path = "keeping/bench.rs"]
mod bench;
#[path = "keeping/damage.rs"]
mod damage;
#[path = "keeping/files.rs"]
mod files;
#[path = "keeping/filled.rs"]
mod filled;
#[path = "keeping/finding.rs"]
mod finding;
#[path = "keeping/found_alike.rs"]
mod found_alike;
#[path = "keeping/list.rs"]
mod list;
#[path = "keeping/people.rs"]
mod people;
#[path = "keeping/publications.rs"]
mod publications;
#[path = "keeping/revisions.rs"]
mod revisions;
#[path = "keeping/single.rs"]
mod single;
#[path = "keeping/sound.rs"]
mod sound;
#[path = "keeping/together.rs"]
mod together;

use library::Library;

mod in_memory {
    crate::list::keeps_all!(memory);
}

mod in_sqlite {
    crate::list::keeps_all!(sqlite);
}

#[test]
fn sqlite_answers_and_holds_what_memory_does() {
    alike::holds_what_memory_does(sqlite);
}

#[test]
fn sqlite_finds_what_memory_finds() {
    found_alike::finds_what_memory_finds(sqlite);
}

/// What a dossier in its own folder promises as well.
mod folder {
    crate::list::suite! { folder:
        revisions::a_list_sent_twice_is_done_once,
        revisions::a_gap_is_told_and_nothing_behind_it_is_taken,
        revisions::edits_of_two_people_merge_unless_they_touch_the_same_place,
        revisions::taking_back_and_putting_back_give_the_texts_byte_for_byte,
        revisions::one_action_is_taken_back_as_one,
        revisions::a_whole_revision_comes_back_as_a_new_one,
        revisions::a_list_that_would_make_the_record_wrong_is_refused_whole,
        revisions::withdrawn_dossiers_come_back,
        files::files_come_back_byte_for_byte_and_in_order,
        files::a_path_that_holds_other_bytes_is_taken,
        files::paths_that_lead_outside_or_are_one_file_somewhere_are_refused,
        files::pictures_keep_their_size,
        files::what_is_not_there_is_told,
        files::history_is_read_page_by_page,
        files::times_are_kept_to_the_microsecond,
        people::a_session_is_new_each_time_and_ends_by_itself,
        publications::versions_follow_each_other_and_keep_their_files,
        publications::what_is_left_out_is_kept_with_the_dossier,
        sound::what_was_published_is_looked_at,
    }
}

async fn memory() -> Option<((), Library)> {
    Some(((), Library::in_memory()))
}

async fn sqlite() -> Option<(tempfile::TempDir, Library)> {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let library = Library::open(folder.path()).await;
    Some((folder, library.expect("an empty folder can be filled")))
}

async fn folder() -> Option<(tempfile::TempDir, Library)> {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let text = folder.path().join("dossier.toml");
    std::fs::write(text, bench::lamp_text()).expect("written");
    let library = Library::open(folder.path()).await;
    Some((folder, library.expect("a dossier's folder")))
}
