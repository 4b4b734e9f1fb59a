"""A gauge says when a figure lies beside its band, and shows the one figure that is shown everywhere."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.farm.a_farm import kitchen
from wormbin.advice import limits
from wormbin.drawing.gauge import Gauge, gauge
from wormbin.farm.gauging import beside
from wormbin.farm.looking import drawn_feed_m
from wormbin.farm.proposals import CheckDraft
from wormbin.figures import Basis, Level
from wormbin.measures import percent
from wormbin.records.bins import Species


@pytest.mark.parametrize(("value", "way"), [(0.69, "below"), (0.7499, ""), (0.80, ""), (0.852, ""), (0.87, "above")])
def test_a_figure_outside_its_brackets_as_printed_is_beside_them(value: float, way: str) -> None:
    assert beside(value, (0.75, 0.85), percent) == way
    assert beside(value, (None, None), percent) == ""


@pytest.mark.parametrize("ascii", [False, True])
def test_what_lies_beside_its_brackets_never_wears_the_mark_of_steady(ascii: bool) -> None:
    def line(way: str) -> str:
        one = Gauge("moisture", 0.69, 0.5, 1.0, (0.75, 0.85), say=percent, beside=way)
        return gauge(one, 90, ascii=ascii).lines[0]

    assert line("").startswith("o" if ascii else "○")
    assert line("below").startswith("<" if ascii else "◁")
    assert line("above").startswith(">" if ascii else "▷")
    assert "below" in line("below")
    assert "steady" not in line("below")
    assert Gauge("moisture", 0.6, 0.5, 1.0, level=Level.ACT, beside="below").level_word == "act"


@pytest.mark.parametrize("species", list(Species))
def test_the_band_of_warmth_lies_within_what_the_findings_leave_alone(species: Species) -> None:
    low, high = limits.COMFORT_C[species]
    assert limits.too_cold(species).watch.leave < low < high < limits.too_hot(species).watch.leave


def test_the_gauge_the_round_and_the_sums_show_one_figure_with_the_reading_beside_it(tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=20)
    farm.record_check("kitchen", CheckDraft(moisture="70%", moisture_by="oven"))
    view = farm.look("kitchen")
    shown = view.gauge("moisture")
    assert shown is not None
    (row,) = farm.round().rows
    chart = view.chart("moisture")
    assert chart is not None
    likely = percent(shown.band.p50)
    assert likely != "70%"
    assert shown.basis is Basis.WORKED_OUT
    assert shown.words.startswith(likely)
    assert shown.words.endswith("read 70% today")
    assert percent(row.moisture.p50) == likely
    assert percent(farm.working("kitchen", "moisture").value) == likely
    assert percent(chart.past[-1].band.p50) == likely


@pytest.mark.parametrize(("waiting_kg", "drawn"), [(0.004, 0.0), (0.006, 0.02)])
def test_no_row_of_feed_is_drawn_where_none_is_shown_to_wait(waiting_kg: float, drawn: float) -> None:
    assert drawn_feed_m(0.02, waiting_kg) == drawn


def test_all_is_not_called_well_beside_a_band(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    for row in farm.round().rows:
        gauges = farm.look(row.bin).gauges
        outside = [each.title for each in gauges if each.beside and each.code in ("moisture", "temp", "feed_waiting")]
        assert not (outside and "all well" in row.headline)
