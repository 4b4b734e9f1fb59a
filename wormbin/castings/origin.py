"""Where a bag comes from: the bins, harvests and feedstocks behind a lot; and back, where a bin's castings went."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from wormbin.castings.lot import Lot
from wormbin.records.entries import Bedding, Entry, Feeding, Harvest, standing
from wormbin.records.lots import Intake
from wormbin.records.moves import partner_id

ONE_HARVEST_DAYS = 30
"""Harvests of a bin within so many days are taken as one that took its time, as baiting or cutting from a base does."""


@dataclass(frozen=True, slots=True)
class Origin:
    """Castings of one harvest in a lot.

    ``share`` is theirs of all that came into the lot. ``feeds`` and ``beddings`` (material, fresh kg; most first) are
    what the bin was given from ``since`` on up to this harvest: since its harvest before (at least a month earlier), or
    since it was started.
    """

    bin: str
    on: date
    harvest: str
    kg: float
    share: float
    since: date
    feeds: tuple[tuple[str, float], ...]
    beddings: tuple[tuple[str, float], ...]


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
        harvest = next((each for each in log if each.id == harvest_id), None)
        on, share = move.line.when.date(), what.kg / lot.harvested_kg
        fed, bedded = _given(log, harvest)
        first = _since(log, harvest) or started.get(what.source, on)
        found.append(Origin(what.source, on, harvest_id, what.kg, share, first, fed, bedded))
    return tuple(found)


def _before(log: Sequence[Entry], harvest: Entry | None) -> tuple[Entry | None, int, int]:
    """The harvest before this one from the same part of the bin, and the places in the log between the two."""
    if harvest is None:
        return None, 0, 0
    place = log.index(harvest)
    for at in range(place - 1, -1, -1):
        each = log[at]
        same = not each.compartment or not harvest.compartment or each.compartment == harvest.compartment
        apart = (harvest.when.date() - each.when.date()).days >= ONE_HARVEST_DAYS
        if isinstance(each.what, Harvest) and same and apart:
            return each, at + 1, place
    return None, 0, place


def _since(log: Sequence[Entry], harvest: Entry | None) -> date | None:
    before = _before(log, harvest)[0]
    return before.when.date() if before is not None else None


def _given(
    log: Sequence[Entry], harvest: Entry | None
) -> tuple[tuple[tuple[str, float], ...], tuple[tuple[str, float], ...]]:
    _harvest, first, last = _before(log, harvest)
    fed: defaultdict[str, float] = defaultdict(float)
    bedded: defaultdict[str, float] = defaultdict(float)
    for entry in log[first:last]:
        part = harvest.compartment if harvest is not None else 0
        if entry.compartment and part and entry.compartment != part:
            continue
        if isinstance(entry.what, Feeding | Bedding):
            into = fed if isinstance(entry.what, Feeding) else bedded
            for portion in entry.what.portions:
                into[portion.material] += portion.kg
    return _most_first(fed), _most_first(bedded)


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
