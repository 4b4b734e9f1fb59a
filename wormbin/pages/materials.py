"""Materials: the table, and one opened, each value with its source."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isinf

from wormbin.farm.views.bin import MaterialRow
from wormbin.figures import Level
from wormbin.measures import percent
from wormbin.measures.units import LB_FT3, UNITS
from wormbin.pages.page import GAP, Block, Column, Heading, Sentence, Table

CUP_L, OZ_G = UNITS["cup"].factor, UNITS["oz"].factor * 1000
OPENED = 3
"""So many finds, or fewer, are shown with their sources."""


def materials(rows: Sequence[MaterialRow], units: str, *, opened: bool) -> Iterator[Block]:
    """The table; where ``opened``, a few finds follow with their sources."""
    if not rows:
        return
    dense = "lb/ft3" if units == "us" else "kg/m3"
    yield Table(
        (
            Column("material"), Column("role"), Column("pace", rank=1), Column("C:N", right=True),
            Column("N %", right=True, rank=2), Column("C %", right=True, rank=2), Column("moist", right=True),
            Column(dense, right=True, rank=1),
        ),
        tuple(
            (
                row.key + ("*" if row.own else ""), row.role, row.pace, "-" if isinf(row.cn) else f"{row.cn:.0f}",
                f"{row.nitrogen * 100:.1f}", f"{row.carbon * 100:.0f}", f"{row.moisture * 100:.0f}%",
                "-" if row.bulk_density_kg_m3 is None else _density(row.bulk_density_kg_m3, units),
            )
            for row in rows
        ),
    )  # fmt: skip
    if any(row.own for row in rows):
        yield Sentence("* your own values")
    for row in rows if opened and len(rows) <= OPENED else ():
        yield GAP
        yield from material(row, units)


def _density(kg_m3: float, units: str) -> str:
    return f"{kg_m3 * LB_FT3:.1f}" if units == "us" else f"{kg_m3:.0f}"


def material(row: MaterialRow, units: str) -> Iterator[Block]:
    """What it is, its values each with its source, what to mind; ``units`` is metric or us."""
    sources, density = dict(row.sources), row.bulk_density_kg_m3
    heavy = "not known: weigh it"
    if density is not None and units == "us":
        heavy = f"{density * LB_FT3:.0f} lb/ft3 ({density * CUP_L / OZ_G:.1f} oz a cup)"
    elif density is not None:
        heavy = f"{density:.0f} kg/m3 ({density * CUP_L:.0f} g a cup)"
    yield Heading(row.name)
    yield Sentence(f"{row.role}, {row.pace}" + (", own values" if row.own else ""), "dim")
    if row.kept_out_because:
        yield Sentence(row.kept_out_because, "strong", lead="■ keep out: ", lead_role="act")
    yield GAP
    for name, words, field in (
        ("C:N", "no nitrogen" if isinf(row.cn) else f"{row.cn:.0f}", ""),
        ("nitrogen", f"{row.nitrogen * 100:.2g}% of dry matter", "nitrogen"),
        ("carbon", f"{row.carbon * 100:.3g}% of dry matter", "carbon"),
        ("ash", f"{row.ash * 100:.2g}% of dry matter", "ash"),
        ("moisture", percent(row.moisture), "moisture"),
        ("weight", heavy, "bulk_density_kg_m3"),
        ("holds", f"{row.water_holding:.1f} kg water/kg" if row.water_holding else "", "water_holding"),
    ):
        if words:
            yield Sentence(words, "strong", lead=f"{name:<9}")
            if source := sources.pop(field, ""):
                yield Sentence(source, "dim", indent=9)
    for name, source in sources.items():
        yield Sentence(source, "dim", lead=f"{name}: ")
    for caution in row.cautions:
        yield Sentence(caution, level=Level.WATCH)
    if row.aliases:
        yield GAP
        yield Sentence(f"also: {', '.join(row.aliases)}", "dim")
