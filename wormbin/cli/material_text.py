"""Materials as a table of text, one opened with its sources, and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isinf

from wormbin.cli.layout import wrapped
from wormbin.drawing.marks import plain
from wormbin.farm.views import MaterialRow
from wormbin.measures.units import LB_FT3

OPENED = 3
"""So many finds, or fewer, are shown with their sources."""


def document(row: MaterialRow) -> dict[str, object]:
    """One material as JSON."""
    return {
        "material": row.key,
        "name": row.name,
        "role": row.role,
        "pace": row.pace,
        "cn": row.cn,
        "nitrogen": row.nitrogen,
        "carbon": row.carbon,
        "ash": row.ash,
        "moisture": row.moisture,
        "bulk_density_kg_m3": row.bulk_density_kg_m3,
        "water_holding": row.water_holding,
        "cautions": row.cautions,
        "aliases": row.aliases,
        "kept_out_because": row.kept_out_because,
        "own": row.own,
        "sources": dict(row.sources),
    }


def lines(rows: Sequence[MaterialRow], units: str, width: int, *, whole: bool) -> Iterator[str]:
    """The table; with ``whole`` a few finds are opened, each value with its source."""
    if not rows:
        return
    dense = "lb/ft3" if units == "us" else "kg/m3"
    yield f"{'material':<30}{'role':<10}{'pace':<8}{'C:N':>6}{'N %':>6}{'C %':>6}{'moist':>7}{dense:>7}"
    for row in rows:
        ratio = "-" if isinf(row.cn) else f"{row.cn:.0f}"
        density = "-" if row.bulk_density_kg_m3 is None else _density(row.bulk_density_kg_m3, units)
        own = "*" if row.own else ""
        yield (
            f"{plain(row.key + own, 29)} {row.role:<10}{row.pace:<8}{ratio:>6}{row.nitrogen * 100:>6.1f}"
            f"{row.carbon * 100:>6.0f}{row.moisture * 100:>6.0f}%{density:>7}"
        )
        if whole and len(rows) <= OPENED:
            yield from _opened(row, width)
    if any(row.own for row in rows):
        yield "* your own values"


def _density(kg_m3: float, units: str) -> str:
    return f"{kg_m3 * LB_FT3:.1f}" if units == "us" else f"{kg_m3:.0f}"


def _opened(row: MaterialRow, width: int) -> Iterator[str]:
    yield from wrapped(f"{row.name}; also called {', '.join(row.aliases) or 'nothing else'}", width, "    ")
    if row.kept_out_because:
        yield from wrapped(row.kept_out_because, width, "    kept out: ")
    for caution in row.cautions:
        yield from wrapped(caution, width, "    caution: ")
    for name, source in row.sources:
        yield from wrapped(f"{name}: {source}", width, "    ", "      ")
