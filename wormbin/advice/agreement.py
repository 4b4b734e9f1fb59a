"""Findings made to agree: what was read wins, and what one of them asks for is never what another forbids."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from wormbin.advice.action import Doing
from wormbin.advice.finding import Finding
from wormbin.figures import Level

GIVES_WAY = {
    # What the keeper's hand says weighs more than what the log makes likely.
    "too-dry": ("too-wet", "readings-apart"),
    "too-wet": ("readings-apart",),
    # What is too dry today is put right today; what feed may bring by then is worked out anew after that.
    "wet-ahead": ("too-dry",),
    # The feed as planned brings the water that is wanting.
    "dry-side": ("wet-ahead", "too-wet", "too-dry"),
    "wet-side": ("too-dry", "too-wet"),
    # The same water, seen at the base.
    "standing-water": ("water-base",),
    "left-waits": ("left-over",),
    "no-bedding": ("too-dry",),
}
"""Findings that are not told beside these others, of the same tray or of the whole bin."""
OPPOSITE = {"too-wet": "too-dry", "too-dry": "too-wet", "too-hot": "too-cold", "too-cold": "too-hot"}


def together(found: Sequence[Finding], seen: Sequence[Finding]) -> list[Finding]:
    """What the model finds and what was read, one finding a code: the graver stands, and what was read is told first.

    What was read silences the opposite, which only the model believes, but for a hint that asks for a second look.
    """
    read = {(each.code, each.compartment): each for each in seen}
    against = {
        (OPPOSITE[each.code], each.compartment)
        for each in seen
        if each.code in OPPOSITE and each.level is not Level.STEADY
    }
    out = list(seen)
    for each in found:
        eye = read.get((each.code, each.compartment))
        if eye is not None:
            if each.level.rank > eye.level.rank:
                out[out.index(eye)] = _with_eye(each, eye)
            continue
        if not against.isdisjoint({(each.code, 0), (each.code, each.compartment)}):
            continue
        out.append(each)
    return out


def _with_eye(model: Finding, eye: Finding) -> Finding:
    """What the model finds graver than the eye, told by what was read."""
    trouble = model.what.partition(":")[0]
    return replace(
        model, what=f"{trouble}: {eye.short}, and the sums agree",
        actions=(*model.actions, *(step for step in eye.actions if step.kind is Doing.MEASURE)),
        bars=(*model.bars, *eye.bars), feed=min(model.feed, eye.feed), seen=True,
    )  # fmt: skip


def agreed(found: Sequence[Finding]) -> list[Finding]:
    """The findings without those that another one overrules, and no step that another one holds back."""
    there = {(each.code, each.compartment) for each in found}

    def overruled(one: Finding) -> bool:
        parts = {0, one.compartment}
        return any((code, part) in there for code in GIVES_WAY.get(one.code, ()) for part in parts)

    kept = [each for each in found if not overruled(each)]
    free = [_unbarred(each, kept) for each in kept]
    # A hint with nothing left to do is none.
    return [each for each in free if each.actions or each.level is not Level.STEADY]


def _unbarred(one: Finding, found: Sequence[Finding]) -> Finding:
    """The same finding without the steps that others hold back in its tray or in the whole bin."""
    barred = {
        kind
        for other in found
        if other is not one and (not other.compartment or not one.compartment or other.compartment == one.compartment)
        for kind in other.bars
    }
    return replace(one, actions=tuple(each for each in one.actions if each.kind not in barred)) if barred else one
