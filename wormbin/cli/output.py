"""The one place that writes to standard output: data only, as text or as one JSON document."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Mapping
from io import StringIO
from typing import TYPE_CHECKING, Any, TextIO

from wormbin.cli.exits import writable

if TYPE_CHECKING:
    from wormbin.pages.page import Page

WIDTH = 80
_STYLES = {"steady": "32", "watch": "33", "act": "31;1", "title": "1", "strong": "1"}
"""What a terminal is asked for by the role of some words; the rest is as it comes."""


def wants_colour(stream: TextIO, environ: Mapping[str, str] | None = None) -> bool:
    """Whether to colour: NO_COLOR says no, FORCE_COLOR yes, else only on a terminal that is not dumb."""
    said = os.environ if environ is None else environ
    if said.get("NO_COLOR"):
        return False
    if said.get("FORCE_COLOR"):
        return said["FORCE_COLOR"] != "0"
    return stream.isatty() and said.get("TERM") != "dumb"


class Output:
    """Standard output. ``json`` is whether one JSON document is wanted instead of text."""

    def __init__(self, *, json: bool = False, stream: TextIO | None = None) -> None:
        self.json = json
        self.stream = stream or sys.stdout or StringIO()  # one that was closed takes nothing
        self.colour = wants_colour(self.stream)
        self.width = self._width()

    @property
    def ascii(self) -> bool:
        """Whether pictures are to be drawn in ASCII, since nothing else can be written here."""
        return writable("┃┈⣀", self.stream.encoding).isascii()

    def _width(self) -> int:
        if not (self.stream.isatty() or os.environ.get("COLUMNS")):
            return WIDTH
        import shutil

        return max(40, min(120, shutil.get_terminal_size((WIDTH, 24)).columns))

    def lines(self, lines: Iterable[str]) -> None:
        """Lines of text; text from outside must have been through ``plain``."""
        for line in lines:
            self.stream.write(writable(line, self.stream.encoding) + "\n")

    def page(self, page: Page) -> None:
        """A page, as wide as this output is."""
        from wormbin.pages.lines import laid
        from wormbin.pages.page import lines

        for row in laid(lines(page, self.width), self.width):
            self.lines(["".join(self.tinted(text, role) for text, role in row).rstrip()])

    def document(self, value: Any) -> None:
        """One JSON document."""
        import json

        from wormbin.pages.documents import document

        said = document(value)
        try:
            self.stream.write(json.dumps(said, ensure_ascii=False, allow_nan=False, indent=1) + "\n")
        except UnicodeEncodeError:
            self.stream.write(json.dumps(said, allow_nan=False, indent=1) + "\n")

    def raw(self, text: str) -> None:
        """Text that is a file of its own, in UTF-8 wherever it goes."""
        self.stream.flush()
        buffer = getattr(self.stream, "buffer", None)
        if buffer is None:
            self.stream.write(text)
        else:
            buffer.write(text.encode("utf-8"))

    def tinted(self, text: str, role: str) -> str:
        """The text as its role asks, where colour is wanted; a level's word and shape say it anyway."""
        return f"\x1b[{_STYLES[role]}m{text}\x1b[0m" if self.colour and text and role in _STYLES else text

    def close(self) -> None:
        """Hand on what is still held; raises BrokenPipeError when the reader has gone."""
        self.stream.flush()
