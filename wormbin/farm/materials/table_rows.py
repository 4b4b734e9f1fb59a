"""A material as a row of the table that is shown."""

from __future__ import annotations

from wormbin.farm.views.bin import MaterialRow
from wormbin.materials.material import Material


def material_row(each: Material) -> MaterialRow:
    """The row of one material."""
    return MaterialRow(
        key=each.key,
        name=each.name,
        role=each.role.value,
        pace=each.pace.value,
        cn=each.cn,
        nitrogen=each.nitrogen,
        carbon=each.carbon,
        ash=each.ash,
        moisture=each.moisture,
        bulk_density_kg_m3=each.bulk_density_kg_m3,
        water_holding=each.water_holding,
        cautions=each.cautions,
        aliases=each.aliases,
        kept_out_because=each.kept_out_because,
        own=each.own,
        sources=tuple(sorted(each.sources.items())),
    )
