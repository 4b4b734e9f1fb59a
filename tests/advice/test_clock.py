from __future__ import annotations

from datetime import timedelta

import pytest

from tests.advice.cases import TODAY, a_case, band, days, fed, stocked
from wormbin.advice.clock import backlog, work_days, worked_a_day
from wormbin.figures import Band


def test_the_days_are_those_of_the_process_whatever_was_fed_before() -> None:
    handfuls = (stocked(), *(fed(0.1, TODAY - timedelta(days=n)) for n in range(28, 0, -3)))
    heap = {"feed_waiting_kg": Band.exactly(3.0), "feed_waiting_days": band(9.0, 0.2)}
    case = a_case(days([heap] * 40), entries=handfuls)
    assert backlog(case)(case.today) == case.today.feed_waiting_days == waiting_days(case)


def test_the_pace_that_is_said_works_three_quarters_off_in_the_days_that_are_said() -> None:
    assert worked_a_day(4.0, 6.0) * 6.0 == pytest.approx(3.0)


def test_a_pace_that_may_be_anything_is_no_backlog() -> None:
    anything = {"feed_waiting_kg": band(1.5), "feed_waiting_days": Band(1.4, 8.4, 42.8)}
    case = a_case(days([anything] * 5), entries=(stocked(), fed(1.5, TODAY)))
    assert backlog(case)(case.today) is None


def test_a_smear_is_no_backlog() -> None:
    smear = a_case(days([{"feed_waiting_kg": Band.exactly(0.05), "feed_waiting_days": band(9.0)}] * 40))
    assert backlog(smear)(smear.today) is None
    assert work_days(smear, 0.09) == 0.0


def test_what_more_feed_would_make_of_it_lies_on_the_line_through_what_is_known() -> None:
    case = a_case(feed_waiting_kg=band(0.2), days_if_fed=((0.7, 4.0), (1.95, 9.0)))
    assert work_days(case, 0.7) == pytest.approx(4.0)
    assert work_days(case, 1.2) == pytest.approx(6.0)
    assert work_days(case, 3.2) == pytest.approx(14.0)
