"""The mix bench: what a blend would be, and the least of something to add so that C:N and moisture come right."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Input, Static

from wormbin.farm import mixes
from wormbin.farm.materials import complete_portion
from wormbin.farm.views.proposals import MixView
from wormbin.pages.feeding import mix
from wormbin.pages.page import lines
from wormbin.problems import RefusedError
from wormbin.tui.place import Form
from wormbin.tui.showing import Piece, line_of, lines_of, said
from wormbin.tui.widgets.fields import NameSuggester, WordField
from wormbin.tui.widgets.page_lines import PageLines

FIELDS = (
    ("add", "may be added", "leaves; straw"),
    ("cn", "C:N aim", "25-30"),
    ("moisture", "moisture % aim", "60"),
)

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
        Binding("escape", "leave", "leave"),
        Binding("ctrl+r", "take_out", "take out"),
        Binding("ctrl+o", "open_sums", "numbers"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.heap: list[str] = []

    def parts(self) -> ComposeResult:
        """The heap at the left, what it is at the right."""
        names = NameSuggester(self._finish)
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

    async def _finish(self, words: str) -> str | None:
        return await self.ask(lambda farm: complete_portion(farm, words))

    @on(Input.Submitted)
    async def submitted(self, event: Input.Submitted) -> None:
        """Put the line on the heap; it goes back into the line when it is not understood."""
        event.stop()
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
        heap = list(self.heap)
        view = await self._mixed()
        if view is None:
            return False
        self.say("")
        bucket: list[list[Piece]] = [[(f"{number})  ", "dim"), said(words)] for number, words in enumerate(heap, 1)]
        self.query_one("#bucket", Static).update(lines_of(bucket))
        self.query_one("#effect", PageLines).show(lines(mix(view)))
        return True

    async def _mixed(self, *, explain: bool = False) -> MixView | None:
        """What is on the bench together; None where it was refused."""
        heap = list(self.heap)
        add = [part.strip() for part in self.query_one("#add", WordField).value.split(";") if part.strip()]
        cn, moisture = (self.query_one(f"#{name}", WordField).value for name in ("cn", "moisture"))
        try:
            return await self.ask(
                lambda farm: mixes.mix(farm, heap, add=add, cn=cn, moisture=moisture, explain=explain)
            )
        except RefusedError as refused:
            self.refuse(refused)
            return None

    async def action_open_sums(self) -> None:
        """Every number of the mix, to be opened."""
        if self.heap and (view := await self._mixed(explain=True)):
            self.open("sums", "The mix: numbers explained", view.opened, of="a mix", file="mix.html")

    async def action_take_out(self) -> None:
        """Take the last thing off the heap again."""
        if self.heap:
            self.query_one("#portion", WordField).value = self.heap.pop()
            await self._look()
