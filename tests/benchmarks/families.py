"""How the program does on three unlike families of made-up bins whose truth is known, kept by three kinds of keepers.

``python -m tests.benchmarks.families SEED [N]`` prints the tables for N bins a family; every third of them is opened
evening by evening for its warnings; ``--write`` puts them into the method page. Seeds: see DEVELOPERS.md.
A truth is *in the band* between its 10 % and 90 % ends.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from multiprocessing import get_context
from statistics import median

from tests.benchmarks import thumb
from tests.benchmarks.alarms import ASKED, LEARNED_FROM_DAY, MONTH_DAYS, Judgement, Warned, judge, warned
from tests.benchmarks.made_logs import Kept, kept, planned_for
from tests.process import method_page
from tests.worlds.families.keeper import DAYS, FAMILIES, SILENT_DAYS, SILENT_FROM, Kind, family_bin
from tests.worlds.truth import DayTruth, Trouble
from wormbin.figures import Band
from wormbin.materials.table import default_table
from wormbin.process.outlook import look_ahead
from wormbin.process.replay import Replay, replay
from wormbin.process.views import Day
from wormbin.records.farms import Settings

ASK_ON = (45, 120)
AHEAD_DAYS = 240
AFTER_GAP = "after 40 silent days"
QUANTITIES = ("moisture", "feed waiting", "worms", "castings share")
UNITS = dict(zip(QUANTITIES, ((100.0, "points"), (1.0, "kg"), (1.0, "kg"), (100.0, "points")), strict=True))
DUE_CODES = frozenset({"harvest-due", "harvest-late"})
LOOK_CODES = DUE_CODES | {"harvest-near"}
RIPE_WITHIN_DAYS = 14
SETTINGS = Settings()


@dataclass(frozen=True, slots=True)
class Asked:
    """One band against its truth; ``when`` is the day of log, or that it was after a silence."""

    family: str
    kind: Kind
    when: str
    quantity: str
    low: float
    likely: float
    high: float
    truth: float

    @property
    def inside(self) -> bool:
        """Whether the truth lay in the band."""
        return self.low - 1e-12 <= self.truth <= self.high + 1e-12


@dataclass(frozen=True, slots=True)
class Harvest:
    """A harvest asked for, in days from then; what is later than ``beyond`` cannot be judged and is ``beyond + 1``."""

    family: str
    day: int
    low: float
    likely: float
    high: float
    truth: float
    thumb: float
    beyond: float

    @property
    def inside(self) -> bool:
        """Whether it came in the window."""
        return self.low <= self.truth <= self.high

    @property
    def came(self) -> bool:
        """Whether it came while it could be judged."""
        return self.truth <= self.beyond


@dataclass(frozen=True, slots=True)
class Walk:
    """One bin opened every evening: its warnings judged, and of its ripe days how many were told within two weeks.

    ``looked`` counts also those of which it was told that they are near, or may be ready and should be looked at.
    """

    family: str
    judged: Judgement
    ripe: int
    told: int
    looked: int


@dataclass(frozen=True, slots=True)
class Found:
    """What one bin, or many together, came to."""

    asked: list[Asked] = field(default_factory=list)
    harvests: list[Harvest] = field(default_factory=list)
    walks: list[Walk] = field(default_factory=list)

    def add(self, other: Found) -> None:
        """Put another's beside these."""
        self.asked.extend(other.asked)
        self.harvests.extend(other.harvests)
        self.walks.extend(other.walks)


def one(task: tuple[str, int, int, bool]) -> Found:
    """Ask one bin of a family (and its silent twin), and walk through its evenings where that is wanted."""
    family, seed, number, walks = task
    found, bin_ = Found(), kept(family_bin(family, seed, number))
    kind = list(Kind)[number % len(Kind)]
    run: Replay | None = None
    for day in ASK_ON:
        on = bin_.truth.days[day].on
        run = replay(bin_.bin, bin_.entries, default_table(), _evening(on), resume=run.beliefs if run else None)
        found.asked.extend(_bands(family, kind, f"day {day}", run.today, bin_.truth.days[day]))
        found.harvests.extend(_harvest(family, bin_, run, day))
    found.asked.extend(after_silence(family, seed, number))
    if walks:
        found.walks.append(_walk(family, bin_))
    return found


def after_silence(family: str, seed: int, number: int) -> list[Asked]:
    """A bin's bands on the last of forty days of which its log says nothing."""
    silent = kept(family_bin(family, seed, number, days=SILENT_FROM + SILENT_DAYS, silent=True))
    last = silent.truth.days[-1]
    after = replay(silent.bin, silent.entries, default_table(), _evening(last.on) + timedelta(minutes=1))
    return list(_bands(family, list(Kind)[number % len(Kind)], AFTER_GAP, after.today, last))


