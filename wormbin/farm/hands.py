"""More hands: bins that are not worked out yet, worked out side by side in processes of their own.

Each hand opens the store by itself, only looks, and keeps what it worked out in the cache; so it makes no difference
whether it was there, except in time.
"""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from datetime import date, datetime
from pathlib import Path

from wormbin.farm.views import RoundRow
from wormbin.store.errors import StoreError

LEAST_BINS = 4
"""With fewer, starting the hands takes longer than the work."""
MOST = 8


def hands() -> int:
    """How many may work at once: the machine's processors, or ``WORMBIN_HANDS``."""
    said = os.environ.get("WORMBIN_HANDS", "")
    return max(1, min(MOST, int(said) if said.isdecimal() else os.cpu_count() or 1))


def rows_of(
    folder: Path, keys: Sequence[str], now: datetime, on: date | None, units: str
) -> Iterator[RoundRow | StoreError | None]:
    """The rows of these bins, in their order; an error in the place of a bin that cannot be read.

    None stands for what could not be had this way (no processes here, a hand that died): do it yourself.
    """
    if len(keys) < LEAST_BINS or hands() < 2:
        yield from (None for _ in keys)
        return
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    given = 0
    executor = None
    try:
        executor = ProcessPoolExecutor(min(hands(), len(keys)), mp_context=get_context("spawn"))
        jobs = [(str(folder), key, now, on, units) for key in keys]
        with _stopping_held_back():
            rows = executor.map(_row, jobs)
        for row in rows:
            given += 1
            yield row
    except (OSError, RuntimeError, EOFError, ImportError, ValueError):
        # ValueError: under a full-screen program standard error is no file that a new process could inherit.
        yield from (None for _ in keys[given:])
    finally:
        if executor is not None:
            with suppress(OSError, RuntimeError):
                executor.shutdown(wait=False, cancel_futures=True)


@contextmanager
def _stopping_held_back() -> Iterator[None]:
    """Hands started within never hear Ctrl-C: whoever started them does, and they go when it goes."""
    mask = getattr(signal, "pthread_sigmask", None)
    if mask is None:
        yield
        return
    before = mask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        mask(signal.SIG_SETMASK, before)


def _row(job: tuple[str, str, datetime, date | None, str]) -> RoundRow | StoreError | None:
    folder, key, now, on, units = job
    from wormbin.farm.answering import Answering
    from wormbin.farm.rounds import row
    from wormbin.problems import RefusedError

    try:
        return row(Answering(Path(folder), clock=lambda: now, units=units).scene(key, on))
    except StoreError as error:
        return StoreError(error.what, error.do, path=error.path, line=error.line)
    except RefusedError:
        return None
