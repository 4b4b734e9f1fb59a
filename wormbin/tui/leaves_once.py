"""A screen is left once, however often it is told to: a key pressed twice, or work that ends after it was left.

Textual takes away whatever screen is on top, so that a second leaving would take away the place below.
"""

from __future__ import annotations

from typing import Generic, TypeVar

from textual.await_complete import AwaitComplete
from textual.events import ScreenResume
from textual.screen import Screen

R = TypeVar("R")


class LeavesOnce(Screen[R], Generic[R]):
    """The first answer counts; a screen that something lies over is left when it comes to the top again."""

    _answered = False
    _answer_kept: R | None = None
    _keeps_answer = False

    def dismiss(self, result: R | None = None) -> AwaitComplete:
        """Leave with ``result``; nothing happens when the screen was left already or lies at the bottom."""
        stack = self.app.screen_stack
        if self._answered or self not in stack or self is stack[0]:
            return AwaitComplete()
        if self is not stack[-1]:
            if not self._keeps_answer:
                self._keeps_answer, self._answer_kept = True, result
            return AwaitComplete()
        self._answered = True
        return super().dismiss(self._answer_kept if self._keeps_answer else result)

    def on_screen_resume(self, _: ScreenResume) -> None:
        """What lay over it is gone."""
        if self._keeps_answer:
            self.dismiss(self._answer_kept)

    def _pop_result_callback(self) -> None:
        """The lowest screen was never laid over another, so that nobody waits for its answer."""
        if self._result_callbacks:
            super()._pop_result_callback()
