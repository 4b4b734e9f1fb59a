"""Trays and halves looked at one by one: a bin may be right on the whole, and one of its trays wet, airless or ripe."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from wormbin.advice.case import Case
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.rules import air, feeding, harvest, moisture
from wormbin.advice.trays import following, last_fed, last_fed_on, part_cases, tray_name, tray_to_feed
from wormbin.advice.wording import length
from wormbin.figures import Level

BY_PART: tuple[Callable[[Case], Finding | None], ...] = (
    moisture.too_wet, moisture.standing_water, moisture.too_dry, air.air_short, air.dense_castings,
    feeding.thick_layer,
)  # fmt: skip
"""Rules that a tray or half can fall under by itself."""
OF_PARTS_ONLY = frozenset({"air-short", "dense", "thick-layer", "full", "harvest-near", "harvest-due", "harvest-late"})
"""What is not said of the whole of such a bin: its trays fill, are harvested, and get their air, each for itself."""


def by_part(case: Case, whole: Iterable[Finding]) -> tuple[Finding, ...]:
    """What is found in the compartments, and of the whole only what no compartment says more exactly."""
    found = []
    several = len(case.today.parts) > 1 and case.bin.compartments > 1
    for name, number, part in part_cases(case):
        told = [told for rule in BY_PART if (told := rule(part)) is not None and not _waits_dry(case, number, told)]
        for each in told:
            first = (replace(step, text=f"{step.text} (in the {name})", part=number) for step in each.actions[:1])
            actions = (*first, *each.actions[1:])
            found.append(replace(each, what=f"{name}: {each.what}", actions=actions, compartment=number))
        own = (harvest.harvest(part, name, tray_name(case, following(case, number))), _full(case, name, number, part))
        found += [replace(each, what=f"{name}: {each.what}", compartment=number) for each in own if each is not None]
    codes = {each.code for each in found} | (OF_PARTS_ONLY if several else frozenset())
    return (*found, *(each for each in whole if each.code not in codes))


def _waits_dry(case: Case, number: int, told: Finding) -> bool:
    """Whether a tray is called too dry that only waits with its first bedding: nobody feeds it yet, and worms need not
    live in it.
    """
    untouched = number not in (tray_to_feed(case), last_fed(case)) and last_fed_on(case, number) is None
    return told.code == "too-dry" and untouched


def _full(case: Case, name: str, number: int, part: Case) -> Finding | None:
    """A tray that is full: no trouble as long as another takes the feed, and then told once, when feed is to move."""
    told, fed = harvest.full(part), tray_to_feed(case)
    if told is None or number not in (fed, last_fed(case)):
        return None
    if fed != number:
        deep = length(part.today.contents_m.p50, case.settings.units)
        into = tray_name(case, fed)
        step = Action(Doing.FEED, f"feed the {into} from now on, and leave the {name} to ripen", 0.0)
        return replace(
            told, level=Level.STEADY, what=f"it is full ({deep}): feed the {into} from now on", actions=(step,)
        )
    ripest = max(case.today.parts, key=lambda each: each.castings_share.p50)
    words = f"take castings off the {tray_name(case, ripest.number)}, which has most of them, or add a tray"
    return replace(told, what=f"{told.what}, and no other has room", actions=(Action(Doing.ROOM, words, 1.0),))
