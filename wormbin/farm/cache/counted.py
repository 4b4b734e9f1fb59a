"""The lines of the bins' logs that the farm's books count with, kept small, so that no answer reads every log."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import starmap
from typing import TYPE_CHECKING, Any

from wormbin.farm.cache.rows import Rows
from wormbin.records.bins import Bin
from wormbin.records.codec import entry_from_json, line_to_json
from wormbin.records.entries import Bedding, Comparison, Entry, Feeding, Harvest, Portion, Stocking, Survey, standing

if TYPE_CHECKING:
    from wormbin.farm.session import Session

NAME = "counted"
KINDS = Feeding | Bedding | Harvest | Stocking | Survey | Comparison


@dataclass(frozen=True, slots=True)
class _Lines:
    """The lines of one bin as they are kept: what was fed and bedded as short lists, all others as in the book; and who
    signed any line of its log.
    """

    lines: tuple[Any, ...]
    by: tuple[str, ...]


class Counted:
    """By bin the lines that stand and that the books count with, in time order.

    A feeding or bedding says its materials and kilograms, and not by whom, in which words.
    """

    def __init__(self, session: Session) -> None:
        self._session = session
        self._rows = Rows(session.store.desk, NAME)
        self._known: dict[str, tuple[str, tuple[Entry, ...], tuple[str, ...]]] = {}

    def __iter__(self) -> Iterator[tuple[Bin, tuple[Entry, ...]]]:
        """Every bin whose log can be read."""
        for one in self._session.bins():
            if (lines := self.get(one.key)) is not None:
                yield one, lines
        self._rows.flush()

    def get(self, key: str) -> tuple[Entry, ...] | None:
        """Those of one bin; None where its log cannot be read, which the session's ``logs`` then say."""
        token = self._session.store.revision(key)
        known = self._known.get(key)
        if known is not None and known[0] == token:
            return known[1]
        held = self._rows.get(_Lines, key, token)
        if held is not None:
            lines, by = tuple(_line(key, place, each) for place, each in enumerate(held.lines, 1)), held.by
        elif (log := self._session.logs.get(key)) is None:
            return None
        else:
            lines = tuple(each for each in standing(log) if isinstance(each.what, KINDS))
            by = tuple(sorted({each.by for each in log if each.by}))
            if not self._session.store.noticed(key):  # else it is read anew at each start, so that it is told
                self._rows.put(key, token, _Lines(tuple(map(_kept, lines)), by))
        self._known[key] = token, lines, by
        return lines

    def signed(self) -> frozenset[str]:
        """Who signed a line of any log."""
        return frozenset(name for one, _ in self for name in self._known[one.key][2])


def _kept(line: Entry) -> Any:
    what = line.what
    if not isinstance(what, Feeding | Bedding):
        return line_to_json(line)
    given = [[each.material, each.kg] for each in what.portions]
    return [line.id, line.when.isoformat(), line.compartment, line.day_only, isinstance(what, Feeding), given]


def _line(bin: str, place: int, kept: Any) -> Entry:
    if isinstance(kept, dict):
        return replace(entry_from_json(kept), order=place)
    of, when, part, day_only, fed, given = kept
    what = (Feeding if fed else Bedding)(tuple(starmap(Portion, given)))
    moment = datetime.fromisoformat(when)
    return Entry(of, bin, moment, what, compartment=part, day_only=day_only, order=place)
