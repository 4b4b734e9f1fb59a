"""The panel that stands first and largest: what to do now, with its amount; then why; then how sure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

from wormbin.drawing.marks import level_mark
from wormbin.figures import Level
from wormbin.pages.findings import Tells, first_steps
from wormbin.pages.lines import Piece, cut_short, said, wrapped
from wormbin.tui.showing import lines_of

LOW = 5
"""In fewer lines than this there is room for steps alone."""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Some pieces that are laid out together, with the width of their hanging indent."""

    pieces: tuple[Piece, ...]
    indent: int = 0


class DoNow(Widget):
    """Shows one bin's worst finding as an instruction, as much of it as there is room for, and never half a line.

    The border takes the level's colour; the word for it is in the text.
    """

    DEFAULT_CSS = "DoNow { width: 1fr; }"

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._head: tuple[Paragraph, ...] = ()
        self._steps: tuple[Paragraph, ...] = ()
        self._beside: tuple[Paragraph, ...] = ()
        self._grounds: tuple[Paragraph, ...] = ()
        self._more = 0
        self._high = 0

    def show(self, told: Tells, do: Sequence[str], title: str = "", *, ascii: bool = False) -> None:
        """Lay the panel out anew: what is ``told`` of a bin, and the steps that are its to ``do``."""
        for each in Level:
            self.set_class(each is told.level, f"-{each.value}")
        steps, also = first_steps(told, do)
        arrow, mark, role = "> " if ascii else "→ ", level_mark(told.level, ascii=ascii), told.level.value
        title = title or ("do now" if steps else "nothing to do now")
        head: tuple[Piece, ...] = ((mark, role), ("  ", ""), said(title, "name"), ("  ", ""), said(told.headline))
        self._head = (Paragraph(head, len(mark) + 2),)
        self._steps = tuple(Paragraph(((arrow, role), said(step, "strong")), 2) for step in steps)
        worst = told.findings[0] if told.findings else None
        self._beside = _named(("also: ", "; ".join(also), ""), ("mind: ", told.mind, "watch"))
        self._grounds = _named(("why: ", worst.why, "dim"), ("sure: ", worst.sure, "dim")) if worst else ()
        self._more = max(len(told.findings) - 1, 0)
        self._say()

    def clear(self, words: str) -> None:
        """Nothing to do, or nothing known yet."""
        for each in Level:
            self.remove_class(f"-{each.value}")
        self._head, self._steps, self._beside, self._grounds, self._more = (Paragraph((said(words),)),), (), (), (), 0
        self._say()

    def rows(self, width: int) -> tuple[int, int]:
        """Lines that it takes in so many cells to say what to do and to mind, and to say all."""
        must = sum(len(_laid(each, width)) for each in (self._head, self._steps, self._beside)) + bool(self._more)
        return must, len(self._lines(width, 99))

    def _say(self) -> None:
        """Paint; the whole screen is laid out anew only where another height is wanted than the last time."""
        width = self.content_size.width
        high = len(self._lines(width, 99)) if width > 2 else 0
        self.refresh(layout=high == 0 or high != self._high)
        self._high = high

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """As many lines as it takes to say all; the style sheet says how many at most."""
        return max(len(self._lines(width, 99)), 1)

    def render(self) -> Content:
        """What there is room for: the steps first, what to mind while doing them, and then why."""
        width, height = self.content_size
        return lines_of(self._lines(max(width, 1), max(height, 1)))

    def _lines(self, width: int, height: int) -> list[list[Piece]]:
        steps = [_laid([step], width) for step in self._steps]
        beside = [_laid([each], width) for each in self._beside]
        kept = min(sum(map(len, beside)), 0 if height < LOW else 2)
        lines, left = _laid(self._head, width), len(steps)
        for step in steps:
            tail = 1 if left > 1 or self._more else 0
            if len(lines) + len(step) + tail + kept > height:
                # A step begun is worth more than a reason; the first of all stands before everything else.
                room = height - len(lines) - tail - (0 if left == len(steps) else kept)
                if room > 0:
                    lines += _as_far(step, room, width)
                    left -= 1
                break
            lines += step
            left -= 1
        for each in (*beside, *(() if left else (_laid([each], width) for each in self._grounds))):
            room = height - len(lines) - (1 if left or self._more else 0)
            if room <= 0:
                break
            lines += _as_far(each, room, width)
        if (words := _left_words(left, self._more)) and len(lines) < height:
            lines.append([(words, "dim")])
        return lines[:height]


def _named(*lines: tuple[str, str, str]) -> tuple[Paragraph, ...]:
    return tuple(Paragraph(((name, role), said(words, role)), len(name)) for name, words, role in lines if words)


def _as_far(lines: list[list[Piece]], room: int, width: int) -> list[list[Piece]]:
    """As many lines as there is room for, the last with an ellipsis where it goes on."""
    return lines if len(lines) <= room else [*lines[: room - 1], cut_short(lines[room - 1], width)]


def _laid(paragraphs: Sequence[Paragraph], width: int) -> list[list[Piece]]:
    return [line for each in paragraphs for line in wrapped(each.pieces, width, each.indent)]


def _left_words(steps: int, findings: int) -> str:
    parts = [f"{steps} more step{'s' if steps > 1 else ''}"] if steps else []
    parts += [f"{findings} more finding{'s' if findings > 1 else ''}"] if findings else []
    return f"{' and '.join(parts)}: d shows all" if parts else ""
