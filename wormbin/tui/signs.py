"""The signs that a keeper ticks, each with one key, the same in the check as among the troubles."""

from __future__ import annotations

from wormbin.tui.widgets.fields import Choice

SMELL = (
    Choice("e", "earthy", "earthy"), Choice("s", "sour", "sour"), Choice("r", "rotten", "rotten"),
    Choice("a", "ammonia", "ammonia"), Choice("n", "none", "none"),
)  # fmt: skip
SEEN = (
    Choice("d", "dead worms", "dead worms"), Choice("l", "worms leaving", "worms leaving"),
    Choice("c", "worms climbing", "worms climbing"), Choice("w", "swollen worms", "swollen worms"),
    Choice("v", "pale worms", "pale worms"), Choice("p", "pot worms", "pot worms"), Choice("m", "mites", "mites"),
    Choice("r", "red mites", "red mites"), Choice("f", "fruit flies", "fruit flies"), Choice("g", "gnats", "gnats"),
    Choice("b", "soldier fly larvae", "big larvae"), Choice("t", "ants", "ants"), Choice("o", "mould", "mould"),
    Choice("e", "centipedes", "centipedes"), Choice("n", "rodents", "rodents"),
)  # fmt: skip
"""Everything that can be seen, the most pressing first; no two by one key."""
AT_A_CHECK = ("mites", "fruit flies", "pot worms", "gnats", "ants", "mould", "worms climbing", "worms leaving",
              "dead worms")  # fmt: skip
SEEN_AT_A_CHECK = tuple(next(each for each in SEEN if each.value == value) for value in AT_A_CHECK)
"""What is looked for at every check."""
