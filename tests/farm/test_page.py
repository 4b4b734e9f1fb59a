"""What the doorway shows: the round, a bin, its figures opened; warm, cold, and after a change."""

from __future__ import annotations

import json
import math
import re
import shutil
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.cli.running import run
from tests.farm.a_farm import NOW, kitchen, open_farm
from wormbin.farm import bins, logbook, recording, rounds
from wormbin.farm.cache import beliefs as memory
from wormbin.farm.cache.rows import Rows
from wormbin.farm.errors import DoubtedError
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import write
from wormbin.farm.session import Session
from wormbin.farm.starts import start
from wormbin.farm.views.proposals import BinDraft
from wormbin.farm.views.round import RoundRow
from wormbin.figures import Band, Basis, Level, Working
from wormbin.measures import scooped
from wormbin.problems import RefusedError
from wormbin.process.views import Day
from wormbin.records.entries import Kind


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Session:
    return kitchen(tmp_path_factory.mktemp("farm"))


def test_the_round_says_what_to_do_with_every_bin(farm: Session) -> None:
    (row,) = rounds.view(farm).rows
    assert row.bin == "kitchen"
    assert row.level is max((each.level for each in row.findings), key=lambda each: each.rank, default=Level.STEADY)
    assert row.feed_waiting_kg.p10 <= row.feed_waiting_kg.p50 <= row.feed_waiting_kg.p90
    assert len(row.trend_waiting_kg) == 30
    assert all(step and not step.startswith("as above") for step in row.do)
    assert len(set(row.do)) == len(row.do)


def test_a_bin_shows_its_gauges_charts_and_layers(farm: Session) -> None:
    view = bins.look(farm, "kitchen")
    assert [gauge.code for gauge in view.gauges][:2] == ["moisture", "feed_waiting"]
    assert [chart.code for chart in view.charts][:2] == ["moisture", "feed_waiting"]
    moisture = view.chart("moisture")
    assert moisture is not None
    assert moisture.past[-1].on == NOW.date()
    assert moisture.ahead[0].on == NOW.date() + timedelta(days=1)
    assert {mark.on for mark in moisture.readings} <= {dated.on for dated in moisture.past}
    assert len(view.cut.parts) == 1
    assert view.cut.box_depth_m == 0.3
    assert dict(view.last_words)["squeeze"] == "sponge"


def test_an_estimate_never_looks_like_a_reading(tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=20)
    before = bins.look(farm, "kitchen").gauge("moisture")
    assert before is not None
    assert before.basis is Basis.WORKED_OUT
    assert "to" in before.words
    write(farm, "kitchen", Kind.CHECK, {"moisture": "80", "moisture_by": "oven"})
    after = bins.look(farm, "kitchen").gauge("moisture")
    assert after is not None
    assert (after.basis, after.reading, after.age_days) == (Basis.WORKED_OUT, 0.8, 0)
    assert (after.read_words, after.words.endswith("; read 80% today")) == ("read 80% today", True)
    assert rounds.view(farm).rows[0].checked_today


def evaluated(working: Working) -> float:
    names = {each.name: each.value for each in working.inputs}
    functions: dict[str, Any] = {"min": min, "max": max, "sqrt": math.sqrt, "exp": math.exp, "log": math.log}
    return float(eval(working.formula, {"__builtins__": {}}, functions | names))


def test_every_gauge_opens_to_inputs_that_give_its_value_again(farm: Session) -> None:
    view = bins.look(farm, "kitchen")
    for gauge in view.gauges:
        working = bins.working(farm, "kitchen", gauge.code)
        assert evaluated(working) == pytest.approx(working.value, rel=1e-6), gauge.code
        if gauge.code != "cn":  # the likely course's own ratio, not the band's middle
            assert working.value == pytest.approx(gauge.value, rel=1e-6), gauge.code
        assert working.source
        assert working.sure


def test_a_figure_that_there_is_none_of_is_refused(farm: Session) -> None:
    with pytest.raises(RefusedError, match="moisture"):
        bins.working(farm, "kitchen", "happiness")


def test_a_day_that_has_been_is_seen_without_what_came_after(farm: Session) -> None:
    then = NOW.date() - timedelta(days=14)
    view = bins.look(farm, "kitchen", then)
    assert view.on == then
    moisture = view.chart("moisture")
    assert moisture is not None
    assert all(mark.on <= then for mark in moisture.readings)


def forget(folder: Path) -> None:
    """Take away all that was worked out."""
    shutil.rmtree(folder / "cache")


