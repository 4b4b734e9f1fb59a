"""A household bin and its log, made up for the tests of this room."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import numpy as np

from wormbin.materials.material import Material, Pace, Role
from wormbin.process import flows
from wormbin.process.flows import Box
from wormbin.process.parameters import DEFAULT, Parameters
from wormbin.process.pools import Array
from wormbin.records.bins import Bin
from wormbin.records.entries import Bedding, Check, Entry, Feeding, Portion, Squeeze, Stocking, Watering, What

SCRAPS = Material("scraps", "Scraps", Role.FEED, Pace.QUICK, 0.025, 0.46, 0.08, 0.86)
COFFEE = Material("coffee", "Coffee grounds", Role.FEED, Pace.STEADY, 0.022, 0.50, 0.02, 0.62)
STALKS = Material("stalks", "Stalks", Role.FEED, Pace.SLOW, 0.01, 0.47, 0.06, 0.80)
MANURE = Material("manure", "Cow manure", Role.FEED, Pace.AGED, 0.022, 0.42, 0.20, 0.80)
BOARD = Material("board", "Shredded board", Role.BEDDING, Pace.FIBRE, 0.001, 0.46, 0.05, 0.08)
TABLE = {each.key: each for each in (SCRAPS, COFFEE, STALKS, MANURE, BOARD)}
START = date(2026, 1, 5)


def household(**changes: object) -> Bin:
    """A 60 by 40 cm box, 30 cm deep, at 22 degC."""
    plain = Bin("kitchen", "Kitchen", 0.6, 0.4, 0.3, START, drainage=True, site_temp_c=22.0)
    return replace(plain, **changes)  # type: ignore[arg-type]


def own(*, rate: float = 1.0, drying: float = 1.0, yields: float = 1.0) -> Array:
    """What is a bin's own against the book; all else goes as the book says."""
    logs = np.zeros(flows.OWN)
    logs[flows.RATE], logs[flows.DRYING], logs[flows.YIELDS] = np.log([rate, drying, yields])
    return logs


def settled(box: Box, site_c: float, its: Array | None = None, p: Parameters = DEFAULT) -> Array:
    """What a bin's own factors and its box come to at a site; as the book says without any."""
    return flows.at_site(flows.settled(own() if its is None else its, box, p), box, site_c)


def moment_of(day: float, hour: float = 20.0) -> datetime:
    """A moment on a day counted from the start."""
    return datetime(START.year, START.month, START.day, tzinfo=UTC) + timedelta(days=day, hours=hour)


def entry(number: int | str, day: float, what: What, hour: float = 18.0, compartment: int = 0) -> Entry:
    """One line of the log."""
    return Entry(f"e{number}", "kitchen", moment_of(day, hour), what, compartment=compartment)


def started(worms_kg: float = 0.45, board_kg: float = 1.2, water_kg: float = 4.2) -> list[Entry]:
    """The first day: bedding, water, worms."""
    return [
        entry("a", 0, Bedding((Portion("board", board_kg),)), 9),
        entry("b", 0, Watering(water_kg), 9),
        entry("c", 0, Stocking(worms_kg), 10),
    ]


def fed(first: int, last: int, kg: float = 0.8) -> list[Entry]:
    """Scraps with a little coffee twice a week, from day ``first`` to before ``last``."""
    return [
        entry(f"f{day}", day, Feeding((Portion("scraps", 0.85 * kg), Portion("coffee", 0.15 * kg))))
        for day in range(first, last)
        if day % 7 in (1, 4)
    ]


def log_of(days: int, kg: float = 0.8, left: float | None = 0.7) -> list[Entry]:
    """A household bin fed twice a week and looked at twice a week."""
    checks = [
        entry(f"k{day}", day, Check(squeeze=Squeeze.SPONGE, left=left, temp_c=22.0), 17)
        for day in range(3, days + 1)
        if day % 7 in (3, 6)
    ]
    return [*started(), *fed(1, days + 1, kg), *checks]
