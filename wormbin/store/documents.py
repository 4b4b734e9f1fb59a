"""What a book holds, as documents: its lines (struck, lifted, joined from two copies), and the changes that undo reads.

A change is what one act of a keeper did: which lines it wrote, struck or lifted, by whom and when. Each book lists the
changes that touched it. A change that was taken back stays listed as ``back``, so that it can be done again, until
something new is written; so undo does not use up the list. A book lists its newest 60 changes, and the number of the
newest one that it forgot: what is not younger than that, in any book, can no longer be taken back in its turn.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, fields, replace
from datetime import datetime, timedelta
from itertools import chain, pairwise
from typing import Any, cast

from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import NOTHING_MORE, Bin
from wormbin.records.codec import entry_from_json, line_to_json, lot_line_from_json
from wormbin.records.entries import Entry, in_time_order
from wormbin.records.farms import Farm
from wormbin.records.ids import ID_RULE, KEY_RULE, is_id, is_key
from wormbin.records.limits import MOST_LINES
from wormbin.records.lots import Line, LotLine, described, is_one_of_two, lots_in_order, partner_id
from wormbin.records.shapes import UnreadableError, shape_of
from wormbin.store.place import CASTINGS, Place

Document = dict[str, Any]
ORDER = "order"
"""Which line of its book it is, as they were written down; two copies of one line may have counted differently."""
_AFTER = ("struck", "history", ORDER)


def is_struck(document: Mapping[str, Any]) -> bool:
    """Whether the line is struck through."""
    return document.get("struck") is not None


def _history(document: Mapping[str, Any]) -> list[Any]:
    history = document.get("history")
    return list(history) if isinstance(history, list) else []


def with_strike(document: Mapping[str, Any], why: str, by: str, at: datetime) -> Document:
    """The line, struck through."""
    return {**document, "struck": {"why": why, "by": by, "at": _later(document, at).isoformat()}}


def without_strike(document: Mapping[str, Any], by: str, at: datetime) -> Document:
    """The line, standing again; that it was struck, and who lifted it, goes into its history."""
    rest = {name: value for name, value in document.items() if name != "struck"}
    lifted = {"did": "lifted", "by": by, "at": _later(document, at).isoformat()}
    rest["history"] = [*_history(document), {"did": "struck", **document["struck"]}, lifted]
    return rest


def _later(document: Mapping[str, Any], at: datetime) -> datetime:
    """``at``, or just after what happened to the line last when the clock was set back: copies join in this order."""
    for event in reversed(_events(document)):
        with suppress(ValueError, TypeError):
            last = datetime.fromisoformat(str(event.get("at")))
            return at if at > last else last + timedelta(microseconds=1)
    return at


def last_reason(document: Mapping[str, Any]) -> str:
    """Why the line was struck the last time, for striking it again; empty when it never was."""
    for event in reversed(_history(document)):
        if isinstance(event, dict) and event.get("did") == "struck":
            return str(event.get("why", ""))
    return ""


def content(document: Mapping[str, Any]) -> Document:
    """What the line says, without whether it is struck and its place: this never changes once it is written."""
    return {name: value for name, value in document.items() if name not in _AFTER}


def order_of(document: Mapping[str, Any]) -> int:
    """Which line of its book it is; 0 when it has no place yet."""
    order = document.get(ORDER)
    return order if isinstance(order, int) and not isinstance(order, bool) and order > 0 else 0


def placed(document: Mapping[str, Any], order: int) -> Document:
    """The line with its place; without one for 0."""
    rest = {name: value for name, value in document.items() if name != ORDER}
    return {**rest, ORDER: order} if order else rest


def same(one: Document, other: Document) -> bool:
    """Whether two documents say the same, in whatever order their fields stand."""
    return json.dumps(content(one), sort_keys=True) == json.dumps(content(other), sort_keys=True)


def _events(document: Mapping[str, Any]) -> list[Document]:
    events = [event for event in _history(document) if isinstance(event, dict)]
    struck = document.get("struck")
    if isinstance(struck, dict):
        events.append({"did": "struck", **struck})
    return events


def _order(event: Mapping[str, Any]) -> tuple[float, str]:
    try:
        moment = datetime.fromisoformat(str(event.get("at"))).timestamp()
    except ValueError:
        moment = 0.0
    return moment, json.dumps(event, sort_keys=True, ensure_ascii=True)


def joined(ours: Mapping[str, Any], theirs: Mapping[str, Any]) -> Document:
    """One line from two copies that say the same: all that happened to either, in the order it happened.

    The result does not depend on which copy is called ours, nor on how many copies are joined in which order.
    """
    events = {json.dumps(event, sort_keys=True): event for event in (*_events(ours), *_events(theirs))}
    history = sorted(events.values(), key=_order)
    orders = [order for order in (order_of(ours), order_of(theirs)) if order]
    document = placed(content(ours), min(orders, default=0))
    if history and history[-1].get("did") == "struck":
        document["struck"] = {name: value for name, value in history.pop().items() if name != "did"}
    if history:
        document["history"] = history
    return document


def holds_all_of(ours: Mapping[str, Document], theirs: Iterable[Document]) -> bool:
    """Whether these lines say all that the others do, and know all that happened to them."""
    return all(
        (known := ours.get(each["id"])) is not None
        and (known == each or (same(known, each) and joined(known, each) == joined(known, known)))
        for each in theirs
    )


def place_of(line: Line) -> Place:
    """The book that a line belongs into."""
    return Place(line.bin if isinstance(line, Entry) else CASTINGS, line.when.year)


def turned(pairs: Iterable[tuple[Document, Document]]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The ids of the lines that are struck by a change, and of those that stand again; of pairs before and after."""
    found = sorted((after["id"], is_struck(after)) for before, after in pairs if is_struck(before) != is_struck(after))
    return tuple(key for key, struck in found if struck), tuple(key for key, struck in found if not struck)


