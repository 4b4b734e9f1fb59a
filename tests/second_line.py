"""Tests whose neighbours hold the same: they cost much and run only with ``--more``, before something is landed.

By function what of it runs all the same: members of its family by a word in their names, or none.
"""

from __future__ import annotations

KEPT: dict[str, tuple[str, ...]] = {
    "advice/test_alarms_on_sample_logs.py::test_a_wet_spell_is_looked_for_first_and_let_out_by_amount_once_the_keeper_saw_it": (),
    "advice/test_rations_on_sample_logs.py::test_the_ration_fed_as_it_was_advised_is_no_overfeeding": ("kitchen", "crate-1"),
    "benchmarks/test_families.py::test_a_few_bins_of_each_family_are_foretold_about_as_well_as_is_claimed": (),
    "castings/test_plan.py::test_work_does_not_grow_with_the_amounts": ("0.001", "40000000.0"),
    "cli/test_manners.py::test_a_terminal_without_unicode_is_written_to_in_ascii": ("words0",),
    "cli/test_one_bad_book.py::test_the_check_survives_every_patient": ("farm.json-more", "2026.json-cut"),
    "cli/test_one_bad_book.py::test_the_other_bins_stay_fully_usable_and_every_list_says_what_is_missing": ("damaged",),
    "cli/test_units.py::test_no_amount_is_printed_in_the_other_units": ("us",),
    "farm/test_air_told.py::test_a_dense_bed_that_is_judged_with_care_has_one_figure_everywhere": (),
    "farm/test_comparisons.py::test_a_harvest_while_bins_are_compared_says_so_in_both_and_after_it_in_none": (),
    "farm/test_comparisons.py::test_the_answer_says_which_readings_count_how_many_do_and_when_the_end_is_too_near": (),
    "farm/test_dates_agree.py::test_every_day_of_every_log_says_one_set_of_days": ("apartment", "trays"),
    "farm/test_dates_agree.py::test_own_lots_set_the_days_of_curing_in_steps_findings_and_plan": (),
    "farm/test_dates_agree.py::test_round_harvests_outlook_plan_sheet_and_calendar_say_the_same": ("apartment",),
    "farm/test_going_away.py::test_the_last_feeding_before_leaving_is_one_figure_at_every_door": ("planned",),
    "farm/test_going_away.py::test_what_is_done_of_the_plan_is_seen_and_not_asked_for_again": (),
    "farm/test_joining.py::test_what_was_in_two_bins_is_in_one_and_undo_takes_both_halves_back": (),
    "farm/test_lots.py::test_a_plan_for_a_far_day_is_worked_out_once": (),
    "farm/test_missing.py::test_it_is_asked_once_and_kept": ("half a bucket", "rhubarb"),
    "farm/test_opened.py::test_every_figure_of_made_up_bins_on_any_day": (),
    "farm/test_opened.py::test_every_number_of_the_sample_logs_opens_down_to_what_was_typed_and_the_table": ("apartment",),
    "farm/test_opened_bedding.py::test_an_added_amount_comes_out_of_what_is_shown": ("bucket0",),
    "farm/test_same_figures.py::test_a_day_asked_about_later_or_from_what_is_kept_has_the_figures_that_it_had": (),
    "farm/test_steady_first.py::test_a_steady_bin_never_leads_with_what_is_only_to_come_or_only_asked_for": (),
    "farm/test_typed.py::test_a_line_put_right_at_the_command_line_keeps_what_is_not_said": ("us",),
    "farm/test_undo.py::test_every_page_is_shown_after_an_amended_line_a_move_and_a_harvest_into_a_lot_were_taken_back": (),
    "farm/test_units.py::test_no_amount_of_the_other_measures_is_said": ("us",),
    "farm/test_workdays.py::test_a_beds_own_page_has_the_day_that_the_week_gives_it": (),
    "faults/test_closed_terminal.py::test_a_half_filled_form_outlives_its_terminal_and_is_offered_at_the_next_start": ("SIGHUP",),
    "faults/test_cuts.py::test_a_damaged_file_is_never_a_third_state": ("kitchen-2026.slip.json", "worms-farm.json"),
    "faults/test_errors.py::test_an_error_at_any_step_changes_nothing_or_everything": (
        "a line into the slip", "a move between bins", "an amendment of a harvest", "an undo",
    ),
    "faults/test_power_cut.py::test_the_power_may_go_at_any_step": (
        "a line into the slip", "a move between bins", "a strike of a harvest", "a merge",
    ),
    "golden/test_answers.py::test_some_of_the_situations_is_answered_as_before": (),
    "process/test_learning.py::test_factors_agree_with_a_map_fit_of_the_same_log": ("1.7-0.7",),
    "process/test_silent.py::test_going_on_from_a_belief_comes_to_the_same_over_silences": ("0",),
    "process/test_step.py::test_a_year_of_random_feedings_ends_where_an_outside_solver_ends": ("1-True",),
    "process/test_working_off.py::test_over_many_made_up_logs_they_agree_with_the_look_ahead_and_lie_near_the_truth": (),
    "screens/test_catching_up.py::test_spaces_in_the_bucket_are_words_and_tick_nothing": (),
    "screens/test_drafts.py::test_a_line_put_right_keeps_its_own_day_whatever_day_the_program_was_opened_for": (),
    "screens/test_feeding.py::test_the_form_tells_of_the_day_that_the_program_was_opened_for": (),
    "screens/test_feedstock.py::test_a_lot_has_a_label_a_record_and_a_place_in_the_filter": (),
    "screens/test_hostile.py::test_hostile_names_stay_names": ("walk 1-(80, 24)", "walk 3-(40, 10)"),
    "screens/test_journeys.py::test_what_nobody_touched_of_a_line_put_right_is_not_rounded": ("survey",),
    "screens/test_layout.py::test_every_form_outlives_a_resize_and_asks_before_it_is_dropped": ("FeedForm", "StartForm"),
    "screens/test_notices.py::test_each_notice_stands_in_the_head_until_seen_and_on_a_page": (
        "conflict_copy", "slip_of_another_machine", "damaged_register",
    ),
    "screens/test_places.py::test_no_size_crashes": ("0-(20, 5)", "1-(40, 10)", "8-(200, 50)"),
    "screens/test_round.py::test_a_bin_is_ticked_once_a_check_is_written": (),
    "screens/test_round.py::test_every_bin_is_listed_while_the_first_is_worked_out_and_can_be_written_to": (),
    "screens/test_school.py::test_readings_of_many_are_put_together_and_the_odd_one_is_asked_about": (),
    "screens/test_seller.py::test_something_is_promised_and_the_plan_counts_it": (),
    "screens/test_sure.py::test_what_can_hardly_be_is_asked_about_and_kept_by_a_second_enter": ("would flood",),
    "screens/test_typing_ahead.py::test_the_field_for_feed_offers_feeds_and_the_one_for_bedding_beddings": (),
    "screens/test_words.py::test_the_page_beside_a_form_is_scrolled_by_a_key_while_its_lines_listen": ("w",),
    "screens/test_words.py::test_the_start_form_judges_a_row_when_it_is_left_and_jumps_over_none": (),
    "situations/test_properties.py::test_more_feed_never_takes_fewer_days": (),
    "situations/test_properties.py::test_no_more_is_planned_than_the_ration_of_that_day": (),
    "situations/test_properties.py::test_no_page_holds_a_stop_and_an_amount_nor_a_dose_without_a_reading": (),
    "situations/test_properties.py::test_who_leaves_feeds_no_more_than_the_ration_of_the_eve": (),
    "worlds/test_families.py::test_made_bins_are_spread_met_by_troubles_and_the_same_for_the_same_seed": ("batches",),
}  # fmt: skip


def waits(nodeid: str) -> bool:
    """Whether a test runs only when more is asked for."""
    function, _, member = nodeid.removeprefix("tests/").partition("[")
    kept = KEPT.get(function)
    return kept is not None and not any(word in member for word in kept)
