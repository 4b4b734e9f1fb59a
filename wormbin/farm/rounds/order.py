"""The order of the round, worst first, and how long it still takes."""

from __future__ import annotations

from collections.abc import Iterable

from wormbin.farm.views.round import RoundRow


def order(one: RoundRow) -> tuple[int, float, str]:
    """Worst first; within a level the most urgent, then by name."""
    urgency = max((each.urgency for each in one.findings if each.level is one.level), default=0.0)
    return -one.level.rank, -urgency, one.name.casefold()


def minutes_left(rows: Iterable[RoundRow]) -> int:
    """About how many minutes the round still takes: those of the bins at which nobody has been today."""
    return sum(row.minutes for row in rows if not row.done)
