"""A screen of ours: it asks the farm through the program, opens others by their names, and says what it is for.

A ``Place`` is a whole screen, a ``Form`` is laid over one. Each is laid out once when it comes up and left once.
"""

from __future__ import annotations

from asyncio import sleep
from collections.abc import AsyncIterator, Awaitable, Callable, Mapping, Sequence
from contextlib import aclosing
from dataclasses import dataclass, replace
from functools import cached_property, partial, wraps
from typing import TYPE_CHECKING, Any, ClassVar, Concatenate, Generic, ParamSpec, TypeVar

from textual import on
from textual.app import ComposeResult, ScreenError
from textual.await_complete import AwaitComplete
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.css.query import NoMatches
from textual.dom import DOMNode
from textual.events import Compose, Mount, Resize, ScreenResume
from textual.geometry import Size
from textual.screen import ModalScreen, Screen
from textual.widget import Widget
from textual.widgets import Static

from wormbin.farm.errors import DoubtedError, HeldBackError, StoreError
from wormbin.measures import counted
from wormbin.pages.page import Line, lines, said
from wormbin.problems import Problem, RefusedError
from wormbin.tui.app import Wormbin
from wormbin.tui.catalogue import screen
from wormbin.tui.desk import ASK, FILL, SAVE
from wormbin.tui.themes import line_of, lines_of
from wormbin.tui.widgets.key_line import KeyLine

if TYPE_CHECKING:
    from textual.widgets import Input

    from wormbin.farm.cache.rows import ComingRows
    from wormbin.farm.rounds.fill import Filling, Made
    from wormbin.farm.session import Session
    from wormbin.farm.views.bin import TroubledBin
    from wormbin.farm.views.round import RoundRow
    from wormbin.pages.page import Page
    from wormbin.records.bins import Bin
    from wormbin.tui.widgets.fields import ChoiceRow

R = TypeVar("R")
T = TypeVar("T")
F = TypeVar("F", bound="Form[Any]")
P = ParamSpec("P")


@dataclass(frozen=True, slots=True)
class Hand:
    """The bin that a form is about: its key, what people call it, how many compartments it has."""

    key: str
    name: str
    compartments: int = 1


class Unsaved(Problem):
    """A store that could not be used: its own sentence; where something was to be saved, that it was not."""

    def sentence(self) -> str:
        """What happened, and that nothing was saved where something was to be."""
        return f"Not saved: {self.read}" if self.field == "save" else self.read


A_MOMENT = 0.15
"""Seconds for which an answer may be waited for without a word."""
WORKING = " working it out … "
TITLES = "#head, .sheet-title"


