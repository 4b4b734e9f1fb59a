"""What was likely done in a forgotten stretch of the log, to be offered for catching up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from wormbin.records.entries import Entry
from wormbin.records.farms import Settings
from wormbin.records.habits import usual_material, usual_meal_kg
from wormbin.records.silences import Silence
from wormbin.schedule.days import feeding_days


@dataclass(frozen=True, slots=True)
class LikelyFeeding:
    """A feeding that was likely given in a gap: to be offered, never written by itself."""

    on: date
    kg: float
    material: str


def likely_feedings(
    bin_key: str, entries: Sequence[Entry], settings: Settings, gap: Silence
) -> tuple[LikelyFeeding, ...]:
    """The usual meal on each feeding day of the gap, from the habit before it; empty when there was none."""
    before = gap.first - timedelta(days=1)
    meal, material = usual_meal_kg(entries, before), usual_material(entries, before)
    if meal is None or not material:
        return ()
    return tuple(LikelyFeeding(day, meal, material) for day in feeding_days(settings, gap.first, gap.last, bin_key))
