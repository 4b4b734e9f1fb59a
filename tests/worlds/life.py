"""Lives a story through: weather, bed and keeper day by day, giving the bin's record, its log and the truth."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta
from random import Random

from tests.worlds.bed import Bed
from tests.worlds.habits import Story
from tests.worlds.keeper import Keeper
from tests.worlds.logbook import Row, number
from tests.worlds.truth import DayTruth, Pile, Truth
from tests.worlds.weather import days_of_air


@dataclass(frozen=True, slots=True)
class MadeBin:
    """A made-up bin: its row of ``bins.csv``, its rows of ``log.csv`` in order of time, and the truth."""

    record: Row
    rows: tuple[Row, ...]
    truth: Truth


def make_bin(seed: int, story: Story) -> MadeBin:
    """Live ``story`` through with all chances drawn from ``seed``: the same seed gives the same bin, to the letter."""
    bed = Bed(
        story.area_m2, story.depth_cm / 100.0, story.drains, story.cover, rate=story.rate, drying=story.drying,
        temp_c=story.site.usual_c,
    )  # fmt: skip
    keeper = Keeper(story, bed, Random(f"{seed}/{story.key}/keeper"))
    drifts = Random(f"{seed}/{story.key}/drift")
    airs = days_of_air(story.site, story.first, story.last, Random(f"{seed}/{story.key}/weather"))
    days: list[DayTruth] = []
    pile, wander = Pile(), 0.0
    for ahead, air in enumerate(airs):
        day = story.first + timedelta(days=ahead)
        wander = wander * (1.0 - 1.0 / 400.0) + drifts.gauss(0.0, story.drift / math.sqrt(365.25))
        bed.rate = story.rate * math.exp(wander)
        opened = 1.0 if any(first <= day <= last for first, last in story.lid_open) else 0.0
        if ahead == 0:
            keeper.set_up(day)
        bed.step(air, opened)
        keeper.visit(day)
        bed.step(air, opened)
        waiting = bed.feed_waiting_kg
        pile_days = waiting / max(bed.could_work_kg_day, bed.worked_kg_day, 1e-9) if waiting > 0.02 else 0.0
        piling = pile.day(pile_days, waiting / bed.area_m2)
        days.append(_truth(day, bed, pile_days, piling, keeper.fed_today_kg))
    rows = tuple(sorted(keeper.rows, key=lambda row: row["when"]))
    truth = Truth(story.key, tuple(days), story.rate, story.drying, tuple(keeper.harvested))
    return MadeBin(record_of(story), rows, truth)


def _truth(day: date, bed: Bed, pile_days: float, piling: bool, fed_kg: float) -> DayTruth:
    standing_m = bed.standing_kg / 1000.0 / bed.area_m2
    return DayTruth(
        on=day, moisture=bed.moisture, feed_waiting_kg=bed.feed_waiting_kg, waiting_days=pile_days,
        castings_share=bed.castings_share, castings_dry_kg=bed.castings_kg, worms_kg=bed.herd.kg, dry_kg=bed.dry_kg,
        total_kg=bed.total_kg, contents_m=bed.contents_m, temp_c=bed.temp_c, air=bed.air, standing_m=standing_m,
        worked_kg_day=bed.worked_kg_day, fed_kg=fed_kg, rate=bed.rate, piling_up=piling,
    )  # fmt: skip


def record_of(story: Story) -> Row:
    """The bin's row of ``bins.csv``."""
    row = {
        "bin": story.key, "name": story.name, "length_cm": str(story.length_cm), "width_cm": str(story.width_cm),
        "depth_cm": str(story.depth_cm), "compartments": "1", "drainage": "yes" if story.drains else "no",
        "cover": story.cover, "species": "eisenia", "site_temp_c": number(story.site.usual_c, 1),
        "method": story.method, "tare_kg": number(story.tare_kg, 1) if story.tare_kg is not None else "",
        "started": story.first.isoformat(), "keeper": story.habits.hands[0].name,
    }  # fmt: skip
    return {column: value for column, value in row.items() if value}
