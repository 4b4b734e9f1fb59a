"""The palette: everything that can be done in the place one is in, found by a few letters of its name.

What is found by its name goes before what is found by another word for it; scattered letters count where no word does.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

from textual.command import DiscoveryHit, Hit, Hits, Provider
from textual.dom import DOMNode

from wormbin.records.kinds.fields import Description
from wormbin.records.kinds.log import WRITTEN, Kind
from wormbin.tui.bin_place import BinPlace
from wormbin.tui.catalogue import screen
from wormbin.tui.keyboard import NamedAction, name_of, named_actions, places_of

OTHER_WORDS: dict[str, tuple[str, ...]] = {
    "check": ("smell", "moisture", "squeeze", "temperature", "warmth", "ph", "reading", "measure", "look inside"),
    "feed": ("food", "scraps", "waste", "bucket", "give"),
    "write": ("log entry", "write down", "record"),
    "emergency": ("dying", "escaping", "leaving", "stink", "smell", "dead worms"),
    "what_if": ("forecast", "heat wave", "cold spell", "compare", "scenario", "plan"),
    "away": ("holiday", "vacation", "trip", "travel", "absence", "neighbour", "neighbor", "plan"),
    "troubles": ("smell", "flies", "mites", "ants", "mould", "mold", "pests", "problem", "signs", "diagnosis"),
    "catch_up": ("forgot", "missed days", "forgotten days"),
    "harvests": ("plan", "castings ready", "when to harvest", "ripe", "compost ready"),
    "castings": ("sell", "sale", "stock", "lots", "bags", "label", "buyer", "use", "tea", "extract", "price", "sieve"),
    "bed": ("organic", "inspector", "certifier", "certification", "audit"),
    "hand_out": ("rename", "box", "room", "end a bin", "give away", "report", "export", "spreadsheet", "class files"),
    "compare": ("experiment", "paper or leaves", "noise", "difference", "which is better"),
    "mix": ("blend", "ratio", "carbon and nitrogen", "c:n", "recipe"),
    "materials": ("what may be fed", "what never goes in", "foods", "citrus", "table", "own material"),
    "sheet": ("paper", "hang up", "print"),
    "settings": ("units", "options", "preferences", "days off", "holiday", "feeding days", "us measures", "scale"),
    "start": ("new bin", "add a bin", "set up", "begin"),
    "bring_in": ("import", "load", "read files", "csv", "spreadsheet"),
    "undo": ("take back", "mistake", "revert", "wrong"),
    "redo": ("again", "undo the undo"),
    "checklist": ("print", "paper", "walk"),
    "tab('ahead')": ("forecast", "chart", "graph", "curves", "future"),
    "tab('log')": ("history", "diary", "amend", "correct", "put right", "strike", "delete"),
    "tab('sums')": ("why", "formula", "source", "working"),
    "details": ("why", "advice", "warnings"),
    "next_theme": ("colours", "colors", "dark", "light", "contrast"),
    "next_keeper": ("sign", "initials", "who am i"),
    "quit": ("exit", "close", "leave"),
    "help": ("keys", "manual", "marks"),
}
"""By the action; each is found by its first letters, or those of a word in it."""

BENCHES = (
    (
        "plan castings: so much by a day", "H, then p", ("plan", "order", "how much by when", "delivery", "market"),
        "plan",
    ),
    (
        "use castings: how much for pots, a bed, a mix, an extract", "H, then n",
        ("potting mix", "seedlings", "extract", "tea", "dressing", "houseplants", "garden"), "uses",
    ),
    (
        "loads of feedstock: what is left, when to buy, recall", "H, then l",
        ("feedstock", "buy", "supplier", "recall", "tub", "on hand", "manure"), "loads",
    ),
    ("hot piles: whether the heat has done its work", "H, then h", ("compost", "heat", "windrow"), "piles"),
    (
        "money: what a kilogram costs and leaves", "H, then c",
        ("price", "profit", "spent", "costs", "income", "sales"), "costs",
    ),
)  # fmt: skip
"""What is worked out from the list of lots: words, keys, other words, screen."""


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """Something that is done on the command line: what, what else it is called, and the command."""

    words: str
    also: tuple[str, ...]
    command: str


ELSEWHERE: tuple[Elsewhere, ...] = (
    Elsewhere(
        "export the log as files", ("save", "spreadsheet", "csv", "copy out", "download"), "wormbin export ./my-log"
    ),
    Elsewhere("back up the store", ("backup", "copy", "save", "safe"), "wormbin store backup"),
    Elsewhere("bring a backup back", ("restore", "backup"), "wormbin store restore 2026-03-02 --try"),
    Elsewhere(
        "join two copies of the store", ("merge", "sync", "laptop", "phone"), "wormbin store merge ../laptop-copy --try"
    ),
    Elsewhere("look the store over", ("damaged", "repair", "check files"), "wormbin store check"),
    Elsewhere(
        "calendar of what is due", ("remind", "ical", "ics", "dates", "phone"), "wormbin calendar --out bins.ics"
    ),
    Elsewhere("try a bin that does not exist", ("trial", "simulate", "plan a bin"), "wormbin trial --help"),
    Elsewhere("look round a made-up farm", ("demo", "example", "sample"), "wormbin demo seller"),
)
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
                also = OTHER_WORDS.get(name_of(named.action), ())
                yield Offer(named.words, named.keys, also, partial(self._run, named, place))
        if isinstance(self.screen, BinPlace):
            for words, keys, also, name in BENCHES:
                yield Offer(words, keys, also, partial(self._open, name))
            if self.screen.in_hand() is not None:
                for kind in WRITTEN:
                    page = kind.page
                    words = f"write down {page.title}: {page.about}"
                    yield Offer(words, f"e, then {page.key}", page.also, partial(self._write, kind))
        for each in ELSEWHERE:
            yield Offer(each.words, "", each.also, partial(self._tell, each))

    async def discover(self) -> Hits:
        """Everything, before a letter is typed."""
        for offer in self._offers():
            yield DiscoveryHit(offer.shown(), offer.run, offer.words)

    async def search(self, query: str) -> Hits:
        """What fits the letters typed, by its own name or by another word for it."""
        matcher, begun = self.matcher(query), " ".join(query.casefold().split())
        scattered: list[Hit] = []
        named = False
        for offer in self._offers():
            words = offer.words.casefold()
            if called(query, (words,)):
                first = words.removeprefix("write down ").startswith(begun)
                named = True
                yield Hit((3 if first else 2) * BY_OTHER_WORD, matcher.highlight(offer.shown()), offer.run)
            elif word := called(query, offer.also):
                named = True
                yield Hit(BY_OTHER_WORD, matcher.highlight(offer.shown(word)), offer.run)
            elif (score := matcher.match(offer.words)) > 0:
                scattered.append(Hit(score, matcher.highlight(offer.shown()), offer.run))
        for hit in scattered if not named else ():
            yield hit

    async def _run(self, named: NamedAction, place: DOMNode) -> None:
        await self.app.run_action(named.action, default_namespace=place)

    def _write(self, kind: Description[Kind]) -> None:
        if isinstance(self.screen, BinPlace):
            self.screen.open_kind(kind)

    def _open(self, name: str) -> None:
        self.app.push_screen(screen(name))

    def _tell(self, each: Elsewhere) -> None:
        """What is done on the command line cannot be begun from here: say how."""
        self.app.notify(f"On the command line:\n{each.command}", title=each.words, markup=False, timeout=TELL_SECONDS)


def called(query: str, also: tuple[str, ...]) -> str:
    """The first of the other words that ``query`` begins, or a word in it; empty when none does."""
    begun = " ".join(query.casefold().split())
    if not begun:
        return ""
    return next((word for word in also if f" {word}".find(f" {begun}") >= 0), "")
