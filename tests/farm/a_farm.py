"""A small farm for tests: one or two bins some weeks old, a clock that stands, ids that count."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Hashable
from datetime import datetime, timedelta, timezone
from functools import cache
from hashlib import blake2b
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory, mkdtemp

from wormbin.farm import rounds, starts
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import record_feeding, write
from wormbin.farm.session import Session
from wormbin.farm.views.proposals import BinDraft
from wormbin.records.entries import Kind

HERE = timezone(timedelta(hours=2))
NOW = datetime(2026, 6, 1, 18, 0, tzinfo=HERE)


_NUMBERS = count(1)
_MADE = TemporaryDirectory(prefix="wormbin-made-")


def counted() -> Callable[[int], bytes]:
    """Bytes that follow from a count, never the same twice in a run."""
    return lambda size: blake2b(next(_NUMBERS).to_bytes(8, "big"), digest_size=size).digest()


def open_farm(folder: Path, now: datetime = NOW, units: str = "") -> Session:
    """The doorway to a folder, on a day that stands still."""
    return Session(folder, clock=lambda: now, units=units, random=counted())


def made_once(make: Callable[..., object]) -> Callable[..., None]:
    """What ``make`` puts into a folder, made once for each way and process: any later folder gets a copy."""

    @cache
    def first(*way: Hashable) -> Path:
        folder = Path(mkdtemp(dir=_MADE.name))
        make(folder, *way)
        return folder

    def copied(folder: Path, *way: Hashable) -> None:
        shutil.copytree(first(*way), folder, dirs_exist_ok=True)

    return copied


def kitchen(folder: Path, *, days: int = 40, now: datetime = NOW) -> Session:
    """A kitchen bin started ``days`` ago, fed and looked at twice a week, and worked out."""
    _kitchen(folder, days, now)
    return open_farm(folder, now)


@made_once
def _kitchen(folder: Path, days: int, now: datetime) -> None:
    farm = open_farm(folder, now)
    started = now.date() - timedelta(days=days)
    starts.start(farm,
        BinDraft(
            key="kitchen", name="Kitchen", length="60 cm", width="40 cm", depth="30 cm", drainage="no", worms="500 g",
            started=started.isoformat(),
        )
    )  # fmt: skip
    for number in range(3, days - 1, 7):
        day = started + timedelta(days=number)
        when = Heading(when=f"{day.isoformat()}T08:00", by="Ana")
        record_feeding(farm, "kitchen", ["300 g melon rind", "100 g coffee grounds"], heading=when, anyway=True)
        check = Heading(when=f"{(day + timedelta(days=2)).isoformat()}T08:00", by="B")
        write(farm, "kitchen", Kind.CHECK, {"squeeze": "sponge", "temp": "21C", "left": "20%"}, check)
    rounds.view(farm)
