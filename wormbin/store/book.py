"""A year-book, of a bin or of the castings: a TinyDB with tables of lines and changes, and its lines as records."""

from __future__ import annotations

import json
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from tinydb import TinyDB, where
from tinydb.queries import QueryInstance
from tinydb.table import Table

from wormbin.measures import counted
from wormbin.records.codec import UnknownKindError, UnreadableError
from wormbin.records.limits import FAR_OFF
from wormbin.records.line_rules import line_problems
from wormbin.records.lots import Line
from wormbin.store import DamagedError, DiskError, Flaw, MissingError, ways_back
from wormbin.store.disk import Disk, Stamp
from wormbin.store.documents import (
    RESTORED,
    Change,
    Document,
    change_to_json,
    changes_from_json,
    holds_all_of,
    joined,
    line_from_json,
    order_of,
    same,
    settled,
    trimmed,
)
from wormbin.store.file import CHANGES, FORMAT, LINES, REPAIR, WholeFile, changes_in, sum_of
from wormbin.store.place import Place
from wormbin.store.slip import Slipped

STANDS = ~where("struck").test(bool)
"""Finds the lines that are not struck through."""


@dataclass(frozen=True, slots=True)
class Unknown:
    """A line of a kind that only a newer program knows; it is kept as it is, and not read."""

    entry_id: str
    kind: str
    error: UnknownKindError


