"""The order of the round: worst first."""

from __future__ import annotations

from wormbin.farm.views import RoundRow


def order(one: RoundRow) -> tuple[int, float, str]:
    """Worst first; within a level the most urgent, then by name."""
    urgency = max((each.urgency for each in one.findings if each.level is one.level), default=0.0)
    return -one.level.rank, -urgency, one.name.casefold()
