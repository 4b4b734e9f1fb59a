"""More hands: bins that are not worked out yet, worked out side by side in processes of their own.

Each hand opens the store by itself, only looks, and keeps what it worked out in the cache; so it makes no difference
whether it was there, except in time.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from datetime import date, datetime
from pathlib import Path
from typing import TypeVar

from wormbin.farm.cache.rows import ComingRows
from wormbin.farm.views.bin import RoundRow
from wormbin.store.errors import StoreError

J = TypeVar("J")
M = TypeVar("M")
LEAST_BINS = 4
"""With fewer, starting the hands takes longer than the work."""
MOST = 8


def hands() -> int:
    """How many may work at once: the machine's processors, or ``WORMBIN_HANDS``."""
    said = os.environ.get("WORMBIN_HANDS", "")
    return max(1, min(MOST, int(said) if said.isdecimal() else os.cpu_count() or 1))


def rows_of(
    folder: Path, keys: Sequence[str], now: datetime, on: date | None, units: str, least: int | None = None
) -> Iterator[RoundRow | StoreError | None]:
    """The rows of these bins, in their order; an error in the place of a bin that cannot be read.

    None stands for what could not be had this way (too few bins, no processes here, a hand that died): do it yourself.
    """
    return _worked_out(_row, [(str(folder), key, now, on, units) for key in keys], least)


def comings_of(
    folder: Path, keys: Sequence[str], now: datetime, on: date | None, days: int
) -> Iterator[ComingRows | StoreError | None]:
    """The harvests to come of these bins within so many days, as ``rows_of`` gives their rows."""
    return _worked_out(_coming, [(str(folder), key, now, on, days) for key in keys])


def _worked_out(work: Callable[[J], M], jobs: Sequence[J], least: int | None = None) -> Iterator[M | None]:
    """What the hands make of these jobs, one a bin, in their order.

    None stands for what could not be had this way (too few bins, no processes here, a hand that died): do it yourself.
    """
    if len(jobs) < max(LEAST_BINS if least is None else least, 1) or hands() < 2:
        yield from (None for _ in jobs)
        return
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    given = 0
    executor = None
    try:
        with _stopping_held_back(), _errors_of_its_own():
            # Making the executor may already start a process: the one that looks after its semaphores.
            executor = ProcessPoolExecutor(
                min(hands(), len(jobs)), mp_context=get_context("spawn"), initializer=_stand_back
            )
            made = executor.map(work, jobs)
        for each in made:
            given += 1
            yield each
    except (OSError, RuntimeError, EOFError, ImportError, ValueError):
        # ValueError: standard error is no file that a new process could inherit.
        yield from (None for _ in jobs[given:])
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


@contextmanager
def _errors_of_its_own() -> Iterator[None]:
    """The process's own standard error, while hands start: a full-screen program puts one in its place that is no file,
    and a new process must be able to inherit it.
    """
    stands, own = sys.stderr, sys.__stderr__
    try:
        if own is not None and own.fileno() >= 0:
            sys.stderr = own
    except (OSError, ValueError):
        pass
    try:
        yield
    finally:
        if sys.stderr is own:
            sys.stderr = stands


def _stand_back() -> None:
    """In a hand: behind whatever a person waits for, and silent, since the screen is not its own to write on."""
    with suppress(OSError, AttributeError):
        os.nice(5)
    with suppress(OSError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 2)
        os.close(nowhere)


def send_hands_away() -> None:
    """End every hand at work, in the middle of it; what it kept already stays, and nothing else is lost."""
    from multiprocessing import active_children

    for hand in active_children():
        hand.terminate()


def _row(job: tuple[str, str, datetime, date | None, str]) -> RoundRow | StoreError | None:
    folder, key, now, on, units = job
    from wormbin.farm.bins.row import row
    from wormbin.farm.session import Session
    from wormbin.problems import RefusedError

    try:
        return row(Session(Path(folder), clock=lambda: now, units=units).scene(key, on))
    except StoreError as error:
        return StoreError(error.what, error.do, path=error.path, line=error.line)
    except RefusedError:
        return None


def _coming(job: tuple[str, str, datetime, date | None, int]) -> ComingRows | StoreError | None:
    folder, key, now, on, days = job
    from wormbin.farm.bins.row import coming_rows
    from wormbin.farm.session import Session
    from wormbin.problems import RefusedError

    try:
        return ComingRows(coming_rows(Session(Path(folder), clock=lambda: now).scene(key, on, days)))
    except StoreError as error:
        return StoreError(error.what, error.do, path=error.path, line=error.line)
    except RefusedError:
        return None
