"""What of a feeding is food: grit, lime and eggshell are given with it, and carry no work for anybody."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Protocol

from wormbin.materials.material import Material
from wormbin.problems import RefusedError
from wormbin.records.entries import Entry, Feeding, Portion

MINERAL_ASH = 0.80
"""Dry matter with more ash than this is stone: grit 100 %, eggshell 95 %, garden soil 95 %; castings 60 % are not."""


class Known(Protocol):
    """A material table."""

    def get(self, key: str) -> Material:
        """The material with this key; raises RefusedError when there is none."""


def is_food(portion: Portion, table: Known) -> bool:
    """Whether there is anything in it to be worked; what the table no longer knows is taken for food."""
    try:
        return table.get(portion.material).ash < MINERAL_ASH
    except RefusedError:
        return True


def food_of(portions: Iterable[Portion], table: Known) -> tuple[Portion, ...]:
    """What is food among the portions of a feeding."""
    return tuple(portion for portion in portions if is_food(portion, table))


def food_log(entries: Sequence[Entry], table: Known) -> tuple[Entry, ...]:
    """The log with nothing but food in its feedings; a feeding of grit alone is none, and is left out."""
    out = []
    known: dict[str, bool] = {}
    for entry in entries:
        if isinstance(entry.what, Feeding):
            for portion in entry.what.portions:
                if portion.material not in known:
                    known[portion.material] = is_food(portion, table)
            food = tuple(portion for portion in entry.what.portions if known[portion.material])
            if len(food) < len(entry.what.portions):
                if not food:
                    continue
                entry = replace(entry, what=Feeding(food))
        out.append(entry)
    return tuple(out)


SOUR_SINCE_DAYS = 14


def sour_names(entries: Iterable[Entry], table: Known, on: date) -> tuple[str, ...]:
    """The names of the sour feed given in those weeks, that of which most was given first."""
    kg: dict[str, float] = {}
    for entry in entries:
        if isinstance(entry.what, Feeding) and 0 <= (on - entry.when.date()).days < SOUR_SINCE_DAYS:
            for portion in entry.what.portions:
                if table.get(portion.material).acid:
                    kg[portion.material] = kg.get(portion.material, 0.0) + portion.kg
    return tuple(table.get(key).name for key in sorted(kg, key=lambda key: (-kg[key], key)))


def sour_share(entries: Iterable[Entry], table: Known, on: date) -> tuple[float, float]:
    """Sour feed given in the two weeks up to ``on``: kg, and as a share of all feed given then."""
    sour = total = 0.0
    since = on - timedelta(days=SOUR_SINCE_DAYS - 1)
    for entry in entries:
        if isinstance(entry.what, Feeding) and since <= entry.when.date() <= on:
            for portion in entry.what.portions:
                total += portion.kg
                sour += portion.kg if table.get(portion.material).acid else 0.0
    return sour, (sour / total if total > 0 else 0.0)
