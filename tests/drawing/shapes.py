"""Random things to draw, shared by the tests of this room."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from hypothesis import strategies as st
from rich.cells import cell_len

from wormbin.drawing.cutaway import Cut
from wormbin.drawing.picture import Picture
from wormbin.drawing.series import Event, Point, Reading, Series
from wormbin.drawing.strata import Section
from wormbin.figures import Band
from wormbin.records.bins import Cover

DAY = date(2026, 3, 14)

numbers = st.one_of(
    st.floats(-5.0, 5.0),
    st.floats(allow_nan=True, allow_infinity=True),
    st.sampled_from([float("nan"), float("inf"), -float("inf"), 1e308, -1e308, 5e-324, 0.0]),
)
depths = st.one_of(st.floats(0.0, 0.6), st.just(0.0), st.floats(0.0, 0.01))
# Built from numbers, since building Hypothesis's table of all characters takes seconds on a slow machine.
letters = st.one_of(
    st.integers(0x20, 0x7E), st.integers(0, 0x3FF), st.integers(0x590, 0xFFFF), st.integers(0, 0x10FFFF)
).map(chr)
texts = st.lists(letters, max_size=40).map("".join)
words = texts | st.sampled_from(["Küche", "עגבניות", "👨‍👩‍👧 bin", "[b]x[/b]", "e\u0301" * 9, "漢字" * 20])
days = st.integers(-4000, 4000).map(lambda n: DAY + timedelta(days=n))
bands = st.builds(Band, numbers, numbers, numbers)


def sections(number: int = 1) -> st.SearchStrategy[Section]:
    return st.builds(
        Section,
        number=st.just(number),
        feed_m=depths,
        bedding_m=depths,
        castings_m=depths,
        water_m=depths,
        worms_kg_m2=st.floats(0.0, 30.0),
        name=st.just("") | words,
    )


def one_part(
    feed: float, bedding: float, castings: float, water: float, box: float, cover: Cover = Cover.LOOSE, *,
    worms: float = 0.0, ruler_m: float | None = None, notes: Mapping[str, str] | None = None,
) -> Cut:  # fmt: skip
    """A plain bin."""
    part = Section(1, feed, bedding, castings, water, worms)
    return Cut((part,), box, cover, ruler_m=ruler_m, notes=notes or {})


cuts = st.builds(
    Cut,
    box_depth_m=st.floats(0.05, 1.0),
    cover=st.sampled_from(Cover),
    ruler_m=st.none() | depths,
    drainage=st.booleans(),
    parts=st.integers(1, 5).flatmap(lambda n: st.tuples(*(sections(i + 1) for i in range(n)))),
    sideways=st.booleans(),
    notes=st.dictionaries(st.sampled_from(["feed", "worm", "water"]), words),
)

courses = st.lists(st.builds(Point, days, bands), max_size=12).map(
    lambda found: tuple(sorted(found, key=lambda p: p.on))
)

many_series = st.builds(
    Series,
    past=courses,
    ahead=courses,
    readings=st.lists(st.builds(Reading, days, numbers, st.booleans()), max_size=6).map(tuple),
    what_if=courses,
    target=st.tuples(st.none() | numbers, st.none() | numbers),
    today=st.none() | days,
    events=st.lists(st.builds(Event, days), max_size=6).map(tuple),
)


def check(picture: Picture, width: int, height: int, *, ascii: bool) -> None:
    """Every line is exactly as wide as asked, and the spans are in order and inside their lines."""
    assert len(picture.lines) == len(picture.spans) == height
    for row, line in enumerate(picture.lines):
        assert cell_len(line) == width, (row, line)
        assert not set(line) & set("\n\r\t\x1b")
        if ascii:
            assert line.isascii(), line
        end = 0
        for span in picture.spans[row]:
            assert end <= span.start < span.end <= len(line)
            end = span.end
        assert "".join(text for text, _ in picture.pieces(row)) == line


def roles_down(picture: Picture, column: int) -> list[str]:
    """The roles met going down one column of a picture without wide letters."""
    return [next((span.role for span in spans if span.start <= column < span.end), "") for spans in picture.spans]
