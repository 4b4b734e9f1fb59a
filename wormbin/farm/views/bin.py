"""What the farm shows: one frozen view a question, plain enough that a screen or a command only has to lay it out.

Figures stay SI (the name says the unit) with the words for them, in the keeper's units, beside them as ``words``.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from wormbin.farm.views.round import HarvestView as HarvestView
from wormbin.farm.views.round import RoundRow as RoundRow
from wormbin.farm.views.round import StepView as StepView
from wormbin.figures import Band, Basis, Level

if TYPE_CHECKING:
    from wormbin.advice.finding import Finding
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
    """About how many minutes it still takes."""
    note: str = ""
    troubled: tuple[TroubledBin, ...] = ()


@dataclass(frozen=True, slots=True)
class GaugeView:
    """One figure against its target: what is worked out, with the reading of today beside it in words.

    ``scale`` is the ends of the gauge, ``target`` the band aimed for; either end of ``target`` may be open (None).
    ``beside`` is "below" or "above" when the likely value lies outside the target, whatever the level says.
    ``reading`` is the last one taken (None when never) and ``age_days`` its age. ``words`` is the value as text,
    ``likely`` the likely value alone, ``read_words`` "read 78% today" or nothing.
    """

    code: str
    title: str
    band: Band
    unit: str
    target: tuple[float | None, float | None]
    scale: tuple[float, float]
    basis: Basis
    level: Level
    words: str
    target_words: str = ""
    reading: float | None = None
    age_days: int | None = None
    beside: str = ""
    likely: str = ""
    read_words: str = ""


@dataclass(frozen=True, slots=True)
class CutPart:
    """One compartment of the cutaway, depths in m from the top down; ``box_m`` is how deep the box is."""

    number: int
    box_m: float
    feed_m: float
    bedding_m: float
    castings_m: float
    water_m: float
    """Depth of the base that stands in water; it overlaps the lowest layers."""
    worms_kg_m2: float
    ruler_m: float | None = None
    """The last ruler reading of the contents, if there is one."""
    named: tuple[str, ...] = ()
    """The layers that a finding is about: drawn however thin, ``water`` and ``feed`` even when only seen."""


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
class CutView:
    """Everything the cutaway drawing needs."""

    parts: tuple[CutPart, ...]
    sideways: bool
    cover: str
    drainage: bool


@dataclass(frozen=True, slots=True)
class Mark:
    """A reading on a chart. ``questioned`` when it does not fit what the model believed, and for how much of a reading
    it counts then, 0 to 1."""

    on: date
    value: float
    by: str = ""
    questioned: bool = False
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class Event:
    """Something done, on a chart's foot: a kind of entry, or ``planned``."""

    on: date
    kind: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class Dated:
    """A band on a day."""

    on: date
    band: Band


@dataclass(frozen=True, slots=True)
class ChartView:
    """One quantity through time, past into the look-ahead.

    ``code`` is ``moisture``, ``feed_waiting``, ``worms``, ``castings``, ``temp`` or ``air``; values in ``unit`` (SI or
    fraction). ``harvest`` holds the window's dates that lie inside the chart.
    """

    code: str
    title: str
    unit: str
    past: tuple[Dated, ...]
    ahead: tuple[Dated, ...]
    marks: tuple[Mark, ...]
    target: tuple[float | None, float | None]
    events: tuple[Event, ...]
    today: date
    harvest: tuple[date | None, date | None, date | None] = (None, None, None)


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
class BinView:
    """One bin on one day: what to do now, how it is, what lies ahead."""

    bin: Bin
    on: date
    day: int
    level: Level
    headline: str
    findings: tuple[Finding, ...]
    do_now: tuple[str, ...]
    emergency: tuple[str, ...]
    """The steps to take before any sum when worms are dying or leaving; empty otherwise."""
    gauges: tuple[GaugeView, ...]
    cut: CutView
    charts: tuple[ChartView, ...]
    harvest: HarvestView
    feed_up_to_kg: float
    feed_up_to_words: str
    next_feeding: date | None
    next_check: date | None
    checked_today: bool
    fed_today: bool
    learned: tuple[str, ...]
    doubts: tuple[Doubt, ...]
    last_words: tuple[tuple[str, str], ...] = ()
    """What the last check said, by field, to show beside the form: ``(("squeeze", "damp"), ...)``."""
    compartments: tuple[CompartmentView, ...] = ()
    """The trays or halves one by one; empty for a plain bin."""
    also: tuple[str, ...] = ()
    """What may be done besides in a steady bin; nothing calls for it."""
    mind: str = ""
    """What can hurt somebody at what is to be done: no step, and never to be ticked off."""

    def gauge(self, code: str) -> GaugeView | None:
        """The gauge with this code, or None."""
        return next((each for each in self.gauges if each.code == code), None)

    def chart(self, code: str) -> ChartView | None:
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
    """What was saved: the ids of the entries, one sentence about it, and what to mind."""

    ids: tuple[str, ...]
    sentence: str
    warnings: tuple[str, ...] = ()
