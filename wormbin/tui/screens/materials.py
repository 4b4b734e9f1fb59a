"""The material table, each value with its source, and the mix bench: what a blend of them would be."""

from __future__ import annotations

from functools import partial
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Input, Static

from wormbin.drawing.marks import plain
from wormbin.farm import mixes
from wormbin.farm.materials import material_rows, set_material
from wormbin.farm.views.bin import MaterialRow
from wormbin.farm.views.proposals import MixView
from wormbin.pages.feeding import material, mix
from wormbin.pages.page import Sentence
from wormbin.problems import RefusedError
from wormbin.tui.desk import SAVE
from wormbin.tui.place import Form, acting
from wormbin.tui.themes import Piece, line_of, lines_of, said
from wormbin.tui.widgets.fields import LateField, NameSuggester, WordField
from wormbin.tui.widgets.line_list import LineList
from wormbin.tui.widgets.page_lines import PageLines


class MaterialsScreen(Form[None]):
    """Typing searches; the arrows choose; the material chosen stands beside the list in full."""

    HELP = (
        "Type a word to search: coffee, peel, leaves. The arrows choose. At the right every value stands with its "
        "source. ^O lets you put your own value in its place: moisture_pct=77."
    )
    heading = "Materials"
    KEYS = (("type", "to search"), ("arrows", "choose"))
    SIDE = "#after"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+o", "own", "own values"),
        Binding("down", "move(1)", "next", show=False),
        Binding("up", "move(-1)", "the one before", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._rows: tuple[MaterialRow, ...] = ()

    def parts(self) -> ComposeResult:
        """Search, list, the one chosen."""
        yield WordField("search", "coffee", id="word")
        with Horizontal(id="pair"):
            yield LineList(self._line, id="lines")
            with VerticalScroll(id="after", can_focus=False):
                yield PageLines(id="effect")
        yield LateField("own value", "moisture_pct=77", id="own")

    async def on_mount(self) -> None:
        """Show the whole table."""
        self.query_one("#lines", LineList).can_focus = False
        self.query_one("#word", WordField).input.focus()
        await self._search()

    async def _search(self) -> None:
        word = self.word("word")
        try:
            self._rows = await self.ask(lambda farm: material_rows(farm, word))
        except RefusedError:
            self._rows = ()
        self.query_one(LineList).show(len(self._rows), 0)
        self._show(0)

    def _line(self, index: int, width: int) -> list[Piece]:
        if index >= len(self._rows):
            return []
        row = self._rows[index]
        role = 10 if width >= 34 else 0
        return [
            (plain(f" {row.name}", max(width - role, 0), ascii=self.wormbin.ascii), "strong" if row.own else ""),
            (plain(row.role, role), "act" if row.kept_out_because else "dim"),
        ]

    def _show(self, index: int) -> None:
        row = self._rows[index] if index < len(self._rows) else None
        page = material(row, self.wormbin.units) if row else [Sentence("Nothing by that word.", "dim")]
        self.show_page(page)

    @on(LineList.Moved)
    def moved(self, event: LineList.Moved) -> None:
        """Show the material chosen."""
        self._show(event.index)

    @on(Input.Changed)
    def typed(self, event: Input.Changed) -> None:
        """Search while typing."""
        if event.input is self.query_one("#word", WordField).input:
            self.in_background(self._search, "search")

    def action_move(self, by: int) -> None:
        """Choose the next or the one before."""
        self.query_one(LineList).action_move(by)

    def action_own(self) -> None:
        """Say a value of one's own."""
        if self._rows:
            self.query_one(LateField).open()

    @on(Input.Submitted)
    @acting
    async def submitted(self, event: Input.Submitted) -> None:
        """Save the own value."""
        field, lines = self.query_one(LateField), self.query_one(LineList)
        if event.input is not field.input or not self._rows:
            return
        key, by = self._rows[lines.cursor].key, self.wormbin.by
        values = [part.strip() for part in event.value.replace(",", " ").split() if part.strip()]
        if (recorded := await self.understood(lambda farm: set_material(farm, key, values, by=by), SAVE)) is None:
            return
        self.say(recorded.sentence, role="good")
        at = lines.cursor
        field.close()
        await self._search()
        lines.cursor = at


FIELDS = (("add", "may be added", "leaves; straw"), ("cn", "C:N aim", "25-30"), ("moisture", "moisture % aim", "60"))

HINT: list[list[Piece]] = [[("Put things on: what they come to together will stand here.", "dim")]]


class MixBench(Form[None]):
    """Nothing here is written into a log."""

    HELP = (
        "Put things together on the bench: 1.5 kg kale, Enter, 400 g cardboard, Enter. Say what may be "
        "added, and which C:N and moisture you want. You see the least amounts. ^R takes the last out."
    )
    heading = "Mix bench"
    KEYS = (("Enter", "put on"), ("Tab", "next"))
    SIDE = "#after"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+r", "take_out", "take out"),
        Binding("ctrl+o", "open_sums", "numbers"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.heap: list[str] = []

    def parts(self) -> ComposeResult:
        """The heap at the left, what it is at the right."""
        names = NameSuggester(partial(self.finish, ""))
        with Horizontal(id="pair"):
            with VerticalScroll(id="bucket-side", can_focus=False):
                yield Static(line_of([("nothing on the bench yet", "dim")]), id="bucket")
                yield WordField("put on", "1.5 kg kale", suggester=names, id="portion")
                for name, label, example in FIELDS:
                    yield WordField(label, example, id=name)
            with VerticalScroll(id="after", can_focus=False):
                yield PageLines(HINT, id="effect")

    def label_of(self, field: str) -> str:
        """What is put on together is the mix."""
        return super().label_of("portion" if field == "mix" else field)

    def on_mount(self) -> None:
        """Listen to the first thing."""
        self.query_one("#portion", WordField).input.focus()

    @on(Input.Submitted)
    @acting
    async def submitted(self, event: Input.Submitted) -> None:
        """Put the line on the heap; it goes back into the line when it is not understood."""
        field = self.query_one("#portion", WordField)
        if words := field.value:
            self.heap.append(words)
            if await self._look():
                field.value = ""
            else:
                self.heap.pop()
        else:
            await self._look()

    @on(Input.Changed)
    def changed(self, event: Input.Changed) -> None:
        """What is wanted has changed."""
        if event.input is not self.query_one("#portion", WordField).input and self.heap:
            self.in_background(self._look, "mix")

    async def _look(self) -> bool:
        if not self.heap:
            self.query_one("#bucket", Static).update(line_of([("nothing on the bench yet", "dim")]))
            self.query_one("#effect", PageLines).show(HINT)
            return False
        heap, view = list(self.heap), await self._mixed()
        if view is None:
            return False
        self.say("")
        bucket: list[list[Piece]] = [[(f"{number})  ", "dim"), said(words)] for number, words in enumerate(heap, 1)]
        self.query_one("#bucket", Static).update(lines_of(bucket))
        self.show_page(mix(view))
        return True

    async def _mixed(self, *, explain: bool = False) -> MixView | None:
        """What is on the bench together; None where it was refused."""
        heap, cn, moisture = list(self.heap), self.word("cn"), self.word("moisture")
        add = [part.strip() for part in self.word("add").split(";") if part.strip()]
        return await self.understood(
            lambda farm: mixes.mix(farm, heap, add=add, cn=cn, moisture=moisture, explain=explain)
        )

    @acting
    async def action_open_sums(self) -> None:
        """Every number of the mix, to be opened."""
        if self.heap and (view := await self._mixed(explain=True)):
            self.open("sums", "The mix: numbers explained", view.opened, of="a mix", file="mix.html")

    @acting
    async def action_take_out(self) -> None:
        """Take the last thing off the heap again."""
        if self.heap:
            self.query_one("#portion", WordField).value = self.heap.pop()
            await self._look()
