"""A figure opened: what it is, the formula with the numbers in it, what went in, source, how sure."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from wormbin.figures import SHOWN_DIGITS, Basis, Working, as_shown, told_figure
from wormbin.pages.page import GAP, Block, Heading, Sentence


def sums(working: Working) -> Iterator[Block]:
    """One working; the inputs as shown make the value as shown."""
    working = as_shown(working)
    yield Heading(amount(working.value, working.unit), lead=f"{working.title}: ", lead_role="strong")
    if working.plain:
        yield Sentence(working.plain, indent=3)
    yield Sentence(working.formula, lead="formula: ", indent=3)
    yield Sentence(filled_in(working), lead="with the numbers: ", indent=3)
    for each in working.inputs:
        yield Sentence(
            amount(each.value, each.unit, SHOWN_DIGITS),
            "reading" if each.basis in (Basis.READ, Basis.SAID) else "basis",
            lead=f"{each.name} = ",
            aside=f"  ({each.basis.value})" + (f"  {each.note}" if each.note else ""),
            indent=5,
        )
    yield Sentence(working.source, lead="source: ", indent=3)
    yield Sentence(working.sure, lead="how sure: ", indent=3)
    if working.rests_on:
        yield Sentence("; ".join(working.rests_on), lead="readings: ", indent=3)


def every_sum(workings: Iterable[Working]) -> Iterator[Block]:
    """Several workings, an empty line after each."""
    for working in workings:
        yield from sums(working)
        yield GAP


def amount(value: float, unit: str, digits: int = 4) -> str:
    """A figure with its unit, to so many digits; a fraction also in percent."""
    if unit == "fraction":
        return f"{value:.{digits}g} ({value * 100:.3g}%)"
    return f"{told_figure(value, unit, digits)} {unit}".rstrip()


def filled_in(working: Working) -> str:
    """The formula with its inputs put in, to the digits that are shown."""
    values = {each.name: told_figure(each.value, each.unit, SHOWN_DIGITS) for each in working.inputs}
    return re.sub(r"[A-Za-z_]\w*", lambda word: values.get(word[0], word[0]), working.formula)
