"""What may be raised at the doorway beside ``RefusedError``, under one roof for the floor above."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wormbin.store.errors import StoreError

if TYPE_CHECKING:
    from wormbin.farm.proposals import FeedingPreview

__all__ = ["HeldBackError", "StoreError"]


class HeldBackError(Exception):
    """A feeding that is too much, with nobody having said to save it anyway; nothing has been saved."""

    def __init__(self, preview: FeedingPreview) -> None:
        self.preview = preview
        super().__init__(preview.verdict)
