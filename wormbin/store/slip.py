"""The middleware that lays a slip on a year-book: ``TinyDB(path, storage=Slipped(WholeFile))``.

``2026.json`` holds the year. New and changed lines go to ``2026.slip.json`` until it holds 64; then they are folded
into the book, so that every save stays small. The slip names the state of the book that it is laid on (``mark``). A
slip that was laid on another state is one of another machine, or of another day: the lines that only it has are
joined to the book, told of, and folded in by the next save. So are those of the slip's own state before its last save
(``.previous``) that the slip lacks: then an older slip was put back, or it is gone.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any, Self

from tinydb.middlewares import Middleware

from wormbin.store import ChangedError, NewerError, StoreError, told
from wormbin.store.disk import UNKNOWN, Disk, Stamp, same_file
from wormbin.store.documents import Document, holds_all_of, joined, same
from wormbin.store.file import (
    CHANGES,
    FORMAT,
    HEADER,
    LINES,
    Part,
    Tables,
    WholeFile,
    checked,
    line_of_id,
    read_part,
    sum_of,
)
from wormbin.store.place import place_at
from wormbin.store.whole import previous_of

SLIP_LINES = 64
_TRIES = 20


class Slipped(Middleware):
    """The two files of a year-book as one: see the module. After a failed write it must be opened again."""

    storage: WholeFile
    slip: WholeFile

    def __init__(self, storage_cls: type[WholeFile] = WholeFile) -> None:
        super().__init__(storage_cls)

    def __call__(self, path: Path | str, disk: Disk | None = None) -> Self:
        """Made by TinyDB: the path of the book, and the disk."""
        self.disk = disk or Disk()
        self.path = Path(path)
        self.root, self.place = place_at(self.path)
        self.storage = WholeFile(self.path, self.disk)
        self.slip = WholeFile(self.place.slip(self.root), self.disk)
        self.stamps: tuple[Stamp | None, Stamp | None] = (None, None)
        self.documents: dict[str, Document] = {}
        self.apart = 0
        self.differing: tuple[str, ...] = ()
        self.behind = False
        """Whether the slip is older than its own last save, or gone: what was saved last is missing."""
        self._tables: Tables | None = None
        self._book: Part | None = None
        self._slip: Part | None = None
        self._numbers: dict[str, int] = {}
        self._next_number = 1
        return self

    # Reading

    def read(self) -> Tables | None:
        """The tables of both files, as they were when they were first asked for; None when there is none.

        TinyDB changes what it is given in place, so these are copies.
        """
        tables = self.tables
        if not self.documents and not self.parts:
            return None
        return {name: {key: dict(each) for key, each in table.items()} for name, table in tables.items()}

    def _load(self) -> None:
        for _ in range(_TRIES):
            # The slip first: if it is folded between the two readings, the book already holds what it held.
            slip = read_part(self.disk, self.slip.path, self.place)
            whole = read_part(self.disk, self.path, self.place)
            before = None
            with suppress(StoreError):
                before = read_part(self.disk, previous_of(self.slip.path), self.place)
            self.stamps = (slip.stamp if slip else None, whole.stamp if whole else None)
            if self.is_fresh():
                break
        self._take(whole, slip, before)

    def _take(self, whole: Part | None, slip: Part | None, before: Part | None) -> None:
        self._book, self._slip = whole, slip
        self.documents = dict(whole.documents) if whole else {}
        self.apart, self.differing = 0, ()
        if whole is not None and slip is not None:
            if slip.sum == whole.header.get("spent") or holds_all_of(whole.documents, slip.documents.values()):
                self._slip = None  # a crash left it behind, or another machine folded it
            elif slip.header.get("onto") == whole.header.get("mark"):
                self.documents.update(slip.documents)
            else:
                self.differing = self._join(slip)
        self.behind = False
        on_this = before is not None and whole is not None and before.header.get("onto") == whole.header.get("mark")
        if before is not None and on_this and not self.by_hand:
            self._look_back(slip, before)
        self._count()

    def _look_back(self, slip: Part | None, before: Part) -> None:
        """See whether the slip still holds what it held before its last save; what it lacks of that is put in."""
        known = self.apart
        self._join(before)
        again = slip is not None and slip.sum == before.sum and not same_file(slip.stamp, before.stamp)
        self.behind = self.apart > known or slip is None or again

    def _join(self, slip: Part) -> tuple[str, ...]:
        """Put the lines of a slip of another state to ours; the ids of those of which it says something else."""
        differing = []
        for entry_id, theirs in slip.documents.items():
            ours = self.documents.get(entry_id)
            if ours is not None and not same(ours, theirs):
                differing.append(entry_id)
            elif not holds_all_of(self.documents, [theirs]):
                self.documents[entry_id] = theirs if ours is None else joined(ours, theirs)
                self.apart += 1
        return tuple(differing)

    def _count(self) -> None:
        """Give each line its number in the tables: the book's, the slip's, or a new one where two would be equal."""
        self._numbers = {}
        taken: set[int] = set()
        self._next_number = max((max(part.numbers.values(), default=0) for part in self.parts), default=0) + 1
        for part in self.parts:
            for entry_id, number in part.numbers.items():
                if entry_id in self.documents and entry_id not in self._numbers:
                    number = self._new_number() if number in taken else number
                    self._numbers[entry_id] = number
                    taken.add(number)
        self._tables = {
            HEADER: {"1": self._header()},
            LINES: {str(self._number(entry_id)): document for entry_id, document in self.documents.items()},
            CHANGES: {str(number): each for part in self.parts for number, each in part.changes.items()},
        }

    def _new_number(self) -> int:
        self._next_number += 1
        return self._next_number - 1

    def _number(self, entry_id: str) -> int:
        if entry_id not in self._numbers:
            self._numbers[entry_id] = self._new_number()
        return self._numbers[entry_id]

    @property
    def parts(self) -> tuple[Part, ...]:
        """The book, and the slip where it counts."""
        return tuple(part for part in (self._book, self._slip) if part is not None)

    @property
    def tables(self) -> Tables:
        """The tables in memory, empty ones when there is no file."""
        if self._tables is None:
            self._load()
        assert self._tables is not None
        return self._tables

    @property
    def seq(self) -> int:
        """Rises with every save; 0 when there is no file."""
        return max((part.seq for part in self.parts), default=0)

    @property
    def forgot(self) -> int:
        """The number of the newest change that is no longer listed; 0 while every one is."""
        return max((int(part.header.get("forgot", 0)) for part in self.parts), default=0)

    @property
    def was_format(self) -> int:
        """The older format of the two files."""
        return min((part.was_format for part in self.parts), default=FORMAT)

    @property
    def by_hand(self) -> bool:
        """Whether one of the files was read without its checksum."""
        return any(part.by_hand for part in self.parts)

    @property
    def bookless(self) -> bool:
        """Whether there is a slip without the book that it was laid on."""
        return self._book is None and self._slip is not None

    @property
    def laid_on_another(self) -> bool:
        """Whether the slip was laid on another state of the book than the one that is here."""
        slip, book = self._slip, self._book
        return slip is not None and book is not None and slip.header.get("onto") != book.header.get("mark")

    def is_fresh(self) -> bool:
        """Whether the files are still the ones that were read."""
        with told(self.path, "look at this book"):
            return self.stamps == (self.disk.stamp(self.slip.path), self.disk.stamp(self.path))

    def line(self, entry_id: str) -> tuple[Path, int | None]:
        """The file and line on which an entry stands."""
        for part in reversed(self.parts):
            if entry_id in part.documents:
                try:
                    raw, _ = self.disk.read(part.path)
                except OSError:
                    return part.path, None
                return part.path, line_of_id(raw.decode("utf-8", "replace"), entry_id)
        return self.path, None

    def lay_in(self, document: Document) -> None:
        """Put a line to those in memory; the next fold writes it."""
        self.documents[document["id"]] = document
        self.tables[LINES][str(self._number(document["id"]))] = document

    def _header(self) -> dict[str, Any]:
        newest = self.parts[-1].header if self.parts else {}
        known = self._book.header if self._book is not None else {}
        kept = {**known, **newest, "format": FORMAT, "part": "book", **self.place.header(), "seq": self.seq}
        return {name: value for name, value in kept.items() if name not in ("onto", CHANGES)}

    # Writing

    def write(self, data: Tables) -> None:
        """What TinyDB's tables write: the lines that differ go to the slip, or the book is folded, durably."""
        tables = self.tables
        wanted = checked(data, self.path, self.place)
        changed = {key: each for key, each in wanted.documents.items() if self.documents.get(key) != each}
        changes = {n: each for n, each in wanted.changes.items() if tables[CHANGES].get(str(n)) != each}
        if wanted.documents.keys() >= self.documents.keys():
            self._numbers.update(wanted.numbers)
            self.save(changed, changes)
        else:
            self.save(wanted.documents, wanted.changes, whole=True)

    def save(
        self,
        changed: Mapping[str, Document],
        changes: Mapping[int, Document],
        *,
        seq: int | None = None,
        whole: bool = False,
        fold: bool = False,
        forget: Iterable[int] = (),
        forgot: int = 0,
    ) -> bool:
        """Put lines in by their ids, and changes by their numbers; whether the book was folded, or a slip begun.

        With ``whole`` they are all that the book will hold. ``forget`` are numbers of changes that go. This does what
        ``write`` does for the lines that a save touches alone: for a year of 5,000 lines TinyDB's own way of changing
        a table copies it twice, which takes as long as making a save durable does.
        Raises ChangedError when the files are not the ones that were read.
        """
        tables = self.tables
        if not self.is_fresh():
            raise ChangedError("another program changed this book meanwhile", "Do it again.", path=self.path)
        if self.was_format > FORMAT:
            raise NewerError("a newer wormbin wrote this", "Use it instead.", path=self.path)
        seq = self.seq + 1 if seq is None else seq
        lines = self._slip.documents if self._slip is not None else {}
        fold = fold or whole or self._book is None or self.was_format != FORMAT
        fold = fold or self.laid_on_another or bool(self.apart)
        fold = fold or len({*lines, *changed}) > SLIP_LINES
        gone = set(forget)
        begun = self._slip is None
        try:
            if fold:
                self._fold(changed, changes, seq, gone, max(forgot, self.forgot), whole=whole)
            else:
                self._save_slip({**lines, **changed}, changes, seq, gone, forgot)
        except BaseException:
            self.stamps = (UNKNOWN, UNKNOWN)
            raise
        self.behind = False
        if whole:
            self.documents = dict(changed)
            tables[LINES], tables[CHANGES] = {}, {}
        self.documents.update(changed)
        tables[HEADER]["1"] = self._header()
        tables[LINES].update({str(self._number(entry_id)): document for entry_id, document in changed.items()})
        tables[CHANGES].update({str(number): each for number, each in changes.items()})
        for number in gone:
            tables[CHANGES].pop(str(number), None)
        return fold or begun

    def _save_slip(
        self, lines: dict[str, Document], changes: Mapping[int, Document], seq: int, gone: set[int], forgot: int
    ) -> None:
        book = self._book
        assert book is not None
        before = self._slip.header if self._slip is not None else self.place.header()
        header = {**before, "format": FORMAT, "part": "slip", "seq": seq, "onto": book.header["mark"]}
        if forgot:
            header["forgot"] = max(forgot, int(header.get("forgot", 0)))
        known = self._slip.changes if self._slip is not None else {}
        kept = {**known, **changes}
        for number in gone - book.changes.keys():  # what the book says of a change, the slip must go on to unsay
            kept.pop(number, None)
        part = self._write(self.slip, header, lines, kept)
        self._slip = part
        self.stamps = (part.stamp, self.stamps[1])

    def _fold(
        self,
        changed: Mapping[str, Document],
        changes: Mapping[int, Document],
        seq: int,
        gone: set[int],
        forgot: int,
        *,
        whole: bool,
    ) -> None:
        lines = dict(changed) if whole else {**self.documents, **changed}
        slip = self._slip.documents if self._slip is not None else {}
        known = {} if whole else {int(number): each for number, each in self.tables[CHANGES].items()}
        news = changed if whole or self._book is None else {**slip, **changed}
        mark = self._book.header["mark"] if self._book is not None else ""
        header = {**self._header(), "seq": seq, "mark": _mark(mark, seq, news), "spent": self._slip_sum()}
        if forgot:
            header["forgot"] = forgot
        kept = {number: each for number, each in {**known, **changes}.items() if number not in gone}
        part = self._write(self.storage, header, lines, dict(sorted(kept.items())))
        self._book, self._slip = part, None
        left: Stamp | None = UNKNOWN
        with suppress(OSError):  # the slip no longer counts, whether or not it can be taken away
            with suppress(FileNotFoundError):
                self._drop_slip()
            left = self.disk.stamp(self.slip.path)
        self.stamps = (left, part.stamp)
        self.apart, self.differing = 0, ()

    def _slip_sum(self) -> str:
        if self.stamps[0] is None:
            return ""
        with suppress(OSError):
            return sum_of(self.disk.read(self.slip.path)[0])
        return ""

    def _drop_slip(self) -> None:
        if self.differing:  # it says something else of a line: kept as a copy, to be looked at
            kept = self.slip.path.with_name(f"{self.place.year:04d}.slip.kept-{self._slip_sum()}.json")
            self.disk.replace(self.slip.path, kept)
        else:
            self.disk.unlink(self.slip.path)

    def _write(
        self, storage: WholeFile, header: dict[str, Any], lines: dict[str, Document], changes: dict[int, Document]
    ) -> Part:
        numbers = {entry_id: self._number(entry_id) for entry_id in lines}
        storage.write(
            {
                HEADER: {"1": header},
                LINES: {str(numbers[entry_id]): document for entry_id, document in lines.items()},
                CHANGES: {str(number): each for number, each in changes.items()},
            }
        )
        return Part(header, lines, numbers, storage.path, changes, storage.stamp, sum=storage.sum)


def _mark(before: str, seq: int, lines: Mapping[str, Document]) -> str:
    """The name of a state of a book: of the state before it, and what was folded into it."""
    text = json.dumps([before, seq, lines], sort_keys=True, ensure_ascii=True)
    return f"{zlib.crc32(text.encode()):08x}"
