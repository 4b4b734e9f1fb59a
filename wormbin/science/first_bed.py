"""A new bin's first bedding, water and feedings, as numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from wormbin.science.blend import Blend, Ingredient, blend
from wormbin.science.constants import SPONGE_MOISTURE
from wormbin.science.ramp import RAMP, ramp_share
from wormbin.science.stocking import USUAL_FEED_KG_KG_DAY, feed_kg_day

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
class Ration:
    """Feed from day ``first_day`` to before ``until_day`` after the worms went in (None: from then on), fresh kg."""

    first_day: int
    until_day: int | None
    share: float
    kg_day: float

    @property
    def kg_week(self) -> float:
        """Fresh kg a week."""
        return 7.0 * self.kg_day


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


def rations(worms_kg: float) -> tuple[Ration, ...]:
    """The ramp of a new bin: a quarter for two weeks, a half for two more, then all of half the worms' weight a day."""
    edges = [0, *(until for until, _share in RAMP)]
    untils = [*(until for until, _share in RAMP), None]
    full = feed_kg_day(worms_kg, USUAL_FEED_KG_KG_DAY)
    return tuple(
        Ration(first, until, ramp_share(first), full * ramp_share(first))
        for first, until in zip(edges, untils, strict=True)
    )
