"""What has happened, as messages: past-tense facts that travel up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.message import Message

if TYPE_CHECKING:
    from wormbin.farm.views.bin import Recorded


class EntryRecorded(Message):
    """Something was saved to the log of the bin ``at`` (or to the farm, with ``at`` empty)."""

    def __init__(self, at: str, recorded: Recorded) -> None:
        super().__init__()
        self.at = at
        self.recorded = recorded


class FarmChanged(Message):
    """Somebody else wrote to the store, or an entry was saved here: what is shown may be old."""
