"""A made-up keeper's rows as the program's own records: what the door refuses is left out, and counted."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time

from tests.worlds.families.keeper import DAYS, FAMILIES, family_bin
from tests.worlds.life import MadeBin
from tests.worlds.truth import Truth
from wormbin.advice.case import Case
from wormbin.advice.rations import ration
from wormbin.exchange.bin_rows import read_bins
from wormbin.exchange.line_reading import Known, LineReading
from wormbin.exchange.row_reading import Amounts, RowReader
from wormbin.exchange.tables import Row
from wormbin.materials.table import default_table
from wormbin.problems import Problem
from wormbin.process.replay import Replay
from wormbin.process.views import Ahead, Planned, Window
from wormbin.records.bins import Bin
from wormbin.records.door import admit_bin, admit_entry
from wormbin.records.entries import Entry, in_time_order, standing
from wormbin.records.farms import Settings
from wormbin.schedule.plan import planned

_LINE = re.compile(r"line (\d+)")


@dataclass(frozen=True, slots=True)
class Kept:
    """One made-up bin as the program has it, beside the truth; ``refused`` counts lines that the door did not take."""

    bin: Bin
    entries: tuple[Entry, ...]
    refused: int
    truth: Truth

    @property
    def until(self) -> datetime:
        """The end of its last day."""
        return datetime.combine(self.truth.days[-1].on, time(23, 59), UTC)


def kept(made: MadeBin) -> Kept:
    """Read a made-up bin. A line that the door refuses is left out, as a keeper in a hurry would leave it."""
    now = datetime.combine(made.truth.days[-1].on, time(23, 59), UTC)
    bins, faults = read_bins([Row("bins.csv", 2, made.record)], lambda one: admit_bin(one, (), now))
    assert not faults, faults
    one = bins[0]
    rows = [Row("log.csv", line, dict(row)) for line, row in enumerate(made.rows, start=2)]
    refused = 0
    while True:
        reader = RowReader(frozenset((one.key,)), Amounts(default_table()))
        reading = LineReading(reader.entry, Known(()), lambda entry: admit_entry(entry, (one,), now), reader.problems)
        log = reading.lines(rows)
        bad = {_line_of(problem) for problem in reader.problems}
        if not bad:
            return Kept(one, tuple(in_time_order(standing(log.lines))), refused, made.truth)
        refused += len(bad)
        rows = [row for row in rows if row.line not in bad]


def _line_of(problem: Problem) -> int:
    found = _LINE.search(problem.where)
    assert found, problem
    return int(found[1])


def kept_bins(n: int, seed: int, *, days: int = DAYS) -> Iterator[Kept]:
    """``n`` bins of the families in turn."""
    families = list(FAMILIES)
    return (kept(family_bin(families[number % len(families)], seed, number, days=days)) for number in range(n))


def planned_for(run: Replay, entries: Sequence[Entry], settings: Settings, days: int) -> tuple[Planned, ...]:
    """What the look-ahead takes to be given, as the farm plans it."""
    nothing = Ahead((), Window(None, None, None), ())
    case = Case(
        run.bin, run.until, run.today, run.days, nothing, nothing, tuple(entries), run.judged, settings,
        default_table(),
    )  # fmt: skip
    return planned(case, ration(case), days)
