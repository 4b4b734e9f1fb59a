from __future__ import annotations

from datetime import timedelta

import pytest

from tests.advice.cases import TODAY, a_case, days, fed, stocked
from wormbin.advice.case import Case
from wormbin.figures import Band
from wormbin.process.shown import shown_kg_day

STEADILY = (stocked(), *(fed(0.7, TODAY - timedelta(days=n)) for n in range(28, -1, -3)))


def shown(case: Case) -> float | None:
    return shown_kg_day(case.history, case.entries, case.on)(case.today)


def test_a_bin_that_gets_through_its_meals_has_shown_its_pace() -> None:
    case = a_case(days([{"feed_waiting_kg": Band.exactly(1.0)}] * 40), entries=STEADILY)
    # 0.7 kg each third day over three weeks, with as much waiting after as before: seven meals in 21 days
    assert shown(case) == pytest.approx(7 * 0.7 / 21)


def test_what_is_still_there_was_not_got_through() -> None:
    rows = [{"feed_waiting_kg": Band.exactly(0.2)}] * 39 + [{"feed_waiting_kg": Band.exactly(2.2)}]
    case = a_case(days(rows), entries=STEADILY)
    assert shown(case) == pytest.approx((7 * 0.7 - 2.0) / 21)


def test_in_its_first_week_a_bin_has_shown_nothing() -> None:
    assert shown(a_case(entries=(stocked(), fed(1.0, TODAY - timedelta(days=6))))) is None
    assert shown(a_case(entries=())) is None
