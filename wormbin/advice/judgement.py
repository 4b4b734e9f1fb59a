"""All findings of a case, worst first, what it may be fed, and the one list of what to do that comes of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from wormbin.advice.agreement import against_the_model, agreed, together, unseen_milder
from wormbin.advice.case import Case
from wormbin.advice.finding import Action, Doing, Finding, merged
from wormbin.advice.rations import Ration, ration, with_amount
from wormbin.advice.rules import EMPTY_RULES, FED_RULES, RULES, air, feeding, harvest, moisture
from wormbin.advice.rules.feeding import OVER_FED
from wormbin.advice.rules.sightings import sightings
from wormbin.advice.rules.silence import is_empty, only_look
from wormbin.advice.trays import following, last_fed, last_fed_on, part_cases, tray_name, tray_to_feed
from wormbin.advice.wording import length
from wormbin.figures import Level
from wormbin.measures import told

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


ASKS = frozenset({"readings-old", "reading-questioned", "reading-wanted", "silence"})
"""Findings that ask the keeper for something to be read; no alarm about the bin."""
NEWS = frozenset({"harvest-near", "harvest-due"})
"""Findings that bring good news."""
SAID_BEFORE = frozenset({OVER_FED})
"""Findings that repeat, on that day only, what the keeper was told and saved all the same."""


@dataclass(frozen=True, slots=True)
class Judgement:
    """What is found in a bin, worst first, and what it may be fed under it."""

    findings: tuple[Finding, ...]
    ration: Ration


def judge(case: Case, next_feeding: date | None = None) -> Judgement:
    """What every rule finds, what was read before what is believed; and the one ration that comes of it.

    A keeper is asked for one reading a bin at a time, the one that matters most. A step that an earlier finding asks
    for already is marked "as above:", so that nobody adds the bedding twice.
    """
    if is_empty(case.today):
        found = [finding for rule in EMPTY_RULES if (finding := rule(case)) is not None]
        return Judgement(_told(found, case, can := ration(case, found, next_feeding)), can)
    whole = [finding for rule in RULES if (finding := rule(case)) is not None]
    found = agreed(together(against_the_model(case, unseen_milder(case, by_part(case, whole))), sightings(case)))
    found = only_look(case, found)
    can = ration(case, found, next_feeding)
    found += against_the_model(case, [finding for rule in FED_RULES if (finding := rule(case, can)) is not None])
    found = only_look(case, found)
    can = ration(case, found, next_feeding)
    return Judgement(_told(agreed(found), case, can), can)


def findings(case: Case) -> tuple[Finding, ...]:
    """What every rule finds, emergencies first, then by level and urgency; the same step is not asked for twice."""
    return judge(case).findings


def _told(found: Sequence[Finding], case: Case, can: Ration) -> tuple[Finding, ...]:
    """The findings in their order, in the keeper's units, with the amounts of the ration in their steps."""
    ordered = sorted(found, key=lambda each: (not each.emergency, -each.level.rank, -each.urgency, each.code))
    asks = [each for each in ordered if each.code in ASKS]
    asked: set[str] = set()
    out = []
    for each in ordered:
        if each.code in ASKS and each is not asks[0]:
            continue
        filled = (with_amount(action, case, can) for action in each.actions)
        told_one = in_units(replace(each, actions=tuple(step for step in filled if step)), case.settings.units)
        steps = tuple(replace(action, again=action.text in asked) for action in told_one.actions)
        asked.update(action.text for action in steps)
        out.append(replace(told_one, actions=steps))
    return tuple(out)


def in_units(finding: Finding, units: str) -> Finding:
    """The same finding with whatever its fixed texts say in metric told in the keeper's own measures."""
    if units != "us":
        return finding
    return replace(
        finding,
        what=told(finding.what, units),
        why=told(finding.why, units),
        sure=told(finding.sure, units),
        source=told(finding.source, units),
        actions=tuple(replace(action, text=told(action.text, units)) for action in finding.actions),
    )


def to_do(found: Sequence[Finding], *also: Action) -> tuple[Action, ...]:
    """What to do over all findings of a bin: one line a kind, the strongest, the most important first, cautions last.

    Findings that are no alarm are heard only when there is no alarm, and then the first of them. ``also`` is what is
    due in any case (a feeding, a check).
    """
    loud = [each for each in found if each.level is not Level.STEADY] or list(found[:1])
    hints = [each for each in found if each.seen and each not in loud]
    asked = [(each.level, action) for each in loud for action in each.actions]
    for each in hints:
        said = f"{each.short}: " if each.short else ""
        looks = (action for action in each.actions if action.kind is Doing.LOOK)
        asked += [(each.level, replace(action, text=said + action.text)) for action in looks]
    return merged([*asked, *((Level.STEADY, action) for action in also)])


def level(found: tuple[Finding, ...]) -> Level:
    """The worst level among findings; steady when there are none."""
    return max((finding.level for finding in found), key=lambda each: each.rank, default=Level.STEADY)