def nearly(one: Day, other: Day) -> bool:
    pairs = zip(_numbers(one), _numbers(other), strict=True)
    return all(a == pytest.approx(b, rel=1e-4, abs=1e-7) for a, b in pairs)


def _numbers(day: Day) -> list[float]:
    bands = [getattr(day, name) for name in Day.__dataclass_fields__]
    return [value for band in bands if isinstance(band, Band) for value in (band.p10, band.p50, band.p90)]


def test_what_was_kept_gives_the_same_as_a_replay_from_the_first_day(tmp_path: Path) -> None:
    bins.look(kitchen(tmp_path), "kitchen")
    later = NOW + timedelta(days=3)
    warm = open_farm(tmp_path, later)
    write(warm, "kitchen", Kind.CHECK, {"squeeze": "damp"}, Heading(when="yesterday"))
    past = warm.scene("kitchen").past
    forget(tmp_path)
    fresh = open_farm(tmp_path, later).scene("kitchen").past
    assert [day.on for day in past.days] == [day.on for day in fresh.days]
    assert all(nearly(one, other) for one, other in zip(past.days, fresh.days, strict=True))
    assert [(each.entry, each.quantity) for each in past.judged] == [
        (each.entry, each.quantity) for each in fresh.judged
    ]


def test_a_line_struck_long_ago_is_replayed_away(tmp_path: Path) -> None:
    farm = kitchen(tmp_path)
    bins.look(farm, "kitchen")
    first = next(entry for entry in farm.entries("kitchen") if entry.kind.value == "feeding")
    recording.strike(farm, first.id, "never happened")
    past = farm.scene("kitchen").past
    forget(tmp_path)
    fresh = open_farm(tmp_path).scene("kitchen").past
    assert all(nearly(one, other) for one, other in zip(past.days, fresh.days, strict=True))


def test_a_warm_round_replays_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cold = rounds.view(kitchen(tmp_path))

    def never(*_args: object, **_named: object) -> None:
        raise AssertionError("a warm round must not replay")

    monkeypatch.setattr(memory, "replaying", never)
    warm = rounds.view(open_farm(tmp_path))
    assert [replace(row, findings=()) for row in warm.rows] == [replace(row, findings=()) for row in cold.rows]
    assert [finding.what for finding in warm.rows[0].findings] == [finding.what for finding in cold.rows[0].findings]


@pytest.mark.parametrize("text", ["", "{", "[]", '{"mark": 1}', '{"mark": "x", "beliefs": [1], "days": []}', "\x00"])
def test_a_damaged_cache_is_a_cache_that_is_not_there(tmp_path: Path, text: str) -> None:
    expected = rounds.view(kitchen(tmp_path, days=15)).rows[0].moisture
    for path in (tmp_path / "cache").iterdir():
        path.write_text(text)
    assert rounds.view(open_farm(tmp_path)).rows[0].moisture == expected


def test_a_bin_whose_book_is_damaged_is_named_and_the_others_are_shown(tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=10)
    start(
        farm, BinDraft(key="attic", length="50 cm", width="40 cm", depth="30 cm", worms="300 g", started="2026-05-28")
    )
    (tmp_path / "bins" / "attic" / "2026.json").write_text("{ torn")
    view = rounds.view(open_farm(tmp_path))
    assert [row.bin for row in view.rows] == ["kitchen"]
    assert [each.bin for each in view.troubled] == ["attic"]
    assert [row.bin for row in rounds.rows(open_farm(tmp_path))] == ["kitchen"]


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"moisture": "21"}, "moisture"),
        ({"moisture": "98"}, "moisture"),
        ({"moisture": "60", "squeeze": "dripping"}, "moisture"),
        ({"temp": "39C"}, "temp"),
        ({"temp": "-3C"}, "temp"),
        ({"depth": "35 cm"}, "depth"),
        ({"ph": "3"}, "ph"),
    ],
)
def test_unlikely_values_are_asked_about(farm: Session, said: dict[str, str], field: str) -> None:
    with pytest.raises(DoubtedError) as doubted:
        write(farm, "kitchen", Kind.CHECK, said, Heading(ask=True))
    (question,) = doubted.value.questions
    assert question.field == field
    assert question.words.endswith(("Keep it?", "Keep both?"))


def test_usual_values_are_not_asked_about(farm: Session) -> None:
    today = bins.look(farm, "kitchen").gauge("moisture")
    assert today is not None
    said = {"moisture": f"{(today.value or 0.0) * 100:.0f}", "temp": "21C", "left": "20%"}
    assert write(farm, "kitchen", Kind.CHECK, said, Heading(ask=True)).ids


