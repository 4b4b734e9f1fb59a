"""The band in which each of a bin's figures should be: one for its gauge, its chart and its report."""

from __future__ import annotations

from wormbin.advice.clock import kg_in
from wormbin.advice.limits import COMFORT_C, LOW_CN, PH_HIGH, PH_LOW, overfed
from wormbin.advice.rations import interval_days
from wormbin.farm.bins.scene import Scene
from wormbin.science.practice import PLAN_AT_MOST_KG_M2, START_KG_M2

Target = tuple[float | None, float | None]


def targets(scene: Scene) -> dict[str, Target]:
    """Both edges by the code of the figure (fractions, kg, degC, m, ratio); None where a side is open."""
    settings, area = scene.settings, scene.bin.footprint_m2
    return {
        "moisture": (settings.moisture_low, settings.moisture_high),
        "feed_waiting": (None, most_waiting_kg(scene)),
        "air": (1.0, None),
        "temp": COMFORT_C[scene.bin.species],
        "worms": (START_KG_M2 * area, PLAN_AT_MOST_KG_M2 * area),
        "castings": (scene.bin.harvest_share, None),
        "depth": (None, scene.bin.depth_m * (1 if scene.bin.sideways else scene.bin.compartments)),
        "cn": (LOW_CN.watch.enter, None),
        "ph": (PH_LOW.watch.enter, PH_HIGH.watch.enter),
    }


def most_waiting_kg(scene: Scene) -> float:
    """Feed that may wait, kg fresh: what is worked off in the days after which overfeeding is taken back."""
    return kg_in(scene.case, overfed(interval_days(scene.case)).watch.leave)
