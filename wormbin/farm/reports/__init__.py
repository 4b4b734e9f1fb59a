"""A bin's report between two days; and any page written as a text file, to print."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from wormbin.problems import Problem, RefusedError
from wormbin.store import StoreError

if TYPE_CHECKING:
    from wormbin.farm.reports.contents import ReportView
    from wormbin.farm.session import Session
    from wormbin.farm.views.comparison import ComparisonView


def report(session: Session, bin: str, first: str = "", last: str = "", on: date | None = None) -> ReportView:
    """A bin's report between two days in words; "" for the last 120 days up to the day asked about."""
    from wormbin.farm.reports import contents

    return contents.report(session, bin, first, last, on)


def compared(
    session: Session, bins: Sequence[str], first: str = "", last: str = "", on: date | None = None
) -> ComparisonView | None:
    """The comparison of the bins of a report; None for one bin alone."""
    if len({session.bin(each).key for each in bins}) < 2:
        return None
    from wormbin.farm.comparisons import compare

    return compare(session, bins, "", first, last, on)


def names_words(by: Iterable[str]) -> str:
    """ "Names in it: Ana, Ben": of a file that goes out of hand."""
    listed = ", ".join(sorted(by, key=str.casefold))
    return f"Names in it: {listed}" if listed else "Nobody is named in it"


def write_page(name: str, lines: Sequence[str]) -> Path:
    """Write ``lines`` to a new text file; the path it has. RefusedError when it cannot be, and then nothing is left."""
    from wormbin.store import hand_out, named

    example = "~/worms.txt"
    try:
        path = named(name, "file", example)
        if path.exists():
            raise RefusedError(Problem("file", name, "a name that is not taken: that file is there already", example))
        hand_out({path: "\n".join(line.rstrip() for line in lines) + "\n"})
    except (OSError, StoreError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise RefusedError(Problem("file", name, f"a place that can be written to ({reason})", example)) from None
    return path
