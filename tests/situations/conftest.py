"""One stage for all tests here, so that a bin that many begin with is brought in once."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from tests.situations.playing import Stage
from wormbin.farm import session


@pytest.fixture(scope="session")
def stage(tmp_path_factory: pytest.TempPathFactory) -> Stage:
    return Stage(tmp_path_factory.mktemp("situations"))


@pytest.fixture(autouse=True, scope="session")
def _one_session_a_store() -> Iterator[None]:
    """All commands on a store go through one session, as all that is done on the screen does: half the working out."""
    made = session.Session

    @lru_cache(maxsize=4)
    def kept(folder: Path, now: datetime, units: str, on: date | None) -> session.Session:
        return made(folder, clock=lambda: now, units=units, on=on)

    def one(folder: Path, *, clock: Any, units: str = "", on: date | None = None, **how: Any) -> session.Session:
        return made(folder, clock=clock, units=units, on=on, **how) if how else kept(folder, clock(), units, on)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(session, "Session", one)
        yield
