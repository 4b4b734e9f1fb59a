"""Charts keep their values where they belong, hold the line inside its band, and never fail on odd data."""

from __future__ import annotations

import math
from datetime import date, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, strategies as st
from rich.cells import cell_len

from tests.drawing.shapes import DAY, bands, check, courses, days, many_series, numbers
from wormbin.drawing.axes import Measure, date_marks, round_values, spread
from wormbin.drawing.chart import chart, chart_key, spark
from wormbin.drawing.picture import Picture
from wormbin.drawing.series import Event, Point, Reading, Series, columns
from wormbin.figures import Band

PERCENT = Measure(lambda value: f"{value * 100:.0f} %", 100.0)


def course(first: date, count: int, value: float, half: float = 0.0) -> tuple[Point, ...]:
    return tuple(Point(first + timedelta(days=i), Band(value - half, value, value + half)) for i in range(count))


def cells(picture: Picture, role: str) -> set[tuple[int, int]]:
    return {
        (row, at)
        for row, spans in enumerate(picture.spans)
        for span in spans
        if span.role == role
        for at in range(span.start, span.end)
    }


@given(many_series, st.integers(1, 120), st.integers(1, 24), st.booleans())
def test_any_series_is_drawn_at_any_size(series: Series, width: int, height: int, ascii: bool) -> None:
    check(chart(series, width, height, ascii=ascii), width, height, ascii=ascii)


@given(many_series, days, days, st.none() | numbers, st.none() | numbers, st.booleans())
def test_any_part_of_it_is_drawn(
    series: Series, first: date, last: date, low: float | None, high: float | None, ascii: bool
) -> None:
    picture = chart(
        series, 60, 12, first=first, last=last, low=low, high=high, measure=PERCENT, event_word="fed", ascii=ascii
    )
    check(picture, 60, 12, ascii=ascii)


@pytest.mark.parametrize("ascii", [False, True])
@pytest.mark.parametrize("width", [1, 2, 12, 16, 40, 120])
@pytest.mark.parametrize("height", [1, 2, 3, 4, 7, 8, 20])
def test_nothing_one_point_and_ten_years_are_drawn(width: int, height: int, ascii: bool) -> None:
    ten_years = Series(course(DAY - timedelta(days=3652), 3652, 0.7, 0.1), course(DAY, 60, 0.7, 0.2), today=DAY)
    for series in (
        Series(),
        Series(course(DAY, 1, 0.7)),
        Series(readings=(Reading(DAY, 0.5),)),
        Series(events=(Event(DAY),)),
        Series(today=DAY),
        ten_years,
    ):
        check(chart(series, width, height, ascii=ascii), width, height, ascii=ascii)


@given(courses, st.integers(-50, 50), st.integers(0, 4000), st.integers(1, 200))
def test_the_band_holds_the_line(points: tuple[Point, ...], start: int, length: int, count: int) -> None:
    first = DAY.toordinal() + start
    found = columns(points, first, first + length, count)
    for x, column in found.items():
        assert 0 <= x < count
        assert column.low <= column.line_low <= column.line_high <= column.high


@given(st.lists(bands, min_size=1, max_size=30))
def test_a_gap_in_the_numbers_is_a_gap_in_the_line(many: list[Band]) -> None:
    points = tuple(Point(DAY + timedelta(days=i), band) for i, band in enumerate(many))
    count = len(many)
    found = columns(points, DAY.toordinal(), DAY.toordinal() + max(count - 1, 1), count if count > 1 else 2)
    for i, band in enumerate(many):
        if not all(math.isfinite(value) and abs(value) < 1e100 for value in (band.p10, band.p50, band.p90)):
            near = [many[j] for j in (i - 1, i + 1) if 0 <= j < count]
            if not any(all(math.isfinite(v) and abs(v) < 1e100 for v in (b.p10, b.p50, b.p90)) for b in near):
                assert i not in found


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.booleans())
def test_line_and_reading_stand_in_the_row_of_their_value(line: float, read: float, ascii: bool) -> None:
    series = Series(course(DAY, 30, line), readings=(Reading(DAY + timedelta(days=10), read),))
    picture = chart(series, 60, 22, low=0.0, high=1.0, ascii=ascii)
    rows = 20
    (disc,) = cells(picture, "reading")
    assert abs(disc[0] + 0.5 - (1.0 - read) * rows) <= 1.0
    for row, _ in cells(picture, "past"):
        assert abs(row + 0.5 - (1.0 - line) * rows) <= 1.0


