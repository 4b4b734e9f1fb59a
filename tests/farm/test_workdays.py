"""Twenty-four beds due at once: the week spreads them, the round and the calendar follow, what is put by hand stays."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from icalendar import Calendar

from tests.farm.many_due import KG, NOW, TOMORROW, due_farm, due_row
from tests.screens.made_views import TODAY
from wormbin.exchange.calendar import events
from wormbin.farm import bins, feedstock, rounds
from wormbin.farm.cache.rows import read_front
from wormbin.farm.rounds import workdays
from wormbin.farm.rounds.workdays import WorkDay
from wormbin.farm.samples import copy_sample
from wormbin.farm.session import Session
from wormbin.farm.settings import change_setting
from wormbin.figures import Level
from wormbin.pages.round import hours
from wormbin.problems import RefusedError
from wormbin.records.kinds.castings import LotKind


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    farm = due_farm(tmp_path / "store")
    change_setting(farm, "hours", "4 h")
    return farm


def harvests(farm: Session) -> Counter[date]:
    return Counter(row.harvest.on for row in rounds.view(farm).rows if row.harvest.on is not None)


def test_no_day_has_more_than_its_hours_and_the_round_says_each_beds_own_day(farm: Session) -> None:
    days = harvests(farm)
    assert sum(days.values()) == 24
    assert max(days.values()) <= 4
    assert min(days) == TOMORROW
    view = rounds.view(farm)
    told = {row.do[0].split("castings ")[1].split(":")[0] for row in view.rows}
    assert len(told) == len(days)
    assert sum("tomorrow" in row.do[0] for row in view.rows) == days[TOMORROW]
    for row in view.rows:
        soak = next(step for step in row.harvest.steps if step.code == "soak-bedding")
        assert row.harvest.on is not None
        assert row.harvest.on - soak.on == timedelta(days=1)
        assert ("evening before" in row.do[1]) == (row.harvest.on > TOMORROW)
    # 24 beds to look at and feed, and the beds soaked that are taken off tomorrow.
    assert view.minutes == 24 * 3
    assert view.jobs_minutes == 5 * days[TOMORROW]


def test_the_heaviest_for_their_time_come_first(farm: Session) -> None:
    by_bed = {row.bin: row.harvest.on for row in rounds.view(farm).rows}
    assert by_bed["bed-24"] == TOMORROW
    assert by_bed["bed-01"] == max(day for day in by_bed.values() if day)


def test_the_first_page_of_the_next_start_says_the_same(farm: Session) -> None:
    change_setting(farm, "walk", "barn: bed-0*; yard: bed-1*")
    rows = rounds.view(farm).rows
    front = read_front(farm.folder, NOW)
    assert front is not None
    assert sorted(front.rows, key=rounds.order) == list(rows)
    assert {row.stop for row in rows} == {"barn", "yard", ""}


def test_a_harvest_moved_by_hand_stays_and_the_calendar_has_it_there(farm: Session) -> None:
    saturday = TODAY + timedelta(days=5)
    said = workdays.put(farm, "bed-24", "saturday")
    assert said.sentence.endswith("where it stays")
    for again in (farm, Session(farm.folder, clock=farm.clock)):
        row = next(row for row in rounds.view(again).rows if row.bin == "bed-24")
        assert row.harvest.on == saturday
    text = rounds.calendar(farm)
    assert Counter(each.first for each in events(text))[f"{saturday:%Y%m%d}"] == harvests(farm)[saturday]
    workdays.put(farm, "bed-24", "")
    assert next(row for row in rounds.view(farm).rows if row.bin == "bed-24").harvest.on == TOMORROW


def test_the_week_lists_each_day_within_its_hours_and_says_what_waits(farm: Session) -> None:
    view = workdays.week(farm, days=14)
    assert [day.on for day in view.days] == [TODAY + timedelta(days=number) for number in range(14)]
    for day in view.days:
        taken = sum(job.minutes for job in day.jobs if job.harvest) + day.walk_minutes
        assert taken <= day.minutes
    jobs = [job for day in view.days for job in day.jobs if job.harvest]
    assert len(jobs) == 24
    assert {job.due for job in jobs} == {None, TOMORROW}


def test_troubles_are_spread_over_days_but_for_what_must_be_today(farm: Session) -> None:
    """24 beds: 72 minutes of feeding leave 168 of 4 h today; 20 beds of 20 minutes each take 400."""
    known, today = farm.bins(), TODAY
    for at, one in enumerate(known):
        level = Level.ACT if at in (3, 19) else Level.WATCH
        row = replace(due_row(one, at), level=level, headline="wet", jobs_minutes=20 if at < 20 else 0)
        farm.cache.rows.put(one.key, farm.cache.token(one, None), row)
    farm.cache.rows.flush()
    view = workdays.week(farm)
    wet = [(day.on, job) for day in view.days for job in day.jobs if job.what == "wet"]
    assert len(wet) == 20
    must = {known[3].key, known[19].key}
    assert {job.bin for on, job in wet if on == today} >= must
    assert len({on for on, _ in wet}) > 1
    assert all((on > today) == (job.due == today) for on, job in wet)
    assert all(on <= today + timedelta(days=workdays.MAY_WAIT_DAYS) for on, _ in wet)
    assert not any(day.over for day in view.days[:3])
    assert any("wait up to 3 days" in words for words in view.words)


def test_room_to_cure_holds_the_harvest_back(farm: Session) -> None:
    change_setting(farm, "curing-room", "200 kg")
    assert harvests(farm)[TOMORROW] == int(200 // (KG + 23))
    assert sorted(harvests(farm))[1] >= TOMORROW + timedelta(days=28)


@pytest.mark.parametrize(("bin", "day"), [("bed-01", "2025-01-01"), ("bed-01", "in 400 days"), ("nowhere", "saturday")])
def test_what_cannot_be_is_refused_and_nothing_moves(farm: Session, bin: str, day: str) -> None:
    before = harvests(farm)
    with pytest.raises(RefusedError):
        workdays.put(farm, bin, day)
    assert harvests(farm) == before
    assert farm.settings().put == ()


def test_a_beds_own_page_has_the_day_that_the_week_gives_it(tmp_path: Path) -> None:
    """Two sample beds that are due, and an hour a day: the page, the list of harvests and the round tell one day."""
    farm = copy_sample("seller", tmp_path / "seller").session()
    change_setting(farm, "hours", "1 h")
    rows = {row.bin: row for row in rounds.view(farm).rows}
    near = [row for row in rows.values() if row.harvest.on is not None]
    workdays.put(farm, near[0].bin, (farm.clock().date() + timedelta(days=9)).isoformat())
    rows = {row.bin: row for row in rounds.view(farm).rows}
    for row in rows.values():
        page = bins.look(farm, row.bin)
        assert page.harvest.on == row.harvest.on
        assert page.harvest.words == row.harvest.words
        assert list(page.do_now[: len(row.do)]) == list(row.do) or len(page.do_now) > len(row.do)
    assert rows[near[0].bin].harvest.on == farm.clock().date() + timedelta(days=9)
    assert {each.bin: each.harvest.on for each in rounds.harvests(farm)} == {
        row.bin: row.harvest.on for row in rows.values()
    }


def test_an_order_stands_in_week_and_calendar_on_its_day_and_the_day_before(farm: Session) -> None:
    due = TODAY + timedelta(days=3)
    feedstock.write(farm, "market", LotKind.ORDER, {"amount": "5 kg", "due": due.isoformat(), "buyer": "Ana"})
    told = {day.on: [f"{job.name}: {job.what}" for job in day.jobs] for day in workdays.week(farm).days}
    assert "Order market: bag 5 kg screened for Ana" in told[due - timedelta(days=1)]
    assert "Order market: 5 kg screened due for Ana" in told[due]
    assert not any("Order" in job for job in told[due + timedelta(days=1)])
    events = Calendar.from_ical(rounds.calendar(farm)).walk("VEVENT")
    assert [event.decoded("DTSTART") for event in events if "Order market" in str(event["SUMMARY"])] == [
        due - timedelta(days=1), due,
    ]  # fmt: skip


def test_a_bin_without_a_harvest_is_refused_with_those_that_can_be_put(farm: Session) -> None:
    rows = rounds.view(farm).rows
    bare = replace(rows[0], harvest=replace(rows[0].harvest, on=None))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(rounds, "rows", lambda *_: iter((bare, *rows[1:3])))
        for day in ("saturday", ""):
            with pytest.raises(RefusedError, match=f"one of .*{rows[1].bin}"):
                workdays.put(farm, bare.bin, day)


def test_what_is_too_much_is_told_in_the_measure_of_its_day() -> None:
    long, short = WorkDay(TODAY, 240, 279, ()), WorkDay(TODAY, 20, 35, ())
    assert [hours(each) for each in (long, short)] == [
        "4.7 h of 4 h: 0.7 h too much",
        "35 min of 20 min: 15 min too much",
    ]
    assert "too much" not in hours(WorkDay(TODAY, 240, 242, ()))


def test_what_is_longer_than_its_day_goes_on_the_day_after(farm: Session) -> None:
    """72 minutes a day: feeding leaves 24 on Thursday and looking in 48 on Friday; the harvest takes 60."""
    change_setting(farm, "hours", "1.2 h")
    workdays.put(farm, "bed-01", (TODAY + timedelta(days=3)).isoformat())
    parts = [
        (day.on.weekday(), job.minutes, job.what)
        for day in workdays.week(farm, days=14).days
        for job in day.jobs
        if job.bin == "bed-01" and "take off" in job.what
    ]
    assert parts == [(3, 24, "take off the castings"), (4, 36, "go on: take off the castings")]
