"""Other futures and absences as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator

from wormbin.cli.harvest_text import window
from wormbin.cli.layout import day, wrapped
from wormbin.cli.paper import WIDTH
from wormbin.drawing.marks import LEVEL_SHAPES
from wormbin.farm.proposals import Absence, Future, WhatIfView
from wormbin.farm.views import Dated
from wormbin.measures import mass, percent

MILESTONES = (0, 7, 14, 30, 60, 90, 120)


def _series(dated: tuple[Dated, ...]) -> list[dict[str, object]]:
    return [{"date": each.on, "value": each.band} for each in dated]


def _future(future: Future) -> dict[str, object]:
    return {
        "title": future.title,
        "moisture": _series(future.moisture),
        "feed_waiting_kg": _series(future.feed_waiting_kg),
        "worms_kg": _series(future.worms_kg),
        "castings_dry_kg": _series(future.castings_dry_kg),
        "harvest": window(future.harvest),
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


def what_if_lines(view: WhatIfView, units: str) -> Iterator[str]:
    """Two futures side by side, and where they part."""
    yield from wrapped(f"{view.instead.title}, against what is planned", WIDTH)
    yield ""
    yield f"{'':<10}{'feed waiting':>22}{'moisture':>24}{'worms':>22}"
    yield f"{'in days':<10}{'planned':>11}{'instead':>11}{'planned':>12}{'instead':>12}{'planned':>11}{'instead':>11}"
    planned, other = view.as_planned, view.instead
    for days in MILESTONES:
        if days < len(planned.moisture):
            feed = [mass(future.feed_waiting_kg[days].band.p50, units) for future in (planned, other)]
            wet = [percent(future.moisture[days].band.p50) for future in (planned, other)]
            worms = [mass(future.worms_kg[days].band.p50, units) for future in (planned, other)]
            yield f"{days:<10}{feed[0]:>11}{feed[1]:>11}{wet[0]:>12}{wet[1]:>12}{worms[0]:>11}{worms[1]:>11}"
    yield f"castings  planned {planned.harvest.words}"
    yield f"          instead {other.harvest.words}"
    yield ""
    for words in view.words:
        yield from wrapped(words, WIDTH, "- ")


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


def absence_lines(plan: Absence) -> Iterator[str]:
    """Before leaving, day by day, what may go wrong, and the neighbour's page."""
    yield f"{LEVEL_SHAPES[plan.level]} {plan.level.value}  away from {day(plan.first)} to {day(plan.last)}"
    yield ""
    yield "Before leaving:"
    for step in plan.before:
        yield from wrapped(step, WIDTH, "  - ")
    yield "Then:"
    for dated in plan.steps:
        yield from wrapped(dated.what, WIDTH, f"  {day(dated.on):<16}")
    yield "What may go wrong:"
    for risk in plan.risks:
        yield from wrapped(risk, WIDTH, "  - ")
    yield ""
    yield "-" * WIDTH
    for line in plan.neighbour:
        yield from wrapped(line, WIDTH)
