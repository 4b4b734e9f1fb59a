"""A figure opened, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator

from wormbin.cli.layout import wrapped
from wormbin.figures import SHOWN_DIGITS, Working, as_shown, told_figure


def document(working: Working) -> dict[str, object]:
    """The working as JSON, to the digits that are shown."""
    working = as_shown(working)
    return {
        "title": working.title,
        "value": working.value,
        "unit": working.unit,
        "formula": working.formula,
        "inputs": [
            {"name": each.name, "value": each.value, "unit": each.unit, "basis": each.basis, "note": each.note}
            for each in working.inputs
        ],
        "source": working.source,
        "sure": working.sure,
        "plain": working.plain,
        "rests_on": working.rests_on,
    }


def lines(working: Working, width: int) -> Iterator[str]:
    """Value, formula, inputs, source, how sure; the inputs as shown make the value as shown."""
    working = as_shown(working)
    yield f"{working.title}: {told_figure(working.value, working.unit, SHOWN_DIGITS)} {working.unit}".rstrip()
    yield from wrapped(working.plain, width, "  ")
    yield from wrapped(working.formula, width, "  = ")
    for each in working.inputs:
        note = f" ({each.note})" if each.note else ""
        yield from wrapped(
            f"{each.name} = {told_figure(each.value, each.unit, SHOWN_DIGITS)} {each.unit}, {each.basis.value}{note}",
            width,
            "    ",
        )
    yield from wrapped(working.source, width, "  source: ")
    yield from wrapped(working.sure, width, "  how sure: ")
    for each_reading in working.rests_on:
        yield from wrapped(each_reading, width, "  rests on ")
