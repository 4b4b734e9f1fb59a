"""A new bin's first bedding, water, worms and feedings, as numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from wormbin.figures import Basis, Quantity, Working
from wormbin.science.blend import Blend, Ingredient, blend
from wormbin.science.ramp import RAMP, ramp_share
from wormbin.science.stocking import USUAL_FEED_KG_KG_DAY, feed_kg_day, worms_for_area_kg, worms_for_feed_kg

FILLED_SHARE = 2.0 / 3.0
"""Fluffed bedding fills about two thirds of the box (NYC Compost Project 2012)."""
DEEPEST_M = 0.20
"""No deeper a first bed than this: worms keep to the top 10-15 cm, and more only packs; our choice."""
TARGET_MOISTURE = 0.78
"""A wrung-out sponge, inside 75-85 %."""
HANDFUL_KG = 0.10
"""Finished compost or castings that bring the microbes; a handful for each quarter square metre [common practice]."""
GRIT_KG = 0.05
"""Fine sand or ground eggshell for the gizzard; a small handful for each quarter square metre [common practice]."""
HANDFUL_M2 = 0.25
BOX_KG = 0.5
"""A middling corrugated box, flattened, without tape, kg [from memory]."""
SOAK_HOURS = 12
"""A night of soaking before use [common practice, no source]."""


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
    """What a new bin begins with: kg as they lie dry, the water to soak them, and the first weeks' rations.

    ``worms_kg`` is what is proposed, ``worms_between_kg`` what the surface bears at the start. ``boxes`` is how many
    middling cartons make up the first bedding. ``bed`` is the soaked bedding as a blend.
    """

    beddings: tuple[tuple[str, float], ...]
    boxes: int
    water_kg: float
    compost_kg: float
    grit_kg: float
    worms_kg: float
    worms_between_kg: tuple[float, float]
    rations: tuple[Ration, ...]
    bed_depth_m: float
    soak_hours: int
    bed: Blend


def bed_depth_m(box_depth_m: float) -> float:
    """Depth of the loose first bed, m: two thirds of the box, at most 20 cm."""
    return min(FILLED_SHARE * box_depth_m, DEEPEST_M)


def first_bed(
    area_m2: float,
    box_depth_m: float,
    beddings: Sequence[tuple[Ingredient, float]],
    *,
    moisture: float = TARGET_MOISTURE,
    feed_kg_week: float | None = None,
) -> FirstBed:
    """Propose the first bed of a box.

    ``beddings`` are pairs of a dry shredded bedding (its kg is not used, its loose bulk density is needed) and its part
    of the bed by volume; parts are taken in proportion. ``moisture`` is aimed at, wet basis; water is what the dry
    bedding lacks. With ``feed_kg_week`` (what the household has) the worms are those that such feed asks for, within
    what the surface bears; without it the low end of that. Raises ValueError for no bedding, one without a bulk
    density, or a size not above zero.
    """
    if area_m2 <= 0 or box_depth_m <= 0:
        raise ValueError("area and depth must be above zero")
    if not 0 < moisture < 1:
        raise ValueError("moisture must be between 0 and 1")
    parts = sum(part for _bedding, part in beddings)
    if not beddings or parts <= 0 or min(part for _bedding, part in beddings) < 0:
        raise ValueError("a first bed needs at least one bedding")
    depth = bed_depth_m(box_depth_m)
    volume = area_m2 * depth
    dry: list[Ingredient] = []
    for bedding, part in beddings:
        if bedding.bulk_density_kg_m3 is None:
            raise ValueError(f"{bedding.name or 'the bedding'} has no bulk density")
        dry.append(bedding.with_kg(volume * part / parts * bedding.bulk_density_kg_m3))
    lying = blend(dry)
    water = max(0.0, (moisture * lying.wet_kg - lying.water_kg) / (1.0 - moisture))
    low, high = worms_for_area_kg(area_m2)
    worms = low if feed_kg_week is None else min(high, worms_for_feed_kg(feed_kg_week))
    handfuls = max(1, ceil(area_m2 / HANDFUL_M2 - 1e-9))
    return FirstBed(
        beddings=tuple((part.name, part.kg) for part in dry if part.kg > 0),
        boxes=ceil(dry[0].kg / BOX_KG - 1e-9),
        water_kg=water,
        compost_kg=handfuls * HANDFUL_KG,
        grit_kg=handfuls * GRIT_KG,
        worms_kg=worms,
        worms_between_kg=(low, high),
        rations=rations(worms),
        bed_depth_m=depth,
        soak_hours=SOAK_HOURS,
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


def bedding_working(area_m2: float, box_depth_m: float, bedding: Ingredient) -> Working:
    """Kg of one dry bedding that fills the bed, opened. Raises ValueError when it has no bulk density."""
    if bedding.bulk_density_kg_m3 is None:
        raise ValueError(f"{bedding.name or 'the bedding'} has no bulk density")
    return Working(
        title=f"First bedding: {bedding.name}",
        value=area_m2 * bed_depth_m(box_depth_m) * bedding.bulk_density_kg_m3,
        unit="kg dry",
        formula="area * min(filled * box_depth, deepest) * loose_density",
        inputs=(
            Quantity("area", area_m2, "m2", Basis.SAID),
            Quantity("box_depth", box_depth_m, "m", Basis.SAID),
            Quantity("filled", FILLED_SHARE, "of the box", Basis.BOOK, "NYC Compost Project 2012"),
            Quantity("deepest", DEEPEST_M, "m", Basis.BOOK, "our choice"),
            Quantity("loose_density", bedding.bulk_density_kg_m3, "kg/m3", bedding.basis, "shredded and fluffed"),
        ),
        source="NYC Compost Project 2012 for how full; loose bulk density of the material table",
        sure="good to about a third: how loose a shred lies differs",
        plain="The room the bed takes up, times what a cubic metre of the dry stuff weighs.",
    )


def water_working(dry_kg: float, bedding_moisture: float, moisture: float = TARGET_MOISTURE) -> Working:
    """The water that soaks ``dry_kg`` of bedding, which holds ``bedding_moisture`` already, opened."""
    return Working(
        title="Water to soak the bedding",
        value=max(0.0, dry_kg * (moisture - bedding_moisture) / (1.0 - moisture)),
        unit="kg (or litres)",
        formula="max(0, bedding * (aim - has) / (1 - aim))",
        inputs=(
            Quantity("bedding", dry_kg, "kg", Basis.WORKED_OUT),
            Quantity("aim", moisture, "fraction, wet basis", Basis.SAID),
            Quantity("has", bedding_moisture, "fraction, wet basis", Basis.BOOK),
        ),
        source="balance of water (Cornell Composting)",
        sure="what it does not hold drips off: pour it in a tub, not in the box",
        plain="A wrung-out sponge is about three parts of water to one of dry bedding, or a little more.",
    )
