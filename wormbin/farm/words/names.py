"""Names in a keeper's words: of those who write (a first name or initials, no more), and of weekdays."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from wormbin.measures import shown, tidy
from wormbin.problems import Problem, RefusedError
from wormbin.records.kinds.log import MoistureBy

LONGEST = 40
_TWO = re.compile(r"\s(?:and|und|et|y)\s|[&+/;]", re.IGNORECASE)
_EXAMPLE = "Ana"
KEEP = "Keep it?"
INSTRUMENTS = frozenset(each.value for each in MoistureBy)
"""Words that no keeper is called by."""


def name_doubt(name: str) -> str:
    """What to ask about a name before it is kept, in a sentence; empty for a first name or initials."""
    digits = sum(char.isdigit() for char in name)
    if name.strip().casefold() in INSTRUMENTS:
        return f"“{shown(name)}” is an instrument, not who writes: --moisture-by says what it was read with. {KEEP}"
    if "@" in name:
        return f"“{shown(name)}” looks like an e-mail; a first name or initials is enough. {KEEP}"
    if digits >= 5:
        return f"“{shown(name)}” looks like a telephone number; a first name or initials is enough. {KEEP}"
    if _TWO.search(name) or len([word for word in name.split() if len(word.rstrip(".")) > 1]) > 1:
        return f"“{shown(name)}” looks like two names; each pupil has a line, by first name or initials. {KEEP}"
    return ""


def several(words: str) -> tuple[str, ...]:
    """The names of a list parted by commas, each once. Raises RefusedError for none and for one too long."""
    names = tuple(dict.fromkeys(said for part in words.split(",") if (said := tidy(part))))
    if not names or any(len(name) > LONGEST for name in names):
        allowed = f"a first name or initials, up to {LONGEST} letters, once"
        raise RefusedError(Problem("keeper", shown(words), allowed, _EXAMPLE))
    return names


def meant(said: str, listed: Sequence[str], field: str = "who") -> str:
    """The listed name that these first letters mean; "" where none begins so. Raises RefusedError for several."""
    word = tidy(said).casefold()
    exact = [name for name in listed if name.casefold() == word]
    fits = exact or [name for name in listed if word and name.casefold().startswith(word)]
    if len(fits) > 1:
        raise RefusedError(Problem(field, shown(said), "one more letter: " + " or ".join(fits[:6]), fits[0]))
    return fits[0] if fits else ""


DAYS = {
    "MO": "monday", "TU": "tuesday", "WE": "wednesday", "TH": "thursday", "FR": "friday", "SA": "saturday",
    "SU": "sunday",
}  # fmt: skip
_EVERY = ("daily", "every", "day")


def weekday_words(days: Iterable[str]) -> str:
    """ "monday, thursday" for ``MO``, ``TH``."""
    return ", ".join(DAYS.get(day, day) for day in days)


def weekdays(words: str, field: str) -> tuple[str, ...]:
    """The weekdays that are meant, as ``MO`` ... ``SU`` in the order of the week. Raises RefusedError for others."""
    order, found = list(DAYS), set[str]()
    last = up_to = ""
    for word in tidy(words).casefold().replace(",", " ").replace("-", " to ").replace(" and ", " ").split():
        if word == "to" and last:
            up_to = last
            continue
        fits = [day for day, name in DAYS.items() if len(word) >= 2 and name.startswith(word.rstrip("s"))]
        if word in _EVERY:
            fits = order
        if not fits or (len(fits) > 1 and word not in _EVERY):
            raise RefusedError(Problem(field, shown(words), "weekdays", "monday, thursday"))
        if up_to:
            found |= set(order[order.index(up_to) : order.index(fits[0]) + 1])
        found |= set(fits)
        last, up_to = fits[-1], ""
    return tuple(day for day in order if day in found)


def next_signer(listed: Sequence[str], wrote_too: Sequence[str], by: str) -> tuple[str, str]:
    """The name after ``by`` (nobody follows the last), and what to say about it."""
    names = ("", *listed, *(each for each in wrote_too if each not in listed))
    if len(names) == 1:
        return "", "Nobody is on the list of keepers: add names in the settings, key ,."
    following = names[(names.index(by) + 1) % len(names)] if by in names else ""
    return following, f"Lines are now signed: {following}" if following else "Lines are not signed now."
