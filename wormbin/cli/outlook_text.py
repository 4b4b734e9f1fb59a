"""A bin's outlook and a trial as text: the drawing, the gauges, the charts, the days ahead."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta

from wormbin.cli.layout import day, wrapped
from wormbin.cli.paper import Paper
from wormbin.drawing.boxwork import CENTIMETRES, INCHES
from wormbin.drawing.chart import Unit, chart
from wormbin.drawing.curve import Point
from wormbin.drawing.cutaway import Cut, cutaway
from wormbin.drawing.marks import LEVEL_SHAPES, basis_mark, beside_mark, plain
from wormbin.drawing.series import Reading, Series
from wormbin.drawing.strata import Section
from wormbin.farm.views.bin import BinView, ChartView, CutView
from wormbin.figures import Level
from wormbin.measures import mass, percent
from wormbin.records.bins import Cover

CUT_ROWS = 12
CHART_ROWS = 9
PAST_DAYS = 45
DRAWN_AHEAD_DAYS = 60
STEPS = 10


def lines(view: BinView, paper: Paper, units: str) -> Iterator[str]:
    """What to do now, the bin cut open, its figures, what lies ahead."""
    width = min(paper.width, 100)
    yield (
        paper.tinted(f"{LEVEL_SHAPES[view.level]} {view.level.value}", view.level.value)
        + "  "
        + paper.tinted(plain(view.bin.name), "strong")
        + f" ({view.bin.key})   {day(view.on)}, day {view.day}"
    )
    yield from wrapped(view.headline, width, "  ")
    for step in view.emergency or view.do_now:
        yield from wrapped(step, width, "  do: ")
    if view.also:
        yield from wrapped("; ".join(view.also), width, "  also: ")
    if view.mind:
        yield from wrapped(view.mind, width, "  mind: ")
    yield ""
    scale = INCHES if units == "us" else CENTIMETRES
    yield from cutaway(cut_of(view.cut), width, CUT_ROWS, scale=scale, ascii=paper.ascii).lines
    yield ""
    for gauge in view.gauges:
        mark = basis_mark(gauge.basis)
        quiet = gauge.level is Level.STEADY and gauge.beside
        shape = beside_mark(gauge.beside) if quiet else LEVEL_SHAPES[gauge.level]
        aside = f", {gauge.beside} that" if gauge.beside else ""
        age = "" if gauge.age_days is None else f", last read {gauge.age_days} d ago"
        yield from wrapped(
            f"{gauge.words}; aim {gauge.target_words or '-'}{aside}{age}",
            width,
            f"{shape} {gauge.title:<15}{mark} ",
        )
    yield ""
    for code, unit in (
        ("moisture", Unit(percent, 100.0, most=1.0)),
        ("feed_waiting", Unit(lambda kg: mass(kg, units))),
    ):
        series = view.chart(code)
        if series is not None:
            yield f"{series.title}"
            yield from drawn(series, width, unit, ascii=paper.ascii)
            yield ""
    for each in view.compartments:
        yield from wrapped(f"{each.name}{' (feed here)' if each.fed else ''}: {each.words}", width, rest="  ")
        yield from wrapped(each.harvest_words, width, "  castings ", "  ")
    if view.compartments:
        yield ""
    yield f"castings {view.harvest.words}"
    for step_view in view.harvest.steps:
        yield from wrapped(step_view.what, width, f"  {day(step_view.on):<16}")
    yield ""
    for finding in view.findings:
        yield from wrapped(finding.what, width, f"{LEVEL_SHAPES[finding.level]} ")
        yield from wrapped(finding.why, width, "  why: ", "       ")
        for number, step in enumerate(finding.do):
            yield from wrapped(step, width, "  do:  " if number == 0 else "       ")
        if finding.caution:
            yield from wrapped(finding.caution, width, "  mind: ", "       ")
        yield from wrapped(finding.sure, width, "  sure: ", "       ")
    for words in (*view.learned, *(doubt.words for doubt in view.doubts)):
        yield from wrapped(words, width)


def cut_of(view: CutView) -> Cut:
    """The drawing's input for the farm's view."""
    first = view.parts[0]
    several = len(view.parts) > 1
    return Cut(
        feed_m=first.feed_m,
        bedding_m=first.bedding_m,
        castings_m=first.castings_m,
        water_m=first.water_m,
        box_depth_m=first.box_m,
        cover=Cover(view.cover),
        worms_kg_m2=first.worms_kg_m2,
        ruler_m=first.ruler_m,
        drainage=view.drainage,
        sideways=view.sideways,
        named=first.named,
        parts=tuple(
            Section(
                part.number,
                part.feed_m,
                part.bedding_m,
                part.castings_m,
                part.water_m,
                part.worms_kg_m2,
                "",
                part.named,
            )
            for part in view.parts
        )
        if several
        else (),
    )


def drawn(view: ChartView, width: int, unit: Unit, *, ascii: bool = False) -> Sequence[str]:
    """One chart: the last weeks, today, and the look-ahead."""
    series = Series(
        past=tuple(Point(each.on, each.band) for each in view.past),
        ahead=tuple(Point(each.on, each.band) for each in view.ahead),
        readings=tuple(Reading(mark.on, mark.value, mark.questioned) for mark in view.marks),
        target=view.target,
        today=view.today,
        events=tuple(event.on for event in view.events),
    )
    first, last = view.today - timedelta(days=PAST_DAYS), view.today + timedelta(days=DRAWN_AHEAD_DAYS)
    return chart(series, width, CHART_ROWS, first=first, last=last, unit=unit, ascii=ascii).lines
