"""The lines of a form: words to type, or a question that is answered by one key; both have a label and a ``value``."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.events import Click, Key
from textual.geometry import Size
from textual.message import Message
from textual.suggester import Suggester, SuggestFromList
from textual.widget import Widget
from textual.widgets import Input, Label

from wormbin.drawing.marks import plain, width_of
from wormbin.tui.themes import Piece, line_of, said

Finish = Callable[[str], Awaitable[str | None]]


class NameSuggester(Suggester):
    """Asks ``finish`` for the whole line that the words typed so far may become."""

    def __init__(self, finish: Finish) -> None:
        super().__init__(use_cache=False, case_sensitive=True)
        self._finish = finish

    async def get_suggestion(self, value: str) -> str | None:
        """The finished line, or None."""
        return await self._finish(value) if value.strip() else None


class WordField(Horizontal):
    """A line to type in; ``example`` shows what would be understood, ``last`` what was said last time.

    An example says that it is one: nobody shall take it for what is filled in.
    """

    DEFAULT_CSS = """
    WordField { height: 1; width: 1fr; }
    WordField Input { width: 1fr; height: 1; margin: 0 0 0 21; border: none; padding: 0 1; background: $panel; }
    WordField Input:focus { border: none; background: $wb-cursor; background-tint: $foreground 0%; }
    WordField .last { width: auto; max-width: 34; color: $wb-dim; padding: 0 1; }
    """

    def __init__(
        self,
        label: str,
        example: str = "",
        *,
        last: str = "",
        suggester: Suggester | None = None,
        id: str | None = None,
    ) -> None:
        super().__init__(id=id)
        self.label = label
        self._example = example
        self._last = last
        self._suggester = suggester

    def compose(self) -> ComposeResult:
        """The line, what was said last time."""
        yield Input(
            placeholder=f"e.g. {self._example}" if self._example else "",
            suggester=self._suggester,
            select_on_focus=False,
        )
        if self._last:
            yield Label(plain(f"last: {self._last}", 32), classes="last", markup=False)

    def render(self) -> Content:
        """The label, in the room that the line leaves at its left."""
        return Content(f"  {self.label}")

    @property
    def input(self) -> Input:
        """The line itself."""
        return self.query_one(Input)

    @property
    def value(self) -> str:
        """What is typed, without the space around it."""
        return self.input.value.strip()

    @value.setter
    def value(self, words: str) -> None:
        self.input.value = words
        self.input.cursor_position = len(words)


class LateField(WordField):
    """A line that is out of sight until it is asked for; what listened before listens again when it is closed."""

    def on_mount(self) -> None:
        """Not yet."""
        self.display = False

    def open(self, words: str = "") -> None:
        """Ask, with these words to type over."""
        self._before = self._before if self.display else self.screen.focused
        self.display = True
        self.value = words
        self.input.focus()
        self.input.action_select_all()

    def close(self) -> None:
        """Out of sight again."""
        self.display = False
        if self._before is not None:
            self._before.focus()

    _before: Widget | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer: the key that picks it, the word that is written down, and what is shown."""

    key: str
    value: str
    words: str


