"""What is advised is never scolded: the ration, fed as it was advised, is no overfeeding in any of the sample bins."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from functools import cache

import pytest

from tests.advice.sample_cases import NOTHING_AHEAD, _case, _run, charted, read_log
from tests.worlds.write import LOGS
from wormbin.advice.case import Case
from wormbin.advice.clock import kg_in
from wormbin.advice.judgement import judge
from wormbin.advice.rations import AT_ONCE_DAYS
from wormbin.advice.rules.feeding import over_fed, overfed
from wormbin.process.outlook import look_ahead, with_entries
from wormbin.process.replay import Replay
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry, Feeding, Portion
from wormbin.records.habits import usual_material

BINS = [one for log in LOGS for one in read_log(log)[0]]
GAP_DAYS = 4


def _last(bin_: Bin) -> date:
    entries = next(read_log(log)[1] for log in LOGS if bin_ in read_log(log)[0])
    return max(entry.when.date() for entry in entries if entry.bin == bin_.key)


@cache
def _today(bin_: Bin) -> tuple[Case, Replay]:
    on = _last(bin_)
    run, own = _run(bin_, on)
    return charted(_case(bin_, on, run, own, NOTHING_AHEAD, look_ahead(run, (), 30))), run


def _fed(case: Case, run: Replay, kg: float) -> Case:
    """The same evening once so much of what is usually fed has gone in."""
    what = Feeding((Portion(usual_material(case.entries, case.on), max(kg, 1e-6)),))
    given = Entry("given", case.bin.key, case.now, what, "")
    fed_run = with_entries(run, [given])
    return charted(
        replace(
            case, today=fed_run.today, history=(*case.history[:-1], fed_run.today), entries=(*case.entries, given),
            unfed=look_ahead(fed_run, (), 30),
        )
    )  # fmt: skip


@pytest.mark.parametrize("bin_", BINS, ids=lambda one: one.key)
def test_the_ration_fed_as_it_was_advised_is_no_overfeeding(bin_: Bin) -> None:
    case, run = _today(bin_)
    can = judge(case).ration
    if overfed(case) is not None:
        assert can.kg == 0.0
        return
    after = _fed(case, run, can.kg)
    assert overfed(after) is None, can.kg
    assert over_fed(after, can) is None, can.kg


@pytest.mark.parametrize("bin_", BINS, ids=lambda one: one.key)
@pytest.mark.parametrize("share", [0.5, 1.0])
def test_what_was_given_today_is_taken_off_what_may_be_given_today(bin_: Bin, share: float) -> None:
    case, run = _today(bin_)
    until = case.on + timedelta(days=GAP_DAYS)
    may = judge(case, until).ration.kg
    if may < 0.1:
        return
    left = judge(_fed(case, run, share * may), until).ration.kg
    # A sixth: a bin with more in it does work a little more.
    assert left <= (1 - share) * may + may / 6 + 0.02, f"of {may:.2f} kg, {share:.0%} given, {left:.2f} kg left"


@pytest.mark.parametrize("bin_", BINS, ids=lambda one: one.key)
def test_the_clock_foretells_what_the_process_then_says(bin_: Bin) -> None:
    """Days of work read off the dial before it is fed, against the process's own once it is."""
    case, run = _today(bin_)
    for span in (2.0, 4.0, AT_ONCE_DAYS):
        kg = kg_in(case, span) - case.today.feed_waiting_kg.p50
        if kg < 0.05:
            continue
        after = _fed(case, run, kg)
        # A third: the dial has three points, and between them a straight line takes longer than the process does.
        assert after.today.feed_waiting_days.p50 == pytest.approx(span, rel=0.33), kg
