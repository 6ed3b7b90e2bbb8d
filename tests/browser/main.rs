//! Pages in a real browser, as somebody in front of it has them.
//!
//! Needs Chromium on the path, or its program in `TEPID_BROWSER`; `.ci/run` installs it. Without one these tests are listed as ignored.
//! Pictures of the pages are kept in `tmp/screenshots/` of the target folder: look at them after a change.

mod chromium;
mod harness;
mod lesson;
mod live;
mod live_in_report;
mod live_words;
mod own_files;
mod page;
mod report;

use libtest_mimic::{Arguments, Trial};

/// One trial per check, named `module::check`.
macro_rules! trials {
    ($($module:ident: $($check:ident),+;)+) => {
        vec![$($(Trial::test(concat!(stringify!($module), "::", stringify!($check)), || {
            $module::$check();
            Ok(())
        }),)+)+]
    };
}

fn main() {
    let mut arguments = Arguments::from_args();
    // A browser takes a core of its own.
    arguments.test_threads = arguments.test_threads.or(Some(2));
    let nobody_home = chromium::program().is_none();
    let checks = checks()
        .into_iter()
        .map(|check| check.with_ignored_flag(nobody_home));
    libtest_mimic::run(&arguments, checks.collect()).exit();
}

fn checks() -> Vec<Trial> {
    trials! {
        report: it_opens_from_disk_without_a_complaint_and_fetches_nothing, a_click_sorts_its_table, the_keyboard_alone_sorts_it_too,
            it_fits_a_narrow_and_a_wide_screen, it_prints_on_several_sheets, whoever_does_not_see_it_is_told_the_same,
            a_page_of_a_study_opens_fits_and_sorts, the_sheet_for_the_keeper_is_one, words_in_pictures_stay_legible_on_a_telephone;
        live_in_report: the_tank_inside_runs_from_disk_and_shows_a_weld, it_begins_as_the_report_has_it;
        harness: a_click_and_a_key_press_a_button, a_bad_page_is_seen_to_be_bad, a_page_is_pictured_printed_and_walked_by_tabs;
        lesson: a_lesson_is_chosen_guessed_played_and_answered_by_keys, what_is_done_beside_each_other_is_done_to_all_and_linked, a_link_leads_into_a_lesson_and_out_again,
            every_lesson_fits_narrow_and_wide_screens, a_handout_opens_and_prints;
        live: it_opens_from_disk_and_fetches_nothing, a_weld_is_seen_to_heat_and_is_undone_behind_its_caution, a_link_restores_everything_and_a_broken_one_is_told, keys_alone_are_enough, it_fits_narrow_and_wide_screens, words_stand_out_from_their_ground, the_picture_of_the_readme_shows_the_page_as_it_is;
        live_words: no_words_lie_on_others_or_on_curves, a_contact_that_all_share_is_drawn_once, some_hours_can_be_looked_at_closely, a_telephone_shows_every_column_and_the_acts_beside_the_chart, the_focus_is_never_under_the_bar,
            what_lies_ahead_is_not_done_and_the_end_is_told, scores_say_what_they_count, heat_that_comes_in_is_not_called_evaporation,
            the_page_speaks_us_units_as_the_program_does, an_equation_is_set_as_it_is_written_by_hand;
        own_files: a_picked_tank_is_shown_linked_and_saved, a_mistake_is_told_at_its_place_and_the_page_stays_as_it_was, what_is_too_long_for_a_link_says_so,
            the_program_opens_the_page_at_ones_own_files, names_in_files_and_links_stay_words, a_link_that_cannot_be_shown_leaves_the_page_as_it_was;
    }
}
