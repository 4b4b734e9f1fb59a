"""Who keeps a plain made-up bin, where and how, and the one thing that may go wrong in it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from random import Random

from tests.worlds.plain_bin import PlainBed

SIZES = ((40, 30, 30), (60, 40, 35), (50, 36, 30), (80, 60, 40), (55, 45, 35), (100, 50, 40))
ROOMS_C = (20.0, 17.0, 23.0, 18.5, 21.5, 19.0)
FEED_DAYS = ((0, 3), (2, 6), (1, 4, 6), (0, 3), (5,), (1, 5))
AIMS = (0.80, 0.77, 0.81, 0.78, 0.81, 0.80)
MENUS = (
    ("vegetable-scraps", "coffee-grounds", "banana-peel"),
    ("vegetable-scraps", "carrots", "apple-cores", "coffee-grounds"),
    ("melon-rind", "leaf-lettuce", "vegetable-scraps"),
    ("vegetable-scraps", "coffee-grounds"),
    ("carrots", "banana-peel", "vegetable-scraps", "leaf-lettuce"),
    ("vegetable-scraps", "apple-cores", "banana-peel", "coffee-grounds"),
)
MISHAP_DAY = 45


class Mishap(StrEnum):
    """What goes wrong once in a bin that is otherwise well kept."""

    OVERFED = "overfed"
    WET = "too wet"
    DRY = "too dry"
    HOT = "hot"
    COLD = "cold"
    ACID = "acid"


LASTS = {Mishap.OVERFED: 14, Mishap.WET: 3, Mishap.DRY: 24, Mishap.HOT: 4, Mishap.COLD: 6, Mishap.ACID: 16}
"""Days that the mishap itself goes on."""
WATCHED = {each: days + (8 if each in (Mishap.OVERFED, Mishap.ACID, Mishap.WET) else 2) for each, days in LASTS.items()}
"""Days from the mishap on that the keeper goes on reading."""


def is_odd(mishap: Mishap, cells: Mapping[str, str], fed_days_ago: int) -> bool:
    """Whether a check's cells hold a reading past the limit of this trouble.

    Wet and dry by the squeeze's own ends or a meter beyond 60-88 %, warmth by 5-30 C (Earthworm Ecology 2004), pH under
    5.5, and half of the last feeding left after two days or more (common practice: never feed while a third is left).
    """
    match mishap:
        case Mishap.OVERFED:
            return float(cells.get("left_pct", "0")) >= 50 and fed_days_ago >= 2
        case Mishap.WET:
            return cells.get("squeeze") == "dripping" or float(cells.get("moisture_pct", "0")) >= 88
        case Mishap.DRY:
            return cells.get("squeeze") == "dry" or float(cells.get("moisture_pct", "99")) <= 60
        case Mishap.HOT:
            return float(cells.get("temp_c", "0")) > 30
        case Mishap.COLD:
            return float(cells.get("temp_c", "99")) < 5
        case Mishap.ACID:
            return float(cells.get("ph", "7")) <= 5.5


IS_SO: Mapping[Mishap, Callable[[PlainBed], bool]] = {
    Mishap.OVERFED: lambda bed: bed.waiting_days > 7.0,
    Mishap.WET: lambda bed: bed.moisture > 0.87,
    Mishap.DRY: lambda bed: bed.moisture < 0.63,
    Mishap.HOT: lambda bed: bed.temp_c > 30.0,
    Mishap.COLD: lambda bed: bed.temp_c < 5.0,
    Mishap.ACID: lambda bed: bed.ph < 5.5,
}
"""When the trouble is truly there."""


@dataclass(frozen=True, slots=True)
class PlainStory:
    """One bin, its place and its keeper: cm, m2, degC, fractions."""

    key: str
    size_cm: tuple[int, int, int]
    drains: bool
    room_c: float
    feed_days: tuple[int, ...]
    menu: tuple[str, ...]
    aim: float
    takes: float
    dries: float
    worms_kg_m2: float
    holds_kg_m2: float
    hand: float
    fills: float
    meter: float
    thermometer: float
    strip: float
    left_step: int
    first: date
    days: int
    mishap: Mishap | None = None
    written: bool = True
    """Whether what made the mishap is in the log: water poured in, or fruit told as fruit."""

    @property
    def area_m2(self) -> float:
        """Surface."""
        return self.size_cm[0] * self.size_cm[1] / 10_000.0


def plain_story(number_: int, seed: int, days: int, mishap: Mishap | None = None) -> PlainStory:
    """The story of the ``number_``-th bin of a seed."""
    rng = Random(f"plain/{seed}/{number_}/{mishap}")
    kind = (number_ + (0 if mishap is None else 1 + list(Mishap).index(mishap))) % len(SIZES)
    dries = rng.uniform(0.4 if mishap is Mishap.DRY else 0.2, 0.5)
    fills = 0.7 if mishap else rng.uniform(0.5, 0.75)
    warmth = mishap in (Mishap.HOT, Mishap.COLD)
    return PlainStory(
        key=f"plain-{number_}", size_cm=SIZES[kind], drains=mishap is not Mishap.WET and rng.random() < 0.6,
        room_c=ROOMS_C[kind], feed_days=FEED_DAYS[kind], menu=MENUS[kind], aim=AIMS[kind] + rng.uniform(-0.01, 0.01),
        takes=rng.uniform(0.28, 0.6), dries=dries, worms_kg_m2=rng.uniform(1.4, 2.2), holds_kg_m2=rng.uniform(2.6, 3.8),
        hand=rng.gauss(0.0, 0.012), fills=fills, meter=rng.choice((0.0, 0.15, 0.3)),
        thermometer=0.9 if warmth else rng.choice((0.1, 0.5, 0.9)), strip=0.9 if mishap is Mishap.ACID else 0.06,
        left_step=rng.choice((5, 10, 10, 25)), first=date(2025, 3, 3) + timedelta(days=rng.randrange(120)), days=days,
        mishap=mishap, written=number_ % 2 == 0,
    )  # fmt: skip
