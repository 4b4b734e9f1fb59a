"""The panel that stands first and largest: what to do now, with its amount; then why; then how sure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

from wormbin.advice.finding import Finding
from wormbin.drawing.marks import level_mark
from wormbin.figures import Level
from wormbin.tui.showing import Piece, cut_short, lines_of, said, wrapped


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
        self._rest: tuple[Paragraph, ...] = ()
        self._more = 0
        self._high = 0

    def show(
        self,
        *,
        title: str,
        level: Level,
        headline: str,
        do: Sequence[str],
        also: Sequence[str] = (),
        mind: str = "",
        findings: Sequence[Finding] = (),
        ascii: bool = False,
    ) -> None:
        """Lay the panel out anew.

        ``also`` is what no alarm calls for, ``mind`` a caution and no step; of the findings the first
        says why, and how many more there are is told.
        """
        for each in Level:
            self.set_class(each is level, f"-{each.value}")
        arrow = "> " if ascii else "→ "
        mark = level_mark(level, ascii=ascii)
        made = [
            Paragraph(((mark, level.value), ("  ", ""), said(title, "name"), ("  ", ""), said(headline)), len(mark) + 2)
        ]
        self._head = tuple(made)
        why, sure = (findings[0].why, findings[0].sure) if findings else ("", "")
        self._steps = tuple(Paragraph(((arrow, level.value), said(step, "strong")), 2) for step in do)
        beside = (
            ("also: ", "; ".join(also), ""), ("mind: ", mind, "watch"), ("why: ", why, "dim"), ("sure: ", sure, "dim"),
        )  # fmt: skip
        self._rest = tuple(
            Paragraph(((name, role), said(words, role)), len(name)) for name, words, role in beside if words
        )
        self._more = max(len(findings) - 1, 0)
        self._say()

    def clear(self, words: str) -> None:
        """Nothing to do, or nothing known yet."""
        for each in Level:
            self.remove_class(f"-{each.value}")
        self._head, self._steps, self._rest, self._more = (Paragraph((said(words),)),), (), (), 0
        self._say()

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
        """What there is room for: the steps first, and why in at least a line."""
        width, height = self.content_size
        return lines_of(self._lines(max(width, 1), max(height, 1)))

    def _lines(self, width: int, height: int) -> list[list[Piece]]:
        head = _laid(self._head, width)
        steps = [_laid([step], width) for step in self._steps]
        rest = [_laid([each], width) for each in self._rest]
        kept_for_rest = min(sum(map(len, rest)), 0 if height < 5 else 1 if height < 7 else 2 if height < 12 else 4)
        lines, left = list(head), len(steps)
        for step in steps:
            tail = 1 if left > 1 or self._more else 0
            if len(lines) + len(step) + tail + kept_for_rest > height:
                if left == len(steps) and (room := height - len(lines) - tail) > 0:
                    # Where hardly anything fits, the first step stands before everything else.
                    lines += [
                        *step[: room - 1],
                        cut_short(step[room - 1], width) if len(step) > room else step[room - 1],
                    ]
                    left -= 1
                break
            lines += step
            left -= 1
        for each in rest:
            room = height - len(lines) - (1 if left or self._more else 0)
            if room <= 0:
                break
            lines += each if len(each) <= room else [*each[: room - 1], cut_short(each[room - 1], width)]
        if (words := _left_words(left, self._more)) and len(lines) < height:
            lines.append([(words, "dim")])
        return lines[:height]


def _laid(paragraphs: Sequence[Paragraph], width: int) -> list[list[Piece]]:
    return [line for each in paragraphs for line in wrapped(each.pieces, width, each.indent)]


def _left_words(steps: int, findings: int) -> str:
    parts = [f"{steps} more step{'s' if steps > 1 else ''}"] if steps else []
    parts += [f"{findings} more finding{'s' if findings > 1 else ''}"] if findings else []
    return f"{' and '.join(parts)}: d shows all" if parts else ""
