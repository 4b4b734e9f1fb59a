"""Finishes the name of a material while it is being typed, over names and everyday words."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

from textual.suggester import Suggester

Finish = Callable[[str], Awaitable[str | None]]


class NameSuggester(Suggester):
    """Asks ``finish`` for the whole line that the words typed so far may become."""

    def __init__(self, finish: Finish) -> None:
        super().__init__(use_cache=False, case_sensitive=True)
        self._finish = finish

    async def get_suggestion(self, value: str) -> str | None:
        """The finished line, or None."""
        return await self._finish(value) if value.strip() else None
