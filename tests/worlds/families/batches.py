"""Family one: batches that lie until they are soft and then go by a stretched curve, on bedding that ages.

A batch's own clock runs by warmth, damp and air, slowly by itself and up to nine times as fast where worms enough work
at it: of kitchen waste a fifth to a third is lost in a month without worms (after a Makerere thesis, ratio left with
and without about 0.5-0.65). Bedding's hazard grows with its age (half gone in 75-155 days in a fed bin, outcomes read
together). Castings lose a sixth of a percent a day. One bucket of water; a logistic herd.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from tests.worlds.families.box import WORM_DRY, Box, Lot
from tests.worlds.families.larder import BEDDINGS, FOODS, Food

ALONE = 0.11
"""Share of a batch's full pace without a worm."""
KEPT_FEED, KEPT_BEDDING = 0.40, 0.62
TAKES = 0.55
"""Fresh kg a day that a kg of worms can take at 22 C (extension: half to one body weight)."""
WEARS, AGES = 0.0105, 35.0
QUIETS = 0.0016
GROWS, SHRINKS, ROOM_KG_M2 = 0.045, 0.006, 3.6


def warmth(temp_c: float) -> float:
    """Twice as fast every ten degrees from 1 at 22 C, flat from 27, nothing at 37."""
    return float(2.0 ** ((min(temp_c, 27.0) - 22.0) / 10.0) * max(0.0, min(1.0, (37.0 - temp_c) / 7.0)))


def damp(moisture: float) -> float:
    """Straight up from 0.40 to 1 at 0.68."""
    return max(0.05, min(1.0, (moisture - 0.40) / 0.28))


@dataclass(slots=True)
class Batch(Lot):
    """A lot with its own clock."""

    food: Food = FOODS["vegetable-scraps"]
    organic0: float = 0.0
    ash0: float = 0.0
    age: float = 0.0

    def share_at(self, age: float) -> float:
        """Share left when its clock shows ``age``."""
        return math.exp(-((max(0.0, age - self.food.lag) / self.food.span) ** 1.4))


@dataclass(slots=True)
class Layer:
    """Bedding put in at one time."""

    pace: float
    organic: float
    ash: float
    age: float = 0.0


