"""A screen of ours knows the program by its type; its ``HELP`` says in plain sentences what the place is for."""

from __future__ import annotations

from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import aclosing
from dataclasses import dataclass
from functools import cached_property, partial
from typing import TYPE_CHECKING, ClassVar, Generic, TypeVar

from textual.app import ScreenError
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.css.query import NoMatches
from textual.events import Mount
from textual.screen import ModalScreen
from textual.widgets import Static

from wormbin.farm.errors import DoubtedError, HeldBackError, StoreError
from wormbin.problems import Problem, RefusedError
from wormbin.tui.desk import ASK, FILL
from wormbin.tui.laid_once import LaidOnce
from wormbin.tui.leaves_once import LeavesOnce

if TYPE_CHECKING:
    from wormbin.farm.rounds.fill import Filling, Made
    from wormbin.farm.session import Session
    from wormbin.farm.views.bin import TroubledBin
    from wormbin.farm.views.round import RoundRow
    from wormbin.records.bins import Bin
    from wormbin.tui.app import Wormbin

R = TypeVar("R")
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Hand:
    """The bin that a form is about: its key, what people call it, how many compartments it has."""

    key: str
    name: str
    compartments: int = 1


class Unsaved(Problem):
    """A store that could not be used: its own sentence, and that nothing was saved."""

    def sentence(self) -> str:
        """What happened, and that the form is kept."""
        return f"Not saved: {self.read}"


A_MOMENT = 0.15
"""Seconds for which an answer may be waited for without a word."""
WORKING = " working it out … "
TITLES = "#head, .sheet-title"


class _AtTheDesk:
    """What every screen may ask of the program."""

    _waiting_for = 0

    @cached_property
    def _plain(self) -> dict[Static, Content]:
        """What the first lines said before."""
        return {}

    def day_meant(self, said: str = "", replaces: str = "") -> str:
        """The day that was typed; where none was, the day that the program was opened for, or "" for now.

        A line that ``replaces`` another keeps that one's day.
        """
        on = self.wormbin.on
        return said or (on.isoformat() if on is not None and not replaces else "")

    @property
    def wormbin(self) -> Wormbin:
        """The program that this screen belongs to."""
        from wormbin.tui.app import Wormbin

        app = self.app  # type: ignore[attr-defined]
        if not isinstance(app, Wormbin):
            raise ScreenError("this screen belongs to another program")
        return app

    async def ask(self, job: Callable[[Session], T], rank: int = ASK) -> T:
        """Run a job on the farm's thread and await its answer.

        What a keeper can put right in the form comes back as ``RefusedError``. A store that cannot be used, or a fault
        of the program, is laid over the screen until it is answered, and comes back as ``RefusedError`` as well, so
        that no form is lost by it. An answer that is long in coming is told of: what stands there may be old.
        """
        timer = self.set_timer(A_MOMENT, self._say_working)  # type: ignore[attr-defined]
        self._waiting_for += 1
        try:
            return await self.wormbin.ask(job, rank)
        except (RefusedError, HeldBackError, DoubtedError):
            raise
        except Exception as error:
            words = str(error) if isinstance(error, StoreError) else f"{type(error).__name__}: {error}"
            self.wormbin.tell_trouble(words, ours=not isinstance(error, StoreError))
            raise RefusedError(Unsaved("store", words, "")) from error
        finally:
            timer.stop()
            self._waiting_for -= 1
            if not self._waiting_for:
                self._say_worked()

    def _say_working(self) -> None:
        """The first line of the place says that it is worked out anew."""
        for title in self.query(TITLES).results(Static) if self._waiting_for else ():  # type: ignore[attr-defined]
            if isinstance(title.content, Content) and "…" not in title.content.plain:
                self._plain[title] = title.content
                title.update(Content.assemble((WORKING, "dim"), title.content))

    def _say_worked(self) -> None:
        """And says it no longer."""
        for title, plain in self._plain.items():
            if title.is_attached and isinstance(title.content, Content) and title.content.plain.startswith(WORKING):
                title.update(plain)
        self._plain.clear()

    async def filled(self, filling: Filling) -> AsyncIterator[RoundRow | TroubledBin]:
        """The rows of a round that are not known yet, made beside the farm's thread, so that this stays free.

        Leaving it at any time does no harm: what is done is kept, the rest is done when it is asked for again.
        """
        async with aclosing(self.wormbin.desk.beside(filling.beside())) as made:
            async for one, row in made:
                taken: RoundRow | TroubledBin = await self.ask(partial(_taken, filling, one, row), FILL)
                yield taken

    def in_background(self, work: Callable[[], Awaitable[object]], group: str = "") -> None:
        """Do ``work`` beside whatever is typed; a later one of the same ``group`` takes the place of an earlier one.

        It is handed over as a function, not as a coroutine, so that work which is called off was never begun. A fault
        in it is laid over the screen; it is never silent.
        """

        async def watched() -> None:
            try:
                await work()
            except NoMatches:
                pass  # the screen was left meanwhile
            except RefusedError as refused:
                self.wormbin.notify(str(refused), severity="warning", markup=False)
            except Exception as fault:
                self.wormbin.tell_trouble(f"{type(fault).__name__}: {fault}", ours=True)

        start = self.run_worker  # type: ignore[attr-defined]
        start(watched, exclusive=bool(group), group=group or "default", exit_on_error=False)


def _taken(filling: Filling, one: Bin, made: Made, _farm: Session) -> RoundRow | TroubledBin:
    return filling.take(one, made)


class Place(_AtTheDesk, LeavesOnce[R], LaidOnce[R], Generic[R]):
    """A whole screen; ``R`` is what it answers when it is left."""

    AUTO_FOCUS = ""


class Form(_AtTheDesk, LeavesOnce[R], LaidOnce[R], ModalScreen[R], Generic[R]):
    """A form over another screen; ``R`` is what it answers, None when it was left without saving."""

    AUTO_FOCUS = "Input, ChoiceRow, LineList"
    """What listens as soon as the form is laid out, before anything that it asks for has come: the first of these."""
    BINDINGS: ClassVar[list[BindingType]] = [Binding("question_mark", "app.help", "help", show=False)]
    listens = False
    """Whether keys reach it; what is typed before is kept for it."""

    def _watch_focused(self) -> None:
        super()._watch_focused()  # type: ignore[no-untyped-call]
        if self.focused is not None:
            self._listen()

    def _on_mount(self, event: Mount) -> None:
        """A form in which nothing can be typed listens when it stands."""
        super()._on_mount(event)
        self._listen()

    def _listen(self) -> None:
        if not self.listens:
            self.listens = True
            self.wormbin.form_listens()
