"""What makes two rows without an id the same row: what they say. And the id that follows from it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Generic, TypeVar

from wormbin.exchange.line_rows import Cells, rows_of
from wormbin.records.entries import Move
from wormbin.records.ids import content_id
from wormbin.records.kinds.fields import SEVERAL
from wormbin.records.lots import Line, described

L = TypeVar("L", bound=Line)
Content = tuple[tuple[str, str], ...]
_NOT_CONTENT = ("entry", "replaces", "struck", "struck_by", "struck_at", "order", "extra")


def contents(line: Line) -> Iterator[Content]:
    """The content of each row that the line would be written as.

    An amount counts as it was said ("2 cups"), so that a better density later does not make a new row of an old one;
    the note of rows that may be grouped does not count, since the group shares one, nor does their moisture, which may
    be that of their load. A day alone counts as its noon: a log that does not tell the two apart kept it so.
    """
    if isinstance(line.what, Move) and line.what.into:
        return
    for cells in rows_of(replace(line, day_only=False)):
        yield content_of(cells, grouped=described(line.what).grouped)


def content_of(cells: Cells, *, grouped: bool) -> Content:
    """The content of one row; ``grouped`` when it is of a kind that may have several rows an entry."""
    said = bool(cells.get("said"))
    return tuple(
        sorted(
            (name, cell)
            for name, cell in cells.items()
            if cell
            and name not in _NOT_CONTENT
            and not (said and name in ("amount", "unit", "count"))
            and not (grouped and name in ("note", "moisture_pct"))
        )
    )


class Known(Generic[L]):
    """The rows that a store holds already, counted; and how often each has been met in the file being read."""

    def __init__(self, lines: Iterable[L]) -> None:
        self.ids = {line.id: line for line in lines}
        self._held: Counter[Content] = Counter()
        for line in self.ids.values():
            self._held.update(contents(line))
        self._met: Counter[Content] = Counter()

    def meet(self, content: Content) -> int | None:
        """The ordinal of a row of the file among its equals, or None when the store holds that one already."""
        ordinal = self._met[content]
        self._met[content] += 1
        return None if ordinal < self._held[content] else ordinal

    def name(self, content: Content, ordinal: int) -> str:
        """An id that follows from what the row says and which of its equals it is."""
        fields: Mapping[str, str] = dict(content)
        made = content_id(fields, ordinal)
        while made in self.ids:
            ordinal += 1
            made = content_id(fields, ordinal)
        return made


def merged(parts: list[L]) -> L:
    """Rows of one line put together again, with the notes of them all."""
    first = parts[0]
    if len(parts) == 1:
        return first
    notes = "; ".join(dict.fromkeys(each.note for each in parts if each.note.strip()))
    several = next(field.at for field in described(first.what).fields if field.of in SEVERAL)
    together = tuple(each for part in parts for each in getattr(part.what, several))
    what = described(first.what).what(**{several: together})
    return replace(first, note=notes, what=what)
