"""Made-up bins whose log falls silent for forty days: what the program says on the last of them, and what was so.

The keeper goes on as usual, does about half, or nothing at all; the program sees the same silence.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta

from tests.benchmarks.made_logs import Kept, kept
from tests.worlds.habits import Days
from tests.worlds.life import make_bin
from tests.worlds.study import study_story
from wormbin.figures import Band
from wormbin.materials.table import default_table
from wormbin.process.outlook import look_ahead
from wormbin.process.replay import replay
from wormbin.process.views import Day

SILENT_DAYS = 40
BEGINS = (60, 75, 90, 105)
"""Days after the start on which logs fall silent."""
KINDS = ("as usual", "about half", "nothing")
QUANTITIES = ("moisture", "feed waiting", "worms", "castings")


@dataclass(frozen=True, slots=True)
class Silent:
    """One figure on the last silent day: the band, and what was so; ``read`` when the silence was read as one."""

    kind: str
    quantity: str
    read: bool
    band: Band
    truth: float

    @property
    def inside(self) -> bool:
        """Whether the truth lay within the band."""
        return self.band.p10 - 1e-12 <= self.truth <= self.band.p90 + 1e-12


def silent_bin(number: int, seed: int, kind: str) -> tuple[Kept, date]:
    """A bin of the study with a silent stretch, and the first day of it."""
    begins = BEGINS[number % len(BEGINS)]
    story = study_story(number, seed, days=begins + SILENT_DAYS + 3)
    first = story.first + timedelta(days=begins)
    last = first + timedelta(days=SILENT_DAYS - 1)
    stays_away: Days = ()
    if kind == "nothing":
        stays_away = ((first, last),)
    elif kind == "about half":
        weeks = [first + timedelta(days=7 * week) for week in range(0, SILENT_DAYS // 7 + 1, 2)]
        stays_away = tuple((week, min(last, week + timedelta(days=6))) for week in weeks)
    # Whoever is away for certain leaves nothing unknown: their own absences lie outside.
    own = tuple(each for each in story.habits.away if each[1] < first)
    deeds = tuple(each for each in story.deeds if not first <= each.on <= last)
    made = make_bin(
        seed, replace(story, habits=replace(story.habits, away=(*own, *stays_away), harvest_after=None), deeds=deeds)
    )
    rows = tuple(row for row in made.rows if not first <= date.fromisoformat(row["when"][:10]) <= last)
    return kept(replace(made, rows=rows)), first


def asked(number: int, seed: int, kind: str) -> Iterator[Silent]:
    """The figures of one bin on the last silent day, with the silence read, and with it taken for nothing done."""
    one, first = silent_bin(number, seed, kind)
    last = first + timedelta(days=SILENT_DAYS - 1)
    truth = one.truth.on(last)
    so = (truth.moisture, truth.feed_waiting_kg, truth.worms_kg, truth.castings_dry_kg)
    before = replay(one.bin, one.entries, default_table(), _midnight(first))
    nothing = look_ahead(before, (), SILENT_DAYS - 1).days[-1]
    now = replay(one.bin, one.entries, default_table(), _midnight(last + timedelta(days=1)), resume=before.beliefs)
    for read, day in ((True, now.today), (False, nothing)):
        for quantity, band, true in zip(QUANTITIES, _bands(day), so, strict=True):
            yield Silent(kind, quantity, read, band, true)


def coverage(said: list[Silent], kind: str, quantity: str, *, read: bool) -> float:
    """The share of truths within their bands."""
    found = [each.inside for each in said if (each.kind, each.quantity, each.read) == (kind, quantity, read)]
    return sum(found) / len(found)


def _bands(day: Day) -> tuple[Band, ...]:
    return day.moisture, day.feed_waiting_kg, day.worms_kg, day.castings_dry_kg


def _midnight(morning: date) -> datetime:
    return datetime.combine(morning, time(), UTC)
