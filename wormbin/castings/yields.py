"""What a bin has given for what it was given: castings per kilogram of feed, per bin and per square metre."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from wormbin.records.bins import Bin
from wormbin.records.entries import Bedding, Entry, Feeding, Harvest, standing

YEAR_DAYS = 365.25


@dataclass(frozen=True, slots=True)
class Yield:
    """One bin, from its start to its latest harvest. Wet kg of castings, fresh kg of feed and of bedding as put in.

    What was fed after the latest harvest does not count; what lay finished in the bin by then does not either, so that
    a bin's first harvests say too little. ``per_feed`` is None without any feed, ``per_m2_year`` without a harvest.
    """

    bin: str
    harvests: int
    castings_kg: float
    feed_kg: float
    bedding_kg: float
    surface_m2: float
    since: date
    until: date | None

    @property
    def per_feed(self) -> float | None:
        """Wet kg of castings per fresh kg of feed."""
        return self.castings_kg / self.feed_kg if self.feed_kg > 0 and self.harvests else None

    @property
    def per_m2(self) -> float | None:
        """Wet kg of castings per square metre of the bin's footprint."""
        return self.castings_kg / self.surface_m2 if self.surface_m2 > 0 and self.harvests else None

    @property
    def per_m2_year(self) -> float | None:
        """The same a year; None for less than a month, which says nothing of a year."""
        days = (self.until - self.since).days if self.until is not None else 0
        return self.per_m2 * YEAR_DAYS / days if self.per_m2 is not None and days >= 30 else None


def yield_of(one: Bin, entries: Sequence[Entry], until: date | None = None) -> Yield:
    """What one bin has yielded up to a day (included)."""
    log = [each for each in standing(list(entries)) if until is None or each.when.date() <= until]
    last = max((place for place, each in enumerate(log) if isinstance(each.what, Harvest)), default=-1)
    counted = log[: last + 1]
    return Yield(
        bin=one.key,
        harvests=sum(isinstance(each.what, Harvest) for each in counted),
        castings_kg=sum(each.what.castings_kg for each in counted if isinstance(each.what, Harvest)),
        feed_kg=_given(counted, Feeding),
        bedding_kg=_given(counted, Bedding),
        surface_m2=one.footprint_m2,
        since=one.started,
        until=log[last].when.date() if last >= 0 else None,
    )


def _given(entries: Sequence[Entry], kind: type[Feeding] | type[Bedding]) -> float:
    return sum(portion.kg for each in entries if isinstance(each.what, kind) for portion in each.what.portions)
