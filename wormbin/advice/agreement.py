"""Findings made to agree: what one of them asks for is never what another forbids."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from wormbin.advice.action import Action, Doing
from wormbin.advice.finding import Finding
from wormbin.figures import Level

HUNGRY = "hungry"
GIVES_WAY = {
    # What the keeper's hand says weighs more than what the log makes likely.
    "too-dry": ("too-wet",),
    # What is too dry today is put right today; what feed may bring by then is worked out anew after that.
    "wet-ahead": ("too-dry",),
    # The feed as planned brings the water that is wanting.
    "dry-side": ("wet-ahead", "too-wet"),
    "wet-side": ("too-dry",),
}
"""Findings that are not told beside these others, of the same tray or of the whole bin."""


def agreed(found: Sequence[Finding], on: date) -> list[Finding]:
    """The findings without those that another one overrules, and feeding told one way only."""
    there = {(each.code, each.compartment) for each in found}

    def overruled(one: Finding) -> bool:
        parts = {0, one.compartment}
        return any((code, part) in there for code in GIVES_WAY.get(one.code, ()) for part in parts)

    kept = [each for each in found if not overruled(each)]
    hungry = any(each.code == HUNGRY and each.level is not Level.STEADY for each in kept)
    if not hungry:
        return kept
    if held := _held(kept, on):
        return [_waits(each, held) if each.code == HUNGRY else each for each in kept]
    return [_no_less(each) for each in kept]


def _held(found: Sequence[Finding], on: date) -> Finding | None:
    """The gravest alarm that says to feed nothing for now."""
    holds = [
        each
        for each in found
        if each.level is not Level.STEADY and any(step.until is not None and step.until > on for step in each.actions)
    ]
    return max(holds, key=lambda each: (each.level.rank, each.urgency), default=None)


def _waits(hungry: Finding, held: Finding) -> Finding:
    """Worms that have nothing to eat in a bin that is not to be fed: first the one is put right, then they are fed."""
    what = hungry.what.removesuffix(": feed now")
    step = Action(Doing.THEN, f"put right first what stops the feed ({held.what}); then feed a little")
    return replace(hungry, what=f"{what}, and not to be fed yet", actions=(step,))


def _no_less(finding: Finding) -> Finding:
    """The same finding without a step that says to feed less: worms that have nothing to eat are not put on rations."""
    return replace(
        finding, actions=tuple(each for each in finding.actions if not (each.kind is Doing.THEN and each.strength > 0))
    )
