"""The round: all bins, worst first; what to do now at the top, then every bin in a line."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, ClassVar, cast

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.events import Resize, ScreenResume
from textual.widgets import Input, Static

from wormbin.farm import bins, rounds, turns
from wormbin.pages.round_table import ORDERS, SHOWN, column_heads, longest_name, row_pieces, summary, waiting_pieces
from wormbin.problems import RefusedError
from wormbin.tui.bin_place import BinPlace
from wormbin.tui.desk import FILL
from wormbin.tui.place import Hand
from wormbin.tui.themes import Piece, line_of, said
from wormbin.tui.widgets.do_now import DoNow
from wormbin.tui.widgets.key_line import KeyLine
from wormbin.tui.widgets.line_list import LineList

if TYPE_CHECKING:
    from wormbin.farm.cache.rows import Front
    from wormbin.farm.views.bin import TroubledBin
    from wormbin.farm.views.round import RoundRow
    from wormbin.records.bins import Bin
    from wormbin.tui.widgets.charts import Glance

FEW = 3
"""So many bins have room side by side on a wall, and on one page."""
LEAST_ROWS = 8
"""Rows that must be left under the list before a bin is drawn there."""
PANEL_ROWS, SHORT, TALL = 9, 22, 36
"""Rows that the panel has at least between the heights of the screen at which it has fewer and more."""
A_MOMENT = 0.12
"""Seconds that the cursor must rest on a bin before it is drawn below the list."""


class RoundScreen(BinPlace):
    """Rows come in one by one from the farm; a frame stands at once and then fills."""

    HELP = (
        "Every bin in a line, worst first. At the top stands what the bin under the cursor needs now, and how much. "
        "Arrows move, Enter opens a bin. The last column says what is due today, feed or check. Else it says when "
        "you feed next. A tick stands there once the bin was checked or fed that day and needs nothing more. If it "
        "still needs you, the top line counts it as checked. i writes the round as a checklist to walk with."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "open_bin", "open the bin", show=False),
        Binding("s", "sort", "sort"),
        Binding("v", "next_shown", "not done"),
        Binding("slash", "filter", "find a bin", show=False),
        Binding("d", "details", "all findings", show=False),
        Binding("i", "checklist", "checklist to walk with", show=False),
        Binding("escape", "all_bins", "all bins again", show=False),
        Binding("q", "app.quit", "quit"),
    ]

    def __init__(self, front: Front | None = None) -> None:
        """``front`` is what is known already; the rows are asked for anew once it is painted."""
        super().__init__()
        self._rows: list[RoundRow] = list(front.rows) if front is not None else []
        self._shown: list[RoundRow] = []
        self._cold: list[Bin] = []
        self._unmade: list[Bin] = []
        self._order = 0
        self._places: dict[str, tuple[int, int]] = {}
        self._show_only = 0
        self._word = ""
        self._filled = bool(self._rows)
        self._chosen = ""
        self._longest = 0
        self._close = False
        self._panel_due = False
        self._bins = 0
        self._today = front.on if front is not None else date.min
        self._turns = ""
        self._troubled: set[TroubledBin] = set()

    def compose(self) -> ComposeResult:
        """Head, what to do now, the bins, the keys."""
        yield Static(id="head")
        yield Static(id="noticed")
        yield Static(id="turns")
        yield DoNow(id="do")
        with Vertical(id="list"):
            yield Static(id="columns")
            yield LineList(self._draw, id="bins")
        yield KeyLine()

    def on_mount(self) -> None:
        """Show what is known, and ask for the rows."""
        self.query_one(LineList).focus()
        if self._rows:
            self._lay_out()
        else:
            self.query_one("#do", DoNow).clear("Working out how the bins are …")
            self._show_head()
        self.call_after_refresh(self.reload)

    def reload(self) -> None:
        """Ask for every row anew; what is shown stays until the new rows are there."""
        self.in_background(self._load, "load")

    async def _load(self) -> None:
        try:
            self._today, self._turns = await self.ask(lambda farm: (farm.moment(None).date(), turns.today_words(farm)))
            self._show_turns()
            filling = await self.ask(lambda farm: rounds.filling(farm), FILL)
            from wormbin.farm.views.bin import TroubledBin  # the farm's thread has loaded it by now
            from wormbin.farm.views.round import RoundRow

            self._bins, fresh = filling.of, list(filling.known)
            self._cold = list(filling.cold)
            self._show_so_far(fresh)
            async for made in self.filled(filling):
                self._cold = [each for each in self._cold if each.key != made.bin]
                if isinstance(made, TroubledBin):
                    if made not in self._troubled:  # once; from then on the line below the head says it
                        self._troubled.add(made)
                        words = f"{made.name}: {made.why}\nYou can go on with the other bins. N tells this again."
                        self.wormbin.tell_trouble(words, ours=False, heading="One bin cannot be shown")
                    self._bins -= 1
                    self._show_so_far(fresh)
                elif isinstance(made, RoundRow):
                    fresh.append(made)
                    self._show_so_far(fresh)
            await self.ask(lambda _: filling.end(), FILL)
            fresh = list(filling.laid_out())
        except RefusedError as refused:
            self._filled = self._filled or not self._rows  # nothing is being worked out any more
            self._show_head()
            self.query_one("#do", DoNow).clear(str(refused))
            return
        if not self._filled or fresh != self._rows:
            seen = {row.bin for row in self._rows if row.done}
            self._filled = True
            self._rows = fresh
            self._walk_on(seen)
            self._lay_out()
        if self._turns:
            self._turns = await self.ask(lambda farm: turns.today_words(farm, fed=turns.fed_today(fresh, self._today)))
            self._show_turns()
        await self.look_for_notices()
        self._look_closer()

    def _walk_on(self, seen: set[str]) -> None:
        """Once the bin under the cursor was seen to, the cursor goes on to the next that was not."""
        current = self._current()
        here = next((row for row in self._rows if current is not None and row.bin == current.bin), None)
        if here is None or not here.done or here.bin in seen or not self._shown:
            return
        done = {row.bin for row in self._rows if row.done}
        keys = [row.bin for row in self._shown]
        at = keys.index(here.bin) if here.bin in keys else 0
        self._chosen = next((key for key in (*keys[at:], *keys[:at]) if key not in done), here.bin)

    def show_noticed(self) -> None:
        """A line of it takes room from the list."""
        super().show_noticed()
        self._share_room()

    def _show_turns(self) -> None:
        """Today's pupils stand below the head, where turns are taken."""
        line = self.query_one("#turns", Static)
        if line.display != bool(self._turns):
            line.display = bool(self._turns)
            self._share_room()
        line.update(line_of([said(f" Turns today: {self._turns}", "strong")]) if self._turns else "")

    def _extra(self) -> int:
        """Lines between the head and what to do."""
        return sum(self.query_one(name).display for name in ("#noticed", "#turns"))

    def _show_so_far(self, rows: list[RoundRow]) -> None:
        """While the round fills for the first time, every row is shown as it comes."""
        if not self._filled:
            self._rows = list(rows)
            self._lay_out()

    def _lay_out(self) -> None:
        fits, word = SHOWN[self._show_only][0], self._word.casefold()
        self._shown = [
            row
            for row in self._in_order()
            if fits(row) and word in f"{row.name} {row.bin} {row.level.value}".casefold()
        ]
        # What is not worked out yet stands below, in the order of the farm.
        self._unmade = [
            each for each in self._cold if not self._filled and not self._show_only and word in each.name.casefold()
        ]
        lines = self.query_one(LineList)
        keys = [*(row.bin for row in self._shown), *(each.key for each in self._unmade)]
        at = keys.index(self._chosen) if self._chosen in keys else 0
        self._longest = longest_name([*self._shown, *self._unmade])
        lines.show(len(keys), at)
        self._show_head()
        self._show_now()
        self._share_room()
        self.call_after_refresh(self._share_room)  # the panel above may have got another height by what it says
        width = lines.scrollable_content_region.width or self.app.size.width
        self.query_one("#columns", Static).update(line_of(column_heads(width, self._longest)))

    def _in_order(self) -> list[RoundRow]:
        """All bins in the order asked for, which then holds still while they are walked.

        A bin that was seen to stays in its line, so that the next one is the next line. Bins that got worse, or came
        or went, are a new order; so is the key that sorts.
        """
        places = self._places
        same = len(places) == len(self._rows) and all(
            row.bin in places and row.level.rank <= places[row.bin][1] for row in self._rows
        )
        if same and self._filled:
            return sorted(self._rows, key=lambda row: places[row.bin][0])
        rows = sorted(self._rows, key=ORDERS[self._order][0])
        self._places = {row.bin: (at, row.level.rank) for at, row in enumerate(rows)}
        return rows

    def _share_room(self) -> None:
        """Where every bin is in sight and rows are left, the bin under the cursor is drawn below the list."""
        listed = len(self._shown) + len(self._unmade) + 2 + self._extra()
        panel = self.query_one("#do", DoNow)
        high = self.app.size.height
        free = high - listed - (1 if high < SHORT else 3)
        # Rows that no bin needs are the panel's, so that less of a long finding is left to another page; or there are
        # so many that the bin under the cursor finds room below, beside a panel that holds every step.
        least = 4 if high < SHORT else PANEL_ROWS if high < TALL else 13
        must, _ = panel.rows(self.app.size.width - panel.gutter.width)
        spare = free >= PANEL_ROWS + LEAST_ROWS - 1
        panel.styles.max_height = max(least, min(must, free) if spare else free)
        room = high - 3 - panel.outer_size.height - listed
        self._close = bool(self._shown) and room >= LEAST_ROWS and self.app.size.width >= 60
        if (glance := self._glance()) is not None:
            glance.display = self._close
        listed -= self._extra()
        self.query_one("#list").styles.height = listed if self._close else "1fr"

    def _glance(self) -> Glance | None:
        """The drawing below the list, once there was room for one."""
        for found in self.query("#glance"):
            return cast("Glance", found)
        return None

    def _show_head(self) -> None:
        only = ", ".join(part for part in (SHOWN[self._show_only][1], f"“{self._word}”" if self._word else "") if part)
        program = self.wormbin
        words = summary(
            self._rows,
            width=self.app.size.width,
            today=self._today,
            of=0 if self._filled else self._bins,
            filled=self._filled,
            ordered=ORDERS[self._order][1],
            only=only,
            demo=program.demo,
            by=program.by,
        )
        self.query_one("#head", Static).update(line_of(words))

    def _show_now(self) -> None:
        panel = self.query_one("#do", DoNow)
        row = self._current()
        if row is None:
            none = "No bin fits: Esc shows all again." if self._rows else "No bin yet: b starts one."
            waiting = self._waiting_at(self.query_one(LineList).cursor)
            if waiting is not None:
                none = f"{waiting.name}: working out how it is …"
            panel.clear(none if self._filled or waiting else "Working out how the bins are …")
            return
        panel.show(row, row.do, row.name, ascii=self.wormbin.ascii)

    def _current(self) -> RoundRow | None:
        at = self.query_one(LineList).cursor
        return self._shown[at] if 0 <= at < len(self._shown) else None

    def _waiting_at(self, index: int) -> Bin | None:
        at = index - len(self._shown)
        return self._unmade[at] if 0 <= at < len(self._unmade) else None

    def _draw(self, index: int, width: int) -> Sequence[Piece]:
        if index >= len(self._shown):
            waiting = self._waiting_at(index)
            if waiting is None:
                return []
            return waiting_pieces(waiting.name, width, longest=self._longest)
        return row_pieces(self._shown[index], width, self._today, longest=self._longest)

    # the bin under the cursor, drawn below the list
    def _look_closer(self) -> None:
        if self._close:
            self.in_background(self._draw_glance, "glance")

    async def _draw_glance(self) -> None:
        await asyncio.sleep(A_MOMENT)
        row = self._current()
        if row is None or not self._close:
            return
        key = row.bin
        try:
            if (await self.ask(lambda farm: rounds.filling(farm, only=key), FILL)).is_long:
                return  # nobody replays ten years, and holds up the farm's thread, for a glance
            view = await self.ask(lambda farm: bins.look(farm, key), FILL)
        except RefusedError:
            return
        glance = self._glance()
        if glance is None:
            from wormbin.tui.widgets.charts import Glance

            glance = Glance(id="glance")
            await self.mount(glance, after="#list")
            glance.display = self._close
        glance.show_bin(view, ascii=self.wormbin.ascii, units=self.wormbin.units)

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """Show what the bin under the cursor needs."""
        waiting = self._waiting_at(event.index)
        if waiting is not None:
            now = waiting.key
        elif 0 <= event.index < len(self._shown):
            now = self._shown[event.index].bin
        else:
            return
        if now != self._chosen:
            self._chosen = now
            if not self._panel_due:
                # The cursor is painted first; however fast it moves, the panel follows once.
                self._panel_due = True
                self.call_after_refresh(self._follow)

    def _follow(self) -> None:
        """What the bin under the cursor needs, and a look at it."""
        self._panel_due = False
        self._show_now()
        self.call_after_refresh(self._share_room)
        self._look_closer()

    def on_line_list_chosen(self, _: LineList.Chosen) -> None:
        """Open the bin."""
        self.action_open_bin()

    @on(Resize)
    def turned(self) -> None:
        """Lay the columns out for the new width, once everything has its new size."""
        self.call_after_refresh(self._lay_out)

    @on(ScreenResume)
    def come_back(self) -> None:
        """From a bin: it may have been written to. From a form that was opened on an empty round: see what is first."""
        if self._filled:
            self.reload()
        self.in_background(self.wormbin.lay_first)

    def in_hand(self) -> Hand | None:
        """The bin under the cursor."""
        if (row := self._current()) is not None:
            return Hand(row.bin, row.name, row.compartments)
        waiting = self._waiting_at(self.query_one(LineList).cursor)
        return Hand(waiting.key, waiting.name, waiting.compartments) if waiting is not None else None

    def hands(self) -> tuple[Hand, ...]:
        """All bins of a class; of many the one under the cursor."""
        every = tuple(Hand(row.bin, row.name) for row in sorted(self._rows, key=lambda row: rounds.natural(row.name)))
        return every if 1 < len(every) <= FEW else super().hands()

    # what a key does
    def action_open_bin(self) -> None:
        """Open the bin under the cursor."""
        if (row := self._current()) is not None:
            self.open("bin", row.bin, row)
        elif (hand := self.in_hand()) is not None:
            self.open("bin", hand.key, name=hand.name)

    def action_sort(self) -> None:
        """Go to the next order."""
        self._order = (self._order + 1) % len(ORDERS)
        self._places = {}
        self._lay_out()

    def action_next_shown(self) -> None:
        """Go on to which bins are shown."""
        self._show_only = (self._show_only + 1) % len(SHOWN)
        self._lay_out()

    def action_details(self) -> None:
        """All findings of the bin under the cursor, in full."""
        if (row := self._current()) is not None:
            self.open_findings(row, row.name)

    def action_checklist(self) -> None:
        """The round as a page to print and walk with, in the order shown."""
        from wormbin.pages.page import lines
        from wormbin.pages.round import checklist

        page = lines(checklist(self._shown, self._today, self.wormbin.units, self._turns))
        self.open("page", "The round", page, file=f"round-{self._today.isoformat()}.txt")

    def action_filter(self) -> None:
        """Type a word; only bins with it in their name or level stay."""
        if not (found := self.query("#filter")):
            line = Input(placeholder="part of a name; Enter to the bins, Esc all", id="filter", select_on_focus=False)
            self.mount(line, before=self.query_one(KeyLine))
        else:
            line = found.only_one(Input)
        line.display = True
        line.focus()

    def action_all_bins(self) -> None:
        """Take every filter off."""
        for line in self.query("#filter").results(Input):
            line.value, line.display = "", False
        self._word, self._show_only = "", 0
        self.query_one(LineList).focus()
        self._lay_out()

    @on(Input.Changed, "#filter")
    def filter_typed(self, event: Input.Changed) -> None:
        """Filter while typing."""
        self._word = event.value.strip()
        self._lay_out()

    @on(Input.Submitted, "#filter")
    def filter_said(self, event: Input.Submitted) -> None:
        """Back to the bins; an empty filter goes away."""
        event.input.display = bool(self._word)
        self.query_one(LineList).focus()
