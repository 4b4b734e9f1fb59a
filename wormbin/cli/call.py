"""A command called: its arguments, the farm it works on (opened when first asked for), and the output it prints on."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from wormbin.cli.output import Exit, Output, Waiting, ask, complain, tell
from wormbin.figures import Working, to_depth

if TYPE_CHECKING:
    from datetime import date, datetime
    from typing import TextIO

    from wormbin.farm.heading import Heading
    from wormbin.farm.session import Session
    from wormbin.farm.views.bin import Recorded
    from wormbin.pages.page import Block, Page


Clock = Callable[[], "datetime"]
Parse = Callable[[Sequence[str]], Namespace]
"""Words to what they say. Raises RefusedWordsError, or SystemExit where help was asked for."""
Screen = Callable[["Path", "date | None", Clock, str], int]
"""Opens the full-screen program: folder, day asked about, clock, name of the demo."""


class Call:
    """One command with what was said to it."""

    def __init__(
        self,
        words: Sequence[str],
        parse: Parse,
        clock: Clock | None = None,
        screen: Screen | None = None,
        stream: TextIO | None = None,
    ) -> None:
        self.args = parse(words)
        self.output = Output(json=self.args.json, stream=stream)
        self._parse = parse
        self._clock = clock
        self._screen = screen
        self.saved: list[str] = []

    def again(self, words: Sequence[str]) -> Call:
        """The same call for other words."""
        other = Call(words, self._parse, self._clock, self._screen, self.output.stream)
        other.saved = self.saved
        return other

    def run(self) -> Exit:
        """Do what the words say; what writes has no day to ask of, and keeps of a line put right when and by whom."""
        args = self.args
        writes = getattr(args, "writes", False)
        writes = writes(args) if callable(writes) else writes and not getattr(args, "only_try", False)
        if writes and args.on:
            option = next((f"--{name} {args.on}" for name in ("when", "started") if hasattr(args, name)), "")
            mend = f"Say the day that it was with {option}." if option else "Leave --on out."
            complain(f"--on only asks as of a day, and {args.command} writes", mend)
            return Exit.NOT_UNDERSTOOD
        if getattr(args, "replaces", None):
            self._keep_unsaid()
        code: Exit = args.run(self)
        return code

    def _keep_unsaid(self) -> None:
        """Take day, note, name and part that were not said from the line that is put right, whatever its kind."""
        from wormbin.farm import logbook

        args, line = self.args, logbook.typed_line(self.farm, self.args.replaces)
        here = getattr(args, "bin", None) is not None and self.farm.bin(args.bin).key == line.about
        for name in ("when", "by", "note", *(("part",) if here else ())):
            if getattr(args, name, "") is None:
                setattr(args, name, line.fields.get(name))

    @property
    def screen(self) -> Screen | None:
        """The full-screen program, when there is one and a person sits at a terminal that it can use."""
        return self._screen if person_sits_here() else None

    @cached_property
    def folder(self) -> Path:
        """The store's folder."""
        return store_folder(getattr(self.args, "store", None))

    @cached_property
    def clock(self) -> Clock:
        """The clock in use: the machine's, unless a test brought its own."""
        from wormbin.farm.session import local_clock

        return self._clock or local_clock

    @cached_property
    def farm(self) -> Session:
        """The farm, opened for looking; nothing is created until something is written."""
        from wormbin.farm.session import Session

        session = Session(self.folder, clock=self.clock, units=getattr(self.args, "units", None) or "", on=self.on)
        session.progress = Waiting()
        return session

    def tell_what_is_left_out(self) -> None:
        """Say on standard error what the answer could not take into account; the round and the store say it first."""
        session = vars(self).get("farm")
        if (
            session is not None
            and self.args.command not in ("round", "store", "demo")
            and (found := session.logs.notices())
        ):
            tell([flaw.sentence() for flaw in found])

    @property
    def units(self) -> str:
        """The measures that are printed; "" where the farm's own cannot be read."""
        asked = getattr(self.args, "units", None)
        if asked:
            return str(asked)
        try:
            return str(self.farm.units)
        except Exception:  # whatever keeps the store from being read is told by whoever reads it
            return ""

    @cached_property
    def on(self) -> date | None:
        """The day asked about; None is today."""
        said = getattr(self.args, "on", None)
        if not said:
            return None
        from wormbin.measures import parse_date

        return parse_date(said, self.clock().date(), "--on")

    @property
    def keeper(self) -> str:
        """Who writes: as said, else ``WORMBIN_KEEPER``."""
        return getattr(self.args, "by", None) or os.environ.get("WORMBIN_KEEPER", "")

    @property
    def heading(self) -> Heading:
        """When, by whom, the note, the compartment: as the options of a writing command say."""
        from wormbin.farm.heading import Heading

        args = self.args
        return Heading(
            when=args.when or "",
            by=self.keeper,
            note=getattr(args, "note", None) or "",
            compartment=getattr(args, "part", None) or "",
            replaces=getattr(args, "replaces", None) or "",
        )

    def answer(self, page: Page, value: Any) -> Exit:
        """The page; with ``--json`` what it is made of, as a document."""
        self.output.document(value) if self.output.json else self.output.page(page)
        return Exit.DONE

    def calendar(self, made: Callable[[str], str], of: str, example: str) -> Exit:
        """Write a calendar into the file of ``--out``, or to standard output; no other file is written over.

        ``made`` makes it of the one that is written over ("" for none), once the file's name is found good.
        """
        from wormbin.exchange.calendar import PRODUCT
        from wormbin.measures import counted
        from wormbin.store import hand_out, in_the_way, named

        out, before = self.args.out, ""
        if out != "-":
            path = named(out, "--out", example)
            if not self.args.yes and (blocked := in_the_way(path, PRODUCT.encode(), "calendar of bins")):
                complain(blocked, "Nothing was written. Choose another name, or add --yes to write over it.")
                return Exit.HELD_BACK
            with suppress(OSError, ValueError):
                before = path.read_text(encoding="utf-8")
        text = made(before)
        events = text.count("BEGIN:VEVENT")
        if out != "-":
            hand_out({path: text})
            tell(f"{counted(events, of)} written to {out}")
        if self.output.json:
            self.output.document({"file": out, "events": events, **({"calendar": text} if out == "-" else {})})
        elif out == "-":
            self.output.raw(text)
        return Exit.DONE

    def asked(self, write: Callable[[Heading], Recorded]) -> Exit:
        """Save what ``write`` writes; what can hardly be is asked about first, and held back when nobody says yes."""
        from dataclasses import replace

        if not self.name_kept():
            return Exit.HELD_BACK
        head = self.heading
        return self.agreed(lambda asks: write(replace(head, ask=asks)), "Put it right, or add --yes to keep it.")

    def name_kept(self) -> bool:
        """Ask about a name that looks mistyped, where a question can be answered; whether to go on."""
        from wormbin.farm.turns import near_name

        near = "" if getattr(self.args, "yes", True) else near_name(self.farm, self.keeper)
        if not near or ask(near):
            return True
        complain(near, "Nothing was saved. Put it right, or add --yes to keep it.")
        return False

    def agreed(self, write: Callable[[bool], Recorded], way: str) -> Exit:
        """Save what ``write`` writes, asked first where it has a question; ``way`` is how to go on without anybody."""
        from wormbin.farm.errors import DoubtedError

        try:
            recorded = write(not getattr(self.args, "yes", True))
        except DoubtedError as doubted:
            for question in doubted.questions:
                if not ask(question.words):
                    complain(question.words, f"Nothing was saved. {way}")
                    return Exit.HELD_BACK
            recorded = write(False)
        self.recorded(recorded)
        return Exit.DONE

    def recorded(self, recorded: Recorded) -> None:
        """Say what was saved: with ``--json`` the ids as a document, else the sentence; warnings to standard error."""
        if not getattr(self.args, "only_try", False):
            ids = f" ({', '.join(recorded.ids[:3])})" if recorded.ids else ""
            self.saved.append(f"{recorded.sentence}{ids}")
        if self.output.json:
            self.output.document(recorded)
        else:
            from wormbin.drawing.marks import plain

            self.output.lines([plain(recorded.sentence)])
            if recorded.warnings:
                tell(recorded.warnings)


