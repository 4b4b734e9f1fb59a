"""What was found, told in full or in short: what, what to do, what to mind, why, how sure, and after which source."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Protocol

from wormbin.advice.finding import Doing, Finding
from wormbin.figures import Level
from wormbin.pages.page import ARROW, GAP, Block, Sentence

if TYPE_CHECKING:
    from wormbin.farm.bins.causes import Cause


def mind(caution: str, indent: int = 3) -> Iterator[Block]:
    """What can hurt somebody, if anything."""
    if caution:
        yield Sentence(caution, lead="mind: ", lead_role="watch", indent=indent)


def in_full(finding: Finding, *, number: str = "", log_says: str = "", supported: bool = False) -> Iterator[Block]:
    """One finding; as a likely cause with its ``number`` and what the log says of it."""
    yield Sentence(finding.what, "strong", lead=number, level=finding.level, named=True)
    if log_says:
        yield Sentence(log_says, "key" if supported else "", lead="the log: ", indent=3)
    for step in finding.do:
        yield Sentence(step, lead=ARROW, lead_role=finding.level.value, indent=3)
    yield from mind(finding.caution)
    yield Sentence(finding.why, lead="why: ", indent=3)
    if not number:
        yield Sentence(finding.sure, lead="how sure: ", indent=3)
    if finding.source and finding.source not in finding.why:
        yield Sentence(finding.source, "dim", lead="source: ", indent=3)


def every_finding(findings: Iterable[Finding]) -> Iterator[Block]:
    """All of them in full, an empty line after each."""
    for finding in findings:
        yield from in_full(finding)
        yield GAP


def in_short(finding: Finding, steps: Sequence[str], *, why: bool = False, caution: bool = True) -> Iterator[Block]:
    """What, the steps named, and what to mind, beside something that is being filled in."""
    yield Sentence(finding.what, "strong" if why else "", level=finding.level)
    for step in steps:
        yield Sentence(step, "" if why else "dim", indent=4)
    yield from mind(finding.caution if caution else "", 4)
    if why and finding.why:
        yield Sentence(f"why: {finding.why}", "dim", indent=4)


def causes(found: Sequence[Cause]) -> Iterator[Block]:
    """Likely causes of what is seen, the best supported first."""
    for number, cause in enumerate(found, 1):
        yield from in_full(cause.finding, number=f"{number}  ", log_says=cause.log_says, supported=cause.supported)
        yield GAP
    if not found:
        yield Sentence("No cause is known for that. Write a note, and look again tomorrow.", "dim")


def emergency(steps: Sequence[str]) -> Iterator[Block]:
    """The five steps, before any sum."""
    yield Sentence("They are dying, leaving, or it stinks. Now, in this order:", "act")
    yield GAP
    for number, step in enumerate(steps, 1):
        yield Sentence(step.removeprefix(f"{number} "), "strong", lead=f"{number} ", lead_role="act", indent=2)
    yield GAP
    yield Sentence(
        "Wash your hands after. Then write down what you saw, as a check. Tick the signs among the troubles: the "
        "likely causes are ranked by what the log shows.", "dim",
    )  # fmt: skip


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
