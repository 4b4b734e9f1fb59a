"""A reading that does not fit counts less, and is told so wherever it is shown: read, believed and taken."""

from __future__ import annotations

import json
import re
from datetime import date, timedelta
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import kitchen, open_farm
from wormbin.advice.wording import worth
from wormbin.farm import bins, starts
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import record_feeding, write
from wormbin.farm.session import Session
from wormbin.farm.views.proposals import BinDraft
from wormbin.records.entries import Kind


def counted(farm: Session, times: float) -> list[str]:
    """Four samples of 225 cm2 that come to so many times the worms that are believed to be in the 60 by 40 cm box."""
    kg = times * farm.scene("kitchen").past.today.worms_kg.p50
    grams = kg * 1000 * 225 / 2400
    return [f"{grams * each:.1f} g" for each in (0.95, 1.0, 1.0, 1.05)]


def test_a_survey_far_off_is_told_beside_what_was_believed_and_what_is_taken(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    said = run(tmp_path, "survey", "kitchen", *counted(farm, 3.5), "--sample", "225cm2", "--yes")
    assert said.code == 0, said.err
    found = re.search(r"(\S+ k?g) to (\S+ k?g) was expected. It counts (less|little): (\S+ k?g) was taken", said.out)
    assert found is not None, said.out
    farm = open_farm(tmp_path)
    (judged,) = [each for each in farm.scene("kitchen").past.judged if each.quantity == "worms_kg"]
    assert judged.taken is not None
    assert judged.taken == pytest.approx(farm.scene("kitchen").past.today.worms_kg.p50, rel=0.02)
    assert judged.expected.p50 < judged.taken < judged.read
    view = bins.look(farm, "kitchen")
    (words,) = [doubt.words for doubt in view.doubts if doubt.entry == judged.entry]
    assert found[0] in words
    worms = view.gauge("worms")
    assert worms is not None
    assert worms.words.endswith(f"counts {found[3]}")
    shown = json.loads(run(tmp_path, "report", "kitchen", "--json").out)
    assert str(shown).count(words) == 1


def test_a_survey_that_fits_says_what_was_believed_and_is_no_doubt(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    said = run(tmp_path, "survey", "kitchen", *counted(farm, 1.1), "--sample", "225cm2", "--yes")
    assert re.search(r"was expected\. \S+ k?g was taken", said.out)
    assert not any("survey" in doubt.words for doubt in bins.look(open_farm(tmp_path), "kitchen").doubts)


@pytest.mark.parametrize(("percent", "told"), [("72%", False), ("40%", True)])
def test_a_meter_that_does_not_fit_says_how_much_it_counts(percent: str, told: bool, tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=38)
    write(farm, "kitchen", Kind.CHECK, {"moisture": percent, "moisture_by": "meter"})
    moisture = bins.look(farm, "kitchen").gauge("moisture")
    assert moisture is not None
    assert ("counts" in moisture.words) is told
    assert any("meter" in doubt.words for doubt in bins.look(farm, "kitchen").doubts) is told


@pytest.mark.parametrize("temp", ["14C", "30C"])
def test_two_thermometers_that_agree_are_the_finding_where_one_is_not(temp: str, tmp_path: Path) -> None:
    farm, read = kitchen(tmp_path, days=38), float(temp[:2])
    was = farm.scene("kitchen").past.today.temp_c
    bands = []
    for hour in ("07", "08"):
        when = Heading(when=f"2026-06-01T{hour}:00", by=f"pupil {hour}")
        write(farm, "kitchen", Kind.CHECK, {"temp": temp}, when)
        bands.append(farm.scene("kitchen").past.today.temp_c)
    one, two = bands
    assert abs(one.p50 - read) > 2 > abs(two.p50 - read)
    assert two.p10 <= read <= two.p90
    assert not was.p10 <= read <= was.p90
    assert not any("thermometer" in doubt.words for doubt in bins.look(farm, "kitchen").doubts)


def test_two_odd_looks_at_what_is_left_do_not_make_a_herd_eat_and_heat_out_of_all_measure(tmp_path: Path) -> None:
    farm = open_farm(tmp_path)
    draft = BinDraft(
        key="class", name="Class", length="50 cm", width="35 cm", depth="30 cm", worms="400 g", started="2026-03-09"
    )
    starts.start(farm, draft)
    fed = date(2026, 3, 12)
    while fed < date(2026, 5, 29):
        record_feeding(farm, "class", ["350 g kitchen scraps"], heading=Heading(when=fed.isoformat()), anyway=True)
        fed += timedelta(days=4 if fed.weekday() == 3 else 3)
    for day in ("2026-05-15", "2026-05-22"):
        write(farm, "class", Kind.CHECK, {"left": "10%"}, Heading(when=day))
    assert farm.scene("class").past.learned.rate.p50 < 2.5
    said = run(tmp_path, "feed", "class", "700 g kitchen scraps", "--try")
    found = re.search(r"will be (\d+) °C warmer", said.out)
    assert found is not None, said.out
    assert int(found[1]) <= 5


def test_food_for_next_to_no_time_is_never_told_as_no_days(tmp_path: Path) -> None:
    kitchen(tmp_path)
    small, more = (run(tmp_path, "feed", "kitchen", f"{grams} g melon rind", "--try").out for grams in (10, 900))
    assert "then less than half a day's worth of food lies there" in small
    assert re.search(r"then [\d.]+ day(s'|'s) worth of food lies there", more)
    assert worth(0.25) == "less than half a day's worth"
    assert worth(0.26) == "0.5 days' worth"


def test_meters_that_agree_on_a_day_lie_in_the_band_where_one_counts_little(tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=38)
    bands = [farm.scene("kitchen").past.today.moisture]
    for hour, percent in (("07", "60%"), ("08", "61%"), ("09", "59%")):
        when = Heading(when=f"2026-06-01T{hour}:00", by=f"pupil {hour}")
        write(farm, "kitchen", Kind.CHECK, {"moisture": percent, "moisture_by": "meter"}, when)
        bands.append(farm.scene("kitchen").past.today.moisture)
    before, one, _, three = bands
    assert before.p50 - one.p50 < 0.05 < before.p50 - three.p50
    assert one.p10 > 0.6
    assert three.p10 < 0.6 < three.p90
