"""One made-up bin asked about on a few evenings: what the program says against what was so, and plainer guesses.

Three guessers see the same log up to the same evening: the model that has learned from it, the same model with every
reading withheld (the untaught one; amounts put in and taken out it must know), and the keepers' rules of thumb.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from tests.benchmarks import thumb
from tests.benchmarks.made_logs import Kept, planned_for
from tests.worlds.truth import Trouble
from wormbin.figures import Band
from wormbin.materials.table import default_table
from wormbin.process.outlook import look_ahead
from wormbin.process.replay import Replay, replay
from wormbin.process.views import Day
from wormbin.records.entries import Check, Entry, Survey, Weighing
from wormbin.records.farms import Settings

ASK_ON = (20, 45, 90, 150)
"""Days after the start on which each bin is asked about."""
AHEAD_DAYS = 120
"""How far the program looks ahead for a harvest."""
SETTINGS = Settings()


@dataclass(frozen=True, slots=True)
class Said:
    """One figure of one bin on one day: the band, the truth, and the middle guesses of the other two.

    For ``harvest`` all are days from the day asked; ``beyond`` is the last day that could be judged (the look-ahead's
    end or the end of the made-up log, whichever comes first), and anything later is held as ``beyond + 1``.
    """

    bin: str
    day: int
    quantity: str
    low: float
    likely: float
    high: float
    truth: float
    untaught: float
    thumb: float | None = None
    beyond: float | None = None

    @property
    def inside(self) -> bool:
        """Whether the truth lay within the 10-90 band."""
        return self.low - 1e-12 <= self.truth <= self.high + 1e-12

    @property
    def unseen(self) -> bool:
        """Whether it tells nothing: the truth, and the whole window, lie beyond what could be judged."""
        return self.beyond is not None and self.truth > self.beyond and self.low > self.beyond


def without_readings(entries: Sequence[Entry]) -> tuple[Entry, ...]:
    """What was done, without what was seen."""
    return tuple(entry for entry in entries if not isinstance(entry.what, Check | Weighing | Survey))


def forecasts(kept: Kept, ask_on: Sequence[int] = ASK_ON, ahead_days: int = AHEAD_DAYS) -> Iterator[Said]:
    """Every figure of a bin on every day asked."""
    plain = without_readings(kept.entries)
    learned: Replay | None = None
    untaught: Replay | None = None
    for number in ask_on:
        on = kept.truth.days[0].on + timedelta(days=number)
        learned = _on(kept, kept.entries, on, learned)
        untaught = _on(kept, plain, on, untaught)
        yield from _figures(kept, on, number, learned.today, untaught.today)
        due = _harvest(kept, on, number, learned, untaught, ahead_days)
        if due is not None:
            yield due


def _on(kept: Kept, entries: Sequence[Entry], on: date, before: Replay | None) -> Replay:
    until = datetime.combine(on, time(23, 59), UTC)
    resume = before.beliefs[-1] if before is not None else None
    return replay(kept.bin, entries, default_table(), until, resume=resume)


def _figures(kept: Kept, on: date, number: int, said: Day, untaught: Day) -> Iterator[Said]:
    truth = kept.truth.on(on)
    so_far = [entry for entry in kept.entries if entry.when.date() <= on]
    rows: tuple[tuple[str, Band, float, Band, float | None], ...] = (
        ("moisture", said.moisture, truth.moisture, untaught.moisture, None),
        (
            "feed waiting", said.feed_waiting_kg, truth.feed_waiting_kg, untaught.feed_waiting_kg,
            thumb.waiting_kg(so_far, on),
        ),
        ("castings", said.castings_dry_kg, truth.castings_dry_kg, untaught.castings_dry_kg, None),
        ("castings share", said.castings_share, truth.castings_share, untaught.castings_share, None),
        ("worms", said.worms_kg, truth.worms_kg, untaught.worms_kg, thumb.worms_kg(so_far, on)),
        ("whole mass", said.total_kg, truth.total_kg, untaught.total_kg, None),
    )  # fmt: skip
    for name, band, true, other, guess in rows:
        yield Said(kept.bin.key, number, name, band.p10, band.p50, band.p90, true, other.p50, guess)


def _harvest(kept: Kept, on: date, number: int, learned: Replay, untaught: Replay, ahead_days: int) -> Said | None:
    """The harvest date asked on an evening; None while one is due already, for then there is nothing to foretell."""
    truth = kept.truth
    if any(on in run for run in truth.troubles(Trouble.DUE)):
        return None
    beyond = min(ahead_days, (truth.days[-1].on - on).days)
    due = next((each for each in truth.due_dates if each > on), None)
    so_far = tuple(entry for entry in kept.entries if entry.when.date() <= on)

    def days(found: date | None) -> float:
        return float(min(max((found - on).days, 0), beyond + 1)) if found is not None else beyond + 1.0

    plan = planned_for(learned, so_far, SETTINGS, beyond)
    window = look_ahead(learned, plan, beyond).harvest
    plain = look_ahead(untaught, planned_for(untaught, so_far, SETTINGS, beyond), beyond).harvest
    return Said(
        kept.bin.key, number, "harvest date", days(window.earliest), days(window.likely), days(window.latest),
        days(due), days(plain.likely), days(thumb.harvest_on(kept.bin.started, so_far, on)), float(beyond),
    )  # fmt: skip
