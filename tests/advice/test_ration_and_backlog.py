"""What is advised is never scolded: the ration, fed as it was advised, is no overfeeding in any of the sample bins."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from wormbin.advice.backlog import backlog

from tests.advice.cases import SETTINGS, TODAY, a_case, band, days, fed, stocked
from tests.advice.sample_cases import NOTHING_AHEAD, _case, _run, read_log
from tests.worlds.write import LOGS
from wormbin.advice import limits
from wormbin.advice.rations import interval_days, ration
from wormbin.advice.rules.feeding import overfed
from wormbin.process.outlook import look_ahead, with_entries
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry, Feeding, Portion
from wormbin.records.habits import usual_material

BINS = [one for log in LOGS for one in read_log(log)[0]]


def _last(bin_: Bin) -> date:
    entries = next(read_log(log)[1] for log in LOGS if bin_ in read_log(log)[0])
    return max(entry.when.date() for entry in entries if entry.bin == bin_.key)


@pytest.mark.parametrize("bin_", BINS, ids=lambda one: one.key)
def test_the_ration_fed_as_it_was_advised_is_no_overfeeding(bin_: Bin) -> None:
    on = _last(bin_)
    run, own = _run(bin_, on)
    case = _case(bin_, on, run, own, NOTHING_AHEAD, look_ahead(run, (), 10))
    kg = ration(case).kg
    if overfed(case) is not None:
        assert kg == 0.0
        return
    given = Entry(
        "advised", bin_.key, case.now, Feeding((Portion(usual_material(case.entries, on), max(kg, 1e-6)),)), ""
    )
    today = with_entries(run, [given]).today
    after = replace(case, today=today, history=(*case.history[:-1], today), entries=(*case.entries, given))
    assert overfed(after) is None, kg


@pytest.mark.parametrize("bin_", BINS, ids=lambda one: one.key)
@pytest.mark.parametrize("share", [0.5, 1.0])
def test_what_was_given_today_is_taken_off_what_may_be_given_today(bin_: Bin, share: float) -> None:
    on = _last(bin_)
    run, own = _run(bin_, on)
    until = on + timedelta(days=4)
    case = _case(bin_, on, run, own, NOTHING_AHEAD, look_ahead(run, (), 10))
    may = ration(case, until).kg
    if may < 0.1:
        return
    given = Entry("given", bin_.key, case.now, Feeding((Portion(usual_material(case.entries, on), share * may),)), "")
    fed_run = with_entries(run, [given])
    after = replace(
        case,
        today=fed_run.today,
        history=(*case.history[:-1], fed_run.today),
        entries=(*case.entries, given),
        unfed=look_ahead(fed_run, (), 14),
    )
    left = ration(after, until).kg
    # A sixth: a bin with more in it does work a little more.
    assert left <= (1 - share) * may + may / 6 + 0.02, f"of {may:.2f} kg, {share:.0%} given, {left:.2f} kg left"


def test_a_bin_that_was_given_handfuls_gets_no_ration_that_would_be_called_a_heap() -> None:
    little = (stocked(), *(fed(0.9, TODAY - timedelta(days=n)) for n in range(28, 0, -3)))
    row = {
        "feed_waiting_kg": band(0.2), "feed_waiting_days": band(2.5), "appetite_kg_day": band(0.5),
        "days_if_fed": ((1.2, 4.0), (3.7, 9.0)),
    }  # fmt: skip
    case = a_case(days([row] * 40), entries=little, settings=SETTINGS)
    can = ration(case, TODAY + timedelta(days=7))
    assert can.kg > 0
    full = {**row, "feed_waiting_kg": band(0.2 + can.kg), "feed_waiting_days": band(2.0 * (0.2 + can.kg) + 1.6)}
    after = a_case(days([row] * 39 + [full]), entries=(*little, fed(can.kg, TODAY)), settings=SETTINGS)
    found = backlog(after)(after.today)
    assert found is not None
    assert found.p50 < limits.overfed(interval_days(after)).watch.enter
    assert any("too many days of work" in why for why in can.because)
