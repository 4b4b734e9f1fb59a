"""The chart to print: everything stays in its box, in order, and each thing has a shape of its own."""

from __future__ import annotations

import re
import xml.etree.ElementTree as Xml
from dataclasses import replace
from datetime import date, timedelta

import pytest

from wormbin.drawing.axes import Measure
from wormbin.drawing.series import Event, Point, Reading, Series
from wormbin.drawing.svg_chart import FOOT, HEIGHT, LEFT, RIGHT, TOP, WIDTH, in_view, svg_chart
from wormbin.figures import Band
from wormbin.measures import mass, percent

FIRST, LAST, TODAY = date(2026, 3, 1), date(2026, 6, 28), date(2026, 5, 14)
SHARE = Measure(percent, 100.0, unit="%", least=0.0, most=1.0)


def points(first: date, last: date, low: float, likely: float, high: float) -> tuple[Point, ...]:
    return tuple(Point(first + timedelta(days=n), Band(low, likely, high)) for n in range((last - first).days + 1))


def a_series(**more: object) -> Series:
    given = {
        "past": points(FIRST, TODAY, 0.72, 0.78, 0.84),
        "ahead": points(TODAY, LAST, 0.70, 0.76, 0.86),
        "readings": (Reading(date(2026, 4, 2), 0.80), Reading(date(2026, 4, 9), 0.21, questioned=True)),
        "target": (0.75, 0.85),
        "today": TODAY,
        "events": (Event(date(2026, 3, 3)), Event(date(2026, 5, 2))),
    }
    return Series(**(given | more))  # type: ignore[arg-type]


def drawn(series: Series, measure: Measure = SHARE, **more: object) -> Xml.Element:
    given = {"name": "moisture", "title": "moisture", "words": "words", "first": FIRST, "last": LAST}
    return Xml.fromstring(svg_chart(series, measure, **(given | more)))  # type: ignore[arg-type]


def of_class(chart: Xml.Element, kind: str) -> list[Xml.Element]:
    return [each for each in chart.iter() if each.get("class") == kind]


def pairs(shape: Xml.Element) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+),(-?[\d.]+)", shape.get("points") or "")]


@pytest.mark.parametrize(
    "series",
    [
        a_series(),
        a_series(readings=(Reading(date(2026, 4, 2), 9e9), Reading(date(2026, 4, 3), float("nan")))),
        a_series(past=points(date(2020, 1, 1), TODAY, -5.0, 0.5, 1e30)),
        a_series(past=points(FIRST, TODAY, 0.5, 0.5, 0.5), ahead=(), target=(None, None)),
        Series(),
    ],
    ids=["usual", "wild readings", "wild band", "flat", "nothing"],
)
def test_every_point_lies_in_the_box(series: Series) -> None:
    chart = drawn(
        replace(
            series,
            harvest=(date(2026, 5, 1), date(2026, 6, 1), None),
            events=(Event(LAST, "planned"), Event(date(2030, 1, 1), "planned")),
        )
    )
    floor, end = HEIGHT - FOOT, WIDTH - RIGHT
    for shape in (*chart.iter("polygon"), *chart.iter("polyline")):
        assert pairs(shape)
        assert all(LEFT <= x <= end and TOP <= y <= floor for x, y in pairs(shape))
    for disc in of_class(chart, "read"):
        assert LEFT <= float(disc.get("cx") or "") <= end
        assert TOP <= float(disc.get("cy") or "") <= floor
    for text in chart.iter("text"):
        assert 0 <= float(text.get("x") or "") <= WIDTH
        assert 0 <= float(text.get("y") or "") <= HEIGHT
    for window in chart.iter("rect"):
        assert float(window.get("x") or "") + float(window.get("width") or "") <= end + 6


def test_a_value_stands_where_the_axis_says() -> None:
    """The reading of 80 % lies between the marks of 75 and 85, by straight proportion."""
    chart = drawn(a_series(readings=(Reading(date(2026, 4, 2), 0.80),)))
    marks = {
        float(each.text or ""): float(each.get("y") or "") - 4
        for each in of_class(chart, "mark")
        if re.fullmatch(r"[\d.]+", each.text or "") and each.get("text-anchor") == "end"
    }
    low, high = min(marks), max(marks)
    disc = of_class(chart, "read")[0]
    expected = marks[low] + (80 - low) / (high - low) * (marks[high] - marks[low])
    assert float(disc.get("cy") or "") == pytest.approx(expected, abs=0.3)
    days = (date(2026, 4, 2) - FIRST).days / (LAST - FIRST).days
    assert float(disc.get("cx") or "") == pytest.approx(LEFT + days * (WIDTH - LEFT - RIGHT), abs=0.1)


def test_the_likely_line_lies_within_its_band() -> None:
    chart = drawn(a_series())
    for kind in ("past", "ahead"):
        (band,), (line,) = of_class(chart, f"band {kind}"), of_class(chart, f"likely {kind}")
        edge, count = pairs(band), len(pairs(line))
        upper, lower = edge[:count], edge[count:][::-1]
        for (x, y), (x1, y1), (x2, y2) in zip(pairs(line), upper, lower, strict=True):
            assert x == x1 == x2
            assert y1 <= y <= y2


def test_a_reading_an_estimate_and_a_doubted_reading_differ_in_shape() -> None:
    chart = drawn(a_series())
    assert [each.tag for each in of_class(chart, "read")] == ["circle"]
    assert [each.tag for each in of_class(chart, "doubted")] == ["rect"]
    assert "?" in [each.text for each in of_class(chart, "mark")]
    assert {each.tag for each in of_class(chart, "likely past")} == {"polyline"}


def test_the_harvest_window_is_drawn_where_it_is_and_left_out_when_there_is_none() -> None:
    chart = drawn(a_series(harvest=(date(2026, 6, 1), date(2026, 6, 10), date(2026, 6, 20))))
    (window,) = of_class(chart, "window")
    across = WIDTH - LEFT - RIGHT
    begins = LEFT + (date(2026, 6, 1) - FIRST).days / (LAST - FIRST).days * across
    assert float(window.get("x") or "") == pytest.approx(begins, abs=0.1)
    assert float(window.get("width") or "") == pytest.approx(19 / (LAST - FIRST).days * across, abs=0.2)
    (wide,) = of_class(drawn(a_series(harvest=(date(2020, 1, 1), None, date(2030, 1, 1)))), "window")
    assert (float(wide.get("x") or ""), float(wide.get("width") or "")) == (LEFT, across), "cut to the box"
    assert not of_class(drawn(a_series()), "window")
    assert not of_class(drawn(a_series(harvest=(date(2027, 1, 1), None, None))), "window")


def test_a_target_far_away_is_left_out_and_said_to_be() -> None:
    kg = Measure(mass, unit="kg", least=0.0)
    series = Series(past=points(FIRST, TODAY, 0.1, 0.2, 0.3), target=(None, 6.0))
    assert not in_view(6.0, series, kg, FIRST, LAST)
    assert not of_class(drawn(series, kg), "limit")
    assert len(of_class(drawn(a_series()), "limit")) == 2


def test_words_from_outside_are_escaped() -> None:
    chart = svg_chart(a_series(), SHARE, name="a", title="<b>&", words="</desc><script>\x07", first=FIRST, last=LAST)
    assert "<script>" not in chart
    assert "\x07" not in chart
    assert Xml.fromstring(chart).findtext("title") == "<b>&"
