"""Where nothing can be judged: days of which nobody knows, and a bin in which nothing is by its log."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from wormbin.advice.case import Case
from wormbin.advice.evidence import waiting_words
from wormbin.advice.finding import DOSES, Action, Doing, Finding
from wormbin.advice.rules.readings import old_days
from wormbin.advice.wording import day_words, days, percent_band
from wormbin.figures import Level
from wormbin.process.views import Day
from wormbin.records.entries import NO_LOOK

CODE = "silence"
OF_THE_PAST = frozenset({"falling", "hungry"})
"""Findings that rest on days of which nobody knows."""


def only_look(case: Case, found: Sequence[Finding]) -> list[Finding]:
    """What stands beside a silence: only to look while it runs; after the first look what was read, and hints."""
    if case.silence is None:
        return list(found)
    if not _looked_since(case):
        away = any(each.first <= case.on <= each.last and each.bin in ("", case.bin.key) for each in case.settings.away)
        told = _nobody_knows(case)
        # Nobody is there to look.
        seen = [each for each in found if each.seen]
        return [replace(told, level=Level.STEADY, actions=()) if away else told, *seen]
    known = [each for each in found if each.code not in OF_THE_PAST]
    return [each if each.seen else _hint(each) for each in known]


def _hint(finding: Finding) -> Finding:
    steps = tuple(each for each in finding.actions if each.kind not in DOSES)
    return replace(finding, level=Level.STEADY, actions=steps or (Action(Doing.MEASURE, "look again tomorrow", 1.0),))


def _looked_since(case: Case) -> bool:
    last = case.silence.last if case.silence else case.on
    return any(last < each.when.date() <= case.on and not isinstance(each.what, NO_LOOK) for each in case.entries)


def _nobody_knows(case: Case) -> Finding:
    silence = case.silence
    assert silence is not None
    first, count = silence.first, len(silence.days)
    today = case.today
    return Finding(
        code=CODE,
        level=Level.WATCH if count >= old_days(case) else Level.STEADY,
        what=f"nothing written down for {days(count)}: look in first",
        why=f"the log has no line from {day_words(first, case.on)} to {day_words(silence.last, case.on)}.",
        actions=(
            Action(Doing.LOOK, "open it and write a check: squeeze, food left, temperature, smell, animals", 3.0),
            Action(Doing.THEN, "write down what you fed and watered, or mark the days as unknown"),
        ),
        sure=(
            f"Estimate, as usual: moisture {percent_band(today.moisture)}, {waiting_words(case)} (right 8 times in 10)."
        ),
        source="a day without a line is unknown, not a day on which nothing was done (ours)",
        urgency=2.0 + count / 30,
        feed=0.0,
        short="nobody has looked in",
        bars=(Doing.WATER, Doing.DRAIN),
    )


NOTHING_KG = 0.001
"""Less than a gram is nothing."""


def is_empty(today: Day) -> bool:
    """Whether there is nothing that could be wet, dry, hot or hungry."""
    return today.total_kg.p90 < NOTHING_KG


def nothing_in(case: Case) -> Finding | None:
    """No figure of an empty bin means anything: all that is to be said is what is missing from the log."""
    if not is_empty(case.today):
        return None
    return Finding(
        code="nothing-in",
        level=Level.WATCH,
        what="by the log this bin is empty",
        why="the log has no bedding, water, food or worms. Did you undo too much? Redo brings it back.",
        actions=(
            Action(Doing.NEW_BED, "write down the bedding, the water and the worms in it"),
            Action(Doing.THEN, "begun by mistake? End it: “change, close”, or wormbin close"),
        ),
        sure="The log knows only what you write down.",
        source="the log",
        urgency=1.0,
    )
