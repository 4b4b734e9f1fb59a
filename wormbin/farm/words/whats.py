"""What an entry of one kind says, to be read from words once its bin and heading are known to be right."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from wormbin.records.entries import Bedding, Draining, Fluff, Move, Note, Stocking, Watering, Weighing, What

if TYPE_CHECKING:
    from wormbin.farm.words.spoken import Spoken


def fluff(_spoken: Spoken) -> What:
    """The contents were loosened."""
    return Fluff()


def note(_spoken: Spoken) -> What:
    """Words only."""
    return Note()


def water(words: str) -> Callable[[Spoken], What]:
    """Water in."""
    return lambda spoken: Watering(*spoken.water(words))


def drain(words: str) -> Callable[[Spoken], What]:
    """Water out."""
    return lambda spoken: Draining(*spoken.water(words))


def stocking(words: str, out: bool) -> Callable[[Spoken], What]:
    """Worms in, or out."""

    def read(spoken: Spoken) -> What:
        said = spoken.worms(words)
        return Stocking(-said.worms_kg if out else said.worms_kg, said.worms_count, said.said)

    return read


def weighing(words: str, with_box: bool) -> Callable[[Spoken], What]:
    """A weighing of the contents, with or without the box."""

    def read(spoken: Spoken) -> What:
        kg, said = spoken.weight(words)
        return Weighing(kg, with_box, said)

    return read


def bedding(words: Sequence[str]) -> Callable[[Spoken], What]:
    """Bedding in."""
    return lambda spoken: Bedding(spoken.portions(words, "bedding"))


def move(to: str, words: str) -> Callable[[Spoken], What]:
    """Worms to another bin, by its key."""

    def read(spoken: Spoken) -> What:
        said = spoken.worms(words)
        return Move(said.worms_kg, to, said=said.said)

    return read
