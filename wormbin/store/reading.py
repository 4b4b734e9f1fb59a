"""Reading a store: typed lines kept in memory, and read again only where a file has changed. Creates nothing."""

from __future__ import annotations

import gc
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import replace
from datetime import datetime
from operator import is_
from pathlib import Path
from typing import cast

from tinydb import where

from wormbin.problems import Problem, RefusedError, UnclearError
from wormbin.records.codec import UnknownKindError, farm_from_json
from wormbin.records.entries import Entry
from wormbin.records.farms import Farm
from wormbin.records.ids import KEY_RULE, is_id, is_key
from wormbin.records.lots import Line, LotLine, partner_id
from wormbin.store import Flaw, MissingError, StoreError, flaw_of, told, ways_back
from wormbin.store.beside import REDO, Desk, FarmFile, Note, Register, read_redo
from wormbin.store.book import STANDS, Book
from wormbin.store.disk import Disk, Stamp
from wormbin.store.documents import Document, has_half, in_order, is_struck, line_from_json, years_joined
from wormbin.store.place import (
    BOOKS,
    CASTINGS,
    FARM,
    Place,
    books_on,
    copied_year,
    copies,
    farm_copies,
    folder_name,
    folder_of,
    hold_to_folder,
    notice_of,
    places_on,
    year_in,
)

LOCK = ".lock"
A_LONG_LOG = 20_000
"""Objects that a log of some thousand lines is made of."""
Clock = Callable[[], datetime]


