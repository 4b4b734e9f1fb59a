"""One bin's page: its head, what stands on the calendar, and what the log has taught about it."""

from __future__ import annotations

from collections.abc import Iterator

from wormbin.drawing.marks import level_mark
from wormbin.farm.views.bin import BinView
from wormbin.pages.days import day, day_word
from wormbin.pages.lines import Line, Piece, said
from wormbin.pages.page import Block, Heading, Sentence


def head(view: BinView, demo: str = "", by: str = "") -> Line:
    """One line: level, name, day, date."""
    pieces: list[Piece] = [
        (level_mark(view.level), view.level.value),
        ("  ", ""),
        said(view.bin.name, "title"),
        (f"  day {view.day}  {day(view.on)}", "dim"),
    ]
    if demo:
        pieces.append((f"  demo: {demo}", "watch"))
    if by:
        pieces.append(said(f"  signed: {by}", "dim"))
    return pieces


def dates(view: BinView) -> Iterator[Block]:
    """What may be fed today, the next feeding and check, and the harvest window."""
    fed = "fed today; " if view.fed_today else ""
    check = "checked today" if view.checked_today else f"check {day_word(view.next_check, view.on)}"
    if view.feed_up_to_kg > 0:
        into = next((f" in the {each.name}" for each in view.compartments if each.fed), "")
        yield Sentence(view.feed_up_to_words, "strong", lead="feed up to ", aside=f"{into} today")
    else:
        yield Sentence("nothing more today", "strong", lead="feed: ")
    yield Sentence(f"{fed}feed {day_word(view.next_feeding, view.on)}, {check}", lead="next: ")
    yield Sentence(view.harvest.words, "good" if view.harvest.due_since else "", lead="castings: ")
    for each in view.compartments:
        role = "good" if each.due_since else ""
        yield Sentence(each.harvest_words, role, lead=f"{each.name}: ", indent=2)


def learned(view: BinView) -> Iterator[Block]:
    """What the log has taught, and which readings did not fit."""
    yield Heading("What the log has taught about this bin")
    for words in view.learned:
        yield Sentence(words, indent=3)
    for doubt in view.doubts:
        yield Sentence(doubt.words, lead="? ", lead_role="questioned", indent=3)
