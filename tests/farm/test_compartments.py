"""A bin of two trays: each is fed, told, forecast and harvested apart."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.cli.running import run
from tests.farm.a_farm import NOW, open_farm
from wormbin.farm import bins, feedings, rounds, starts
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import record_feeding, write
from wormbin.farm.session import Session
from wormbin.farm.views.proposals import BinDraft
from wormbin.records.entries import Kind


def stack(folder: Path, *, sideways: bool = False) -> Session:
    """Worms and feed in the lower tray for seven weeks; the upper holds bedding."""
    farm = open_farm(folder)
    started = NOW.date() - timedelta(days=50)
    starts.start(farm,
        BinDraft(
            key="stack", name="Stack", length="40 cm", width="40 cm", depth="20 cm", compartments="2", drainage="yes",
            worms="500 g", method="sideways" if sideways else "upward", started=started.isoformat(),
        )
    )  # fmt: skip
    write(
        farm,
        "stack",
        Kind.BEDDING,
        {"portions": "300 g shredded-cardboard"},
        Heading(when=f"{started}T09:00", compartment="2"),
    )
    for number in range(3, 50, 4):
        when = Heading(when=f"{started + timedelta(days=number)}T08:00", compartment="1")
        record_feeding(farm, "stack", ["250 g melon rind", "50 g coffee grounds"], heading=when, anyway=True)
    return farm


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Session:
    return stack(tmp_path_factory.mktemp("stack"))


def state(farm: Session) -> list[dict[str, Any]]:
    document = bins.outlook(farm, "stack")
    found = document["state"]["compartments"]  # type: ignore[index]
    assert isinstance(found, list)
    return found


def test_each_tray_has_its_state_its_layers_and_its_own_window(farm: Session) -> None:
    lower, upper = state(farm)
    assert (lower["name"], upper["name"]) == ("lower tray", "upper tray")
    assert lower["feed_here"]
    assert not upper["feed_here"]
    assert lower["castings_dry_kg"].p50 > upper["castings_dry_kg"].p50
    for name in ("moisture", "feed_waiting_kg", "worms_kg", "castings_share"):
        assert lower[name].p10 <= lower[name].p50 <= lower[name].p90
    assert lower["layers_m"]["castings"] > upper["layers_m"]["castings"]
    assert lower["harvest"]["likely"] is not None
    assert lower["harvest"]["earliest"] <= lower["harvest"]["likely"] <= (lower["harvest"]["latest"] or date.max)
    assert upper["harvest"]["likely"] is None
    first, second = bins.look(farm, "stack").cut.parts
    assert first.castings_m > second.castings_m


def test_the_days_ahead_are_told_for_each_tray_and_add_up(farm: Session) -> None:
    series = bins.outlook(farm, "stack")["series"]
    assert isinstance(series, list)
    for day in (series[0], series[30]):
        assert sum(part["dry_kg"].p50 for part in day["compartments"]) == pytest.approx(day["dry_kg"].p50)
    planned = bins.outlook(farm, "stack")["planned"]
    assert {each["compartment"] for each in planned} == {1}  # type: ignore[attr-defined]


def test_the_advised_feeding_names_the_tray(farm: Session) -> None:
    (row,) = rounds.view(farm).rows
    assert row.feed_into == "lower tray"
    ran = run(farm.folder, "round", "--on", NOW.date().isoformat())
    assert "in the lower tray" in " ".join(ran.out.split()) or "feed nothing today" in ran.out
    page = " ".join(run(farm.folder, "outlook", "stack", "--on", NOW.date().isoformat()).out.split())
    assert "lower tray (feed here): moisture" in page
    (told,) = json.loads(run(farm.folder, "harvests", "--json", "--on", NOW.date().isoformat()).out)["harvests"]
    assert [each["name"] for each in told["compartments"]] == ["lower tray", "upper tray"]


def test_a_feeding_goes_into_the_tray_that_was_named(tmp_path: Path) -> None:
    farm = stack(tmp_path)
    before = state(farm)
    ran = run(tmp_path, "feed", "stack", "300 g melon rind", "--compartment", "2", "--yes")
    assert ran.code == 0, ran.err
    after = state(open_farm(tmp_path))
    assert after[1]["feed_waiting_kg"].p50 > before[1]["feed_waiting_kg"].p50 + 0.25
    assert after[0]["feed_waiting_kg"].p50 == pytest.approx(before[0]["feed_waiting_kg"].p50, abs=0.02)
    assert after[1]["feed_here"]


@pytest.mark.parametrize("sideways", [False, True])
def test_a_harvest_takes_from_the_tray_that_was_named_only(tmp_path: Path, sideways: bool) -> None:
    farm = stack(tmp_path, sideways=sideways)
    before = state(farm)
    ran = run(tmp_path, "harvest", "stack", "1 kg", "--compartment", "1")
    assert ran.code == 0, ran.err
    after = state(open_farm(tmp_path))
    assert after[0]["castings_dry_kg"].p50 < before[0]["castings_dry_kg"].p50 - 0.1
    # What was weighed teaches a little about the other tray as well; nothing is taken from it.
    assert after[1]["castings_dry_kg"].p50 == pytest.approx(before[1]["castings_dry_kg"].p50, abs=0.01)


def test_a_plain_bin_is_told_as_before(tmp_path: Path) -> None:
    from tests.farm.a_farm import kitchen

    farm = kitchen(tmp_path)
    document = bins.outlook(farm, "kitchen")
    assert document["state"]["compartments"] == []  # type: ignore[index]
    assert "compartments" not in document["series"][0]  # type: ignore[index]
    assert bins.look(farm, "kitchen").compartments == ()
    assert rounds.view(farm).rows[0].feed_into == ""


def test_the_feeding_form_says_which_tray_the_feed_goes_into_and_which_it_should(farm: Session) -> None:
    said = feedings.preview(farm, "stack", ["100 g melon rind"]).lines
    assert "it goes into the lower tray" in said
    other = feedings.preview(farm, "stack", ["100 g melon rind"], heading=Heading(compartment="2")).lines
    assert "it goes into the upper tray, but the lower tray is the one to feed now: name it as part 1" in other


def test_the_dated_steps_follow_the_tray_that_is_due_first(farm: Session) -> None:
    view = bins.look(farm, "stack")
    assert view.harvest.part == "lower tray"
    assert "in the lower tray" in view.harvest.words
    first = view.harvest.steps[0]
    assert first.what.startswith("feed the upper tray only")
    assert first.on == view.harvest.likely
    calendar = rounds.calendar(farm, days=365).replace("\r\n ", "")
    assert "Stack: feed the upper tray only" in calendar
    assert "Feed Stack: about" in calendar
    assert all("in the lower tray" in line for line in calendar.split("DESCRIPTION") if "Feed Stack: about" in line)
    ran = " ".join(run(farm.folder, "harvests", "--on", NOW.date().isoformat()).out.split())
    assert "lift off the lower tray and empty it: about" in ran


def test_who_leaves_and_the_neighbour_are_told_the_tray(farm: Session) -> None:
    plan = bins.absence(farm, "stack", "2026-06-06", "2026-06-28")
    assert any(step.startswith("feed") and "in the lower tray" in step for step in plan.before)
    assert any("peelings in the lower tray" in line for line in plan.neighbour)


def test_what_if_harvests_the_tray_that_is_due_first(farm: Session) -> None:
    other = bins.what_if(farm, "stack", harvest=True)
    assert other.instead.title.startswith("harvest the lower tray today (")
    (lower, _upper) = state(farm)
    wet = float(other.instead.title.partition("(")[2].split()[0])
    # All castings of the lower tray at its own moisture, a tenth left with the worms; none of the upper tray's.
    assert wet == pytest.approx(lower["castings_dry_kg"].p50 * 0.9 / (1 - lower["moisture"].p50), rel=0.05)
