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
        what=f"nobody knows what was done for {days(count)}: look in first",
        why=f"no line in the log from {day_words(first, case.on)} to {day_words(silence.last, case.on)}",
        actions=(
            Action(
                Doing.LOOK, "open it; write down the squeeze, what is left, the temperature, smell and animals", 3.0
            ),
            Action(Doing.THEN, "write down what was fed and watered meanwhile, or mark the days as unknown"),
        ),
        sure=f"by the usual rhythm moisture {percent_band(today.moisture)}, {waiting_words(case)} (8 times in 10)",
        source="days without a line are unknown, and not nothing done (ours)",
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
        what="nothing is in this bin by the log",
        why="no bedding, water, feed or worms stand in it; what was taken back by mistake comes back with redo",
        actions=(Action(Doing.NEW_BED, "write down the bedding, the water and the worms that are in it"),),
        sure="by the log alone; it says nothing of what was not written down",
        source="the log",
        urgency=1.0,
    )
