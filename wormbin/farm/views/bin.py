"""What the farm shows: one frozen view a question, plain enough that a screen or a command only has to lay it out.

Figures stay SI (the name says the unit) with the words for them, in the keeper's units, beside them as ``words``.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from wormbin.farm.views.round import HarvestView, OfToday, RoundRow

if TYPE_CHECKING:
    from wormbin.drawing.cutaway import Cut
    from wormbin.drawing.gauge import Gauge
    from wormbin.drawing.series import Series
    from wormbin.records.bins import Bin
    from wormbin.records.entries import Kind


@dataclass(frozen=True, slots=True)
class TroubledBin:
    """A bin that cannot be shown because its book cannot be read; the others stay usable."""

    bin: str
    name: str
    why: str


@dataclass(frozen=True, slots=True)
class RoundView:
    """All bins, worst first."""

    on: date
    rows: tuple[RoundRow, ...]
    minutes: int
    """About how many minutes it still takes to look in and feed."""
    jobs_minutes: int = 0
    """About how long today's other jobs take."""
    note: str = ""
    troubled: tuple[TroubledBin, ...] = ()
    turns: str = ""
    """Who does what today, where turns are taken."""
    closed: tuple[str, ...] = ()
    """Of each bin that is closed since when, and how to open it again."""


@dataclass(frozen=True, slots=True)
class CompartmentView:
    """One tray or half of a bin that has several: its state, when it alone gives castings; ``fed`` is where to feed."""

    number: int
    name: str
    fed: bool
    earliest: date | None
    likely: date | None
    latest: date | None
    due_since: date | None
    words: str
    harvest_words: str


@dataclass(frozen=True, slots=True)
class LogLine:
    """One line of the log in words. ``replaced`` is the id of the line that amends this one, "" when none does.

    With ``day_only`` nobody said a time, and none is shown.
    """

    entry: str
    bin: str
    when: datetime
    kind: Kind
    words: str
    by: str
    note: str = ""
    compartment: int = 0
    struck: bool = False
    why: str = ""
    struck_by: str = ""
    replaced: str = ""
    replaces: str = ""
    day_only: bool = False

    @property
    def moment(self) -> str:
        """The day and the time, or the day alone, as they are shown in a column of 16 letters."""
        return f"{self.when:%Y-%m-%d}      " if self.day_only else f"{self.when:%Y-%m-%d %H:%M}"

    @property
    def stands(self) -> bool:
        """Whether the line counts: neither struck nor replaced."""
        return not self.struck and not self.replaced


@dataclass(frozen=True, slots=True)
class Doubt:
    """A reading in the log that did not fit: shown, weighed down, never dropped."""

    entry: str
    on: date
    words: str
    weight: float


@dataclass(frozen=True, slots=True)
class BinView(OfToday):
    """One bin on one day: what to do now, how it is, what lies ahead."""

    bin: Bin
    on: date
    day: int
    do_now: tuple[str, ...]
    emergency: tuple[str, ...]
    """The steps to take before any sum when worms are dying or leaving; empty otherwise."""
    gauges: tuple[Gauge, ...]
    cut: Cut
    charts: tuple[Series, ...]
    learned: tuple[str, ...]
    doubts: tuple[Doubt, ...]
    last_words: tuple[tuple[str, str], ...] = ()
    """What the last check said, by field, to show beside the form: ``(("squeeze", "damp"), ...)``."""
    compartments: tuple[CompartmentView, ...] = ()
    """The trays or halves one by one; empty for a plain bin."""
    many: tuple[str, ...] = ()
    """Readings of many on one day of late, put together, the latest first; and why the estimate stood still."""

    def gauge(self, code: str) -> Gauge | None:
        """The gauge with this code, or None."""
        return next((each for each in self.gauges if each.code == code), None)

    def chart(self, code: str) -> Series | None:
        """The chart with this code, or None."""
        return next((each for each in self.charts if each.code == code), None)


@dataclass(frozen=True, slots=True)
class MaterialRow:
    """A material as the table shows it. Fractions of dry matter; ``sources`` by field name."""

    key: str
    name: str
    role: str
    pace: str
    cn: float
    nitrogen: float
    carbon: float
    ash: float
    moisture: float
    bulk_density_kg_m3: float | None
    water_holding: float | None
    cautions: tuple[str, ...]
    aliases: tuple[str, ...]
    kept_out_because: str
    own: bool
    sources: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class HarvestRow:
    """One bin's harvest window."""

    bin: str
    name: str
    harvest: HarvestView
    compartments: tuple[CompartmentView, ...] = ()


@dataclass(frozen=True, slots=True)
class Recorded:
    """What was saved: the ids of the entries, a sentence about it, what to mind; ``into`` is where a bin went whole."""

    ids: tuple[str, ...]
    sentence: str
    warnings: tuple[str, ...] = ()
    into: str = ""
