"""Made-up comparisons by the hundred: two bins kept by one class, alike or with a true difference, and what is said.

The bins come from ``tests/worlds``, which know nothing of the statistics; only what the pupils wrote is looked at. Who
asks looks every week, as a class does, and believes the first "more than noise".
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import date, timedelta
from statistics import fmean

from tests.worlds.classroom import LUNCH, PUPILS, ROOM, TEACHER
from tests.worlds.habits import Deed, Dish, Habits, Hand, Story
from tests.worlds.life import make_bin
from wormbin.farm.comparisons.sums import verdict_of, weekly
from wormbin.farm.views.comparison import Verdict
from wormbin.science.paired import ALIKE, WITHIN, WITHIN_EARLY, paired

FIRST = date(2025, 9, 8)
TERM_WEEKS, MOST_WEEKS = 14, 52
FIGURES = {
    "left": ("left_pct", 0.01, -1.0, 0.10),
    "moisture": ("moisture_pct", 0.01, 1.0, 0.03),
    "depth": ("contents_cm", 0.01, 1.0, 0.015),
}
"""Column, its factor to SI, its sign and the least difference worth telling, as in the farm."""


def story(key: str, *, rate: float = 1.0, drying: float = 1.0, bed: str = "newspaper") -> Story:
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
        key=key, name=key.title(), length_cm=60, width_cm=40, depth_cm=35, drains=True, cover="loose", method="sort",
        site=ROOM, habits=habits, first=FIRST, last=last, beds=(Dish(bed, 1.0, 1.0, "g"),), beds_kg=1.2, water_kg=3.4,
        worms_kg=0.5, worms_unit="g", rate=rate, drying=drying, drift=0.05, tare_kg=2.4, deeds=(*lessons, *rulers),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Pair:
    """What the pupils read of one figure in both bins, by day."""

    mine: dict[date, float]
    theirs: dict[date, float]

    def said(self, weeks: int, matters: float, sign: float, *, over: bool) -> tuple[Verdict, int | None]:
        """What is said after so many weeks."""
        until = FIRST + timedelta(weeks=weeks)
        one, other = ({day: value for day, value in side.items() if day < until} for side in (self.mine, self.theirs))
        found = paired({week: sign * value for week, value in weekly(one, other, FIRST).items()}, ALIKE * matters)
        return verdict_of(found, WITHIN if over else WITHIN_EARLY, matters, over=over)


def pairs(seed: int, one: Story, other: Story) -> dict[str, Pair]:
    """Two bins lived through, as their logs have them: each figure."""
    sides = []
    for made in (make_bin(seed, one), make_bin(seed, replace(other, key=f"{other.key}-b"))):
        days: dict[str, dict[date, list[float]]] = {figure: defaultdict(list) for figure in FIGURES}
        for row in made.rows:
            for figure, (column, factor, *_) in FIGURES.items():
                if row["kind"] != "check" or row.get("struck"):
                    continue
                day = date.fromisoformat(row["when"][:10])
                if row.get(column):
                    days[figure][day].append(float(row[column]) * factor)
        sides.append(days)
    return {figure: Pair(*(_mean(side[figure]) for side in sides)) for figure in FIGURES}


def _mean(days: dict[date, list[float]]) -> dict[date, float]:
    return {day: fmean(values) for day, values in days.items()}


def told(seed: int, one: Story, other: Story) -> dict[str, tuple[bool, bool, bool]]:
    """By figure: whether "more than noise" was said by the end of the term, at any look; by the day it says;
    and whether a day was said at all."""
    return {figure: _told(held, figure) for figure, held in pairs(seed, one, other).items()}


def _told(held: Pair, figure: str) -> tuple[bool, bool, bool]:
    _, _, sign, matters = FIGURES[figure]
    early = any(held.said(week, matters, sign, over=False)[0] is Verdict.MORE for week in range(6, TERM_WEEKS))
    verdict, more = held.said(TERM_WEEKS, matters, sign, over=True)
    found = early or verdict is Verdict.MORE
    if found or not more:
        return found, found, found
    weeks = min(TERM_WEEKS + more, MOST_WEEKS)
    return found, held.said(weeks, matters, sign, over=True)[0] is Verdict.MORE, True
