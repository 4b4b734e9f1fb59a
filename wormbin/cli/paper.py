"""The one place that writes to standard output: data only, as text or as one JSON document."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Mapping
from io import StringIO
from typing import TYPE_CHECKING, Any, TextIO

from wormbin.cli.exits import writable

if TYPE_CHECKING:
    from wormbin.figures import Level

WIDTH = 80
_COLOURS = {"steady": "32", "watch": "33", "act": "31;1"}


def wants_colour(stream: TextIO, environ: Mapping[str, str] | None = None) -> bool:
    """Whether to colour: NO_COLOR says no, FORCE_COLOR yes, else only on a terminal that is not dumb."""
    said = os.environ if environ is None else environ
    if said.get("NO_COLOR"):
        return False
    if said.get("FORCE_COLOR"):
        return said["FORCE_COLOR"] != "0"
    return stream.isatty() and said.get("TERM") != "dumb"


class Paper:
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

    def document(self, value: Any) -> None:
        """One JSON document."""
        import json

        said = as_json(value)
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

    def tint(self, text: str, level: Level) -> str:
        """The text in the level's colour, where colour is wanted; the word and the shape say it anyway."""
        return f"\x1b[{_COLOURS[level.value]}m{text}\x1b[0m" if self.colour else text

    def strong(self, text: str) -> str:
        """The text in bold, where colour is wanted."""
        return f"\x1b[1m{text}\x1b[0m" if self.colour else text

    def close(self) -> None:
        """Hand on what is still held; raises BrokenPipeError when the reader has gone."""
        self.stream.flush()


def as_json(value: Any) -> Any:
    """Bands, dates and words as JSON: ``{p10, p50, p90}``, ISO 8601, and null for what is not finite."""
    from datetime import date, datetime
    from enum import Enum

    from wormbin.figures import Band

    match value:
        case Band(p10, p50, p90):
            return {"p10": as_json(p10), "p50": as_json(p50), "p90": as_json(p90)}
        case Enum():
            return value.value
        case datetime() | date():
            return value.isoformat()
        case float():
            # Sums of decimals end in dust (2.5999999999999996): nothing that is weighed shows less than a millionth.
            return _undusted(value) if value == value and abs(value) != float("inf") else None
        case Mapping():
            return {str(name): as_json(each) for name, each in value.items()}
        case tuple() | list():
            return [as_json(each) for each in value]
        case _:
            return value


def _undusted(value: float) -> float:
    rounded = round(value, 6)
    return rounded if abs(value) >= 1e-3 or rounded == value else value
