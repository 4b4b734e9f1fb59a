"""Care of the store: look it over, copy it, bring a copy back, join two copies; each said in lines."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from wormbin.problems import Problem, RefusedError
from wormbin.store.merging import Merging
from wormbin.store.store import Store


@dataclass(frozen=True, slots=True)
class CareReport:
    """What was done or found, in lines; ``sound`` unless lines cannot be read."""

    sound: bool
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Care:
    """The store's keeping, for whoever asks."""

    store: Store

    def check(self) -> CareReport:
        """Read everything; say what was looked at and what was found. Changes nothing."""
        report = self.store.check()
        found = tuple(flaw.sentence() for flaw in report.flaws)
        return CareReport(report.sound, (report.looked_at(), *(found or ("Nothing is the matter.",))))

    def backup(self) -> CareReport:
        """A verified copy now."""
        made = self.store.backup()
        if made is None:
            return CareReport(True, ("There is nothing to copy yet.",))
        return CareReport(True, (f"{len(made.files)} files copied to {made.folder}",))

    def restore(self, copy: Path, only_try: bool) -> CareReport:
        """Bring a backup back, by its name, its folder, or the beginning of its name (a date)."""
        name = self._named(copy)
        plan = self.store.restore_plan(name) if only_try else self.store.restore(name)
        if not plan.changes_anything:
            return CareReport(True, (f"The store is as it was in {name}; nothing changes.",))
        lines = [
            f"{each.place.bin} {each.place.year}: {len(each.back)} lines come back, {len(each.gone)} go, "
            f"{len(each.changed)} change"
            for each in plan.books
        ]
        if plan.farm:
            lines.append("bins, keepers, materials or settings change")
        done = (
            "would be brought back; nothing was changed"
            if only_try
            else "was brought back; a copy of what was there is kept"
        )
        return CareReport(True, (*lines, f"{name} {done}"))

    def _named(self, copy: Path) -> str:
        said = copy.name
        fits = [name for name in self.store.backups() if name == said] or [
            name for name in self.store.backups() if name.startswith(said)
        ]
        if len(fits) == 1:
            return fits[0]
        known = ", ".join(fits or self.store.backups()[-10:]) or "none yet: wormbin store backup"
        raise RefusedError(Problem("backup", said, f"the name of one backup ({known})", "2026-03-02"))

    def merge(self, folder: Path, only_try: bool) -> CareReport:
        """Take over what another copy of this store has; the other copy stays as it is."""
        found = self.store.merge_plan(folder) if only_try else self.store.merge(folder)
        done = "would be taken over; nothing was changed" if only_try else "were taken over"
        return CareReport(True, (*_merge_lines(found), f"{len(found.new)} lines {done}"))


def _merge_lines(found: Merging) -> tuple[str, ...]:
    lines = []
    if found.bins:
        lines.append("new bins: " + ", ".join(found.bins))
    if found.joined:
        lines.append(f"{len(found.joined)} strikes are put together")
    if found.differing:
        lines.append("these say something else in the two copies, and ours stays: " + ", ".join(found.differing[:20]))
    return tuple(lines)
