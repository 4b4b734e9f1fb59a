"""A screen of ours knows the program by its type; its ``HELP`` says in plain sentences what the place is for."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Generic, TypeVar

from textual.app import ScreenError
from textual.screen import ModalScreen, Screen

from wormbin.farm.doorway import Farmstead
from wormbin.tui.desk import ASK

if TYPE_CHECKING:
    from wormbin.tui.app import Wormbin

R = TypeVar("R")
T = TypeVar("T")


class _AtTheDesk:
    """What every screen may ask of the program."""

    @property
    def wormbin(self) -> Wormbin:
        """The program that this screen belongs to."""
        from wormbin.tui.app import Wormbin

        app = self.app  # type: ignore[attr-defined]
        if not isinstance(app, Wormbin):
            raise ScreenError("this screen belongs to another program")
        return app

    async def ask(self, job: Callable[[Farmstead], T], rank: int = ASK) -> T:
        """Run a job on the farm's thread and await its answer."""
        return await self.wormbin.ask(job, rank)


class Place(_AtTheDesk, Screen[R], Generic[R]):
    """A whole screen; ``R`` is what it answers when it is left."""


class Form(_AtTheDesk, ModalScreen[R], Generic[R]):
    """A form over another screen; ``R`` is what it answers, None when it was left without saving."""
