"""From the rows of ``log.csv`` to new entries: rows of one moment put together, and none taken twice."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace

from wormbin.exchange.identity import Content, Known, contents, merged
from wormbin.exchange.row_pieces import GROUPED, Piece, RowReader
from wormbin.exchange.tables import Row
from wormbin.problems import Problem, RefusedError
from wormbin.records.entries import Entry, Move
from wormbin.records.moves import both_halves

HISTORY = "history"
"""The field of a line in which the store keeps that it was struck and lifted again."""
Door = Callable[[Entry], Entry]
"""The one door at which entries are validated: gives the entry as it is to be kept, or raises RefusedError."""


@dataclass(slots=True)
class LogRead:
    """What a log file holds for a store: entries it does not have, rows it has already.

    ``strikes`` are lines that the store has, to which something else has happened in the file: struck, or lifted.
    """

    entries: list[Entry] = field(default_factory=list)
    strikes: list[Entry] = field(default_factory=list)
    rows: int = 0
    rows_known: int = 0
    places: dict[str, int] = field(default_factory=dict)
    """The line of the file on which each entry begins: they are written down in that order."""


def read_log(rows: Iterable[Row], reader: RowReader, known: Known[Entry], door: Door) -> LogRead:
    """Read every row; faults are collected in ``reader.problems`` and then nothing of the result may be used.

    Rows with one ``entry`` id are one entry. Rows without an id are one entry when bin, kind, moment, keeper and
    compartment are the same and the kind may have several rows (feeding, bedding, survey); else each is its own.
    """
    result = LogRead()
    with_id: dict[str, list[Piece]] = {}
    without: dict[tuple[object, ...], list[tuple[Piece, Content, int]]] = {}
    for row in rows:
        result.rows += 1
        piece = reader.read(row)
        if piece is None:
            continue
        if piece.entry:
            with_id.setdefault(piece.entry, []).append(piece)
            continue
        if piece.replaces:
            reader.problems.append(row.problem("replaces", "nothing without an id in the column entry"))
            continue
        content = next(contents(_entry(piece, [piece])))
        ordinal = known.meet(content)
        if ordinal is None:
            result.rows_known += 1
            continue
        key: tuple[object, ...] = (piece.bin, piece.kind, piece.when, piece.by, piece.compartment)
        if piece.kind not in GROUPED:
            key = (*key, len(without))
        without.setdefault(key, []).append((piece, content, ordinal))
    _take_identified(with_id, reader, known, door, result)
    _take_nameless(without, reader, known, door, result)
    result.entries.sort(key=lambda entry: result.places[entry.id])
    _complete_moves(result, known)
    _hold_to_amendments(with_id, result, reader, known)
    return result


def _entry(piece: Piece, pieces: list[Piece]) -> Entry:
    notes = list(dict.fromkeys(each.note for each in pieces if each.note.strip()))
    return Entry(
        id=piece.entry,
        bin=piece.bin,
        when=piece.when,
        what=merged([each.what for each in pieces]),
        by=piece.by,
        note="; ".join(notes),
        compartment=piece.compartment,
        replaces=piece.replaces,
        struck=piece.struck,
        day_only=piece.day_only,
        order=piece.order,
        **({"extra": piece.extra} if piece.extra else {}),
    )


def _at_door(piece: Piece, entry: Entry, reader: RowReader, door: Door) -> Entry | None:
    try:
        return door(entry)
    except RefusedError as error:
        row = piece.row
        reader.problems.extend(replace(each, where=f"{row.file} line {row.line}") for each in error.problems)
        return None


def _take_identified(
    groups: dict[str, list[Piece]], reader: RowReader, known: Known[Entry], door: Door, result: LogRead
) -> None:
    for entry_id, pieces in groups.items():
        first = pieces[0]
        if not _agree(pieces, reader):
            continue
        entry = _at_door(first, _entry(first, pieces), reader, door)
        if entry is None:
            continue
        held = known.ids.get(entry_id)
        if held is None:
            result.entries.append(entry)
            result.places[entry.id] = first.row.line
        elif _said(held) != _said(entry):
            reader.problems.append(
                first.row.problem("entry", "what the log holds under this id already (amend or strike that line)")
            )
        else:
            result.rows_known += len(pieces)
            if (entry.struck or entry.extra.get(HISTORY)) and entry != held:
                result.strikes.append(entry)


def _said(entry: Entry) -> Entry:
    """What a line says, without what happened to it since, and a day alone as its noon (as it was kept before)."""
    if HISTORY not in entry.extra:
        return replace(entry, struck=None, day_only=False)
    return replace(
        entry, struck=None, day_only=False, extra={name: each for name, each in entry.extra.items() if name != HISTORY}
    )


def _agree(pieces: list[Piece], reader: RowReader) -> bool:
    first = pieces[0]
    fine = True
    for piece in pieces[1:]:
        for column in ("when", "bin", "kind", "by", "compartment", "replaces", "struck"):
            if getattr(piece, column) != getattr(first, column):
                allowed = f"the same in every row of entry {first.entry} (see line {first.row.line})"
                reader.problems.append(piece.row.problem(column, allowed))
                fine = False
        if first.kind not in GROUPED:
            reader.problems.append(piece.row.problem("entry", f"one row for a {first.kind.value}"))
            fine = False
    return fine


def _take_nameless(
    groups: dict[tuple[object, ...], list[tuple[Piece, Content, int]]],
    reader: RowReader,
    known: Known[Entry],
    door: Door,
    result: LogRead,
) -> None:
    for members in groups.values():
        piece, content, ordinal = members[0]
        made = replace(_entry(piece, [each for each, _, _ in members]), id=known.name(content, ordinal))
        entry = _at_door(piece, made, reader, door)
        if entry is not None:
            known.ids[entry.id] = entry
            result.entries.append(entry)
            result.places[entry.id] = piece.row.line


def _complete_moves(result: LogRead, known: Known[Entry]) -> None:
    """Give a move that came with one half its other one."""
    ids = {entry.id for entry in result.entries}
    for entry in list(result.entries):
        if isinstance(entry.what, Move) and not entry.what.into:
            _giving, receiving = both_halves(entry)
            if receiving.id not in ids and receiving.id not in known.ids:
                result.entries.append(receiving)


def _hold_to_amendments(
    groups: dict[str, list[Piece]], result: LogRead, reader: RowReader, known: Known[Entry]
) -> None:
    """An amendment must point to a line of the same bin, here or in the file."""
    bins = {entry.id: entry.bin for entry in result.entries} | {each.id: each.bin for each in known.ids.values()}
    for entry in result.entries:
        if entry.replaces and bins.get(entry.replaces) != entry.bin and entry.id in groups:
            row = groups[entry.id][0].row
            place = f"{row.file} line {row.line}, column replaces"
            reader.problems.append(Problem("replaces", entry.replaces, "the id of a line of the same bin", "", place))
