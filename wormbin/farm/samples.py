"""The made-up farms that come with the program, each as a throw-away copy whose clock stands on the log's last day."""

from __future__ import annotations

import gzip
import json
import shutil
import tempfile
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, time
from pathlib import Path
from typing import TYPE_CHECKING

from wormbin.exchange import columns
from wormbin.exchange.cells import moment
from wormbin.exchange.tables import read_rows
from wormbin.farm import log_files, rounds
from wormbin.farm.cache.beliefs import FORM, place_of
from wormbin.farm.cache.rows import MARK
from wormbin.farm.views.round import RoundRow
from wormbin.problems import Problem, RefusedError
from wormbin.records.shapes import shape_of

if TYPE_CHECKING:
    from wormbin.farm.session import Session

EVENING = time(20, 0)
FOLDER = "worked_out"
"""Beside the sample logs lies what they come to, written by ``python -m tests.farm.work_out``, so that a demo opens at
once. It is a cache like any other: it holds only for these very logs and this very model."""


@dataclass(frozen=True, slots=True)
class SampleFarm:
    """A copy in a folder of its own, and the moment it is looked at."""

    folder: Path
    clock: Callable[[], datetime]

    def session(self, units: str = "") -> Session:
        """It, opened."""
        from wormbin.farm.session import Session

        return Session(self.folder, clock=self.clock, units=units)


def sample_logs() -> Path:
    """Where the sample logs lie: in the package when it is installed, beside it in a checkout."""
    package = Path(__file__).resolve().parent.parent
    for folder in (package / "sample_logs", package.parent / "sample_logs"):
        if folder.is_dir():
            return folder
    raise RefusedError(Problem("demo", str(package), "a program that was installed whole: its sample logs are missing"))


@contextmanager
def sample_farm(name: str) -> Iterator[SampleFarm]:
    """A throw-away copy of one of the sample logs; it is taken away again at the end."""
    folder = Path(tempfile.mkdtemp(prefix="wormbin-demo-"))
    try:
        yield copy_sample(name, folder)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def copy_sample(name: str, folder: Path, *, worked_out: bool = True) -> SampleFarm:
    """Bring the sample ``name`` into a store in ``folder``; its clock stands in the evening of the log's last day.

    ``worked_out`` lays what the logs come to beside them, where the pack that was shipped still fits.
    """
    from wormbin.farm.session import Session

    source = sample_logs() / name
    if not source.is_dir():
        raise RefusedError(Problem("demo", name, "apartment, classroom or seller", "wormbin demo seller"))
    last = max(moment(row.get("when")).date() for row in read_rows(source / "log.csv", columns.LOG, columns.LOG_NEEDED))
    evening = datetime.combine(last, EVENING, tzinfo=UTC)
    sample = SampleFarm(folder, lambda: evening)
    farm = Session(folder, clock=sample.clock)
    log_files.bring_in(farm, source)
    if worked_out:
        lay_out(farm, source)
    return sample


def pack_of(source: Path) -> Path:
    """Where the pack of the sample logs in ``source`` lies."""
    return source.parent / FOLDER / f"{source.name}.json.gz"


def mark_of(source: Path) -> str:
    """What a pack of the sample logs in ``source`` must bear to hold."""
    read = b"".join(path.name.encode() + path.read_bytes() for path in sorted(source.glob("*.csv")))
    return f"{MARK}/{FORM}/{zlib.crc32(read):08x}"


def lay_out(farm: Session, source: Path) -> bool:
    """Lay the pack into the farm's cache; False where there is none that fits."""
    try:
        page = json.loads(gzip.decompress(pack_of(source).read_bytes()))
        if page["mark"] != mark_of(source):
            return False
        rows = {key: shape_of(RoundRow).read(each["row"], "", {}) for key, each in page["bins"].items()}
        for one in rounds.living(farm, None):
            each = page["bins"][one.key]
            farm.store.desk.keep_worked_out(place_of(one.key), each["rests_on"], each["held"])
            farm.cache.rows.put(one.key, farm.cache.token(one, None), rows[one.key])
    except Exception:  # whatever is wrong with it: it is a cache
        return False
    farm.cache.rows.flush()
    return True
