"""Writing to a store: every change under the lock, on what is on the disk now, durable before it is acknowledged."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext, suppress
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import Self, TypeVar

from wormbin.problems import Problem, RefusedError
from wormbin.records.codec import UnknownKindError, farm_from_json, farm_to_json, line_to_json, lot_line_from_json
from wormbin.records.farms import Farm
from wormbin.records.lots import Line, LotLine, lots_in_order
from wormbin.store import ChangedError, DamagedError, Flaw, MissingError, StoreError, backup, told
from wormbin.store.beside import (
    FORMS,
    REDO,
    WORKED_OUT,
    FarmFile,
    Note,
    NotePart,
    hold_to_keys,
    read_redo,
    remove_redo,
    write_redo,
)
from wormbin.store.book import Book
from wormbin.store.disk import Disk, held, held_if_free, stamp_of
from wormbin.store.documents import (
    Change,
    Document,
    by_place,
    documents_of,
    is_struck,
    joined,
    place_new,
    place_of,
    placed,
    same,
    turned,
)
from wormbin.store.file import FORMAT
from wormbin.store.place import FARM, Place, folder_of
from wormbin.store.reading import LOCK, Clock, Reading
from wormbin.store.whole import make_folder, previous_of, set_aside, sweep

_AGAIN = 4
A = TypeVar("A", bound=Line)
LotsHold = Callable[[tuple[LotLine, ...], tuple[LotLine, ...]], None]
"""Given the castings book before and after a change; raises RefusedError when the change must not be."""


def _now() -> datetime:
    return datetime.now().astimezone()


def _anything(_before: tuple[LotLine, ...], _after: tuple[LotLine, ...]) -> None:
    """Lets every change of the castings book pass."""


class Writing(Reading):
    """What can be changed in a store. See ``Store``."""

    _backed_up: date | None = None
    spared: str = ""
    """The backup that is being brought back: no new one may thin it out."""
    lots_hold: LotsHold = staticmethod(_anything)
    """Asked under the lock about every change of the castings book that a keeper makes (not a merge or an import)."""
    watched: Callable[[], AbstractContextManager[None]] = staticmethod(nullcontext)
    """Entered under the lock around every change, so that whoever watches can tell own changes from others'."""

    @classmethod
    def open(cls, folder: Path, *, disk: Disk | None = None, clock: Clock = _now) -> Self:
        """The store in a folder, which need not exist yet; the first change creates it.

        What a crash left behind (a half-written temporary file, a redo note) is put in order when nobody else is
        writing. Raises StoreError when the folder is something else.
        """
        store = cls(Path(folder), disk or Disk(), clock)
        found = stamp_of(store.disk, store.folder, "open the store")
        if found is not None and not found.is_folder:
            raise StoreError("this is a file, not a folder", "Choose a folder with --store.", path=store.folder)
        if found is not None:
            store.tidy()
        return store

    def tidy(self) -> None:
        """Take away what a crash left half written, and complete a change that it cut short. Never waits."""
        with self._alone, held_if_free(self.disk, self.folder / LOCK) as lock:
            if lock is None:
                return
            try:
                books = (folder_of(self.folder, book) for book in self._books_on_disk())
                for folder in (self.folder, *books):
                    sweep(self.disk, folder)
                for beside in (FORMS, WORKED_OUT):  # nobody takes the lock for these
                    sweep(self.disk, self.folder / beside, dead=True)
                with suppress(OSError):
                    backup.sweep(self.disk, self.folder)
                self._complete()
                self._say_how_far()
            except StoreError as error:
                self._notice(error)

    def _complete(self, note: Note | None = None) -> None:
        """Finish the change in a redo note, the one on the disk if none is given. Call it with the lock held."""
        was_left = note is None
        note = note or read_redo(self.disk, self.folder)
        if note is None:
            return
        for part in note.parts:
            try:
                book = self.book(part.place, short=True)
            except DamagedError:
                if not part.whole:
                    raise
                for path in (part.place.slip(self.folder), part.place.path(self.folder)):
                    set_aside(self.disk, self.folder, path, self.clock())
                self._books.pop(part.place, None)
                book = self.book(part.place, short=True)
            if part.change is not None:
                self._last_number = max(self._last_number, part.change.number)
            if book.seq < part.seq:
                self._save(book, part.documents, part.change, seq=part.seq, whole=part.whole)
        if note.farm is not None:
            try:
                file = self._farm_on_disk()
            except DamagedError:
                if not note.over_damage:
                    raise
                set_aside(self.disk, self.folder, self.folder / FARM, self.clock())
                file = self._farm_on_disk()
            if file.seq < note.farm_seq:
                self._put_farm(file, farm_from_json(note.farm), note.farm_seq)
        remove_redo(self.disk, self.folder)
        self._note = None
        path = self.folder / REDO
        self._notices.pop(path, None)
        if was_left:
            what = "a change that was cut short has been completed: it is in the log as a whole"
            self._notices[path] = Flaw(path, None, what, "There is nothing to do. See it in the log.")

    def _save(
        self, book: Book, lines: Mapping[str, Document], change: Change | None, *, seq: int | None = None, whole: bool
    ) -> None:
        behind = book.storage.behind and not whole  # what is missing by then, no later save brings back
        if book.save(lines, change, seq=seq, whole=whole):
            self._came_far.add(book.place)
        if book.odd() is None and not behind:
            self._forget_notices(book)

    def _say_how_far(self) -> None:
        """Write into the register how far books and farm came. A failure never undoes what is saved."""
        far, self._came_far = self._came_far, set()
        try:
            register = self._fresh_register()
            farm = max(register.farm, self._farm_on_disk().seq) if None in far else None
            books = {each: self._reach(each, register.lines.get(each, 0)) for each in far if each is not None}
            if far:
                register.say(books, farm)
        except StoreError as error:
            self._notice(error)

    def came_to(self, lines: Mapping[Place, int | None], farm: int | None = None) -> None:
        """Write into the register how many lines books hold, and how far the farm came: 0, or None for not said."""
        self._fresh_register().say(lines, farm)

    def _reach(self, place: Place, said: int) -> int:
        book = self._books[place]
        return len(book.documents) if book.storage.by_hand else max(said, len(book.documents))

    @contextmanager
    def writing(self) -> Iterator[int]:
        """The lock held, what a crash left completed; yields the number for the change."""
        with self._alone:
            with told(self.folder, "make the store's folder"):
                make_folder(self.disk, self.folder)
            with held(self.disk, self.folder / LOCK) as lock:
                self._complete()
                self._daily_backup()
                with suppress(OSError, ValueError):
                    self._last_number = max(self._last_number, int(self.disk.read_note(lock) or b"0"))
                number = self._last_number = max(self._last_number + 1, int(self.clock().timestamp() * 1000))
                with suppress(OSError):
                    self.disk.write_note(lock, b"%020d" % number)
                with self.watched():
                    try:
                        yield number
                    finally:
                        if self._came_far:
                            self._say_how_far()

    def again(self, act: Callable[[int], None]) -> None:
        """Do ``act`` under the lock; when an editor changed a file meanwhile, once more on what is there now."""
        for left in reversed(range(_AGAIN)):
            try:
                with told(self.folder, "use the store"), self.writing() as number:
                    act(number)
                return
            except ChangedError:
                if not left:
                    raise

    def commit(
        self,
        changed: Mapping[Place, Mapping[str, Document]],
        change: Change | None,
        farm: Farm | None = None,
        *,
        ask: bool = True,
        short: bool = False,
        listed: Mapping[Place, Change] | None = None,
    ) -> None:
        """Put lines into their books, and a farm into its file, all or nothing. Call it inside ``writing``.

        With ``ask`` a change of the castings book is held to ``lots_hold`` first. ``short`` lets lines into a book of
        which some are missing. ``listed`` are the books' own parts of a change that is listed already: taken back, or
        done again.
        """
        if ask:
            self._ask(changed)
        books = {place: self.book(place, short=short) for place in {**changed, **(listed or {})}}
        parts_of = dict(listed or {})
        if change is not None:
            # The clock may have been set back, and the hint in the lock file may be lost.
            least = max((book.last_number for book in books.values()), default=0) + 1
            change = replace(change, number=max(change.number, least), parts=len(books))
            self._last_number = max(self._last_number, change.number)
            parts_of = {place: change.within(changed[place]) for place in books}
        if any(book.storage.was_format < FORMAT for book in books.values()):
            self._before_upgrade()
        file = self._fresh_farm()
        if farm is not None:
            self._whole_farm()
        elif file.stamp is None:
            farm = file.farm  # from its first line on a store has a farm file, so that a missing one is noticed
        if len(books) == 1 and farm is None:
            ((place, book),) = books.items()
            self._save(book, changed.get(place, {}), parts_of.get(place), whole=False)
        elif not books and farm is not None:
            self._save_farm(farm)
        elif books:
            parts = tuple(
                NotePart(place, book.seq + 1, changed.get(place, {}), parts_of.get(place))
                for place, book in books.items()
            )
            plain = None if farm is None else farm_to_json(farm)
            self._commit_note(Note(parts, plain, 0 if farm is None else file.seq + 1))

    def _ask(self, changed: Mapping[Place, Mapping[str, Document]]) -> None:
        documents = {key: each for place, lines in changed.items() if not place.bin for key, each in lines.items()}
        if not documents:
            return
        before = self.lot_lines()
        after = {line.id: line for line in before}
        for key, document in documents.items():
            with suppress(UnknownKindError):
                after[key] = lot_line_from_json(document)
        self.lots_hold(before, lots_in_order(list(after.values())))

    def _whole_farm(self) -> None:
        """Refuse to change a farm of which some is missing: its loss would no longer be seen."""
        self._fresh_register()
        if (older := self.older_farm()) is not None:
            raise MissingError(older.what, older.do, path=older.path)

    def _save_farm(self, farm: Farm) -> None:
        file = self._fresh_farm()
        if file.was_format < FORMAT:
            self._before_upgrade()
        self._put_farm(file, farm)

    def _put_farm(self, file: FarmFile, farm: Farm, seq: int | None = None) -> None:
        if file.stamp is None or file.was_format < FORMAT:
            self.came_to({})  # first, so that a list of books that is missing later can be told
        if file.stamp is None:  # what was there before would look newer than what comes now
            set_aside(self.disk, self.folder, previous_of(file.path), self.clock())
        file.save(farm, seq)
        self._came_far.add(None)

    def replace_books(self, wanted: Mapping[Place, Mapping[str, Document]], change: Change, farm: Farm | None) -> None:
        """Make these all that the books hold, and this the farm, all or nothing; damaged files are moved aside."""
        parts = []
        for place, documents in wanted.items():
            try:
                seq = self.book(place, short=True).seq + 1
            except DamagedError:
                known = self._books.get(place)
                seq = 1 if known is None else known.seq + 1
            parts.append(NotePart(place, seq, documents, change, whole=True))
        plain = None if farm is None else farm_to_json(farm)
        farm_seq = 1
        with suppress(DamagedError):
            farm_seq = self._farm_on_disk().seq + 1
        # First, as the register says how many lines must be there; a crash in between only lets it say less.
        self.came_to(dict.fromkeys(wanted), None if farm is None else 0)
        self._commit_note(Note(tuple(parts), plain, farm_seq, over_damage=True))

    def _commit_note(self, note: Note) -> None:
        write_redo(self.disk, self.folder, note)
        try:
            self._complete(note)
        except StoreError as error:
            # The note is on the disk: the change is done, readers see it, and the next writer completes it.
            self._notice(error)

    def _before_upgrade(self) -> None:
        why = f"before-format-{FORMAT}"
        if not any(name.endswith(why) for name in backup.names(self.disk, self.folder)):
            backup.make(self.disk, self.folder, self.clock(), why, self.spared)

    def _daily_backup(self) -> None:
        """One backup on the first change of a day, of how things stood before it. A failure never stops the change."""
        now = self.clock()
        if self._backed_up == now.date():
            return
        place = self.folder / backup.FOLDER
        try:
            with told(place, "make the backup of the day"):
                if not backup.already_on(self.disk, self.folder, now):
                    backup.make(self.disk, self.folder, now, "daily", self.spared)
            self._backed_up = now.date()
        except StoreError as error:
            self._notices[place] = Flaw(place, None, error.what, f"{error.do} Your log is saved all the same.")

    def record(
        self,
        entries: Sequence[A],
        *,
        did: str = "recorded",
        farm: Callable[[Farm], Farm] | None = None,
        joins: Sequence[Line] = (),
        ask: bool = True,
    ) -> tuple[A, ...]:
        """Write lines, all or nothing, also across bins and years; those that were not there yet.

        ``farm`` changes the farm with them (a new bin and its first lines), as in ``change_farm``. ``joins`` are other
        copies of lines that are there: what happened to either (struck, lifted) is put together in the same step.

        A line that is there already, word for word, is passed over, so that doing it again after an error or a second
        import is safe. Raises RefusedError when an id stands for another line, or when the other half of a move or of a
        harvest into a lot is missing; with ``ask`` also what ``lots_hold`` says.
        """
        documents = documents_of(entries)
        written: list[A] = []

        def act(number: int) -> None:
            written.clear()
            changed: dict[Place, dict[str, Document]] = {}
            books = {place: self.book(place) for place in dict.fromkeys(place_of(entry) for entry in entries)}
            for entry in entries:
                place = place_of(entry)
                there = books[place].documents.get(entry.id)
                if there is None:
                    written.append(entry)
                elif placed(there, 0) != placed(documents[entry.id], 0):
                    raise RefusedError(Problem("entry", entry.id, "an id that no other line has"))
            for place, lines in by_place(written).items():
                changed[place] = place_new(documents, lines, books[place].last_order)
            struck, lifted = self._join(joins, changed)
            before = self._fresh_farm().farm
            after = farm(before) if farm is not None else before
            if after != before:
                hold_to_keys(after)
            if changed or after != before:
                ids = tuple(entry.id for entry in written)
                by = next((entry.by for entry in (*written, *joins)), "")
                touched = ids or struck or lifted
                pairs = [(was, now) for was in before.bins for now in after.bins if was.key == now.key and was != now]
                was, now = zip(*pairs, strict=True) if pairs else ((), ())
                at = self.clock()
                change = Change(number, did, by, at, ids, struck, lifted, was=was, now=now) if touched else None
                self.commit(changed, change, after if after != before else None, ask=ask)

        self.again(act)
        return tuple(written)

    def _join(
        self, joins: Sequence[Line], changed: dict[Place, dict[str, Document]]
    ) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Put other copies of lines together with ours, into ``changed``; the ids that are struck by it, and lifted."""
        found: dict[str, tuple[Place, Document, Document]] = {}
        for theirs in joins:
            place, ours = self._line(theirs.id)
            document = line_to_json(theirs)
            if not same(ours, document) or place.bin != place_of(theirs).bin:
                raise RefusedError(Problem("entry", theirs.id, "an id that no other line has"))
            found[theirs.id] = (place, ours, joined(ours, document))
        for entry_id, (_, ours, both) in list(found.items()):
            if is_struck(both) and not is_struck(ours):  # both halves of a pair go together
                for other, (place, half) in self._halves(entry_id).items():
                    if other not in found and not is_struck(half):
                        found[other] = (place, half, {**half, "struck": dict(both["struck"])})
        for entry_id, (place, ours, both) in found.items():
            if both != ours:
                changed.setdefault(place, {})[entry_id] = both
        return turned((ours, both) for _, ours, both in found.values())
