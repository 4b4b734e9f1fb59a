"""The words beside the cutaway: one line a layer at its height, moved apart where they would fall on each other."""

from __future__ import annotations

from dataclasses import dataclass

from wormbin.drawing.marks import plain, width_of
from wormbin.drawing.picture import Canvas


@dataclass(frozen=True, slots=True)
class Callout:
    """One label: where it wants to stand, what it says at three lengths, and how soon it may be left out."""

    role: str
    says: tuple[str, str, str]
    """In full, in short, and in the fewest cells."""
    rank: int
    """0 is left out last."""
    part: int = 0
    """Index of the compartment that it speaks of."""
    row: int = 0
    swatch: str = ""


SWATCH = 3
"""Cells before the words: two of the layer's own texture and a space."""


def column_width(callouts: list[Callout], room: int, least_inner: int) -> int:
    """Cells to give to the labels out of ``room`` for box and labels; 0 when the box would get too narrow.

    Longer words only where the box stays wide as well: it is the picture that one looks at.
    """
    if not callouts:
        return 0
    for length, inner in enumerate((2 * least_inner, 3 * least_inner // 2, least_inner)):
        wanted = max(width_of(plain(callout.says[length])) for callout in callouts) + SWATCH
        if room - wanted >= inner:
            return wanted
    return 0


def write(canvas: Canvas, callouts: list[Callout], left: int, width: int, top: int, bottom: int) -> None:
    """Write the labels between the rows ``top`` and ``bottom``, in the order of their rows, none over another."""
    rows = bottom - top + 1
    told = sorted(callouts, key=lambda c: c.rank)[:rows]
    kept = sorted((c for c in callouts if c in told), key=lambda c: c.row)  # in one row as they were made: from the top
    at = [min(max(callout.row, top), bottom) for callout in kept]
    for i in range(1, len(at)):
        at[i] = max(at[i], at[i - 1] + 1)
    for i in range(len(at) - 1, -1, -1):
        at[i] = min(at[i], bottom - (len(at) - 1 - i))
    for callout, row in zip(kept, at, strict=True):
        canvas.write(left, row, callout.swatch, callout.role)
        text = next((text for text in callout.says if width_of(plain(text)) + SWATCH <= width), callout.says[-1])
        canvas.write(left + SWATCH, row, plain(text, width - SWATCH, ascii=canvas.ascii), "label")
