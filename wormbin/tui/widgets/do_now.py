"""The panel that stands first and largest: what to do now, with its amount; then why; then how sure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

from wormbin.drawing.marks import level_mark
from wormbin.figures import Level
from wormbin.tui.showing import Piece, lines_of, said, wrapped


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
        self._paragraphs: tuple[Paragraph, ...] = ()

    def show(
        self,
        *,
        title: str,
        level: Level,
        headline: str,
        do: Sequence[str],
        why: str = "",
        sure: str = "",
        more: int = 0,
        ascii: bool = False,
    ) -> None:
        """Lay the panel out anew; ``more`` is how many further findings there are."""
        for each in Level:
            self.set_class(each is level, f"-{each.value}")
        arrow = "> " if ascii else "→ "
        mark = level_mark(level, ascii=ascii)
        made = [
            Paragraph(((mark, level.value), ("  ", ""), said(title, "name"), ("  ", ""), said(headline)), len(mark) + 2)
        ]
        made += [Paragraph(((arrow, level.value), said(step, "strong")), 2) for step in do]
        if why:
            made.append(Paragraph((("why: ", "dim"), said(why, "dim")), 5))
        if sure:
            made.append(Paragraph((("sure: ", "dim"), said(sure, "dim")), 6))
        if more:
            words = f"{more} more findings: d shows all" if more > 1 else "one more finding: d shows both"
            made.append(Paragraph(((words, "dim"),)))
        self._paragraphs = tuple(made)
        self.refresh(layout=True)

    def clear(self, words: str) -> None:
        """Nothing to do, or nothing known yet."""
        for each in Level:
            self.remove_class(f"-{each.value}")
        self._paragraphs = (Paragraph((said(words),)),)
        self.refresh(layout=True)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """As many lines as everything takes; the style sheet says how many at most."""
        return max(sum(len(wrapped(each.pieces, width, each.indent)) for each in self._paragraphs), 1)

    def render(self) -> Content:
        """What fits, from the top; the last line says when something was left out."""
        width, height = self.content_size
        lines = [line for each in self._paragraphs for line in wrapped(each.pieces, max(width, 1), each.indent)]
        if len(lines) > height > 0:
            lines = lines[:height]
            if height > 2:
                lines[-1] = [("… d shows all", "dim")]
        return lines_of(lines)
