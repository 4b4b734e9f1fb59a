"""The palette: everything that can be done in the place one is in, found by a few letters of its name.

What is found by another word that a keeper may use for it goes before what only has the same letters.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

from textual.command import DiscoveryHit, Hit, Hits, Provider

from wormbin.tui.bin_actions import BinActions
from wormbin.tui.named_actions import NamedAction, named_actions, places_of
from wormbin.tui.other_words import ELSEWHERE, OTHER_WORDS, PAPER_WORDS, PLAN_WORDS, Elsewhere, called
from wormbin.tui.papers import PAPERS, Paper
from wormbin.tui.themes import THEMES

BY_OTHER_WORD = 100.0
"""More than any letters of a name score."""
TELL_SECONDS = 20.0


@dataclass(frozen=True, slots=True)
class Offer:
    """One thing to do: what it is called, the keys to it, what else it is called, how it is done."""

    words: str
    keys: str
    also: tuple[str, ...]
    run: Callable[[], Any]

    def shown(self, found_by: str = "") -> str:
        """As it stands in the list; with the other word that found it."""
        keys = f"  ({self.keys})" if self.keys else ""
        also = f"  {found_by}" if found_by and found_by not in self.words else ""
        return f"{self.words}{keys}{also}".replace("[", "\\[")


class PlaceCommands(Provider):
    """Offers the actions of the screen below the palette, then those of the program, then what is done elsewhere."""

    def _offers(self) -> Iterator[Offer]:
        for place in (*places_of(self.screen), self.app):
            for named in named_actions(place):
                also = OTHER_WORDS.get(named.action.removeprefix("app."), ())
                yield Offer(named.words, named.keys, also, partial(self._run, named, place))
        if isinstance(self.screen, BinActions):
            yield Offer("plan castings: so much by a day", "H, then p", PLAN_WORDS, self._plan)
            if self.screen.in_hand() is not None:
                for paper in PAPERS:
                    words = f"write down {paper.title}: {paper.about}"
                    yield Offer(words, f"e, then {paper.key}", PAPER_WORDS[paper.title], partial(self._write, paper))
        for each in ELSEWHERE:
            yield Offer(each.words, "", each.also, partial(self._tell, each))
        for theme in THEMES:
            if theme.name != self.app.theme:
                short = f"theme: {theme.name.removeprefix('wormbin-')}"
                yield Offer(short, "", OTHER_WORDS["next_theme"], partial(self._put_on, theme.name))

    async def discover(self) -> Hits:
        """Everything, before a letter is typed."""
        for offer in self._offers():
            yield DiscoveryHit(offer.shown(), offer.run, offer.words)

    async def search(self, query: str) -> Hits:
        """What fits the letters typed, by its own name or by another word for it."""
        matcher = self.matcher(query)
        for offer in self._offers():
            if called(query, (offer.words.casefold(),)):
                yield Hit(2 * BY_OTHER_WORD, matcher.highlight(offer.shown()), offer.run)
            elif word := called(query, offer.also):
                yield Hit(BY_OTHER_WORD, matcher.highlight(offer.shown(word)), offer.run)
            elif (score := matcher.match(offer.words)) > 0:
                yield Hit(score, matcher.highlight(offer.shown()), offer.run)

    async def _put_on(self, theme: str) -> None:
        await self.app.run_action(f"theme_named({theme!r})")

    async def _run(self, named: NamedAction, place: object) -> None:
        await self.app.run_action(named.action, default_namespace=place)  # type: ignore[arg-type]

    def _write(self, paper: Paper) -> None:
        if isinstance(self.screen, BinActions):
            self.screen.open_paper(paper)

    def _plan(self) -> None:
        from wormbin.tui.screens.lot_plan import LotPlanForm

        self.app.push_screen(LotPlanForm())

    def _tell(self, each: Elsewhere) -> None:
        """What is done on the command line cannot be begun from here: say how."""
        self.app.notify(f"On the command line:\n{each.command}", title=each.words, markup=False, timeout=TELL_SECONDS)
