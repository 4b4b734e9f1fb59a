"""Care of the store: look it over, copy it, bring a copy back, join two copies; each said in lines."""

from __future__ import annotations

import re
from collections.abc import Collection
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from wormbin.measures import counted
from wormbin.problems import Problem, RefusedError
from wormbin.store import SET_ASIDE

if TYPE_CHECKING:
    from wormbin.farm.session import Session
    from wormbin.store import Merging, Restoring, Store


@dataclass(frozen=True, slots=True)
class CareReport:
    """What was done or found, in lines; ``sound`` unless lines cannot be read, ``changes`` whether anything changes."""

    sound: bool
    lines: tuple[str, ...]
    changes: bool = False


@dataclass(frozen=True, slots=True)
class Care:
    """The store's keeping, for whoever asks. Methods ending in ``_plan`` change nothing."""

    store: Store

    def check(self) -> CareReport:
        """Read everything; say what was looked at and what was found. Changes nothing."""
        report = self.store.check()
        found = tuple(flaw.sentence() for flaw in report.flaws)
        return CareReport(report.sound, (report.looked_at(), *(found or ("Nothing is the matter.",))))

    def accept(self, path: Path) -> CareReport:
        """Take a file that was mended by hand as it now is, then look the store over."""
        inside = self._inside(path)
        self.store.accept(inside)
        after = self.check()
        return CareReport(after.sound, (f"{inside.name} is taken as it now is.", *after.lines), changes=True)

    def _inside(self, path: Path) -> Path:
        """A path as it is said, absolute, or from where one stands, or from the store's folder."""
        root = self.store.folder
        for each in (path, root / path):
            whole = each.absolute()
            with suppress(OSError):
                whole = whole.parent.resolve() / whole.name
            if not whole.is_relative_to(root.resolve()):
                continue
            inside = root / whole.relative_to(root.resolve())
            if inside.exists() or inside in self.store.missing_files():
                return inside
        raise RefusedError(
            Problem("file", str(path), f"a file of the store {root}, as store check says", "bins/kitchen/2026.json")
        )

    def backup(self) -> CareReport:
        """A verified copy now."""
        made = self.store.backup()
        if made is None:
            return CareReport(True, ("There is nothing to copy yet.",))
        return CareReport(True, (f"{counted(len(made.files), 'file')} copied to {made.folder}",), changes=True)

    def backups(self) -> tuple[str, ...]:
        """The names of the backups, oldest first."""
        return self.store.backups()

    def restore_plan(self, copy: Path, bins: Collection[str] | None = None) -> CareReport:
        """What bringing a backup back would change; ``copy`` is its name, its folder, or how its name begins."""
        name = self._named(copy)
        plan = self.store.restore_plan(name, bins)
        return _restored(plan, f"{_whole(name, bins)} would be brought back; nothing was changed", bins)

    def restore(self, copy: Path, bins: Collection[str] | None = None) -> CareReport:
        """Bring a backup back, after a backup of what is there now."""
        name = self._named(copy)
        return _restored(
            self.store.restore(name, bins),
            f"{_whole(name, bins)} was brought back; undo does not take that back: what was there is kept as"
            f" {self._kept()}",
            bins,
        )

    def _kept(self) -> str:
        """The name of the copy that was made last before a restore."""
        return next((name for name in reversed(self.store.backups()) if "before-restore" in name), "a backup")

    def _named(self, copy: Path) -> str:
        said, names = copy.name, self.store.backups()
        fits = [name for name in names if name == said] or [name for name in names if name.startswith(said)]
        # A day takes the newest backup of that day, before anything that a restore then set aside; its name is told.
        if len(fits) > 1 and re.fullmatch(r"\d{4}-\d\d-\d\d", said):
            fits = ([name for name in fits if "before-restore" not in name] or fits)[-1:]
        if len(fits) == 1:
            return fits[0]
        known = ", ".join(fits or names[-10:]) or "none yet: wormbin store backup"
        raise RefusedError(Problem("backup", said, f"the name of one backup ({known})", "2026-03-02"))

    def copies(self) -> tuple[Path, ...]:
        """Copies of store files beside them, as sync services leave when two machines wrote at once."""
        return self.store.conflict_copies()

    def merge_plan(self, folder: Path | None) -> CareReport:
        """What another copy of this store has more; with None, what the copies beside its files have."""
        return _merged(self.store.merge_plan(folder), "to take over; nothing was changed")

    def merge(self, folder: Path | None) -> CareReport:
        """Take over what another copy has, which stays as it is; or those beside, which move to ``set-aside``."""
        found = self.store.merge(folder)
        moved = f"; {counted(len(found.copies), 'copy', 'copies')} moved to {SET_ASIDE}" if folder is None else ""
        return _merged(found, f"taken over{moved}")


def _whole(name: str, bins: Collection[str] | None) -> str:
    """What is brought back of a backup, in words."""
    return name if bins is None else f"{', '.join(bins)} alone, out of {name},"


def _restored(plan: Restoring, done: str, bins: Collection[str] | None) -> CareReport:
    if not plan.changes_anything:
        what = "The store" if bins is None else ", ".join(bins)
        return CareReport(True, (f"{what} is as it was in {plan.backup}; nothing changes.",))
    lines = [
        f"{each.place.name} {each.place.year}: {counted(len(each.back), 'line')} back, {len(each.gone)} gone, "
        f"{len(each.changed)} changed" + (" (damaged now; that file is set aside)" if each.damaged else "")
        for each in plan.books
    ]
    lines += [f"{key}: its name, size and other particulars change" for key in plan.particulars]
    if plan.materials:
        lines.append("own materials back: " + ", ".join(plan.materials[:20]))
    if plan.halves:
        lines.append(
            f"{counted(len(plan.halves), 'line')} ({', '.join(plan.halves[:5])}) of moves or harvests into a lot have"
            " another half, in the other bin or the lot. That stays as it is. “wormbin store check” names them"
        )
    if plan.farm and not (plan.particulars or plan.materials):
        lines.append("bins, keepers, materials or settings change")
    return CareReport(True, (*lines, done), changes=True)


def _merged(found: Merging, done: str) -> CareReport:
    lines = [f"a copy: {path.name}" for path in found.copies]
    for what, names in (("bins", found.bins), ("keepers", found.keepers), ("own materials", found.materials)):
        if names:
            lines.append(f"new {what}: {', '.join(names[:20])}")
    if found.settings:
        lines.append("settings that only the other copy has")
    if found.joined:
        lines.append(f"strikes put together for {counted(len(found.joined), 'line')}")
    if found.differing:
        lines.append("these say something else in the two copies, and ours stays: " + ", ".join(found.differing[:20]))
    return CareReport(True, (*lines, f"{counted(len(found.new), 'line')} {done}"), changes=found.changes_anything)


def care(session: Session) -> Care:
    """Looking the store over, copying it, bringing a copy back."""
    return Care(session.store)
