"""The palette: everything that can be done in the place one is in, found by a few letters of its name."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from textual.command import DiscoveryHit, Hit, Hits, Provider

from wormbin.tui.named_actions import NamedAction, named_actions, places_of
from wormbin.tui.themes import THEMES


class PlaceCommands(Provider):
    """Offers the actions of the screen below the palette, then those of the program."""

    def _themes(self) -> Iterator[tuple[str, str]]:
        """What each theme is called here, and its name; the one that is on is left out."""
        return (
            (f"theme: {theme.name.removeprefix('wormbin-')}", theme.name)
            for theme in THEMES
            if theme.name != self.app.theme
        )

    def _offered(self) -> Iterator[tuple[NamedAction, object]]:
        for place in (*places_of(self.screen), self.app):
            for named in named_actions(place):
                yield named, place

    def _words(self, named: NamedAction) -> str:
        return f"{named.words}  ({named.keys})".replace("[", "\\[")

    async def discover(self) -> Hits:
        """Everything, before a letter is typed."""
        for named, place in self._offered():
            yield DiscoveryHit(self._words(named), partial(self._run, named, place), named.words)
        for words, theme in self._themes():
            yield DiscoveryHit(words, partial(self._put_on, theme), words)

    async def search(self, query: str) -> Hits:
        """What fits the letters typed."""
        matcher = self.matcher(query)
        for named, place in self._offered():
            if (score := matcher.match(named.words)) > 0:
                yield Hit(score, matcher.highlight(self._words(named)), partial(self._run, named, place))
        for words, theme in self._themes():
            if (score := matcher.match(words)) > 0:
                yield Hit(score, matcher.highlight(words), partial(self._put_on, theme))

    async def _put_on(self, theme: str) -> None:
        await self.app.run_action(f"theme_named({theme!r})")

    async def _run(self, named: NamedAction, place: object) -> None:
        await self.app.run_action(named.action, default_namespace=place)  # type: ignore[arg-type]
