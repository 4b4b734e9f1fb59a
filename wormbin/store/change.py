"""What one act of a keeper did to the log: which lines it wrote, struck or lifted, by whom and when; undo reads it.

Each book lists the changes that touched it. A change that was taken back stays listed as ``back``, so that it can be
done again, until something new is written; so undo does not use up the list. A book lists its newest 60 changes, and
the number of the newest one that it forgot: what is not younger than that, in any book, can no longer be taken back
in its turn.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields, replace
from datetime import datetime
from typing import Any

from wormbin.records.bins import NOTHING_MORE, Bin
from wormbin.records.farms import Farm
from wormbin.records.shapes import UnreadableError, shape_of

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
