"""The text of a store file: strict JSON in TinyDB's layout, one document a line, under a checksum.

The checksum is CRC-32 over the whole text without the ``"sum"`` field itself: a letter that changed by itself is
noticed. A file without one is read as it is: that is how a person who edited it by hand says that this was meant.
"""

from __future__ import annotations

import codecs
import json
import re
import zlib
from pathlib import Path
from typing import Any, NoReturn

from wormbin.store.errors import DamagedError

HEADER = "store"
Tables = dict[str, dict[str, dict[str, Any]]]

DEEPEST = 40
_DIGITS = 18
"""Of the number of a document."""
REPAIR = (
    "Nothing was changed. Mend that line by hand, or bring the file back from its “.previous” neighbour"
    " or with “wormbin store restore”."
)
_HALF_LETTER = re.compile(r"\\ud[89a-f]", re.IGNORECASE)


class _TwiceError(ValueError):
    """A name stands twice in one object."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(name)


def _pairs(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        seen: set[str] = set()
        for name, _ in pairs:
            if name in seen:
                raise _TwiceError(name)
            seen.add(name)
    return found


def _no_such_number(word: str) -> NoReturn:
    raise ValueError(f"{word} is not a number that a file may hold")


def _finite(text: str) -> float:
    number = float(text)
    if number - number != 0:
        raise ValueError(f"{text[:40]} is too large a number")
    return number


_DECODER = json.JSONDecoder(object_pairs_hook=_pairs, parse_constant=_no_such_number, parse_float=_finite)


def line_of(text: str, needle: str) -> int | None:
    """The 1-based line on which ``needle`` last stands, or None."""
    place = text.rfind(needle)
    return text.count("\n", 0, place) + 1 if place >= 0 else None


def line_of_id(text: str, entry_id: str) -> int | None:
    """The line on which the document with this id stands."""
    return line_of(text, f'"id": {json.dumps(entry_id, ensure_ascii=False)}') or line_of(text, json.dumps(entry_id))


def _too_deep(value: Any) -> bool:
    level = [value]
    for _ in range(DEEPEST):
        level = [
            inner
            for outer in level
            for inner in (outer.values() if isinstance(outer, dict) else outer)
            if isinstance(inner, dict | list)
        ]
        if not level:
            return False
    return True


def _damage(path: Path, what: str, line: int | None = None) -> DamagedError:
    return DamagedError(what, REPAIR, path=path, line=line)


def _decoded(raw: bytes, path: Path) -> str:
    if not raw.strip():
        raise _damage(
            path, "the file is empty, which a store file never is" if not raw else "the file holds only blanks"
        )
    if not raw.strip(b"\0"):
        raise _damage(path, "the file holds only zero bytes")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise _damage(path, "the text is not UTF-8 (was it saved by an editor in another encoding?)", line) from None


def parse(raw: bytes, path: Path) -> tuple[Tables, str]:
    """The tables in a file's bytes, and its text. Raises DamagedError with the line.

    Refused: anything but an object of tables of documents, names that stand twice, NaN and infinities, numbers too
    large, nesting deeper than 40, half letters (lone surrogates), and empty or zeroed files. A byte-order mark, as
    some editors write it, is accepted.
    """
    text = _decoded(raw, path)
    try:
        value = _DECODER.decode(text)
    except json.JSONDecodeError as error:
        cut = error.pos >= len(text.rstrip())
        what = "the text stops in the middle" if cut else f"this is not JSON ({error.msg}, column {error.colno})"
        raise _damage(path, what, error.lineno) from None
    except _TwiceError as error:
        name = json.dumps(error.name, ensure_ascii=False)
        raise _damage(path, f"the name {name[:60]} stands twice in one object", line_of(text, name)) from None
    except RecursionError:
        raise _damage(path, f"the text is nested deeper than {DEEPEST} levels") from None
    except ValueError as error:
        found = re.match(r"(\S+) is (?:not a number|too large)", str(error))
        what = str(error) if found else "a number has too many digits"
        raise _damage(path, what, line_of(text, found[1]) if found else None) from None
    _check_layout(value, path)
    if _too_deep(value):
        raise _damage(path, f"the text is nested deeper than {DEEPEST} levels")
    if _HALF_LETTER.search(text):
        try:
            json.dumps(value, ensure_ascii=False).encode("utf-8")
        except UnicodeEncodeError:
            line = text.count("\n", 0, _HALF_LETTER.search(text).start()) + 1  # type: ignore[union-attr]
            raise _damage(path, "a letter is cut in half (a lone surrogate)", line) from None
    return value, text


def _check_layout(value: Any, path: Path) -> None:
    if not isinstance(value, dict):
        raise _damage(path, f"an object of tables was expected, not {type(value).__name__}", 1)
    for table, documents in value.items():
        if not isinstance(documents, dict):
            raise _damage(path, f"the table “{table[:40]}” is not an object of numbered documents")
        for number, document in documents.items():
            if not number.isascii() or not number.isdigit() or len(number) > _DIGITS:
                raise _damage(path, f"“{number[:40]}” in the table “{table[:40]}” is not a document number")
            if not isinstance(document, dict):
                raise _damage(path, f"document {number} of the table “{table[:40]}” is not an object")


def render(tables: Tables) -> bytes:
    """The bytes for tables: UTF-8, one document a line. Raises ValueError for NaN, infinities and half letters."""
    dumps = json.JSONEncoder(ensure_ascii=False, allow_nan=False).encode
    parts = []
    for table, documents in tables.items():
        lines = ",\n".join(f"{dumps(str(number))}: {dumps(document)}" for number, document in documents.items())
        parts.append(f"{dumps(table)}: {{\n{lines}\n}}" if lines else f"{dumps(table)}: {{}}")
    return ("{\n" + ",\n".join(parts) + "\n}\n").encode("utf-8")


_SUM_FIELD = "sum"
_HEAD = b'{\n"store": {\n"1": {'
_SUM = re.compile(rb'"sum": "([0-9a-f]{8})"(?:, )?')
_AT = 3
_MEANT = (
    "Nothing was changed. Did you change the file by hand? Say so with “wormbin store check --accept FILE”, or take the"
    " “sum” out of its third line. If not, bring it back with “wormbin store restore”."
)


def sealed(raw: bytes) -> bytes:
    """The text of a file, with its checksum put into the header."""
    if not raw.startswith(_HEAD):
        raise ValueError("a file without a header cannot be sealed")
    rest = raw[len(_HEAD) :]
    return _HEAD + b'"sum": "%08x"' % zlib.crc32(raw) + (rest if rest.startswith(b"}") else b", " + rest)


def unsealed(raw: bytes) -> bytes:
    """The text without its checksum, wherever that stands in it."""
    return _SUM.sub(b"", raw, count=1)


def check_seal(raw: bytes, tables: Tables, path: Path) -> bool:
    """Take the checksum out of the tables and hold the text to it; whether there was one.

    Raises DamagedError when they do not fit.
    """
    header: dict[str, Any] | None = tables.get(HEADER, {}).get("1")
    if header is None or _SUM_FIELD not in header:
        return False
    stated = header.pop(_SUM_FIELD)
    # Line ends and a byte-order mark are what an editor or a copying service may change without changing a word.
    text = raw.removeprefix(codecs.BOM_UTF8).replace(b"\r\n", b"\n")
    found = _SUM.match(text, len(_HEAD)) if text.startswith(_HEAD) else None
    if found is None or found[1].decode() != stated or zlib.crc32(_HEAD + text[found.end() :]) != int(found[1], 16):
        raise DamagedError("the text is not what was written (its checksum does not fit)", _MEANT, path=path, line=_AT)
    return True
