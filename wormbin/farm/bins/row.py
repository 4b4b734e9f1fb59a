"""One bin as a row of the round: how it is, what to do now and how much, what stands next."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from wormbin.advice import wording
from wormbin.advice.finding import Action, Doing, shortest
from wormbin.advice.judgement import level, to_do
from wormbin.farm.bins.gauges import LEAST_SHOWN_KG, beside_words, moisture_basis, range_words
from wormbin.farm.bins.harvest import Coming, harvests, told_window
from wormbin.farm.bins.scene import Scene
from wormbin.farm.views.bin import CompartmentView
from wormbin.farm.views.round import ComingRow, HarvestView, Load, RoundRow, StepView
from wormbin.figures import Basis, Level
from wormbin.measures import mass, percent, told
from wormbin.measures.dates import day_words, on_day
from wormbin.records.entries import Check, Feeding
from wormbin.schedule.days import is_away
from wormbin.schedule.harvest import source
from wormbin.schedule.pace import minutes as together

TREND_DAYS = 30
BEHIND = frozenset({"wet-ahead", "reading-wanted", "reading-questioned", "dense"})
"""Findings of a steady bin that stand behind the word that all is well."""
AWAY_AHEAD = "away-ahead"
"""The finding that an absence is near."""
GOOD = frozenset({"new-bin", "harvest-near", "full", AWAY_AHEAD})
"""Findings of a steady bin that all is well with."""
ROUND_STEPS = 5
"""Lines of what to do for one bin of the round; its own page has them all."""


def row(scene: Scene) -> RoundRow:
    """The row of one bin."""
    today, units, steps = scene.today, scene.settings.units, steps_now(scene)
    shown = shortest(steps, ROUND_STEPS)
    walk, jobs = together(steps)
    _basis, age = moisture_basis(scene)
    return RoundRow(
        bin=scene.bin.key,
        name=scene.bin.name,
        do=tuple(_dated(scene, action) for action in shown),
        doing=tuple(action.kind for action in shown),
        feed_waiting_kg=today.feed_waiting_kg,
        feed_waiting_days=scene.waiting_days,
        feed_waiting_words=waiting_words(scene),
        moisture=today.moisture,
        # What stands in the row is the estimate, however fresh the reading that it took in.
        moisture_basis=Basis.WORKED_OUT,
        moisture_age_days=age,
        worms_kg=today.worms_kg,
        worms_words=mass(today.worms_kg.p50, units),
        trend_waiting_kg=tuple(day.feed_waiting_kg.p50 for day in scene.past.days[-TREND_DAYS:]),
        compartments=scene.bin.compartments,
        minutes=walk,
        jobs_minutes=jobs,
        load=_load(scene, steps),
        feed_into=scene.fed_tray_words,
        coming=coming_rows(scene),
        **of_today(scene),
    )


def of_today(scene: Scene) -> dict[str, Any]:
    """What a row and a page tell alike: the fields of ``OfToday``."""
    done = {type(entry.what) for entry in scene.entries if entry.when.date() == scene.on}
    return {
        "level": level(scene.findings), "headline": headline(scene), "findings": scene.findings, "also": also(scene),
        "mind": mind(scene), "harvest": harvest_view(scene), "feed_up_to_kg": scene.ration.kg,
        "feed_up_to_words": feed_words(scene), "next_feeding": scene.next_feeding, "next_check": scene.next_check,
        "checked_today": Check in done, "fed_today": Feeding in done,
    }  # fmt: skip


def coming_rows(scene: Scene) -> tuple[ComingRow, ...]:
    """The harvests to come, of each tray or half where there are several."""
    found = []
    for each in harvests(scene):
        window = told_window(each.window, scene.on)
        found.append(
            ComingRow(each.part, each.kg, window.earliest, window.likely, window.latest, window.due_since, each.day)
        )
    return tuple(found)


def feed_words(scene: Scene) -> str:
    """ "450 g", or "nothing"."""
    return mass(scene.ration.kg, scene.settings.units) if scene.ration.kg > 0 else "nothing"


def waiting_words(scene: Scene) -> str:
    """ "1.4 kg, 9 days' worth", or "nothing"."""
    kg = scene.today.feed_waiting_kg.p50
    if kg < LEAST_SHOWN_KG:
        return "nothing"
    return f"{mass(kg, scene.settings.units)}, {wording.worth(scene.waiting_days.p50)}"


def headline(scene: Scene) -> str:
    """The worst that is the matter; in a steady bin first that all is well, whatever might be done besides."""
    found = scene.findings
    if level(found) is not Level.STEADY:
        return found[0].what
    told = next((each for each in found if each.code not in BEHIND), None)
    if told is None:
        return quiet_words(scene)
    return f"all well: {told.what}" if told.code in GOOD else told.what


def quiet_words(scene: Scene) -> str:
    """What to say of a bin with nothing the matter."""
    today = scene.today
    if today.worms_kg.p90 <= 0:
        return "no worms are in yet"
    aside = beside_words(scene)
    if aside:
        return f"nothing pressing; {aside}"
    waits = scene.waiting_days.p50
    feed = "almost no food" if waits < wording.LEAST_DAYS else f"{wording.worth(waits)} of food"
    return f"all well: {percent(today.moisture.p50)} moist, {feed}"


def do_now(scene: Scene) -> tuple[str, ...]:
    """What to do now in words, one line a kind, the most important first."""
    return tuple(_dated(scene, action) for action in steps_now(scene))


def steps_now(scene: Scene) -> tuple[Action, ...]:
    """What to do now, one step a kind, the most important first; with the feeding and the check when they are due.

    What no alarm asks for is no part of it: see ``also``. Of a bin that nobody is at only what would save it; and
    whoever comes back to one looks before all else.
    """
    away = gone(scene)
    alarms = tuple(each for each in scene.findings if each.level is not Level.STEADY)
    first = _back(scene)
    left_out = {Doing.CAUTION, *((Doing.FEED, Doing.MEASURE, Doing.HARVEST) if away else (each.kind for each in first))}
    # With an alarm the second look that a reading asks for is heard beside it.
    heard = scene.findings if alarms else ()
    steps = tuple(each for each in to_do(heard, *(() if away else _due(scene))) if each.kind not in left_out)
    return (*first, *steps)


def _load(scene: Scene, steps: tuple[Action, ...]) -> Load:
    """What is carried to it today: its meal with the bedding along, and the doses that its steps ask for."""
    doses = {kind: sum(each.strength for each in steps if each.kind is kind) for kind in (Doing.BEDDING, Doing.WATER)}
    feed = scene.ration.kg if scene.next_feeding == scene.on else 0.0
    return Load(feed, scene.bedding_with(feed)[0] + doses[Doing.BEDDING], doses[Doing.WATER])


def gone(scene: Scene) -> bool:
    """Whether nobody is there today, who could be asked to feed or to look."""
    return is_away(scene.settings.away, scene.on, scene.bin.key) is not None


def _due(scene: Scene) -> Iterator[Action]:
    """What falls due today, whatever is the matter."""
    if scene.rests_until is not None and scene.on in scene.feedings_left_out:
        until = day_words(scene.rests_until, scene.on)
        yield Action(Doing.FEED, f"feed no more before the harvest, which is planned for {until}")
    if scene.next_feeding == scene.on and scene.ration.kg > 0:
        until = day_words(scene.ration.until, scene.on)
        words = f"feed up to {feed_words(scene)}{scene.in_tray}{scene.with_bedding(scene.ration.kg)}"
        yield Action(Doing.FEED, f"{words}, to last until {until}", scene.ration.kg)
    told = any("write a check" in action.text for each in scene.findings for action in each.actions)
    if scene.next_check == scene.on and not told:
        yield Action(Doing.MEASURE, "look in and write a check")
    if _leaves_tomorrow(scene):
        yield from (action for each in scene.findings if each.code == AWAY_AHEAD for action in each.actions)


def _back(scene: Scene) -> tuple[Action, ...]:
    """The look that comes first after a long absence."""
    return next((each.actions for each in scene.findings if each.code == "back"), ())


def _leaves_tomorrow(scene: Scene) -> bool:
    return scene.eve == scene.on


def _dated(scene: Scene, action: Action) -> str:
    """A step's words; a harvest's with the one day that it is planned for."""
    day = scene.harvest.day
    if action.kind is Doing.NEW_BED and day is not None and (day - scene.on).days > 1:
        return f"the evening before, {action.text}"
    if action.kind is not Doing.HARVEST or not action.text.startswith("take ") or day is None or day == scene.on:
        return action.text
    what, colon, how = action.text.partition(": ")
    return f"{what} {on_day(day, scene.on)}{colon}{how}"


def also(scene: Scene) -> tuple[str, ...]:
    """What may be done besides in a bin that is steady, calmly: the steps of the first of its findings."""
    found = scene.findings
    if not found or level(found) is not Level.STEADY or gone(scene):
        return ()
    said = {AWAY_AHEAD if _leaves_tomorrow(scene) else "", "back"}
    found = tuple(each for each in found if each.code not in said)
    strewn = scene.next_feeding == scene.on and scene.bedding_with(scene.ration.kg)[0] > 0
    told = next((each for each in found if not (strewn and each.code == "wet-ahead")), None)
    return told.do if told is not None else ()


def mind(scene: Scene) -> str:
    """What can hurt somebody at what is to be done, in one line; empty for nothing."""
    return "; ".join(each.text for each in to_do(scene.findings) if each.kind is Doing.CAUTION)


def harvest_view(scene: Scene) -> HarvestView:
    """The next harvest in words, with the steps of the bin's method."""
    return harvest_of(scene, scene.harvest)


