"""A made-up bin on other equations than the first world's and than the program's: batches, a water bucket, a logistic.

Feed lies in batches that soften for a while and then go by a stretched curve, never faster together than the herd can
take them. Water is one bucket with a weekly mood of the air. All figures are this world's own, from memory, plausible.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

HOLDS = 6.4
"""Litres of water that a dry kg of contents holds before it runs (ours)."""
WORKED_TO_CASTINGS, BEDDING_TO_CASTINGS = 0.48, 0.62
BEDDING_WORN_DAY = 0.010
ACID_PH = 1.4
"""pH that a kilogram of sour feed gone a square metre takes away (ours)."""


@dataclass(frozen=True, slots=True)
class Food:
    """One food: moisture (fraction), days to soften, days that its going is stretched over, and how sour (0-1)."""

    moisture: float
    softens: float
    goes: float
    sour: float = 0.0


FOODS = {
    "vegetable-scraps": Food(0.88, 0.9, 2.1),
    "melon-rind": Food(0.93, 0.5, 1.7),
    "banana-peel": Food(0.87, 1.1, 2.0),
    "apple-cores": Food(0.83, 1.2, 2.4, 0.15),
    "coffee-grounds": Food(0.64, 0.5, 3.2, 0.05),
    "leaf-lettuce": Food(0.95, 0.5, 1.5),
    "carrots": Food(0.89, 1.4, 2.7),
    "orange-peel": Food(0.75, 1.6, 3.5, 1.0),
}


def lively(temp_c: float) -> float:
    """How lively the bin is at ``temp_c``: straight lines from 0 at 3 C up to 1 at 19-27 C and down to 0 at 35 C."""
    return max(0.0, min(1.0, (temp_c - 3.0) / 16.0, (35.0 - temp_c) / 8.0))


def at_ease(moisture: float) -> float:
    """How well worms do at ``moisture``: straight lines, 1 from 0.70 to 0.87."""
    return max(0.1, min(1.0, (moisture - 0.50) / 0.20, 1.0 - (moisture - 0.87) / 0.08))


@dataclass(slots=True)
class Batch:
    """One thing fed at one time: kg as it came; ``age`` are the days that its own clock has run."""

    food: Food
    fresh_kg: float
    age: float = 0.0

    @property
    def left(self) -> float:
        """Share that is still there: all until it is soft, then a stretched curve."""
        return math.exp(-((max(0.0, self.age - self.food.softens) / self.food.goes) ** 1.5))

    def would_go(self, days: float) -> float:
        """Fresh kg that would go in so many days of its clock."""
        return self.fresh_kg * (self.left - Batch(self.food, 1.0, self.age + days).left)


@dataclass(slots=True)
class PlainBed:
    """All that is in one bin: kg, m, degC, fractions. ``takes`` is fresh kg a day that a kg of its worms can take."""

    area_m2: float
    drains: bool
    takes: float
    dries: float
    holds_worms_kg: float
    worms_kg: float
    temp_c: float
    bedding_kg: float = 0.0
    castings_kg: float = 0.0
    water_kg: float = 0.0
    ph: float = 7.1
    batches: list[Batch] = field(default_factory=list)

    def put(self, food: str, kg: float) -> Batch:
        """Feed it; the water counts from the start. Returns what was put in, to be looked at later."""
        batch = Batch(FOODS[food], kg)
        self.batches.append(batch)
        self.water_kg += kg * FOODS[food].moisture
        return batch

    def day(self, room_c: float, mood: float, open_lid: float = 1.0) -> None:
        """Live one day: ``mood`` is the week's pull of the air on water, ``open_lid`` its factor while nothing covers.

        The bedding goes half of the way to the room's temperature a day.
        """
        can = self.can_kg_day
        wish = sum(batch.would_go(1.0) for batch in self.batches)
        pace = min(lively(self.temp_c), can / max(wish, 1e-9))
        dry_gone = sour_gone = 0.0
        for batch in self.batches:
            gone = batch.would_go(pace)
            dry_gone += gone * (1.0 - batch.food.moisture)
            sour_gone += gone * batch.food.sour
            batch.age += pace
        self.batches = [batch for batch in self.batches if batch.left > 0.01]
        worn = BEDDING_WORN_DAY * lively(self.temp_c) * at_ease(self.moisture) * self.bedding_kg
        self.bedding_kg -= worn
        self.castings_kg += WORKED_TO_CASTINGS * dry_gone + BEDDING_TO_CASTINGS * worn
        burned = (1.0 - WORKED_TO_CASTINGS) * dry_gone + (1.0 - BEDDING_TO_CASTINGS) * worn
        pull = self.dries * mood * open_lid * (1.0 + 0.04 * (self.temp_c - 20.0))
        lost = self.area_m2 * pull * min(1.0, self.moisture / 0.78) ** 5
        self.water_kg = max(0.3 * self.dry_kg, self.water_kg + 0.5 * burned - lost)
        if self.drains:
            self.water_kg -= 0.6 * self.over_kg
        self.ph += 0.10 * (7.1 - self.ph) - ACID_PH * sour_gone / self.area_m2
        self.ph = max(4.3, self.ph)
        grows = 0.014 * lively(self.temp_c) * at_ease(self.moisture) * (1.0 - self.worms_kg / self.holds_worms_kg)
        harmed = 0.01 * max(0.0, self.temp_c - 31.0) + 0.01 * max(0.0, 5.2 - self.ph)
        self.worms_kg *= 1.0 + grows - harmed
        warmed = min(2.0, 6.0 * burned / max(self.dry_kg + self.water_kg, 1e-9) * 10.0)
        self.temp_c += 0.5 * (room_c + warmed - self.temp_c)

    def harvest(self, share: float) -> float:
        """Take off so much of the castings with their water; returns the wet kg."""
        dry = share * self.castings_kg
        water = self.water_kg * dry / self.dry_kg
        self.castings_kg -= dry
        self.water_kg -= water
        return dry + water

    @property
    def can_kg_day(self) -> float:
        """Fresh kg that the herd and what lives beside it can take today."""
        return self.takes * self.worms_kg * lively(self.temp_c) * at_ease(self.moisture) + 0.02 * self.area_m2

    @property
    def waiting_kg(self) -> float:
        """Feed that is still there, as it came."""
        return sum(batch.fresh_kg * batch.left for batch in self.batches)

    @property
    def waiting_days(self) -> float:
        """Days of today's kind until three quarters of that are gone, were nothing more fed; at most 60."""
        waits = [Batch(each.food, each.fresh_kg, each.age) for each in self.batches]
        start, can = self.waiting_kg, self.can_kg_day
        for day in range(60):
            left = sum(each.fresh_kg * each.left for each in waits)
            if left <= 0.25 * start + 1e-4:
                return float(day)
            pace = min(lively(self.temp_c), can / max(sum(each.would_go(1.0) for each in waits), 1e-9))
            for each in waits:
                each.age += pace
        return 60.0

    @property
    def dry_kg(self) -> float:
        """All dry matter."""
        feed = sum(batch.fresh_kg * batch.left * (1.0 - batch.food.moisture) for batch in self.batches)
        return self.bedding_kg + self.castings_kg + feed

    @property
    def moisture(self) -> float:
        """Moisture of the whole contents, fraction wet basis."""
        whole = self.water_kg + self.dry_kg
        return self.water_kg / whole if whole > 0 else 0.0

    @property
    def over_kg(self) -> float:
        """Water above what the contents hold: it stands, or runs out."""
        return max(0.0, self.water_kg - HOLDS * self.dry_kg)

    @property
    def castings_share(self) -> float:
        """Castings as a share of all dry matter."""
        return self.castings_kg / self.dry_kg if self.dry_kg > 0 else 0.0

    @property
    def contents_m(self) -> float:
        """Depth of the contents: bedding settles to about 80 kg/m3 dry, castings to 190, feed lies at 600 as it is."""
        return (self.bedding_kg / 80.0 + self.castings_kg / 190.0 + self.waiting_kg / 600.0) / self.area_m2
