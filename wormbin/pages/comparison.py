"""Bins held against each other: the question, its answer, how far they differ, charts side by side on one axis."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from functools import partial

from wormbin.drawing.axes import measure_of
from wormbin.drawing.chart import chart
from wormbin.drawing.marks import BASIS_MARKS, plain
from wormbin.drawing.picture import Canvas, Picture
from wormbin.drawing.series import Series
from wormbin.farm.comparisons.told import signed_words
from wormbin.farm.views.comparison import ComparisonView, Difference, Verdict
from wormbin.figures import Basis
from wormbin.measures import counted, mass
from wormbin.pages.page import GAP, Block, Column, Drawn, Heading, Rows, Sentence, Table, day
from wormbin.records.kinds.log import Measured

CHART_ROWS = 8
GUTTER, APART = 6, 2
LEAST_COUNTS = 3.0
"""Readings that count for fewer weeks leave an interval of any width (ours)."""
NOT_TOLD = "cannot be said yet"
NEXT = {
    Verdict.MORE: "Next: swap what differs between the two boxes, and see whether the difference goes along.",
    Verdict.NOT_MORE: "Next: two or three bins of each, or a longer look, would show a smaller difference.",
    Verdict.NOT_YET: "Next: read both bins on the same day each week, by the same hand.",
}


def comparison(view: ComparisonView, *, ascii: bool = False, charted: int | None = None) -> Iterator[Block]:
    """The page; ``charted`` limits the charts to those of so many quantities."""
    yield from asked(view)
    yield from found(view)
    yield GAP
    yield from table(view)
    yield from unequal(view)
    seen = [each for each in view.differences if each.is_seen]
    for each in seen[:charted]:
        yield GAP
        yield Heading(each.title)
        yield Drawn(partial(side_by_side, each, view, ascii=ascii))


def asked(view: ComparisonView) -> Iterator[Block]:
    """What is asked, of which bins, when, and what is kept the same."""
    yield Heading(view.question)
    yield Rows(
        [
            ("bins", " against ".join(side.name for side in view.sides)),
            ("from", f"{day(view.first)} to {day(view.last)}" + (", still going" if view.on < view.last else "")),
            ("answered by", view.differences[0].title),
            ("kept the same", ", ".join(view.same)),
            *((f"{side.name} keeps to", side.keeps_to) for side in view.sides),
            *((side.name, did(view, number)) for number, side in enumerate(view.sides)),
        ]
    )


def did(view: ComparisonView, number: int) -> str:
    """What was done with one of its bins, in a few words."""
    side = view.sides[number]
    return f"fed {mass(side.fed_kg, view.units)}, read {counted(side.readings, 'time')}"


def found(view: ComparisonView) -> Iterator[Block]:
    """The answer by the readings, the answer by the estimates, and what both can and cannot tell."""
    main = view.differences[0]
    yield GAP
    if main.about is not Measured.CASTINGS:  # nobody can read those
        yield Sentence(view.answer, "strong", lead=f"{BASIS_MARKS[Basis.READ]} ")
    yield Sentence(view.made_answer, lead=f"{BASIS_MARKS[Basis.WORKED_OUT]} ")
    if view.agree:
        yield Sentence(view.agree)
    yield Sentence(view.harvests, lead=f"{BASIS_MARKS[Basis.WORKED_OUT]} ")
    yield Sentence(view.pairs, "dim")
    yield Sentence(NEXT[view.verdict])


def table(view: ComparisonView) -> Iterator[Block]:
    """Every quantity: the difference as it was read and as it is worked out, each with its interval."""
    one = view.sides[0].name
    columns = (
        Column("difference"),
        Column(f"{BASIS_MARKS[Basis.READ]} read"), Column("weeks", right=True, rank=1),
        Column(f"{BASIS_MARKS[Basis.WORKED_OUT]} worked out"),
    )  # fmt: skip
    yield Table(columns, tuple(_row(each, view.units) for each in view.differences))
    yield Sentence(
        f"Plus: {one} has more. Minus: it has less. The brackets hold the true difference 95 times in 100. Readings "
        "before the end, or of something else than was asked, get wider ones. Look often, or at many things, and "
        "chance fools you sooner. Weeks much like the week before count for less. "
        "Worked out: what is wrong for both bins alike, such as a scale, falls out.",
        "dim",
    )


def _row(each: Difference, units: str) -> tuple[str, ...]:
    read, weeks = "-" if each.about is Measured.CASTINGS else "not enough", "-"
    if each.read is not None:
        weeks = str(each.read.weeks)
        if each.read.counts >= LEAST_COUNTS:
            read = signed_words(each.read.mean, *each.read.interval(each.within), each.unit, units)
    made = signed_words(each.made.p50, each.made.p10, each.made.p90, each.made_unit, units)
    return each.title, read, weeks, made if each.made_told else NOT_TOLD


def unequal(view: ComparisonView) -> Iterator[Block]:
    """What differs and should not; for bins that are only looked at, how to begin alike."""
    if view.unequal:
        yield GAP
        yield Heading("Not equal, and not what is compared")
        for words in view.unequal:
            yield Sentence(words, lead="- ", indent=2)
    if view.equal:
        yield GAP
        yield Heading("To begin a comparison, start alike")
        for words in view.equal:
            yield Sentence(words, lead="- ", indent=2)


def side_by_side(each: Difference, view: ComparisonView, width: int, *, ascii: bool = False) -> Picture:
    """The charts of the bins beside each other, over the same days and the same values."""
    room = (width - APART * (len(each.charts) - 1)) // len(each.charts)
    low, high = ends(each.charts, view.first, view.on)
    pictures = [
        chart(
            side, room, CHART_ROWS, first=view.first, last=view.on, low=low, high=high,
            measure=measure_of(side.unit, view.units), least_gutter=GUTTER, ascii=ascii,
        )
        for side in each.charts
    ]  # fmt: skip
    canvas = Canvas(width, CHART_ROWS + 1, ascii=ascii)
    for place, picture in enumerate(pictures):
        canvas.write(place * (room + APART) + GUTTER + 2, 0, plain(view.sides[place].name, room - GUTTER - 2), "strong")
        for row in range(picture.height):
            at = place * (room + APART)
            for text, role in picture.pieces(row):
                at = canvas.write(at, row + 1, text, role)
    return canvas.picture()


def ends(charts: Sequence[Series], first: date, last: date) -> tuple[float, float]:
    """The lowest and highest value to be seen in any of them, with a little air."""
    values = [value for side in charts for value in side.values(first, last)]
    low, high = min(values, default=0.0), max(values, default=1.0)
    air = (high - low) * 0.06 or abs(high) * 0.1 or 1.0
    return max(low - air, 0.0) if low >= 0.0 else low - air, high + air
