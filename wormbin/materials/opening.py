"""A material opened to its values, each with its unit and its source, for a table on screen or paper."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

from wormbin.materials.material import Material, Role
from wormbin.measures.printing import figure

_CHOSEN = "our choice, common practice, no source"


@dataclass(frozen=True, slots=True)
class Row:
    """One line about a material: the field in words, its value as text, unit, and source."""

    field: str
    value: str
    unit: str
    source: str


def describe(material: Material) -> tuple[Row, ...]:
    """Every value of a material in percent, kg/m3 and kg/kg, with where it comes from; cautions last."""
    source = material.sources
    rows = [
        Row("role", material.role.value, "", _CHOSEN if not material.own else "as the keeper set it"),
        Row("pace", material.pace.value, "", _CHOSEN if not material.own else "as the keeper set it"),
        Row("nitrogen", figure(material.nitrogen * 100, 3), "% of dry matter", source.get("nitrogen", "")),
        Row("carbon", figure(material.carbon * 100, 3), "% of dry matter", source.get("carbon", "")),
        Row(
            "C:N", f"{figure(material.cn, 3)}:1" if isfinite(material.cn) else "no nitrogen", "", "carbon over nitrogen"
        ),
        Row("ash", figure(material.ash * 100, 3), "% of dry matter", source.get("ash", "")),
        Row("moisture", figure(material.moisture * 100, 3), "% of fresh weight", source.get("moisture", "")),
    ]
    if material.bulk_density_kg_m3 is not None:
        density = figure(material.bulk_density_kg_m3, 3)
        rows.append(Row("bulk density", density, "kg/m3", source.get("bulk_density_kg_m3", "")))
    else:
        rows.append(Row("bulk density", "not known", "", "weigh it; a cup of it cannot be turned into grams"))
    if material.water_holding is not None:
        holding = figure(material.water_holding, 2)
        rows.append(Row("water holding", holding, "kg water per kg dry", source.get("water_holding", "")))
    if material.role is Role.KEEP_OUT:
        rows.append(Row("kept out because", material.kept_out_because, "", _CHOSEN))
    rows.extend(Row("caution", caution, "", _CHOSEN) for caution in material.cautions)
    if material.aliases:
        rows.append(Row("also called", ", ".join(material.aliases), "", ""))
    return tuple(rows)
