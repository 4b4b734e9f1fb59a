"""A CSV file read row by row, or refused in words: encoding, separator, header, size; and written whole."""

from __future__ import annotations

import codecs
import csv
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from io import StringIO
from pathlib import Path

from wormbin.exchange.cells import shield, unshield
from wormbin.problems import Problem, RefusedError

CELL_LIMIT = 100_000
ROW_LIMIT = 250_000
SIZE_LIMIT = 200_000_000
"""A file is held in memory until every row is checked: about 0.9 GB and a minute and a half for the most rows."""


SPLIT = "Split it by years into folders of their own, and import the oldest first (export --year writes them so)"


@dataclass(frozen=True, slots=True)
class Row:
    """One row: the file's name, its line (the header is line 1), and the cells by column; missing ones are ""."""

    file: str
    line: int
    cells: dict[str, str]

    def get(self, column: str) -> str:
        """The cell's text without spaces around it, formula shield taken off; "" when it was not said."""
        return unshield(self.cells.get(column, "").strip(" "))

    def text(self, column: str) -> str:
        """The cell as it was given, spaces and all; for free text that export wrote."""
        return unshield(self.cells.get(column, ""))

    def problem(self, column: str, allowed: str, example: str = "") -> Problem:
        """What is wrong with one cell, with its place."""
        read = self.cells.get(column, "")
        return Problem(
            field=column, read=_short(read), allowed=allowed, example=example,
            where=f"{self.file} line {self.line}, column {column}",
        )  # fmt: skip


def _short(text: str) -> str:
    text = "".join(char if char.isprintable() else " " if char.isspace() else "�" for char in text)
    return text if len(text) <= 60 else text[:57] + "…"


def read_rows(path: Path, columns: Sequence[str], needed: Sequence[str]) -> Iterator[Row]:
    """The rows of a CSV file, one at a time. Raises RefusedError when the file as a whole cannot be read.

    UTF-8 with or without a byte order mark, or UTF-16 with one, as a spreadsheet's "Unicode text" is; cells parted by
    commas, or by semicolons or tabs where the header is; any line ends; a header row with any order of ``columns``;
    empty rows are passed over. A row with more cells than the header is reported by the key "" in its cells.
    """
    if not path.is_file():
        raise RefusedError(Problem(path.name, str(path), "a CSV file", "bins.csv"))
    try:
        _hold_to_size(path)
        with path.open(encoding=_encoding(path), errors="strict", newline="") as file:
            reader = csv.reader(file, strict=True, delimiter=_delimiter(path))
            header = _header(path.name, next(reader, []), columns, needed)
            line = reader.line_num + 1
            for cells in reader:
                if any(cells):
                    yield Row(path.name, line, _by_column(path.name, line, header, cells))
                line = reader.line_num + 1
    except UnicodeError as error:
        raise RefusedError(
            Problem(
                "encoding",
                _bytes(error),
                "UTF-8 text",
                "save it as “CSV UTF-8” in the spreadsheet",
                f"{path.name}{_line_of(path, error)}",
            )
        ) from error
    except csv.Error as error:
        raise RefusedError(
            Problem("row", str(error), _csv_rule(error), "", f"{path.name} line {reader.line_num}")
        ) from error
    except OSError as error:
        raise RefusedError(Problem(path.name, error.strerror or str(error), "a file that can be read")) from error


def _hold_to_size(path: Path) -> None:
    """Refuse a file that is too long before any of it is worked through. Raises RefusedError, OSError."""
    size = path.stat().st_size
    if size > SIZE_LIMIT:
        raise RefusedError(Problem(path.name, f"{size / 1e6:.0f} MB", f"up to {SIZE_LIMIT / 1e6:.0f} MB. {SPLIT}"))
    with path.open("rb") as raw:
        line_ends = sum(block.count(b"\n") + block.count(b"\r") for block in iter(lambda: raw.read(1 << 20), b""))
    if line_ends <= ROW_LIMIT:
        return
    with path.open(encoding=_encoding(path), errors="replace", newline="") as file:
        try:
            rows = sum(1 for cells in csv.reader(file, strict=True, delimiter=_delimiter(path)) if any(cells)) - 1
        except csv.Error:
            return  # told with its line when the file is read
    if rows > ROW_LIMIT:
        raise RefusedError(Problem(path.name, f"{rows:,} rows", f"up to {ROW_LIMIT:,} rows. {SPLIT}"))


