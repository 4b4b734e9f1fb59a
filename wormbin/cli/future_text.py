"""Other futures and absences as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator

from wormbin.cli.layout import day, wrapped
from wormbin.drawing.marks import LEVEL_SHAPES
from wormbin.farm.proposals import Absence, Future, WhatIfView
from wormbin.farm.views import Dated
from wormbin.measures import counted


def _series(dated: tuple[Dated, ...]) -> list[dict[str, object]]:
    return [{"date": each.on, "value": each.band} for each in dated]


def _future(future: Future) -> dict[str, object]:
    return {
        "title": future.title,
        "moisture": _series(future.moisture),
        "feed_waiting_kg": _series(future.feed_waiting_kg),
        "worms_kg": _series(future.worms_kg),
        "castings_dry_kg": _series(future.castings_dry_kg),
        "harvest": future.harvest.document,
    }


def what_if_document(view: WhatIfView) -> dict[str, object]:
    """Both futures as JSON."""
    return {
        "bin": view.bin,
        "on": view.on,
        "as_planned": _future(view.as_planned),
        "instead": _future(view.instead),
        "words": view.words,
    }


def what_if_lines(view: WhatIfView, width: int) -> Iterator[str]:
    """Two futures side by side, and where they part."""
    yield from wrapped(f"{view.instead.title}, against what is planned", width)
    yield ""
    yield f"{'':<14}{'as planned':<31}instead"
    figure = ""
    for row in view.rows:
        if row.figure != figure:
            figure = row.figure
            yield figure
        when = f"  in {counted(row.days, 'day')}" if row.days else "  today"
        yield f"{when:<14}{row.planned:<31}{row.instead}"
    planned, other = view.as_planned, view.instead
    yield "harvest"
    yield from wrapped(planned.harvest.words, width, f"{'  as planned':<14}")
    yield from wrapped(other.harvest.words, width, f"{'  instead':<14}")
    yield "(likely; in brackets where it lies 8 times in 10)"
    yield ""
    for words in view.words:
        yield from wrapped(words, width, "- ")


def absence_document(plan: Absence) -> dict[str, object]:
    """An absence as JSON."""
    return {
        "bin": plan.bin,
        "from": plan.first,
        "until": plan.last,
        "level": plan.level,
        "before": plan.before,
        "steps": [{"date": step.on, "what": step.what} for step in plan.steps],
        "risks": plan.risks,
        "neighbour": plan.neighbour,
        "moisture": _series(plan.moisture),
        "feed_waiting_kg": _series(plan.feed_waiting_kg),
    }


def absence_lines(plan: Absence, width: int) -> Iterator[str]:
    """Before leaving, day by day, what may go wrong, and the neighbour's page."""
    away = f"away from {day(plan.first)} to {day(plan.last)}"
    yield from wrapped(away, width, f"{LEVEL_SHAPES[plan.level]} {plan.level.value}  ", "  ")
    yield ""
    yield "Before leaving:"
    for step in plan.before:
        yield from wrapped(step, width, "  - ")
    yield "Then:"
    for dated in plan.steps:
        yield from wrapped(dated.what, width, f"  {day(dated.on):<16}")
    yield "What may go wrong:"
    for risk in plan.risks:
        yield from wrapped(risk, width, "  - ")
    yield ""
    yield "-" * width
    for line in plan.neighbour:
        yield from wrapped(line, width)
