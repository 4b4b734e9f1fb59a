"""Likely causes of what is seen, in lines: the best supported first, each with why, what to do, and its source."""

from __future__ import annotations

from collections.abc import Sequence

from wormbin.drawing.marks import level_mark
from wormbin.farm.causes import Cause
from wormbin.tui.showing import Piece, said


def cause_lines(causes: Sequence[Cause], *, ascii: bool) -> list[list[Piece]]:
    """The page of causes."""
    lines: list[list[Piece]] = []
    arrow = "> " if ascii else "→ "
    for number, cause in enumerate(causes, 1):
        finding = cause.finding
        lines.append([(f"{number}  ", "dim"), (level_mark(finding.level, ascii=ascii), finding.level.value), ("  ", ""),
                      said(finding.what, "strong")])  # fmt: skip
        lines.append([("   the log: ", "dim"), said(cause.log_says, "key" if cause.supported else "")])
        lines.extend([("   " + arrow, finding.level.value), said(step)] for step in finding.do)
        if finding.caution:
            lines.append([("   mind: ", "watch"), said(finding.caution)])
        lines.append([("   why: ", "dim"), said(finding.why)])
        if finding.source and finding.source not in finding.why:
            lines.append([("   source: ", "dim"), said(finding.source, "dim")])
        lines.append([])
    return lines or [[("No cause is known for that. Write a note, and look again tomorrow.", "dim")]]
