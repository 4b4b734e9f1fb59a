"""A number of things without a unit: "2 banana peels", "3 slices of bread"; what has lost its unit is none."""

from __future__ import annotations

import re

from wormbin.measures.numbers import read_number, unfold_fractions
from wormbin.measures.units import HANDY, UNCLEAR, UNITS
from wormbin.measures.words import LONGEST, tidy

ABOUT = re.compile(r"(?:about|around|roughly|approx\.?|ca\.?|~) ?", re.IGNORECASE)
MANY_GRAMS = 20.0
"""A number this large that lost its unit was grams or the like; a small one kilos, pounds or cups."""


def are_things(number: float, words: str) -> bool:
    """Whether a number and words without a unit are so many things: few of them, and in the plural when over one.

    "2 kale" has lost its unit, "2 apples" has not.
    """
    last = words.split(" ")[-1].lower()
    plural = last.endswith("s") and not last.endswith("ss")
    return number < MANY_GRAMS and (number == round(number) or number < 1) and plural == (number > 1)


def number_of_things(text: str) -> tuple[float, str, str] | None:
    """ "2 banana peels" as 2.0, "", "banana peels"; "3 slices of bread" as 3.0, "slice", "bread"; None for all else.

    The word between is a household measure. What has a unit is no number of things.
    """
    try:
        plain = tidy(unfold_fractions(text[:LONGEST]))
        found = read_number(plain[about.end() :] if (about := ABOUT.match(plain)) else plain)
    except ValueError:
        return None
    if found is None or found.value <= 0 or found.thousands is not None or not found.rest[:1].isalpha():
        return None
    first, _, after = found.rest.partition(" ")
    word = first.lower().removesuffix("s")
    if word in HANDY:
        return found.value, word, re.sub("^of ", "", after, flags=re.IGNORECASE)
    unit = {first.rstrip(".,").lower(), " ".join(found.rest.split(" ")[:2]).lower()} & (UNITS.keys() | UNCLEAR.keys())
    return None if unit else (found.value, "", found.rest)
