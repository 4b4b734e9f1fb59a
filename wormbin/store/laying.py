"""Lines of either sort as documents, and which book each of them belongs into."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from wormbin.problems import Problem, RefusedError
from wormbin.records.codec import line_to_json
from wormbin.records.entries import Entry
from wormbin.records.ids import ID_RULE, KEY_RULE, is_id, is_key
from wormbin.records.limits import MOST_LINES
from wormbin.records.lots import Line, described, is_one_of_two
from wormbin.records.moves import partner_id
from wormbin.store.place import CASTINGS, Place
from wormbin.store.strikes import Document, order_of, placed


def place_of(line: Line) -> Place:
    """The book that a line belongs into."""
    return Place(line.bin if isinstance(line, Entry) else CASTINGS, line.when.year)


def has_half(document: Mapping[str, Any]) -> bool:
    """Whether a line has another half: a move, a harvest into a lot, castings that came into one."""
    kind = document.get("kind")
    return kind in ("move", "intake") or (kind == "harvest" and bool(document.get("lot")))


def laid_out(
    lines: Iterable[tuple[Place, Document]],
) -> dict[Place, dict[str, Document]]:
    """Lines sorted into their books."""
    changed: dict[Place, dict[str, Document]] = {}
    for place, document in lines:
        changed.setdefault(place, {})[document["id"]] = document
    return changed


def by_place(lines: Iterable[Line]) -> dict[Place, list[Line]]:
    """Lines by the book that each belongs into."""
    found: dict[Place, list[Line]] = {}
    for line in lines:
        found.setdefault(place_of(line), []).append(line)
    return found


def as_written_at_once(lines: Iterable[Line]) -> list[Line]:
    """The order in which lines that are saved together count as written down.

    By moment, then by what must come first, then as given.
    """
    return sorted(lines, key=lambda line: (line.when, described(line.what).rank if isinstance(line, Entry) else 0))


def place_new(documents: Mapping[str, Document], lines: Sequence[Line], last: int) -> dict[str, Document]:
    """New documents of one book, each with its place after ``last`` unless it brings one (an import, a copy)."""
    found = {line.id: documents[line.id] for line in lines}
    for line in as_written_at_once(lines):
        if not order_of(found[line.id]):
            last = min(last + 1, MOST_LINES)
            found[line.id] = placed(found[line.id], last)
    return found


def documents_of(entries: Sequence[Line]) -> dict[str, Document]:
    """The documents for new lines. Raises RefusedError for what must never reach a file, whoever calls."""
    problems = []
    for entry in entries:
        if not is_id(entry.id):
            problems.append(Problem("entry", entry.id, ID_RULE, "7k3q9x2mfa"))
        if isinstance(entry, Entry) and not is_key(entry.bin):
            problems.append(Problem("bin", entry.bin, KEY_RULE, "kitchen"))
        if entry.when.utcoffset() is None:
            problems.append(
                Problem("when", str(entry.when), "a time with its offset from UTC", "2026-03-02T18:10+01:00")
            )
    twice = [entry_id for entry_id, count in Counter(entry.id for entry in entries).items() if count > 1]
    problems.extend(Problem("entry", entry_id, "an id that no other line has") for entry_id in twice)
    if problems:
        raise RefusedError(problems)
    halves = {entry.id: entry.kind.value for entry in entries if is_one_of_two(entry)}
    lone = sorted(half for half in halves if partner_id(half) not in halves)
    if lone:
        raise RefusedError([Problem(halves[each], each, "both halves of it, saved together") for each in lone])
    return {entry.id: line_to_json(entry) for entry in entries}
