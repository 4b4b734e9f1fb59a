"""What must hold of every page, whatever the log: no feed beside a stop, no dose without a reading."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from tests.situations.playing import Said
from tests.words.grade import grade, longest
from tests.words.texts import of_findings
from wormbin.drawing.marks import width_of
from wormbin.pages.page import wrapped

STOP = re.compile(
    r"\bstop feeding\b|\bfeed nothing\b|\bgive nothing\b|\bno feed\b(?! waiting)|\bfeed no more\b(?! than)"
    r"|\bhold (?:back )?(?:all )?(?:the )?feed\b|\bdo not feed\b(?= *(?:$|[.,;]|until|for|today|yet|while|before))",
    re.IGNORECASE,
)
FEED = re.compile(
    r"^(?:feed|give|bury)\b (?:up to |about |at most |no more than )?\d[\d.,]* ?(?:kg|g|lb|oz|cups?)\b(?! a week)"
    r"(?!.* a week)",
    re.IGNORECASE,
)
AMOUNT = re.compile(r"(\d+(?:[.,]\d+)?) ?(kg|g|mL|L)\b")
WET_DOSE = re.compile(
    r"\b(?:add|water it with|give|sprinkle|spray|pour|let out|drain|tip|draw off|bail)\b(?:[^.;]|\.\d)*", re.I
)
OF_BEDDING = re.compile(r"\bsoak(?:ed)?\b|\bbedding\b.*\bin\b", re.I)
SIZES = {"kg": 1.0, "g": 0.001, "L": 1.0, "mL": 0.001}


def amounts(words: str, unit: str) -> Iterator[float]:
    """Every amount in some words: of mass in kg with ``unit`` "kg", of water in L with "L"."""
    for number, said in AMOUNT.findall(words):
        if (said in ("L", "mL")) == (unit == "L"):
            yield float(number.replace(",", ".")) * SIZES[said]


def doses(steps: Iterable[str]) -> list[str]:
    """Steps that name how much water to add or to let out; water to soak a new bed in is no dose."""
    return [
        step
        for step in steps
        if any(list(amounts(found, "L")) for found in WET_DOSE.findall(step)) and not OF_BEDDING.search(step)
    ]


def broken(said: Said, *, moisture_read: bool) -> Iterator[str]:
    """What one page says against itself, or without ground: of the round or of going away."""
    row = said.bin
    told = [*said.now, row.get("headline", ""), *(each["what"] for each in row.get("findings", ()))]
    stopped = next((each for each in told if STOP.search(each) and not each.startswith("then ")), "")
    may = row.get("feed_up_to_kg", 0.0)
    if stopped and may > 0:
        yield f"says “{stopped[:60]}” and feed_up_to_kg {may:.2f}"
    fed = next((step for step in said.now if FEED.search(step)), "")
    if stopped and fed:
        yield f"says “{stopped[:60]}” and “{fed}”"
    given = doses(said.now)
    if given and not moisture_read:
        yield f"names a dose without a reading: “{given[0]}”"
    yield from hard(said)
    yield from cut(said)


HARDEST, LONGEST = 8.0, 20
"""The reading grade of a finding, and the words of a sentence, that none is over."""


def hard(said: Said) -> Iterator[str]:
    """Findings that a twelve-year-old stumbles over."""
    for each in of_findings(said.page):
        if grade(each.words) > HARDEST:
            yield f"reads at grade {grade(each.words):.1f}: “{each.words}”"
        if longest(each.words) > LONGEST:
            yield f"has a sentence of {longest(each.words)} words: “{each.words}”"


ROOM = 76, 18
"""Cells across and lines down that the bin's page has for what to do, in a terminal of 80 by 24."""


def cut(said: Said) -> Iterator[str]:
    """What finds no room on a bin's page in a small terminal: a finding in one line, and all steps under it."""
    row = said.bin
    for each in (row.get("headline", ""), *(each["what"] for each in row.get("findings", ()))):
        if width_of(each) > ROOM[0]:
            yield f"is cut at 80 columns: “{each}”"
    steps = [*row.get("do", ()), "; ".join(row.get("also", ())), row.get("caution", "")]
    lines = sum(len(wrapped([(step, "")], ROOM[0] - 2)) for step in (row.get("headline", ""), *steps) if step)
    if lines > ROOM[1]:
        yield f"takes {lines} lines of {ROOM[1]}: {steps}"
