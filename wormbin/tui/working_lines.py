"""A number opened, in lines: what it is, what went in, the formula with the numbers in it, source, how sure."""

from __future__ import annotations

import re

from wormbin.figures import SHOWN_DIGITS, Basis, Working, as_shown, told_figure
from wormbin.tui.showing import Piece, said


def working_lines(working: Working) -> list[list[Piece]]:
    """The lines of one working, an empty one at the end; the inputs as shown make the value as shown."""
    working = as_shown(working)
    lines: list[list[Piece]] = [
        [said(f"{working.title}: ", "strong"), said(amount(working.value, working.unit), "title")]
    ]
    if working.plain:
        lines.append([("   ", ""), said(working.plain)])
    lines.append([("   formula: ", "dim"), said(working.formula)])
    lines.append([("   with the numbers: ", "dim"), said(filled_in(working))])
    for each in working.inputs:
        mark = "reading" if each.basis in (Basis.READ, Basis.SAID) else "basis"
        note = f"  {each.note}" if each.note else ""
        lines.append(
            [
                (f"     {each.name} = ", "dim"),
                said(amount(each.value, each.unit, SHOWN_DIGITS), mark),
                said(f"  ({each.basis.value}){note}", "dim"),
            ]
        )
    lines.append([("   source: ", "dim"), said(working.source)])
    lines.append([("   how sure: ", "dim"), said(working.sure)])
    if working.rests_on:
        lines.append([("   rests on: ", "dim"), said("; ".join(working.rests_on))])
    lines.append([])
    return lines


def amount(value: float, unit: str, digits: int = 4) -> str:
    """A figure with its unit, to so many digits; a fraction also in percent."""
    if unit == "fraction":
        return f"{value:.{digits}g} ({value * 100:.3g}%)"
    return f"{told_figure(value, unit, digits)} {unit}".rstrip()


def filled_in(working: Working) -> str:
    """The formula with its inputs put in, to the digits that are shown."""
    values = {each.name: told_figure(each.value, each.unit, SHOWN_DIGITS) for each in working.inputs}
    return re.sub(r"[A-Za-z_]\w*", lambda word: values.get(word[0], word[0]), working.formula)
