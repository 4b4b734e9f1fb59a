"""What may be raised at the doorway beside ``RefusedError``, under one roof for the floor above."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from wormbin.problems import Problem, RefusedError
from wormbin.store import Flaw, StoreError

if TYPE_CHECKING:
    from datetime import date

    from wormbin.farm.feedings import FeedingPreview
    from wormbin.records.bins import Bin

__all__ = ["DoubtedError", "Flaw", "HeldBackError", "StoppedError", "StoreError", "closed_words", "not_closed"]


@dataclass(frozen=True, slots=True)
class Question:
    """An unlikely value, asked about kindly before it is saved: "21 % moisture would be dry as dust. Keep it?"."""

    field: str
    read: str
    words: str


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


def closed_words(one: Bin) -> str:
    """Since when a bin is closed, and how it is opened again."""
    return f"{one.name} is closed since {one.ended}. Open it again: wormbin close {one.key} --reopen"


def not_closed(one: Bin, on: date) -> None:
    """Raise RefusedError for a bin that is closed on a day."""
    if one.ended is not None and one.ended <= on:
        raise RefusedError(Problem("bin", one.key, "a bin that is not closed", whole=closed_words(one)))
