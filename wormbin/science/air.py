"""How much air a layer holds, how deep that air reaches against the oxygen being used, and how much water it can hold.

Free air space alone is nearly a density alarm: a fresh bin never gets there and a bed of finished castings always
does. What harms is air too short for the oxygen that is *being used*, so the reach is worked out beside it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf, sqrt

from wormbin.figures import Band, Basis, Quantity, Working


@dataclass(frozen=True, slots=True)
class Particles:
    """Densities of the solid itself, pores left out, kg/m3: of what burns away (volatile solids) and of the ash."""

    volatile_kg_m3: float
    ash_kg_m3: float
    source: str


COMPOST_PARTICLES = Particles(
    1600.0, 2500.0, "Richard et al. 2004; Ahn, Richard & Glanville 2008 for the densities (from memory)"
)
GROWING_MEDIA_PARTICLES = Particles(1550.0, 2650.0, "EN 13041 family of growing-media tests (from memory)")

WATER_DENSITY_KG_M3 = 1000.0
OXYGEN_DIFFUSIVITY_M2_S = 2.0e-5
"""Oxygen in free air near 20 C, from memory (textbook value)."""
OXYGEN_IN_AIR_KG_M3 = 0.28
"""Kg oxygen per m3 of air at 20 C: 0.2095 x 1.204 x 32.00 / 28.97, worked out."""
OXYGEN_PER_BURNED = 1.2
"""Kg oxygen per kg dry matter burned: C6H10O5 + 6 O2 is 192/162 = 1.19, worked out and rounded."""
SECONDS_A_DAY = 86400.0

FREE_AIR_WATCH = 0.30
"""Free air space quoted as the low edge for piles: Haug 1993, from memory."""
FREE_AIR_ACT = 0.20
"""Free air space below which a pile is quoted as airless: Technical Note 24 on compost bulk density."""
FREE_AIR_BEST = (0.35, 0.60)
"""Free air space quoted as best for composting (Richard et al. 2004 and Cornell Composting)."""
REACH_WATCH = 1.0
"""Watch when air reaches less than the whole depth of the contents; our choice."""
REACH_ACT = 0.5
"""Act when air reaches less than half the depth of the contents; our choice."""

WATER_HELD_G_PER_G: dict[str, tuple[float, float]] = {
    "coir": (7.5, 11.0),
    "peat": (5.0, 7.0),
    "wheat straw": (2.2, 3.6),
    "corn stover": (3.6, 3.6),
    "kitchen-waste compost": (3.3, 4.3),
    "corrugated cardboard": (2.0, 4.0),
    "newspaper": (3.0, 3.0),
}
"""Water held, g per g dry (low, high): published; cardboard and newspaper working doses, partly from memory."""


def bulk_density_kg_m3(total_kg: float, area_m2: float, depth_m: float) -> float:
    """Wet bulk density of a layer: all its mass over the room it takes, kg/m3.

    ``depth_m`` is the depth of the contents by ruler, not of the box. Raises ValueError unless area and depth are
    above zero.
    """
    if area_m2 <= 0 or depth_m <= 0:
        raise ValueError("area and depth must be above zero")
    return total_kg / (area_m2 * depth_m)


def bulk_density_from_bucket_kg_m3(full_kg: float, empty_kg: float, litres: float) -> float:
    """Wet bulk density by the bucket test: (full - empty) over the bucket's litres, kg/m3 (Cornell Composting)."""
    if litres <= 0:
        raise ValueError("the bucket's litres must be above zero")
    return (full_kg - empty_kg) / (litres / 1000.0)


def free_air_from_bucket(poured_l: float, bucket_l: float) -> float:
    """Free air space by pouring water into a full bucket until it shows: litres taken over litres of the bucket."""
    if bucket_l <= 0:
        raise ValueError("the bucket's litres must be above zero")
    return poured_l / bucket_l


def _filled_m3_kg(moisture: float, ash: float, particles: Particles) -> float:
    """Room taken by the solids and water of 1 kg wet, m3/kg."""
    solids = (1.0 - ash) / particles.volatile_kg_m3 + ash / particles.ash_kg_m3
    return (1.0 - moisture) * solids + moisture / WATER_DENSITY_KG_M3