class Book:
    """A year-book in memory, as last read or saved: ``shelf`` is its TinyDB, ``lines`` the table of its lines.

    ``documents`` are the same lines by id. After a failed save the book must be read again.
    """

    def __init__(self, disk: Disk, root: Path, place: Place) -> None:
        self.place = place
        self.path = place.path(root)
        self.shelf = TinyDB(self.path, disk, storage=Slipped(WholeFile))
        self.lines: Table = self.shelf.table(LINES)
        self.kept_up = 0
        self.unknown: tuple[Unknown, ...] = ()
        self._changes: dict[int, Change] | None = None
        self._typed: dict[str, Line] | None = None
        self._last_order: int | None = None  # counted when first asked for: a save looks at no line but its own

    @classmethod
    def load(cls, disk: Disk, root: Path, place: Place) -> Book:
        """Read the book. Raises DamagedError, NewerError or DiskError; no files at all is an empty book."""
        book = cls(disk, root, place)
        _ = book.storage.tables
        return book

    @property
    def storage(self) -> Slipped:
        """Where the book stands on the disk: its two files as one."""
        storage = self.shelf.storage
        assert isinstance(storage, Slipped)
        return storage

    @property
    def documents(self) -> dict[str, Document]:
        """The lines by id: for a save, which must not look through a year for each line that it writes."""
        return self.storage.documents

    @property
    def seq(self) -> int:
        """Rises with every save."""
        return self.storage.seq

    @property
    def stamps(self) -> tuple[Stamp | None, Stamp | None]:
        """Those of the files that were read."""
        return self.storage.stamps

    def is_fresh(self) -> bool:
        """Whether the files are still the ones that were read."""
        return self.storage.is_fresh()

    def find(self, wanted: QueryInstance) -> list[Line]:
        """The lines that fit, as TinyDB's query finds them; those of an unknown kind are left out."""
        found = []
        for document in self.lines.search(wanted):
            with suppress(UnknownKindError):
                found.append(line_from_json(self.place, document))
        return found

    @property
    def changes(self) -> dict[int, Change]:
        """The newest changes by their numbers."""
        if self._changes is None:
            listed = changes_in(self.storage.tables)
            self._changes = settled(changes_from_json(list(listed.values())))
        return self._changes

    @property
    def last_number(self) -> int:
        """The highest number of a change in the book; 0 when there is none."""
        return max(self.changes, default=0)

    @property
    def last_order(self) -> int:
        """The place of the line that was written down last; 0 when there is none."""
        if self._last_order is None:
            self._last_order = max(map(order_of, self.documents.values()), default=0)
        return self._last_order

    def keep_up(self, known: Book) -> int:
        """Keep the lines that an older copy, put back under the open program, lacks; how many.

        The next save writes them again.
        """
        ours = self.documents
        restored = any(each.did == RESTORED and each.number > known.last_number for each in self.changes.values())
        if self.storage.by_hand or restored:  # it is meant that lines are gone
            return 0
        for entry_id, document in known.documents.items():
            there = ours.get(entry_id)
            if there is None:
                self.storage.lay_in(document)
            elif there != document and same(there, document) and not holds_all_of(ours, [document]):
                self.storage.lay_in(joined(there, document))
            else:
                continue
            self.kept_up += 1
            self.storage.behind = False  # what was saved last is among what is kept
        return self.kept_up

    def odd(self) -> Flaw | None:
        """What is odd about the book as it was read, though nothing of it is lost; None when nothing is."""
        storage = self.storage
        if self.kept_up:
            what = f"an older copy of this log was put back; what it lacks is kept: {counted(self.kept_up, 'line')}"
            do = "The next save writes it again. Did you mean to go back? wormbin store restore."
            return Flaw(self.path, None, what, do, harm=True)
        if storage.differing:
            what = f"another copy of this log says something else in these lines: {', '.join(storage.differing[:5])}"
            do = "Yours count. The next save keeps the others in a file beside; then: wormbin store merge --try."
        elif storage.laid_on_another:
            what = "another machine wrote this, or an older copy was put back: the lines of both are shown"
            what += "; the last save before it is missing" if storage.behind else ""
            do = "Is each of your last lines there? Then go on. If not: wormbin store restore, or write them again."
        elif storage.behind:
            kept = f"; kept from before it: {counted(storage.apart, 'line')}" if storage.apart else ""
            what = f"the file of the newest lines is an older copy, or gone: the last save is missing{kept}"
            do = ways_back(self.place.slip_name, ", or write your last line again")
        else:
            return None
        return Flaw(storage.slip.path, None, what, do, harm=True)

    def hold_to(self, held: int) -> None:
        """Raise MissingError when there are fewer lines than the book ``held``, and nobody said that this is meant."""
        storage = self.storage
        there = len(storage.documents)
        if storage.by_hand or (there >= held and (self.kept_up or not storage.bookless)):
            return
        if not storage.parts:
            what = f"this log is missing: it held {counted(held, 'line')}"
        elif storage.bookless:
            what = "this log is missing: only the file of its newest lines is there"
        else:
            what = (
                f"{counted(held - there, 'line')} that this log held cannot be found: it is an older copy, or half gone"
            )
        raise MissingError(what, ways_back(str(self.place), ", or wormbin store merge"), path=self.path)

    def entries(self) -> tuple[Line, ...]:
        """Every line as a record, in the order of writing. Lines of an unknown kind are left out (see ``unknown``).

        Raises DamagedError with the line and field of the first that cannot be read.
        """
        if self._typed is None:
            self._typed = {}
            self.unknown = ()
            try:
                for entry_id, document in self.documents.items():
                    self._type(entry_id, document)
            except BaseException:
                self._typed = None
                raise
        return tuple(self._typed.values())

    def _type(self, entry_id: str, document: Document) -> None:
        assert self._typed is not None
        try:
            entry = line_from_json(self.place, document)
            if self.storage.by_hand and (problems := line_problems(entry, None, FAR_OFF)):
                raise UnreadableError(problems[:1])
            self._typed[entry_id] = entry
        except UnknownKindError as error:
            self.unknown = (*self.unknown, Unknown(entry_id, str(document.get("kind")), error))
        except UnreadableError as error:
            path, line = self.storage.line(entry_id)
            raise DamagedError(f"in the line {entry_id}, {error}".rstrip("."), REPAIR, path=path, line=line) from None

    def save(
        self,
        changed: Mapping[str, Document],
        change: Change | None = None,
        *,
        seq: int | None = None,
        whole: bool = False,
    ) -> bool:
        """Put these lines in, by id, durably. With ``whole`` they are all that the book will hold.

        Call it with the store's lock held; whether the book was folded or a slip begun.
        Raises ChangedError when the files are not the ones that were read.
        """
        if not whole:
            self.entries()  # a book with a line that cannot be read is not built upon
        known = {} if whole else dict(self.changes)
        if change is not None:
            known[change.number] = change
        forget, forgot = trimmed(known)
        try:
            far = self.storage.save(
                changed,
                {} if change is None else {change.number: change_to_json(change)},
                seq=seq,
                whole=whole,
                fold=bool(self.kept_up),
                forget=forget,
                forgot=forgot,
            )
        except BaseException:
            self._typed = self._changes = None
            raise
        self._changes = {number: each for number, each in known.items() if number not in forget}
        self.kept_up = 0
        self.lines.clear_cache()
        if whole:
            self._typed = self._last_order = None
        if self._last_order is not None:
            self._last_order = max([self._last_order, *map(order_of, changed.values())])
        if self._typed is not None:
            for entry_id in changed:
                self._type(entry_id, changed[entry_id])
        return far


def listed_changes(disk: Disk, root: Path, place: Place) -> tuple[dict[int, Change], int]:
    """The newest changes of a book, and the newest that it forgot; from the ends of its files if they stand as written.

    So undo need not read every line of every year.
    """
    found: dict[int, Document] = {}
    forgot, spent = 0, ""
    for path in (place.path(root), place.slip(root)):
        try:
            raw, _ = disk.read(path)
            header = json.loads(b"{" + raw.split(b"\n", 3)[2] + b"}")["1"]
            if header["format"] != FORMAT or not isinstance(header.get("forgot", 0), int):
                raise ValueError("another format")
            if spent and spent == sum_of(raw):
                continue
            table, spent = json.loads(raw[raw.rindex(_CHANGES) + len(_CHANGES) : -2]), header.get("spent", "")
            found |= changes_in({CHANGES: table})
            forgot = max(forgot, header.get("forgot", 0))
        except FileNotFoundError:
            continue
        except (ValueError, LookupError, TypeError, AttributeError, OverflowError, RecursionError):
            book = Book.load(disk, root, place)
            return book.changes, book.storage.forgot
        except OSError as error:
            raise DiskError(error, path, "read this file") from error
    return settled(changes_from_json(list(found.values()))), forgot


_CHANGES = b'\n"changes": '
