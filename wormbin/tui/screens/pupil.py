"""The pupils' check: one question a screen, four pictures, one key or a click each; nothing need be read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.events import Click, Key
from textual.message import Message
from textual.widgets import Static

from wormbin.drawing.marks import level_mark
from wormbin.drawing.tiles import large, tile
from wormbin.farm import bins, drafts, guesses, turns
from wormbin.farm.errors import DoubtedError
from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import write
from wormbin.farm.views.bin import BinView
from wormbin.problems import RefusedError
from wormbin.records.entries import standing
from wormbin.records.habits import ever_fed
from wormbin.records.kinds.log import Kind
from wormbin.tui.desk import FILL, SAVE, FarmChanged
from wormbin.tui.place import Hand, Place
from wormbin.tui.themes import line_of, lines_of, said
from wormbin.tui.widgets.key_line import KeyLine
from wormbin.tui.widgets.page_lines import PageLines
from wormbin.tui.widgets.pictures import CutPicture, PictureView

MOST = 4
"""Pictures on one screen."""


@dataclass(frozen=True, slots=True)
class Answer:
    """One picture: what is written down, the picture's name ("" for the words alone), and a word for who reads."""

    value: str
    picture: str
    words: str


QUESTIONS: tuple[tuple[str, str, tuple[Answer, ...]], ...] = (
    ("squeeze", "Squeeze a handful", (
        Answer("dry", "dry", "dry"), Answer("damp", "damp", "damp"), Answer("sponge", "sponge", "a drop"),
        Answer("dripping", "dripping", "drips"),
    )),
    ("left", "How much food is left?", (
        Answer("0%", "plate 0", "none"), Answer("20%", "plate 20", "a little"), Answer("50%", "plate 50", "half"),
        Answer("100%", "plate 100", "all"),
    )),
    ("smell", "How does it smell?", (
        Answer("earthy", "earthy", "earth"), Answer("sour", "sour", "sour"), Answer("rotten", "rotten", "rotten"),
        Answer("ammonia", "ammonia", "sharp"),
    )),
    ("seen", "Which animals?", (
        Answer("", "", "worms"), Answer("fruit flies", "fruit flies", "flies"), Answer("mites", "mites", "mites"),
        Answer("worms climbing", "worms climbing", "leaving"),
    )),
)  # fmt: skip
DOUBT = (Answer("keep", "yes", "yes"), Answer("again", "look again", "look again"))
MORE = Answer("", "", "more …")
"""The next names; one place more than pictures, since a name is narrow."""
DONE = (Answer("next", "wash hands", "wash hands"),)


class Choice(Vertical):
    """One picture with its large figure; a click picks it."""

    class Picked(Message):
        """This one."""

        def __init__(self, index: int) -> None:
            super().__init__()
            self.index = index

    def __init__(self, index: int, answer: Answer, *, ascii: bool, named: bool) -> None:
        super().__init__(classes="tile")
        self._index, self._answer, self._ascii, self._named = index, answer, ascii, named

    def compose(self) -> ComposeResult:
        """Picture, figure, word."""
        answer, ascii, figure = self._answer, self._ascii, str(self._index + 1)
        if not self._named:
            yield PictureView(partial(tile, answer.picture, ascii=ascii))
        yield PictureView(lambda width, _height: large(figure, "key", width, ascii=ascii), classes="figure")
        yield Static(line_of([said(answer.words, "title" if self._named else "")]), classes="tile-word")

    def on_click(self, event: Click) -> None:
        """Pick it."""
        event.stop()
        self.post_message(self.Picked(self._index))


