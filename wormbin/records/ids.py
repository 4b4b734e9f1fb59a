"""Names that go into files: the ids of entries, and the keys of bins. Short, typeable, and never a path."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Mapping
from typing import Any

# Crockford's base 32 in lower case: no i, l, o or u, so that an id can be read aloud and typed from paper.
_LETTERS = "0123456789abcdefghjkmnpqrstvwxyz"
_NEW_LENGTH = 10
_CONTENT_LENGTH = 12
_RESERVED = frozenset(["con", "prn", "aux", "nul", *(f"com{n}" for n in range(10)), *(f"lpt{n}" for n in range(10))])
_KEY = re.compile(r"[a-z0-9](?:[a-z0-9-]{0,38}[a-z0-9])?\Z")
_ID = re.compile(r"[a-z0-9][a-z0-9-]{0,39}~?\Z")
KEY_RULE = "up to 40 lower-case letters, digits and hyphens, beginning and ending with a letter or digit"
ID_RULE = "up to 40 lower-case letters, digits and hyphens"


def _written(number: int, length: int) -> str:
    letters = []
    for _ in range(length):
        number, digit = divmod(number, 32)
        letters.append(_LETTERS[digit])
    return "".join(reversed(letters))


def new_id(random: bytes) -> str:
    """An entry id of 10 letters from 7 or more random bytes; among 100,000 lines two are equal once in 200,000 logs."""
    if len(random) < 7:
        raise ValueError(f"at least 7 random bytes are needed for an id, not {len(random)}")
    return _written(int.from_bytes(random[:7], "big"), _NEW_LENGTH)


def content_id(fields: Mapping[str, Any], ordinal: int) -> str:
    """An id of 12 letters that follows from what a row says and which of its equals it is (0 for the first).

    The same row of the same file has the same id on every import, so that a second import adds nothing twice, and two
    honest equal rows stay two.
    """
    import hashlib  # slow to import, and only imports of files need it

    said = json.dumps([sorted((name, str(value)) for name, value in fields.items()), ordinal], ensure_ascii=True)
    return _written(int.from_bytes(hashlib.sha256(said.encode("ascii")).digest()[:8], "big"), _CONTENT_LENGTH)


def is_id(text: str) -> bool:
    """Whether ``text`` may be an entry's id; a trailing ``~`` marks the receiving half of a move."""
    return _ID.match(text) is not None


def is_key(text: str) -> bool:
    """Whether ``text`` may be a bin's key. Such a key is a plain folder name on every system, never a path."""
    return _KEY.match(text) is not None and text not in _RESERVED


def key_from(name: str) -> str:
    """A key made from a name in any script: "Küche No. 2" gives ``kuche-no-2``; "bin" when no letter is left."""
    plain = unicodedata.normalize("NFKD", name.replace("ß", "ss")).encode("ascii", "ignore").decode("ascii").lower()
    key = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:40].strip("-") or "bin"
    return f"{key}-bin" if key in _RESERVED else key