def _evening(on: date) -> datetime:
    return datetime.combine(on, time(23, 59), UTC)


def _bands(family: str, kind: Kind, when: str, day: Day, truth: DayTruth) -> Iterator[Asked]:
    said: tuple[Band, ...] = (day.moisture, day.feed_waiting_kg, day.worms_kg, day.castings_share)
    so = (truth.moisture, truth.feed_waiting_kg, truth.worms_kg, truth.castings_share)
    for name, band, true in zip(QUANTITIES, said, so, strict=True):
        yield Asked(family, kind, when, name, band.p10, band.p50, band.p90, true)


def _harvest(family: str, bin_: Kept, run: Replay, day: int) -> Iterator[Harvest]:
    """The harvest date, unless one is due already, or nothing of it can be judged."""
    truth, on = bin_.truth, bin_.truth.days[day].on
    if any(on in stretch for stretch in truth.troubles(Trouble.DUE)):
        return
    beyond = min(AHEAD_DAYS, DAYS - 1 - day)
    so_far = tuple(entry for entry in bin_.entries if entry.when.date() <= on)
    window = look_ahead(run, planned_for(run, so_far, SETTINGS, beyond), beyond).harvest
    due = next((each for each in truth.due_dates if each > on), None)

    def days(found: date | None) -> float:
        return float(min(max((found - on).days, 0), beyond + 1)) if found is not None else beyond + 1.0

    by_thumb = thumb.harvest_on(bin_.bin.started, so_far, on)
    said = Harvest(
        family, day, days(window.earliest), days(window.likely), days(window.latest), days(due), days(by_thumb),
        float(beyond),
    )  # fmt: skip
    if said.came or said.low <= beyond:
        yield said


def _walk(family: str, bin_: Kept) -> Walk:
    walked = warned(bin_, bin_.entries)
    start = bin_.truth.days[LEARNED_FROM_DAY].on
    end = bin_.truth.days[-1].on - timedelta(days=RIPE_WITHIN_DAYS)
    ripe = [each for each in bin_.truth.due_dates if start <= each <= end]
    told, looked = (sum(_told(walked, each, codes) for each in ripe) for codes in (DUE_CODES, LOOK_CODES))
    return Walk(family, judge(bin_, walked, LEARNED_FROM_DAY), len(ripe), told, looked)


def _told(walked: Sequence[Warned], ripe: date, codes: frozenset[str]) -> bool:
    return any(abs((each.on - ripe).days) <= RIPE_WITHIN_DAYS and each.codes & codes for each in walked)


def study(seed: int, bins: int, walked: int, cores: int, families: Sequence[str] = tuple(FAMILIES)) -> Found:
    """``bins`` bins of each family, the first ``walked`` of them evening by evening."""
    tasks = [(family, seed, number, number < walked) for number in range(bins) for family in families]
    found = Found()
    if cores <= 1:
        for task in tasks:
            found.add(one(task))
        return found
    with get_context("spawn").Pool(cores) as pool:
        for part in pool.imap_unordered(one, tasks, chunksize=1):
            found.add(part)
    return found


def tables(found: Found, seed: int, bins: int) -> dict[str, list[str]]:
    """The tables by name, in Markdown."""
    families = [each for each in FAMILIES if any(one.family == each for one in found.asked)]
    lines = [f"{bins} bins a family, seed {seed}; of a hundred truths so many in the 80 % band.", ""]
    lines += _table(["in the band", *families], _band_rows(found.asked, families))
    lines += ["", "By keeper, all families: careful, one-sided (amounts, meter, left, area), gappy.", ""]
    lines += _table(["in the band", *Kind], _kind_rows(found.asked))
    lines += ["", *_table(["harvest", *families], _harvest_rows(found.harvests, families))]
    if not found.walks:
        return {"families": lines}
    walked = max(sum(each.family == family for each in found.walks) for family in families)
    warnings = [f"{walked} bins a family, seed {seed}, every evening from day {LEARNED_FROM_DAY} on.", ""]
    return {"families": lines, "warnings": warnings + _table(["", *families], _walk_rows(found.walks, families))}


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    body = [f"| {' | '.join(row)} |" for row in rows]
    return [f"| {' | '.join(head)} |", "| --- |" + " --- |" * (len(head) - 1), *body]


def _percent(some: Sequence[bool]) -> str:
    return f"{100 * sum(some) / len(some):.0f}" if some else "-"