def test_no_peak_is_lost_when_ten_years_are_drawn() -> None:
    points = list(course(DAY, 3650, 0.5))
    points[1234] = Point(points[1234].on, Band.exactly(0.9))
    picture = chart(Series(tuple(points)), 40, 12, low=0.0, high=1.0)
    assert min(row for row, _ in cells(picture, "past")) == 1


@pytest.mark.parametrize("ascii", [False, True])
def test_past_ahead_and_readings_differ_without_colour(ascii: bool) -> None:
    past, ahead = course(DAY - timedelta(days=20), 20, 0.7, 0.05), course(DAY, 20, 0.7, 0.1)
    whole = chart(Series(past, ahead, today=DAY), 70, 16, low=0.4, high=1.0, ascii=ascii)
    line = {role: {whole.lines[row][at] for row, at in cells(whole, role)} for role in ("past", "ahead")}
    assert line["past"] != line["ahead"]
    assert cells(whole, "band")
    assert cells(whole, "today")
    read = chart(Series(past, readings=(Reading(DAY, 0.7), Reading(DAY, 0.5, questioned=True))), 70, 16, ascii=ascii)
    assert {read.lines[row][at] for row, at in cells(read, "reading")} == {"@" if ascii else "●"}
    assert {read.lines[row][at] for row, at in cells(read, "questioned")} == {"?"}


def test_today_and_targets_are_lines_and_their_words_are_at_the_edge() -> None:
    series = Series(course(DAY - timedelta(days=20), 20, 0.7), target=(0.6, 0.85), today=DAY)
    picture = chart(series, 60, 14, measure=PERCENT)
    assert len({at for row, at in cells(picture, "today") if row < 12}) == 1
    assert len({row for row, _ in cells(picture, "target")}) == 2
    assert "85 %" in picture.text
    assert "60 %" in picture.text
    assert "today" in picture.lines[-1]


def test_feedings_are_ticks_under_the_axis_and_planned_ones_lighter() -> None:
    series = Series(
        course(DAY - timedelta(days=20), 20, 0.7),
        course(DAY, 20, 0.7),
        today=DAY,
        events=tuple(Event(DAY + timedelta(days=days)) for days in (-9, 0, 8)),
    )
    picture = chart(series, 60, 14, event_word="fed")
    assert picture.lines[12].count("╹") == 2
    assert picture.lines[12].count("╵") == 1
    assert "fed" in picture.lines[12]


def test_zoom_and_pan_show_other_days() -> None:
    series = Series(course(DAY, 100, 0.7), readings=(Reading(DAY + timedelta(days=50), 0.7),))
    near = chart(series, 60, 10, first=DAY + timedelta(days=45), last=DAY + timedelta(days=55))
    ((_, at),) = cells(near, "reading")
    assert abs(at - (60 + near.lines[0].index("│")) / 2) < 3
    assert not cells(chart(series, 60, 10, last=DAY + timedelta(days=20)), "reading")


def test_a_reading_off_the_axis_is_an_arrow() -> None:
    series = Series(readings=(Reading(DAY, 5.0), Reading(DAY + timedelta(days=5), -5.0)), today=DAY)
    text = chart(series, 40, 10, low=0.0, high=1.0).text
    assert "↑" in text
    assert "↓" in text


def test_a_reading_of_this_morning_is_on_today() -> None:
    series = Series(course(DAY - timedelta(days=9), 10, 0.7), readings=(Reading(datetime(2026, 3, 14, 8, 15), 0.7),))  # noqa: DTZ001
    assert len(cells(chart(series, 60, 10), "reading")) == 1


