"""Warnings of one made-up bin, evening by evening, held against what was really the matter.

A trouble is *caught in time* when its warning stands on some evening from a few days before it begins to a few days
after (``GRACE``). A run of warned evenings is a *false alarm* when no evening of it, nor the days about it, has the
trouble or is anywhere near it by the made-up world's own margins.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import cached_property
from types import MappingProxyType
from typing import cast

from tests.benchmarks.made_logs import Kept, planned_for
from tests.worlds.truth import (
    CALM_AIR,
    CALM_COLD_C,
    CALM_DAYS,
    CALM_DRY,
    CALM_HOT_C,
    CALM_STANDING_M,
    CALM_WET,
    DayTruth,
    Stretch,
    Trouble,
    Truth,
)
from wormbin.advice import limits
from wormbin.advice.case import Case
from wormbin.advice.finding import Finding
from wormbin.advice.judgement import findings
from wormbin.figures import Level
from wormbin.materials.table import default_table
from wormbin.process.belief import Belief
from wormbin.process.outlook import look_ahead
from wormbin.process.replay import Replay, replay
from wormbin.process.views import Ahead, Day, Judged, Window
from wormbin.records.entries import Entry
from wormbin.records.farms import OnHand, Settings

SETTINGS = Settings(on_hand=(OnHand("shredded-cardboard", 50.0, 50.0),))
LEARNED_FROM_DAY = 45
MONTH_DAYS = 30.4
UNFED_DAYS = 14
WITHIN_REACH = 0.25
"""Share of castings that no bin gains in three weeks."""

CODES: Mapping[Trouble, frozenset[str]] = MappingProxyType({
    Trouble.OVERFED: frozenset({"overfed", "left-over", "thick-layer"}),
    Trouble.AIR_SHORT: frozenset({"air-short", "smell-rotten"}),
    Trouble.DUE: frozenset({"harvest-near", "harvest-due", "harvest-late"}),
    Trouble.WET: frozenset({"too-wet", "standing-water"}),
    Trouble.DRY: frozenset({"too-dry"}),
    Trouble.HOT: frozenset({"too-hot"}),
    Trouble.COLD: frozenset({"too-cold"}),
})  # fmt: skip
"""The findings that tell of each trouble."""
FLUFF = "fluff"
"""Stands among the codes of an evening on which any finding says to let air in, whatever its own name is."""
ASKED: tuple[Trouble, ...] = (Trouble.OVERFED, Trouble.AIR_SHORT, Trouble.DUE)
"""The three that the goals are about."""
GRACE: Mapping[Trouble, tuple[int, int]] = MappingProxyType(
    dict.fromkeys(Trouble, (7, 4)) | {Trouble.DUE: (21, 14), Trouble.AIR_SHORT: (7, 7)}
)
"""Days before and days after the beginning within which a warning is in time."""
BESIDE_DAYS = 7
NEAR: Mapping[Trouble, Callable[[DayTruth], bool]] = MappingProxyType({
    Trouble.OVERFED: lambda day: day.piling_up or day.waiting_days >= CALM_DAYS,
    Trouble.AIR_SHORT: lambda day: day.air <= CALM_AIR,
    Trouble.DUE: lambda day: day.castings_share >= 0.70,
    Trouble.WET: lambda day: day.moisture >= CALM_WET or day.standing_m >= CALM_STANDING_M,
    Trouble.DRY: lambda day: day.moisture <= CALM_DRY,
    Trouble.HOT: lambda day: day.temp_c >= CALM_HOT_C,
    Trouble.COLD: lambda day: day.temp_c <= CALM_COLD_C,
})  # fmt: skip
"""The trouble itself, or the grey stretch beside it that is neither bad nor calm."""


@dataclass(frozen=True, slots=True)
class Warned:
    """One evening: the codes of the findings at watch or act, that a harvest is near, and ``FLUFF``."""

    on: date
    codes: frozenset[str]


@dataclass(frozen=True, slots=True)
class Verdict:
    """One trouble that was met (``caught``), or one alarm that was false, of one bin."""

    bin: str
    kind: Trouble
    first: date
    day: int
    last: date
    caught: bool = False
    fluffed: bool = False
    """Whether some finding, of any name, said in time to let air in."""
    false: bool = False
    codes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Judgement:
    """One bin under one guesser: troubles met, false alarms, and how many evenings were walked from each day on."""

    bin: str
    troubles: tuple[Verdict, ...]
    alarms: tuple[Verdict, ...]
    evenings: int


class LateAhead:
    """A look-ahead that is only worked out when a rule wants its days; the harvest is what the replay knows of it.

    ``seen`` is a harvest window looked up on one of the last two evenings: it stands until the third, to save time. So
    a warning of a harvest to come may be two days late here, and never early.
    """

    def __init__(self, run: Replay, days: int, entries: Sequence[Entry] = (), seen: Window | None = None) -> None:
        self.run, self.ahead_days, self.entries, self.seen = run, days, entries, seen
        self.plan = ()

    @cached_property
    def days(self) -> Sequence[Day]:
        """The days ahead without feeding."""
        return look_ahead(self.run, (), self.ahead_days).days if self.ahead_days else ()

    @property
    def settled(self) -> bool:
        """Whether its harvest needs no look-ahead: due already, or far off."""
        run = self.run
        return run.due_since is not None or run.today.castings_share.p50 < run.bin.harvest_share - WITHIN_REACH

    @cached_property
    def harvest(self) -> Window:
        """The harvest window under the planned feedings, as far as three weeks ahead, where it can be so near."""
        run = self.run
        if self.settled:
            return Window(None, None, None, due_since=run.due_since, because=run.run.because)
        if self.seen is not None:
            return self.seen
        plan = planned_for(run, self.entries, SETTINGS, limits.HARVEST_NEAR_DAYS)
        return look_ahead(run, plan, limits.HARVEST_NEAR_DAYS).harvest


def evenings(kept: Kept, entries: Sequence[Entry]) -> Iterator[Case]:
    """One case an evening from the first day on, each knowing the log until then only."""
    table = default_table()
    history: list[Day] = []
    judged: list[Judged] = []
    belief: Belief | None = None
    looked: LateAhead | None = None
    at = 0
    for truth in kept.truth.days:
        until = datetime.combine(truth.on, time(23, 59), UTC)
        while at < len(entries) and entries[at].when.date() <= truth.on:
            at += 1
        so_far = tuple(entries[:at])
        run = replay(kept.bin, so_far, table, until, resume=belief)
        belief = run.beliefs[-1]
        history.append(run.today)
        judged = [each for each in judged if each.when.date() < run.looks[0].on] + list(run.judged)
        fresh = looked is None or len(history) % 3 == 0 or looked.settled
        # Of the look-ahead under the plan only the harvest is needed; coming heat is left out.
        ahead = LateAhead(run, 0, so_far, None if fresh or looked is None else looked.harvest)
        looked = ahead
        yield Case(
            bin=kept.bin, now=until, today=run.today, history=tuple(history),
            ahead=cast(Ahead, ahead), unfed=cast(Ahead, LateAhead(run, UNFED_DAYS)),
            entries=so_far, judged=tuple(judged), settings=SETTINGS, table=table,
        )  # fmt: skip


def warned(kept: Kept, entries: Sequence[Entry]) -> tuple[Warned, ...]:
    """What the findings warn of, evening by evening."""
    return tuple(Warned(case.on, told(findings(case))) for case in evenings(kept, entries))


def told(found: Sequence[Finding]) -> frozenset[str]:
    """What an evening's findings tell the keeper: a wet handful told back on its own day is the keeper's own word."""
    loud = [each for each in found if each.level is not Level.STEADY and not _told_back(each)]
    codes = {each.code for each in loud} | {each.code for each in found if each.code == "harvest-near"}
    if any("fluff" in step for each in loud for step in each.do):
        codes.add(FLUFF)
    return frozenset(codes)


def _told_back(found: Finding) -> bool:
    """Whether a watch says no more than that one fresh reading in hand was too wet, as the keeper wrote."""
    read_only = found.seen and "the estimate agrees" not in found.what
    return found.code == "too-wet" and found.level is Level.WATCH and read_only


def judge(kept: Kept, walked: Sequence[Warned], from_day: int) -> Judgement:
    """Hold the warnings from ``from_day`` of the log on against the truth."""
    start = kept.truth.days[0].on + timedelta(days=from_day)
    late = [each for each in walked if each.on >= start]
    troubles: list[Verdict] = []
    alarms: list[Verdict] = []
    for kind, codes in CODES.items():
        stood = {each.on for each in walked if each.codes & codes}
        fluff = {each.on for each in walked if FLUFF in each.codes}
        before, after = GRACE[kind]
        for run in kept.truth.troubles(kind):
            if run.first < start or (run.days < 2 and kind is not Trouble.DUE):
                continue
            window = {run.first + timedelta(days=n) for n in range(-before, after + 1)}
            if run.first + timedelta(days=after) > kept.truth.days[-1].on and not window & stood:
                continue  # The log ends before the warning would have been late.
            caught, fluffed = bool(window & stood), bool(window & fluff)
            troubles.append(Verdict(kept.bin.key, kind, run.first, _day(kept, run), run.last, caught, fluffed))
        for run in runs(each.on for each in late if each.codes & codes):
            if not _near(kept.truth, run, NEAR[kind]):
                named = sorted({code for each in late if each.on in run for code in each.codes & codes})
                alarms.append(
                    Verdict(kept.bin.key, kind, run.first, _day(kept, run), run.last, false=True, codes=tuple(named))
                )
    return Judgement(kept.bin.key, tuple(troubles), tuple(alarms), len(late))


def _day(kept: Kept, run: Stretch) -> int:
    return (run.first - kept.truth.days[0].on).days


def _near(truth: Truth, run: Stretch, near: Callable[[DayTruth], bool]) -> bool:
    first = max(truth.days[0].on, run.first - timedelta(days=BESIDE_DAYS))
    last = min(truth.days[-1].on, run.last + timedelta(days=BESIDE_DAYS))
    return any(near(truth.on(first + timedelta(days=n))) for n in range((last - first).days + 1))


def runs(days: Iterable[date], bridge: int = 3) -> Iterator[Stretch]:
    """Runs of days in order; gaps of up to ``bridge`` days do not end one."""
    first: date | None = None
    last = date.min
    for day in days:
        if first is None:
            first = day
        elif (day - last).days > bridge + 1:
            yield Stretch(first, last)
            first = day
        last = day
    if first is not None:
        yield Stretch(first, last)
