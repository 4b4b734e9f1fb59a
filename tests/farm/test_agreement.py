"""One question, one answer: whatever asks when to feed, how much to take off, or when, hears the same."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import pytest

from wormbin.farm import bins, rounds
from wormbin.farm.samples import copy_sample
from wormbin.farm.session import Session


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Session:
    """The apartment's last evening: three quarters of the last feeding are left, and the harvest is due."""
    return copied(tmp_path_factory.mktemp("apartment"))


def copied(folder: Path) -> Session:
    return copy_sample("apartment", folder).session()


def test_nothing_is_planned_before_the_day_until_which_the_feed_is_held(farm: Session) -> None:
    view = bins.look(farm, "kitchen")
    assert view.feed_up_to_words == "nothing"
    following = view.next_feeding
    assert following is not None
    held = farm.scene("kitchen").held_until
    assert held is not None
    assert following >= held > view.on
    planned = bins.outlook(farm, "kitchen")["planned"]
    assert isinstance(planned, list)
    days = [each["date"] for each in planned if isinstance(each, Mapping)]
    assert min(days) == following
    fed = [line for line in rounds.sheet(farm, "kitchen") if "due: " in line and "feed" in line]
    assert fed
    summaries = rounds.calendar(farm).replace("\r\n ", "").split("BEGIN:VEVENT")
    feedings = [event for event in summaries if "SUMMARY:Round" in event and "Feed Kitchen" in event]
    assert min(re.findall(r"DTSTART;VALUE=DATE:(\d{8})", "".join(feedings))) == f"{following:%Y%m%d}"


def test_who_leaves_tomorrow_is_not_told_to_feed_what_is_held_today(farm: Session) -> None:
    plan = bins.absence(farm, "kitchen", "tomorrow", "2026-11-12")
    assert not any(re.match(r"feed \d", step) for step in plan.before)
    assert any("Feed nothing more" in step for step in plan.before), plan.before
    held = farm.scene("kitchen").held_until
    assert held is not None
    # The neighbour comes on the sixth, when it may be fed again; before that day nobody is told to.
    assert held.isoformat() == "2026-11-01"
    assert plan.neighbour[1:3] == (
        "Please give it no feed before Sunday 1 November.",
        "Please look in on Friday 6 November.",
    )
    near = bins.absence(farm, "kitchen", "tomorrow", "2026-11-01")
    assert not any("bury up to" in line for line in near.neighbour)


def test_a_harvest_is_as_much_in_the_what_if_as_in_the_advice_and_as_soon_as_on_the_page(farm: Session) -> None:
    view = bins.look(farm, "kitchen")
    other = bins.what_if(farm, "kitchen", harvest=True)
    amount = re.search(r"harvest today \((.*)\)", other.instead.title)
    assert amount is not None
    advised = next(step for found in view.findings if found.code == "harvest-due" for step in found.do)
    assert f"about {amount[1]} of castings (" in advised
    assert other.as_planned.harvest == view.harvest
    assert [row.harvest for row in rounds.harvests(farm)] == [view.harvest]
    assert view.harvest.earliest is None or view.harvest.earliest >= view.on


def test_two_futures_of_one_plan_are_one(farm: Session) -> None:
    """The planned future of a what-if is the look-ahead of the outlook, day for day."""
    series = bins.outlook(farm, "kitchen")["series"]
    assert isinstance(series, list)
    planned = bins.what_if(farm, "kitchen", skip=1).as_planned
    assert [each.band for each in planned.feed_waiting_kg] == [day["feed_waiting_kg"] for day in series]
    assert [each.band for each in planned.moisture] == [day["moisture"] for day in series]
