"""The days of a harvest that one screen, command or file says are the days that all the others say."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.cli.running import run
from tests.farm.a_farm import NOW
from tests.farm.saying import contradictions, oddities
from tests.farm.test_compartments import stack
from wormbin.farm import bins, rounds
from wormbin.farm.bins.row import row
from wormbin.farm.lots import Lots
from wormbin.farm.rounds import workdays
from wormbin.farm.samples import copy_sample
from wormbin.farm.session import Session
from wormbin.farm.views.lots import DeliveryView
from wormbin.farm.views.round import HarvestView
from wormbin.measures.dates import MONTHS
from wormbin.schedule.days import is_away

STRIDE_DAYS, LONG_STRIDE_DAYS = 131, 9
"""Days from one evening to the next that is looked at; with --long there are more of them."""
LOGS = ("apartment", "classroom", "seller")


@pytest.fixture(scope="module", params=[*LOGS, "trays"])
def farm(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Session:
    folder = tmp_path_factory.mktemp(request.param)
    if request.param == "trays":
        return stack(folder)
    return copy_sample(request.param, folder, worked_out=False).session()


def last_day(farm: Session) -> date:
    return max(farm.store.entries(one.key)[-1].when.date() for one in farm.bins())


def days_of(farm: Session, stride: int = STRIDE_DAYS) -> Iterator[tuple[str, date]]:
    last = last_day(farm)
    for one in farm.bins():
        on = one.started
        while on <= last:
            yield one.key, on
            on += timedelta(days=stride)
        if on - timedelta(days=stride) < last:
            yield one.key, last


def in_order(harvest: HarvestView, on: date) -> None:
    dates = [each for each in (harvest.earliest, harvest.likely, harvest.latest) if each is not None]
    assert dates == sorted(dates), harvest
    assert all(each >= on for each in dates), harvest
    assert harvest.due_since is None or harvest.due_since <= on
    assert all(step.on >= on for step in harvest.steps)
    if harvest.on is None:
        assert harvest.likely is None
        assert harvest.steps == ()
    else:
        assert harvest.on >= on
        assert harvest.likely is not None
        assert harvest.on >= harvest.likely


def words_agree(said: str) -> None:
    """ "not in the next 120 days" never stands beside a day within them."""
    assert not ("not within" in said and re.search(rf"\d ({'|'.join(MONTHS)})", said)), said
    assert said.count("about ") <= 1


def test_every_day_of_every_log_says_one_set_of_days(farm: Session, long: bool) -> None:
    """In order, none of them past, the steps around the one day to harvest on, and no feed on a day it has stopped."""
    seen = 0
    for key, on in days_of(farm, LONG_STRIDE_DAYS if long else STRIDE_DAYS):
        scene = farm.scene(key, on)
        made = row(scene)
        told = made.harvest
        assert list(contradictions(made)) == [], (key, on)
        assert list(oddities(made)) == [], (key, on)
        in_order(told, on)
        words_agree(told.words)
        document: Any = bins.outlook(farm, key, on=on)
        assert {name: document["harvest"][name] for name in ("earliest", "likely", "latest", "due_since", "on")} == {
            "earliest": told.earliest, "likely": told.likely, "latest": told.latest, "due_since": told.due_since,
            "on": told.on,
        }  # fmt: skip
        rest = scene.harvest.rest
        assert not any(rest and rest[0] <= each.on < rest[1] for each in scene.feedings_to_come) or scene.hungry
        following = scene.next_feeding
        assert scene.hungry or not (rest and following and rest[0] <= following < rest[1]), (key, on)
        assert scene.next_feeding is None or all(each.on >= scene.next_feeding for each in scene.feedings_to_come)
        if told.on is not None:
            seen += 1
            assert is_away(scene.settings.away, told.on, key) is None
            days = {step.code: step.on for step in scene.harvest_steps}
            assert days["harvest"] == told.on
            assert days["cured"] - told.on == timedelta(
                days=scene.own_cure_days or (28 if scene.bin.site_temp_c >= 20 else 42)
            )
    assert seen


def at(farm: Session, on: date) -> Session:
    """The same farm with its clock on the evening of a day."""
    now = farm.clock()
    return Session(farm.folder, clock=lambda: now + timedelta(days=(on - now.date()).days))


def some_days(farm: Session) -> list[date]:
    last = last_day(farm)
    first = max(one.started for one in farm.bins()) + timedelta(days=60)
    return [last, last - (last - first) / 3] if first < last else [last]


def test_round_harvests_outlook_plan_sheet_and_calendar_say_the_same(farm: Session) -> None:
    for on in some_days(farm):
        then = at(farm, on)
        rows = {each.bin: each for each in rounds.view(then, on).rows}
        assert {each.bin: each.harvest for each in rounds.harvests(then, on)} == {
            k: each.harvest for k, each in rows.items()
        }
        assert Lots(then).plan("1 kg", (on + timedelta(days=90)).isoformat(), on).cure_days == max(
            then.scene(key, on).own_cure_days or (28 if then.bin(key).site_temp_c >= 20 else 42) for key in rows
        )
        plan: dict[str, list[DeliveryView]] = {}
        for each in Lots(then).plan("1 kg", (on + timedelta(days=90)).isoformat(), on).bins:
            plan.setdefault(each.bin, []).append(each)
        calendar = rounds.calendar(then, on, days=60).replace("\r\n ", "")
        for key, told in rows.items():
            view = bins.look(then, key, on)
            assert view.harvest == told.harvest
            own = [each for each in plan[key] if each.on == told.harvest.on]
            assert own, (key, plan[key], told.harvest)
            assert (own[0].earliest, own[0].likely, own[0].latest) == (
                told.harvest.earliest, told.harvest.likely, told.harvest.latest,
            )  # fmt: skip
            week = [step.on for step in told.harvest.steps if step.on < on + timedelta(days=7)]
            page = rounds.sheet(then, key, on)
            assert told.harvest.on is not None or not week
            for step in {day for day in week if day >= on}:
                at_day = next(n for n, line in enumerate(page) if re.match(rf"{step:%a} +{step.day} {step:%b}", line))
                said = page[at_day + 1 : page.index("", at_day)]
                assert any("harvest" in line for line in said), page[at_day]
                on_it = told.harvest.on is not None and step >= told.harvest.on
                assert any(line.strip().startswith("harvest:") for line in said) == on_it, said
            for step_view in told.harvest.steps:
                if step_view.on <= on + timedelta(days=60):
                    assert f"DTSTART;VALUE=DATE:{step_view.on:%Y%m%d}" in calendar


def test_the_command_line_says_what_the_farm_says(farm: Session) -> None:
    on = last_day(farm)
    rows = {each.bin: each.harvest for each in rounds.view(farm, on).rows}
    for command, of in (("harvests", "harvests"), ("round", "bins")):
        answer = json.loads(run(farm.folder, command, "--json", "--on", on.isoformat()).out)
        assert command == "round" or all(bool(each["steps"]) == bool(each["source"]) for each in answer[of])
        for each in answer[of]:
            told = each.get("harvest", each)
            held = rows[each["bin"]]
            dates = {name: getattr(held, name) for name in ("earliest", "likely", "latest", "due_since", "on")}
            assert {name: told[name] for name in dates} == {n: d and d.isoformat() for n, d in dates.items()}


def test_a_step_that_comes_before_its_day_would_be_seen() -> None:
    """The check above can fail: days out of order, or past, are told."""
    on = date(2026, 5, 1)
    good = HarvestView(on, on + timedelta(days=3), on + timedelta(days=9), None, "share", "sort", "",
                       on=on + timedelta(days=3))  # fmt: skip
    in_order(good, on)
    for bad in (
        replace(good, earliest=on - timedelta(days=1)),
        replace(good, latest=on + timedelta(days=1)),
        replace(good, on=on - timedelta(days=1)),
    ):
        with pytest.raises(AssertionError):
            in_order(bad, on)


def test_own_lots_set_the_days_of_curing_in_steps_findings_and_plan(tmp_path: Path) -> None:
    farm = copy_sample("seller", tmp_path, worked_out=False).session()
    own = farm.cache.cure_days()
    assert own is not None
    plan = Lots(farm).plan("5 kg", (farm.clock().date() + timedelta(days=90)).isoformat())
    assert plan.cure_days == own
    assert {each.cure_days for each in plan.bins} == {own}
    steps = {step.code: step for step in farm.scene("barn-2").harvest_steps}
    assert (steps["cured"].on - steps["harvest"].on).days == own
    assert "as your own lots took" in bins.look(farm, "barn-2").harvest.source
    assert "as your own lots took" in run(tmp_path, "harvests", "--on", farm.clock().date().isoformat()).out


def test_round_week_sheet_and_calendar_have_one_next_look_and_one_next_feeding(tmp_path: Path) -> None:
    """Much food at once in a new box: the look comes before its usual day, and all feed is held for a week."""
    size = ("--length", "60cm", "--width", "40cm", "--depth", "30cm", "--drainage", "no")
    started = (NOW.date() - timedelta(days=10)).isoformat()
    assert run(tmp_path, "start", "box", *size, "--worms", "500 g", "--started", started, "--yes").code == 0
    assert run(tmp_path, "feed", "box", "3 kg melon rind", "--when", "yesterday").code == 0
    farm = Session(tmp_path, clock=lambda: NOW)
    row = rounds.view(farm).rows[0]
    assert row.next_check is not None
    assert row.next_feeding is not None
    usual = timedelta(days=farm.settings().check_every_days)
    assert row.next_check - NOW.date() < usual
    days = {day.on: day for day in workdays.week(farm, days=14).days}
    ahead = [day for on, day in days.items() if on > NOW.date()]
    assert next(day.on for day in ahead if day.walk_minutes) == row.next_check
    assert next(day.on for day in ahead if day.walk_minutes and day.feeds) == row.next_feeding
    dues = rounds.due_at(farm)
    assert min(each.on for each in dues if each.kind == "check") == row.next_check
    assert min(each.on for each in dues if each.kind == "feed") == row.next_feeding
    page = rounds.sheet(farm, "box")
    begin = page[page.index("To begin with:") + 1]
    assert begin.startswith("3 kg went in at once"), "an overload is no “nothing to do”"
    at = next(n for n, line in enumerate(page) if "due: check" in line)
    assert page[at - 1].startswith(f"{row.next_check:%a} {row.next_check.day:>2} ")
