"""What may be raised at the doorway beside ``RefusedError``, under one roof for the floor above."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wormbin.store.errors import Flaw, StoreError

if TYPE_CHECKING:
    from wormbin.farm.views.proposals import FeedingPreview, Question

__all__ = ["DoubtedError", "Flaw", "HeldBackError", "StoppedError", "StoreError"]


class StoppedError(Exception):
    """Long work that was called off before it wrote anything; nothing has been saved."""


class HeldBackError(Exception):
    """A feeding that is too much, with nobody having said to save it anyway; nothing has been saved."""

    def __init__(self, preview: FeedingPreview) -> None:
        self.preview = preview
        super().__init__(preview.verdict)


class DoubtedError(Exception):
    """A line that can hardly be, with nobody having said to keep it all the same; nothing has been saved."""

    def __init__(self, questions: tuple[Question, ...]) -> None:
        self.questions = questions
        super().__init__(" ".join(each.words for each in questions))
