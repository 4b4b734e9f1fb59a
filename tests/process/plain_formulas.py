"""How fast feed is eaten, decays, warms and dries: the plain formulas, one at a time, with their sources.

The model lays the same formulas out for speed; the checks of its equations hold the two to each other.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

from wormbin.science.constants import SECONDS_A_DAY
from wormbin.science.response import (
    eating,
    microbes,
    moist_eating,
    moist_microbes,
    saturation_vapour_kpa,
    surface_wetness,
    usual_humidity,
)


def capacity_kg_day(
    worms_kg: float, temp_c: float, moisture: float, appetite: float = 0.15, species: str = "eisenia"
) -> float:
    """The most that worms eat, kg dry a day, at this warmth and moisture; ``appetite`` kg dry per kg live at best."""
    return appetite * worms_kg * eating(temp_c, species) * moist_eating(moisture)


def eaten_kg_day(capacity: float, liked_kg: float, half_kg: float) -> float:
    """Kg dry eaten a day of what is there: saturating, half of ``capacity`` when ``liked_kg`` is ``half_kg``.

    ``liked_kg`` is the softened feed weighed by how well it is liked. Holling's disc in form; constants calibrated.
    """
    return capacity * liked_kg / (liked_kg + half_kg) if liked_kg > 0.0 else 0.0


def shared(eaten: float, amounts: Sequence[float], liking: Sequence[float]) -> tuple[float, ...]:
    """What is eaten of each pool, kg dry a day: in proportion to liking times what is there."""
    pulls = [a * b for a, b in zip(amounts, liking, strict=True)]
    whole = sum(pulls)
    return tuple(eaten * pull / whole if whole > 0.0 else 0.0 for pull in pulls)


def heap_pace(thick_m: float, half_shut_m: float = 0.03, least: float = 0.3) -> float:
    """How fast a layer of fresh feed goes, against a thin one (1), by its thickness in m; never under ``least``.

    Layers of 2.5-4 cm at most (NC State Extension, Controlling Mite Pests in Earthworm Beds): thicker ones settle, sour
    and shut air and worms out. The shape is ours, calibrated.
    """
    return least + (1.0 - least) / (1.0 + (thick_m / half_shut_m) ** 2)


def decay_share_day(rate_20: float, temp_c: float, moisture: float) -> float:
    """Share decayed by microbes a day with air enough: rate at 20 degC times warmth and moisture (Haug, memory)."""
    return rate_20 * microbes(temp_c) * moist_microbes(moisture)


def heat_rise_c(burned_kg_day: float, dried_kg_day: float, area_m2: float, depth_m: float, loss: float = 3.0) -> float:
    """How far a bin settles over its site, K: 20 MJ per kg burned less 2.45 per kg dried, over ``loss`` W/m2/K.

    The outer surface is top, base and four sides of a square bin (heat: Haug 1993, from memory; loss calibrated).
    """
    watts = (20.0e6 * burned_kg_day - 2.45e6 * dried_kg_day) / SECONDS_A_DAY
    return watts / (loss * (2.0 * area_m2 + 4.0 * sqrt(area_m2) * depth_m))


def dried_kg_day(
    book_kg_m2_day: float, area_m2: float, moisture: float, bin_c: float, site_c: float, humidity: float | None = None
) -> float:
    """Water that evaporates a day, kg: the book's at 20 degC and 50 %, by vapour deficit and surface wetness."""
    humid = usual_humidity(site_c) if humidity is None else humidity
    return book_kg_m2_day * area_m2 * surface_wetness(moisture) * vapour_deficit(bin_c, site_c, humid)


def vapour_deficit(bin_temp_c: float, site_temp_c: float, humidity: float = 0.5) -> float:
    """Drying power of the site's air over a surface at ``bin_temp_c``, against 20 degC and 50 % humidity (1.0)."""
    deficit = saturation_vapour_kpa(bin_temp_c) - humidity * saturation_vapour_kpa(site_temp_c)
    return max(0.0, deficit / (0.5 * saturation_vapour_kpa(20.0)))


def room_for(area_m2: float, wet_contents_kg: float, per_m2: float = 8.0, per_kg: float = 0.05) -> float:
    """The most worms, live kg, that a bed carries: the lesser of ``per_m2`` and ``per_kg`` of wet contents.

    Pot data end at 24-31 g of worms per kg of bed (Dominguez & Edwards 1997); 5 kg/m2 is the most to plan for.
    """
    return min(per_m2 * area_m2, per_kg * wet_contents_kg)


def crowding(worms_kg: float, room_kg: float) -> float:
    """Growth against that of worms with room to spare, 0-1: ``1 - worms / room``, never below 0."""
    return max(0.0, 1.0 - worms_kg / room_kg) if room_kg > 0.0 else 0.0


def stirred(worms_kg: float, area_m2: float, most: float = 1.2, half_kg_m2: float = 0.3) -> float:
    """How much faster microbes work where worms break up, mix and air: 1 without any, ``1 + most`` among very many."""
    return 1.0 + most * worms_kg / (worms_kg + half_kg_m2 * area_m2)
