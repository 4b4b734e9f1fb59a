"""A page as a text file, to be printed: written whole, never over a file that is there already."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from wormbin.problems import Problem, RefusedError

EXAMPLE = "~/worms.txt"


def write_page(name: str, lines: Sequence[str]) -> Path:
    """Write ``lines`` to a new text file; the path it has. RefusedError when it cannot be, and then nothing is left."""
    words = name.strip()
    if not words or "\0" in words:
        raise RefusedError(Problem("file", words, "the name of a new text file", EXAMPLE))
    path = Path(words).expanduser()
    text = "\n".join(line.rstrip() for line in lines) + "\n"
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        raise RefusedError(
            Problem("file", words, "a name that is not taken: that file is there already", EXAMPLE)
        ) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise RefusedError(Problem("file", words, f"a place that can be written to ({reason})", EXAMPLE)) from None
    return path.absolute()
