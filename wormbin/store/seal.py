"""The checksum in a file's header: a letter that changed by itself is noticed, and a person can break the seal.

CRC-32 over the whole text without the ``"sum"`` field itself. A file without one is read as it is: that is how a
person who has edited it by hand says that this was meant.
"""

from __future__ import annotations

import codecs
import re
import zlib
from pathlib import Path
from typing import Any

from wormbin.store.errors import DamagedError
from wormbin.store.formats import HEADER
from wormbin.store.jsontext import Tables

FIELD = "sum"
_HEAD = b'{\n"store": {\n"1": {'
_SUM = re.compile(rb'"sum": "([0-9a-f]{8})"(?:, )?')
_LINE = 3
_DO = (
    "Nothing was changed. If you changed the file by hand, say so with “wormbin store check --accept FILE”, or take the"
    " “sum” out of its third line; if not, bring it back with “wormbin store restore”."
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


def check(raw: bytes, tables: Tables, path: Path) -> bool:
    """Take the checksum out of the tables and hold the text to it; whether there was one.

    Raises DamagedError when they do not fit.
    """
    header: dict[str, Any] | None = tables.get(HEADER, {}).get("1")
    if header is None or FIELD not in header:
        return False
    stated = header.pop(FIELD)
    # Line ends and a byte-order mark are what an editor or a copying service may change without changing a word.
    text = raw.removeprefix(codecs.BOM_UTF8).replace(b"\r\n", b"\n")
    found = _SUM.match(text, len(_HEAD)) if text.startswith(_HEAD) else None
    if found is None or found[1].decode() != stated or zlib.crc32(_HEAD + text[found.end() :]) != int(found[1], 16):
        raise DamagedError("the text is not what was written (its checksum does not fit)", _DO, path=path, line=_LINE)
    return True
