"""All findings of a case, worst first, with one addition of bedding named once."""

from __future__ import annotations

from dataclasses import replace

from wormbin.advice.case import Case
from wormbin.advice.finding import Finding
from wormbin.advice.rules import RULES
from wormbin.figures import Level

ASKS = frozenset({"readings-old", "reading-questioned", "reading-wanted"})
"""Findings that ask the keeper for something to be read; no alarm about the bin."""
NEWS = frozenset({"harvest-near", "harvest-due"})
"""Findings that bring good news."""


def findings(case: Case) -> tuple[Finding, ...]:
    """What every rule finds, emergencies first, then by level and urgency; the same step is not asked for twice.

    A step that an earlier finding asks for already is marked "as above:", so that nobody adds the bedding twice.
    """
    found = [finding for rule in RULES if (finding := rule(case)) is not None]
    found.sort(key=lambda each: (not each.emergency, -each.level.rank, -each.urgency, each.code))
    asked: set[str] = set()
    out = []
    for finding in found:
        steps = tuple(f"as above: {step}" if step in asked else step for step in finding.do)
        asked.update(finding.do)
        out.append(replace(finding, do=steps))
    return tuple(out)


def level(found: tuple[Finding, ...]) -> Level:
    """The worst level among findings; steady when there are none."""
    return max((finding.level for finding in found), key=lambda each: each.rank, default=Level.STEADY)
