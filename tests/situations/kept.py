"""The bins that situations begin with, as the CSV files that a keeper brings in."""

from __future__ import annotations

import csv
import io
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import Any

BASES = Path(__file__).parent / "bases.toml"
KEY = "kitchen"
BIN_HEAD = (
    "bin", "name", "length_cm", "width_cm", "depth_cm", "drainage", "cover", "species", "site_temp_c", "method",
    "started",
)  # fmt: skip
LOG_HEAD = (
    "when", "bin", "kind", "material", "amount", "unit", "squeeze", "temp_c", "left_pct", "smell", "note",
    "unknown_from", "unknown_until",
)  # fmt: skip
SHARE_OF_NEW = ((14, 0.25), (28, 0.5))
"""A new bin is fed a quarter for two weeks and half for two more: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Kept:
    """One way of keeping a bin. Amounts as they are said; ``rhythm`` is the days of a week, counted back from today."""

    box_cm: Sequence[float]
    site_temp_c: float
    cover: str
    drainage: str
    worms: str
    bed: Sequence[str]
    bed_water: str
    rhythm: Sequence[int]
    feeds: Sequence[Sequence[str]]
    with_feed: Sequence[str]
    weekly_water: str
    squeeze: Sequence[str]
    temp_c: Sequence[float]
    left_pct: Sequence[float]
    smell: str
    species: str = "eisenia"


@dataclass(frozen=True, slots=True)
class Base:
    """A bin of ``age`` days, kept so until ``quiet`` days before today; ``unknown`` marks two days before today."""

    name: str = "kept"
    age: int = 60
    quiet: int = 4
    unknown: tuple[int, int] | None = None
    but: tuple[tuple[str, Any], ...] = field(default=())


@cache
def kept(name: str) -> Kept:
    """The way of keeping with this name in the file."""
    return Kept(**_told(name, tomllib.loads(BASES.read_text("utf-8"))))


def _told(name: str, every: Mapping[str, Any]) -> dict[str, Any]:
    said = dict(every[name])
    like = said.pop("like", None)
    return said if like is None else _told(like, every) | said


def files(base: Base, today: date) -> tuple[str, str]:
    """``bins.csv`` and ``log.csv`` of a bin, as text."""
    way = way_of(base)
    started = today - timedelta(days=base.age)
    length, width, depth = way.box_cm
    box = (
        KEY, "Kitchen", length, width, depth, way.drainage, way.cover, way.species, way.site_temp_c, "sort", started,
    )  # fmt: skip
    rows = [dict(zip(BIN_HEAD, box, strict=True))]
    return _csv(BIN_HEAD, rows), _csv(LOG_HEAD, _log(way, base, today))


def way_of(base: Base) -> Kept:
    """How a bin is kept, with what is other than in the file."""
    return replace(kept(base.name), **dict(base.but))


def visits(base: Base) -> list[int]:
    """How many days before today each visit was, oldest first."""
    rhythm = way_of(base).rhythm
    return [before for before in range(base.age - 3, max(base.quiet, 1) - 1, -1) if before % 7 in rhythm]


def _csv(head: Sequence[str], rows: Sequence[Mapping[str, object]] | Iterator[Mapping[str, object]]) -> str:
    out = io.StringIO()
    writer = csv.DictWriter(out, head, lineterminator="\n")
    writer.writeheader()
    writer.writerows({"bin": KEY} | dict(row) for row in rows)
    return out.getvalue()


def _log(way: Kept, base: Base, today: date) -> Iterator[dict[str, object]]:
    first = today - timedelta(days=base.age)
    for what in way.bed:
        yield {"when": f"{first}T09:00", "kind": "bedding"} | _amount(what)
    if way.bed_water:
        yield {"when": f"{first}T09:01", "kind": "watering"} | _amount(way.bed_water)
    yield {"when": f"{first}T09:02", "kind": "stocking"} | _amount(way.worms)
    for number, before in enumerate(visits(base)):
        yield from _visit(way, number, today - timedelta(days=before), base.age - before, before)
    if base.unknown:
        begins, ends = (today - timedelta(days=each) for each in base.unknown)
        yield {
            "when": f"{today}T08:00", "kind": "note", "note": "nobody wrote anything down",
            "unknown_from": begins, "unknown_until": ends,
        }  # fmt: skip


def _visit(way: Kept, number: int, day: date, old: int, before: int) -> Iterator[dict[str, object]]:
    """A look at the bin, then its feeding, and once a week some water."""

    def turn(said: Sequence[Any]) -> object:
        return said[number % len(said)] if said else ""

    seen = {"squeeze": turn(way.squeeze), "temp_c": turn(way.temp_c), "smell": way.smell}
    if number:  # before the first feeding there is nothing of it left
        seen["left_pct"] = turn(way.left_pct)
    if any(str(each) for each in seen.values()):
        yield {"when": f"{day}T18:00", "kind": "check"} | seen
    share = next((share for days, share in SHARE_OF_NEW if old < days), 1.0)
    for kind, portions in (("feeding", way.feeds[number % len(way.feeds)]), ("bedding", way.with_feed)):
        for what in portions:
            yield {"when": f"{day}T18:10", "kind": kind} | _amount(what, share)
    if way.weekly_water and before % 7 == way.rhythm[0]:
        yield {"when": f"{day}T18:20", "kind": "watering"} | _amount(way.weekly_water)


def _amount(said: str, share: float = 1.0) -> dict[str, object]:
    """ "150 g melon rind" as cells."""
    number, unit, *what = said.split(" ", 2)
    return {"amount": round(float(number) * share, 3), "unit": unit, "material": " ".join(what)}
