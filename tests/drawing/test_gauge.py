"""Gauges fit their width, keep the value where it belongs, and never show an estimate as a reading."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, strategies as st

from tests.drawing.shapes import bands, check, numbers, words
from wormbin.drawing.axes import Measure
from wormbin.drawing.gauge import TIGHT_BAR, Gauge, cell_of, gauge, gauges
from wormbin.figures import Band, Basis, Level

MOISTURE = Gauge(
    "moisture",
    0.81,
    0.4,
    0.95,
    (0.6, 0.85),
    Band(0.77, 0.81, 0.85),
    Basis.WORKED_OUT,
    Level.STEADY,
    Measure(lambda value: f"{value * 100:.0f} %", 100.0),
)

many_gauges = st.builds(
    Gauge,
    title=words,
    value=st.none() | numbers,
    low=numbers,
    high=numbers,
    target=st.tuples(st.none() | numbers, st.none() | numbers),
    band=st.none() | bands,
    basis=st.sampled_from(Basis),
    level=st.sampled_from(Level),
    measure=st.sampled_from([1.0, 100.0, -1.0]).map(lambda factor: Measure(factor=factor)),
)


@pytest.mark.parametrize("width", [*range(40), 50, 60, 76, 80, 100, 120])
@pytest.mark.parametrize("two_lines", [False, True])
@pytest.mark.parametrize("ascii", [False, True])
def test_a_gauge_has_its_width(width: int, two_lines: bool, ascii: bool) -> None:
    picture = gauge(MOISTURE, width, two_lines=two_lines, ascii=ascii)
    check(picture, width, 2 if two_lines else 1, ascii=ascii)


@given(st.lists(many_gauges, max_size=4), st.integers(0, 120), st.booleans(), st.booleans())
def test_any_gauges_are_drawn(many: list[Gauge], width: int, two_lines: bool, ascii: bool) -> None:
    check(gauges(many, width, two_lines=two_lines, ascii=ascii), width, len(many) * (1 + two_lines), ascii=ascii)


def test_words_go_from_the_right_as_it_gets_narrow() -> None:
    assert "81 ±4 % worked out steady" in gauge(MOISTURE, 100).text
    assert "81 ±4 % worked out" in gauge(MOISTURE, 60).text
    assert "worked out" not in gauge(MOISTURE, 44).text
    for width in (24, 30, 44, 60, 100):
        line = gauge(MOISTURE, width).text
        assert "81 ±4 %" in line or "81 %" in line
        assert "◇" in line
        assert line.startswith("○ moisture"[:8])


@pytest.mark.parametrize("width", [16, 24, 30, 44, 60, 100])
@pytest.mark.parametrize("two_lines", [False, True])
@pytest.mark.parametrize("ascii", [False, True])
def test_an_estimate_never_looks_like_a_reading(width: int, two_lines: bool, ascii: bool) -> None:
    read = gauge(replace(MOISTURE, basis=Basis.READ), width, two_lines=two_lines, ascii=ascii).text
    estimate = gauge(MOISTURE, width, two_lines=two_lines, ascii=ascii).text
    disc, lozenge = ("@", "+") if ascii else ("●", "◇")
    assert disc in read
    assert disc not in estimate
    assert lozenge in estimate


@given(st.floats(0.4, 0.95), st.integers(1, 200))
def test_the_value_stands_within_a_cell_of_its_place(value: float, cells: int) -> None:
    at = cell_of(value, MOISTURE, cells)
    assert 0 <= at < cells
    assert abs(at - (value - 0.4) / 0.55 * (cells - 1)) <= 0.5 + 1e-9


def test_a_value_off_the_scale_is_an_arrow() -> None:
    assert "►" in gauge(replace(MOISTURE, value=1.2), 80).text
    assert "◄" in gauge(replace(MOISTURE, value=0.1), 80).text
    assert ">" in gauge(replace(MOISTURE, value=1.2), 80, ascii=True).text


def test_bars_of_a_block_stand_under_each_other() -> None:
    other = replace(
        MOISTURE, title="feed waiting", measure=Measure(lambda value: f"{value * 10:.1f} t", 100.0), level=Level.ACT
    )
    top, foot = gauges((MOISTURE, other), 80).lines
    assert top.index("[") == foot.index("[")
    assert top.index("81 ±4 %") == foot.index("8.1 ±4 t")


def test_what_is_not_known_has_no_mark() -> None:
    line = gauge(replace(MOISTURE, value=None), 80).text
    assert "not known" in line
    assert "▒" not in line
    assert "◇" not in line
    assert "worked out" not in line
    assert "steady" not in line
    assert line.startswith("·")


def test_levels_show_as_shapes() -> None:
    lines = {gauge(replace(MOISTURE, level=level), 30).text for level in Level}
    assert len(lines) == 3


def test_a_bar_gets_short_before_how_sure_a_value_is_goes_unsaid() -> None:
    name, value = len(MOISTURE.title), len("81 ±4 %")
    least = 2 + name + 1 + TIGHT_BAR + 3 + value
    for width in (least, least + 1, least + 3, 40):
        assert "81 ±4 %" in gauge(MOISTURE, width).text, width
    assert "81 %" in gauge(MOISTURE, least - 1).text


@pytest.mark.parametrize(
    ("value", "half", "factor", "said", "words"),
    [
        (0.57, 0.213, 1000.0, "570 g", "570 ±200 g"),
        (0.57, 0.134, 1000.0, "570 g", "570 ±130 g"),
        (3.2, 0.61, 1.0, "3.2 kg", "3.2 ±0.6 kg"),
        (0.079, 0.0198, 100.0, "7.9 cm", "7.9 ±2 cm"),
        (16.0, 1.6, 1.0, "16 °C", "16 ±2 °C"),
        (0.81, 0.04, 100.0, "81%", "81 ±4%"),
        (0.0002, 0.0004, 1000.0, "under 1 g", "under 1 g"),
        (1.0, 0.0, 100.0, "100%", "100%"),
        (5.0, 1e-7, 1.0, "5 kg", "5 kg"),
    ],
)
def test_the_spread_stands_before_the_unit_that_it_shares(
    value: float, half: float, factor: float, said: str, words: str
) -> None:
    one = Gauge(
        "x", value, 0.0, 10.0, band=Band(value - half, value, value + half), measure=Measure(lambda _: said, factor)
    )
    assert one.said() == words
