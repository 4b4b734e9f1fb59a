"""One bin: what to do now, the bin cut open beside its gauges; ahead; its log; any number opened."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.reactive import reactive
from textual.widgets import ContentSwitcher, Footer, Static

from wormbin.drawing.chart import chart_key
from wormbin.farm.views import BinView
from wormbin.problems import RefusedError
from wormbin.tui.bin_actions import BinActions
from wormbin.tui.bin_lines import dates_line, finding_lines, harvest_lines, head_pieces, tab_pieces
from wormbin.tui.messages import EntryRecorded, FarmChanged
from wormbin.tui.showing import line_of, lines_of, said
from wormbin.tui.widgets.charts import ChartPicture, Range
from wormbin.tui.widgets.cut import CutPicture
from wormbin.tui.widgets.do_now import DoNow
from wormbin.tui.widgets.gauges import Gauges
from wormbin.tui.widgets.log_list import LogList
from wormbin.tui.working_lines import working_lines

TABS = (("now", "n", "now"), ("ahead", "a", "ahead"), ("log", "l", "log"), ("sums", "o", "numbers opened"))


class BinScreen(BinActions):
    """Shows one ``BinView``; every change to the bin comes back as a new one."""

    HELP = (
        "One bin. What to do now stands first. Below it the bin cut open, and its gauges: a disc is a reading, a "
        "lozenge is worked out; the shaded part is where the true value lies eight times in ten."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("n", "tab('now')", "now", show=False),
        Binding("a", "tab('ahead')", "ahead"),
        Binding("l", "tab('log')", "log"),
        Binding("o", "tab('sums')", "numbers", show=False),
        Binding("d", "details", "all findings", show=False),
        Binding("plus,equals_sign", "zoom(-1)", "closer", show=False),
        Binding("minus", "zoom(1)", "further", show=False),
        Binding("left", "pan(-1)", "earlier", show=False),
        Binding("right", "pan(1)", "later", show=False),
        Binding("m", "next_chart", "next charts", show=False),
        Binding("escape", "back", "back", show=False),
        Binding("q", "app.quit", "quit"),
    ]

    tab: reactive[str] = reactive("now", init=False)
    seen: reactive[Range] = reactive(Range(), init=False)

    def __init__(self, key: str) -> None:
        super().__init__()
        self.key = key
        self.view: BinView | None = None
        self._first_chart = 0

    def compose(self) -> ComposeResult:
        """Head, tabs, and one place for each tab."""
        yield Static(id="head")
        yield Static(id="tabs")
        with ContentSwitcher(initial="now", id="places"):
            with Vertical(id="now"):
                yield DoNow(id="do")
                with Horizontal(id="pair"):
                    yield CutPicture(id="cut")
                    with Vertical(id="side"):
                        yield Gauges(id="gauges")
                        yield Static(id="dates")
            with Vertical(id="ahead"):
                yield Static(id="chart-title-1", classes="chart-title")
                yield ChartPicture(id="chart-1")
                yield Static(id="chart-title-2", classes="chart-title")
                yield ChartPicture(id="chart-2")
                yield Static(id="chart-key")
            with Vertical(id="log"):
                yield LogList(id="lines")
            with VerticalScroll(id="sums"):
                yield Static(id="workings")
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        """Ask for the bin."""
        self.query_one("#do", DoNow).clear("Working out how this bin is …")
        self.query_one("#tabs", Static).update(line_of(tab_pieces(TABS, self.tab)))
        self.reload()

    def reload(self) -> None:
        """Ask for the bin anew; what is shown stays until it is there."""
        self.run_worker(self._load(), exclusive=True, group="load", exit_on_error=False)

    async def _load(self) -> None:
        try:
            view = await self.ask(lambda farm: farm.look(self.key))
        except RefusedError as refused:
            self.query_one("#do", DoNow).clear(str(refused))
            return
        self.view = view
        self._show_now(view)
        self._show_tab()

    def _show_now(self, view: BinView) -> None:
        program = self.wormbin
        self.query_one("#head", Static).update(line_of(head_pieces(view, program.demo, ascii=program.ascii)))
        worst = view.findings[0] if view.findings else None
        self.query_one("#do", DoNow).show(
            title="do now" if view.do_now else "nothing to do now",
            level=view.level,
            headline=view.headline,
            do=view.emergency or view.do_now,
            why=worst.why if worst else "",
            sure=worst.sure if worst else "",
            more=max(len(view.findings) - 1, 0),
            ascii=program.ascii,
        )
        self.query_one(CutPicture).show_cut(view.cut, ascii=program.ascii, us=program.units == "us")
        self.query_one(Gauges).show_gauges(view.gauges, ascii=program.ascii, units=program.units)
        self.query_one("#dates", Static).update(lines_of(dates_line(view)))

    def in_hand(self) -> tuple[str, str] | None:
        """This bin."""
        return (self.key, self.view.bin.name if self.view is not None else self.key)

    def last_words(self) -> dict[str, str]:
        """What the last check said."""
        return dict(self.view.last_words) if self.view is not None else {}

    # tabs
    def watch_tab(self) -> None:
        """Go to another place within the bin."""
        self.query_one("#places", ContentSwitcher).current = self.tab
        self.query_one("#tabs", Static).update(line_of(tab_pieces(TABS, self.tab)))
        self._show_tab()

    def watch_seen(self) -> None:
        """Other days are to be seen."""
        self._show_charts()

    def _show_tab(self) -> None:
        if self.view is None:
            return
        if self.tab == "ahead":
            self._show_charts()
        elif self.tab == "log":
            self.run_worker(self._show_log(), exclusive=True, group="tab", exit_on_error=False)
        elif self.tab == "sums":
            self.run_worker(self._show_sums(), exclusive=True, group="tab", exit_on_error=False)

    def _show_charts(self) -> None:
        view = self.view
        if view is None or not view.charts:
            return
        program = self.wormbin
        for place in (0, 1):
            chart = view.charts[(self._first_chart + place) % len(view.charts)]
            self.query_one(f"#chart-title-{place + 1}", Static).update(line_of([said(" " + chart.title, "strong")]))
            self.query_one(f"#chart-{place + 1}", ChartPicture).show_chart(
                chart, self.seen, ascii=program.ascii, units=program.units
            )
        width = max(self.size.width - 1, 10)
        words = "+ - zoom, arrows pan, m more   "
        self.query_one("#chart-key", Static).update(
            line_of([(words, "dim"), (chart_key(max(width - len(words), 1), ascii=program.ascii), "dim")])
        )

    async def _show_log(self) -> None:
        lines = await self.ask(lambda farm: farm.log(self.key))
        listed = self.query_one(LogList)
        listed.show_log(lines, ascii=self.wormbin.ascii)
        if self.tab == "log":
            listed.focus()

    async def _show_sums(self) -> None:
        view = self.view
        if view is None:
            return
        codes = [gauge.code for gauge in view.gauges]
        workings = [await self.ask(lambda farm, code=code: farm.working(self.key, code)) for code in codes]  # type: ignore[misc]
        lines = [line for working in workings for line in working_lines(working)]
        lines += finding_lines(view.findings, ascii=self.wormbin.ascii)
        lines += [[said(words)] for words in view.learned]
        self.query_one("#workings", Static).update(lines_of(lines))

    def action_tab(self, name: str) -> None:
        """Go to a place within the bin."""
        self.tab = name

    def action_zoom(self, by: int) -> None:
        """Show more or fewer days."""
        self.seen = self.seen.zoomed(by)

    def action_pan(self, by: int) -> None:
        """Show earlier or later days."""
        self.seen = self.seen.panned(by)

    def action_next_chart(self) -> None:
        """Show the next two quantities."""
        self._first_chart += 2
        self._show_charts()

    def action_details(self) -> None:
        """All findings in full."""
        if self.view is not None:
            from wormbin.tui.screens.reading import ReadingScreen

            program = self.wormbin
            lines = finding_lines(self.view.findings, ascii=program.ascii) + harvest_lines(self.view.harvest)
            self.app.push_screen(ReadingScreen(f"{self.view.bin.name}: every finding", lines))

    def action_back(self) -> None:
        """From a tab to now; from now to the round."""
        if self.tab != "now":
            self.tab = "now"
        else:
            self.dismiss(None)

    def on_farm_changed(self, _: FarmChanged) -> None:
        """Somebody else wrote."""
        self.reload()

    def on_entry_recorded(self, event: EntryRecorded) -> None:
        """Say what was saved, and look again."""
        self.notify(event.recorded.sentence, markup=False)
        self.reload()