def store_folder(said: str | None = None) -> Path:
    """The store: as said, else ``WORMBIN_STORE``, else the platform's folder for a user's data. Nothing is created."""
    if said or os.environ.get("WORMBIN_STORE"):
        return Path(said or os.environ["WORMBIN_STORE"]).expanduser()
    import platformdirs

    return Path(platformdirs.user_data_dir("wormbin", appauthor=False))


def person_sits_here() -> bool:
    """Whether there is a terminal on both sides that can be drawn on."""
    return bool(sys.stdin and sys.stdin.isatty() and sys.stdout.isatty() and os.environ.get("TERM") != "dumb")


def page_of(call: Call, workings: Sequence[Working]) -> list[Block]:
    """The numbers as they were asked for, an empty line between them."""
    from wormbin.pages.page import GAP
    from wormbin.pages.sums import sums

    args, ascii = call.args, call.output.ascii
    told = [[*sums(each, args.voice, down=args.down, ascii=ascii)] for each in workings]
    return [block for at, each in enumerate(told) for block in ([GAP] * bool(at) + each)]


def documents_of(call: Call, workings: Sequence[Working]) -> list[Any]:
    """The same for ``--json``."""
    return [to_depth(each, call.args.down) for each in workings]


def write_sheet(call: Call, working: Working, of: str) -> None:
    """A work sheet and its solution: printed, or written as text or as a page for a browser."""
    from wormbin.farm.reports import write_page
    from wormbin.pages.sums import printed

    name = call.args.work_sheet
    lines = printed(working, of, html=name.lower().endswith((".html", ".htm")))
    if name == "-":
        call.output.lines(lines)
    else:
        tell(f"Work sheet and solution written to {write_page(name, lines)}")
