"""A year-book, of a bin or of the castings: the file of the year, and the slip that keeps every save small.

``2026.json`` holds the year. New and changed lines go to ``2026.slip.json`` until it holds 64; then they are folded
into the book. Either file is always replaced as a whole. The slip counts only while its sequence number is above the
book's, so that a fold is one replacement too. A line in the slip stands over the line with the same id in the book.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from wormbin.records.codec import UnknownKindError, UnreadableError, entry_from_json, lot_line_from_json
from wormbin.records.limits import FAR_OFF
from wormbin.records.line_rules import line_problems
from wormbin.records.lots import Line
from wormbin.store.bookpart import Part, read_part
from wormbin.store.change import KEPT, Change, change_to_json, changes_from_json
from wormbin.store.disk import UNKNOWN, Disk, Stamp
from wormbin.store.errors import ChangedError, DamagedError, DiskError, NewerError, told
from wormbin.store.formats import FORMAT
from wormbin.store.lines import Document, order_of
from wormbin.store.place import Place
from wormbin.store.storage import WholeFile
from wormbin.store.text import HEADER, REPAIR, line_of_id

SLIP_LINES = 64
_TRIES = 20


@dataclass(frozen=True, slots=True)
class Unknown:
    """A line of a kind that only a newer program knows; it is kept as it is, and not read."""

    entry_id: str
    kind: str
    error: UnknownKindError


class Book:
    """A year-book in memory, as last read or saved.

    ``documents`` are its lines by id; ``seq`` rises with every save; ``stamps`` tell whether the files are still the
    ones that were read. After a failed save the book must be read again.
    """

    def __init__(self, disk: Disk, root: Path, place: Place) -> None:
        self.disk = disk
        self.root = root
        self.place = place
        self.documents: dict[str, Document] = {}
        self.seq = 0
        self.was_format = FORMAT
        self.stamps: tuple[Stamp | None, Stamp | None] = (None, None)
        self.behind = False
        self.by_hand = False
        self.unknown: tuple[Unknown, ...] = ()
        self._book: Part | None = None
        self._slip: Part | None = None
        self._numbers: dict[str, int] = {}
        self._next_number = 1
        self._typed: dict[str, Line] | None = None
        self._last_order: int | None = None  # counted when first asked for: a save looks at no line but its own

    @classmethod
    def load(cls, disk: Disk, root: Path, place: Place) -> Book:
        """Read the book. Raises DamagedError, NewerError or DiskError; no files at all is an empty book."""
        book = cls(disk, root, place)
        for _ in range(_TRIES):
            # The slip first: if it is folded between the two readings, the book already holds what it held.
            slip = read_part(disk, place.slip(root), place)
            whole = read_part(disk, place.path(root), place)
            book._take(whole, slip)
            if book.is_fresh():
                break
        return book

    def _take(self, whole: Part | None, slip: Part | None) -> None:
        self.stamps = (slip.stamp if slip else None, whole.stamp if whole else None)
        self._typed = self._last_order = None
        self._book = whole
        base = whole.seq if whole else 0
        counts = slip is not None and slip.seq > base
        self._slip = slip if counts else None
        self.documents = dict(whole.documents) if whole else {}
        self._numbers = dict(whole.numbers) if whole else {}
        if slip is not None and counts:
            self.documents.update(slip.documents)
            self._numbers.update(slip.numbers)
        self.seq = slip.seq if slip is not None and counts else base
        self.was_format = min((part.was_format for part in (whole, self._slip) if part is not None), default=FORMAT)
        # The slip was laid on a newer book than the one that is here: an older copy of the book was put back.
        self.behind = bool(slip is not None and counts and slip.header.get("onto", 0) != base)
        self.by_hand = any(part is not None and part.by_hand for part in (whole, self._slip))
        self._next_number = max(self._numbers.values(), default=0) + 1
        if len(set(self._numbers.values())) != len(self._numbers):
            self._numbers = {entry_id: number for number, entry_id in enumerate(self.documents, 1)}
            self._next_number = len(self._numbers) + 1

    def is_fresh(self) -> bool:
        """Whether the files are still the ones that were read."""
        slip, path = self.place.slip(self.root), self.place.path(self.root)
        with told(path, "look at this book"):
            return self.stamps == (self.disk.stamp(slip), self.disk.stamp(path))

    @property
    def last_number(self) -> int:
        """The highest number of a change in the book; 0 when there is none."""
        headers = [part.header.get("changes", []) for part in (self._book, self._slip) if part is not None]
        return max((int(each["number"]) for header in headers for each in header), default=0)

    @property
    def last_order(self) -> int:
        """The place of the line that was written down last; 0 when there is none."""
        if self._last_order is None:
            self._last_order = max(map(order_of, self.documents.values()), default=0)
        return self._last_order

    @property
    def changes(self) -> tuple[Change, ...]:
        """The newest changes, oldest first."""
        found: tuple[Change, ...] = ()
        for part in (self._book, self._slip):
            if part is not None:
                found += changes_from_json(part.header.get("changes"))
        return found

    def line(self, entry_id: str) -> tuple[Path, int | None]:
        """The file and line on which an entry stands."""
        for part in (self._slip, self._book):
            if part is not None and entry_id in part.documents:
                try:
                    raw, _ = self.disk.read(part.path)
                except OSError:
                    return part.path, None
                return part.path, line_of_id(raw.decode("utf-8", "replace"), entry_id)
        return self.place.path(self.root), None

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
            if self.by_hand and (problems := line_problems(entry, None, FAR_OFF)):
                raise UnreadableError(problems[:1])
            self._typed[entry_id] = entry
        except UnknownKindError as error:
            self.unknown = (*self.unknown, Unknown(entry_id, str(document.get("kind")), error))
        except UnreadableError as error:
            path, line = self.line(entry_id)
            raise DamagedError(f"in the line {entry_id}, {error}".rstrip("."), REPAIR, path=path, line=line) from None

    def save(
        self,
        changed: Mapping[str, Document],
        change: Change | None = None,
        *,
        seq: int | None = None,
        whole: bool = False,
    ) -> None:
        """Put these lines in, by id, durably. With ``whole`` they are all that the book will hold.

        Call it with the store's lock held. Raises ChangedError when the files are not the ones that were read.
        """
        if not self.is_fresh():
            raise ChangedError(
                "another program changed this book meanwhile", "Do it again.", path=self.place.path(self.root)
            )
        if self.was_format > FORMAT:
            raise NewerError("a newer wormbin wrote this", "Use it instead.", path=self.place.path(self.root))
        if not whole:
            self.entries()  # a book with a line that cannot be read is not built upon
        seq = self.seq + 1 if seq is None else seq
        recent = [change_to_json(change)] if change is not None else []
        slip_lines = self._slip.documents if self._slip is not None else {}
        fold = (
            whole
            or self._book is None
            or self.was_format != FORMAT
            or self.behind
            or len({*slip_lines, *changed}) > SLIP_LINES
        )
        try:
            if fold:
                self._save_book(changed, recent, seq, whole=whole)
            else:
                self._save_slip(slip_lines, changed, recent, seq)
        except BaseException:
            self._typed = None
            self.stamps = (UNKNOWN, UNKNOWN)
            raise

    def _number(self, documents: Mapping[str, Document]) -> dict[str, Document]:
        numbered = {}
        for entry_id, document in documents.items():
            if entry_id not in self._numbers:
                self._numbers[entry_id] = self._next_number
                self._next_number += 1
            numbered[str(self._numbers[entry_id])] = document
        return numbered

    def _write(self, path: Path, header: dict[str, Any], lines: Mapping[str, Document]) -> Stamp | None:
        storage = WholeFile(self.disk, path)
        storage.write({HEADER: {"1": header}, "entries": self._number(lines)})
        return storage.stamp

    def _save_slip(
        self, slip_lines: Mapping[str, Document], changed: Mapping[str, Document], recent: list[Document], seq: int
    ) -> None:
        path = self.place.slip(self.root)
        before = self._slip.header if self._slip is not None else self._own_header()
        header = {**before, "seq": seq, "onto": self._book.seq if self._book else 0}
        header["changes"] = [*before.get("changes", []), *recent][-KEPT:] if self._slip else recent
        lines = {**slip_lines, **changed}
        stamp = self._write(path, header, lines)
        numbers = {entry_id: self._numbers[entry_id] for entry_id in lines}
        self._slip = Part(header, lines, numbers, stamp, path, FORMAT)
        self._saved(changed, (stamp, self.stamps[1]), seq)

    def _save_book(self, changed: Mapping[str, Document], recent: list[Document], seq: int, *, whole: bool) -> None:
        path = self.place.path(self.root)
        known = self._book.header if self._book is not None else self._own_header()
        changes = [] if whole else [change_to_json(each) for each in self.changes]
        header = {**known, "format": FORMAT, "seq": seq, "changes": [*changes, *recent][-KEPT:]}
        lines = dict(changed) if whole else {**self.documents, **changed}
        stamp = self._write(path, header, lines)
        if whole:
            self.documents, self._typed, self._last_order = {}, None, None
            self._numbers = {entry_id: self._numbers[entry_id] for entry_id in lines}
        self._book = Part(header, lines, dict(self._numbers), stamp, path, FORMAT)
        self._slip = None
        self.was_format, self.behind = FORMAT, False
        # The slip no longer counts, whether or not it can be taken away.
        slip = self.place.slip(self.root)
        left: Stamp | None = UNKNOWN
        with suppress(OSError):
            with suppress(FileNotFoundError):
                self.disk.unlink(slip)
            left = self.disk.stamp(slip)
        self._saved(changed, (left, stamp), seq)

    def _own_header(self) -> dict[str, Any]:
        return {"format": FORMAT, **self.place.header()}

    def _saved(self, changed: Mapping[str, Document], stamps: tuple[Stamp | None, Stamp | None], seq: int) -> None:
        self.documents.update(changed)
        if self._last_order is not None:
            self._last_order = max([self._last_order, *map(order_of, changed.values())])
        self.stamps, self.seq = stamps, seq
        if self._typed is not None:
            for entry_id in changed:
                self._type(entry_id, changed[entry_id])


def line_from_json(place: Place, document: Document) -> Line:
    """A line of the book at ``place``. Raises UnreadableError, UnknownKindError."""
    return entry_from_json(document) if place.bin else lot_line_from_json(document)


def recent_changes(disk: Disk, root: Path, place: Place) -> tuple[Change, ...]:
    """The newest changes of a book, oldest first, from its headers alone if they stand as written here."""
    found: tuple[Change, ...] = ()
    base = 0
    for path in (place.path(root), place.slip(root)):
        try:
            raw, _ = disk.read(path)
            header = json.loads(b"{" + raw.split(b"\n", 3)[2] + b"}")["1"]
            seq, changes = int(header["seq"]), header["changes"]
        except FileNotFoundError:
            continue
        except (ValueError, LookupError, TypeError, OverflowError, RecursionError):
            return Book.load(disk, root, place).changes
        except OSError as error:
            raise DiskError(error, path, "read this file") from error
        if seq > base:
            found += changes_from_json(changes)
            base = seq
    return found
