"""What the store noticed about its files: each with what to do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from wormbin.farm.errors import Flaw
from wormbin.figures import Level
from wormbin.measures import counted
from wormbin.pages.page import ARROW, GAP, Block, Sentence


def notices(found: Sequence[Flaw]) -> Iterator[Block]:
    """What is the matter, what to do, and with which file; nothing of it was changed by looking."""
    for flaw in found:
        yield Sentence(flaw.what, "strong", level=Level.WATCH)
        yield Sentence(flaw.do, lead=ARROW, indent=2)
        place = str(flaw.path) if flaw.line is None else f"{flaw.path}, line {flaw.line}"
        yield Sentence(place, "dim", indent=2)
        yield GAP
    yield Sentence("To look everything over: wormbin store check", "dim")


def notice_line(found: Sequence[Flaw]) -> str:
    """That there is something to read, as one line."""
    return f"! {counted(len(found), 'thing')} noticed about the files: N shows what, and what to do"