def _band_rows(asked: Sequence[Asked], families: Sequence[str]) -> Iterator[list[str]]:
    """Share in the band, and where the others lay: so many truths under the band and over it; and the middle error."""
    for when in (*(f"day {day}" for day in ASK_ON), AFTER_GAP):
        for name in QUANTITIES:
            factor, unit = UNITS[name]
            cells = []
            for family in families:
                some = [each for each in asked if (each.family, each.when, each.quantity) == (family, when, name)]
                inside = _percent([each.inside for each in some])
                under, over = _percent([e.truth < e.low for e in some]), _percent([e.truth > e.high for e in some])
                off = factor * median(each.likely - each.truth for each in some)
                cells.append(f"{inside} ({under} under, {over} over; {off:+.2g} {unit})")
            yield [f"{name}, {when}", *cells]


def _kind_rows(asked: Sequence[Asked]) -> Iterator[list[str]]:
    for name in QUANTITIES:
        cells = [
            " / ".join(
                _percent([each.inside for each in asked if (each.kind, each.when, each.quantity) == (kind, when, name)])
                for when in (*(f"day {day}" for day in ASK_ON), AFTER_GAP)
            )
            for kind in Kind
        ]
        yield [f"{name}, days {' / '.join(map(str, ASK_ON))} / gap", *cells]


def _harvest_rows(harvests: Sequence[Harvest], families: Sequence[str]) -> Iterator[list[str]]:
    for day in ASK_ON:
        some = [[each for each in harvests if (each.family, each.day) == (family, day)] for family in families]
        came = [[each for each in each_family if each.came] for each_family in some]
        yield [f"in its window, day {day}", *(f"{_percent([e.inside for e in each])} of {len(each)}" for each in some)]
        yield [f"median width, day {day}", *(_days([e.high - e.low for e in each]) for each in some)]
        yield [
            f"likely day off, against four months, day {day}",
            *(
                f"{_days([abs(e.likely - e.truth) for e in each])} / {_days([abs(e.thumb - e.truth) for e in each])}"
                for each in came
            ),
        ]
        yield [f"likely less true, day {day}", *(_days([e.likely - e.truth for e in each]) for each in came)]


def _days(some: Sequence[float]) -> str:
    return f"{median(some):.0f} d" if some else "-"


def _walk_rows(walks: Sequence[Walk], families: Sequence[str]) -> Iterator[list[str]]:
    mine = [[each for each in walks if each.family == family] for family in families]
    for what, name in (("due", "told"), ("due, near or to be looked at", "looked")):
        yield [
            f"ripe bins told to be {what} within two weeks",
            *(f"{sum(getattr(e, name) for e in m)} of {sum(e.ripe for e in m)}" for m in mine),
        ]
    for kind in (*ASKED, None):
        cells = []
        for some in mine:
            of = ASKED if kind is None else (kind,)
            met = [each for walk in some for each in walk.judged.troubles if each.kind in of]
            false = sum(each.kind in of for walk in some for each in walk.judged.alarms)
            months = sum(walk.judged.evenings for walk in some) / MONTH_DAYS
            # Short of air is told as well by whatever finding says to let air in.
            caught = sum(each.caught or (each.kind is Trouble.AIR_SHORT and each.fluffed) for each in met)
            cells.append(f"{caught} of {len(met)}, false {false / max(months, 1e-9):.2f}")
        yield [f"{'all three' if kind is None else kind.value} caught; false a bin-month", *cells]


def main(arguments: Sequence[str] | None = None) -> None:
    """Run it from the command line."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.families", description=__doc__.splitlines()[0])
    parser.add_argument("seed", type=int)
    parser.add_argument("bins", type=int, nargs="?", default=21, help="bins a family (21)")
    parser.add_argument("--walked", type=int, default=None, help="of these, opened every evening (a third)")
    parser.add_argument("--only", type=int, nargs="*", default=[1, 2, 3], help="families by number")
    parser.add_argument("--write", action="store_true", help="put the tables into the method page")
    parser.add_argument("--cores", type=int, default=min(2, os.cpu_count() or 1))
    asked = parser.parse_args(arguments)
    walked = asked.bins // 3 if asked.walked is None else asked.walked
    families = [list(FAMILIES)[number - 1] for number in asked.only]
    made = tables(study(asked.seed, asked.bins, walked, asked.cores, families), asked.seed, asked.bins)
    print("\n\n".join("\n".join(lines) for lines in made.values()))
    if asked.write:
        method_page.write(made)


if __name__ == "__main__":
    main()