class Place(Screen[R], Generic[R]):
    """A whole screen; ``R`` is what it answers when it is left, ``HELP`` says in plain sentences what it is for."""

    AUTO_FOCUS = ""
    listens = True
    """Whether keys reach it; what is typed before is kept for it."""
    answers_at_once = True
    """Whether it answers a key before the next one is looked at."""
    in_turn = False
    """Whether a key waits until the one before it has been dealt with."""
    _waiting_for = 0
    _laid: Size | None = None
    _answered = False
    _answer_kept: tuple[R | None, ...] = ()

    @property
    def wormbin(self) -> Wormbin:
        """The program that this screen belongs to."""
        app: object = self.app
        if not isinstance(app, Wormbin):
            raise ScreenError("this screen belongs to another program")
        return app

    def open(self, name: str, /, *given: Any, then: Callable[[Any], None] | None = None, **how: Any) -> None:
        """Lay the screen of that name over this one; ``then`` gets its answer."""
        self.app.push_screen(screen(name, *given, **how), then)

    def about(self) -> tuple[str, str]:
        """What the pages opened from here are about, and what people call it; nothing where there is nothing."""
        return "", ""

    def action_page(self, name: str) -> None:
        """Open the page of that name (``tui/opened.py``)."""
        self.in_background(partial(self._open_page, name, *self.about()), "page")

    async def _open_page(self, name: str, about: str, called: str) -> None:
        def read(farm: Session) -> tuple[str, list[Line], str] | None:
            from wormbin.tui.opened import OF_ALL, OF_ONE, Asked  # no start waits for it

            of = Asked(about, called, program.units, program.ascii, width)
            opened = OF_ALL.get(name) or (OF_ONE[name] if about else None)
            return opened.read(farm, of) if opened is not None else None

        program, width = self.wormbin, self.app.size.width
        if (page := await self.ask(read)) is not None:
            self.open("page", *page[:2], file=page[2])

    def day_meant(self, said: str = "") -> str:
        """The day that was typed, or that a line put right had; else the day the program was opened for, "" for now."""
        on = self.wormbin.on
        return said or (on.isoformat() if on is not None else "")

    # the farm
    async def ask(self, job: Callable[[Session], T], rank: int = ASK) -> T:
        """Run a job on the farm's thread and await its answer.

        What a keeper can put right in the form comes back as ``RefusedError``. A store that cannot be used, or a fault
        of the program, is laid over the screen until it is answered, and comes back as ``RefusedError`` as well, so
        that no form is lost by it. An answer that is long in coming is told of: what stands there may be old.
        """
        timer = self.set_timer(A_MOMENT, self._say_working)
        self._waiting_for += 1
        try:
            return await self.wormbin.ask(job, rank)
        except (RefusedError, HeldBackError, DoubtedError):
            raise
        except Exception as error:
            words = str(error) if isinstance(error, StoreError) else f"{type(error).__name__}: {error}"
            self.wormbin.tell_trouble(words, ours=not isinstance(error, StoreError))
            raise RefusedError(Unsaved("save" if rank == SAVE else "store", words, "")) from error
        finally:
            timer.stop()
            self._waiting_for -= 1
            if not self._waiting_for:
                self._say_worked()

    @cached_property
    def _plain(self) -> dict[Static, Content]:
        """What the first lines said before."""
        return {}

    def _say_working(self) -> None:
        """The first line of the place says that it is worked out anew."""
        for title in self.query(TITLES).results(Static) if self._waiting_for else ():
            if isinstance(title.content, Content) and "…" not in title.content.plain:
                self._plain[title] = title.content
                title.update(Content.assemble((WORKING, "dim"), title.content))

    def _say_worked(self) -> None:
        """And says it no longer."""
        for title, plain in self._plain.items():
            if title.is_attached and isinstance(title.content, Content) and title.content.plain.startswith(WORKING):
                title.update(plain)
        self._plain.clear()

    async def understood(self, job: Callable[[Session], T], rank: int = ASK) -> T | None:
        """The answer; None where it was refused, which is said here and nothing is lost by."""
        try:
            return await self.ask(job, rank)
        except RefusedError as refused:
            self.refuse(refused)
        return None

    def refuse(self, refused: RefusedError) -> None:
        """Say what was refused."""
        self.warn(str(refused))

    async def filled(self, filling: Filling) -> AsyncIterator[RoundRow | ComingRows | TroubledBin]:
        """The rows of a round that are not known yet, made beside the farm's thread, so that this stays free.

        Leaving it at any time does no harm: what is done is kept, the rest is done when it is asked for again.
        """
        async with aclosing(self.wormbin.desk.beside(filling.beside())) as made:
            async for one, row in made:
                taken: RoundRow | ComingRows | TroubledBin = await self.ask(partial(_taken, filling, one, row), FILL)
                yield taken

    async def worked_out(self, filling: Filling) -> None:
        """Have all rows of a round worked out, and say how far it is."""
        cold = len(filling.cold)
        async for _made in self.filled(filling):
            self.tell_how_far(cold - len(filling.cold), cold)
        await self.ask(lambda _: filling.end(), FILL)

    def tell_how_far(self, done: int, of: int) -> None:
        """So many bins of so many are worked out."""

    def in_background(self, work: Callable[[], Awaitable[object]], group: str = "") -> None:
        """Do ``work`` beside whatever is typed; a later one of the same ``group`` takes the place of an earlier one.

        It is handed over as a function, not as a coroutine, so that work which is called off was never begun. A fault
        in it is laid over the screen; it is never silent.
        """

        async def watched() -> Any:
            try:
                await work()
            except NoMatches:
                pass  # the screen was left meanwhile
            except RefusedError as refused:
                self.warn(str(refused))
            except Exception as fault:
                self.wormbin.tell_trouble(f"{type(fault).__name__}: {fault}", ours=True)

        self.run_worker(watched, exclusive=bool(group), group=group or "default", exit_on_error=False)

    def warn(self, words: str) -> None:
        """Say what could not be done."""
        self.notify(words, severity="warning", markup=False)

    # Textual styles, lays out and paints a screen three times over: when it comes to the top, when it is told its size,
    # and when that size turns out to be narrow or wide. On a small computer that is time in which no key is heard.
    @on(Compose)
    def sized(self) -> None:
        """What depends on the size is known to every part from the first."""
        for size, breakpoints in (
            (self.app.size.width, self.app.HORIZONTAL_BREAKPOINTS or []),
            (self.app.size.height, self.app.VERTICAL_BREAKPOINTS or []),
        ):
            self.add_class(*[name for least, name in breakpoints if size >= least][-1:], update=False)

    @on(ScreenResume)
    async def come_up(self, event: ScreenResume) -> None:
        """All parts have just been styled; whatever else waits gets its turn before they are laid out."""
        if self._laid is None:
            event.refresh_styles = False
            self._laid = self.app.size
            await sleep(0)
        if self._answer_kept:  # what lay over it is gone
            self.dismiss(*self._answer_kept)

    @on(Resize)
    def resized(self, event: Resize) -> None:
        """The first time it is told the size at which it has been laid out a moment ago."""
        if self._laid is not None and event.size == self._laid:
            event.stop()
            event.prevent_default()
        self._laid = Size()

    # Textual takes away whatever screen is on top, so that a second leaving would take away the place below.
    def dismiss(self, result: R | None = None) -> AwaitComplete:
        """Leave with ``result``, the first that was given; one that something lies over is left when it comes to the
        top again. Nothing happens when it was left already or lies at the bottom."""
        stack = self.app.screen_stack
        if self._answered or self not in stack or self is stack[0]:
            return AwaitComplete()
        if self is not stack[-1]:
            self._answer_kept = self._answer_kept or (result,)
            return AwaitComplete()
        self._answered = True
        return super().dismiss(self._answer_kept[0] if self._answer_kept else result)


