"""Readings of many on one day, through the door: the rest keep their weight, one far off is asked about by itself."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.cli.running import run
from tests.farm.a_farm import kitchen, open_farm
from wormbin.advice.looks import left_read, looks
from wormbin.farm import bins
from wormbin.farm.errors import DoubtedError
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import record_feeding, write
from wormbin.farm.session import Session
from wormbin.records.entries import Check, Kind

NAMES = ("Ana", "Ben", "Cleo", "Dan", "Eva", "Finn", "Gia", "Hal", "Ida", "Jo", "Kim", "Lea")


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("many") / "store"
    kitchen(folder)
    return folder


def _copy(begun: Path, to: Path) -> Session:
    import shutil

    shutil.copytree(begun, to)
    return open_farm(to)


def _read(farm: Session, *percents: int, ask: bool = False, first: int = 0, by: str = "meter") -> None:
    for number, percent in enumerate(percents, first):
        heading = Heading(when=f"2026-06-01T09:{number:02}", by=NAMES[number % len(NAMES)], ask=ask)
        write(farm, "kitchen", Kind.CHECK, {"moisture": str(percent), "moisture_by": by}, heading)


def test_the_mean_is_told_with_each_reading_its_pupil_and_the_spread(begun: Path, tmp_path: Path) -> None:
    farm = _copy(begun, tmp_path / "s")
    _read(farm, 76, 80, 78)
    (told,) = bins.look(farm, "kitchen").many
    assert told.endswith("today: mean 78% (76, 80, 78: Ana, Ben, Cleo), spread 2 points")


@pytest.mark.parametrize(("rest", "odd"), [((76, 80, 78, 79), 21), ((84,) * 11, 60)])
@pytest.mark.parametrize("first", [True, False])
def test_one_far_off_is_questioned_by_itself_and_the_rest_count_as_without_it(
    begun: Path, tmp_path: Path, rest: tuple[int, ...], odd: int, first: bool
) -> None:
    alone, farm = _copy(begun, tmp_path / "alone"), _copy(begun, tmp_path / "s")
    _read(alone, *rest, first=1 if first else 0)
    _read(farm, *((odd, *rest) if first else (*rest, odd)))
    scene = farm.scene("kitchen")
    without = alone.scene("kitchen").today.moisture
    for name in ("p10", "p50", "p90"):  # a minute between the lines is all that differs
        assert getattr(scene.today.moisture, name) == pytest.approx(getattr(without, name), abs=1e-4)
    read = [each for each in scene.past.judged if each.by == "meter" and each.when.date() == scene.on]
    assert [each.read for each in read if each.questioned] == [pytest.approx(odd / 100)]
    assert all(each.weight > 0.9 for each in read if not each.questioned)
    assert len(read) == len(rest) + 1
    view = bins.look(farm, "kitchen")
    assert f"{odd}% by" in view.many[0]
    assert "read it again" in view.many[0]
    assert any("not used before a second look" in each.words for each in view.doubts)
    assert not any(each.code == "too-dry" for each in view.findings)
    (chart,) = (each for each in view.charts if each.code == "moisture")
    assert sum(mark.questioned for mark in chart.readings if mark.on == view.on) == 1
    # Nothing is dropped: the line says what it said.
    assert odd / 100 in [each.what.moisture for each in farm.entries("kitchen") if isinstance(each.what, Check)]


def test_it_is_asked_about_before_it_is_saved_and_kept_when_said_again(begun: Path, tmp_path: Path) -> None:
    farm = _copy(begun, tmp_path / "s")
    _read(farm, 84, 84, 85)
    with pytest.raises(DoubtedError, match="60% stands far off the 3 others of that day, about 84%"):
        _read(farm, 60, ask=True, first=3)
    _read(farm, 82, ask=True, first=3)
    _read(farm, 60, first=4)
    assert "60% by Eva" in bins.look(farm, "kitchen").many[0]


def test_many_that_agree_and_hardly_count_are_told_why_until_an_oven_test(begun: Path, tmp_path: Path) -> None:
    farm = _copy(begun, tmp_path / "s")
    _read(farm, 90, 91, 90, 89)
    view = bins.look(farm, "kitchen")
    assert "4 readings agree" in view.many[-1]
    assert "One oven test" in view.many[-1]
    before = farm.scene("kitchen").today.moisture.p50
    oven = {"oven_wet": "20 g", "oven_dry": "2 g"}
    write(farm, "kitchen", Kind.CHECK, oven, Heading(when="2026-06-01T09:20"))
    after = farm.scene("kitchen").today.moisture.p50
    assert after > before + 0.025  # now they count
    assert not any("oven test" in words for words in bins.look(farm, "kitchen").many)


def test_the_picture_has_a_disc_for_each_and_a_line_a_day(begun: Path, tmp_path: Path) -> None:
    farm = _copy(begun, tmp_path / "s")
    _read(farm, 76, 80, 78, 21)
    out = run(tmp_path / "s", "readings", "kitchen").out
    row = next(line for line in out.splitlines() if line.startswith("1 Jun") or "1 Jun" in line[:11])
    assert row.count("●") + sum(int(each) for each in row[11:50] if each.isdigit()) >= 2
    assert "?" in row
    assert "78% ± 2 points" in row
    assert out.splitlines()[out.splitlines().index(row) + 1].split() == ["21%", "80%"], "the ends of its scale"
    assert run(tmp_path / "s", "readings", "kitchen", "--json").code == 0


def test_the_looks_of_a_day_at_what_is_left_count_together_and_the_last_one_decides_nothing(
    begun: Path, tmp_path: Path
) -> None:
    farm = _copy(begun, tmp_path / "s")
    record_feeding(farm, "kitchen", ["300 g apple"], heading=Heading(when="2026-05-30T08:00"), anyway=True)
    for number, percent in enumerate((50, 20, 10, 40, 75)):
        heading = Heading(when=f"2026-06-01T09:{number:02}", by=NAMES[number])
        write(farm, "kitchen", Kind.CHECK, {"left": str(percent)}, heading)
    said = "36% of the last feeding left today (mean of 6 looks): wait until a third is left"
    assert said in [each.what for each in bins.look(farm, "kitchen").findings]
    assert "mean 36%" in bins.look(farm, "kitchen").many[0]
    assert "36%" in run(tmp_path / "s", "readings", "kitchen", "--on", "2026-06-01").out
    scene = farm.scene("kitchen")
    (read,) = looks(scene.case, "left", 3.0)[-1:]
    assert read.value == pytest.approx(2.15 / 6)
    assert len(read.each) == 6
    left = left_read(scene.case)
    assert left is not None
    assert left.kg == pytest.approx(0.3 * 2.15 / 6)


def test_a_feeding_between_the_looks_of_a_class_parts_them(begun: Path, tmp_path: Path) -> None:
    farm = _copy(begun, tmp_path / "s")
    for hour, percents in (("08", (10, 20, 15)), ("10", (100, 90, 95))):
        if hour == "10":
            record_feeding(farm, "kitchen", ["200 g apple"], heading=Heading(when="2026-06-01T09:00"), anyway=True)
        for number, percent in enumerate(percents):
            heading = Heading(when=f"2026-06-01T{hour}:0{number}", by=NAMES[number])
            write(farm, "kitchen", Kind.CHECK, {"left": str(percent)}, heading)
    assert looks(farm.scene("kitchen").case, "left", 3.0)[-1].value == pytest.approx(0.95)
    assert "mean 95%" in " ".join(bins.look(farm, "kitchen").many)


def test_two_looks_of_one_keeper_stay_two(begun: Path, tmp_path: Path) -> None:
    farm = _copy(begun, tmp_path / "s")
    for minute, percent in (("00", 80), ("05", 60)):
        write(farm, "kitchen", Kind.CHECK, {"left": str(percent)}, Heading(when=f"2026-06-01T10:{minute}", by="Jo"))
    assert [each.value for each in looks(farm.scene("kitchen").case, "left", 3.0)[-2:]] == [0.8, 0.6]


def test_page_and_advice_put_the_same_looks_together(begun: Path, tmp_path: Path) -> None:
    """Three keepers are a class; two of them, or one who reads three times, are not: nowhere."""
    for who, together in (("ABC", True), ("ABA", False), ("AB", False)):
        farm = _copy(begun, tmp_path / who)
        for number, name in enumerate(who):
            heading = Heading(when=f"2026-05-30T10:0{number}", by=name)
            write(farm, "kitchen", Kind.CHECK, {"left": str(60 + 10 * number)}, heading)
        seen = [each for each in looks(farm.scene("kitchen").case, "left", 3.0) if each.on.day == 30]
        assert len(seen[-1].each) == (3 if together else 1)
        assert bool(bins.look(farm, "kitchen").many) is together


def test_readings_that_lie_apart_are_not_said_to_agree_and_a_misfit_is_marked(begun: Path, tmp_path: Path) -> None:
    farm = _copy(begun, tmp_path / "s")
    _read(farm, 72, 92, 55, 90)
    assert not any("agree" in words for words in bins.look(farm, "kitchen").many)
    view = bins.many_readings(farm, "kitchen")
    judged = farm.scene("kitchen").past.judged
    doubted = {each.entry for each in judged if each.doubted and each.by == "meter"}
    marked = [value for _, value, odd in view.days[0].read if odd]
    assert len(marked) == len(doubted)
    assert ("fits the estimate badly" in view.days[0].words) == bool(doubted)


def test_a_day_of_another_year_says_its_year(begun: Path, tmp_path: Path) -> None:
    farm = _copy(begun, tmp_path / "s")
    for name, percent in (("Ana", "76"), ("Ben", "80"), ("Cleo", "78")):
        write(farm, "kitchen", Kind.CHECK, {"moisture": percent}, Heading(by=name, when="2026-05-30"))
    for year in (2026, 2027):
        out = run(tmp_path / "s", "readings", "kitchen", now=datetime(year, 6, 1, 12, tzinfo=UTC)).out
        line = next(line for line in out.splitlines() if "30 May" in line)
        assert ("30 May 2026" in line) is (year == 2027)
