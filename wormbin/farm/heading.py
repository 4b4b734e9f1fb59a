"""The head of a log line, as it is said."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date


@dataclass(frozen=True, slots=True)
class Heading:
    """The head of a log line, in words: ``when`` (ISO, "yesterday", "today 18:10"; empty is now), who, a note.

    ``compartment`` is "1" ... "5" or empty; ``replaces`` is the id of the line that this one amends.
    With ``ask`` a line that can hardly be is asked about first (``DoubtedError``), and saved only when said again.
    """

    when: str = ""
    by: str = ""
    note: str = ""
    compartment: str = ""
    replaces: str = ""
    ask: bool = False


NOW = Heading()
"""Now, by nobody in particular."""


def of_the_day(heading: Heading, day: date | None) -> Heading:
    """The heading on the day that is asked of, where it names none."""
    return replace(heading, when=day.isoformat()) if day is not None and not heading.when.strip() else heading