def free_air_space(bulk_density: float, moisture: float, ash: float, particles: Particles = COMPOST_PARTICLES) -> float:
    """Free air space, a fraction of the volume: what solids and water leave over (Richard et al. 2004).

    ``bulk_density`` wet, kg/m3; ``moisture`` wet basis; ``ash`` of dry matter. Never below zero: a layer whose pores
    are brim-full has none. With mass +-15 % this is +-8 to 12 points; without a weighing and a ruler it is a guess.
    """
    return max(0.0, 1.0 - bulk_density * _filled_m3_kg(moisture, ash, particles))


def density_at_free_air(fas: float, moisture: float, ash: float, particles: Particles = COMPOST_PARTICLES) -> float:
    """Wet bulk density at which a layer has just this free air space, kg/m3: the formula above turned round."""
    return (1.0 - fas) / _filled_m3_kg(moisture, ash, particles)


def free_air_space_band(density: Band, moisture: Band, ash: float, particles: Particles = COMPOST_PARTICLES) -> Band:
    """10/50/90 band of the free air space from bands of wet bulk density (kg/m3) and moisture, held independent.

    The two half-widths are added as squares on each side; more of either means less air.
    """
    middle = 1.0 - density.p50 * _filled_m3_kg(moisture.p50, ash, particles)

    def shift(bulk: float, wet: float) -> tuple[float, float]:
        by_density = (bulk - density.p50) * _filled_m3_kg(moisture.p50, ash, particles)
        filled = _filled_m3_kg(wet, ash, particles) - _filled_m3_kg(moisture.p50, ash, particles)
        return by_density, density.p50 * filled

    down = sqrt(sum(part * part for part in shift(density.p90, moisture.p90)))
    up = sqrt(sum(part * part for part in shift(density.p10, moisture.p10)))
    return Band(*(min(1.0, max(0.0, value)) for value in (middle - down, middle, middle + up)))


def density_band(total: Band, area_m2: float, depth_m: float, depth_off_m: float = 0.0) -> Band:
    """10/50/90 band of the wet bulk density, kg/m3, from a band of total mass (kg) and a depth by ruler.

    ``depth_off_m`` is the 10-90 half-width of the depth, m; about 0.01 for a ruler in a level bed [common practice].
    """
    middle = bulk_density_kg_m3(total.p50, area_m2, depth_m)
    if middle <= 0:
        return Band.exactly(0.0)
    off = depth_off_m / depth_m
    down = sqrt((1.0 - total.p10 / total.p50) ** 2 + off * off)
    up = sqrt((total.p90 / total.p50 - 1.0) ** 2 + off * off)
    return Band(max(0.0, middle * (1.0 - down)), middle, middle * (1.0 + up))


def oxygen_use_kg_m3_s(burned_kg_day: float, volume_m3: float) -> float:
    """Oxygen use per volume, kg/m3/s, of a layer that burns ``burned_kg_day`` kg dry matter a day in ``volume_m3``."""
    if volume_m3 <= 0:
        raise ValueError("the volume must be above zero")
    return OXYGEN_PER_BURNED * burned_kg_day / volume_m3 / SECONDS_A_DAY


def oxygen_diffusivity_m2_s(fas: float) -> float:
    """Effective diffusivity of oxygen in a layer, m2/s: FAS squared times that in air (Papendick & Campbell 1981)."""
    return fas * fas * OXYGEN_DIFFUSIVITY_M2_S


def air_reach_m(fas: float, burned_kg_day: float, volume_m3: float) -> float:
    """How deep air reaches from the surface, m: ``sqrt(2 D_eff C0 / R)`` for an even use of oxygen.

    Zero-order uptake in a slab, textbook diffusion (from memory). ``burned_kg_day`` is dry matter turned to gas and
    water in ``volume_m3``. Infinite where nothing burns, 0 where there is no air. An estimate, good to perhaps a
    factor of 1.5: crumbs and worm runs let in more air than even ground would.
    """
    if fas <= 0:
        return 0.0
    use = oxygen_use_kg_m3_s(burned_kg_day, volume_m3)
    return sqrt(2.0 * oxygen_diffusivity_m2_s(fas) * OXYGEN_IN_AIR_KG_M3 / use) if use > 0 else inf


