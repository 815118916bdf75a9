//! What a library promises, whatever holds its rows: one list of tests, run on every engine.

#[path = "keeping/alike.rs"]
mod alike;
#[path = "keeping/bench.rs"]
mod bench;
#[path = "keeping/files.rs"]
mod files;
#[path = "keeping/finding.rs"]
mod finding;
#[path = "keeping/found_alike.rs"]
mod found_alike;
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

/// Runs every test of the list on an engine; `$begin` makes an empty library, and what must outlive it.
macro_rules! suite {
    ($begin:ident: $($subject:ident::$test:ident,)*) => {
        $(
            #[tokio::test]
            async fn $test() {
                let (_kept, library) = super::$begin().await;
                super::$subject::$test(library).await;
            }
        )*
    };
}

macro_rules! on_every_engine {
    ($($list:tt)*) => {
        mod memory {
            suite!(memory: $($list)*);
        }
        mod sqlite {
            suite!(sqlite: $($list)*);
        }
    };
}

on_every_engine! {
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
    files::lists_of_dossiers_follow_what_changed_last,
    files::times_are_kept_to_the_microsecond,
    publications::versions_follow_each_other_and_keep_their_files,
    publications::what_is_left_out_is_kept_with_the_dossier,
    sound::a_library_in_use_is_sound,
    sound::what_was_published_is_looked_at,
    sound::bytes_that_no_dossier_names_are_counted_and_no_damage,
    sound::a_history_comes_along_whole_and_can_be_taken_back,
    sound::a_history_that_does_not_hold_together_is_refused,
    finding::each_condition_is_met,
    finding::hits_tell_what_matched_and_where,
    finding::the_best_stand_first_and_pages_follow_each_other,
    finding::the_newest_revision_wins_in_whatever_order_they_come,
    finding::withdrawn_dossiers_are_not_found,
    finding::who_used_a_part_and_who_has_a_supplier,
    finding::a_changed_part_touches_what_rests_on_it_alone,
}

/// What a dossier in its own folder promises as well.
mod folder {
    suite! { folder:
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
        publications::versions_follow_each_other_and_keep_their_files,
        publications::what_is_left_out_is_kept_with_the_dossier,
        sound::what_was_published_is_looked_at,
    }
}

async fn memory() -> ((), Library) {
    ((), Library::in_memory())
}

async fn sqlite() -> (tempfile::TempDir, Library) {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let library = Library::open(folder.path()).await;
    (folder, library.expect("an empty folder can be filled"))
}

async fn folder() -> (tempfile::TempDir, Library) {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let text = folder.path().join("dossier.toml");
    std::fs::write(text, bench::lamp_text()).expect("written");
    let library = Library::open(folder.path()).await;
    (folder, library.expect("a dossier's folder"))
}
