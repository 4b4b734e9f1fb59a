"""The air around a made-up bin: seasons, restless weather, spells, and a site that drifts."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from random import Random


@dataclass(frozen=True, slots=True)
class Spell:
    """Days (both ends included) on which the site is warmer or colder than the season, or damper, than it would be."""

    first: date
    last: date
    warmer_c: float = 0.0
    damper: float = 0.0


@dataclass(frozen=True, slots=True)
class Site:
    """A place: its usual temperature, the half swing of its year, how restless it is (all degC), and its spells."""

    usual_c: float
    swing_c: float = 2.5
    restless_c: float = 1.0
    creep_c_year: float = 0.0
    spells: tuple[Spell, ...] = ()


@dataclass(frozen=True, slots=True)
class Air:
    """One day's air at the site: degC, and relative humidity as a fraction."""

    temp_c: float
    humidity: float

    @property
    def thirst(self) -> float:
        """How hard the air pulls water, 1.0 at 20 C and half saturated."""
        pull = math.exp(0.061 * (self.temp_c - 20.0)) * (1.0 - self.humidity) / 0.5
        return max(0.08, pull)


def days_of_air(site: Site, first: date, last: date, rng: Random) -> Iterator[Air]:
    """The air of each day from ``first`` to ``last``: a yearly wave (warmest late in July) plus two AR(1) walks."""
    warm, damp = rng.gauss(0.0, site.restless_c), 0.0
    for ahead in range((last - first).days + 1):
        day = first + timedelta(days=ahead)
        warm = 0.86 * warm + rng.gauss(0.0, site.restless_c * 0.51)
        damp = 0.80 * damp + rng.gauss(0.0, 0.05)
        turn = math.cos(2.0 * math.pi * (day.timetuple().tm_yday - 207) / 365.25)
        spells = [spell for spell in site.spells if spell.first <= day <= spell.last]
        temp = site.usual_c + site.swing_c * turn + warm + site.creep_c_year * ahead / 365.25
        temp += sum(spell.warmer_c for spell in spells)
        humidity = 0.50 + 0.06 * turn + damp + sum(spell.damper for spell in spells)
        yield Air(temp, min(0.92, max(0.22, humidity)))