class ChoiceRow(Widget, can_focus=True):
    """A row of choices; ``several`` lets more than one be picked. Backspace takes the answer back.

    ``hands_on`` lets an answered row pass the focus to the next one, and with it keys that were typed faster than that.
    """

    DEFAULT_CSS = "ChoiceRow { height: auto; width: 1fr; }"

    class Picked(Message):
        """An answer was given or taken back."""

        def __init__(self, row: ChoiceRow) -> None:
            super().__init__()
            self.row = row

        @property
        def control(self) -> ChoiceRow:
            """The row."""
            return self.row

    class Unknown(Message):
        """A key that picks nothing; ``words`` say which do."""

        def __init__(self, row: ChoiceRow, words: str) -> None:
            super().__init__()
            self.row = row
            self.words = words

    def __init__(
        self, label: str, choices: Sequence[Choice], *, several: bool = False, hands_on: bool = False, room: int = 19,
        id: str | None = None,
    ) -> None:  # fmt: skip
        super().__init__(id=id)
        self.label = label
        self.choices = tuple(choices)
        self.several = several
        self._hands_on = hands_on and not several
        self._room = room
        self.last = ""
        self._picked: list[str] = []

    @property
    def value(self) -> str:
        """The words picked, comma between them; empty when nothing was said."""
        return ", ".join(self._picked)

    @value.setter
    def value(self, words: str) -> None:
        said = words.split(",") if self.several else [words]
        self._picked = [word.strip() for word in said if word.strip()]
        self.refresh(layout=True)

    def on_key(self, event: Key) -> None:
        """Pick by key, and hand over when the row does so."""
        focused = self.screen.focused
        if self._hands_on and focused is not None and focused is not self and event.is_printable:
            # Two keys of one read are both sent to the row that had the focus then: this one is for the next row.
            event.stop()
            event.prevent_default()
            focused.post_message(Key(event.key, event.character))
            return
        if event.key in ("backspace", "delete"):
            self._picked = []
        else:
            letter = event.character or ""
            choice = next((each for each in self.choices if each.key == letter), None)
            if choice is None:
                if event.is_printable and letter.isalnum():
                    keys = " ".join(each.key for each in self.choices)
                    self.post_message(self.Unknown(self, f"{self.label}: {letter} picks nothing here; keys: {keys}"))
                return
            self._answer(choice)
        event.stop()
        event.prevent_default()
        self.refresh(layout=True)
        self.post_message(self.Picked(self))

    def _answer(self, choice: Choice) -> None:
        self._pick(choice)
        if self._hands_on:
            self.screen.focus_next()

    def _pick(self, choice: Choice) -> None:
        if not self.several:
            self._picked = [choice.value]
        elif choice.value in self._picked:
            self._picked.remove(choice.value)
        else:
            self._picked.append(choice.value)

    def on_click(self, event: Click) -> None:
        """Pick by mouse."""
        self.focus()
        at, row = 0, 0
        for index, (text, _) in enumerate(self._cells()[: len(self.choices) + 1]):
            width = width_of(text)
            if at and at + width > max(self.size.width, 1):
                at, row = 0, row + 1
            if row == event.y and at <= event.x < at + width and index > 0:
                self._answer(self.choices[index - 1])
                self.refresh(layout=True)
                self.post_message(self.Picked(self))
                return
            at += width

    def _cells(self) -> list[Piece]:
        pieces: list[Piece] = [
            (f"{'>' if self.has_focus else ' '} {self.label:<{self._room}}", "strong" if self.has_focus else "")
        ]
        for choice in self.choices:
            on = choice.value in self._picked
            words = choice.key if choice.words == choice.key else f"{choice.key} {choice.words}"
            text = f"[{words}]" if on else f" {words} "
            pieces.append((text, "title" if on else "" if self.has_focus else "dim"))
        known = {choice.value for choice in self.choices}  # a line put right may say what no key picks
        return pieces + [said(f"[{words}]", "title") for words in self._picked if words not in known]

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """As many lines as the choices take in this width, known before the row has any."""
        return len(self._lines(width))

    def render(self) -> Content:
        """The label, the choices with their keys, and what was said last time."""
        return Content("\n").join([line_of(line) for line in self._lines(self.size.width)])

    def _lines(self, width: int) -> list[list[Piece]]:
        width = max(width, 20)
        lines: list[list[Piece]] = [[]]
        used = 0
        for piece in self._cells():
            if used and used + width_of(piece[0]) > width:
                lines.append([(" " * (self._room + 2), "")])
                used = self._room + 2
            lines[-1].append(piece)
            used += width_of(piece[0])
        if self.last and used + width_of(self.last) + 8 <= width:
            lines[-1].append(said(f"  last: {self.last}", "dim"))
        return lines

    def on_focus(self) -> None:
        """The row that listens is marked."""
        self.refresh()

    def on_blur(self) -> None:
        """And unmarked when it does not."""
        self.refresh()


class NameInput(Input):
    """No name begins with a figure: one that is typed here is meant for the next row, and goes there."""

    def on_key(self, event: Key) -> None:
        """Hand a figure on, and whatever was typed faster than that."""
        screen = self.screen
        if screen.focused is self and not (event.character or "").isdigit():
            return
        if screen.focused is self:
            screen.focus_next()
        if screen.focused is not None and screen.focused is not self:
            event.stop()
            event.prevent_default()
            screen.focused.post_message(Key(event.key, event.character))


class NameField(WordField):
    """A name out of a list. Whose turn it is stands there already, to be seen, and what is typed takes its place."""

    def __init__(self, names: Sequence[str]) -> None:
        super().__init__("who", id="who")
        self._names = tuple(names)
        self.offered = ""

    def compose(self) -> ComposeResult:
        """The line, which finishes first letters."""
        yield NameInput(
            placeholder="first letters of a name",
            suggester=SuggestFromList(self._names, case_sensitive=False),
            select_on_focus=True,
        )

    def offer(self, names: Sequence[str]) -> None:
        """Write the one whose turn it is; of several nobody is taken, but they are named."""
        if len(names) > 1:
            self.input.placeholder = f"{' or '.join(names)}: first letters"
        elif names and not self.value:
            self.value = self.offered = names[0]
            self.input.action_select_all()
