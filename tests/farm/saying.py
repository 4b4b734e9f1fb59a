"""What no row of a round may say: two things that cannot both be done, or a figure that nobody could know."""

from __future__ import annotations

import re
from collections.abc import Iterator

from wormbin.farm.views.round import RoundRow
from wormbin.figures import Level

TWO_LINES = 160
FEED = re.compile(r"^feed (up to|a taste)")
HOLD = re.compile(r"\bdo not feed (until|today|for)|^feed (nothing|no more before)")
WATER = re.compile(r"^add [\d.]+ (mL|L|cups?|qt|gal|fl oz) of water")
DRIER = re.compile(r"add no water|lets? out|draw off|leave the cover loose")
ODD = re.compile(
    r"\b1 (days|weeks|readings|squeezes|goes|lines|minutes)\b|\ba (oven|air|ear)|\bnan\b|\binf\b|"
    r"\b0 (g|kg|mL|oz) (of|more)|"
    r"on (today|yesterday|tomorrow)\b|\d{4,}%|  |\{|\}|None"
)
APART = (
    ("too-wet", "too-dry"), ("too-dry", "standing-water"), ("hungry", "overfed"), ("hungry", "left-over"),
    ("hungry", "thick-layer"), ("too-hot", "too-cold"), ("few-worms", "crowded"), ("harvest-near", "harvest-due"),
    ("dry-side", "too-wet"), ("dry-side", "wet-ahead"),
)  # fmt: skip
"""Findings that cannot both be so, in one tray or in one bin."""


def contradictions(row: RoundRow) -> Iterator[str]:
    """What contradicts itself in one row, in words."""
    steps = row.do
    for one, other in ((FEED, HOLD), (WATER, DRIER)):
        first, second = [s for s in steps if one.search(s)], [s for s in steps if other.search(s)]
        if first and second and "tray" not in first[0]:
            yield f"{first[0]} / {second[0]}"
    if row.feed_up_to_words == "nothing" and any(FEED.search(step) for step in steps):
        yield f"feed up to nothing / {steps}"
    codes = {(each.code, each.compartment) for each in row.findings}
    for one_code, other_code in APART:
        parts = {part for code, part in codes if code == one_code} & {
            part for code, part in codes if code == other_code
        }
        if parts:
            yield f"{one_code} / {other_code}"
    if (
        row.level is Level.STEADY
        and not row.findings
        and not row.headline.startswith(("all well", "nothing", "no worms"))
    ):
        yield row.headline
    if any("feed today" in each.what for each in row.findings) and any(HOLD.search(step) for step in steps):
        yield "feed today / do not feed"


def oddities(row: RoundRow) -> Iterator[str]:
    """Slips of number, of an article or of a figure, and steps longer than two lines of 80 columns."""
    told = [row.headline, *row.do, *row.also, row.mind, row.harvest.words, *(step.what for step in row.harvest.steps)]
    for each in row.findings:
        told += [each.what, each.why, each.sure, *each.do, each.caution]
    yield from (words for words in told if ODD.search(words))
    yield from (step for step in (*row.do, row.headline, row.harvest.words) if len(step) > TWO_LINES)
