"""What a report of one bin holds: the bin's own page as of its last day, and what was put in, taken out and written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from wormbin.drawing.series import Series
from wormbin.farm.views.bin import BinView, LogLine


@dataclass(frozen=True, slots=True)
class MaterialTotal:
    """One material in the period, fresh kg. ``weighed_kg`` was put on a scale; the rest was told by volume or piece and
    worked out. ``source`` is where its water and nitrogen in the table come from."""

    key: str
    name: str
    kg: float
    weighed_kg: float
    times: int
    source: str = ""


@dataclass(frozen=True, slots=True)
class HarvestTaken:
    """Castings taken off, wet kg; ``moisture`` is a fraction if it was said, ``lot`` where they went."""

    on: date
    kg: float
    moisture: float | None
    lot: str


@dataclass(frozen=True, slots=True)
class Writer:
    """Who wrote how many lines that stand; "" for lines that nobody signed."""

    name: str
    lines: int


@dataclass(frozen=True, slots=True)
class Totals:
    """The lines of the period that stand, added up. kg and L as written; water in kg."""

    fed: tuple[MaterialTotal, ...]
    bedding: tuple[MaterialTotal, ...]
    feedings: int
    water_kg: float
    waterings: int
    drained_kg: float
    worms_in_kg: float
    worms_out_kg: float
    harvests: tuple[HarvestTaken, ...]
    kinds: tuple[tuple[str, int], ...]
    """How many lines of each kind."""
    writers: tuple[Writer, ...]
    lines: int
    struck: int
    """Lines of the period that were struck or put right, and do not count."""

    @property
    def fed_kg(self) -> float:
        """All that was fed, fresh kg."""
        return sum(each.kg for each in self.fed)

    @property
    def bedding_kg(self) -> float:
        """All bedding put in, kg as it was."""
        return sum(each.kg for each in self.bedding)

    @property
    def harvested_kg(self) -> float:
        """All castings taken off, wet kg."""
        return sum(each.kg for each in self.harvests)


@dataclass(frozen=True, slots=True)
class ReportView:
    """A bin's report from ``first`` to ``last``; ``look`` is the bin at the end of it.

    ``shown_until`` is the last day of the look-ahead that the charts show. ``since_start`` when the period was cut to
    the bin's first day. ``state`` and ``harvest`` are the figures by the names of the outlook's JSON.
    """

    look: BinView
    first: date
    last: date
    shown_until: date
    since_start: bool
    setup: tuple[tuple[str, str], ...]
    charts: tuple[Series, ...]
    totals: Totals
    notes: tuple[LogLine, ...]
    more_notes: int
    surer: tuple[str, ...]
    """What would make the figures surer, the most telling first."""
    cautions: tuple[tuple[str, str], ...]
    """Each caution with its source."""
    sources: tuple[str, ...]
    state: Mapping[str, object]
    harvest: Mapping[str, object]
    units: str
    squeezes: int = 0
    """Moisture readings of the period that were a squeeze: they stand in the chart at what such a handful holds."""
    question: str = ""
    """What a comparison that the bin was in asks, and with which bins; "" for none."""
    moisture_read: str = ""
    """The last moisture reading as it was taken: "squeeze sponge, usually 78%", "80% by meter"; "" for none."""
