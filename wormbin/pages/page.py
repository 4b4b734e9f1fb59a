"""What a page is made of: headings, sentences, rows and tables, as plain data without a width."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Protocol

from wormbin.drawing.axes import day_month
from wormbin.drawing.marks import level_mark, width_of
from wormbin.drawing.picture import Picture
from wormbin.farm.views.round import StepView
from wormbin.figures import Level
from wormbin.pages.lines import Line, Piece, said

ARROW = "→ "
"""Leads a step to take."""
GUTTER = 2
"""Cells between two columns."""
WIDEST = 100
"""No picture is drawn wider."""


@dataclass(frozen=True, slots=True)
class Sentence:
    """One line or paragraph: ``words`` in ``role``, after a quiet ``lead`` ("why: ") and before a quiet ``aside``.

    With ``level`` its mark stands before the words, ``named`` with its word, too. ``indent`` is in cells.
    """

    words: str
    role: str = ""
    lead: str = ""
    lead_role: str = "dim"
    aside: str = ""
    level: Level | None = None
    named: bool = False
    indent: int = 0

    def lines(self, width: int) -> Iterator[Line]:
        """One line of pieces."""
        pieces: list[Piece] = [(" " * self.indent, "")] if self.indent else []
        if self.lead:
            pieces.append(said(self.lead, self.lead_role))
        if self.level is not None:
            pieces.append((level_mark(self.level, word=self.named), self.level.value))
            pieces.append(("  " if self.named else " ", ""))
        pieces.append(said(self.words, self.role))
        if self.aside:
            pieces.append(said(self.aside, "dim"))
        yield pieces


@dataclass(frozen=True, slots=True)
class Heading(Sentence):
    """What the lines below it are about."""

    role: str = "title"


@dataclass(frozen=True, slots=True)
class Rows:
    """Labels with their values, the values under each other: ``(label, value)``; a row without a value is left out."""

    rows: Sequence[tuple[str, str]]
    role: str = ""
    indent: int = 0

    def lines(self, width: int) -> Iterator[Line]:
        """A line a row."""
        told = [(label, value) for label, value in self.rows if value]
        room = max((width_of(label) for label, _ in told), default=0) + 2
        for label, value in told:
            pieces = [said(label + " " * (room - width_of(label)), "dim"), said(value, self.role)]
            yield [(" " * self.indent, ""), *pieces] if self.indent else pieces


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table: its head, which way it is set, and whether long words in it may be broken.

    Where there is no room for all, the columns of the highest ``rank`` go first, those of one rank together.
    """

    head: str
    right: bool = False
    free: bool = False
    rank: int = 0


@dataclass(frozen=True, slots=True)
class Table:
    """Cells of text under their heads; the first of a row names it."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]

    def lines(self, width: int) -> Iterator[Line]:
        """The heads, then a line a row; what has no room is left out by column."""
        heads = tuple(column.head for column in self.columns)
        every = [tuple(said(cell)[0] for cell in row) for row in (heads, *self.rows)]
        rooms = [max((width_of(row[at]) for row in every), default=0) for at in range(len(self.columns))]
        kept = list(range(len(self.columns)))
        while len(kept) > 1 and sum(rooms[at] + GUTTER for at in kept) - GUTTER > width:
            last = max(self.columns[at].rank for at in kept)
            if not last:
                break
            kept = [at for at in kept if self.columns[at].rank < last]
        for number, row in enumerate(every):
            line = ""
            for at in kept:
                pad = " " * (rooms[at] - width_of(row[at]))
                line += (pad + row[at] if self.columns[at].right else row[at] + pad) + " " * GUTTER
            yield [(line.rstrip(), "" if number else "dim")]


@dataclass(frozen=True, slots=True)
class Drawn:
    """A picture, drawn for the width that there is."""

    draw: Callable[[int], Picture]

    def lines(self, width: int) -> Iterator[Line]:
        """Its lines with the roles of their parts."""
        picture = self.draw(min(width, WIDEST))
        for row in range(picture.height):
            yield list(picture.pieces(row))


@dataclass(frozen=True, slots=True)
class Gap:
    """An empty line."""

    def lines(self, width: int) -> Iterator[Line]:
        """One empty line."""
        yield []


GAP = Gap()


class Block(Protocol):
    """A part of a page."""

    def lines(self, width: int) -> Iterator[Line]:
        """Its lines for a width."""


Page = Iterable[Block]


def in_brackets(key: str, name: str) -> str:
    """What a command calls it, after its name: " (kitchen)"; "" where it is the name itself."""
    return "" if key == name else f" ({key})"


def lines(page: Page, width: int = 80) -> list[Line]:
    """The page in lines of pieces, not yet broken to a width; ``width`` decides which columns of a table are seen."""
    return [line for block in page for line in block.lines(width)]


def day(on: date | None) -> str:
    """ "Mon 2 Nov 2026", or a dash."""
    return f"{on:%a} {day_month(on)} {on.year}" if on else "-"


def short_day(on: date, today: date) -> str:
    """``2 Nov``, with its year where that is another than today's."""
    return day_month(on) if on.year == today.year else f"{day_month(on)} {on.year}"


def day_word(on: date | None, today: date) -> str:
    """``today``, ``tomorrow``, ``Thu 2 Nov`` or ``not planned``."""
    if on is None:
        return "not planned"
    ahead = (on - today).days
    if ahead <= 0:
        return "today"
    return "tomorrow" if ahead == 1 else f"{on:%a} {day_month(on)}"


def dated(steps: Iterable[StepView], indent: int = 2) -> Iterator[Block]:
    """Steps by their days."""
    for step in steps:
        yield Sentence(step.words, lead=f"{step.on:%a} {day_month(step.on):>6}  ", lead_role="key", indent=indent)
