"""The panel that stands first and largest: what to do now, with its amount; then why; then how sure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

from wormbin.drawing.marks import level_mark
from wormbin.figures import Level
from wormbin.pages.findings import Tells, first_steps
from wormbin.pages.page import Piece, cut_short, said, wrapped
from wormbin.tui.themes import lines_of

if TYPE_CHECKING:
    from wormbin.drawing.series import Series
    from wormbin.farm.views.bin import BinView
    from wormbin.farm.views.round import RoundRow
    from wormbin.tui.widgets.charts import ChartWall, Shown


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


CHARTS = 2
"""Charts that stand below the pictures where there is room."""
CHART_ROWS, CUT_ROWS = 12, 6
"""Rows that the charts ask for, and under which the bin is not drawn."""
SHORT, TALL = 22, 36
"""Heights of the screen from which the dates and the charts come on (styles.tcss)."""


class NowPlace(Vertical):
    """Shows a row of the round first, and a ``BinView`` when it is there."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._furnished = False
        self._gauges = self._dates = 0

    def compose(self) -> ComposeResult:
        """The panel alone: what follows is drawn from what is not known yet."""
        yield DoNow(id="do")

    def say(self, words: str) -> None:
        """Words in the place of what to do."""
        self.query_one(DoNow).clear(words)

    def show_row(self, row: RoundRow, *, ascii: bool) -> None:
        """What to do, from the round."""
        self.query_one(DoNow).show(row, row.do, ascii=ascii)
        self._share_room()

    async def show_view(self, view: BinView, *, ascii: bool, units: str) -> None:
        """What to do, the bin cut open, its gauges and its dates."""
        from wormbin.pages.bin import dates
        from wormbin.pages.page import lines
        from wormbin.tui.widgets.page_lines import PageLines
        from wormbin.tui.widgets.pictures import CutPicture, Gauges

        if not self._furnished:
            self._furnished = True
            await self._furnish()
        self.query_one(DoNow).show(view, view.emergency or view.do_now, ascii=ascii)
        self.query_one(CutPicture).show_cut(view.cut, ascii=ascii, us=units == "us")
        self.query_one(Gauges).show_gauges(view.gauges, ascii=ascii)
        dated = lines(dates(view))
        self.query_one("#dates", PageLines).show(dated)
        self._gauges, self._dates = len(view.gauges), len(dated)
        self._share_room()

    def on_resize(self) -> None:
        """Share the new room out."""
        self._share_room()

    def _share_room(self) -> None:
        """The steps get the room first, then the gauges, why, the dates and the drawing, last the charts."""
        room, high = self.size.height, self.app.size.height
        if not room:
            return
        panel = self.query_one(DoNow)
        dates = self._dates + 1 if high >= TALL else self._dates if high >= SHORT else 0
        below = self._gauges + dates + (CHART_ROWS if high >= TALL else 0)
        apart = panel.styles.margin.height
        must, whole = panel.rows(self.size.width - panel.gutter.width)
        rows = min(room, max(must, min(whole, room - apart - below)))
        panel.styles.max_height = rows
        rest = max(room - rows - apart, 0)
        for lines in self.query("#dates"):  # the last of them to be mounted: a resize may come before it
            pair = self.query_one("#pair")
            half = max(self._gauges + dates, rest // 2)
            pair.styles.height = half if high >= TALL and rest - half >= CHART_ROWS - 2 else "1fr"
            rest = half if high >= TALL else rest
            self.set_class(rest < CUT_ROWS, "-flat")
            lines.display = rest > self._gauges and dates > 0
            lines.styles.max_height = max(rest - self._gauges, 1)

    async def _furnish(self) -> None:
        from wormbin.tui.widgets.charts import ChartWall
        from wormbin.tui.widgets.page_lines import PageLines
        from wormbin.tui.widgets.pictures import CutPicture, Gauges

        side = Vertical(Gauges(id="gauges"), PageLines(id="dates"), id="side")
        await self.mount(Horizontal(CutPicture(id="cut"), side, id="pair"), ChartWall(at_most=CHARTS, id="now-charts"))

    def show_charts(self, charts: Sequence[Series], view: BinView, how: Shown) -> None:
        """The first charts."""
        for wall in self.query("#now-charts"):
            cast("ChartWall", wall).show_charts(charts[:CHARTS], how)

    def listen(self) -> None:
        """The arrows choose a gauge."""
        for gauges in self.query("#gauges"):
            gauges.focus()
