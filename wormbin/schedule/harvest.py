"""The steps of a bin's way of harvesting, laid on the calendar backwards from the likely day, and curing after it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from types import MappingProxyType

from wormbin.advice.wording import loosened, weeks
from wormbin.materials.material import SOAKS_UP
from wormbin.measures import mass, volume
from wormbin.process.views import Window
from wormbin.records.bins import Bin, Method
from wormbin.records.farms import Settings
from wormbin.schedule.days import NEVER_OFF, back_on, is_away
from wormbin.science.constants import LIFT_KG, LOOSE_BEDDING_KG_M3, NEW_BED_M, REBAIT_DAYS
from wormbin.science.practice import CURING, cure_days

LEADS = "lead times: common practice, no source, with light sorting 1-3 h for a household bin (from memory)"


def source(own_cure_days: int | None = None) -> str:
    """Where the days of the steps come from."""
    return f"{LEADS}; curing: {CURING if own_cure_days is None else 'as your own lots took'}"


HARVEST_MINUTES: Mapping[Method, int] = MappingProxyType({
    Method.SORT: 120, Method.SIDEWAYS: 30, Method.UPWARD: 20, Method.BAIT: 20, Method.SCREEN: 60, Method.FLOW: 15,
})  # fmt: skip
"""To take off a household bin; light sorting 1-3 h (from memory), the rest our guess. Grows with the area."""
HOUSEHOLD_M2 = 0.25
STEP_MINUTES = 5
SIEVE_KG_MINUTE = 0.5
"""Cured castings through a screen by hand (common practice, no source)."""


def harvest_minutes(bin: Bin) -> int:
    """How long the harvest of a bin takes, until its keeper's own log tells."""
    return round(HARVEST_MINUTES[bin.method] * max(1.0, bin.footprint_m2 / HOUSEHOLD_M2))


@dataclass(frozen=True, slots=True)
class Step:
    """One dated step. ``code`` is stable; ``minutes`` is about how long it takes, ``kg`` the dry bedding it wants."""

    on: date
    code: str
    what: str
    minutes: int = STEP_MINUTES
    kg: float = 0.0


@dataclass(frozen=True, slots=True)
class Apart:
    """The tray or half that is harvested by itself: its name, and the one that is fed in its place.

    ``left`` is whether feed goes elsewhere already.
    """

    name: str
    next_name: str
    left: bool = False


_Lead = tuple[int, str, str]
"""Days before the harvest day, code, words."""

