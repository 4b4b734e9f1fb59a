"""A gauge says when a figure lies beside its band, and shows the one figure that is shown everywhere."""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path

import pytest

from tests.farm.a_farm import kitchen
from wormbin.advice import limits, rules as rules_folder
from wormbin.advice.rules.feeding import OVER_FED
from wormbin.advice.rules.sightings import TABLE
from wormbin.advice.rules.silence import CODE
from wormbin.drawing.axes import Measure
from wormbin.drawing.gauge import Gauge, gauge
from wormbin.farm import bins, rounds
from wormbin.farm.bins.gauges import GAUGE_OF, NONE, PH_DAYS, beside, range_words
from wormbin.farm.bins.page import drawn_feed_m
from wormbin.farm.bins.row import AWAY_AHEAD
from wormbin.farm.recording.lines import write
from wormbin.figures import Band, Basis, Level, amount, told_figure
from wormbin.measures import mass, percent
from wormbin.pages.page import lines
from wormbin.pages.sums import sums
from wormbin.problems import RefusedError
from wormbin.records.bins import Species
from wormbin.records.entries import Kind
from wormbin.science.signs import SIGNS


@pytest.mark.parametrize(("value", "way"), [(0.69, "below"), (0.7499, ""), (0.80, ""), (0.852, ""), (0.87, "above")])
def test_a_figure_outside_its_brackets_as_printed_is_beside_them(value: float, way: str) -> None:
    assert beside(value, (0.75, 0.85), percent) == way
    assert beside(value, (None, None), percent) == ""


@pytest.mark.parametrize("ascii", [False, True])
def test_what_lies_beside_its_brackets_never_wears_the_mark_of_steady(ascii: bool) -> None:
    def line(way: str) -> str:
        one = Gauge("moisture", 0.69, 0.5, 1.0, (0.75, 0.85), measure=Measure(percent), beside=way)
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
    write(farm, "kitchen", Kind.CHECK, {"moisture": "70%", "moisture_by": "oven"})
    view = bins.look(farm, "kitchen")
    shown = view.gauge("moisture")
    assert shown is not None
    (row,) = rounds.view(farm).rows
    chart = view.chart("moisture")
    assert chart is not None
    likely = percent(shown.value or 0.0)
    assert likely != "70%"
    assert shown.basis is Basis.WORKED_OUT
    assert shown.words.startswith(likely)
    assert shown.words.endswith("read 70% today, counts less")
    assert percent(row.moisture.p50) == likely
    assert percent(bins.working(farm, "kitchen", "moisture").value) == likely
    assert percent(chart.past[-1].band.p50) == likely


@pytest.mark.parametrize(("waiting_kg", "drawn"), [(0.004, 0.0), (0.006, 0.02)])
def test_no_row_of_feed_is_drawn_where_none_is_shown_to_wait(waiting_kg: float, drawn: float) -> None:
    assert drawn_feed_m(0.02, waiting_kg) == drawn


def test_all_is_not_called_well_beside_a_band(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    for row in rounds.view(farm).rows:
        gauges = bins.look(farm, row.bin).gauges
        outside = [each.title for each in gauges if each.beside and each.code in ("moisture", "temp", "feed_waiting")]
        assert not (outside and "all well" in row.headline)


def test_less_than_a_gram_is_none_to_speak_of(tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=3)
    shown = bins.look(farm, "kitchen", farm.clock().date() + timedelta(days=17)).gauge("feed_waiting")
    assert shown is not None
    assert (shown.value or 0.0) < 0.001
    assert shown.words.startswith("none to speak of")
    assert shown.likely == "none to speak of"
    assert range_words(Band(0.0, 0.0004, 0.004), lambda kg: mass(kg) if kg >= 0.001 else NONE) == (
        "none to speak of, at most 4 g"
    )


def test_a_ratio_beyond_its_scale_says_why_and_that_it_does_no_harm(tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=3)
    shown = bins.look(farm, "kitchen").gauge("cn")
    assert shown is not None
    assert ((shown.value or 0.0) > 60.0) == ("mostly bedding, no harm" in shown.words)
    assert (shown.value or 0.0) > 60.0, "a new bin is nearly all cardboard"
    assert "Over about 60 it is mostly bedding" in bins.working(farm, "kitchen", "cn").plain


@pytest.mark.parametrize(
    ("value", "unit", "told"),
    [
        (1.39e-17, "kg", "0"),
        (-2e-18, "kg a day", "0"),
        (0.002, "kg", "0.002"),
        (1.2e-9, "m2/s", "0.0000000012"),
        (0.0, "", "0"),
    ],
)
def test_what_only_rounding_leaves_is_told_as_nothing(value: float, unit: str, told: str) -> None:
    assert told_figure(value) == told
    assert amount(value, unit) == f"{told} {unit}".rstrip()


def test_no_number_opened_is_told_in_powers_of_ten(tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=3)
    day = farm.clock().date() + timedelta(days=60)
    working = bins.working(farm, "kitchen", "feed_waiting", day)
    assert not re.search(r"[0-9]e-[0-9]", working.sure)
    assert not any(re.search(r"[0-9]e-[0-9]", "".join(piece[0] for piece in line)) for line in lines(sums(working)))


def _codes() -> set[str]:
    """Every code that a rule gives: as it is written, and by the tables of readings and of signs."""
    rules = Path(rules_folder.__file__).parent
    written = {code for path in rules.glob("*.py") for code in re.findall(r'code="([a-z-]+)"', path.read_text("utf-8"))}
    return {*written, *(row.code for row in TABLE), *(each.code for each in SIGNS), CODE, OVER_FED, AWAY_AHEAD}


def test_every_finding_has_its_gauge_or_is_known_to_have_none() -> None:
    assert _codes() <= set(GAUGE_OF), "a finding that no gauge is marked for"
    assert {GAUGE_OF[each.code] for each in TABLE} == {"moisture", "temp", "ph", "feed_waiting", "depth"}
    assert GAUGE_OF["thick-layer"] == "feed_waiting"


def test_a_ph_that_was_read_is_shown_as_a_reading_for_three_weeks_and_marked(tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=20)
    assert bins.look(farm, "kitchen").gauge("ph") is None
    with pytest.raises(RefusedError, match="No pH was read"):
        bins.working(farm, "kitchen", "ph")
    write(farm, "kitchen", Kind.CHECK, {"ph": "4.6"})
    shown = bins.look(farm, "kitchen").gauge("ph")
    assert shown is not None
    assert (shown.basis, shown.words, shown.age_days, shown.beside) == (Basis.READ, "4.6", 0, "below")
    assert shown.level is not Level.STEADY
    assert bins.working(farm, "kitchen", "ph").value == 4.6
    today = farm.clock().date()
    assert bins.look(farm, "kitchen", today + timedelta(days=PH_DAYS)).gauge("ph") is not None
    assert bins.look(farm, "kitchen", today + timedelta(days=PH_DAYS + 1)).gauge("ph") is None
