"""A bin in which nothing is, by its log: never filled, or what went in was struck or taken back."""

from __future__ import annotations

from wormbin.advice.action import Action, Doing
from wormbin.advice.case import Case
from wormbin.advice.finding import Finding
from wormbin.figures import Level
from wormbin.process.views import Day

NOTHING_KG = 0.001
"""Less than a gram is nothing."""


def is_empty(today: Day) -> bool:
    """Whether there is nothing that could be wet, dry, hot or hungry."""
    return today.total_kg.p90 < NOTHING_KG


def nothing_in(case: Case) -> Finding | None:
    """No figure of an empty bin means anything: all that is to be said is what is missing from the log."""
    if not is_empty(case.today):
        return None
    return Finding(
        code="nothing-in",
        level=Level.WATCH,
        what="nothing is in this bin by the log",
        why="no bedding, water, feed or worms stand in it; what was taken back by mistake comes back with redo",
        actions=(Action(Doing.NEW_BED, "write down the bedding, the water and the worms that are in it"),),
        sure="by the log alone; it says nothing of what was not written down",
        source="the log",
        urgency=1.0,
    )
