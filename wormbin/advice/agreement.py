"""Findings made to agree: what was read wins, and what one of them asks for is never what another forbids."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

from wormbin.advice import limits
from wormbin.advice.case import Case
from wormbin.advice.finding import DOSES, Action, Doing, Finding
from wormbin.advice.looks import Look, looks
from wormbin.advice.rations import interval_days
from wormbin.advice.rules.sightings import TABLE, Sighting, past_edge, said_of
from wormbin.advice.trays import part_cases
from wormbin.figures import Level
from wormbin.records.entries import Check

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
        model, what=f"{trouble}: {eye.short}, and the estimate agrees",
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


UNSEEN_DAYS = 10
"""Nothing is called urgent by the model alone when nobody read anything for so long (ours)."""


def unseen_milder(case: Case, found: Sequence[Finding]) -> tuple[Finding, ...]:
    """What the model believes, at most a watch where nobody read anything of late."""
    since = case.on - timedelta(days=UNSEEN_DAYS)
    if any(isinstance(each.what, Check) and since <= each.when.date() <= case.on for each in case.entries):
        return tuple(found)
    return tuple(
        each if each.seen or each.level is not Level.ACT else replace(each, level=Level.WATCH) for each in found
    )


def against_the_model(case: Case, found: Sequence[Finding]) -> tuple[Finding, ...]:
    """What the model alone believes, with the edge taken off where a fresh reading says that all is right.

    One reading takes away one level, two take it away altogether; a mere hint is not told against a reading.
    """
    every, out = interval_days(case), []
    by_part = part_cases(case) if any(each.compartment for each in found) else ()
    parts = {number: part for _name, number, part in by_part}
    for each in found:
        row = None if each.seen else next((row for row in TABLE if each.code in row.denies), None)
        seen = looks(case, row.quantity, every) if row else ()
        here = [look for look in seen if not each.compartment or look.part in (0, each.compartment)]
        count, said = _right(parts.get(each.compartment, case), row, here) if row else (0, "")
        if not row or not count:
            out.append(each)
        elif each.level is not Level.STEADY:
            out.append(_milder(each, count, said, row.again))
    return tuple(out)


def _right(case: Case, row: Sighting, seen: Sequence[Look]) -> tuple[int, str]:
    """How many of the newest looks in a row say that nothing is past this limit, and what the newest said."""
    limit = row.limit(case)
    edge = limits.HOLD_ABOVE_LEFT if row.quantity == "left" else limit.watch.enter
    left, count = row.quantity == "left", 0

    def right(value: float) -> bool:
        return value <= edge if left else not past_edge(limit, edge, value)

    for each in reversed(seen):
        fits = right(each.value) and (each.since_fed or not left)
        if not fits or (case.on - each.on).days > row.fresh_days + 3 * min(count, 1):
            break
        count += each.votes(right)
    return count, said_of(case, row, seen[-1]) if count else ""


def _milder(finding: Finding, count: int, said: str, again: str) -> Finding:
    level = Level.WATCH if finding.level is Level.ACT and count == 1 else Level.STEADY
    stays = level is not Level.STEADY
    look = Action(Doing.MEASURE, again, 2.5)
    return replace(
        finding, level=level, what=f"{finding.what} (estimate)", why=f"you read {said}. By the estimate {finding.why}",
        actions=(*(each for each in finding.actions if stays and each.kind not in DOSES), look),
        feed=finding.feed if stays else 1.0,
        bars=finding.bars if stays else (),
    )  # fmt: skip
