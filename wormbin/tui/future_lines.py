"""What may come, in lines: two futures side by side, and an absence with its plan."""

from __future__ import annotations

from wormbin.drawing.marks import level_mark
from wormbin.farm.proposals import Absence, WhatIfView
from wormbin.farm.views import ChartView, Dated
from wormbin.tui.round_lines import short_date
from wormbin.tui.showing import Piece, said


def what_if_lines(view: WhatIfView) -> list[list[Piece]]:
    """The difference in words, then both harvests, then both futures with their bands at a few days."""
    lines: list[list[Piece]] = [[said(view.instead.title, "strong")], []]
    lines += [[("• ", "dim"), said(words)] for words in view.words]
    lines.append([])
    for future in (view.as_planned, view.instead):
        lines.append([said(f"{future.title}: ", "dim"), said(future.harvest.words)])
    if view.rows:
        lines += [[], [("likely (and where it lies 8 times in 10)", "dim")]]
    figure = ""
    for row in view.rows:
        if row.figure != figure:
            figure = row.figure
            lines.append([said(figure, "strong")])
        when = f"in {row.days} d" if row.days else "today"
        lines.append([(f" {when:<9}", "dim"), ("planned ", "ahead"), said(row.planned)])
        lines.append([(" " * 10, ""), ("instead ", "what-if"), said(row.instead)])
    return lines


def future_charts(view: WhatIfView) -> tuple[ChartView, ...]:
    """Moisture and feed waiting as planned; ``overlays`` gives the other future."""

    def one(code: str, title: str, unit: str, ahead: tuple[Dated, ...]) -> ChartView:
        return ChartView(code, title, unit, (), ahead, (), (None, None), (), view.on)

    return (
        one("moisture", "moisture", "fraction", view.as_planned.moisture),
        one("feed_waiting", "feed waiting", "kg", view.as_planned.feed_waiting_kg),
        one("worms", "worms", "kg", view.as_planned.worms_kg),
    )


def overlays(view: WhatIfView) -> dict[str, tuple[Dated, ...]]:
    """The other future by the code of the chart that it is drawn over."""
    other = view.instead
    return {"moisture": other.moisture, "feed_waiting": other.feed_waiting_kg, "worms": other.worms_kg}


def absence_lines(plan: Absence, *, ascii: bool) -> list[list[Piece]]:
    """Before leaving, day by day, what may go wrong."""
    lines: list[list[Piece]] = [
        [
            (level_mark(plan.level, ascii=ascii), plan.level.value),
            said(
                f"  away {plan.first:%a} {short_date(plan.first)} to {plan.last:%a} {short_date(plan.last)}", "strong"
            ),
        ],
        [],
        [("Before you leave", "title")],
        *([("  ", ""), said(step)] for step in plan.before),
        [],
        [("Meanwhile", "title")],
        *([(f"  {step.on:%a} {short_date(step.on):>6}  ", "key"), said(step.what)] for step in plan.steps),
        [],
        [("What may go wrong", "title")],
        *([("  ", ""), said(risk)] for risk in plan.risks or ("nothing that is likely",)),
        [],
        [("A page for a neighbour", "title")],
        *([("  ", ""), said(line)] for line in plan.neighbour),
    ]
    return lines
