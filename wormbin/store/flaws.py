"""Something about a store that a keeper should know of, as a value: where, what is the matter, what to do."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from wormbin.store.errors import StoreError


@dataclass(frozen=True, slots=True)
class Flaw:
    """One finding. ``line`` is 1-based or None; ``harm`` is whether lines cannot be read because of it."""

    path: Path
    line: int | None
    what: str
    do: str
    harm: bool = False

    def sentence(self) -> str:
        """Path, line, what and what to do, as one piece of text."""
        place = str(self.path) if self.line is None else f"{self.path}, line {self.line}"
        return f"{place}: {self.what}. {self.do}".strip()


def flaw_of(error: StoreError, fallback: Path) -> Flaw:
    """A store error as a finding."""
    return Flaw(error.path or fallback, error.line, error.what, error.do, harm=True)
