"""The sample logs walked day by day: what advice would have to go on each evening, knowing the log until then only."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

from wormbin.advice.case import Case
from wormbin.exchange.folders import Doors, read_folder
from wormbin.materials.table import default_table
from wormbin.process.belief import Belief
from wormbin.process.outlook import look_ahead
from wormbin.process.replay import replay
from wormbin.process.views import Day, Judged
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry, standing
from wormbin.records.farms import Farm, OnHand, Settings
from wormbin.schedule.plan import planned

SAMPLE_LOGS = Path(__file__).resolve().parents[2] / "sample_logs"
AHEAD_DAYS = 14
SETTINGS = Settings(on_hand=(OnHand("shredded-cardboard", 50.0, 50.0),))


def read_log(log: str) -> tuple[tuple[Bin, ...], tuple[Entry, ...]]:
    """The bins and the entries of one sample log, struck ones too."""
    doors = Doors(bin=lambda one: one, entry=lambda one, _bin: one)
    found = read_folder(SAMPLE_LOGS / log, Farm(), lambda: (), default_table(), doors)
    return found.bins, found.entries


def evenings(bin_: Bin, entries: tuple[Entry, ...], last: date, ahead_days: int = AHEAD_DAYS) -> Iterator[Case]:
    """One case an evening from the bin's first day to ``last``, each knowing the log until then only."""
    table = default_table()
    own = standing([entry for entry in entries if entry.bin == bin_.key])
    history: list[Day] = []
    judged: dict[tuple[str, str], Judged] = {}
    belief: Belief | None = None
    on = bin_.started
    while on <= last:
        until = datetime.combine(on, time(23, 59), UTC)
        so_far = tuple(entry for entry in own if entry.when.date() <= on)
        run = replay(bin_, so_far, table, until, resume=belief)
        belief = run.belief
        history = [day for day in history if day.on < run.days[0].on] + list(run.days)
        judged |= {(each.entry, each.quantity): each for each in run.judged}
        plan = planned(bin_, so_far, SETTINGS, run.today, ahead_days)
        yield Case(
            bin=bin_,
            now=until,
            today=run.today,
            history=tuple(history),
            ahead=look_ahead(run, plan, ahead_days),
            unfed=look_ahead(run, (), ahead_days),
            entries=so_far,
            judged=tuple(judged.values()),
            learned=run.learned,
            settings=SETTINGS,
            table=table,
        )
        on += timedelta(days=1)
