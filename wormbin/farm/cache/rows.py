"""What was worked out of each bin for one day, kept on disk: a warm start reads one small file and replays nothing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from hashlib import blake2b
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from wormbin.farm.cache.front import HOURS, MARK, finite
from wormbin.farm.views.round import ComingRow
from wormbin.records.bins import Bin
from wormbin.records.shapes import shape_of
from wormbin.store.desk import Desk

if TYPE_CHECKING:
    from wormbin.farm.session import Session

NAME = "round"
FAR = "far-harvests"
R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class ComingRows:
    """The harvests to come of one bin, looked for farther ahead than the round looks."""

    rows: tuple[ComingRow, ...]


class RowCache(Generic[R]):
    """Rows by bin, each with a token that says for what log, settings, day and hour it holds."""

    def __init__(self, desk: Desk, kind: type[R], name: str = NAME) -> None:
        self._desk = desk
        self._kind = kind
        self._name = name
        self._held: dict[str, list[Any]] | None = None
        self._rows: dict[str, tuple[str, R]] = {}
        self._changed = False

    def get(self, key: str, token: str) -> R | None:
        """The row, when it still holds."""
        known = self._rows.get(key)
        if known is not None:
            return known[1] if known[0] == token else None
        try:
            held_token, document = self._read()[key]
            if held_token != token:
                return None
            row: R = shape_of(self._kind).read(document, "", {})
        except Exception:  # whatever is wrong with it: it is a cache
            return None
        self._rows[key] = (token, row)
        return row

    def put(self, key: str, token: str, row: R) -> None:
        """Keep a row; ``flush`` writes it."""
        self._rows[key] = (token, row)
        self._read()[key] = [token, finite(shape_of(self._kind).write(row))]
        self._changed = True

    def flush(self) -> None:
        """Write what is new."""
        if self._changed:
            self._desk.keep_worked_out(self._name, MARK, self._read())
            self._changed = False

    def _read(self) -> dict[str, list[Any]]:
        if self._held is None:
            read = self._desk.worked_out(self._name, MARK)
            self._held = read if isinstance(read, dict) else {}
        return self._held


def row_token(session: Session, one: Bin, on: date | None) -> str:
    """What a row of the round holds for."""
    on, now = on or session.asked_on, session.moment(on)
    parts = (
        session.store.revision(one.key),
        one,
        session.settings(),
        session.farm().materials,
        now.date(),
        now.hour // HOURS,
        session.cache.cure_days(on),
    )
    return blake2b(repr(parts).encode(), digest_size=16).hexdigest()
