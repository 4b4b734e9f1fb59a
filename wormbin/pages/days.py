"""Days as pages say them: the same wherever they stand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from wormbin.drawing.axes import day_month
from wormbin.farm.views.round import StepView
from wormbin.pages.page import Block, Sentence


def day(on: date | None) -> str:
    """ "Mon 2 Nov 2026", or a dash."""
    return f"{on:%a} {day_month(on)} {on.year}" if on else "-"


def short_day(on: date, today: date) -> str:
    """``2 Nov``, with its year where that is another than today's."""
    return day_month(on) if on.year == today.year else f"{day_month(on)} {on.year}"


def day_word(on: date | None, today: date) -> str:
    """``today``, ``tomorrow``, ``Thu 2 Nov`` or ``not planned``."""
    if on is None:
        return "not planned"
    ahead = (on - today).days
    if ahead <= 0:
        return "today"
    return "tomorrow" if ahead == 1 else f"{on:%a} {day_month(on)}"


def dated(steps: Iterable[StepView], indent: int = 2) -> Iterator[Block]:
    """Steps by their days."""
    for step in steps:
        yield Sentence(step.words, lead=f"{step.on:%a} {day_month(step.on):>6}  ", lead_role="key", indent=indent)
