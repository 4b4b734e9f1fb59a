"""What is to be done at a bin, told alike on the round, on its own page and on paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Protocol

from wormbin.advice.finding import Doing, Finding
from wormbin.figures import Level
from wormbin.pages.findings import mind
from wormbin.pages.page import ARROW, Block, Sentence


class Tells(Protocol):
    """What a bin's row and its view both tell."""

    @property
    def level(self) -> Level:
        """The worst level of its findings."""

    @property
    def headline(self) -> str:
        """What is the matter."""

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All of them, the worst first."""

    @property
    def also(self) -> tuple[str, ...]:
        """What no alarm calls for."""

    @property
    def mind(self) -> str:
        """A caution, and no step."""


def first_steps(told: Tells, do: Sequence[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What to do, in order, and what may be done besides: a hint's second look comes before all that is due."""
    hint = told.findings[0].actions[:1] if told.findings and told.level is Level.STEADY else ()
    if any(action.kind is Doing.LOOK for action in hint):
        return (*told.also, *do), ()
    return tuple(do), tuple(told.also)


def to_do(told: Tells, do: Sequence[str], *, indent: int = 2, lead: str = ARROW) -> Iterator[Block]:
    """The steps first thing first, what may be done besides, and what can hurt somebody at it."""
    steps, also = first_steps(told, do)
    for step in steps:
        yield Sentence(step, lead=lead, lead_role=told.level.value, indent=indent)
    if also:
        yield Sentence("; ".join(also), lead="also: ", indent=indent)
    yield from mind(told.mind, indent)
