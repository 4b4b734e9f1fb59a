"""From the rows of ``log.csv`` and ``castings.csv`` to new lines: rows of one put together, and none taken twice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Generic, TypeVar

from wormbin.exchange.line_rows import Cells, rows_of
from wormbin.exchange.tables import Row
from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import NOTHING_MORE
from wormbin.records.entries import Entry, Harvest, Move
from wormbin.records.ids import content_id
from wormbin.records.kinds.fields import SEVERAL
from wormbin.records.lots import Intake, Line, LotLine, both_halves, described, intake_of, partner_id

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


HISTORY = "history"
"""The field of a line in which the store keeps that it was struck and lifted again."""


@dataclass(slots=True)
class LinesRead(Generic[L]):
    """What a file holds for a store: lines it does not have, rows it has already.

    ``strikes`` are lines that the store has, to which something else has happened in the file: struck, or lifted.
    """

    lines: list[L] = field(default_factory=list)
    strikes: list[L] = field(default_factory=list)
    rows: int = 0
    rows_known: int = 0
    places: dict[str, Row] = field(default_factory=dict)
    """The row of the file at which each line begins: they are written down in that order."""
    made: set[str] = field(default_factory=set)
    """The ids of lines that had none in the file."""


@dataclass(frozen=True, slots=True)
class LineReading(Generic[L]):
    """Reads a file against a store. ``read`` gives what one row says, its id empty where it has none.

    ``door`` is where lines are validated: it gives the line as it is to be kept, or raises RefusedError. Faults are
    collected in ``problems``, and then nothing of what was read may be used.
    """

    read: Callable[[Row], L | None]
    known: Known[L]
    door: Callable[[L], L]
    problems: list[Problem]

    def lines(self, rows: Iterable[Row]) -> LinesRead[L]:
        """Read every row.

        Rows with one ``entry`` id are one line. Rows without an id are one entry when bin, kind, moment, keeper and
        compartment are the same and the kind may have several rows (feeding, bedding, survey); else each is its own.
        """
        result: LinesRead[L] = LinesRead()
        with_id: dict[str, list[tuple[Row, L]]] = {}
        without: dict[tuple[object, ...], list[tuple[Row, L, Content, int]]] = {}
        for row in rows:
            result.rows += 1
            line = self.read(row)
            if line is None:
                continue
            if line.id:
                with_id.setdefault(line.id, []).append((row, line))
                continue
            content = next(contents(line))
            ordinal = self.known.meet(content)
            if ordinal is None:
                result.rows_known += 1
                continue
            key: tuple[object, ...] = (len(without),)
            if isinstance(line, Entry) and described(line.what).grouped:
                key = (line.bin, line.kind, line.when, line.by, line.compartment)
            without.setdefault(key, []).append((row, line, content, ordinal))
        for group in with_id.values():
            self._take_identified(group, result)
        for members in without.values():
            row, _, content, ordinal = members[0]
            named = replace(merged([line for _, line, _, _ in members]), id=self.known.name(content, ordinal))
            if (made := self._at_door(row, named)) is not None:
                self.known.ids[made.id] = made
                result.made.add(made.id)
                self._take(row, made, result)
        result.lines.sort(key=lambda line: result.places[line.id].line)
        return result

    def _at_door(self, row: Row, line: L) -> L | None:
        try:
            return self.door(line)
        except RefusedError as error:
            self.problems.extend(replace(each, where=f"{row.file} line {row.line}") for each in error.problems)
            return None

    def _take(self, row: Row, line: L, result: LinesRead[L]) -> None:
        result.lines.append(line)
        result.places[line.id] = row

    def _take_identified(self, group: list[tuple[Row, L]], result: LinesRead[L]) -> None:
        row = group[0][0]
        line = self._at_door(row, merged([line for _, line in group])) if self._agree(group) else None
        if line is None:
            return
        held = self.known.ids.get(line.id)
        if held is None:
            self._take(row, line, result)
        elif _said(held) != _said(line):
            book = "log" if isinstance(line, Entry) else "castings book"
            allowed = f"what the {book} holds under this id already (amend or strike that line)"
            self.problems.append(row.problem("entry", allowed))
        else:
            result.rows_known += len(group)
            if (line.struck or line.extra.get(HISTORY)) and line != held:
                result.strikes.append(line)

    def _agree(self, group: list[tuple[Row, L]]) -> bool:
        (first_row, first), *others = group
        fine = True
        for row, line in others:
            for column in ("when", "bin", "lot", "kind", "by", "compartment", "replaces", "struck"):
                if getattr(line, column, None) != getattr(first, column, None):
                    allowed = f"the same in every row of entry {first.id} (see line {first_row.line})"
                    self.problems.append(row.problem(column, allowed))
                    fine = False
            if not described(first.what).grouped:
                self.problems.append(row.problem("entry", f"one row for a {first.kind.value}"))
                fine = False
        return fine


def _said(line: L) -> L:
    """What a line says, without what happened to it since, and a day alone as its noon (as it was kept before)."""
    said = replace(line, struck=None, day_only=False)
    if HISTORY not in line.extra:
        return said
    return replace(said, extra={name: each for name, each in line.extra.items() if name != HISTORY} or NOTHING_MORE)


def complete_log(log: LinesRead[Entry], known: Known[Entry], problems: list[Problem]) -> None:
    """Give a move that came with one half its other one; refuse an amendment of what is no line of the same bin."""
    ids = {entry.id for entry in log.lines}
    for entry in list(log.lines):
        if isinstance(entry.what, Move) and not entry.what.into:
            _giving, receiving = both_halves(entry)
            if receiving.id not in ids and receiving.id not in known.ids:
                log.lines.append(receiving)
    bins = {entry.id: entry.bin for entry in (*log.lines, *known.ids.values())}
    problems += [
        log.places[entry.id].problem("replaces", "the id of a line of the same bin")
        for entry in log.lines
        if entry.replaces and bins.get(entry.replaces) != entry.bin and entry.id in log.places
    ]


def complete_lots(
    lots: LinesRead[LotLine], new: Iterable[Entry], held: Mapping[str, Entry], known: Known[LotLine],
    problems: list[Problem],
) -> None:  # fmt: skip
    """Give each harvest into a lot its line in the castings book; refuse an intake that no harvest stands behind."""
    coming = {entry.id: entry for entry in new}
    there = {line.id for line in lots.lines} | set(known.ids)
    for entry in coming.values():
        if isinstance(entry.what, Harvest) and entry.what.lot and partner_id(entry.id) not in there:
            lots.lines.append(replace(intake_of(entry), struck=entry.struck))
    for line in lots.lines:
        if line.replaces and line.replaces not in there:
            problems.append(Problem("replaces", line.replaces, "the id of a line of a lot", "", "castings.csv"))
        if isinstance(line.what, Intake):
            harvest = coming.get(partner_id(line.id)) or held.get(partner_id(line.id))
            if harvest is None or not _fits(harvest, line):
                allowed = "castings of a harvest in log.csv, with the same lot, bin, time and amount as there"
                problems.append(Problem("entry", line.id, allowed, "", "castings.csv"))


def _fits(harvest: Entry, line: Line) -> bool:
    """Whether a line of the castings book is the other half of this harvest."""
    if not isinstance(harvest.what, Harvest) or not harvest.what.lot or not isinstance(line, LotLine):
        return False
    half = intake_of(harvest)
    return (half.lot, half.what, half.when) == (line.lot, line.what, line.when)