def reach_ratio(reach_m: float, contents_m: float) -> float:
    """Air reach over the depth of the contents: 1 or more is air to the base; infinite for an empty bin."""
    return reach_m / contents_m if contents_m > 0 else inf


def water_held_kg(layers: Iterable[tuple[float, float]]) -> float:
    """Water that layers hold before any runs out, kg: sum of (kg dry matter) x (kg water held per kg dry)."""
    return sum(dry_kg * holding for dry_kg, holding in layers)


def moisture_when_full(holding: float) -> float:
    """Moisture, wet basis, of a material that holds ``holding`` kg water per kg dry and no more."""
    return holding / (1.0 + holding)


def free_air_working(
    total: Quantity, area: Quantity, depth: Quantity, moisture: Quantity, ash: Quantity, *, sure: str
) -> Working:
    """Free air space opened. Quantities in kg, m2, m, wet basis, fraction of dry matter; names are set here."""
    value = free_air_space(bulk_density_kg_m3(total.value, area.value, depth.value), moisture.value, ash.value)
    return Working(
        title="Free air space",
        value=value,
        unit="fraction of the volume",
        formula="max(0, 1 - total / (area * depth) * ((1 - moisture) * ((1 - ash) / volatile_density"
        " + ash / ash_density) + moisture / water_density))",
        inputs=(
            Quantity("total", total.value, "kg", total.basis, total.note),
            Quantity("area", area.value, "m2", area.basis, area.note),
            Quantity("depth", depth.value, "m", depth.basis, depth.note),
            Quantity("moisture", moisture.value, "fraction, wet basis", moisture.basis, moisture.note),
            Quantity("ash", ash.value, "fraction of dry matter", ash.basis, ash.note),
            Quantity("volatile_density", COMPOST_PARTICLES.volatile_kg_m3, "kg/m3", Basis.BOOK),
            Quantity("ash_density", COMPOST_PARTICLES.ash_kg_m3, "kg/m3", Basis.BOOK),
            Quantity("water_density", WATER_DENSITY_KG_M3, "kg/m3", Basis.BOOK),
        ),
        source=COMPOST_PARTICLES.source,
        sure=sure,
        plain="Of the room the contents take up, solids and water fill a part; what is left over is air.",
    )


def air_reach_working(fas: Quantity, burned: Quantity, volume: Quantity, *, sure: str) -> Working:
    """Air reach opened. Quantities: free air space (fraction), kg dry burned a day, m3; names are set here.

    Raises ValueError where nothing burns: the reach is then without end, and there is nothing to open.
    """
    if burned.value <= 0:
        raise ValueError("where nothing burns the reach has no end")
    return Working(
        title="How deep air reaches",
        value=air_reach_m(fas.value, burned.value, volume.value),
        unit="m",
        formula="sqrt(2 * max(0, free_air)**2 * diffusivity * oxygen_in_air"
        " / (oxygen_per_burned * burned / volume / 86400))",
        inputs=(
            Quantity("free_air", fas.value, "fraction of the volume", fas.basis, fas.note),
            Quantity("burned", burned.value, "kg dry/day", burned.basis, burned.note),
            Quantity("volume", volume.value, "m3", volume.basis, volume.note),
            Quantity("diffusivity", OXYGEN_DIFFUSIVITY_M2_S, "m2/s", Basis.BOOK, "oxygen in air, from memory"),
            Quantity("oxygen_in_air", OXYGEN_IN_AIR_KG_M3, "kg/m3", Basis.BOOK),
            Quantity("oxygen_per_burned", OXYGEN_PER_BURNED, "kg/kg", Basis.BOOK, "6 O2 for each C6H10O5"),
        ),
        source="Papendick & Campbell 1981 for diffusion through pores; even uptake, textbook diffusion, from memory",
        sure=sure,
        plain="Air seeps in from the top and is used up on the way. This is how deep it gets before it is gone.",
    )
