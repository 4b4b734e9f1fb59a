"""What the model alone believes, made milder where it was not seen, or where a fresh reading says that all is right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

from wormbin.advice import limits
from wormbin.advice.action import DOSES, Action, Doing
from wormbin.advice.case import Case
from wormbin.advice.compartments import part_cases
from wormbin.advice.finding import Finding
from wormbin.advice.looks import Look, looks
from wormbin.advice.rations import interval_days
from wormbin.advice.rules.sightings import TABLE, Sighting, past_edge, said_of
from wormbin.figures import Level
from wormbin.records.entries import Check

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
    count = 0
    for each in reversed(seen):
        beyond = (
            each.value > edge or not each.since_fed if row.quantity == "left" else past_edge(limit, edge, each.value)
        )
        if beyond or (case.on - each.on).days > row.fresh_days + 3 * min(count, 1):
            break
        count += each.worth
    return count, said_of(case, row, seen[-1]) if count else ""


def _milder(finding: Finding, count: int, said: str, again: str) -> Finding:
    level = Level.WATCH if finding.level is Level.ACT and count == 1 else Level.STEADY
    stays = level is not Level.STEADY
    look = Action(Doing.MEASURE, again, 2.5)
    return replace(
        finding, level=level, what=f"{finding.what}, by the sums", why=f"you read {said}; {finding.why}",
        actions=(*(each for each in finding.actions if stays and each.kind not in DOSES), look),
        feed=finding.feed if stays else 1.0,
        bars=finding.bars if stays else (),
    )  # fmt: skip
