"""One farm opened, and what is asked and done, by noun: ``farm.lots`` is loaded when it is first asked for."""

from __future__ import annotations

from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wormbin.farm import (  # noqa: I001
        backups as backups, comparisons as comparisons, feedings as feedings, feedstock as feedstock,
        guesses as guesses, handing_over as handing_over, herd as herd, inspection as inspection,
        log_files as log_files, lots as lots, materials as materials, mixes as mixes, money as money,
        orders as orders, particulars as particulars, samples as samples, settings as settings, starts as starts,
        trials as trials, turns as turns, uses as uses,
    )  # fmt: skip


def __getattr__(name: str) -> ModuleType:
    try:
        return import_module(f"{__name__}.{name}")
    except ModuleNotFoundError:
        raise AttributeError(name) from None
