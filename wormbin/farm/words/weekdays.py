"""Weekdays in words, both ways: "monday, thursday", "monday to friday", "daily"."""

from __future__ import annotations

from collections.abc import Iterable

from wormbin.measures import shown, tidy
from wormbin.problems import Problem, RefusedError

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
