"""Each page once, as plain data, by what it is about: ``pages.lots`` is loaded when it is first asked for."""

from __future__ import annotations

from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wormbin.pages import (  # noqa: I001
        bin as bin, comparison as comparison, documents as documents, feeding as feeding, feedstock as feedstock,
        findings as findings, futures as futures, lots as lots, page as page, report as report,
        round as round, round_table as round_table, school as school, selling as selling, sums as sums,  # noqa: A004
    )  # fmt: skip


def __getattr__(name: str) -> ModuleType:
    try:
        return import_module(f"{__name__}.{name}")
    except ModuleNotFoundError:
        raise AttributeError(name) from None
