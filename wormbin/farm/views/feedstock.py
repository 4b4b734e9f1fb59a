"""What the farm shows of feedstock: loads, where each went, piles that compost hot; SI figures, words beside them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from wormbin.farm.views.lots import LotLineView


@dataclass(frozen=True, slots=True)
class LoadView:
    """One load. Masses in fresh kg, moisture as a fraction where it was tested, ``price`` as paid."""

    name: str
    material: str
    material_name: str
    came: date
    came_kg: float
    kg: float
    given_kg: float
    changed_kg: float
    supplier: str
    price: float | None
    moisture: float | None
    treated: str
    pile: str
    bad: str | None
    bad_on: date | None
    of_bad: str = ""
    """The bad load that went onto the pile it is from."""


@dataclass(frozen=True, slots=True)
class OnHandView:
    """What is left of a material in all loads: how fast it goes, how long it lasts, when to buy; None: not told."""

    material: str
    name: str
    kg: float
    used_kg_day: float
    lasts_until: date | None
    buy_by: date | None
    on: date
    keeps_days: int | None = None
    """About how long it keeps before it rots; None for what keeps."""


@dataclass(frozen=True, slots=True)
class LoadsView:
    """Every load, the newest last, and what is on hand by material."""

    loads: tuple[LoadView, ...]
    on_hand: tuple[OnHandView, ...]


@dataclass(frozen=True, slots=True)
class WentTo:
    """Where some of a load went: a bin or a pile, how much, first and last day; ``sure`` is whether it is certain."""

    bin: str
    pile: str
    name: str
    kg: float
    first: date
    last: date
    sure: bool


@dataclass(frozen=True, slots=True)
class LotReached:
    """A lot with castings of a bin that got some of a load. ``likely`` is within the same harvest, else a later one."""

    lot: str
    words: str
    bin: str
    on: date
    kg: float
    likely: bool


@dataclass(frozen=True, slots=True)
class Handed:
    """What went out of a lot to somebody, or was used: the day, kg, who and what for."""

    lot: str
    on: date
    kg: float
    kind: str
    buyer: str
    purpose: str


@dataclass(frozen=True, slots=True)
class LoadPage:
    """A load opened: where it went, and by way of bins the lots and buyers that it reached."""

    load: LoadView
    went: tuple[WentTo, ...]
    lots: tuple[LotReached, ...]
    handed: tuple[Handed, ...]
    lines: tuple[LotLineView, ...]


@dataclass(frozen=True, slots=True)
class PileView:
    """One pile: what was put on, how hot it was for how long, what is missing by the rule, and what came off."""

    name: str
    way: str
    began: date
    kg: float
    put_on: tuple[tuple[str, float], ...]
    cn: float | None
    released_kg: float
    last_c: float | None
    hot_days: int
    days_asked: int
    turns: int
    turns_asked: int
    hot_since: date | None
    hot_until: date | None
    gaps: tuple[date, ...]
    broken: date | None
    met: bool
    lines: tuple[LotLineView, ...]