@given(days, st.integers(0, 20000), st.integers(1, 200))
def test_date_labels_never_touch(first: date, length: int, width: int) -> None:
    last = first + timedelta(days=length)
    marks = date_marks(first, last, width)
    assert all(first <= day <= last for day, _ in marks)
    assert list(marks) == sorted(set(marks))
    wanted = [(round((day - first).days / max(length, 1) * (width - 1)), text) for day, text in marks]
    end = -2
    for start, text in spread([(width // 2, "today"), *wanted], width):
        assert start > end
        assert start + len(text) <= width
        end = start + len(text)


@pytest.mark.parametrize(("length", "width", "label"), [(20, 70, "Mar"), (300, 70, "Jul"), (3650, 70, "2030")])
def test_dates_are_days_months_or_years(length: int, width: int, label: str) -> None:
    assert label in " ".join(text for _, text in date_marks(DAY, DAY + timedelta(days=length), width))


@given(st.floats(-1e6, 1e6), st.floats(1e-6, 1e6), st.integers(1, 12))
def test_marks_are_round_and_within_the_axis(low: float, span: float, most: int) -> None:
    values = round_values(low, low + span, most)
    assert len(values) <= most
    assert list(values) == sorted(values)
    assert all(low - span * 1e-6 - 1e-9 <= value <= low + span * (1 + 1e-6) + 1e-9 for value in values)


def test_marks_are_round_in_the_keepers_unit() -> None:
    fahrenheit = Measure(lambda c: f"{c * 1.8 + 32:.0f} °F", 1.8, 32.0)
    series = Series(tuple(Point(DAY + timedelta(days=i), Band.exactly(15.0 + i)) for i in range(10)))
    text = chart(series, 60, 14, measure=fahrenheit).text
    assert "60 °F" in text
    assert "70 °F" in text


@given(st.lists(st.none() | numbers, max_size=300), st.integers(0, 60), st.booleans())
def test_a_spark_has_its_width(values: list[float | None], width: int, ascii: bool) -> None:
    line = spark(values, width, ascii=ascii)
    assert cell_len(line) == width
    assert line.isascii() or not ascii


def test_a_spark_rises_with_its_values() -> None:
    assert spark([0, 1, 2, 3, 4, 5, 6, 7], 8) == "▁▂▃▄▅▆▇█"
    assert spark([0, None, 7], 5) == "  ▁ █"
    assert spark([0.55] * 40, 4, low=0.0, high=1.0) == "▅▅▅▅"


@given(st.integers(0, 120), st.booleans())
def test_the_key_has_its_width(width: int, ascii: bool) -> None:
    assert cell_len(chart_key(width, ascii=ascii)) == width
    assert "read" in chart_key(80, ascii=ascii)


@pytest.mark.parametrize("ascii", [False, True])
@pytest.mark.parametrize("height", [8, 9, 12, 20])
@pytest.mark.parametrize("over", [0.851, 0.86, 0.87, 0.9])
def test_a_reading_past_a_limit_stands_past_its_line(over: float, height: int, ascii: bool) -> None:
    low = 1.6 - over  # as far below 75 % as the other is above 85 %
    series = Series(
        course(DAY, 30, 0.8, 0.02),
        readings=(Reading(DAY + timedelta(days=9), over), Reading(DAY + timedelta(days=19), low)),
        target=(0.75, 0.85),
    )
    picture = chart(series, 60, height, measure=PERCENT, ascii=ascii)
    upper, lower = sorted({row for row, _ in cells(picture, "target")})
    first, second = sorted(row for row, _ in cells(picture, "reading"))
    assert first < upper
    assert second > lower


def test_a_reading_within_the_limits_is_not_moved_out() -> None:
    series = Series(course(DAY, 30, 0.8), readings=(Reading(DAY + timedelta(days=9), 0.849),), target=(0.75, 0.85))
    picture = chart(series, 60, 8, measure=PERCENT)
    ((row, _),) = cells(picture, "reading")
    assert row >= min(row for row, _ in cells(picture, "target"))


@pytest.mark.parametrize("ascii", [False, True])
@pytest.mark.parametrize(
    ("length", "width"), [(14, 50), (14, 80), (30, 73), (60, 50), (60, 80), (120, 80), (120, 100), (120, 193)]
)
def test_days_and_weeks_are_marked_at_even_steps(length: int, width: int, ascii: bool) -> None:
    picture = chart(Series(course(DAY, 200, 0.7)), width, 10, first=DAY, last=DAY + timedelta(days=length), ascii=ascii)
    axis = picture.lines[-2]
    ticks = [at for at, sign in enumerate(axis) if sign in "┬+"]
    ticks = ticks[1:] if ascii else ticks  # the corner is a plus as well
    assert len({after - before for before, after in pairwise(ticks)}) <= 1


@given(st.integers(1, 400), st.integers(6, 200), st.integers(1, 2))
def test_no_day_that_was_asked_for_is_lost_by_even_steps(length: int, columns: int, fine: int) -> None:
    from wormbin.drawing.axes import even_days

    seen = even_days(length, columns, fine)
    assert length <= seen <= length * 1.35 + 1


def test_an_inner_date_goes_before_one_that_must_be_moved_in_from_the_edge() -> None:
    kept = [text for _, text in spread([(0, "31 Aug"), (8, "14 Sep"), (17, "28 Sep")], 40)]
    assert kept == ["14 Sep", "28 Sep"]
    sure = [text for _, text in spread([(0, "today"), (4, "14 Sep"), (17, "28 Sep")], 40, sure=1)]
    assert sure == ["today", "28 Sep"]


def test_a_chart_above_another_leaves_the_dates_to_it_and_uses_their_rows() -> None:
    series = Series(course(DAY - timedelta(days=20), 20, 0.7), course(DAY, 20, 0.7), today=DAY, events=(Event(DAY),))
    with_dates, without = (chart(series, 60, 10, event_word="fed", dates=dates) for dates in (True, False))
    rows = [len({row for row, at in cells(picture, "today")}) for picture in (with_dates, without)]
    assert rows == [7, 8]  # two rows more for the curve; the word stands under the first alone
    assert "today" not in without.text
    assert without.lines[-1].startswith("└") or "└" in without.lines[-1]


@pytest.mark.parametrize("ascii", [False, True])
def test_a_slip_of_the_hand_does_not_flatten_all_the_rest(ascii: bool) -> None:
    calm = Series(course(DAY, 30, 0.8, 0.05), readings=(Reading(DAY + timedelta(days=9), 0.82),), target=(0.75, 0.85))
    slip = Reading(DAY + timedelta(days=20), 0.21, questioned=True)
    odd = Series(calm.past, readings=(*calm.readings, slip), target=calm.target)
    rows = [
        {row for row, _ in cells(chart(series, 60, 12, measure=PERCENT, ascii=ascii), "target")}
        for series in (calm, odd)
    ]
    assert rows[0] == rows[1]
    picture = chart(odd, 60, 12, measure=PERCENT, ascii=ascii)
    ((row, at),) = cells(picture, "questioned")
    assert picture.lines[row][at] == "?"
    assert row == max(row for row, _ in cells(picture, "axis") if row < 10), "at the foot, below all else"


def test_a_slip_that_stands_alone_is_still_drawn() -> None:
    picture = chart(Series(readings=(Reading(DAY, 0.21, questioned=True),), today=DAY), 60, 12, measure=PERCENT)
    assert len(cells(picture, "questioned")) == 1


def test_no_mark_stands_beyond_what_can_be() -> None:
    whole = Series(past=course(DAY, 30, 1.0), target=(1.0, None), today=DAY + timedelta(days=29))
    assert "110 %" in chart(whole, 60, 12, measure=PERCENT).text, "there is room above the line for it"
    shares = Measure(PERCENT.say, PERCENT.factor, most=1.0)
    text = chart(whole, 60, 12, measure=shares).text
    assert "110 %" not in text
    assert "100 %" in text