class Reading:
    """What can be asked of a store. See ``Store``."""

    def __init__(self, folder: Path, disk: Disk, clock: Clock) -> None:
        self.folder = folder
        self.disk = disk
        self.clock = clock
        self._alone = threading.RLock()
        self._books: dict[Place, Book] = {}
        self._farm_file: FarmFile | None = None
        self._register: Register | None = None
        self._came_far: set[Place | None] = set()
        """The books that were folded, and None for the farm that was saved, since the register was last written."""
        self._note: Note | None = None
        self._ordered: dict[Place, tuple[object, tuple[Line, ...]]] = {}
        self._joined: dict[str, tuple[tuple[tuple[Line, ...], ...], tuple[Line, ...]]] = {}
        self._notices: dict[Path, Flaw] = {}
        self._last_number = 0
        self.desk = Desk(disk, folder)

    def notices(self) -> tuple[Flaw, ...]:
        """What was noticed and does not stop the store: an older copy was put back, a change waits, a copy lies beside.

        Only folders are listed for it; no file is read.
        """
        with self._alone, told(self.folder, "look for copies"):
            beside = notice_of(copies(self.disk, self.folder))
            more = (self.older_farm(), beside)
            return (*self._notices.values(), *(flaw for flaw in more if flaw is not None))

    def noticed(self, book: str) -> bool:
        """Whether something was noticed about the files of a bin when they were read."""
        return any(path.parent == folder_of(self.folder, book) for path in self._notices)

    def _notice(self, error: StoreError) -> None:
        flaw = flaw_of(error, self.folder)
        self._notices[flaw.path] = flaw

    # Reading

    def farm(self) -> Farm:
        """Bins, keepers, own materials and settings; an empty farm when nothing has been saved."""
        with self._alone:
            note = self._pending()
            if note is not None and note.farm is not None and note.farm_seq > self._farm_on_disk().seq:
                return farm_from_json(note.farm)
            return self._fresh_farm().farm

    def _fresh_farm(self) -> FarmFile:
        """The farm on the disk. Raises MissingError where there are books and no farm."""
        file = self._farm_on_disk()
        if file.stamp is None and (books := self.bins_with_books()):
            raise MissingError(
                f"the file of bins, keepers and settings is missing, though there are logs of {', '.join(books[:5])}",
                "Bring it back: wormbin store restore. Is there no backup? Begin a new file: wormbin store check"
                f" --accept {FARM}. Then say the bins' sizes again.",
                path=file.path,
            )
        return file

    def _farm_on_disk(self) -> FarmFile:
        if self._farm_file is None or not self._farm_file.is_fresh():
            self._farm_file = FarmFile.load(self.disk, self.folder)
        return self._farm_file

    def older_farm(self) -> Flaw | None:
        """Whether the farm's file, as it was read, has not come as far as it was; reads nothing."""
        file, register = self._farm_file, self._register
        if file is None or file.stamp is None or not file.is_fresh():
            return None
        if not file.behind and (register is None or file.seq >= register.farm):
            return None
        what = "the file of bins, keepers and settings is an older copy: what was saved later is not in it"
        return Flaw(file.path, None, what, ways_back(FARM), harm=True)

    def _fresh_register(self) -> Register:
        """Which books there must be; one that cannot be read is told of, and says nothing."""
        known = self._register
        if known is None or known.stamp != self._stamp(self.folder / BOOKS):
            try:
                known = Register.load(self.disk, self.folder)
                self._notices.pop(self.folder / BOOKS, None)
            except StoreError as error:
                self._notice(error)
                known = Register(self.disk, self.folder, readable=False)
            self._register = known
        return known

    def bins_with_books(self) -> tuple[str, ...]:
        """The keys of the bins that have lines on disk, whether or not the farm knows them."""
        with self._alone:
            note = self._pending()
            more = {part.place.bin for part in note.parts} if note is not None else set()
            more |= {place.bin for place in self._fresh_register().lines}
            return tuple(sorted({*self._books_on_disk(), *more} - {CASTINGS}))

    def _books_on_disk(self) -> tuple[str, ...]:
        """The keys of the bins that have books, and ``CASTINGS`` when there are castings books."""
        with told(self.folder, "read this folder"):
            return books_on(self.disk, self.folder)

    def _places_of_bin(self, bin_key: str) -> tuple[Place, ...]:
        if not is_key(bin_key):
            raise RefusedError(Problem("bin", bin_key, KEY_RULE, "kitchen"))
        return self.places_of(bin_key)

    def places_of(self, book: str) -> tuple[Place, ...]:
        """The year-books of a bin or of the castings that there are, or must be, oldest first."""
        with told(folder_of(self.folder, book), "read this folder"):
            years = {place.year for place in places_on(self.disk, self.folder, book)}
        note = self._pending()
        if note is not None:
            years |= {part.place.year for part in note.parts if part.place.bin == book}
        years |= {place.year for place in self._fresh_register().lines if place.bin == book}
        return tuple(Place(book, year) for year in sorted(years))

    def entries(self, bin_key: str) -> tuple[Entry, ...]:
        """Every line of a bin's log, struck and replaced ones too, in time order.

        Kept in memory, and read again only where a file has changed. Raises DamagedError for a book that cannot be
        read; other bins stay readable.
        """
        with self._alone:
            return cast(tuple[Entry, ...], self._log(self._places_of_bin(bin_key), bin_key))

    def lot_lines(self) -> tuple[LotLine, ...]:
        """Every line of the castings book, struck and replaced ones too, in order; kept in memory as logs are."""
        with self._alone:
            return cast(tuple[LotLine, ...], self._log(self.places_of(CASTINGS), CASTINGS))

    def _log(self, places: tuple[Place, ...], book: str) -> tuple[Line, ...]:
        note = self._pending()
        with _no_collecting():
            years = tuple(self._in_order(place, note) for place in places)
        known = self._joined.get(book)
        if known is not None and len(known[0]) == len(years) and all(map(is_, known[0], years)):
            return known[1]
        log = years_joined(years)
        self._joined[book] = (years, log)
        return log

    def _in_order(self, place: Place, note: Note | None) -> tuple[Line, ...]:
        """The lines of one book in time order, with those of a redo note that waits; the same tuple while unchanged."""
        book = self.book(place)
        part = note.part(place) if note is not None else None
        state = (book.stamps, book.seq, note.stamp if note is not None and part is not None else None)
        known = self._ordered.get(place)
        if known is not None and known[0] == state:
            return known[1]
        waits = part is not None and part.seq > book.seq
        found = {} if part is not None and waits and part.whole else {entry.id: entry for entry in book.entries()}
        for key, document in part.documents.items() if part is not None and waits else ():
            with suppress(UnknownKindError):
                found[key] = line_from_json(place, document)
        lines = in_order(list(found.values()))
        self._ordered[place] = (state, lines)
        return lines

    def book(self, place: Place, *, short: bool = False) -> Book:
        """One book as it is on the disk, without a redo note that waits; read again only if a file has changed.

        Raises MissingError when lines are gone that it held, unless it may be ``short``.
        """
        with told(self.folder, "look at the store"):
            hold_to_folder(self.disk, self.folder, place.bin)
        held = self._fresh_register().lines.get(place, 0)  # first, since it is written last
        book = self._books.get(place)
        if book is None or not book.is_fresh():
            known, book = book, Book.load(self.disk, self.folder, place)
            if known is not None:
                book.keep_up(known)
            self._forget_notices(book)
            if (flaw := book.odd()) is not None:
                self._notices[flaw.path] = flaw
            self._books[place] = book
        if not short:
            book.hold_to(held)
        return book

    def _pending(self) -> Note | None:
        path = self.folder / REDO
        stamp = self._stamp(path)
        if stamp is None:
            self._note = None
        elif self._note is None or self._note.stamp != stamp:
            try:
                self._note = read_redo(self.disk, self.folder)
            except StoreError as error:
                self._notice(error)
                self._note = None
        return self._note

    def all_places(self) -> list[Place]:
        """Every book, the newest year first."""
        places = [place for book in (*self.bins_with_books(), CASTINGS) for place in self.places_of(book)]
        return sorted(places, key=lambda place: (-place.year, place.bin))

    def lines_of(self, place: Place) -> tuple[Line, ...]:
        """The lines of one book, with those of a redo note that waits."""
        with self._alone:
            return self._in_order(place, self._pending())

    def revision(self, bin_key: str | None = None) -> str:
        """A token that changes when anything in the store (or in one bin) changes.

        Made of file stamps alone, without reading a file.
        """
        with self._alone, told(self.folder, "read this folder"):
            found: list[tuple[str, Stamp | None]] = [(REDO, self._stamp(self.folder / REDO))]
            if bin_key is None:
                found.append((FARM, self._stamp(self.folder / FARM)))
                found += [(path.name, self._stamp(path)) for path in farm_copies(self.disk, self.folder)]
            for book in (bin_key,) if bin_key is not None else self._books_on_disk():
                folder = folder_of(self.folder, book)
                for name in self.disk.names(folder):
                    own = year_in(name.replace(".slip.", ".")) is not None
                    if own or (bin_key is None and copied_year(name) is not None):
                        found.append((f"{folder_name(book)}/{name}", self._stamp(folder / name)))
            import hashlib  # its own import is a third of the time that the store takes to start

            return hashlib.blake2b(repr(found).encode(), digest_size=12).hexdigest()

    # Finding

    def find(self, id_or_beginning: str) -> Entry:
        """The line with this id, or the only one whose id begins so. Raises RefusedError, UnclearError."""
        return cast(Entry, self._found(id_or_beginning, [each for each in self.all_places() if each.bin]))

    def find_line(self, id_or_beginning: str) -> Line:
        """The same for the lines of all books, the castings book, too."""
        return self._found(id_or_beginning, self.all_places())

    def _found(self, id_or_beginning: str, places: list[Place]) -> Line:
        with self._alone:
            wanted = id_or_beginning.strip().lower()
            found: dict[str, Line] = {}
            for place in places if wanted else ():
                for entry in self._with_beginning(place, wanted):
                    found[entry.id] = entry
                if wanted in found:
                    return found[wanted]
            # The second half of a move, or of a harvest into a lot, is found by its own full id only.
            found = {key: entry for key, entry in found.items() if not (key.endswith("~") and key[:-1] in found)}
            if len(found) == 1:
                return next(iter(found.values()))
            problem = Problem("entry", id_or_beginning, "the id of a line, or its first letters", "7k3q")
            if not found:
                raise RefusedError(replace(problem, allowed="the id of a line in the log, or its first letters"))
            raise UnclearError(replace(problem, allowed="letters that begin only one id"), sorted(found))

    def _with_beginning(self, place: Place, wanted: str) -> list[Line]:
        note = self._pending()
        waiting = note is not None and note.part(place) is not None
        if waiting:
            return [line for line in self.lines_of(place) if line.id.startswith(wanted)]
        if self._books.get(place) is None and not self._mentions(place, f'"{wanted}'.encode()):
            return []
        return self.book(place).find(where("id").test(lambda key: str(key).startswith(wanted)))

    def _mentions(self, place: Place, needle: bytes) -> bool:
        # Much cheaper than parsing: most books of past years do not hold the letters at all.
        for path in (place.slip(self.folder), place.path(self.folder)):
            with told(path, "read this file"), suppress(FileNotFoundError):
                if needle in self.disk.read(path)[0]:
                    return True
        return False

    def _right_of(self, entry_id: str, bin_key: str) -> str:
        """The id of the line that stands in the place of this one; "" for none: two would both count."""
        for place in self.all_places():
            if place.bin == bin_key:
                for line in self.book(place).find((where("replaces") == entry_id) & STANDS):
                    return line.id
        return ""

    def _amended_by(self, lines: Mapping[str, tuple[Place, Document]]) -> dict[str, tuple[Place, Document]]:
        """The lines that these have amended, which would stand again when these are struck."""
        found: dict[str, tuple[Place, Document]] = {}
        for _, document in lines.values():
            before = document.get("replaces")
            while isinstance(before, str) and before and before not in found:
                try:
                    line = self._line(before)
                except RefusedError:
                    break
                if not is_struck(line[1]):
                    found[before] = line
                before = line[1].get("replaces")
        return found

    def _halves(self, entry_id: str) -> dict[str, tuple[Place, Document]]:
        """A line, and its other half if it has one: id -> (place, document). Newest years are looked at first."""
        found = {entry_id: self._line(entry_id)}
        if has_half(found[entry_id][1]):
            with suppress(RefusedError):
                found[partner_id(entry_id)] = self._line(partner_id(entry_id))
        return found

    def _line(self, entry_id: str) -> tuple[Place, Document]:
        if is_id(entry_id):
            for place in self.all_places():
                known = self._books.get(place)
                if known is None and not self._mentions(place, f'"{entry_id}"'.encode()):
                    continue
                document = self.book(place).documents.get(entry_id)
                if document is not None:
                    return place, document
        raise RefusedError(Problem("entry", entry_id, "the id of a line in the log", "7k3q9x2mfa"))

    def _stamp(self, path: Path) -> Stamp | None:
        with told(path, "look at the store"):
            return self.disk.stamp(path)

    def _forget_notices(self, book: Book) -> None:
        for path in (book.path, book.storage.slip.path):
            self._notices.pop(path, None)


@contextmanager
def _no_collecting() -> Iterator[None]:
    """Without the collector of unused objects, which would look at every line of a long log again and again.

    Nor is a long log looked at once more as soon as it is read: it stays.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            if gc.get_count()[0] > A_LONG_LOG:
                gc.freeze()
            gc.enable()
