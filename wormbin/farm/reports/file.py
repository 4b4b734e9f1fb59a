"""A report on disk: replaced as a whole, and never in the place of a file that is something else, unless agreed to."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from wormbin.farm.reports.page import SIGNED
from wormbin.problems import Problem, RefusedError

EXAMPLE = "kitchen-report.html"
_HEAD = 2000
"""Bytes in which a report says that it is one."""


def report_path(name: str) -> Path:
    """The file meant, a link followed to what it names. RefusedError for what cannot be a file's name or is no file."""
    words = name.strip()
    if not words or "\0" in words:
        raise RefusedError(Problem("--out", words, "the name of the file to write", EXAMPLE))
    try:
        path = Path(words).expanduser().resolve()
        taken = path.exists() and not path.is_file()
    except (OSError, RuntimeError, ValueError):
        raise RefusedError(Problem("--out", words, "the name of a file that can be written", EXAMPLE)) from None
    if taken or words.endswith(("/", os.sep)):
        raise RefusedError(Problem("--out", words, "the name of a file, not of a folder or device", EXAMPLE))
    return path


def in_the_way(path: Path) -> str:
    """Why this file should not be written over without asking; "" when it is not there, or an older report."""
    try:
        with path.open("rb") as file:
            head = file.read(_HEAD)
    except FileNotFoundError:
        return ""
    return "" if SIGNED.encode() in head else f"{path} is there already, and is no report of a bin"


def write_report(path: Path, page: str) -> None:
    """Write the page to ``path`` in one step: whoever looks sees the old file or the new. OSError names ``path``."""
    part = path.with_name(f".{path.name[:100]}.{os.getpid()}.part")
    try:
        with part.open("xb") as file:
            file.write(page.encode("utf-8"))
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except OSError as error:
        with suppress(OSError):
            part.unlink()
        raise OSError(error.errno, error.strerror or str(error), str(path)) from error
    except BaseException:
        with suppress(OSError):
            part.unlink()
        raise
