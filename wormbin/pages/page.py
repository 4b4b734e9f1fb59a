"""What a page is made of: headings, sentences, rows and tables, as plain data, and the lines that they become.

Lines are pieces of text with roles, printed and painted alike. All text that a keeper could have typed goes through
``said``, so it is only ever text.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Protocol

from wormbin.drawing.axes import day_month
from wormbin.drawing.marks import graphemes, level_mark, plain, width_of
from wormbin.drawing.picture import Picture
from wormbin.farm.views.round import StepView
from wormbin.figures import Level

Piece = tuple[str, str]
"""Some text and its role: ``strong``, ``dim``, ``title``, a level and so on; "" for plain text."""
Line = Sequence[Piece]

DEEPER = 2
_MARK = re.compile(r" *(?:[·•→>▲■○#^*-]|\[[ x]\]|\d+[.]?|(?<=  )[a-z?](?=  )) +")
"""What a line of a list begins with; the words after it stand under each other."""
_GLUE = "\x1f"
_WORD = re.compile(r"[^ ]+ *| +")
_TOGETHER = re.compile(r"(\d|about|under|over) (?=\S)(?=(?:mg|g|kg|oz|lb|mL|L|cm|m|d|days?|°C|°F|\d)\b)")
"""A number stays on the line of its unit."""


def said(text: str, role: str = "") -> Piece:
    """A keeper's words, made harmless."""
    return plain(text), role


def text_of(line: Line) -> str:
    """The words of a line without their roles."""
    return "".join(text for text, _ in line)


def laid(lines: Iterable[Line], width: int) -> Iterator[list[Piece]]:
    """Lines in rows of at most ``width`` cells: broken between words, set in under where they began."""
    width = max(width, 1)
    for line in lines:
        if is_rule(line):
            (text, role), *_ = line
            yield [(text[:width], role)]
        else:
            yield from wrapped(line, width, indent_of(line))


def is_rule(line: Line) -> bool:
    """Whether a line is a stroke across the page, which is cut where it does not fit and never broken."""
    text = text_of(line).strip()
    return len(text) > DEEPER and len(set(text)) == 1 and not text[0].isalnum()


def indent_of(line: Line) -> int:
    """How far later rows of a line are set in: under the words after a mark or number, else a little more than the
    line itself, nothing for one that is not set in."""
    text = text_of(line)
    if mark := _MARK.match(text):
        return width_of(mark[0])
    spaces = len(text) - len(text.lstrip(" "))
    return spaces + DEEPER if spaces else 0


def fitted(pieces: Iterable[Piece], width: int) -> list[Piece]:
    """Pieces cut or padded to exactly ``width`` cells."""
    out: list[Piece] = []
    left = width
    for text, role in pieces:
        if left <= 0:
            break
        used = width_of(text)
        if used > left:
            text, used = plain(text, left), left
        out.append((text, role))
        left -= used
    if left > 0:
        out.append((" " * left, ""))
    return out


def cut_short(line: list[Piece], width: int) -> list[Piece]:
    """A line with an ellipsis at its end, for what goes on and is not shown."""
    pieces = fitted(line, width - 2)
    if not pieces:
        return [("…", "dim")]
    text, role = pieces[-1]
    if role == "" and not text.strip():
        pieces.pop()
    if pieces and pieces[-1][0].endswith("…"):
        return pieces
    return [*pieces, ("…", "dim")]


def wrapped(pieces: Iterable[Piece], width: int, indent: int = 0) -> list[list[Piece]]:
    """Pieces as lines of at most ``width`` cells, broken between words, later lines set in by ``indent``."""
    width = max(width, 1)  # a terminal may be shrunk to nothing
    indent = max(min(indent, width - 2), 0)
    lines: list[list[Piece]] = [[]]
    used = start = 0
    for text, role in pieces:
        for whole in _words(text):
            word = whole
            if used + width_of(word.rstrip(" ")) > width and used > start:
                lines.append([(" " * indent, "")])
                used = start = indent
                word = word.lstrip(" ")
            while used + width_of(word.rstrip(" ")) > width:
                head, word = _broken(word, width - used)
                lines[-1].append((head, role))
                lines.append([(" " * indent, "")])
                used = start = indent
            lines[-1].extend((part, role) for part in _WORD.findall(word))
            if used == start and word.isspace():  # what a line is set in by is no word of it
                start += width_of(word)
            used += width_of(word)
    return lines


def _broken(word: str, room: int) -> tuple[str, str]:
    """What of a long word fits into ``room`` cells (at least a letter), and the rest."""
    head, used = "", 0
    for letter, cells in graphemes(word):
        if head and used + cells > room:
            break
        head, used = head + letter, used + cells
    return head, word[len(head) :]


def _words(text: str) -> list[str]:
    """A text in words, each with the spaces that follow it; a number with its unit is one."""
    words = [part.replace(_GLUE, " ") + " " for part in _TOGETHER.sub(r"\1" + _GLUE, text).split(" ")]
    words[-1] = words[-1][:-1]
    return [word for word in words if word]


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
