"""The steps of a bin's way of harvesting, laid on the calendar backwards from the likely day, and curing after it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from types import MappingProxyType

from wormbin.measures import mass, volume
from wormbin.process.views import Window
from wormbin.records.bins import Bin, Method
from wormbin.records.farms import Settings
from wormbin.schedule.days import back_on, is_away

SOURCE = (
    "lead times: common practice, no source, with light sorting 1-3 h for a household bin (from memory); curing: "
    "cocoons hatch in 18-26 days at 25 C (from memory)"
)
CASTINGS_KG_M3 = 700.0
LOOSE_KG_M3 = 40.0
NEW_BED_M = 0.10
SOAK = 3.0
"""Kg of water to soak a kg of dry board or paper (University of Illinois Extension)."""
LIFT_KG = 20.0
CURE_DAYS = 28
CURE_COOL_DAYS = 42
COOL_C = 20.0


@dataclass(frozen=True, slots=True)
class Step:
    """One dated step. ``code`` is stable."""

    on: date
    code: str
    what: str


_Lead = tuple[int, str, str]
"""Days before the harvest day, code, words."""

_STEPS: Mapping[Method, tuple[_Lead, ...]] = MappingProxyType({
    Method.SORT: (
        (10, "stop-feeding", "stop feeding, so that worms finish what is there and rise"),
        (1, "lid-off", "leave the lid off overnight under a light, to dry the top a little"),
        (0, "harvest", "sort by light: heap it in cones under a lamp, take the tops, wait, again (1-3 hours)"),
    ),
    Method.SIDEWAYS: (
        (42, "one-side", "feed the fresh half only, with {bed} of soaked bedding; leave the old half be"),
        (14, "look", "look whether most worms have moved; if not, give the old half another two weeks"),
        (0, "harvest", "take off the old half"),
    ),
    Method.UPWARD: (
        (28, "new-tray", "set a fresh tray on top with {bed} of soaked bedding, and feed only there"),
        (7, "look", "look whether most worms have climbed; if not, wait another week"),
        (0, "harvest", "take off the lowest tray"),
    ),
    Method.BAIT: (
        (10, "stop-feeding", "stop feeding, so that bait draws"),
        (4, "bait", "bury net bags of melon or soaked oats as bait"),
        (2, "lift-bait", "lift the bags with the worms in them, and set them again"),
        (0, "harvest", "lift the bags a last time and take the castings"),
    ),
    Method.SCREEN: (
        (10, "stop-feeding", "stop feeding, so that little but castings is left"),
        (3, "lid-off", "leave the lid off until it crumbles: wet castings smear on a screen"),
        (0, "harvest", "screen at 3-6 mm (1/8-1/4 in), and return what stays on top with the worms"),
    ),
    Method.FLOW: (
        (3, "look", "look at the base: dark and crumbly, no worms falling with it"),
        (0, "harvest", "cut 5 cm from the base"),
    ),
})  # fmt: skip


def lead_days(method: Method) -> int:
    """Days from the first step to the harvest, for this way of harvesting."""
    return max(days for days, _code, _what in _STEPS[method])


def harvest_day(bin: Bin, window: Window, on: date, settings: Settings) -> date | None:
    """The day to harvest on: the likely one; once due, the day it fell due plus the lead of the steps; None if far.

    It does not run away before a keeper who does not come to it: then it is today. It is moved out of absences.
    """
    if window.due_since is not None:
        day = max(on, window.due_since + timedelta(days=lead_days(bin.method)))
    elif window.likely is not None:
        day = max(window.likely, on)
    else:
        return None
    return back_on(settings.away, day, bin.key)


def harvest_steps(
    bin: Bin,
    window: Window,
    on: date,
    settings: Settings,
    *,
    castings_kg: float | None = None,
) -> tuple[Step, ...]:
    """The dated steps from ``on`` on: preparing, harvest, the new bed, curing; empty when no harvest is in sight.

    A step that should have come before today is put on today, but once the harvest is due it has had its day and is
    left out. ``castings_kg`` (wet) gives the harvest its amount.
    """
    day = harvest_day(bin, window, on, settings)
    if day is None:
        return ()
    # The new bed is soaked the evening before, so what is due today is harvested tomorrow at the soonest.
    day = back_on(settings.away, max(day, on + timedelta(days=1)), bin.key)
    units = settings.units
    bed_kg = bin.footprint_m2 * NEW_BED_M * LOOSE_KG_M3
    bed = mass(bed_kg, units)
    steps = []
    for before, code, what in _STEPS[bin.method]:
        due = day - timedelta(days=before)
        if due < on and window.due_since is not None:
            continue
        due = max(on, due)
        if before and is_away(settings.away, due, bin.key) is not None:
            due = max(on, _before_away(settings, due, bin.key))
        words = what.format(bed=bed)
        if code == "harvest" and castings_kg:
            litres = castings_kg / CASTINGS_KG_M3 * 1000
            words += f": about {mass(castings_kg, units)}, {volume(litres, units)}"
            if castings_kg > LIFT_KG:
                words += f"; share the lifting over {mass(LIFT_KG, units)}"
        steps.append(Step(due, code, words))
    soaked = f"soak {bed} of dry bedding in {volume(bed_kg * SOAK, units)} of water overnight for the new bed"
    eve = max(on, day - timedelta(days=1))
    ready = "; if one is soaked already, harvest today" if window.due_since is not None and eve == on else ""
    steps.append(Step(eve, "soak-bedding", soaked + ready))
    steps.append(Step(day, "return-worms", "put the worms and the new bed back, and feed a quarter of the usual"))
    cure = CURE_DAYS if bin.site_temp_c >= COOL_C else CURE_COOL_DAYS
    steps.append(
        Step(day + timedelta(days=21), "re-bait", "bait the harvest with a melon slice for the worms that have hatched")
    )
    steps.append(
        Step(
            day + timedelta(days=cure), "cured", f"cured: {cure // 7} weeks damp; screen, store with air, use or bag it"
        )
    )
    return tuple(sorted(steps, key=lambda step: step.on))


def _before_away(settings: Settings, day: date, bin_key: str) -> date:
    """The last day before the absence that ``day`` falls into."""
    while (absence := is_away(settings.away, day, bin_key)) is not None:
        day = absence.first - timedelta(days=1)
    return day
