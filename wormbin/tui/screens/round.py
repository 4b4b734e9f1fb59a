"""The round: all bins, worst first; what to do now at the top, then every bin in a line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Footer, Input, Static

from wormbin.farm.views import RoundRow, TroubledBin
from wormbin.figures import Level
from wormbin.tui.bin_actions import BinActions
from wormbin.tui.bin_lines import finding_lines, harvest_lines
from wormbin.tui.desk import FILL
from wormbin.tui.messages import EntryRecorded, FarmChanged
from wormbin.tui.round_lines import ORDERS, column_heads, row_pieces, summary
from wormbin.tui.showing import Piece, line_of, said
from wormbin.tui.widgets.do_now import DoNow
from wormbin.tui.widgets.line_list import LineList


class RoundScreen(BinActions):
    """Rows come in one by one from the farm; a frame stands at once and then fills."""

    HELP = (
        "Every bin in a line, worst first. At the top stands what the bin under the cursor needs now, and how much. "
        "Arrows move, Enter opens a bin; a tick stands beside a bin that somebody has been at today."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "open_bin", "open", show=False),
        Binding("s", "sort", "sort"),
        Binding("slash", "filter", "filter", show=False),
        Binding("d", "details", "all findings", show=False),
        Binding("q", "app.quit", "quit"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._rows: list[RoundRow] = []
        self._troubled: tuple[TroubledBin, ...] = ()
        self._shown: list[RoundRow] = []
        self._order = 0
        self._only = ""
        self._filled = False
        self._chosen = ""

    def compose(self) -> ComposeResult:
        """Head, what to do now, the bins, the keys."""
        yield Static(id="head")
        yield DoNow(id="now")
        with Vertical(id="list"):
            yield Static(id="columns")
            yield LineList(self._draw, id="bins")
        line = Input(placeholder="part of a name, or act, watch, steady; Enter", id="filter")
        line.display = False
        yield line
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        """Ask for the rows."""
        self.query_one("#now", DoNow).clear("Working out how the bins are …")
        self.query_one(LineList).focus()
        self.reload()

    def reload(self) -> None:
        """Ask for every row anew; what is shown stays until the new rows are there."""
        self.run_worker(self._load(), exclusive=True, group="load", exit_on_error=False)

    async def _load(self) -> None:
        rows = await self.ask(lambda farm: farm.rows(), FILL)
        fresh: list[RoundRow] = []
        first_time = not self._filled
        while (row := await self.ask(lambda _: next(rows, None), FILL)) is not None:
            fresh.append(row)
            if first_time:
                self._rows = list(fresh)
                self._lay_out()
        self._filled = True
        self._rows = fresh
        self._lay_out()

    def _lay_out(self) -> None:
        key, _ = ORDERS[self._order]
        word = self._only.casefold()
        self._shown = sorted(
            (row for row in self._rows if word in f"{row.name} {row.bin} {row.level.value}".casefold()), key=key
        )
        lines = self.query_one(LineList)
        at = next((i for i, row in enumerate(self._shown) if row.bin == self._chosen), None)
        lines.show(len(self._shown), at if at is not None else 0)
        self._show_head()
        self._show_now()
        width = lines.scrollable_content_region.width or self.size.width
        self.query_one("#columns", Static).update(line_of(column_heads(width)))

    def _show_head(self) -> None:
        self.query_one("#head", Static).update(
            line_of(summary(self._rows, self._filled, ORDERS[self._order][1], self._only, self.wormbin.demo))
        )

    def _show_now(self) -> None:
        panel = self.query_one("#now", DoNow)
        row = self._current()
        if row is None:
            words = "No bin fits the filter." if self._only else "No bin yet."
            panel.clear(words if self._filled else "Working out how the bins are …")
            return
        worst = row.findings[0] if row.findings else None
        panel.show(
            title=row.name,
            level=row.level,
            headline=row.headline,
            do=row.do,
            why=worst.why if worst else "",
            sure=worst.sure if worst else "",
            more=max(len(row.findings) - 1, 0),
            ascii=self.wormbin.ascii,
        )

    def _current(self) -> RoundRow | None:
        at = self.query_one(LineList).cursor
        return self._shown[at] if 0 <= at < len(self._shown) else None

    def _draw(self, index: int, width: int) -> Sequence[Piece]:
        if index >= len(self._shown):
            return [said("", "")]
        return row_pieces(self._shown[index], width, ascii=self.wormbin.ascii)

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """Show what the bin under the cursor needs."""
        if 0 <= event.index < len(self._shown):
            self._chosen = self._shown[event.index].bin
        self._show_now()

    def on_line_list_chosen(self, _: LineList.Chosen) -> None:
        """Open the bin."""
        self.action_open_bin()

    def on_resize(self) -> None:
        """Lay the columns out for the new width."""
        if self._rows:
            self._lay_out()

    def on_farm_changed(self, _: FarmChanged) -> None:
        """Somebody else wrote."""
        self.reload()

    def on_entry_recorded(self, event: EntryRecorded) -> None:
        """Say what was saved, and look again."""
        self.notify(event.recorded.sentence, markup=False)
        self.reload()

    def on_screen_resume(self) -> None:
        """Coming back from a bin: it may have been written to."""
        if self._filled:
            self.reload()

    def in_hand(self) -> tuple[str, str] | None:
        """The bin under the cursor."""
        row = self._current()
        return (row.bin, row.name) if row is not None else None

    # what a key does
    def action_open_bin(self) -> None:
        """Open the bin under the cursor."""
        if (row := self._current()) is not None:
            from wormbin.tui.screens.bin import BinScreen

            self.app.push_screen(BinScreen(row.bin))

    def action_sort(self) -> None:
        """Go to the next order."""
        self._order = (self._order + 1) % len(ORDERS)
        self._lay_out()

    def action_details(self) -> None:
        """All findings of the bin under the cursor, in full."""
        if (row := self._current()) is not None:
            from wormbin.tui.screens.reading import ReadingScreen

            lines = finding_lines(row.findings, ascii=self.wormbin.ascii) + harvest_lines(row.harvest)
            self.app.push_screen(ReadingScreen(f"{row.name}: every finding", lines))

    def action_filter(self) -> None:
        """Type a word; only bins with it in their name or level stay."""
        line = self.query_one("#filter", Input)
        line.display = True
        line.focus()

    @on(Input.Changed, "#filter")
    def filter_typed(self, event: Input.Changed) -> None:
        """Filter while typing."""
        self._only = event.value.strip()
        self._lay_out()

    @on(Input.Submitted, "#filter")
    def filter_said(self, event: Input.Submitted) -> None:
        """Back to the bins; an empty filter goes away."""
        event.input.display = bool(self._only)
        self.query_one(LineList).focus()

    def worst_level(self) -> Level:
        """The worst level shown, for tests and the title."""
        return max((row.level for row in self._rows), key=lambda level: level.rank, default=Level.STEADY)