@dataclass
class Batches(Box):
    """One bucket of water under all of it."""

    lots: list[Batch] = field(default_factory=list)
    layers: list[Layer] = field(default_factory=list)
    cast_organic: float = 0.0
    cast_ash: float = 0.0
    herd_kg: float = 0.0
    bucket_kg: float = 0.0

    def feed(self, food: str, kg: float) -> Batch:
        of = FOODS[food]
        dry = kg * (1 - of.water)
        lot = Batch(kg, 1.0, of, dry * (1 - of.ash), dry * of.ash)
        self.lots.append(lot)
        self.put(dry, kg * of.water)
        self.bucket_kg += kg * of.water
        return lot

    def bed(self, bedding: str, kg: float) -> None:
        of = BEDDINGS[bedding]
        dry = kg * (1 - of.water)
        self.layers.append(Layer(of.pace, dry * (1 - of.ash), dry * of.ash))
        self.put(dry, kg * of.water)
        self.bucket_kg += kg * of.water

    def pour(self, kg: float) -> None:
        self.put(0.0, kg)
        self.bucket_kg += kg

    def stock(self, kg: float) -> None:
        self.put(WORM_DRY * kg, (1 - WORM_DRY) * kg)
        self.herd_kg += kg

    def harvest(self, share: float) -> tuple[float, float]:
        dry = share * self.castings_kg
        water = min(2.8 * dry, share * self.bucket_kg * self.castings_kg / self.dry_kg)
        self.cast_organic *= 1 - share
        self.cast_ash *= 1 - share
        self.bucket_kg -= water
        self.books.dry_taken += dry
        self.books.water_taken += water
        return dry + water, water / (dry + water)

    def live(self, room_c: float, thirst: float) -> None:
        lively = warmth(self.temp_c) * damp(self.moisture) * (0.35 + 0.65 * self.air) * self.own.pace
        wish = sum(each.fresh_kg * (each.left - each.share_at(each.age + lively)) for each in self.lots)
        can = self._takes()
        pace = lively * (ALONE + (1 - ALONE) * min(1.0, can / max(wish, 1e-9)))
        kept = burned = fresh = 0.0
        for lot in self.lots:
            before, lot.age = lot.left, lot.age + pace
            lot.left = min(before, lot.share_at(lot.age))
            gone = lot.organic0 * (before - lot.left)
            fresh += lot.fresh_kg * (before - lot.left)
            kept += KEPT_FEED * self.own.keeps * gone
            burned += (1 - KEPT_FEED * self.own.keeps) * gone
            self.cast_ash += lot.ash0 * (before - lot.left)
        tends = 0.5 + 0.5 * min(1.0, self.herd_kg / self.area_m2 / 1.5)
        for layer in self.layers:
            layer.age += warmth(self.temp_c) * damp(self.moisture)
            hazard = WEARS * layer.pace * self.own.bedding * (1 - math.exp(-layer.age / AGES)) * tends
            part = 1 - math.exp(-hazard * warmth(self.temp_c) * damp(self.moisture))
            gone = part * layer.organic
            layer.organic -= gone
            self.cast_ash += part * layer.ash
            layer.ash *= 1 - part
            kept += KEPT_BEDDING * gone
            burned += (1 - KEPT_BEDDING) * gone
        quiet = (1 - math.exp(-QUIETS * warmth(self.temp_c))) * self.cast_organic
        self.cast_organic += kept - quiet
        burned += quiet
        burned -= self._herd(fresh, burned)
        self.bucket_kg += self.burn(burned)
        self._dry(thirst)
        self.worked_kg_day = fresh
        crust = max(0.0, self.waiting_kg / self.area_m2 - 7.0) / 16.0
        wet = max(0.0, self.moisture - 0.83) / 0.09
        self.air += 0.5 * (max(0.06, min(1.0, 1.1 - crust - 0.7 * wet + 0.3 * self.loose)) - self.air)
        self.warm(room_c, burned, 9.0)
        # What is as good as gone is castings, so that nothing is lost with the line that is dropped.
        for lot in [each for each in self.lots if each.left <= 0.004]:
            self.cast_organic += lot.organic0 * lot.left
            self.cast_ash += lot.ash0 * lot.left
            lot.left = 0.0
            self.lots.remove(lot)

    def _takes(self) -> float:
        lively = warmth(self.temp_c) * self._ease() * (0.3 + 0.7 * self.air)
        return TAKES * self.own.appetite * self.herd_kg * lively

    def _ease(self) -> float:
        return max(0.1, min(1.0, (self.moisture - 0.52) / 0.18, (0.97 - self.moisture) / 0.10))

    def _herd(self, fresh: float, burned: float) -> float:
        """Grow or shrink by what went of feed; returns the dry tissue that was made of what would have burned."""
        full = min(1.0, fresh / max(TAKES * self.own.appetite * self.herd_kg, 1e-9))
        room = 1 - self.herd_kg / (ROOM_KG_M2 * self.own.room * self.area_m2)
        harm = 0.02 * max(0.0, self.temp_c - 31.0) + 0.01 * (1 - self._ease()) + 0.01 * (1 - self.air)
        grows = GROWS * self.own.growth * math.pow(full, 0.7) * min(1.0, warmth(self.temp_c)) * room
        born = min(max(0.0, grows) * self.herd_kg, 0.5 * burned / WORM_DRY, self.bucket_kg)
        gone = min(0.5, SHRINKS + 0.016 * (1 - full) ** 2 + harm + max(0.0, -grows)) * self.herd_kg
        self.herd_kg += born - gone
        self.cast_organic += WORM_DRY * gone
        self.bucket_kg += (1 - WORM_DRY) * (gone - born)
        return WORM_DRY * born

    def _dry(self, thirst: float) -> None:
        wet = min(1.0, self.moisture / 0.80) ** 4
        lost = self.evaporates * self.own.drying * thirst * 1.05 ** (self.temp_c - 20.0) * self.area_m2 * wet
        lost = min(lost, 0.3 * self.bucket_kg)
        self.bucket_kg -= lost
        self.books.dried += lost
        feed = sum((each.organic0 + each.ash0) * each.left for each in self.lots)
        bedding = sum(each.organic + each.ash for each in self.layers)
        over = max(0.0, self.bucket_kg - 7.0 * feed - 4.6 * bedding - 3.7 * self.castings_kg)
        if self.drains:
            self.bucket_kg -= 0.5 * over
            self.books.ran_out += 0.5 * over
        self.standing_kg = 0.4 * over

    @property
    def worms_kg(self) -> float:
        return self.herd_kg

    @property
    def castings_kg(self) -> float:
        return self.cast_organic + self.cast_ash

    @property
    def dry_kg(self) -> float:
        feed = sum((each.organic0 + each.ash0) * each.left for each in self.lots)
        return self.castings_kg + feed + sum(each.organic + each.ash for each in self.layers)

    @property
    def water_kg(self) -> float:
        return self.bucket_kg

    @property
    def felt(self) -> float:
        return self.moisture

    @property
    def waiting_kg(self) -> float:
        return sum(each.fresh_kg * each.left for each in self.lots)

    @property
    def can_kg_day(self) -> float:
        return self._takes() + ALONE * self.worked_kg_day

    @property
    def contents_m(self) -> float:
        bedding = sum((each.organic + each.ash) / (45 + 45 * (1 - math.exp(-each.age / 30))) for each in self.layers)
        return (bedding + self.castings_kg / 195.0 + self.waiting_kg / 620.0) / self.area_m2