def acting(method: Callable[Concatenate[F, P], Awaitable[object]]) -> Callable[Concatenate[F, P], None]:
    """A method of a form that does what a key asks for: see ``Form.act``."""

    @wraps(method)
    def begin(form: F, /, *given: P.args, **how: P.kwargs) -> None:
        form.act(partial(method, form, *given, **how))

    return begin


def _taken(filling: Filling, one: Bin, made: Made, _farm: Session) -> RoundRow | ComingRows | TroubledBin:
    return filling.take(one, made)


class Form(Place[R], ModalScreen[R], Generic[R]):
    """A form over another screen; ``R`` is what it answers, None when it was left without saving.

    ``SIDE`` names what stands beside its lines and is scrolled by two keys, while the lines keep all the others.
    """

    AUTO_FOCUS = "Input, ChoiceRow, LineList"
    """What listens as soon as the form is laid out, before anything that it asks for has come: the first of these."""
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("question_mark", "app.help", "help", show=False),
        Binding("pageup", "scroll_side(-1)", "the page beside it up", show=False, priority=True),
        Binding("pagedown", "scroll_side(1)", "more", priority=True),
        Binding("f1", "app.help", "help", priority=True),
        Binding("down", "next_row", "next row", show=False),
        Binding("up", "row_before", "row before", show=False),
        Binding("escape", "leave", "leave"),
    ]
    heading = ""
    """What stands over it, before the name of the bin that it is about."""
    hand: Hand
    SHEET = ""
    """How large its sheet is: classes of the style sheet."""
    SIDE = ""
    KEYS: Sequence[tuple[str, str]] = ()
    """Keys that a line of it answers, as they are called, and what they do here."""
    ROW_OF: ClassVar[Mapping[str, str]] = {}
    """Which row a fault is about, where that has another name."""
    answers_at_once = False
    in_turn = True
    _hears = False
    _wrong: frozenset[str] = frozenset()
    """The rows that what is said now is about; it goes when one of them is mended."""
    _said_of: Widget | None = None

    def __init__(self, hand: Hand | None = None) -> None:
        super().__init__()
        if hand is not None:
            self.hand = hand
            self.heading = f"{self.heading}: {hand.name}"

    def parts(self) -> ComposeResult:
        """What stands on its sheet between the heading and what is said."""
        raise NotImplementedError

    def compose(self) -> ComposeResult:
        """A sheet: heading, parts, what is wrong or asked, the keys."""
        with Vertical(classes=f"sheet {self.SHEET}"):
            yield Static(line_of([said(self.heading, "title")]), classes="sheet-title")
            yield from self.parts()
            yield Static(id="trouble", classes="trouble")
            yield KeyLine(self.KEYS, rows=2, id="keys")

    # One thing at a time: what a key asks for is done before the next is heard, and a form that is left does no more.
    @property
    def listens(self) -> bool:  # type: ignore[override]
        """Whether keys reach it: it stands, nothing of it lies over it, and what was asked for last is done."""
        return self._hears and not self._asked_for

    @cached_property
    def _asked_for(self) -> list[Callable[[], Awaitable[object]]]:
        return []

    def act(self, work: Callable[[], Awaitable[object]]) -> None:
        """Do what a key asks for beside the screen's own queue, so that it goes on painting; later keys wait."""
        self._asked_for.append(work)
        if len(self._asked_for) == 1:
            self.in_background(self._act)

    async def _act(self) -> None:
        try:
            while self._asked_for and not (self._answered or self._answer_kept):
                await self._asked_for[0]()
                del self._asked_for[0]
        finally:
            self._asked_for.clear()
            self.wormbin.form_listens()

    def open(self, name: str, /, *given: Any, then: Callable[[Any], None] | None = None, **how: Any) -> None:
        """Lay the screen of that name over it; what it answers is taken before the next key is."""
        self._hears = False
        super().open(name, *given, then=then, **how)

    @on(ScreenResume)
    def back(self) -> None:
        """What lay over it is gone."""
        self.call_later(self._listen)

    def watch_focused(self) -> None:
        """Something in it has come to listen; what was said of a row is over when that is left."""
        if self._said_of is not None and self._said_of is not self.focused:
            self.say("")
        if self.focused is not None:
            self._listen()

    @on(Mount)
    def stands(self) -> None:
        """A form in which nothing can be typed listens when it stands."""
        self._listen()

    def _listen(self) -> None:
        if not self._hears:
            self._hears = True
            self.wormbin.form_listens()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Keys that scroll what stands beside it are for forms where something does; those for rows where there are."""
        if action in ("next_row", "row_before"):
            return bool(self.query("WordField, ChoiceRow"))
        return bool(self.SIDE) if action == "scroll_side" else super().check_action(action, parameters)

    def action_next_row(self) -> None:
        """The row below; the last one keeps the keys."""
        if self.focused is not self.focus_chain[-1]:
            self.focus_next()

    def action_row_before(self) -> None:
        """The row above; the first one keeps the keys."""
        if self.focused is not self.focus_chain[0]:
            self.focus_previous()

    def on_input_changed(self, event: Input.Changed) -> None:
        """What was wrong with this row is being mended: it is told of no longer."""
        self._mended(event.input.parent)

    def on_choice_row_picked(self, event: ChoiceRow.Picked) -> None:
        """The same of a row of choices."""
        self._mended(event.row)

    def _mended(self, row: DOMNode | None) -> None:
        if row is not None and row.id in self._wrong:
            self.say("")

    def action_scroll_side(self, by: int) -> None:
        """Scroll by nearly a page."""
        side = self.query_one(self.SIDE)
        side.scroll_relative(y=by * max(side.size.height - 1, 1), animate=False)

    def say(self, *sentences: str, role: str = "watch") -> None:
        """What is wrong, asked or done, until the next thing is said."""
        self._wrong, self._said_of = frozenset(), None
        lines: list[Line] = [[said(words, role)] for words in sentences if words]
        self.query_one("#trouble", Static).update(lines_of(lines))

    def say_of(self, row: Widget, words: str) -> None:
        """Say something of a row, until it is left or answered."""
        self.say(words)
        self._wrong, self._said_of = frozenset([row.id or ""]), row

    def tell_how_far(self, done: int, of: int) -> None:
        """Say so."""
        self.say(f"{done} of {counted(of, 'bin')} worked out …", role="dim")

    def refuse(self, refused: RefusedError) -> None:
        """Say all that was refused, each by the label that its row has here, and go to the first such row."""
        self.say(*(replace(each, field=self.label_of(each.field)).sentence() for each in refused.problems))
        rows = [row for each in refused.problems if (row := self.row_of(each.field)) is not None]
        self._wrong = frozenset(row.id or "" for row in rows)
        for row in rows[:1]:
            next(iter(row.query("Input")), row).focus()

    def row_of(self, field: str) -> Widget | None:
        """The row in sight that a field has in this form, if any."""
        name = self.ROW_OF.get(field, field).replace("-", "_").replace(" ", "_")
        rows = self.query(f"WordField#{name}, ChoiceRow#{name}").results(Widget) if name.isidentifier() else ()
        return next((row for row in rows if row.display), None)

    def label_of(self, field: str) -> str:
        """What a row is called in this form; a field that has no row here keeps its name."""
        return str(getattr(self.row_of(field), "label", field))

    def word(self, name: str) -> str:
        """What one row says; empty where there is no such row."""
        row: Any = next(iter(self.query(f"WordField#{name}, ChoiceRow#{name}")), None)
        return "" if row is None else str(row.value)

    async def finish(self, role: str, words: str) -> str | None:
        """A line that begins so with the material's name whole, if it can be finished."""
        from wormbin.farm.materials import complete_portion  # no start waits for it

        return await self.ask(lambda farm: complete_portion(farm, words, role))

    def show_page(self, page: Page) -> None:
        """What stands in the page of the sheet from now on."""
        effect: Any = self.query_one("#effect")
        effect.show(lines(page))

    def action_leave(self) -> Any:
        """Out of a line that was asked for, else back to what was there."""
        late: list[Any] = [field for field in self.query("LateField") if field.display]
        for field in late:
            field.close()
            self.say("")
            return
        self.dismiss(None)