def has_half(document: Mapping[str, Any]) -> bool:
    """Whether a line has another half: a move, a harvest into a lot, castings that came into one."""
    kind = document.get("kind")
    return kind in ("move", "intake") or (kind == "harvest" and bool(document.get("lot")))


def laid_out(lines: Iterable[tuple[Place, Document]]) -> dict[Place, dict[str, Document]]:
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


def in_order(lines: list[Line]) -> tuple[Line, ...]:
    """Lines of one sort of book in its order."""
    if lines and isinstance(lines[0], LotLine):
        return lots_in_order(cast(list[LotLine], lines))
    return in_time_order(cast(list[Entry], lines))


def years_joined(years: tuple[tuple[Line, ...], ...]) -> tuple[Line, ...]:
    """The lines of all years in time order. Years follow each other but where offsets overlap at a year's end."""
    filled = [lines for lines in years if lines]
    if all(before[-1].when < after[0].when for before, after in pairwise(filled)):
        return tuple(chain.from_iterable(filled))
    return in_order([line for lines in filled for line in lines])


def line_from_json(place: Place, document: Document) -> Line:
    """A line of the book at ``place``. Raises UnreadableError, UnknownKindError."""
    return entry_from_json(document) if place.bin else lot_line_from_json(document)


KEPT = 60
RESTORED = "restored"


@dataclass(frozen=True, slots=True)
class Change:
    """One act. Numbers rise through the whole store; ``back`` while it is taken back.

    ``parts`` is how many books list it (0: not said, as in older stores); ``undoes`` is the number of the change that
    this one took back, in older stores. ``was`` and ``now`` are the bins whose particulars it set, before and after.
    """

    number: int
    did: str
    by: str
    at: datetime
    wrote: tuple[str, ...] = ()
    struck: tuple[str, ...] = ()
    lifted: tuple[str, ...] = ()
    undoes: int = 0
    back: bool = False
    parts: int = 0
    was: tuple[Bin, ...] = ()
    now: tuple[Bin, ...] = ()
    extra: Mapping[str, Any] = field(default=NOTHING_MORE, hash=False)

    @property
    def ids(self) -> tuple[str, ...]:
        """Every line that it touched."""
        return (*self.wrote, *self.struck, *self.lifted)

    def turned(self, farm: Farm, *, back: bool) -> Farm:
        """The farm with the particulars set back to what they were, or again; what was set otherwise since stays."""
        pairs = zip(self.was, self.now, strict=True)
        turn = {one.key: (one, other) if back else (other, one) for one, other in pairs}

        def right(held: Bin) -> Bin:
            want, left = turn.get(held.key, (held, held))
            names = [each.name for each in fields(Bin) if getattr(held, each.name) == getattr(left, each.name)]
            return replace(held, **{name: getattr(want, name) for name in names})

        return replace(farm, bins=tuple(map(right, farm.bins)))

    def within(self, ids: Mapping[str, Any]) -> Change:
        """The part of the change that concerns one book, whose lines touched are ``ids``."""
        return replace(
            self,
            wrote=tuple(each for each in self.wrote if each in ids),
            struck=tuple(each for each in self.struck if each in ids),
            lifted=tuple(each for each in self.lifted if each in ids),
        )

    def joined(self, other: Change) -> Change:
        """The same change, with the part that stands in another book."""
        return replace(
            self,
            wrote=tuple(sorted({*self.wrote, *other.wrote})),
            struck=tuple(sorted({*self.struck, *other.struck})),
            lifted=tuple(sorted({*self.lifted, *other.lifted})),
            back=self.back or other.back,
        )


def change_to_json(change: Change) -> dict[str, Any]:
    """A change as it stands in a book."""
    return shape_of(Change).write(change)


def changes_from_json(documents: Any) -> tuple[Change, ...]:
    """The changes that are listed; ones that cannot be read are passed over, since only undo needs them."""
    found = []
    for document in documents if isinstance(documents, list) else ():
        try:
            found.append(shape_of(Change).read(document, "", {}))
        except UnreadableError:
            continue
    return tuple(found)


def settled(changes: Iterable[Change]) -> dict[int, Change]:
    """The changes of one book by their numbers; in an older store one that was taken back is marked by a later one."""
    found: dict[int, Change] = {}
    marks: dict[int, int] = {}
    for change in sorted(changes, key=lambda each: each.number):
        if not change.undoes:
            found[change.number] = change
            continue
        first = marks.get(change.undoes, change.undoes)  # taken back, done again, taken back: all of one change
        marks[change.number] = first
        if first in found:
            found[first] = replace(found[first], back=not found[first].back)
    return found


def trimmed(changes: Mapping[int, Change]) -> tuple[list[int], int]:
    """The numbers of changes that a book need not list any longer, and the newest that it so forgets (0: none)."""
    standing = sorted(number for number, change in changes.items() if not change.back)
    newest = standing[-1] if standing else 0
    over = [number for number, change in changes.items() if change.back and number < newest]
    forgotten = standing[:-KEPT]
    return [*over, *forgotten], max(forgotten, default=0)


def last_standing(changes: Iterable[Change]) -> Change | None:
    """The newest change that is not taken back."""
    return max((each for each in changes if not each.back), key=lambda each: each.number, default=None)


def first_taken_back(changes: Iterable[Change]) -> Change | None:
    """The change that was taken back last, when nothing was changed since."""
    held = tuple(changes)
    newest = last_standing(held)
    after = [each for each in held if each.back and (newest is None or each.number > newest.number)]
    return min(after, key=lambda each: each.number, default=None)
