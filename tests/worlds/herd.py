"""The worms of a made-up bin: cocoons, young and grown ones, crowded by room and by food."""

from __future__ import annotations

import math
from dataclasses import dataclass

YOUNG_KG, GROWN_KG = 0.00014, 0.00048
HATCH_DAYS, RIPEN_DAYS = 27.0, 58.0


def zest(temp_c: float) -> float:
    """How lively worms are at ``temp_c``: 1.0 near 24 C, nothing below 3 or above 35 C, skewed to the cold side."""
    if temp_c <= 3.0 or temp_c >= 35.0:
        return 0.0
    cold, hot = (temp_c - 3.0) / 21.0, (35.0 - temp_c) / 11.0
    return float(min(1.0, cold**1.15 * hot**0.45) if temp_c < 24.0 else hot**0.45)


def ease(moisture: float) -> float:
    """How well worms move and breathe at ``moisture``: a flat top from 0.71 to 0.87 with sloping shoulders."""
    if moisture < 0.71:
        return max(0.0, (moisture - 0.50) / 0.21)
    return 1.0 if moisture <= 0.87 else max(0.15, 1.0 - (moisture - 0.87) / 0.09)


@dataclass(slots=True)
class Herd:
    """Live kg of cocoons (as the young they will be), young and grown worms; ``up`` is the share that is feeding."""

    cocoons_kg: float = 0.0
    young_kg: float = 0.0
    grown_kg: float = 0.0
    up: float = 0.3

    @property
    def kg(self) -> float:
        """Live worms, kg, without cocoons."""
        return self.young_kg + self.grown_kg

    @property
    def appetite_kg(self) -> float:
        """Live kg that eats as grown worms do; the young eat more for their size."""
        return self.grown_kg + 1.25 * self.young_kg

    @property
    def count(self) -> float:
        """How many worms, young and grown."""
        return self.young_kg / YOUNG_KG + self.grown_kg / GROWN_KG

    def add(self, kg: float) -> None:
        """Put in ``kg`` of mixed worms; below zero takes them out in the proportion they are there."""
        if kg >= 0.0:
            self.young_kg += 0.3 * kg
            self.grown_kg += 0.7 * kg
            return
        left = max(0.0, 1.0 + kg / self.kg) if self.kg > 0 else 0.0
        self.young_kg *= left
        self.grown_kg *= left

    def live(self, days: float, *, fed: float, room_kg: float, temp_c: float, moisture: float, air: float) -> float:
        """Live ``days`` (a step of a day or less); ``fed`` is 0-1. Returns the live kg gained, below zero when lost."""
        before = self.kg
        lively = zest(temp_c) * ease(moisture) * air
        space = max(0.0, 1.0 - before / max(room_kg, 1e-6))
        laid = 0.058 * self.grown_kg * lively * fed * space
        warmth = 1.9 ** ((temp_c - 22.0) / 10.0)
        hatched = self.cocoons_kg * min(1.0, warmth * days / HATCH_DAYS)
        ripened = self.young_kg * min(1.0, warmth * days / RIPEN_DAYS)
        fatten = 0.032 * self.young_kg * lively * fed * (0.25 + 0.75 * space)
        loss = self._loss(fed, temp_c, moisture, air) + 0.004 * max(0.0, before / max(room_kg, 1e-6) - 1.0)
        self.cocoons_kg += laid * days - hatched
        self.young_kg += hatched + fatten * days - ripened
        self.grown_kg += ripened
        keep = math.exp(-loss * days)
        self.young_kg *= keep
        self.grown_kg *= keep
        return self.kg - before

    def _loss(self, fed: float, temp_c: float, moisture: float, air: float) -> float:
        """Share of the worms that dies or leaves a day."""
        loss = 0.0025 + 0.006 * (1.0 - fed)
        loss += 0.006 * max(0.0, temp_c - 30.0) ** 2 + 0.0015 * max(0.0, 5.0 - temp_c) ** 2
        loss += 0.35 * max(0.0, moisture - 0.90) + 0.25 * max(0.0, 0.60 - moisture)
        return min(0.5, loss + 0.018 * max(0.0, 0.5 - air))

    def wander(self, days: float, food_dry_kg: float, comfort: float) -> None:
        """Commute between the finished and the feeding zone, towards food and away from what hurts."""
        pull = food_dry_kg / (food_dry_kg + 0.06 * self.kg + 1e-9)
        aim = 0.12 + 0.78 * pull * comfort
        self.up += (aim - self.up) * min(1.0, 0.55 * days)
