"""Move a file out of the way for good, where a person can find it; nothing of the store is ever thrown away."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from wormbin.store.disk import Disk
from wormbin.store.errors import DiskError
from wormbin.store.whole import make_folder

FOLDER = "set-aside"


def set_aside(disk: Disk, root: Path, path: Path, now: datetime) -> Path | None:
    """Move a file below ``set-aside``, in a folder named by the moment; where it went, or None if not there."""
    target = root / FOLDER / f"{now:%Y-%m-%dT%H%M%S}" / path.relative_to(root)
    name, number = target.name, 2
    try:
        if disk.stamp(path) is None:
            return None
        while disk.stamp(target) is not None:
            target, number = target.with_name(f"{number}-{name}"), number + 1
        make_folder(disk, target.parent)
        disk.replace(path, target)
        disk.sync_folder(target.parent)
        disk.sync_folder(path.parent)
    except OSError as error:
        raise DiskError(error, path, "move this file aside") from error
    return target
