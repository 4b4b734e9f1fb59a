"""Made-up comparisons by the hundred: two bins kept by one class, alike or with a true difference, and what is said.

The bins come from ``tests/worlds``, which know nothing of the statistics; only what the pupils wrote is looked at. Who
asks looks every week, as a class does, and believes the first "more than noise".
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from statistics import fmean

from tests.worlds.classroom import LUNCH, PUPILS, ROOM, TEACHER
from tests.worlds.habits import Deed, Dish, Habits, Hand, Story
from tests.worlds.life import make_bin
from tests.worlds.logbook import Row
from wormbin.farm.comparisons.sums import by_week, verdict_of
from wormbin.farm.comparisons.told import TOLD
from wormbin.farm.views.comparison import Verdict
from wormbin.process.readings import SQUEEZES
from wormbin.records.entries import Squeeze
from wormbin.records.kinds.log import Measured
from wormbin.science.paired import LEAST_WEEKS, MOST_WEEKS, WITHIN, WITHIN_EARLY, paired

FIRST = date(2025, 9, 8)
TERM_WEEKS = 14
SIGHTS = {
    Measured.WORKED: ("left_pct",), Measured.MOISTURE: ("moisture_pct", "squeeze"), Measured.TEMPERATURE: ("temp_c",),
    Measured.DEPTH: ("contents_cm",),
}  # fmt: skip
"""The columns of a check that tell of each quantity; worms and weight are read too seldom in a term."""
SI = {"temp_c": 1.0}
"""What a number of a column is multiplied with; 0.01 if not named."""


def story(key: str, *, rate: float = 1.0, cover: str = "loose", warmer_c: float = 0.0, bed: str = "newspaper") -> Story:
    """A class's bin: fed by weight twice a week, and read in a lesson every Wednesday by three pupils."""
    last = FIRST + timedelta(weeks=MOST_WEEKS)
    days = [FIRST + timedelta(days=7 * week + 3) for week in range(MOST_WEEKS)]
    lessons = [
        Deed(day, "check", by=PUPILS[(week + turn) % len(PUPILS)].name, hour=f"10:{5 + turn:02d}")
        for week, day in enumerate(days) for turn in range(3)
    ]  # fmt: skip
    rulers = [
        Deed(FIRST + timedelta(days=7 * week + 3), "ruler", by=TEACHER, hour="10:20") for week in range(MOST_WEEKS)
    ]
    habits = Habits(
        hands=(Hand(TEACHER, steady=0.8), *PUPILS), feed_days=(0, 3), portion_kg=0.45, menu=LUNCH, look=0.0,
        looks_when_feeding=0.3, thermometer=0.5, meter=0.5, left_step=10, bedding=bed, scraps_unit_wobble=0.05,
        scale_with_box=True, blunder=0.03, hour="12:40", fluffs=0.03,
    )  # fmt: skip
    return Story(
        key=key, name=key.title(), length_cm=60, width_cm=40, depth_cm=35, drains=True, cover=cover, method="sort",
        site=replace(ROOM, usual_c=ROOM.usual_c + warmer_c), habits=habits, first=FIRST, last=last,
        beds=(Dish(bed, 1.0, 1.0, "g"),), beds_kg=1.2, water_kg=3.4, worms_kg=0.5, worms_unit="g", rate=rate,
        drift=0.05, tare_kg=2.4, deeds=(*lessons, *rulers),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Pair:
    """How far the pupils read one quantity apart in both bins, by week."""

    about: Measured
    weeks: dict[int, float]

    def said(self, weeks: int, *, over: bool) -> tuple[Verdict, int | None]:
        """What is said after so many weeks."""
        told = TOLD[self.about]
        so_far = {week: value for week, value in self.weeks.items() if week < weeks}
        found = paired(so_far, told.alike, told.carry)
        return verdict_of(found, WITHIN if over else WITHIN_EARLY, told.matters, over=over)


def pairs(seed: int, one: Story, other: Story) -> tuple[Pair, ...]:
    """Two bins lived through, as their logs have them: each quantity."""
    sides = [make_bin(seed, made).rows for made in (one, replace(other, key=f"{other.key}-b"))]
    return tuple(
        Pair(about, by_week(_read(sides[0], columns), _read(sides[1], columns), FIRST, TOLD[about].sign))
        for about, columns in SIGHTS.items()
    )


def _read(rows: Sequence[Row], columns: Sequence[str]) -> dict[str, dict[date, float]]:
    """The mean of each day, by each instrument and each hand that squeezes."""
    ways: dict[str, dict[date, list[float]]] = defaultdict(lambda: defaultdict(list))
    for row in rows:
        if row["kind"] != "check" or row.get("struck"):
            continue
        for column in columns:
            if told := row.get(column):
                hand = column == "squeeze"
                value = SQUEEZES[Squeeze(told)] if hand else float(told) * SI.get(column, 0.01)
                ways[f"{column} {row['by']}" if hand else column][date.fromisoformat(row["when"][:10])].append(value)
    return {way: {day: fmean(values) for day, values in days.items()} for way, days in ways.items()}


def told(seed: int, one: Story, other: Story) -> dict[Measured, tuple[bool, bool, bool]]:
    """By quantity: whether "more than noise" was said by the end of the term, at any look; by the day it says;
    and whether a day was said at all."""
    return {held.about: _told(held) for held in pairs(seed, one, other)}


def _told(held: Pair) -> tuple[bool, bool, bool]:
    early = any(held.said(week, over=False)[0] is Verdict.MORE for week in range(LEAST_WEEKS, TERM_WEEKS))
    verdict, more = held.said(TERM_WEEKS, over=True)
    found = early or verdict is Verdict.MORE
    if found or not more:
        return found, found, found
    return found, held.said(min(TERM_WEEKS + more, MOST_WEEKS), over=True)[0] is Verdict.MORE, True
