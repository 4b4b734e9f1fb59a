"""Floor 2: TinyDB year-books on disk that cannot be torn. The doorway is ``Store``; its promises: ``promises.md``."""

from wormbin.store.change import Change
from wormbin.store.errors import BusyError, ChangedError, DamagedError, DiskError, NewerError, StoreError
from wormbin.store.flaws import Flaw
from wormbin.store.store import Store

__all__ = [
    "BusyError",
    "Change",
    "ChangedError",
    "DamagedError",
    "DiskError",
    "Flaw",
    "NewerError",
    "Store",
    "StoreError",
]
