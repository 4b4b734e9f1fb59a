"""The store: a folder of year-books and a farm file, and the one doorway to it."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime
from pathlib import Path

from wormbin.problems import Problem, RefusedError
from wormbin.store import backup, checking, merging, restoring
from wormbin.store.book import recent_changes
from wormbin.store.change import RESTORED, Change, not_taken_back, taken_back
from wormbin.store.errors import StoreError, told
from wormbin.store.lines import Document, is_struck, laid_out, last_reason, with_strike, without_strike
from wormbin.store.place import Place, copies
from wormbin.store.text import parse, unsealed
from wormbin.store.whole import put
from wormbin.store.writing import Writing

NOTHING_TO_REDO = "There is nothing to do again: no change was just taken back."


class Store(Writing):
    """One keeper's store. Safe to use from several threads, and from several programs on one machine at once.

    Make it with ``Store.open``. Every method may raise StoreError (path, line, what to do); those that take records
    also RefusedError. After any error, memory and files are as they were.
    """

    def changes(self) -> tuple[Change, ...]:
        """The newest changes of the log, oldest first, each whole even when it touched several books."""
        with self._alone:
            found: dict[int, Change] = {}
            for place in self.all_places():
                for change in recent_changes(self.disk, self.folder, place):
                    known = found.get(change.number)
                    found[change.number] = change if known is None else known.joined(change)
            return tuple(found[number] for number in sorted(found))

    def last_change(self) -> Change | None:
        """The change that ``undo`` would take back, so that it can be shown first; None when there is none."""
        left = [change for change in not_taken_back(self.changes()) if change.ids and not change.undoes]
        return left[-1] if left else None

    def undo(self, by: str, at: datetime) -> Change:
        """Take the last change back: what it wrote is struck, what it struck stands again; the change taken back.

        Called again it takes the one before back. Raises RefusedError when there is nothing left to take back.
        """
        done: list[Change] = []

        def act(number: int) -> None:
            change = self.last_change()
            if change is None:
                raise RefusedError(Problem("undo", "", "a change", whole=self._nothing_left()))
            self._invert(change, number, by, at)
            done.append(change)

        self.again(act)
        return done[-1]

    def _nothing_left(self) -> str:
        """Why there is nothing to take back; after a restore, where what it replaced lies."""
        changes = self.changes()
        if not changes or changes[-1].did != RESTORED:
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
            changes = self.changes()
            undone = taken_back(changes)
            if not undone:
                raise RefusedError(Problem("redo", "", "a change", whole=NOTHING_TO_REDO))
            self._invert(undone[-1], number, by, at)
            done.append(next(change for change in changes if change.number == undone[-1].undoes))

        self.again(act)
        return done[-1]

    def _invert(self, change: Change, number: int, by: str, at: datetime) -> None:
        strike: list[tuple[Place, Document]] = []
        lift: list[tuple[Place, Document]] = []
        for entry_id in change.ids:
            place, document = self._line(entry_id)
            if entry_id in change.struck:
                if is_struck(document):
                    lift.append((place, without_strike(document, by, at)))
            elif not is_struck(document):
                why = "taken back" if entry_id in change.wrote else last_reason(document)
                strike.append((place, with_strike(document, why, by, at)))
        struck = tuple(document["id"] for _, document in strike)
        lifted = tuple(document["id"] for _, document in lift)
        inverse = Change(number, "undone", by, at, struck=struck, lifted=lifted, undoes=change.number)
        self.commit(laid_out([*strike, *lift]), inverse)

    # Keeping it well

    def check(self) -> checking.Report:
        """Look the whole store over: what was looked at, and what was found. Changes nothing."""
        with self._alone, told(self.folder, "look the store over"):
            return checking.look_over(self)

    def accept(self, path: Path) -> None:
        """Take a file that was edited by hand as it is: its checksum is taken out, and the next change puts a new one.

        Raises DamagedError when it cannot be read even so.
        """
        inside = path.relative_to(self.folder).as_posix() if path.is_relative_to(self.folder) else ""
        if inside not in backup.live_files(self.disk, self.folder):
            raise StoreError("this is not one of the store's files", "Give the path that was reported.", path=path)
        with told(path, "read this file"), self.writing():
            raw, _ = self.disk.read(path)
            opened = unsealed(raw)
            parse(opened, path)
            put(self.disk, path, opened)

    def backup(self, why: str = "by-hand") -> backup.Backup | None:
        """A verified copy now; None when there is nothing to copy. The first change of a day makes one by itself."""
        with told(self.folder, "back up the store"), self.writing():
            return backup.make(self.disk, self.folder, self.clock(), why)

    def backups(self) -> tuple[str, ...]:
        """The names of the backups, oldest first; each begins with its date and time."""
        with told(self.folder / backup.FOLDER, "look at the backups"):
            return backup.names(self.disk, self.folder)

    def restore_plan(self, name: str, bins: Collection[str] | None = None) -> restoring.Restoring:
        """What bringing this backup back would change; with ``bins`` for these bins, logs and records."""
        with self._alone, told(self.folder, "read this backup"):
            return restoring.plan(self, name, bins)

    def restore(self, name: str, bins: Collection[str] | None = None) -> restoring.Restoring:
        """Bring a backup back, all or nothing, after a backup of what is there now. ``undo`` ends at this point."""
        return restoring.restore(self, name, bins)

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
