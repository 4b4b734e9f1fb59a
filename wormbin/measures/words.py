"""Typed text made safe to read: one form of each letter, no control characters, single spaces, a bounded length."""

from __future__ import annotations

import unicodedata

from wormbin.problems import Problem, RefusedError

LONGEST = 200
_SHOWN = 60
# Minus signs, dashes, quote marks and primes that keyboards and word processors put in place of the plain ones.
_PLAIN = str.maketrans({
    "−": "-", "–": "-", "—": "-", "‐": "-", "‑": "-", "‒": "-",
    "’": "'", "‘": "'", "′": "'", "ʹ": "'", "“": '"', "”": '"', "″": '"',
    "⁄": "/", "∕": "/", "×": "x", "º": "°", "˚": "°",
})  # fmt: skip


def _kept(character: str) -> str:
    """The character, a space for any kind of white space, or nothing for what cannot be seen."""
    if character.isspace():
        return " "
    return "" if unicodedata.category(character) in {"Cc", "Cf", "Cs", "Co", "Cn"} else character


def tidy(text: str) -> str:
    """Text without control, direction and other unseen characters, in compatibility form, single-spaced."""
    if text.isascii() and text.isprintable():
        return " ".join(text.split())
    seen = "".join(map(_kept, text.translate(_PLAIN)))
    folded = unicodedata.normalize("NFKC", seen).translate(_PLAIN)
    return " ".join("".join(map(_kept, folded)).split())


def shown(text: str) -> str:
    """Text as it may stand in a sentence to the keeper: unseen characters out, cut at sixty letters."""
    seen = " ".join("".join(map(_kept, text[: _SHOWN * 4])).split())
    return seen if len(seen) <= _SHOWN else seen[: _SHOWN - 1] + "…"


def counted(number: int, one: str, many: str = "") -> str:
    """A whole number of things by its right word: "1 day", "12 days", "1 copy"; ``many`` when it is no plain s."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def bounded(text: str, field: str, allowed: str, example: str) -> str:
    """The text itself, once it is known not to be empty or endless; else RefusedError."""
    if len(text) > LONGEST:
        raise RefusedError(Problem(field, shown(text), f"{allowed}, in at most {LONGEST} letters", example))
    if not tidy(text):
        raise RefusedError(Problem(field, "", allowed, example))
    return text
