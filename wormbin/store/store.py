"""The store: a folder of year-books and a farm file, and the one doorway to it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from functools import reduce
from pathlib import Path

from wormbin.problems import Problem, RefusedError
from wormbin.records.entries import Entry
from wormbin.records.farms import Farm
from wormbin.records.lots import LotLine
from wormbin.store import DamagedError, NewerError, StoreError, backup, checking, merging, told
from wormbin.store.backup import Restoring
from wormbin.store.beside import Register, hold_to_keys
from wormbin.store.book import listed_changes
from wormbin.store.documents import (
    RESTORED,
    Change,
    Document,
    by_place,
    documents_of,
    first_taken_back,
    is_struck,
    laid_out,
    last_reason,
    last_standing,
    order_of,
    place_new,
    place_of,
    placed,
    with_strike,
    without_strike,
)
from wormbin.store.file import parse, unsealed
from wormbin.store.place import BOOKS, FARM, Place, copies
from wormbin.store.whole import previous_of, put, set_aside
from wormbin.store.writing import A, Writing

_MOST_GONE = 1000
"""Changes in a row, none of whose lines is there any more."""
NOTHING_TO_REDO = "There is nothing to do again: no change was just taken back."


@dataclass(frozen=True, slots=True)
class _Listing:
    """The changes that can be taken back in their turn: the part of each that every book lists, by their numbers."""

    parts: Mapping[int, Mapping[Place, Change]]
    forgotten: int
    unread: tuple[StoreError, ...]

    @property
    def changes(self) -> tuple[Change, ...]:
        """Each of them whole, oldest first."""
        return tuple(reduce(Change.joined, parts.values()) for parts in self.parts.values())

    def whole(self, change: Change) -> None:
        """Raise the error of a book that cannot be read when a part of this change may stand in it."""
        if self.unread and len(self.parts[change.number]) != change.parts:
            raise self.unread[0]


class Store(Writing):
    """One keeper's store. Safe to use from several threads, and from several programs on one machine at once.

    Make it with ``Store.open``. Every method may raise StoreError (path, line, what to do); those that take records
    also RefusedError. After any error, memory and files are as they were.
    """

    def change_farm(self, change: Callable[[Farm], Farm]) -> Farm:
        """Replace the farm by ``change(farm)``, called under the lock with what is on the disk now; the new farm.

        ``change`` must be quick and do nothing else, as it may be called again.
        """
        saved: list[Farm] = []

        def act(_number: int) -> None:
            file = self._fresh_farm()
            farm = change(file.farm)
            hold_to_keys(farm)
            if farm != file.farm or file.stamp is None:
                self._whole_farm()
                self._save_farm(farm)
            saved.append(farm)

        self.again(act)
        return saved[-1]

    def strike(self, entry_id: str, why: str, by: str, at: datetime) -> None:
        """Strike a line through; it stays, with the reason, who and when. Both halves of a pair go together."""

        def act(number: int) -> None:
            lines = self._halves(entry_id)
            if all(is_struck(document) for _, document in lines.values()):
                raise RefusedError(Problem("entry", entry_id, "a line that is not struck through yet"))
            struck = {key: line for key, line in lines.items() if not is_struck(line[1])}
            change = Change(number, "struck", by, at, struck=tuple(struck))
            self.commit(laid_out((place, with_strike(line, why, by, at)) for place, line in struck.values()), change)

        self.again(act)

    def amend(self, old_id: str, new: A | Sequence[A], by: str = "", at: datetime | None = None) -> tuple[A, ...]:
        """Write a right line for a wrong one; the lines as written, each saying what it ``replaces``.

        The wrong line stays and no longer counts. When the right one belongs to another bin, the wrong one is struck,
        and so are the lines that it had amended itself.
        A move and a harvest into a lot are amended by both of their halves, or by a line of another kind.
        """
        news: tuple[A, ...] = (new,) if isinstance(new, Entry | LotLine) else tuple(new)
        written: list[A] = []

        def act(number: int) -> None:
            written.clear()
            moment = at or self.clock()
            olds = self._halves(old_id)
            if all(is_struck(line) for _, line in olds.values()):
                raise RefusedError(Problem("entry", old_id, "a line that is not struck through"))
            for key, (place, _) in olds.items():
                if right := self._right_of(key, place.bin):
                    whole = f"The line {key} was put right by {right} already: put {right} right instead."
                    raise RefusedError(Problem("entry", old_id, right, whole=whole))
            left = {key: line for key, line in olds.items() if not is_struck(line[1])}
            for entry in news:
                same = next((key for key, (place, _) in left.items() if place.bin == place_of(entry).bin), None)
                if same is not None:
                    del left[same]
                written.append(replace(entry, replaces=same or ""))
            left |= self._amended_by(left)
            documents = documents_of(written)
            changed = laid_out(
                (place, with_strike(line, f"amended by {news[0].id}", by or news[0].by, moment))
                for place, line in left.values()
            )
            for entry in written:
                if entry.id in self.book(place_of(entry)).documents:
                    raise RefusedError(Problem("entry", entry.id, "an id that no other line has"))
                old = olds[entry.replaces][1] if entry.replaces else {}
                if old.get("when") == documents[entry.id]["when"]:  # it stands where the wrong one stood
                    documents[entry.id] = placed(documents[entry.id], order_of(old))
            for place, lines in by_place(written).items():
                changed.setdefault(place, {}).update(place_new(documents, lines, self.book(place).last_order))
            ids = tuple(entry.id for entry in written)
            self.commit(changed, Change(number, "amended", by or news[0].by, moment, wrote=ids, struck=tuple(left)))

        self.again(act)
        return tuple(written)

    def changes(self) -> tuple[Change, ...]:
        """The newest changes of the log, oldest first, each whole even when it touched several books.

        Those that another book has forgotten the like of are not among them: undo goes strictly backwards.
        """
        with self._alone:
            return self._listing().changes

    def last_change(self) -> Change | None:
        """The change that ``undo`` would take back, so that it can be shown first; None when there is none."""
        last = last_standing(self.changes())
        return None if last is None or last.did == RESTORED else last

    def _listing(self) -> _Listing:
        parts: dict[int, dict[Place, Change]] = {}
        unread: list[StoreError] = []
        forgotten = 0
        for place in self.all_places():
            known = self._books.get(place)
            try:
                if known is not None and known.is_fresh():
                    found, forgot = known.changes, known.storage.forgot
                else:
                    found, forgot = listed_changes(self.disk, self.folder, place)
            except (DamagedError, NewerError) as error:
                unread.append(error)
                continue
            forgotten = max(forgotten, forgot)
            for number, change in found.items():
                parts.setdefault(number, {})[place] = change
        left = {number: parts[number] for number in sorted(parts) if number > forgotten}
        return _Listing(left, forgotten, tuple(unread))

    def undo(self, by: str, at: datetime) -> Change:
        """Take the last change back: what it wrote is struck, what it struck stands again; the change taken back.

        Called again it takes the one before back. Raises RefusedError when there is nothing left to take back.
        """
        return self._turned(last_standing, by, at, back=True)

    def redo(self, by: str, at: datetime) -> Change:
        """Do again what ``undo`` took back last, as long as nothing else was changed since.

        Called again it does the one before again, as often as ``undo`` was called.
        """
        return self._turned(first_taken_back, by, at, back=False)

    def _turned(
        self, chosen: Callable[[Iterable[Change]], Change | None], by: str, at: datetime, *, back: bool
    ) -> Change:
        done: list[Change] = []

        def act(_number: int) -> None:  # what is taken back keeps the number that it has
            for _ in range(_MOST_GONE):
                listing = self._listing()
                change = chosen(listing.changes)
                if change is None or change.did == RESTORED:
                    whole = self._nothing_left(listing) if back else NOTHING_TO_REDO
                    raise RefusedError(Problem("undo" if back else "redo", "", "a change", whole=whole))
                listing.whole(change)
                if self._turn(listing.parts[change.number], by, at, back=back):
                    done.append(change)
                    return

        self.again(act)
        return done[-1]

    def _nothing_left(self, listing: _Listing) -> str:
        """Why there is nothing to take back; after a restore, where what it replaced lies."""
        last = last_standing(listing.changes)
        if last is None and listing.forgotten:
            return "Undo reaches no further back: older changes are not listed any more. Strike a line by its id."
        if last is None or last.did != RESTORED:
            return "There is no change left to take back."
        kept = [name for name in self.backups() if "before-restore" in name]
        where = f": wormbin store restore {kept[-1]}" if kept else ""
        return f"A restore is not taken back by undo. What was there before it lies in the backups{where}"

    def _turn(self, parts: Mapping[Place, Change], by: str, at: datetime, *, back: bool) -> bool:
        """Take a change back in all its books, or do it again; False when none of its lines is there any more.

        Lines that somebody took out by hand, and said that it was meant, are passed over.
        """
        changed: dict[Place, dict[str, Document]] = {}
        turned: dict[Place, Change] = {}
        there = False
        for place, change in parts.items():
            documents = self.book(place).documents
            there = there or any(entry_id in documents for entry_id in change.ids)
            if back:  # an import brings lines in that are struck already: they stay so when it is done again
                stood = tuple(each for each in change.wrote if not is_struck(documents.get(each, {})))
                change = replace(change, wrote=stood)
            turned[place] = replace(change, back=back)
            for entry_id in change.ids:
                document = documents.get(entry_id)
                if document is None:
                    continue
                if (entry_id in change.struck) == back:
                    if is_struck(document):
                        changed.setdefault(place, {})[entry_id] = without_strike(document, by, at)
                elif not is_struck(document):
                    why = "taken back" if back and entry_id in change.wrote else last_reason(document)
                    changed.setdefault(place, {})[entry_id] = with_strike(document, why, by, at)
        farm = self._fresh_farm().farm
        right = change.turned(farm, back=back) if there else farm
        self.commit(changed, None, right if right != farm else None, listed=turned)
        return there

    # Keeping it well

    def check(self) -> checking.Report:
        """Look the whole store over: what was looked at, and what was found. Changes nothing."""
        with self._alone, told(self.folder, "look the store over"):
            return checking.look_over(self)

    def missing_files(self) -> tuple[Path, ...]:
        """The files that must be there and are not."""
        with self._alone:
            register = self._fresh_register()
            wanted = [place.path(self.folder) for place in register.lines]
            if not register.readable:
                wanted.append(self.folder / BOOKS)
            if self.bins_with_books():
                wanted.append(self.folder / FARM)
            return tuple(path for path in wanted if self._stamp(path) is None)

    def accept(self, path: Path) -> None:
        """Take a file as it is: edited by hand, an older one, or gone. The next change puts a new checksum.

        Raises DamagedError when it cannot be read even so.
        """
        inside = path.relative_to(self.folder).as_posix() if path.is_relative_to(self.folder) else ""
        place = next((each for each in self._fresh_register().lines if inside in (str(each), each.slip_name)), None)
        there = inside in backup.live_files(self.disk, self.folder)
        slip = place is not None and inside == place.slip_name
        if inside == BOOKS:
            self._make_register_anew()
            return
        if not there and not slip and path not in self.missing_files():
            raise StoreError("this is not one of the store's files", "Give the path that was reported.", path=path)
        with told(path, "read this file"), self.writing():
            if there:
                raw, _ = self.disk.read(path)
                opened = unsealed(raw)
                parse(opened, path)
                put(self.disk, path, opened)
            elif inside == FARM:
                self._put_farm(self._farm_on_disk(), Farm())
            elif slip:
                with suppress(FileNotFoundError):
                    self.disk.unlink(previous_of(path))
            if inside == FARM:
                self.came_to({}, 0)
            if place is not None:
                self.came_to({place: None})
                self._books.pop(place, None)

    def _make_register_anew(self) -> None:
        with told(self.folder, "list the books"), self.writing():
            set_aside(self.disk, self.folder, self.folder / BOOKS, self.clock())
            self._register = Register(self.disk, self.folder)
            lines: dict[Place, int | None] = {}
            for place in self.all_places():
                with suppress(StoreError):  # what cannot be read is told by itself
                    lines[place] = len(self.book(place).documents)
            self._register.say(lines, self._farm_on_disk().seq)
            self._notices.pop(self.folder / BOOKS, None)

    def backup(self, why: str = "by-hand") -> backup.Backup | None:
        """A verified copy now; None when there is nothing to copy. The first change of a day makes one by itself."""
        with told(self.folder, "back up the store"), self.writing():
            return backup.make(self.disk, self.folder, self.clock(), why)

    def backups(self) -> tuple[str, ...]:
        """The names of the backups, oldest first; each begins with its date and time."""
        with told(self.folder / backup.FOLDER, "look at the backups"):
            return backup.names(self.disk, self.folder)

    def restore_plan(self, name: str, bins: Collection[str] | None = None) -> Restoring:
        """What bringing this backup back would change; with ``bins`` for these bins, logs and records."""
        with self._alone, told(self.folder, "read this backup"):
            return backup.plan(self, name, bins)

    def restore(self, name: str, bins: Collection[str] | None = None) -> Restoring:
        """Bring a backup back, all or nothing, after a backup of what is there now. ``undo`` ends at this point."""
        return backup.restore(self, name, bins)

    def conflict_copies(self) -> tuple[Path, ...]:
        """Copies of store files beside them, as sync services leave when two machines wrote at once."""
        with told(self.folder, "look for copies"):
            return copies(self.disk, self.folder)

    def merge_plan(self, folder: Path | None = None) -> merging.Merging:
        """What ``merge`` would change."""
        with self._alone, told(self.folder, "compare the copies"):
            return merging.plan(self, folder)

    def merge(self, folder: Path | None = None) -> merging.Merging:
        """Take over what another copy of this store has, which stays; or the copies beside, which go to set-aside."""
        return merging.merge(self, folder)
