//! The one list of what a library promises, whatever holds its rows.

/// Runs every test of the list on an engine; `$begin` makes an empty library, and what must outlive it,
/// or nothing where the engine is not installed.
macro_rules! suite {
    ($begin:ident: $($subject:ident::$test:ident,)*) => {
        $(
            #[tokio::test]
            async fn $test() {
                let Some((_kept, library)) = super::$begin().await else {
                    return;
                };
                super::$subject::$test(library).await;
            }
        )*
    };
}
pub(crate) use suite;

/// Runs the whole list on an engine.
macro_rules! keeps_all {
    ($begin:ident) => {
        $crate::list::suite! { $begin:
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
            people::a_name_is_one_however_it_is_written,
            people::a_session_is_new_each_time_and_ends_by_itself,
            people::whoever_gets_another_password_or_is_removed_is_logged_in_no_more,
            people::a_wrong_name_or_password_begins_nothing,
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
            across::products_beside_one_come_with_what_they_are_compared_by,
            across::what_a_maker_supplies_is_counted_by_products_in_use,
            across::names_are_found_by_how_they_begin,
            across::a_figure_over_the_years_is_told_latest_first,
        }
    };
}
pub(crate) use keeps_all;
