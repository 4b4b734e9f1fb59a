"""Another future beside the planned one: something changed, both played out, and the difference in words."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from wormbin.advice.rules.harvest import to_take_kg, wet_kg
from wormbin.advice.trays import first_due
from wormbin.drawing.series import Point
from wormbin.farm.bins.gauges import range_words
from wormbin.farm.bins.harvest import next_harvest
from wormbin.farm.bins.row import harvest_of, harvest_view
from wormbin.farm.bins.scene import Scene
from wormbin.farm.views.proposals import BesideRow, Future, WhatIfView
from wormbin.farm.views.round import HarvestView
from wormbin.farm.words.spoken import Spoken
from wormbin.figures import Band
from wormbin.measures import Dimension, counted, mass, parse_amount, parse_percent, percent, shown, temperature
from wormbin.measures.dates import day_words
from wormbin.problems import Problem, RefusedError
from wormbin.process.outlook import look_ahead
from wormbin.process.views import Ahead, Day, Planned
from wormbin.records.entries import Bedding, Entry, Harvest, Stocking, What

LONGEST_SPELL = 60
PINCH = 0.0005
"""Under half a gram (or a twentieth of a per cent) a figure is none to a keeper."""
MILESTONES = (0, 7, 14, 30, 60, 90, 120)
"""Days from today at which the two futures are laid side by side."""


@dataclass(frozen=True, slots=True)
class Change:
    """What is changed: one of these, or several at once.

    ``skip`` leaves out the next feedings; ``double`` doubles the next that are left. Bedding, worms taken out and a
    harvest are done today, in this order.
    """

    skip: int = 0
    double: int = 0
    bedding: str = ""
    spell: str = ""
    split: str = ""
    harvest: bool = False


def what_if(scene: Scene, change: Change) -> WhatIfView:
    """Both futures. Raises RefusedError for a change that is not clear or cannot be."""
    return _beside(scene, *_instead(scene, change))


def written(scene: Scene, entries: Sequence[Entry], title: str) -> WhatIfView:
    """Both futures: as planned, and with these lines, which are not written yet."""
    other = scene.with_written(entries)
    return _beside(scene, title, look_ahead(other.past.replay, scene.plan, scene.ahead_days), other)


def _beside(scene: Scene, title: str, ahead: Ahead, other: Scene) -> WhatIfView:
    as_planned = _future("as planned", scene, scene.ahead)
    instead = replace(_future(title, other, ahead), harvest=_harvest(other, ahead))
    rows = _rows(as_planned, instead, scene)
    return WhatIfView(scene.bin.key, scene.on, as_planned, instead, tuple(_words(scene, ahead, title)), rows)


def _instead(scene: Scene, change: Change) -> tuple[str, Ahead, Scene]:
    plan, titles = _fed_otherwise(scene.plan, change)
    spell: dict[date, float] = {}
    if change.spell.strip():
        celsius, length = read_spell(change.spell)
        spell = {scene.on + timedelta(days=day): celsius for day in range(1, length + 1)}
        titles.append(f"{counted(length, 'day')} at {temperature(celsius, scene.settings.units)}")
    done = list(_done_now(scene, change))
    titles += [words for _what, words in done]
    if not titles:
        allowed = "a change, or several: --skip, --double, --bedding, --spell, --split, --harvest"
        raise RefusedError(Problem("what-if", "", allowed, "--skip 1"))
    other = scene
    if done:
        tray = first_due(scene.trays)
        lines = [
            Entry(
                f"whatif{place:04}", scene.bin.key, scene.now, what,
                compartment=tray.number if tray is not None and isinstance(what, Harvest) else 0,
            )
            for place, (what, _words) in enumerate(done)
        ]  # fmt: skip
        other = scene.with_written(lines)
    return ", ".join(titles), look_ahead(other.past.replay, plan, scene.ahead_days, spell=spell), other


def _fed_otherwise(plan: Sequence[Planned], change: Change) -> tuple[tuple[Planned, ...], list[str]]:
    """The plan with its next feedings left out, and the next of those that are left doubled; and the words for it."""
    for name, number in (("skip", change.skip), ("double", change.double)):
        if number < 0:
            raise RefusedError(Problem(name, str(number), "one feeding or more", "1"))
    skip = min(change.skip, len(plan))
    factors = [0.0] * skip + [2.0] * min(change.double, len(plan) - skip)
    titles = [
        f"{words} the next {counted(number, 'feeding') if number > 1 else 'feeding'}"
        for words, number in (("leave out", change.skip), ("double", change.double))
        if number
    ]
    if change.skip and change.double:
        titles[1] += " after that"
    return tuple(_times(each, factors[n]) if n < len(factors) else each for n, each in enumerate(plan)), titles


def _times(each: Planned, factor: float) -> Planned:
    return replace(
        each, feed_kg=each.feed_kg * factor, bedding_kg=each.bedding_kg * factor, water_kg=each.water_kg * factor
    )


def _done_now(scene: Scene, change: Change) -> Iterator[tuple[What, str]]:
    units, today = scene.settings.units, scene.today
    if change.bedding.strip():
        portions = Spoken(scene.table, scene.settings.measures).portions([change.bedding], "bedding")
        yield Bedding(portions), f"add {change.bedding.strip()} today"
    if change.split.strip():
        share = parse_percent(change.split, "split", low=0.01, high=0.95)
        kg = today.worms_kg.p50 * share
        if kg <= 0:
            raise RefusedError(Problem("split", shown(change.split), "a bin with worms in it"))
        yield Stocking(-kg), f"take {percent(share)} of the worms out today ({mass(kg, units)})"
    if change.harvest:
        tray = first_due(scene.trays)
        moisture = tray.part.moisture.p50 if tray is not None else today.moisture.p50
        wet = (wet_kg(tray.part.castings_dry_kg, moisture) if tray is not None else to_take_kg(scene.case)).p50
        if wet <= 0:
            raise RefusedError(Problem("harvest", "", "a bin with castings in it"))
        what = f"the {tray.name} " if tray is not None else ""
        yield Harvest(wet, moisture), f"harvest {what}today ({mass(wet, units)})"


def read_spell(words: str) -> tuple[float, int]:
    """ "30C:5d" as degC and days."""
    warm, colon, length = words.partition(":")
    if not colon:
        raise RefusedError(Problem("spell", shown(words), "a temperature, a colon, and how many days", "30C:5d"))
    celsius = parse_amount(warm, "spell", expect=Dimension.TEMPERATURE).celsius()
    days = round(parse_amount(length, "spell", expect=Dimension.TIME).days())
    if not (1 <= days <= LONGEST_SPELL and -20 <= celsius <= 45):
        raise RefusedError(
            Problem("spell", shown(words), f"1 to {LONGEST_SPELL} days at -20 to 45 degrees C", "30C:5d")
        )
    return celsius, days


def _future(title: str, scene: Scene, ahead: Ahead) -> Future:
    days = (scene.today, *ahead.days)

    def dated(of: Callable[[Day], Band]) -> tuple[Point, ...]:
        return tuple(Point(day.on, of(day)) for day in days)

    return Future(
        title=title,
        moisture=dated(lambda day: day.moisture),
        feed_waiting_kg=dated(lambda day: day.feed_waiting_kg),
        worms_kg=dated(lambda day: day.worms_kg),
        castings_dry_kg=dated(lambda day: day.castings_dry_kg),
        harvest=harvest_view(scene),
    )


def _rows(planned: Future, other: Future, scene: Scene) -> tuple[BesideRow, ...]:
    """The four figures of both futures at a few days, each with its band, in words."""
    units = scene.settings.units

    def kg(value: float) -> str:
        return mass(value, units)

    figures: tuple[tuple[str, tuple[Point, ...], tuple[Point, ...], Callable[[float], str]], ...] = (
        ("moisture", planned.moisture, other.moisture, percent),
        ("uneaten food", planned.feed_waiting_kg, other.feed_waiting_kg, kg),
        ("worms", planned.worms_kg, other.worms_kg, kg),
        ("castings, dry", planned.castings_dry_kg, other.castings_dry_kg, kg),
    )
    return tuple(
        BesideRow(figure, days, range_words(one[days].band, say), range_words(two[days].band, say))
        for figure, one, two, say in figures
        for days in MILESTONES
        if days < min(len(one), len(two))
        # A day on which both futures look the same tells nothing.
        and range_words(one[days].band, say) != range_words(two[days].band, say)
    )


def _harvest(scene: Scene, ahead: Ahead) -> HarvestView:
    return harvest_of(scene, next_harvest(scene, ahead))


def _words(scene: Scene, ahead: Ahead, title: str) -> list[str]:
    """Where the two futures part, at the day on which they differ most in each figure.

    A herd cut to under half stands first, then what is clearly apart, then what cannot be told apart.
    """
    units = scene.settings.units
    found: list[tuple[int, str]] = []
    pairs = list(zip(scene.ahead.days, ahead.days, strict=True))
    figures: tuple[tuple[str, Callable[[Day], Band], Callable[[float], str], float], ...] = (
        ("uneaten food", lambda day: day.feed_waiting_kg, lambda value: mass(value, units), 0.02),
        ("moisture", lambda day: day.moisture, percent, 0.005),
        ("temperature", lambda day: day.temp_c, lambda value: temperature(value, units), 0.5),
        ("worms", lambda day: day.worms_kg, lambda value: mass(value, units), 0.005),
    )
    for name, of, say, least in figures:
        planned, other = max(pairs, key=lambda pair: abs(of(pair[0]).p50 - of(pair[1]).p50))
        first, second = _some(of(planned).p50, say), _some(of(other).p50, say)
        if abs(of(planned).p50 - of(other).p50) >= least and first != second:
            when = day_words(planned.on, scene.on)
            when = when if when in ("today", "tomorrow", "yesterday") else f"on {when}"
            apart = _apart(of(planned), of(other))
            lost = apart and name == "worms" and of(other).p50 < 0.5 * of(planned).p50
            noise = "" if apart else " (within what cannot be told apart)"
            words = f"{name} {when}: {second} instead of {first}{', under half of them' if lost else noise}"
            found.append((0 if lost else 1 if apart else 2, words))
    lines = [words for _place, words in sorted(found, key=lambda each: each[0])]
    here, there = scene.harvest, next_harvest(scene, ahead)
    before, after = here.window.likely, there.window.likely
    if before and after and before != after:
        shift = (after - before).days
        lines.append(
            f"castings {counted(abs(shift), 'day')} {'later' if shift > 0 else 'earlier'}: {day_words(after, scene.on)}"
        )
    elif (before is None) != (after is None):
        lines.append(f"castings {there.words} instead of {here.words}")
    return lines or [f"{title}: no difference to speak of"]


def _some(value: float, say: Callable[[float], str]) -> str:
    """A figure in words; what is less than a pinch is next to none."""
    return "next to none" if abs(value) < PINCH else say(value)


def _apart(one: Band, other: Band) -> bool:
    """Whether the likely values lie outside each other's band."""
    return not (one.p10 <= other.p50 <= one.p90 and other.p10 <= one.p50 <= other.p90)
