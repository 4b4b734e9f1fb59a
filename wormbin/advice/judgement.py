"""All findings of a case, worst first, and the one list of what to do that comes of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from wormbin.advice.action import Action, merged
from wormbin.advice.agreement import agreed
from wormbin.advice.case import Case
from wormbin.advice.compartments import by_part
from wormbin.advice.finding import Finding
from wormbin.advice.rations import Ration, ration
from wormbin.advice.rules import EMPTY_RULES, RULES
from wormbin.advice.rules.emptied import is_empty
from wormbin.advice.rules.given import OVER_FED
from wormbin.figures import Level
from wormbin.measures import told

ASKS = frozenset({"readings-old", "reading-questioned", "reading-wanted"})
"""Findings that ask the keeper for something to be read; no alarm about the bin."""
NEWS = frozenset({"harvest-near", "harvest-due"})
"""Findings that bring good news."""
SAID_BEFORE = frozenset({OVER_FED})
"""Findings that repeat, on that day only, what the keeper was told and saved all the same."""


def findings(case: Case) -> tuple[Finding, ...]:
    """What every rule finds, emergencies first, then by level and urgency; the same step is not asked for twice.

    A keeper is asked for one reading a bin at a time, the one that matters most. A step that an earlier finding asks
    for already is marked "as above:", so that nobody adds the bedding twice.
    """
    units = case.settings.units
    rules = EMPTY_RULES if is_empty(case.today) else RULES
    whole = [finding for rule in rules if (finding := rule(case)) is not None]
    found = [in_units(finding, units) for finding in agreed(by_part(case, whole), case.on)]
    found.sort(key=lambda each: (not each.emergency, -each.level.rank, -each.urgency, each.code))
    asks = [each for each in found if each.code in ASKS]
    found = [each for each in found if each.code not in ASKS or each is asks[0]]
    asked: set[str] = set()
    out = []
    for finding in found:
        steps = tuple(replace(action, again=action.text in asked) for action in finding.actions)
        asked.update(action.text for action in steps)
        out.append(replace(finding, actions=steps))
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
    asked = [(each.level, action) for each in loud for action in each.actions]
    return merged([*asked, *((Level.STEADY, action) for action in also)])


def held_until(found: Sequence[Finding]) -> date | None:
    """The day up to which alarms say to feed nothing; None when none does."""
    days = [
        action.until
        for each in found
        if each.level is not Level.STEADY
        for action in each.actions
        if action.until is not None
    ]
    return max(days, default=None)


def todays_ration(case: Case, found: Sequence[Finding], next_feeding: date | None = None) -> Ration:
    """How much can be fed today; nothing when one of the bin's alarms says to hold the feed."""
    can, until = ration(case, next_feeding), held_until(found)
    if can.kg <= 0 or until is None or until <= case.on:
        return can
    alarm, step = next(
        (each, action)
        for each in found
        if each.level is not Level.STEADY
        for action in each.actions
        if action.until == until
    )
    return replace(can, kg=0.0, because=(*can.because, f"{step.text}: {alarm.what}"))


def level(found: tuple[Finding, ...]) -> Level:
    """The worst level among findings; steady when there are none."""
    return max((finding.level for finding in found), key=lambda each: each.rank, default=Level.STEADY)
