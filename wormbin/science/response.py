"""How worms and microbes answer to warmth, moisture and air: pure published shapes, as factors and rates per day.

All factors are 0-1 against the best published condition; temperatures in degC, moisture as a fraction wet basis,
masses in kg, areas in m2. Where a source gives points, they are joined by straight lines; where sources differ the
band between them is honoured by the middle of it, never by one paper alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import exp
from typing import Final

from wormbin.science.constants import WATER_KG_M3

Points = Sequence[tuple[float, float]]

# The mean of the specific growth rates ln(m2/m1)/t against 25 degC at 10/15/20/25/30: -/0.32/0.72/1/0.94 (Tripathi &
# Bhardwaj 2004), 0.44/0.79/0.95/1/- (Edwards 1988), 0.27/0.45/0.59/1/- (Tsukamoto & Watanabe 1977). Feeding stops
# over 30 in practice, so 30 is held under the one source that praises it; 35 degC is never rewarded.
_EISENIA_EATING: Final[Points] = (
    (0.0, 0.0), (4.0, 0.03), (10.0, 0.35), (15.0, 0.52), (20.0, 0.75), (25.0, 1.0), (30.0, 0.87), (32.0, 0.45),
    (34.0, 0.0),
)  # fmt: skip
# What is eaten makes as much worm in the cold as in the warm, as far as these rates tell; near the ends it does not.
_EISENIA_GROWTH: Final[Points] = (
    (4.0, 0.0), (9.0, 0.9), (12.0, 1.0), (30.0, 1.0), (32.0, 0.6), (35.0, 0.0),
)  # fmt: skip
# Losses per day outside the limits of Earthworm Ecology (2004) Table 18.3 (4-30 degC): log-linear between the points.
_EISENIA_HARM: Final[Points] = (
    (-3.0, 0.30), (0.0, 0.06), (2.0, 0.01), (4.0, 0.0), (30.0, 0.0), (32.0, 0.01), (35.0, 0.20), (38.0, 0.9),
)  # fmt: skip
# The tropical two want 25 degC and die near 10; Dendrobaena is slow and bears 15-25 (read in part, part from memory).
_TROPICAL_EATING: Final[Points] = (
    (8.0, 0.0), (12.0, 0.1), (18.0, 0.45), (22.0, 0.8), (25.0, 1.0), (29.0, 0.95), (32.0, 0.5), (35.0, 0.0),
)  # fmt: skip
_TROPICAL_GROWTH: Final[Points] = (
    (8.0, 0.0), (12.0, 0.1), (18.0, 0.4), (22.0, 0.8), (25.0, 1.0), (29.0, 0.9), (32.0, 0.4), (35.0, 0.0),
)  # fmt: skip
_TROPICAL_HARM: Final[Points] = (
    (4.0, 0.5), (8.0, 0.15), (10.0, 0.04), (13.0, 0.0), (31.0, 0.0), (33.0, 0.02), (36.0, 0.25), (38.0, 0.9),
)  # fmt: skip
_DENDROBAENA_EATING: Final[Points] = (
    (0.0, 0.0), (4.0, 0.05), (10.0, 0.3), (15.0, 0.55), (20.0, 0.65), (25.0, 0.5), (28.0, 0.2), (31.0, 0.0),
)  # fmt: skip
_DENDROBAENA_GROWTH: Final[Points] = (
    (3.0, 0.0), (10.0, 0.35), (15.0, 0.55), (20.0, 0.6), (25.0, 0.45), (28.0, 0.1), (31.0, 0.0),
)  # fmt: skip
_DENDROBAENA_HARM: Final[Points] = (
    (-3.0, 0.3), (0.0, 0.05), (3.0, 0.0), (27.0, 0.0), (29.0, 0.01), (32.0, 0.2), (35.0, 0.9),
)  # fmt: skip

_BY_SPECIES: Final = {
    "eisenia": (_EISENIA_EATING, _EISENIA_GROWTH, _EISENIA_HARM),
    "eudrilus": (_TROPICAL_EATING, _TROPICAL_GROWTH, _TROPICAL_HARM),
    "perionyx": (_TROPICAL_EATING, _TROPICAL_GROWTH, _TROPICAL_HARM),
    "dendrobaena": (_DENDROBAENA_EATING, _DENDROBAENA_GROWTH, _DENDROBAENA_HARM),
}

# Specific growth over 44 days at 65/70/75/80/85/90 %, against 85: 0.72/0.78/0.76/0.94/1/0.97 (Dominguez & Edwards
# 1997); over 40 days at 46/60/62/67/72 %, against 72: 0.2/0.5/0.8/0.98/1 (Reinecke & Venter 1985). The middle of them.
MOISTURE_EATING: Final[Points] = (
    (0.40, 0.0), (0.50, 0.2), (0.60, 0.55), (0.65, 0.75), (0.70, 0.83), (0.75, 0.87), (0.80, 0.95), (0.85, 1.0),
    (0.90, 0.96), (0.93, 0.6), (0.96, 0.2), (0.99, 0.0),
)  # fmt: skip
_MOISTURE_HARM: Final[Points] = (
    (0.10, 0.5), (0.30, 0.15), (0.45, 0.09), (0.58, 0.01), (0.62, 0.0), (0.90, 0.0), (0.92, 0.01), (0.95, 0.05),
    (0.98, 0.2),
)  # fmt: skip
# Composting microbes: slow under 40 %, at full speed from 60 %; air, not water, limits them above (Haug 1993, memory).
_MOISTURE_MICROBES: Final[Points] = ((0.15, 0.0), (0.30, 0.15), (0.45, 0.6), (0.60, 1.0), (1.0, 1.0))
# A wet surface loses water freely; a dry one only what creeps up to it (falling-rate drying, textbook shape).
_SURFACE_WETNESS: Final[Points] = (
    (0.10, 0.0), (0.40, 0.2), (0.55, 0.4), (0.65, 0.62), (0.75, 0.87), (0.82, 1.0), (1.0, 1.0),
)  # fmt: skip


def along(points: Points, x: float) -> float:
    """The value at ``x`` on straight lines through ``points`` (sorted by x), held level beyond both ends."""
    if x <= points[0][0]:
        return points[0][1]
    for (x0, y0), (x1, y1) in pairwise(points):
        if x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return points[-1][1]


def eating(temp_c: float, species: str = "eisenia") -> float:
    """Appetite against its best, 0-1, at ``temp_c``: 0.75 at 20 and 1 at 25 degC for *Eisenia*; calibrated shape."""
    return along(_BY_SPECIES[species][0], temp_c)


def growth(temp_c: float, species: str = "eisenia") -> float:
    """Growth made of a kg eaten, against its best, 0-1 (Tripathi & Bhardwaj 2004; Edwards 1988: see the points)."""
    return along(_BY_SPECIES[species][1], temp_c)


def heat_harm(temp_c: float, species: str = "eisenia") -> float:
    """Share of the herd lost a day to heat or cold; 0 between the limits of Earthworm Ecology (2004) Table 18.3."""
    return along(_BY_SPECIES[species][2], temp_c)


def microbes(temp_c: float) -> float:
    """Decay rate against 20 degC: 1.066^(T-20) - 1.21^(T-60), at least 0 (Haug 1993, from memory)."""
    if temp_c <= -5.0:
        return 0.0
    return max(0.0, float(1.066 ** (temp_c - 20.0)) - float(1.21 ** (temp_c - 60.0)))


def upkeep(temp_c: float) -> float:
    """What living costs against 25 degC: 1.07^(T-25), about Q10 2 (from memory)."""
    return float(1.07 ** (temp_c - 25.0))


def moist_eating(moisture: float) -> float:
    """Appetite against its best, 0-1, at a wet-basis moisture (Dominguez & Edwards 1997; Reinecke & Venter 1985)."""
    return along(MOISTURE_EATING, moisture)


def moist_harm(moisture: float) -> float:
    """Share of the herd lost a day to drought or drowning; 0 from 62 to 90 % (Edwards 2004 Table 18.3: 60-90)."""
    return along(_MOISTURE_HARM, moisture)


def moist_microbes(moisture: float) -> float:
    """Decay rate against that at 60 % and over, 0-1 (Haug 1993, from memory)."""
    return along(_MOISTURE_MICROBES, moisture)


def surface_wetness(moisture: float) -> float:
    """How freely the surface gives off water, 0-1, at a wet-basis moisture (falling-rate drying, textbook shape)."""
    return along(_SURFACE_WETNESS, moisture)


def saturation_vapour_kpa(temp_c: float) -> float:
    """Saturation vapour pressure over water, kPa (Tetens 1930 as in FAO Irrigation and Drainage Paper 56)."""
    return 0.6108 * exp(17.27 * temp_c / (temp_c + 237.3))


def usual_humidity(site_temp_c: float) -> float:
    """Relative humidity to expect of a place, 0-1: 50 % up to 20 degC, 70 % at 28 and over; our choice.

    Heated rooms are dry; places that are warm of themselves mostly lie in humid air.
    """
    return min(0.7, max(0.5, 0.5 + 0.025 * (site_temp_c - 20.0)))


@dataclass(frozen=True, slots=True)
class Particles:
    """Densities of the solid itself, pores left out, kg/m3: of what burns away (volatile solids) and of the ash."""

    volatile_kg_m3: float
    ash_kg_m3: float
    source: str


COMPOST_PARTICLES = Particles(
    1600.0, 2500.0, "Richard et al. 2004; Ahn, Richard & Glanville 2008 for the densities (from memory)"
)

AIR_SOURCE = "Papendick & Campbell 1981 for pores; even uptake, textbook diffusion, from memory"
OXYGEN_DIFFUSIVITY_M2_S = 2.0e-5
"""Oxygen in free air near 20 C, from memory (textbook value)."""
OXYGEN_IN_AIR_KG_M3 = 0.28
"""Kg oxygen per m3 of air at 20 C: 0.2095 x 1.204 x 32.00 / 28.97, worked out."""
OXYGEN_PER_BURNED = 1.2
"""Kg oxygen per kg dry matter burned: C6H10O5 + 6 O2 is 192/162 = 1.19, worked out and rounded."""


def _filled_m3_kg(moisture: float, ash: float, particles: Particles) -> float:
    """Room taken by the solids and water of 1 kg wet, m3/kg."""
    solids = (1.0 - ash) / particles.volatile_kg_m3 + ash / particles.ash_kg_m3
    return (1.0 - moisture) * solids + moisture / WATER_KG_M3


def free_air_space(bulk_density: float, moisture: float, ash: float, particles: Particles = COMPOST_PARTICLES) -> float:
    """Free air space, a fraction of the volume: what solids and water leave over (Richard et al. 2004).

    ``bulk_density`` wet, kg/m3; ``moisture`` wet basis; ``ash`` of dry matter. Never below zero: a layer whose pores
    are brim-full has none. With mass +-15 % this is +-8 to 12 points; without a weighing and a ruler it is a guess.
    """
    return max(0.0, 1.0 - bulk_density * _filled_m3_kg(moisture, ash, particles))