_STEPS: Mapping[Method, tuple[_Lead, ...]] = MappingProxyType({
    Method.SORT: (
        (10, "stop-feeding", "stop feeding, so that worms finish what is there and rise"),
        (1, "lid-off", "leave the lid off overnight under a light, to dry the top a little"),
        (0, "harvest", "sort by light: heap it in cones under a lamp, take the tops, wait, again"),
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


_APART: Mapping[Method, tuple[_Lead, ...]] = MappingProxyType({
    Method.SORT: (
        (10, "stop-feeding", "stop feeding the {part}, and feed the {next} with {bed} of soaked bedding in it"),
        (1, "lid-off", "leave the {part} open overnight under a light, to dry its top a little"),
        (0, "harvest", "sort the {part} by light: heap it in cones under a lamp, take the tops, wait, again"),
    ),
    Method.SIDEWAYS: (
        (42, "one-side", "feed the {next} only, with {bed} of soaked bedding in it; leave the {part} be"),
        (14, "look", "look whether most worms have left the {part}; if not, give it another two weeks"),
        (0, "harvest", "take the castings off the {part}"),
    ),
    Method.UPWARD: (
        (28, "new-tray", "feed the {next} only, with {bed} of soaked bedding in it; leave the {part} be"),
        (7, "look", "look whether most worms have left the {part}; if not, wait another week"),
        (0, "harvest", "lift off the {part} and empty it"),
    ),
    Method.BAIT: (
        (10, "stop-feeding", "stop feeding the {part}, so that bait draws; feed the {next}"),
        (4, "bait", "bury net bags of melon or soaked oats in the {part} as bait"),
        (2, "lift-bait", "lift the bags with the worms in them into the {next}, and set them again"),
        (0, "harvest", "lift the bags a last time and take the castings off the {part}"),
    ),
    Method.SCREEN: (
        (10, "stop-feeding", "stop feeding the {part}, so that little but castings is left; feed the {next}"),
        (3, "lid-off", "leave the {part} open until it crumbles: wet castings smear on a screen"),
        (0, "harvest", "screen the {part} at 3-6 mm (1/8-1/4 in); what stays on top goes into the {next}"),
    ),
    Method.FLOW: (
        (3, "look", "look at the base of the {part}: dark and crumbly, no worms falling with it"),
        (0, "harvest", "cut 5 cm from the base of the {part}"),
    ),
})  # fmt: skip
"""The same for one tray or half of a bin that has several."""
_MOVES = frozenset({Method.SIDEWAYS, Method.UPWARD})
"""Ways by which the worms move out of ripe castings by themselves: that begins when the castings are ripe."""
_STOPS = frozenset({Method.SORT, Method.BAIT, Method.SCREEN})
"""Ways before which the whole bin is fed no more."""


def lead_days(method: Method) -> int:
    """Days from the first step to the harvest, for this way of harvesting."""
    return max(days for days, _code, _what in _STEPS[method])


def harvest_day(
    bin: Bin,
    window: Window,
    on: date,
    settings: Settings,
    *,
    last_fed: date | None = None,
    apart: Apart | None = None,
    off: frozenset[int] = NEVER_OFF,
) -> date | None:
    """The one day to harvest on, from tomorrow (the new bed soaks overnight); None when no harvest is in sight.

    What is due on the last day before an absence is harvested on that day, not weeks later.

    Castings are ripe on the likely day, or since they fell due. Before sorting, baiting and screening feed stops so
    many days ahead, and who fed after that (``last_fed``) waits as many days from then. Worms that move out by
    themselves do so once the castings are ripe: from the day on which the tray or half was fed last, if feed has left
    it. It does not run away before a keeper who does not come to it, and is moved out of absences and off the weekdays
    on which nobody ever is there (``off``).
    """
    ripe = window.due_since or window.likely
    if ripe is None:
        return None
    lead = timedelta(days=lead_days(bin.method))
    if apart is not None and apart.left:
        day = max(ripe, last_fed + lead) if last_fed is not None else ripe
    elif apart is not None:
        day = max(ripe, last_fed or ripe) + lead
    elif bin.method in _MOVES:
        day = ripe + lead
    elif bin.method in _STOPS and last_fed is not None:
        day = max(ripe, min(last_fed, ripe) + lead)
    else:
        day = ripe
    tomorrow = on + timedelta(days=1)
    last = is_away(settings.away, tomorrow, bin.key) is not None and is_away(settings.away, on, bin.key) is None
    if last and window.due_since is not None and day <= on:
        return on
    day = max(day, tomorrow)
    if (there := back_on(settings.away, day, bin.key, off)) == day:
        return day
    if is_away(settings.away, day, bin.key) is None:
        return there
    # What is prepared in the last days cannot be prepared while nobody is there.
    last_steps = [before for before, code, _what in _STEPS[bin.method][1:] if code != "look"]
    return back_on(settings.away, there + timedelta(days=max(last_steps, default=0)), bin.key, off)


def rest(bin: Bin, window: Window, day: date | None) -> tuple[date, date] | None:
    """The first day on which a whole bin is fed no more for the harvest on ``day``, and the day from which it is again.

    None for a way of harvesting that goes on feeding. A keeper who lets the harvest go by feeds on, for worms are not
    starved for it.
    """
    ripe, lead = window.due_since or window.likely, timedelta(days=lead_days(bin.method))
    if day is None or ripe is None or bin.method not in _STOPS or bin.compartments > 1:
        return None
    first, again = day - lead, min(day, ripe + lead)
    return (first, again) if first < again else None


def harvest_steps(
    bin: Bin,
    window: Window,
    on: date,
    settings: Settings,
    *,
    castings_kg: float | None = None,
    last_fed: date | None = None,
    apart: Apart | None = None,
    own_cure_days: int | None = None,
    off: frozenset[int] = NEVER_OFF,
) -> tuple[Step, ...]:
    """The dated steps from ``on`` on: preparing, harvest, the new bed, curing; empty when no harvest is in sight.

    A step that should have come before today is put on today, but once the harvest is due (or feed has left the tray)
    it has had its day and is left out. ``castings_kg`` (wet) gives the harvest its amount; ``apart`` is the tray or
    half that it is about, ``own_cure_days`` how long the keeper's own lots took to cure.
    """
    day = harvest_day(bin, window, on, settings, last_fed=last_fed, apart=apart, off=off)
    if day is None:
        return ()
    bed_kg = (bin.surface_m2 if apart else bin.footprint_m2) * NEW_BED_M * LOOSE_BEDDING_KG_M3
    steps = [
        *_prepared(bin, window, on, day, settings, bed_kg, castings_kg, apart),
        *_new_bed(window, on, day, settings.units, bed_kg, apart),
        *_cured(day, cure_days(bin.site_temp_c, own_cure_days), castings_kg or 0.0, own=own_cure_days is not None),
    ]
    return tuple(sorted(steps, key=lambda step: step.on))


def _prepared(
    bin: Bin, window: Window, on: date, day: date, settings: Settings, bed_kg: float, castings_kg: float | None,
    apart: Apart | None,
) -> Iterator[Step]:  # fmt: skip
    """The steps of this way of harvesting, up to the harvest itself."""
    units, (part, following) = settings.units, (apart.name, apart.next_name) if apart else ("", "")
    for number, (before, code, what) in enumerate((_APART if apart else _STEPS)[bin.method]):
        due = day - timedelta(days=before)
        if apart is not None and apart.left and number == 0 and code != "look":
            continue
        if due < on and window.due_since is not None and not (apart and number == 0):
            continue
        due = max(on, due)
        if before and is_away(settings.away, due, bin.key) is not None:
            due = max(on, _before_away(settings, due, bin.key))
        words = what.format(bed=mass(bed_kg, units), part=part, next=following)
        beds = bed_kg if "{bed}" in what else 0.0
        if code == "harvest" and castings_kg:
            words += f": about {mass(castings_kg, units)}, {loosened(castings_kg, units)}"
            if castings_kg > LIFT_KG:
                words += f"; share the lifting over {mass(LIFT_KG, units)}"
        own = {"harvest": harvest_minutes(bin), "stop-feeding": STEP_MINUTES if apart else 0}
        yield Step(due, code, words, own.get(code, STEP_MINUTES), beds)


def _new_bed(window: Window, on: date, day: date, units: str, bed_kg: float, apart: Apart | None) -> Iterator[Step]:
    """The bed that is soaked on the eve, and what goes back on the day."""
    long, eve = "for some hours" if day == on else "overnight", max(on, day - timedelta(days=1))
    soaked = f"soak {mass(bed_kg, units)} of dry bedding in {volume(bed_kg * SOAKS_UP, units)} of water {long}"
    ready = "; if one is soaked already, harvest today" if window.due_since is not None and eve == on < day else ""
    yield Step(eve, "soak-bedding", f"{soaked} for the new bed{ready}", kg=bed_kg)
    back = "put the worms and the new bed back, and feed a quarter of the usual"
    if apart:
        back = f"put the worms that are left into the {apart.next_name}, and the new bed into the empty {apart.name}"
    yield Step(day, "return-worms", back)


def _cured(day: date, cure: int, kg: float, *, own: bool) -> Iterator[Step]:
    """What is done with the castings until they go into the bag."""
    if cure > REBAIT_DAYS:
        again = "bait the harvest with a melon slice for the worms that have hatched"
        yield Step(day + timedelta(days=REBAIT_DAYS), "re-bait", again)
    as_usual = ", as your own lots took," if own else ""
    cured = f"cured: {weeks(cure)}{as_usual} damp; screen, store with air, use or bag it"
    yield Step(day + timedelta(days=cure), "cured", cured, max(STEP_MINUTES, round(kg / SIEVE_KG_MINUTE)))


def _before_away(settings: Settings, day: date, bin_key: str) -> date:
    """The last day before the absence that ``day`` falls into."""
    while (absence := is_away(settings.away, day, bin_key)) is not None:
        day = absence.first - timedelta(days=1)
    return day
