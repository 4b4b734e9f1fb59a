"""A farm of many beds whose castings are all due at once, with its rows laid ready as if they had been worked out."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from tests.farm.a_farm import counted
from tests.screens.made_views import TODAY, band, bin_of, row
from wormbin.advice.finding import Doing
from wormbin.exchange.calendar import Due
from wormbin.farm.cache.rows import Dues, Meal
from wormbin.farm.session import Session
from wormbin.farm.views.round import ComingRow, HarvestView, Load, RoundRow, StepView
from wormbin.figures import Level
from wormbin.records.bins import Bin
from wormbin.records.door import admit_bin

NOW = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
"""A Monday."""
TOMORROW = TODAY + timedelta(days=1)
KG = 59.0
HOUR = 60


def beds(count: int) -> list[Bin]:
    return [
        replace(bin_of(f"bed-{at:02}", f"Bed {at}"), started=TODAY - timedelta(days=200)) for at in range(1, count + 1)
    ]


def due_row(one: Bin, at: int) -> RoundRow:
    """Due since a week; to be taken off tomorrow, with the bed soaked today; looked at and fed today."""
    cured = TOMORROW + timedelta(days=28)
    steps = (
        StepView(TODAY, "soak 3 kg of dry bedding", "soak-bedding", 5, 3.0),
        StepView(TOMORROW, "take off the castings", "harvest", HOUR),
        StepView(cured, "cured: screen", "cured", 118),
    )
    since = TODAY - timedelta(days=7)
    harvest = HarvestView(TODAY, TODAY, TODAY, since, "share", "screen", "due; take them off tomorrow", steps, TOMORROW)
    return replace(
        row(one.key, one.name, 2),
        level=Level.WATCH,
        do=("take off about 59 kg of castings tomorrow: share the lifting", "soak 3 kg of dry bedding", "feed 2 kg"),
        doing=(Doing.HARVEST, Doing.NEW_BED, Doing.FEED),
        harvest=harvest,
        coming=(ComingRow("", band(KG + at), TODAY, TODAY, TODAY, since, TOMORROW),),
        minutes=3,
        jobs_minutes=0,
        load=Load(2.0, 0.1, 0.5),
        next_feeding=TODAY,
        feed_up_to_kg=2.0,
    )


def due_farm(folder: Path, count: int = 24) -> Session:
    """The farm with a row ready for every bed, due at once."""
    farm = Session(folder, clock=lambda: NOW, random=counted())
    made = [admit_bin(one, (), NOW) for one in beds(count)]
    farm.store.change_farm(lambda held: replace(held, bins=tuple(made)))
    lay_ready(farm)
    return farm


def lay_ready(farm: Session) -> None:
    """Put the rows into the cache, as for the day on which they were worked out."""
    for at, one in enumerate(farm.bins()):
        token = farm.cache.token(one, None)
        due = Due(TOMORROW, one.key, "harvest", f"{one.name}: take off", slot="harvest")
        farm.cache.rows.put(one.key, token, due_row(one, at))
        meals = (Meal(TODAY + timedelta(days=3), 2.0, 0.1),)
        farm.cache.dues.put(one.key, token, Dues(one.key, (due,), meals))
    farm.cache.rows.flush()
    farm.cache.dues.flush()
