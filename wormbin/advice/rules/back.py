"""The first days back from a long absence: looked at first, and fed half."""

from __future__ import annotations

from datetime import timedelta

from wormbin.advice.action import Action, Doing
from wormbin.advice.case import Case
from wormbin.advice.finding import Finding
from wormbin.figures import Level
from wormbin.measures.daywords import days_words
from wormbin.records.farms import long_absences
from wormbin.records.habits import fed_kg, last_check

BACK_DAYS = 7
"""So long after a long absence the first feeding is a small one (ours)."""
BACK_SHARE = 0.5
"""What the first feeding after it is of the usual: worms that went short get through less (ours)."""


def back(case: Case) -> Finding | None:
    """Half the ration until it is fed again after a long absence, and a look before."""
    spans = [span for span in long_absences(case.settings.away, case.bin.key) if span[0] <= case.on]
    first, last = spans[-1] if spans else (case.on, case.on)
    if not 0 < (case.on - last).days <= BACK_DAYS or fed_kg(case.entries, last + timedelta(days=1), case.on) > 0:
        return None
    look = Action(Doing.MEASURE, "open it, squeeze a handful, judge what is left of the feed, and write it down", 4.0)
    check = last_check(case.entries, case.on)
    seen = check is not None and check.when.date() > last
    return Finding(
        code="back",
        level=Level.STEADY,
        what=f"back again: {'' if seen else 'look first, then '}feed half of the usual",
        why=f"nobody was here for {days_words((last - first).days + 1)}; worms that went short get through less",
        actions=() if seen else (look,),
        sure="by the days away in the settings",
        source="half of the usual after an absence (ours)",
        urgency=3.0,
        feed=BACK_SHARE,
        short="back again: half of the usual",
    )
