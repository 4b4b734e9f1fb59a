"""The farm behind one worker thread: screens ask and are answered later, so that no look or save ever stalls a key.

One thread, so that the farm never sees two callers at once and saves keep their order. What a person waits for (a save,
the panel beside a form) goes before what merely fills a screen.
"""

from __future__ import annotations

import asyncio
import contextlib
import itertools
import queue
import threading
from collections.abc import AsyncGenerator, Callable, Iterator
from typing import TYPE_CHECKING, TypeVar

from textual.message import Message

if TYPE_CHECKING:
    from datetime import date

    from wormbin.farm.session import Session
    from wormbin.farm.views.bin import Recorded

T = TypeVar("T")
Job = tuple[int, int, Callable[[], None]]

SAVE, ASK, FILL = 0, 1, 2
"""Ranks: lower goes first; within a rank, first come first served."""


class EntryRecorded(Message):
    """Something was saved to the log of a bin, or to the farm."""

    def __init__(self, recorded: Recorded) -> None:
        super().__init__()
        self.recorded = recorded


class FarmChanged(Message):
    """Somebody else wrote to the store, or an entry was saved here: what is shown may be old."""


class Desk:
    """Hands jobs to the farm's thread. ``close`` finishes every save that was asked for before it returns.

    ``farm`` is the farm, or what opens it: that is done on the thread, with the first job, since loading it takes time.
    ``on`` is the day that all of it is asked of; None is today.
    """

    def __init__(self, farm: Session | Callable[[], Session], on: date | None = None) -> None:
        self._given = farm
        self._on = on
        self._farm: Session | None = None
        self._jobs: queue.PriorityQueue[Job] = queue.PriorityQueue()
        self._order = itertools.count()
        self._closing = threading.Event()
        self._thread = threading.Thread(target=self._work, name="farm", daemon=True)
        self._thread.start()

    async def ask(self, job: Callable[[Session], T], rank: int = ASK) -> T:
        """Run ``job(farm)`` on the farm's thread; its value or its exception comes back here."""
        loop = asyncio.get_running_loop()
        answer: asyncio.Future[T] = loop.create_future()

        def settle(value: T | None, error: BaseException | None) -> None:
            if answer.cancelled():
                return
            if error is not None:
                answer.set_exception(error)
            else:
                answer.set_result(value)  # type: ignore[arg-type]

        def run() -> None:
            if answer.cancelled() and rank != SAVE:
                return
            value: T | None = None
            error: BaseException | None = None
            try:
                value = job(self._opened())
            except BaseException as found:
                error = found
            # The loop may be gone when the program is ending; a save has been made all the same.
            with contextlib.suppress(RuntimeError):
                loop.call_soon_threadsafe(settle, value, error)

        self._jobs.put((rank, next(self._order), run))
        return await answer

    def _opened(self) -> Session:
        if self._farm is None:
            self._farm = self._given() if callable(self._given) else self._given
            if self._on is not None:
                self._farm.asked_on = self._on
        return self._farm

    async def beside(self, work: Iterator[T]) -> AsyncGenerator[T, None]:
        """What ``work`` gives, made on a thread of its own, so that the farm's stays free for looks and saves.

        When nobody waits for the rest any more, it ends with what it is at.
        """
        loop = asyncio.get_running_loop()
        given: asyncio.Queue[tuple[T | None, BaseException | None, bool]] = asyncio.Queue()
        left = threading.Event()

        def say(value: T | None, error: BaseException | None, more: bool) -> None:
            with contextlib.suppress(RuntimeError):  # the loop may be gone
                loop.call_soon_threadsafe(given.put_nowait, (value, error, more))

        def make() -> None:
            try:
                for value in work:
                    if left.is_set():
                        return
                    say(value, None, True)
                say(None, None, False)
            except BaseException as error:
                say(None, error, False)

        threading.Thread(target=make, name="beside the farm", daemon=True).start()
        ended = False
        try:
            while not ended:
                value, error, more = await given.get()
                if error is not None:
                    raise error
                ended = not more
                if more:
                    yield value  # type: ignore[misc]
        finally:
            left.set()

    def close(self) -> None:
        """Finish the saves that wait, drop the rest, and stop the thread."""
        self._closing.set()
        self._jobs.put((FILL, next(self._order), lambda: None))
        if self._thread is not threading.current_thread():
            self._thread.join(timeout=30)

    def _work(self) -> None:
        while True:
            rank, _, run = self._jobs.get()
            if not self._closing.is_set():
                run()
                continue
            if rank == SAVE:
                run()
                continue
            if not any(job[0] == SAVE for job in self._jobs.queue):
                return
