"""The panel that stands first and largest: what to do now, with its amount; then why; then how sure."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.widgets import Static

from wormbin.drawing.marks import level_mark
from wormbin.figures import Level
from wormbin.tui.showing import Piece, lines_of, said


class DoNow(Static):
    """Shows one bin's worst finding as an instruction. Its border takes the level's colour; the word is in the text."""

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
        steps: int = 3,
        ascii: bool = False,
    ) -> None:
        """Lay the panel out anew; ``more`` is how many further findings there are, ``steps`` how many to show."""
        for each in Level:
            self.set_class(each is level, f"-{each.value}")
        lines: list[list[Piece]] = [[(level_mark(level, ascii=ascii), level.value), ("  ", ""), said(title, "name")]]
        lines.append([said(headline, "strong")])
        arrow = "> " if ascii else "→ "
        lines.extend([(arrow, level.value), said(step)] for step in do[:steps])
        if len(do) > steps:
            lines.append([said(f"and {len(do) - steps} more steps: d shows all", "dim")])
        if why:
            lines.append([said(f"why: {why}", "dim")])
        if sure:
            lines.append([said(f"how sure: {sure}", "dim")])
        if more:
            lines.append([said(f"{more} more below" if more > 1 else "one more below", "dim")])
        self.update(lines_of(lines))

    def clear(self, words: str) -> None:
        """Nothing to do, or nothing known yet."""
        for each in Level:
            self.remove_class(f"-{each.value}")
        self.update(Content(words))
