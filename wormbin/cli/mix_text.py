"""The mix bench as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator

from wormbin.cli.layout import wrapped
from wormbin.cli.round_text import finding
from wormbin.drawing.marks import LEVEL_SHAPES
from wormbin.farm.proposals import MixView


def document(view: MixView) -> dict[str, object]:
    """The JSON document of ``mix``."""
    return {
        "wet_kg": view.wet_kg,
        "dry_kg": view.dry_kg,
        "water_kg": view.water_kg,
        "moisture": view.moisture,
        "carbon_kg": view.carbon_kg,
        "nitrogen_kg": view.nitrogen_kg,
        "cn": view.cn,
        "bulk_density_kg_m3": view.bulk_density_kg_m3,
        "free_air_space": view.free_air_space,
        "added": [{"material": each.material, "kg": each.kg} for each in view.added],
        "findings": [finding(each) for each in view.findings],
    }


def lines(view: MixView, width: int) -> Iterator[str]:
    """The blend, and what is out of its band."""
    for line in view.lines:
        yield from wrapped(line, width)
    for each in view.findings:
        yield from wrapped(f"{each.what}: {'; '.join(each.do)}", width, f"{LEVEL_SHAPES[each.level]} ")
        if each.caution:
            yield from wrapped(each.caution, width, "  mind: ")