def harvest_of(scene: Scene, coming: Coming) -> HarvestView:
    """One harvest to come, as it is shown everywhere."""
    window = coming.window
    return HarvestView(
        earliest=window.earliest,
        likely=window.likely,
        latest=window.latest,
        due_since=window.due_since,
        because=window.because,
        method=scene.bin.method.value,
        words=coming.words,
        steps=tuple(StepView(step.on, step.what, step.code, step.minutes, step.kg) for step in coming.steps),
        on=coming.day,
        part=coming.part,
        source=told(source(scene.own_cure_days), scene.settings.units) if coming.steps else "",
    )


def compartments(scene: Scene) -> tuple[CompartmentView, ...]:
    """Each tray or half with its figures and its own harvest window; empty for a plain bin."""
    units = scene.settings.units
    found = []
    for tray in scene.trays:
        window = told_window(tray.harvest, scene.on)
        found.append(
            CompartmentView(
                number=tray.number,
                name=tray.name,
                fed=tray.number == scene.tray_to_feed,
                earliest=window.earliest,
                likely=window.likely,
                latest=window.latest,
                due_since=window.due_since,
                words=(
                    f"moisture {range_words(tray.part.moisture, percent)}, "
                    f"waiting {range_words(tray.part.feed_waiting_kg, lambda kg: mass(kg, units))}, "
                    f"worms {range_words(tray.part.worms_kg, lambda kg: mass(kg, units))}, "
                    f"castings {range_words(tray.part.castings_share, percent)} of the dry matter"
                ),
                harvest_words=wording.window_words(tray.harvest, scene.on, scene.ahead_days),
            )
        )
    return tuple(found)
