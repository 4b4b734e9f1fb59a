"""Where a bag comes from, where a bin's castings went, and what it gave for what it was given."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from wormbin.castings.lot import Lot
from wormbin.records.bins import Bin
from wormbin.records.entries import Bedding, Entry, Feeding, Harvest, standing
from wormbin.records.lots import Intake, LotStep, partner_id

ONE_HARVEST_DAYS = 30
"""Harvests of a bin within so many days are taken as one that took its time, as baiting or cutting from a base does."""


@dataclass(frozen=True, slots=True)
class Origin:
    """Castings of one harvest in a lot.

    ``share`` is theirs of all that came into the lot. ``feeds`` and ``beddings`` (material, fresh kg; most first) are
    what the bin was given from ``since`` on up to this harvest: since its harvest before (at least a month earlier), or
    since it was started; ``entries`` are the ids of those lines.
    """

    bin: str
    on: date
    harvest: str
    kg: float
    share: float
    since: date
    feeds: tuple[tuple[str, float], ...]
    beddings: tuple[tuple[str, float], ...]
    entries: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Went:
    """Where castings of one bin went: the lot, the day of the harvest, wet kg, and their share of the lot."""

    lot: Lot
    on: date
    kg: float
    share: float


def origins(lot: Lot, entries: Mapping[str, Sequence[Entry]], started: Mapping[str, date]) -> tuple[Origin, ...]:
    """What came into a lot, in time order. ``entries`` are the bins' logs; ``started`` the days they began."""
    found = []
    for move in lot.intakes:
        what, harvest_id = move.line.what, partner_id(move.line.id)
        assert isinstance(what, Intake)
        log = standing(list(entries.get(what.source, ())))
        on, share = move.line.when.date(), what.kg / lot.harvested_kg
        since, given = _since_before(log, next((each for each in log if each.id == harvest_id), None))
        first = since or started.get(what.source, on)
        fed, bedded = (_most_first(_given(given, kind)) for kind in (Feeding, Bedding))
        found.append(
            Origin(
                what.source, on, harvest_id, what.kg, share, first, fed, bedded, frozenset(each.id for each in given)
            )
        )
    return tuple(found)


def _since_before(log: Sequence[Entry], harvest: Entry | None) -> tuple[date | None, Sequence[Entry]]:
    """The day of the harvest before this one from the same part of the bin, and the lines of that part since then."""
    if harvest is None:
        return None, ()
    here = [each for each in log if not (each.compartment and harvest.compartment)
            or each.compartment == harvest.compartment]  # fmt: skip
    place = here.index(harvest)
    for at in range(place - 1, -1, -1):
        on = here[at].when.date()
        if isinstance(here[at].what, Harvest) and (harvest.when.date() - on).days >= ONE_HARVEST_DAYS:
            return on, here[at + 1 : place]
    return None, here[:place]


def _given(log: Sequence[Entry], kind: type[Feeding] | type[Bedding]) -> dict[str, float]:
    """What was put in by lines of one kind, fresh kg a material."""
    kg: defaultdict[str, float] = defaultdict(float)
    for entry in log:
        if isinstance(entry.what, kind):
            for portion in entry.what.portions:
                kg[portion.material] += portion.kg
    return kg


def _most_first(kg: Mapping[str, float]) -> tuple[tuple[str, float], ...]:
    return tuple(sorted(kg.items(), key=lambda item: (-item[1], item[0])))


def went(bin_key: str, lots: Sequence[Lot]) -> tuple[Went, ...]:
    """The lots that castings of this bin came into, in time order."""
    found = [
        Went(lot, move.line.when.date(), move.line.what.kg, move.line.what.kg / lot.harvested_kg)
        for lot in lots
        for move in lot.intakes
        if isinstance(move.line.what, Intake) and move.line.what.source == bin_key
    ]
    return tuple(sorted(found, key=lambda each: (each.on, each.lot.name)))


YEAR_DAYS = 365.25


@dataclass(frozen=True, slots=True)
class Yield:
    """One bin, from its start to its latest harvest. Wet kg of castings, fresh kg of feed and of bedding as put in.

    What was fed after the latest harvest does not count; what lay finished in the bin by then does not either, so that
    a bin's first harvests say too little. ``per_feed`` is None without any feed, ``per_m2_year`` without a harvest.
    """

    bin: str
    name: str
    harvests: int
    castings_kg: float
    feed_kg: float
    bedding_kg: float
    surface_m2: float
    since: date
    until: date | None
    finished: float | None
    """Finished kg a harvested kg; None while no lot of it is in stock."""

    @property
    def per_feed(self) -> float | None:
        """Wet kg of castings per fresh kg of feed."""
        return self.castings_kg / self.feed_kg if self.feed_kg > 0 and self.harvests else None

    @property
    def feed_per_finished(self) -> float | None:
        """Fresh kg of feed per finished kg."""
        return self.feed_kg / self.castings_kg / self.finished if self.finished and self.castings_kg > 0 else None

    @property
    def per_m2(self) -> float | None:
        """Wet kg of castings per square metre of the bin's footprint."""
        return self.castings_kg / self.surface_m2 if self.surface_m2 > 0 and self.harvests else None

    @property
    def per_m2_year(self) -> float | None:
        """The same a year; None for less than a month, which says nothing of a year."""
        days = (self.until - self.since).days if self.until is not None else 0
        return self.per_m2 * YEAR_DAYS / days if self.per_m2 is not None and days >= 30 else None


def finished_share(bin_key: str, lots: Sequence[Lot]) -> float | None:
    """Finished kg a harvested kg, of the castings of one bin that are in lots in stock; None while there are none."""
    found = [each for each in went(bin_key, lots) if each.lot.step is LotStep.STOCK]
    harvested = sum(each.kg for each in found)
    finished = sum(each.share * (max(0.0, each.lot.kg) + each.lot.sold_kg + each.lot.used_kg) for each in found)
    return finished / harvested if harvested > 0 and finished > 0 else None


def yield_of(one: Bin, entries: Sequence[Entry], until: date | None = None, finished: float | None = None) -> Yield:
    """What one bin has yielded up to a day (included); ``finished`` is its ``finished_share``."""
    log = [each for each in standing(list(entries)) if until is None or each.when.date() <= until]
    last = max((place for place, each in enumerate(log) if isinstance(each.what, Harvest)), default=-1)
    counted = log[: last + 1]
    return Yield(
        bin=one.key,
        name=one.name,
        harvests=sum(isinstance(each.what, Harvest) for each in counted),
        castings_kg=sum(each.what.castings_kg for each in counted if isinstance(each.what, Harvest)),
        feed_kg=sum(_given(counted, Feeding).values()),
        bedding_kg=sum(_given(counted, Bedding).values()),
        surface_m2=one.footprint_m2,
        since=one.started,
        until=log[last].when.date() if last >= 0 else None,
        finished=finished,
    )
