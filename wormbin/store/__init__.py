"""Floor 2: TinyDB year-books on disk that cannot be torn. The doorway is ``Store``; its promises: ``promises.md``.

What stands here is loaded when it is first asked for: the first painted screen needs none of it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wormbin.store.change import Change
    from wormbin.store.errors import (
        BusyError,
        ChangedError,
        DamagedError,
        DiskError,
        Flaw,
        MissingError,
        NewerError,
        StoreError,
    )
    from wormbin.store.store import Store

_HOMES = {
    "Change": "change",
    "BusyError": "errors",
    "ChangedError": "errors",
    "DamagedError": "errors",
    "DiskError": "errors",
    "MissingError": "errors",
    "NewerError": "errors",
    "StoreError": "errors",
    "Flaw": "errors",
    "Store": "store",
}

__all__ = [
    "BusyError",
    "Change",
    "ChangedError",
    "DamagedError",
    "DiskError",
    "Flaw",
    "MissingError",
    "NewerError",
    "Store",
    "StoreError",
]


def __getattr__(name: str) -> object:
    """Load the module that a name lives in, once."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    found: object = getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
    globals()[name] = found
    return found
