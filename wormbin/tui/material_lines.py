"""A material in lines: what it is, its values each with its source, what to mind."""

from __future__ import annotations

from wormbin.farm.views import MaterialRow
from wormbin.measures import percent
from wormbin.tui.showing import Piece, said


def material_lines(row: MaterialRow, units: str) -> list[list[Piece]]:
    """The page of one material; ``units`` is metric or us."""
    sources = dict(row.sources)
    density = row.bulk_density_kg_m3
    heavy = "not known: weigh it" if density is None else f"{density:.0f} kg/m3 ({density * 0.2366:.0f} g a cup)"
    if density is not None and units == "us":
        heavy = f"{density * 0.06243:.0f} lb/ft3 ({density * 0.2366 / 28.35:.1f} oz a cup)"
    values = (
        ("C:N", f"{row.cn:.0f}", ""),
        ("nitrogen", f"{row.nitrogen * 100:.2g}% of dry matter", "nitrogen"),
        ("carbon", f"{row.carbon * 100:.3g}% of dry matter", "carbon"),
        ("ash", f"{row.ash * 100:.2g}% of dry matter", "ash"),
        ("moisture", percent(row.moisture), "moisture"),
        ("weight", heavy, "bulk_density_kg_m3"),
        ("holds", f"{row.water_holding:.1f} kg water/kg" if row.water_holding else "", "water_holding"),
    )
    lines: list[list[Piece]] = [
        [said(row.name, "title")],
        [said(f"{row.role}, {row.pace}" + (", own values" if row.own else ""), "dim")],
    ]
    if row.kept_out_because:
        lines.append([("■ keep out: ", "act"), said(row.kept_out_because, "strong")])
    lines.append([])
    for name, words, field in values:
        if words:
            lines.append([(f"{name:<9}", "dim"), said(words, "strong")])
            if source := sources.get(field):
                lines.append([said(f"         {source}", "dim")])
    lines += [[("▲ ", "watch"), said(caution)] for caution in row.cautions]
    if row.aliases:
        lines += [[], [said(f"also: {', '.join(row.aliases)}", "dim")]]
    return lines
