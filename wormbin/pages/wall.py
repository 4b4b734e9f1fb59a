"""What stands on the wall beside a bin: whose turn it is, what to do, when it is fed next."""

from __future__ import annotations

from collections.abc import Iterator

from wormbin.farm.views.bin import BinView
from wormbin.pages.bin import dates
from wormbin.pages.page import GAP, Block, Heading, Sentence
from wormbin.pages.todo import to_do


def today(whose: str) -> Iterator[Block]:
    """Whose turn it is, and what to mind."""
    if whose:
        yield Heading("Today")
        yield from (Sentence(each, "strong", indent=1) for each in whose.split(" · "))
        yield GAP
    yield Sentence("Wash your hands afterwards. Eat nothing here.", "strong")


def wall(view: BinView, most: int) -> Iterator[Block]:
    """At most ``most`` steps; the rest is on the bin's own page."""
    yield from list(dates(view))[:2]
    yield GAP
    yield Heading("What to do")
    steps = (view.emergency or view.do_now)[:most]
    if not steps:
        yield Sentence(view.headline, indent=1)
    yield from to_do(view, steps, indent=1)
