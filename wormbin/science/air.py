"""How much air a layer holds, and the figures of how deep that air reaches against the oxygen being used.

Free air space alone is nearly a density alarm: a fresh bin never gets there and a bed of finished castings always
does. What harms is air too short for the oxygen that is *being used*, so the reach is worked out beside it.
"""

from __future__ import annotations

from dataclasses import dataclass

from wormbin.science.constants import WATER_KG_M3


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
