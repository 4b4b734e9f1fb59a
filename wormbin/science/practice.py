"""Rules of thumb of the trade: worms to the surface, a first bed, a new bin's rations, how long castings are cured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, pi
from typing import Final

from wormbin.science.blend import Blend, Ingredient, blend
from wormbin.science.constants import SPONGE_MOISTURE

START_KG_M2 = 1.6
"""Live worms to begin with: gave the best castings (Ndegwa, Thompson & Das 2000); up to 2.5 is common practice."""
PLAN_AT_MOST_KG_M2 = 5.0
"""More worms than this are not planned for: one pound to the square foot, crowded [common practice, no source]."""
USUAL_FEED_KG_KG_DAY = 0.5
"""The extension rule of thumb is half to one body weight of feed a day. 0.5 is 1 lb worms to 3.5 lb scraps a week (NYC
Compost Project 2012); 0.75 gave the best castings (Ndegwa, Thompson & Das 2000)."""


def first_worms_kg(area_m2: float) -> float:
    """Live kg of worms to begin with on a surface."""
    return START_KG_M2 * area_m2


def most_worms_kg(area_m2: float) -> float:
    """Live kg of worms above which a surface is not to be planned."""
    return PLAN_AT_MOST_KG_M2 * area_m2


def feed_kg_day(worms_kg: float) -> float:
    """Feed, kg a day, by the rule of thumb: a share of the worms' own weight. The bin's own log knows better."""
    return worms_kg * USUAL_FEED_KG_KG_DAY


RAMP: tuple[tuple[int, float], ...] = ((14, 0.25), (28, 0.5))
"""Up to this many days after stocking, this share of the usual ration."""


def ramp_share(days_stocked: int | None) -> float:
    """Share of the usual ration so many days after worms went in: 0 before (or None), 1 once settled."""
    if days_stocked is None or days_stocked < 0:
        return 0.0
    return next((share for until, share in RAMP if days_stocked < until), 1.0)


def ramp_ends_in(days_stocked: int | None) -> int | None:
    """Days until the present share ends; None when settled or not stocked."""
    if days_stocked is None or days_stocked < 0:
        return None
    return next((until - days_stocked for until, _share in RAMP if days_stocked < until), None)


FILLED_SHARE = 2.0 / 3.0
"""Fluffed bedding fills about two thirds of the box (NYC Compost Project 2012)."""
DEEPEST_M = 0.20
"""No deeper a first bed than this: worms keep to the top 10-15 cm, and more only packs; our choice."""
HANDFUL_KG = 0.10
"""Finished compost or castings that bring the microbes; a handful for each quarter square metre [common practice]."""
GRIT_KG = 0.05
"""Fine sand or ground eggshell for the gizzard; a small handful for each quarter square metre [common practice]."""
HANDFUL_M2 = 0.25
BOX_KG = 0.5
"""A middling corrugated box, flattened, without tape, kg [from memory]."""


@dataclass(frozen=True, slots=True)
class FirstBed:
    """What a new bin begins with: kg as they lie dry, and the water to soak them; ``bed`` is the two as a blend."""

    beddings: tuple[tuple[str, float], ...]
    water_kg: float
    compost_kg: float
    grit_kg: float
    bed: Blend


def bed_depth_m(box_depth_m: float) -> float:
    """Depth of the loose first bed, m: two thirds of the box, at most 20 cm."""
    return min(FILLED_SHARE * box_depth_m, DEEPEST_M)


def first_bed(
    area_m2: float,
    box_depth_m: float,
    beddings: Sequence[tuple[Ingredient, float]],
    *,
    moisture: float = SPONGE_MOISTURE,
) -> FirstBed:
    """Propose the first bed of a box.

    ``beddings`` are pairs of a dry shredded bedding and its part of the bed by volume; parts are taken in proportion.
    Of a bedding only its loose bulk density and moisture count, not its kg. ``moisture`` is aimed at, wet basis; water
    is what the dry bedding lacks (balance of water, Cornell Composting). Good to about a third: how loose a shred lies
    differs. Raises ValueError for no bedding, one without a bulk density, or a size not above zero.
    """
    if area_m2 <= 0 or box_depth_m <= 0:
        raise ValueError("area and depth must be above zero")
    if not 0 < moisture < 1:
        raise ValueError("moisture must be between 0 and 1")
    parts = sum(part for _bedding, part in beddings)
    if not beddings or parts <= 0 or min(part for _bedding, part in beddings) < 0:
        raise ValueError("a first bed needs at least one bedding")
    volume = area_m2 * bed_depth_m(box_depth_m)
    dry: list[Ingredient] = []
    for bedding, part in beddings:
        if bedding.bulk_density_kg_m3 is None:
            raise ValueError(f"{bedding.name or 'the bedding'} has no bulk density")
        dry.append(bedding.with_kg(volume * part / parts * bedding.bulk_density_kg_m3))
    lying = blend(dry)
    water = max(0.0, (moisture * lying.wet_kg - lying.water_kg) / (1.0 - moisture))
    handfuls = max(1, ceil(area_m2 / HANDFUL_M2 - 1e-9))
    return FirstBed(
        beddings=tuple((part.name, part.kg) for part in dry if part.kg > 0),
        water_kg=water,
        compost_kg=handfuls * HANDFUL_KG,
        grit_kg=handfuls * GRIT_KG,
        bed=blend([*dry, Ingredient.water(water)]),
    )


CURE_DAYS = 28
"""Days at 20 C and over."""
CURE_COOL_DAYS = 42
"""Days where it stands cooler: cocoons take longer to hatch."""
COOL_C = 20.0
CURING = (
    "4-6 weeks damp, the longer under 20 C: common practice, no source; cocoons hatch in 18-26 days at 25 C (memory)"
)


def cure_days(site_temp_c: float, own_days: int | None = None) -> int:
    """Days from the harvest to the bag: as the keeper's own lots took (``own_days``), else by the book.

    ``site_temp_c`` is the warmth of the place, degC.
    """
    if own_days is not None:
        return own_days
    return CURE_DAYS if site_temp_c >= COOL_C else CURE_COOL_DAYS


POTTING_SHARE: Final = (0.10, 0.20)
"""Share of a potting mix by volume that grew seedlings best (Atiyeh et al. 2000)."""
POTTING_MOST: Final = 0.40
"""No more than this: salts and waterlogging set plants back (after Atiyeh et al. 2000)."""
DRESSING_M: Final = 0.01
"""Thickness strewn on top of a bed or pot, m (common practice, no source)."""
EXTRACT_WATER_PARTS: Final = 10.0
"""Parts of water to one of castings by volume (Ohio State, BioCycle 2007)."""
EXTRACT_HOURS: Final = 24
"""Hours under air, at most (Ohio State, BioCycle 2007)."""


def dressing_l(area_m2: float) -> float:
    """Litres of castings to strew over a surface."""
    return area_m2 * DRESSING_M * 1000.0


def pots_m2(number: float, across_m: float) -> float:
    """Surface of so many round pots, m2."""
    return number * pi * across_m**2 / 4.0


def extract_l(water_l: float) -> float:
    """Litres of castings for so much water."""
    return water_l / EXTRACT_WATER_PARTS
