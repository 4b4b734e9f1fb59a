from __future__ import annotations

from datetime import timedelta

import pytest

from tests.advice.cases import TODAY, a_case, band, days, fed, stocked
from wormbin.advice.backlog import backlog
from wormbin.figures import Band

STEADILY = (stocked(), *(fed(0.7, TODAY - timedelta(days=n)) for n in range(28, -1, -3)))


def test_the_less_of_model_and_shown_counts_and_the_band_keeps_its_shape() -> None:
    slow_model = {"feed_waiting_kg": Band.exactly(1.0), "feed_waiting_days": band(9.0, 0.2)}
    case = a_case(days([slow_model] * 40), entries=STEADILY)
    found = backlog(case)(case.today)
    assert found is not None
    assert found.p50 == pytest.approx(1.0 / (7 * 0.7 / 21))
    assert found.p90 / found.p50 == pytest.approx(1.2)
    quick_model = {"feed_waiting_kg": Band.exactly(1.0), "feed_waiting_days": band(3.2, 0.2)}
    quick = a_case(days([quick_model] * 40), entries=STEADILY)
    assert backlog(quick)(quick.today) == quick.today.feed_waiting_days


def test_a_heap_on_a_bin_that_was_given_handfuls_is_a_backlog_though_a_model_believes_it_could() -> None:
    little = (stocked(), *(fed(0.1, TODAY - timedelta(days=n)) for n in range(28, 0, -3)), fed(3.0, TODAY))
    rows = [{"feed_waiting_kg": Band.exactly(0.1), "feed_waiting_days": band(0.3, 0.2)}] * 39
    rows += [{"feed_waiting_kg": Band.exactly(3.0), "feed_waiting_days": band(4.0, 0.2)}]
    case = a_case(days(rows), entries=little)
    found = backlog(case)(case.today)
    assert found is not None
    shown_kg_day = (7 * 0.1 + 0.1 + 3.0 - 3.0) / 21
    assert found.p50 == pytest.approx((4.0 * 3.0 / shown_kg_day) ** 0.5, rel=0.05)
    assert found.p90 / found.p50 == pytest.approx(1.2)


def test_a_pace_that_may_be_anything_is_no_backlog() -> None:
    anything = {"feed_waiting_kg": band(1.5), "feed_waiting_days": Band(1.4, 8.4, 42.8)}
    case = a_case(days([anything] * 5), entries=(stocked(), fed(1.5, TODAY)))
    assert backlog(case)(case.today) is None


def test_a_smear_is_no_backlog_and_a_bin_that_ate_nothing_is_left_to_the_model() -> None:
    smear = a_case(days([{"feed_waiting_kg": Band.exactly(0.05)}] * 40), entries=STEADILY)
    assert backlog(smear)(smear.today) is None
    log = (stocked(), fed(1.0, TODAY - timedelta(days=15)))
    rows = [{"feed_waiting_kg": Band.exactly(0.0)}] * 24
    rows += [{"feed_waiting_kg": Band.exactly(1.0), "feed_waiting_days": band(9.0, 0.2)}] * 16
    stuck = a_case(days(rows), entries=log)
    assert backlog(stuck)(stuck.today) == stuck.today.feed_waiting_days
