"""What may come: two futures side by side, an absence with its plan, a bin that does not exist."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from wormbin.drawing.series import Series
from wormbin.farm.views.proposals import Absence, WhatIfView
from wormbin.figures import Band
from wormbin.measures import counted, mass, percent
from wormbin.pages.page import GAP, Block, Column, Heading, Sentence, Table, dated, day

STEPS = 10
"""About so many days of a trial are told."""


def what_if(view: WhatIfView) -> Iterator[Block]:
    """The difference in words, then both harvests, then both futures with their bands at a few days."""
    yield Sentence(view.instead.title, "strong", aside=", against what is planned")
    yield GAP
    for words in view.words:
        yield Sentence(words, lead="• ")
    yield GAP
    for future in (view.as_planned, view.instead):
        yield Sentence(future.harvest.words, lead=f"{future.title}: harvest ")
    if view.rows:
        yield GAP
        yield Sentence("(likely; in brackets where it lies 8 times in 10)", "dim")
    figure = ""
    for row in view.rows:
        if row.figure != figure:
            figure = row.figure
            yield Sentence(figure, "strong")
        when = f"in {counted(row.days, 'day')}" if row.days else "today"
        yield Sentence(row.planned, lead=f"{when:<12}planned ", indent=1)
        yield Sentence(row.instead, lead="instead ", lead_role="what-if", indent=13)


def absences(plans: Sequence[Absence]) -> Iterator[Block]:
    """Of each bin before leaving, day by day, what may go wrong; and one page for a neighbour."""
    for plan in plans:
        yield from _absence(plan, plan.bin if len(plans) > 1 else "")
        yield GAP
    yield Heading("A page for a neighbour")
    for line in for_neighbour(plans):
        yield Sentence(line, indent=2 if line else 0)


def for_neighbour(plans: Sequence[Absence]) -> list[str]:
    """What a neighbour gets: each bin with what is its own, and once what is said of all."""
    of_all = [line for line in plans[0].neighbour if all(line in plan.neighbour for plan in plans)]
    if len(plans) == 1:
        return of_all
    own = [[line for line in plan.neighbour if line not in of_all] for plan in plans]
    return [*(line for lines in own for line in (*lines, "")), *of_all]


def _absence(plan: Absence, bin: str) -> Iterator[Block]:
    away = f"away from {day(plan.first)} to {day(plan.last)}"
    yield Sentence(f"{bin}: {away}" if bin else away, "strong", level=plan.level, named=True)
    yield GAP
    yield Heading("Before you leave")
    for step in plan.before:
        yield Sentence(step, lead="- ", indent=2)
    yield GAP
    yield Heading("Meanwhile")
    yield from dated(plan.steps)
    yield GAP
    yield Heading("What may go wrong")
    for risk in plan.risks or ("nothing that is likely",):
        yield Sentence(risk, lead="- ", indent=2)


def trial(result: Mapping[str, Any], units: str) -> Iterator[Block]:
    """A trial: a line for about every tenth of its days, the end, the losses."""
    series: Sequence[Mapping[str, Any]] = result["series"]
    stride = max(1, (len(series) - 1) // STEPS)
    shown = [each for number, each in enumerate(series) if number % stride == 0 or number == len(series) - 1]
    heads = ("day", "moisture", "waiting", "castings dry", "all dry", "all wet", "worms")
    masses = ("feed_waiting_kg", "castings_dry_kg", "dry_kg", "total_kg", "worms_kg")
    yield Table(
        tuple(Column(head, right=True) for head in heads),
        tuple(
            (str(each["day"]), percent(each["moisture"].p50), *(mass(each[name].p50, units) for name in masses))
            for each in shown
        ),
    )
    state, losses = result["state"], result["losses"]
    yield GAP
    yield Sentence(f"at the end: {_range(state['total_kg'], units)} wet, {_range(state['dry_kg'], units)} dry")
    yield Sentence(f"castings {_range(state['castings_dry_kg'], units)} dry; worms {_range(state['worms_kg'], units)}")
    yield Sentence(f"C:N of all that lies there {state['cn_all']:.0f}")
    yield Sentence(
        f"burned {mass(losses['burned_kg'], units)} of dry matter ({percent(losses['dry_share'])} of what went in); "
        f"evaporated {mass(losses['evaporated_kg'], units)}, drained {mass(losses['drained_kg'], units)}"
    )
    likely = result["harvest"]["likely"]
    if likely is not None:
        yield Sentence(f"80% castings about day {(likely - series[0]['date']).days}")


def _range(band: Band, units: str) -> str:
    low, likely, high = mass(band.p10, units), mass(band.p50, units), mass(band.p90, units)
    return likely if low == high else f"{likely} ({low} to {high})"


def with_other(charts: Sequence[Series], view: WhatIfView | None) -> tuple[Series, ...]:
    """A bin's charts with the other future drawn over them."""
    other = {each.code: each.what_if for each in future_series(view)} if view is not None else {}
    return tuple(replace(each, what_if=other.get(each.code, ())) for each in charts)


def future_series(view: WhatIfView) -> tuple[Series, ...]:
    """Moisture, feed waiting and worms as planned, each with the other future over it."""
    planned, other = view.as_planned, view.instead
    return tuple(
        Series(ahead=one, what_if=two, today=view.on, code=code, title=title, unit=unit)
        for code, title, unit, one, two in (
            ("moisture", "moisture", "fraction", planned.moisture, other.moisture),
            ("feed_waiting", "uneaten food", "kg", planned.feed_waiting_kg, other.feed_waiting_kg),
            ("worms", "worms", "kg", planned.worms_kg, other.worms_kg),
        )
    )
