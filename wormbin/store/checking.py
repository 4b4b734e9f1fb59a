"""Looking a whole store over: reads everything, changes nothing, and says what it looked at and what it found."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from wormbin.measures import counted
from wormbin.records.entries import Entry, Harvest, Move
from wormbin.records.ids import is_key
from wormbin.records.lots import Intake, Line, intake_of, is_one_of_two, partner_id
from wormbin.store import Flaw, StoreError, backup, flaw_of
from wormbin.store.beside import REDO, Register, read_redo
from wormbin.store.book import Book
from wormbin.store.place import (
    BOOKS,
    CASTINGS,
    FARM,
    Place,
    copies,
    flaw_of_copy,
    folder_of,
    hold_to_folder,
    in_place_of,
    year_in,
)
from wormbin.store.whole import is_part, previous_of
from wormbin.store.writing import Writing

_BACK = "Bring it back with “wormbin store restore”, or mend the line by hand."


@dataclass(frozen=True, slots=True)
class Report:
    """What was looked at, and what was found; ``sound`` when every line can be read, and counts as it should."""

    files: int
    lines: int
    struck: int
    bins: int
    backups: int
    flaws: tuple[Flaw, ...]

    @property
    def sound(self) -> bool:
        """Whether every line can be read, and counts as it should."""
        return not any(flaw.harm for flaw in self.flaws)

    def looked_at(self) -> str:
        """What was looked at, in one sentence."""
        return (
            f"{counted(self.files, 'file')} read: {counted(self.lines, 'line')} ({self.struck} struck through) of "
            f"{counted(self.bins, 'bin')}, and {counted(self.backups, 'backup')}."
        )


def look_over(store: Writing) -> Report:
    """Read every file of the store and its backups. Raises nothing but DiskError for a folder that cannot be listed."""
    flaws: list[Flaw] = []
    books: list[tuple[Book, tuple[Line, ...]]] = []
    unread: set[Path] = set()
    known = _farm(store, flaws)
    flaws.extend(_around(store))
    folders = [name for name in store.disk.names(store.folder / "bins") if not is_part(name)]
    for key in (*folders, CASTINGS):
        path = folder_of(store.folder, key)
        try:
            hold_to_folder(store.disk, store.folder, key)
        except StoreError as error:
            flaws.append(flaw_of(error, path))
            continue
        if key == CASTINGS:
            continue
        if not is_key(key):
            flaws.append(Flaw(path, None, "this is not the folder of a bin", "Move it out of the store."))
        elif known is not None and key not in known:
            do = f"Add the bin “{key}”, or move it out."
            flaws.append(Flaw(path, None, "the farm knows no bin with this key", do))
    for key in (*store.bins_with_books(), CASTINGS):
        flaws.extend(_odd_names(store, key))
        books.extend(_books(store, key, flaws, unread))
    flaws.extend(_lines(books, unread, store.folder))
    backups = backup.names(store.disk, store.folder)
    for name in backups:
        flaws.extend(backup.verify(store.disk, backup.Backup(name, store.folder / backup.FOLDER / name, ())))
    entries = [entry for _, each in books for entry in each]
    return Report(
        files=len(backup.live_files(store.disk, store.folder)),
        lines=sum(len(book.documents) for book, _ in books),
        struck=sum(entry.struck is not None for entry in entries),
        bins=len({book.place.bin for book, _ in books} - {CASTINGS}),
        backups=len(backups),
        flaws=tuple(flaws),
    )


def _farm(store: Writing, flaws: list[Flaw]) -> set[str] | None:
    try:
        Register.load(store.disk, store.folder)
    except StoreError as error:
        flaws.append(flaw_of(error, store.folder / BOOKS))
    try:
        known = {each.key for each in store.farm().bins}
    except StoreError as error:
        flaws.append(flaw_of(error, store.folder / FARM))
        return None
    if (older := store.older_farm()) is not None:
        flaws.append(older)
    return known


def _around(store: Writing) -> Iterator[Flaw]:
    path = store.folder / REDO
    try:
        if read_redo(store.disk, store.folder) is not None:
            yield Flaw(path, None, "a change waits to be completed", "The next change that is written completes it.")
    except StoreError as error:
        yield flaw_of(error, path)
    for copy in copies(store.disk, store.folder):
        yield flaw_of_copy(copy)


def _odd_names(store: Writing, key: str) -> Iterator[Flaw]:
    folder = folder_of(store.folder, key)
    if in_place_of(store.disk, store.folder, key) is not None:
        return
    for name in store.disk.names(folder):
        plain = name.removesuffix(".previous").replace(".slip.", ".")
        if is_part(name):
            yield Flaw(
                folder / name, None, "a half-written file was left behind", "It is taken away at the next start."
            )
        elif year_in(plain) is None and folder / name not in copies(store.disk, store.folder):
            yield Flaw(folder / name, None, "this file is not one of the store's", "Move it out of the store.")


def _books(store: Writing, key: str, flaws: list[Flaw], unread: set[Path]) -> Iterator[tuple[Book, tuple[Line, ...]]]:
    for place in store.places_of(key):
        try:
            book = store.book(place)
            entries = book.entries()
        except StoreError as error:
            unread.add(place.folder(store.folder))
            flaws.append(_with_way_out(flaw_of(error, place.path(store.folder)), store, place))
            continue
        if (odd := book.odd()) is not None:
            flaws.append(odd)
        for unknown in book.unknown:
            what = f"the line {unknown.entry_id} is of the kind “{unknown.kind[:40]}”, which only a newer wormbin knows"
            flaws.append(_at(book, unknown.entry_id, what, "It is kept as it is.", harm=False))
        yield book, entries


def _with_way_out(flaw: Flaw, store: Writing, place: Place) -> Flaw:
    previous = previous_of(place.path(store.folder))
    if flaw.path != place.path(store.folder) or store.disk.stamp(previous) is None:
        return flaw
    do = f"{flaw.do} The state before the last fold is in {previous.name}."
    return Flaw(flaw.path, flaw.line, flaw.what, do, harm=True)


def _at(book: Book, entry_id: str, what: str, do: str, *, harm: bool = True) -> Flaw:
    """A finding at the place where a line stands."""
    return Flaw(*book.storage.line(entry_id), what, do, harm)


def _lines(books: list[tuple[Book, tuple[Line, ...]]], unread: set[Path], root: Path) -> Iterator[Flaw]:
    homes: dict[str, Book] = {}
    everything: dict[str, Line] = {}
    for book, entries in books:
        for entry_id in book.documents:
            if entry_id in homes:
                what = f"the id {entry_id} also stands in {homes[entry_id].place}"
                yield _at(book, entry_id, what, "Take one of the two lines out.")
            homes[entry_id] = book
        everything.update((entry.id, entry) for entry in entries)
    gone = {entry.id for entry in everything.values() if entry.struck is not None}
    gone |= {entry.replaces for entry in everything.values() if entry.replaces and entry.struck is None}
    right: dict[str, str] = {}
    for book, entries in books:
        for entry in entries:
            if entry.replaces and entry.struck is None:
                other_right = right.setdefault(entry.replaces, entry.id)
                if other_right != entry.id:  # two copies put one line right, each in its own way, and were joined
                    what = f"the lines {other_right} and {entry.id} both put {entry.replaces} right, and both count"
                    yield _at(book, entry.id, what, "Strike the one that is wrong.")
            for what, do, harm in _out_of_place(entry, book, everything, gone, unread, root):
                yield _at(book, entry.id, f"the line {entry.id} {what}", do, harm=harm)


def _out_of_place(
    entry: Line, book: Book, everything: dict[str, Line], gone: set[str], unread: set[Path], root: Path
) -> Iterator[tuple[str, str, bool]]:
    if entry.when.year != book.place.year:
        yield (
            f"is of {entry.when.year}, and stands in the book of {book.place.year}",
            "Move it to the book of its year.",
            False,
        )
    if entry.replaces and entry.replaces not in everything:
        yield f"replaces {entry.replaces}, which is not there", "Look for that line in a backup.", True
    if is_one_of_two(entry) and folder_of(root, _home_of_half(entry)) not in unread:
        pair = "a move" if isinstance(entry.what, Move) else "a harvest into a lot"
        other = everything.get(partner_id(entry.id))
        if other is None:
            yield f"is one half of {pair}, and the other half is missing", _BACK, True
        elif (other.id in gone) != (entry.id in gone):
            yield f"is one half of {pair}, and only one half is struck", "Strike it again, or undo.", True
        elif isinstance(entry, Entry) and isinstance(entry.what, Harvest) and not _agree(entry, other):
            yield "is a harvest, and its line in the castings book says something else", "Amend the harvest.", True
    odd = [name for name in entry.extra if name != "history"]
    if odd:
        yield f"has fields that this wormbin does not know: {', '.join(sorted(odd))[:80]}", "They are kept.", False


def _home_of_half(line: Line) -> str:
    """The book in which the other half of a line stands."""
    what = line.what
    return what.other if isinstance(what, Move) else what.source if isinstance(what, Intake) else CASTINGS


def _agree(harvest: Entry, other: Line) -> bool:
    """Whether the line in the castings book says what the harvest says: the same castings into the same lot."""
    half = intake_of(harvest)
    return not isinstance(other, Entry) and (half.lot, half.what, half.when) == (other.lot, other.what, other.when)