class PupilCheck(Place[None]):
    """Goes from question to question; the last one saves by the same way as any check, and the next child may come."""

    HELP = (
        "For pupils. Press the figure under a picture, or click it. Space goes on without an answer, Backspace goes "
        "back. Where several write, the first screen asks who: a figure, or the first letters of a name. The last "
        "figure shows more names. What is left is asked once something was fed. A grown-up is there; everybody washes "
        "hands afterwards."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "skip", "go on without"),
        Binding("backspace", "before", "back"),
        Binding("escape", "leave", "leave"),
    ]

    def __init__(self, hand: Hand) -> None:
        super().__init__()
        self.hand = hand
        self._at = -1
        self._who = self._typed = ""
        self._said: dict[str, str] = {}
        self._shown: tuple[Answer, ...] = ()
        self._offered: tuple[str, ...] = ()
        self._here: tuple[str, ...] = ()
        self._asked = QUESTIONS
        self._page = 0
        self._state, self._question = "ask", ""

    def compose(self) -> ComposeResult:
        """Where one is, the question, the pictures."""
        yield Static(id="head")
        yield Static(id="question")
        yield Horizontal(id="tiles")
        yield KeyLine()

    async def on_mount(self) -> None:
        """The first question."""
        await self._begin()

    async def _begin(self) -> None:
        self._said, self._who, self._typed, self._state = {}, "", "", "ask"
        self._page, key = 0, self.hand.key
        self._offered, self._here, fed = await self.ask(
            lambda farm: (
                turns.offered(farm, key, Kind.CHECK),
                turns.present(farm),
                ever_fed(standing(farm.entries(key))),
            )
        )
        self._asked = tuple(each for each in QUESTIONS if fed or each[0] != "left")
        self._at = -1 if len(self.wormbin.names) > 1 else 0
        await self._show()

    async def _show(self) -> None:
        answers: tuple[Answer, ...] = DONE
        if self._state == "done":
            question = "✓"
        elif self._state == "doubt":
            question, answers = self._question, DOUBT
        elif self._at < 0:
            question, answers = f"{self.hand.name}: who are you? {self._typed}", self._names()
        else:
            _, question, answers = self._asked[self._at]
        self._shown = answers
        dots = "".join(" ●" if number <= self._at else " ○" for number in range(len(self._asked)))
        head = [(f" {self.hand.name} ", "title"), (dots, "strong"), said(f"  {self._who}", "strong")]
        self.query_one("#head", Static).update(line_of(head))
        self.query_one("#question", Static).update(line_of([said(f" {question}", "title")]))
        tiles = self.query_one("#tiles", Horizontal)
        named = self._at < 0
        async with self.batch():
            await tiles.remove_children()
            await tiles.mount(
                *(
                    Choice(number, answer, ascii=self.wormbin.ascii, named=named)
                    for number, answer in enumerate(answers)
                )
            )

    def _names(self) -> tuple[Answer, ...]:
        """Those whose turn it is, before the others here today; with letters typed everybody who begins so."""
        there = self.wormbin.names if self._typed else self._here
        rest = sorted((each for each in there if each not in self._offered), key=str.casefold)
        names = [*self._offered, *rest]
        fits = [name for name in names if name.casefold().startswith(self._typed.casefold())]
        if len(fits) <= MOST + 1:
            return tuple(Answer(name, "", name) for name in fits)
        shown = fits[self._page % -(-len(fits) // MOST) * MOST :][:MOST]
        return (*(Answer(name, "", name) for name in shown), MORE)

    # keys and clicks
    async def on_key(self, event: Key) -> None:
        """A figure picks; where a name is asked for, letters find it."""
        letter = event.character or ""
        if letter.isdigit() or (event.key == "enter" and len(self._shown) == 1):
            event.stop()
            await self._pick(int(letter) - 1 if letter.isdigit() else 0)
        elif self._at < 0 and self._state == "ask" and letter.isalpha():
            event.stop()
            self._typed, self._page = self._typed + letter, 0
            if not self._names():
                self._typed = letter if any(n.casefold().startswith(letter) for n in self.wormbin.names) else ""
            await self._show()

    @on(Choice.Picked)
    async def clicked(self, event: Choice.Picked) -> None:
        """A picture was clicked."""
        await self._pick(event.index)

    async def _pick(self, index: int) -> None:
        if not 0 <= index < len(self._shown):
            return
        answer = self._shown[index]
        if self._state == "done":
            await self._begin()
        elif self._state == "doubt" and answer.value == "again":
            self._state, self._at = "ask", 0
            await self._show()
        elif self._state == "doubt":
            await self._save(ask=False)
        elif answer is MORE:
            self._page += 1
            await self._show()
        elif self._at < 0:
            self._who = answer.value
            await self._go_on()
        else:
            self._said[self._asked[self._at][0]] = answer.value
            await self._go_on()

    async def _go_on(self) -> None:
        self._at += 1
        if self._at < len(self._asked):
            await self._show()
        else:
            self._at = len(self._asked) - 1
            await self._save(ask=True)

    async def _save(self, *, ask: bool) -> None:
        filled = {name: words for name, words in self._said.items() if words}
        heading = Heading(when=self.day_meant(), by=self._who, ask=ask)
        if not filled:
            self.warn("Nothing was answered, so nothing is saved.")
            await self._begin()
            return
        try:
            await self.ask(lambda farm: write(farm, self.hand.key, Kind.CHECK, filled, heading), SAVE)
        except DoubtedError as doubt:
            self._state, self._question = "doubt", " ".join(each.words for each in doubt.questions)
        except RefusedError as refused:
            self.warn(str(refused))
            return
        else:
            self._state = "done"
            self.wormbin.tell_changed()
        await self._show()

    async def action_skip(self) -> None:
        """Go on without an answer."""
        if self._state == "done":
            await self._begin()
        elif self._state == "ask":
            if self._at >= 0:
                self._said.pop(self._asked[self._at][0], None)
            await self._go_on()

    async def action_before(self) -> None:
        """Back to the question before; letters of a name are taken away first."""
        if self._typed and self._at < 0:
            self._typed, self._page = self._typed[:-1], 0
        elif self._state == "doubt":
            self._state = "ask"
        elif self._state == "ask":
            self._at = max(self._at - 1, -1 if len(self.wormbin.names) > 1 else 0)
        await self._show()

    def action_leave(self) -> None:
        """Back to what was there; answers that were not saved are kept for the check form."""
        self.in_background(self._leave)

    async def _leave(self) -> None:
        await self.keep_draft()
        self.dismiss(None)

    async def keep_draft(self) -> None:
        """What is half answered stands in the check form when it is opened next."""
        if self._state != "done" and (filled := {name: words for name, words in self._said.items() if words}):
            name = f"check-{self.hand.key}"
            await self.ask(lambda farm: drafts.save(farm, name, filled), SAVE)


RENEW_SECONDS = 60.0
"""So that a new day comes up by itself; what is written comes up at once."""
STEPS, HIGH = 3, 30
"""Steps that a wall shows, and rows from which it has room for the last of them and what to mind."""


class WallScreen(Place[None]):
    """One ``BinView`` in large, or several side by side; Escape alone leaves it."""

    HELP = "For the wall: level, whose turn it is, what to do, the next feeding. It renews itself. Esc leaves it."
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q", "leave", "leave")]

    def __init__(self, *hands: Hand) -> None:
        super().__init__()
        self.keys = tuple(hand.key for hand in hands)

    def compose(self) -> ComposeResult:
        """One bin: the level in large letters, the words, the bin cut open. Several: a column each, cut open below."""
        yield Static(id="head")
        yield PictureView(id="wall-level") if len(self.keys) == 1 else Static(id="wall-today")
        with Horizontal():
            if len(self.keys) == 1:
                yield Vertical(PageLines(id="wall-words"), id="wall-side")
                yield CutPicture(id="wall-cut")
            else:
                for number in range(len(self.keys)):
                    yield Vertical(PageLines(id=f"wall-{number}"), CutPicture(id=f"cut-{number}"), classes="wall-one")
        yield KeyLine()

    def on_mount(self) -> None:
        """Show it, and again every minute."""
        self.renew()
        self.set_interval(RENEW_SECONDS, self.renew)

    def on_farm_changed(self, _: FarmChanged) -> None:
        """Somebody wrote."""
        self.renew()

    def renew(self) -> None:
        """Ask for the bins anew."""
        self.in_background(self._load, "load")

    async def _load(self) -> None:
        try:
            views = [await self.ask(partial(bins.look, bin=key), FILL) for key in self.keys]
            fed = {view.bin.name: turns.is_fed(view, view.on) for view in views}
            whose = await self.ask(lambda farm: turns.today_words(farm, fed=fed), FILL)
            # Until today's guess is written nobody reads it off the drawing, the level or the steps.
            hidden = [
                self.wormbin.guess_first and await self.ask(partial(guesses.wanted, bin=key)) for key in self.keys
            ]
        except RefusedError as refused:
            self.query_one("#head", Static).update(line_of([said(str(refused), "watch")]))
            return
        if len(views) == 1:
            self._show_one(views[0], whose, guess=hidden[0])
        else:
            self._show_several(views, whose, hidden)

    def _show_one(self, view: BinView, whose: str, *, guess: bool) -> None:
        from wormbin.pages.bin import today, wall
        from wormbin.pages.page import day, lines

        ascii, level = self.wormbin.ascii, view.level
        mark = "" if guess else f"{level_mark(level, word=False, ascii=ascii)} "
        self.query_one("#head", Static).update(
            line_of([(f" {mark}", level.value), said(view.bin.name, "title"), (f"  {day(view.on)}", "strong")])
        )
        self.query("#wall-cut, #wall-level").set(display=not guess)
        self.query_one("#wall-level", PictureView).show(
            lambda width, _height: large(level.value, level.value, width, ascii=ascii)
        )
        steps = STEPS if self.size.height >= HIGH else STEPS - 1
        self.query_one("#wall-words", PageLines).show(lines([*today(whose), *wall(view, steps, guess=guess)]))
        self._show_cut("#wall-cut", view)

    def _show_several(self, views: Sequence[BinView], whose: str, hidden: Sequence[bool]) -> None:
        from wormbin.pages.bin import today, wall
        from wormbin.pages.page import day, lines

        self.query_one("#head", Static).update(line_of([(f" {day(views[0].on)}", "strong")]))
        self.query_one("#wall-today", Static).update(lines_of(lines(today(whose))))
        for number, (view, guess) in enumerate(zip(views, hidden, strict=True)):
            mark = "" if guess else level_mark(view.level, ascii=self.wormbin.ascii)
            named = [said(view.bin.name, "title"), (f"  {mark}", view.level.value)]
            self.query_one(f"#wall-{number}", PageLines).show([named, [], *lines(wall(view, STEPS, guess=guess))])
            self._show_cut(f"#cut-{number}", view)
            self.query_one(f"#cut-{number}").display = not guess

    def _show_cut(self, place: str, view: BinView) -> None:
        picture, us = self.query_one(place, CutPicture), self.wormbin.units == "us"
        picture.show_cut(view.cut, ascii=self.wormbin.ascii, us=us, length_m=view.bin.length_m)

    def action_leave(self) -> None:
        """Back to what was there."""
        self.dismiss(None)
