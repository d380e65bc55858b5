"""Every test of the records runs on both engines, but for those of the file itself.

Where nothing but plain rows is read and written, the server has its turn in the long proofs; that
each command works there cold is held every day by the catalogue of the real program.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from desk.records.office.office import Office
from tests.conftest import SideDoors, StillClock
from tests.every_day import every_day

ENGINES = ("sqlite", "postgresql")
PLAIN_ROWS = {
    *("what_offices_ask_for",),
    *("check_up.check_up",),
    *("documents.office_copy", "documents.report_batch", "documents.sealing"),
    *("exchange.customer_exchange", "exchange.visits_out"),
    *("histories.appliance_history", "histories.record"),
    *("measured.circumstances", "measured.computed", "measured.readings"),
    *("parties.ties",),
    *("planning.booking", "planning.reported_danger"),
    *("shop.settings", "shop.visit_charges"),
    *("stock.orders",),
    *("undo.restoring",),
    *(
        "visits.begun_before",
        "visits.checks",
        "visits.covers",
        "visits.lifecycle",
        "visits.proof",
        "visits.rounds",
        "visits.stop_and_leave",
    ),
}
"""Files of tests that ask nothing of an engine in which the two differ, such as how words are
searched, rows counted, times compared or locks taken."""
SOME_ASK = {
    "exchange.kinds_exchange": {
        "test_an_import_of_appliances_is_undone_as_one_but_for_those_in_use",
        "test_finished_visits_come_in_as_history",
        "test_parts_go_out_and_are_then_already_there",
        "test_two_customers_of_one_name_are_told_apart_by_their_street",
    },
    "learning.lesson_counts": {
        "test_a_mended_visit_teaches_its_cause",
        "test_taking_up_undoing_and_sealing_keep_in_step",
    },
    "parties.candidates": {
        "test_a_number_that_was_kept_without_its_area_code_is_known_with_it",
        "test_the_same_street_comes_before_one_that_only_begins_so",
        "test_half_a_serial_is_no_serial",
        "test_what_belongs_together_is_one_offer_and_comes_first",
        "test_who_was_withdrawn_is_not_offered",
    },
    "parties.merge_duplicates": {
        "test_one_step_takes_all_of_a_join_back",
        "test_the_name_and_number_of_the_one_that_went_find_the_one_that_stays",
        "test_two_ties_that_say_the_same_become_one_from_the_earlier_day",
    },
    "planning.repeat_marks": {
        "test_a_job_is_finished_when_its_last_visit_is",
        "test_days_go_by_the_calendar_of_the_office",
        "test_the_last_day_of_the_window_counts",
    },
    "recurrence.groupings": {
        "test_jobs_are_grouped_by_what_the_appliance_is",
        "test_the_newest_reading_tells_the_hardness_else_what_is_written_down",
        "test_a_page_holds_what_came_back_first_and_the_newest_on_top",
        "test_a_period_is_held_against_the_time_of_the_same_length_right_before",
    },
    "recurrence.histories": {
        "test_a_period_is_watched_by_the_ages_within_it",
        "test_an_appliance_is_watched_to_its_replacement_and_no_further",
        "test_odd_fittings_are_left_out_and_counted",
        "test_by_what_failed_all_appliances_are_watched_for_each_group",
    },
    "recurrence.queries": {
        "test_a_job_that_came_back_is_counted_with_the_call_behind_it",
        "test_the_period_goes_by_the_day_of_the_finish",
    },
    "stock.usage": {
        "test_only_visits_of_the_days_count_by_the_offices_own_midnight",
        "test_the_same_part_twice_on_a_visit_is_taken_from_stock_once_each",
    },
    "tables.sequence": {
        "test_a_corrected_answer_stands",
        "test_what_was_withdrawn_last_stands_first",
        "test_a_clock_behind_the_newest_entry_is_told_when_the_office_is_opened",
    },
    "undo.undo_at_counter": {
        "test_steps_go_back_one_by_one_and_end",
        "test_stock_that_was_moved_lies_where_it_lay",
    },
    "visits.photographs": {
        "test_photographs_stand_on_the_visit_in_the_order_in_which_they_came",
        "test_a_photograph_is_moved_and_moves_back",
        "test_a_photograph_changed_behind_the_program_s_back_is_found",
    },
    "whole_office.whole_office": {
        "test_an_office_moves_whole_from_either_engine_to_either",
        "test_it_comes_into_an_office_in_which_nothing_was_done",
    },
}
"""Tests that ask the server daily for all of their file: each kind of statement that it sends."""


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Ask for both engines wherever an office is asked for and its file is not."""
    if "engine_name" in metafunc.fixturenames:
        daily = ENGINES
        name = metafunc.module.__name__.removeprefix("tests.records.").replace("test_", "")
        if name in PLAIN_ROWS:
            daily = ENGINES[:1]
        if name in SOME_ASK:
            assert all(hasattr(metafunc.module, one) for one in SOME_ASK[name]), "each is a test"
            daily = ENGINES if metafunc.function.__name__ in SOME_ASK[name] else ENGINES[:1]
        file_only = "office_path" in metafunc.fixturenames
        engines = ENGINES[:1] if file_only else ENGINES
        metafunc.parametrize("engine_name", every_day(engines, daily[: len(engines)]))


@pytest.fixture
def office(
    request: pytest.FixtureRequest, engine_name: str, clock: StillClock, side_doors: SideDoors
) -> Iterator[Office]:
    if engine_name == "sqlite":
        path: Path = request.getfixturevalue("office_path")
        with Office.open(path, now=clock) as opened, side_doors.shut(path):
            yield opened
        return
    url: str = request.getfixturevalue("server_office")
    with closing(Office.open(url, now=clock)) as opened:
        yield opened
