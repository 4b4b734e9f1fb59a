"""The sample logs walked day by day: what advice would have to go on each evening, knowing the log until then only."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, time
from functools import cache
from pathlib import Path

from wormbin.advice.case import Case
from wormbin.advice.clock import by_chart
from wormbin.advice.judgement import judge
from wormbin.exchange.folders import Doors, read_folder
from wormbin.materials.table import default_table
from wormbin.process.outlook import look_ahead
from wormbin.process.replay import Replay, replay
from wormbin.process.views import Ahead, Window
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry, standing
from wormbin.records.farms import Farm, Settings
from wormbin.schedule.plan import planned

SAMPLE_LOGS = Path(__file__).resolve().parents[2] / "sample_logs"
AHEAD_DAYS = 30
NOTHING_AHEAD = Ahead((), Window(None, None, None), ())


@cache
def read_log(log: str) -> tuple[tuple[Bin, ...], tuple[Entry, ...], Settings]:
    """The bins, the standing entries and the settings of one sample log."""
    doors = Doors(bin=lambda one: one, entry=lambda one, _bin: one)
    found = read_folder(SAMPLE_LOGS / log, Farm(), lambda: (), default_table(), doors)
    return found.bins, standing(found.entries), found.settings


def log_of(bin_: Bin) -> str:
    """The sample log that this bin stands in."""
    return next(log for log in ("apartment", "classroom", "seller") if bin_ in read_log(log)[0])


def _end_of(day: date) -> datetime:
    return datetime.combine(day, time(23, 59), UTC)


def _run(bin_: Bin, on: date) -> tuple[Replay, tuple[Entry, ...]]:
    own = tuple(entry for entry in read_log(log_of(bin_))[1] if entry.bin == bin_.key and entry.when.date() <= on)
    return replay(bin_, own, default_table(), _end_of(on), away=read_log(log_of(bin_))[2].away), own


def _case(bin_: Bin, on: date, run: Replay, own: tuple[Entry, ...], ahead: Ahead, unfed: Ahead) -> Case:
    place = (on - run.days[0].on).days
    return Case(
        bin=bin_,
        now=_end_of(on),
        today=run.days[place],
        history=run.days[: place + 1],
        ahead=ahead,
        unfed=unfed,
        entries=tuple(entry for entry in own if entry.when.date() <= on),
        judged=tuple(each for each in run.judged if each.when.date() <= on),
        settings=read_log(log_of(bin_))[2],
        table=default_table(),
    )


def evenings(bin_: Bin, last: date) -> Iterator[Case]:
    """One case an evening from the bin's first day on, without look-aheads (levels do not need them, but for harvests).

    A replay only ever looks back, so one run to the end gives every evening what it would have had.
    """
    run, own = _run(bin_, last)
    for day in run.days:
        yield _case(bin_, day.on, run, own, NOTHING_AHEAD, NOTHING_AHEAD)


def evening(bin_: Bin, on: date) -> Case:
    """One evening in full, with what lies ahead."""
    run, own = _run(bin_, on)
    unfed = look_ahead(run, (), AHEAD_DAYS)
    plain = charted(_case(bin_, on, run, own, NOTHING_AHEAD, unfed))
    plan = planned(plain, judge(plain).ration, AHEAD_DAYS)
    return replace(plain, ahead=look_ahead(run, plan, AHEAD_DAYS))


def charted(case: Case) -> Case:
    """The case with its clock set by the chart without feedings, as every door has it."""
    today = by_chart(case.today, case.unfed.days)
    return replace(case, today=today, history=(*case.history[:-1], today))