def header_of(path: Path) -> tuple[str, ...]:
    """The column names that the file begins with; empty when it cannot be read."""
    try:
        with path.open(encoding=_encoding(path), newline="") as file:
            return tuple(cell.strip().lower() for cell in next(csv.reader(file, delimiter=_delimiter(path)), []))
    except (OSError, UnicodeError, csv.Error):
        return ()


def _encoding(path: Path) -> str:
    """UTF-8 but where a mark at the file's beginning says UTF-16."""
    with path.open("rb") as raw:
        begins = raw.read(4)
    wide = begins[:2] in (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE) and begins != codecs.BOM_UTF32_LE
    return "utf-16" if wide else "utf-8-sig"


def _delimiter(path: Path) -> str:
    """What parts the names of the header: a comma, or the semicolon or tab that there is instead."""
    with path.open(encoding=_encoding(path), errors="replace", newline="") as file:
        header = file.readline(10_000)
    return "," if "," in header else next((mark for mark in ";\t" if mark in header), ",")


def _bytes(error: UnicodeError) -> str:
    if not isinstance(error, UnicodeDecodeError):
        return "half a letter"
    return "byte 0x" + error.object[error.start : error.start + 1].hex()


def _line_of(path: Path, error: UnicodeError) -> str:
    """Where in a UTF-8 file the first byte stands that is none: " line 14"; nothing where that cannot be told."""
    if _encoding(path) != "utf-8-sig":
        return ""
    raw = path.read_bytes()
    try:
        raw.decode("utf-8")
    except UnicodeDecodeError as found:
        before = raw[: found.start].replace(b"\r\n", b"\n").replace(b"\r", b"\n")
        return f" line {before.count(bytes([10])) + 1}"
    return ""


def _csv_rule(error: csv.Error) -> str:
    words = str(error)
    if "limit" in words:
        return f"cells of at most {CELL_LIMIT:,} letters"
    if "NUL" in words:
        return "text without NUL characters"
    return "cells parted by commas, with a closing quote for every opening one"


def _header(file: str, cells: list[str], columns: Sequence[str], needed: Sequence[str]) -> list[str]:
    names = [cell.strip().lower() for cell in cells]
    where = f"{file} line 1"
    if len(names) < 2 and names and any(mark in names[0] for mark in "|"):
        raise RefusedError(Problem("header", _short(cells[0]), "columns parted by commas", ",".join(needed), where))
    missing = [name for name in needed if name not in names]
    problems = [
        Problem("header", ", ".join(names)[:80], f"a header with the column {name}", "", where) for name in missing
    ]
    problems += [
        Problem("header", _short(name), "one of " + ", ".join(columns), "", where)
        for name in names
        if name and name not in columns
    ]
    problems += [
        Problem("header", name, "every column once", "", where) for name in columns if names.count(name) > 1
    ]  # fmt: skip
    if problems:
        raise RefusedError(problems)
    return names


def _by_column(file: str, line: int, header: list[str], cells: list[str]) -> dict[str, str]:
    found = {name: cell for name, cell in zip(header, cells, strict=False) if name and cell}
    if len(cells) > len(header) and any(cells[len(header) :]):
        found[""] = ",".join(cells[len(header) :])
    for name, cell in found.items():
        if "\0" in cell or len(cell) > CELL_LIMIT:
            rule = "text without NUL characters" if "\0" in cell else f"cells of at most {CELL_LIMIT:,} letters"
            raise RefusedError(Problem(name, _short(cell), rule, "", f"{file} line {line}, column {name}"))
    return found


def table_of(
    columns: Sequence[str], rows: Iterable[dict[str, str]], plain: Sequence[str] = (), *, bom: bool = False
) -> tuple[str, int]:
    """The text of a CSV file, and the number of its rows; text cells are shielded, ``plain`` columns are not.

    With ``bom`` it begins with the mark by which spreadsheets know UTF-8.
    ``plain`` names the columns that hold numbers, dates and words of the program.
    """
    count = 0
    file = StringIO(newline="")
    writer = csv.writer(file)
    writer.writerow(columns)
    for row in rows:
        writer.writerow([row.get(c, "") if c in plain else shield(row.get(c, "")) for c in columns])
        count += 1
    text = file.getvalue()
    # Without the mark a spreadsheet takes letters beyond ASCII for those of its own country; plain text needs none.
    return f"\ufeff{text}" if bom or not text.isascii() else text, count
