"""The harvest that comes next, from one place for whoever tells of it: which tray, when, how much, which steps."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from wormbin.advice import wording
from wormbin.advice.limits import HARVEST_NEAR_DAYS
from wormbin.advice.rules.harvest import wet_kg
from wormbin.advice.trays import Tray, first_due, following, last_fed, last_fed_on, tray_name, trays
from wormbin.figures import Band
from wormbin.measures import percent, told
from wormbin.measures.dates import on_day
from wormbin.process.views import Ahead, Day, Window
from wormbin.records.habits import last_feeding
from wormbin.schedule.days import is_away, weekend_off
from wormbin.schedule.harvest import Apart, Step, harvest_day, harvest_steps, rest

if TYPE_CHECKING:
    from wormbin.farm.bins.scene import Scene


@dataclass(frozen=True, slots=True)
class Coming:
    """One harvest to come. ``window`` as it is told (nothing lies in the past), ``day`` the day to take it off.

    ``part`` is the tray or half that it is about, "" in a plain bin. ``kg`` are the wet castings to be had then (today,
    where no day is in sight). ``rest`` are the days from which the whole bin is not fed for its sake, and is fed again.
    """

    part: str
    window: Window
    day: date | None
    kg: Band
    words: str
    steps: tuple[Step, ...]
    rest: tuple[date, date] | None


def next_harvest(scene: Scene, ahead: Ahead | None = None) -> Coming:
    """The harvest that comes first, under the plan or under another look-ahead."""
    found = scene.case if ahead is None else replace(scene.case, ahead=ahead)
    return _coming(scene, found.ahead, first_due(trays(found)))


def harvests(scene: Scene) -> Iterator[Coming]:
    """The next harvest of each tray or half; of a plain bin the one that there is."""
    for tray in scene.trays or (None,):
        yield _coming(scene, scene.ahead, tray)


def told_window(window: Window, on: date) -> Window:
    """The window with no day before the one looked at, and none before the one that it follows."""
    earliest = max(window.earliest, on) if window.earliest is not None else None
    likely = max(window.likely, earliest or on) if window.likely is not None else None
    latest = max(window.latest, likely or on) if window.latest is not None else None
    if window.due_since is not None:
        earliest, likely, latest = on, on, on
    return replace(window, earliest=earliest, likely=likely, latest=latest)


def _coming(scene: Scene, ahead: Ahead, tray: Tray | None) -> Coming:
    bin_, on, settings, case = scene.bin, scene.on, scene.settings, scene.case
    window, apart = ahead.harvest, None
    if tray is not None:
        window = tray.harvest
        after = tray_name(case, following(case, tray.number))
        apart = Apart(tray.name, after, left=last_fed(case) != tray.number)
        fed = last_fed_on(case, tray.number)
    else:
        last = last_feeding(scene.food_log, on)
        fed = last.when.date() if last is not None else None
    window = replace(window, likely=told_window(window, on).likely) if window.due_since is None else window
    off = weekend_off(scene.entries, on, scene.settings)
    day = harvest_day(bin_, window, on, settings, last_fed=fed, apart=apart, off=off)
    kg = _kg(scene, ahead, tray, window)
    steps = harvest_steps(
        bin_, window, on, settings, castings_kg=kg.p50 or None, last_fed=fed, apart=apart,
        own_cure_days=scene.own_cure_days, off=off,
    )  # fmt: skip
    return Coming(
        part=apart.name if apart else "",
        window=told_window(window, on),
        day=day,
        kg=kg,
        words=_words(scene, ahead, window, day, apart),
        steps=tuple(replace(step, what=told(step.what, settings.units)) for step in _minding(scene, steps, day)),
        rest=rest(bin_, window, day),
    )


def _minding(scene: Scene, steps: Sequence[Step], day: date | None) -> Iterator[Step]:
    """The steps; where the bin is compared, the first one and the harvest say so."""
    near = bool(steps) and (steps[0].on - scene.on).days <= HARVEST_NEAR_DAYS
    for number, step in enumerate(steps):
        said = scene.compared_words(day) if near and (number == 0 or step.code == "harvest") else ""
        yield replace(step, what=f"{step.what} ({said})") if said else step


def _kg(scene: Scene, ahead: Ahead, tray: Tray | None, window: Window) -> Band:
    """Wet castings to be had on the likely day, kg; today's where it is due, or no day is in sight."""
    when, days = window.likely, ahead.days
    day: Day = scene.today
    if window.due_since is None and when is not None and days:
        day = days[min(max(0, (when - scene.on).days - 1), len(days) - 1)]
    of = day.parts[tray.number - 1] if tray is not None and len(day.parts) >= tray.number else day
    return wet_kg(of.castings_dry_kg, of.moisture.p50)


def _words(scene: Scene, ahead: Ahead, window: Window, day: date | None, apart: Apart | None) -> str:
    """ "about 14 March (2 March to 1 April)"; which tray; the day to take them off where it is another; why none is."""
    on, said = scene.on, wording.window_words(window, scene.on, scene.ahead_days)
    if not apart and window.earliest is None and window.due_since is None and ahead.days:
        share = ahead.days[-1].castings_share.p50
        return f"{said}: {percent(share)} castings by then, {percent(scene.bin.harvest_share)} needed"
    where = f", in the {apart.name}" if apart else ""
    if day is None or (window.due_since is None and day == window.likely):
        return said + where
    take = f"take them off {on_day(day, on)}"
    away = window.likely is not None and is_away(scene.settings.away, max(window.likely, on), scene.bin.key)
    why = "; nobody is there then" if window.due_since is None and away else ""
    return f"{said}{where}{why}; {take}"
