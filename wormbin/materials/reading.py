"""Reads the material table that comes with the program: one row a material, one source a value."""

from __future__ import annotations

import csv
from pathlib import Path
from types import MappingProxyType

from wormbin.materials.cautions import CAUTIONS
from wormbin.materials.composition import Composition, from_proximate
from wormbin.materials.kept_out import KEPT_OUT
from wormbin.materials.material import Material, Pace, Role

SOURCED = ("nitrogen", "carbon", "ash", "moisture", "bulk_density_kg_m3", "water_holding")


def _words(cell: str) -> tuple[str, ...]:
    return tuple(cell.split(";")) if cell else ()


def _optional(cell: str) -> float | None:
    return float(cell) if cell else None


def _composition(row: dict[str, str]) -> Composition:
    """From the raw proximate figures of a food table where the row has them, else from its percentages."""
    if row["proximate"]:
        return from_proximate(*map(float, row["proximate"].split(";")))
    nitrogen, carbon, ash, moisture = (
        float(row[name]) / 100.0 for name in ("nitrogen_pct", "carbon_pct", "ash_pct", "moisture_pct")
    )
    return Composition(nitrogen, carbon, ash, moisture)


def _material(row: dict[str, str]) -> Material:
    made_of, marks = _composition(row), _words(row["marks"])
    return Material(
        key=row["key"],
        name=row["name"],
        role=Role(row["role"]),
        pace=Pace(row["pace"]),
        nitrogen=made_of.nitrogen,
        carbon=made_of.carbon,
        ash=made_of.ash,
        moisture=made_of.moisture,
        bulk_density_kg_m3=_optional(row["bulk_density_kg_m3"]),
        water_holding=_optional(row["water_holding"]),
        acid="acid" in marks,
        rich="rich" in marks,
        cautions=tuple(CAUTIONS[code] for code in _words(row["cautions"])),
        aliases=_words(row["aliases"]),
        kept_out_because=row["kept_out_because"],
        kept_out=next((KEPT_OUT[mark] for mark in marks if mark in KEPT_OUT), None),
        sources=MappingProxyType({name: row[f"source_{name}"] for name in SOURCED if row[f"source_{name}"]}),
    )


def read_materials() -> tuple[Material, ...]:
    """All rows of the table that comes with the program, in its own order."""
    text = Path(__file__).with_name("materials.csv").read_text(encoding="utf-8")
    return tuple(_material(row) for row in csv.DictReader(text.splitlines()))