def test_the_log_is_read_by_kind_word_and_day_without_making_every_line(farm: Session) -> None:
    assert {line.kind.value for line in logbook.lines(farm, "kitchen", kind="check")} == {"check"}
    assert all("melon" in line.words for line in logbook.lines(farm, "kitchen", word="melon"))
    until = NOW.date() - timedelta(days=10)
    assert max(line.when.date() for line in logbook.lines(farm, "kitchen", until=until)) <= until
    with pytest.raises(RefusedError, match="one of"):
        logbook.lines(farm, "kitchen", kind="dance")


def test_five_steps_come_first_when_worms_are_dying(tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=20)
    assert len(bins.emergency(farm)) == 5
    assert len(bins.emergency(farm, "kitchen")) == 5
    write(farm, "kitchen", Kind.CHECK, {"seen": "dead worms, worms dying"})
    view = bins.look(farm, "kitchen")
    assert len(view.emergency) == 5
    assert view.do_now[:5] == view.emergency


def test_everything_due_is_on_the_calendar_and_the_sheet(farm: Session) -> None:
    text = rounds.calendar(farm)
    assert text.count("BEGIN:VEVENT") > 10
    starts = [line for line in text.split("SUMMARY:Round")[0].splitlines() if line.startswith("DTSTART")]
    assert len(set(starts)) == len(starts), "one round a day"
    assert "Check Kitchen" in text.replace("\r\n ", "")
    sheet = rounds.sheet(farm, "kitchen")
    assert sheet[0].startswith("WORM BIN: Kitchen")
    assert max(map(len, sheet)) <= 80
    assert any(date(2026, 6, 3).strftime("%a") in line for line in sheet)


def test_a_row_with_a_number_without_end_is_kept_too(tmp_path: Path) -> None:
    farm = kitchen(tmp_path, days=10)
    row = rounds.view(farm).rows[0]
    endless = replace(row, feed_waiting_days=Band(1.0, 2.0, math.inf))
    cache = Rows(farm.store.desk)
    cache.put("kitchen", "token", endless)
    cache.flush()
    kept = Rows(farm.store.desk).get(RoundRow, "kitchen", "token")
    assert kept is not None
    assert kept.feed_waiting_days.p90 > 1e300


def test_an_overload_of_apple_cores_is_told_by_its_name_with_one_limit_and_no_more_than_lies_there(
    tmp_path: Path,
) -> None:
    size = ("--length", "60cm", "--width", "40cm", "--depth", "30cm")
    ago = (NOW.date() - timedelta(days=10)).isoformat()
    assert run(tmp_path, "start", "box", *size, "--worms", "500 g", "--started", ago, "--yes").code == 0
    early = (NOW.date() - timedelta(days=8)).isoformat()
    assert run(tmp_path, "feed", "box", "170 g melon rind", "--when", early, "--yes").code == 0
    assert run(tmp_path, "feed", "box", "9 kg apple core", "--yes").code == 0
    found = json.loads(run(tmp_path, "round", "--json").out)["bins"][0]["findings"]
    by_code = {each["code"]: each for each in found}
    sour = " ".join([by_code["sour"]["why"], *by_code["sour"]["do"]])
    assert "apple cores and peel" in sour
    assert "citrus" not in sour
    assert "they got 9 kg, and 170 g before that" in by_code["new-bin"]["why"]
    thick = by_code["thick-layer"]
    assert re.findall(r"([\d.]+ cm)(?: is the most| at the most)", thick["what"] + thick["why"]) == ["4 cm", "4 cm"]
    assert "The limit" not in thick["why"]


@pytest.mark.parametrize(("most", "said"), [(3.5, "3.5 kg"), (3.3, "3.3 kg")])
def test_what_is_taken_out_is_rounded_to_no_more_than_lies_there(most: float, said: str) -> None:
    assert scooped(3.3, "metric", most) == said


def test_a_first_dripping_squeeze_is_heard_beside_an_alarm(tmp_path: Path) -> None:
    size = ("--length", "60cm", "--width", "40cm", "--depth", "30cm", "--drainage", "no")
    ago = (NOW.date() - timedelta(days=10)).isoformat()
    assert run(tmp_path, "start", "box", *size, "--worms", "500 g", "--started", ago, "--yes").code == 0
    assert run(tmp_path, "check", "box", "--squeeze", "dripping", "--smell", "rotten").code == 0
    (told,) = json.loads(run(tmp_path, "round", "--json").out)["bins"]
    assert told["level"] != "steady"
    assert "dripping today: squeeze a handful again tomorrow" in told["do"]
    assert "dripping today: squeeze a handful again tomorrow" in " ".join(rounds.sheet(open_farm(tmp_path), "box"))
