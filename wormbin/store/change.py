"""What one act of a keeper did to the log: which lines it wrote, struck or lifted, by whom and when; undo reads it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from wormbin.records.bins import NOTHING_MORE
from wormbin.records.shapes import UnreadableError, shape_of

KEPT = 30
RESTORED = "restored"


@dataclass(frozen=True, slots=True)
class Change:
    """One act. Numbers rise through the whole store; ``undoes`` is the number of the change that this one took back."""

    number: int
    did: str
    by: str
    at: datetime
    wrote: tuple[str, ...] = ()
    struck: tuple[str, ...] = ()
    lifted: tuple[str, ...] = ()
    undoes: int = 0
    extra: Mapping[str, Any] = field(default=NOTHING_MORE, hash=False)

    @property
    def ids(self) -> tuple[str, ...]:
        """Every line that it touched."""
        return (*self.wrote, *self.struck, *self.lifted)

    def within(self, ids: Mapping[str, Any]) -> Change:
        """The part of the change that concerns one book, whose lines touched are ``ids``."""
        return Change(
            self.number,
            self.did,
            self.by,
            self.at,
            tuple(each for each in self.wrote if each in ids),
            tuple(each for each in self.struck if each in ids),
            tuple(each for each in self.lifted if each in ids),
            self.undoes,
            self.extra,
        )

    def joined(self, other: Change) -> Change:
        """The same change, with the part that stands in another book."""
        return Change(
            self.number,
            self.did,
            self.by,
            self.at,
            tuple(sorted({*self.wrote, *other.wrote})),
            tuple(sorted({*self.struck, *other.struck})),
            tuple(sorted({*self.lifted, *other.lifted})),
            self.undoes,
            self.extra,
        )


def change_to_json(change: Change) -> dict[str, Any]:
    """A change as it stands in a book's header."""
    return shape_of(Change).write(change)


def changes_from_json(documents: Any) -> tuple[Change, ...]:
    """The changes that a header lists; ones that cannot be read are passed over, since only undo needs them."""
    found = []
    for document in documents if isinstance(documents, list) else ():
        try:
            found.append(shape_of(Change).read(document, "", {}))
        except UnreadableError:
            continue
    return tuple(found)


def not_taken_back(changes: Sequence[Change]) -> tuple[Change, ...]:
    """The changes that count, oldest first: without those taken back, but with one whose taking back was taken back."""
    cancelled: set[int] = set()
    left = []
    for change in reversed(changes):
        if change.did == RESTORED:  # what was before is another history
            break
        if change.number not in cancelled:
            left.append(change)
            cancelled.add(change.undoes)
    return tuple(reversed(left))


def taken_back(changes: Sequence[Change]) -> tuple[Change, ...]:
    """The undoings that may be done again, the latest last: those since the last change that was no undoing itself."""
    known = {change.number: change for change in changes}
    left: list[Change] = []
    for change in changes:
        of = known.get(change.undoes)
        if of is None:  # a change of its own, or the undoing of one that is too long ago
            left.clear()
        elif of.undoes:
            left = [each for each in left if each.number != of.number]
        else:
            left.append(change)
    return tuple(left)
