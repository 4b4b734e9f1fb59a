"""How long what waits in a made-up bin really takes, fed no more: the made-up bed left alone in its weather."""

from __future__ import annotations

import copy
import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from random import Random

from tests.worlds.bed import Bed
from tests.worlds.habits import Story
from tests.worlds.keeper import Keeper
from tests.worlds.weather import Air, days_of_air

SEEN_KG_M2 = 0.5
LONGEST_DAYS = 90


@dataclass(frozen=True, slots=True)
class TrueDays:
    """One evening of a made-up bin: the feed waiting, kg, and the bin itself, to be left alone."""

    on: date
    waiting_kg: float
    bed: Bed
    airs: list[Air]

    def until(self, left_kg: float) -> float | None:
        """Days until so much of it is left, fed no more; None where it takes longer than anybody waits."""
        bed, before = copy.deepcopy(self.bed), self.waiting_kg
        for number in range(LONGEST_DAYS):
            air = self.airs[min(number, len(self.airs) - 1)]
            bed.step(air)
            bed.step(air)
            now = bed.feed_waiting_kg
            if now <= left_kg:
                return number + (before - left_kg) / (before - now)
            before = now
        return None


def true_days(seed: int, story: Story, every: int, first: int = 20) -> Iterator[TrueDays]:
    """Every ``every``-th evening from day ``first`` on with more than a smear waiting.

    The bin is lived through as ``tests.worlds.life.make_bin`` does, to the same log.
    """
    bed = Bed(
        story.area_m2, story.depth_cm / 100.0, story.drains, story.cover, rate=story.rate, drying=story.drying,
        temp_c=story.site.usual_c,
    )  # fmt: skip
    keeper = Keeper(story, bed, Random(f"{seed}/{story.key}/keeper"))
    drifts = Random(f"{seed}/{story.key}/drift")
    airs = list(days_of_air(story.site, story.first, story.last, Random(f"{seed}/{story.key}/weather")))
    wander = 0.0
    for ahead, air in enumerate(airs):
        day = story.first + timedelta(days=ahead)
        wander = wander * (1.0 - 1.0 / 400.0) + drifts.gauss(0.0, story.drift / math.sqrt(365.25))
        bed.rate = story.rate * math.exp(wander)
        opened = 1.0 if any(begin <= day <= end for begin, end in story.lid_open) else 0.0
        if ahead == 0:
            keeper.set_up(day)
        bed.step(air, opened)
        keeper.visit(day)
        bed.step(air, opened)
        if ahead >= first and ahead % every == 0 and bed.feed_waiting_kg > SEEN_KG_M2 * bed.area_m2:
            yield TrueDays(day, bed.feed_waiting_kg, copy.deepcopy(bed), airs[ahead + 1 :] or [air])
