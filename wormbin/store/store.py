"""The store: a folder of year-books and a farm file, and the one doorway to it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from functools import reduce
from pathlib import Path

from wormbin.problems import Problem, RefusedError
from wormbin.records.farms import Farm
from wormbin.store import backup, checking, merging
from wormbin.store.backup import Restoring
from wormbin.store.book import listed_changes
from wormbin.store.change import RESTORED, Change, first_taken_back, last_standing
from wormbin.store.errors import DamagedError, NewerError, StoreError, told
from wormbin.store.lines import Document, is_struck, last_reason, with_strike, without_strike
from wormbin.store.place import FARM, Place, copies
from wormbin.store.text import parse, unsealed
from wormbin.store.whole import previous_of, put
from wormbin.store.writing import Writing

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
        done: list[Change] = []

        def act(number: int) -> None:
            del number  # what is taken back keeps the number that it has
            for _ in range(_MOST_GONE):
                listing = self._listing()
                change = last_standing(listing.changes)
                if change is None or change.did == RESTORED:
                    raise RefusedError(Problem("undo", "", "a change", whole=self._nothing_left(listing)))
                listing.whole(change)
                if self._turn(listing.parts[change.number], by, at, back=True):
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

    def redo(self, by: str, at: datetime) -> Change:
        """Do again what ``undo`` took back last, as long as nothing else was changed since.

        Called again it does the one before again, as often as ``undo`` was called.
        """
        done: list[Change] = []

        def act(number: int) -> None:
            del number
            for _ in range(_MOST_GONE):
                listing = self._listing()
                change = first_taken_back(listing.changes)
                if change is None:
                    raise RefusedError(Problem("redo", "", "a change", whole=NOTHING_TO_REDO))
                listing.whole(change)
                if self._turn(listing.parts[change.number], by, at, back=False):
                    done.append(change)
                    return

        self.again(act)
        return done[-1]

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
            wanted = [place.path(self.folder) for place in self._fresh_register().lines]
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
        if not there and not slip and path not in self.missing_files():
            raise StoreError("this is not one of the store's files", "Give the path that was reported.", path=path)
        with told(path, "read this file"), self.writing():
            if there:
                raw, _ = self.disk.read(path)
                opened = unsealed(raw)
                parse(opened, path)
                put(self.disk, path, opened)
            elif inside == FARM:
                self._farm_on_disk().save(Farm())
            elif slip:
                with suppress(FileNotFoundError):
                    self.disk.unlink(previous_of(path))
            if place is not None:
                self._fresh_register().say({place: None})
                self._books.pop(place, None)

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

    def merge_plan(self, folder: Path) -> merging.Merging:
        """What taking over another copy of this store would change."""
        with self._alone, told(self.folder, "compare the copies"):
            return merging.plan(self, Path(folder))

    def merge(self, folder: Path) -> merging.Merging:
        """Take over what another copy of this store has; the other copy stays as it is."""
        return merging.merge(self, Path(folder))

    def conflict_copies(self) -> tuple[Path, ...]:
        """Copies of store files beside them, as sync services leave when two machines wrote at once."""
        with told(self.folder, "look for copies"):
            return copies(self.disk, self.folder)

    def merge_copies_plan(self) -> merging.Merging:
        """What taking over the conflict copies would change."""
        with self._alone, told(self.folder, "compare the copies"):
            return merging.plan_copies(self)

    def merge_copies(self) -> merging.Merging:
        """Take over what the conflict copies have, and move them to ``set-aside``."""
        return merging.merge_copies(self)
