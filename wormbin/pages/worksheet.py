"""A number as a work sheet: its sums step by step with blanks to fill in, and on a page after it the solution."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

from wormbin.figures import Basis, Quantity, Working
from wormbin.pages.lines import laid, text_of
from wormbin.pages.page import GAP, Block, Heading, Page, Sentence, lines
from wormbin.pages.sums import BLANK, formula_words, shown

MOST_STEPS = 9
"""So many fit on a page, with room to write."""
FEED = "\f"
"""Begins a new page of a printed text."""


def steps(working: Working) -> list[Working]:
    """What is to be worked out, the first first; of many like numbers only the largest, the others are given."""
    found: list[Working] = []

    def walk(each: Working, deep: int) -> None:
        opening = [given for given in each.inputs if given.opens is not None]
        if len(opening) > 2:
            opening = sorted(opening, key=lambda given: -abs(given.value))[:1]
        for given in opening:
            if given.opens is not None and deep > 0:
                walk(given.opens, deep - 1)
        if all(each is not other for other in found):
            found.append(each)

    for deep in range(6, -1, -1):
        found.clear()
        walk(working, deep)
        if len(found) <= MOST_STEPS:
            break
    return found


def work_sheet(working: Working, of: str) -> tuple[list[Block], list[Block]]:
    """The sheet and its solution; ``of`` says of which bin and day."""
    every = steps(working)
    return list(_sheet(working, every, of, solved=False)), list(_sheet(working, every, of, solved=True))


def _sheet(working: Working, every: Sequence[Working], of: str, *, solved: bool) -> Iterator[Block]:
    yield Heading(f"{'Solution' if solved else 'Work sheet'}: {working.title}", aside=f"  {of}")
    if not solved:
        yield Sentence(f"Name: {BLANK * 3}   Date: {BLANK * 2}")
        yield Sentence("Work down the page. What you found in one step goes into a later one.")
    for number, step in enumerate(every, 1):
        yield GAP
        yield from _step(step, number, every, solved=solved)
    if solved and working.sure:
        yield GAP
        yield Sentence(working.sure, lead="how sure: ")


def _step(step: Working, number: int, every: Sequence[Working], *, solved: bool) -> Iterator[Block]:
    told = shown(step)
    found = {each.name: _place(each, every) for each in told.inputs}
    blank = () if solved else [name for name, at in found.items() if at]
    yield Heading(f"{number}. {step.title[:1].upper()}{step.title[1:]}")
    if solved:
        yield Sentence(f"{told.formula()} = {told.result}", indent=3)
        return
    yield Sentence(step.plain, indent=3)
    yield Sentence(formula_words(step.formula, {each.name: each.words for each in step.inputs}), indent=3)
    unit = {"fraction": "%", "to 1": "to 1"}.get(told.unit, told.unit)
    digits = f"   (to {told.digits} digits)"
    yield Sentence(f"{told.formula(blank)} = {BLANK} {unit}", "strong", aside=digits, indent=3)
    for each in told.inputs:
        if at := found[each.name]:
            yield Sentence(f"{each.words}: your answer of step {at}", indent=5)
        elif each.opens is None and each.basis is not Basis.WORKED_OUT:
            yield Sentence(f"{told.amount(each)}: {each.words}, {each.source}", "dim", indent=5)


def _place(given: Quantity, every: Sequence[Working]) -> int:
    return next((at for at, step in enumerate(every, 1) if given.opens is step), 0)


def as_text(pages: Sequence[Page], width: int = 80) -> list[str]:
    """The pages as lines of text, each on a sheet of its own when it is printed."""
    told = [[text_of(line).rstrip() for line in laid(lines(page, width), width)] for page in pages]
    return [line for at, page in enumerate(told) for line in ((FEED + page[0], *page[1:]) if at else page)]


_STYLE = (
    "body{font:14px/1.45 sans-serif;margin:2em auto;max-width:44em;padding:0 1em}h2{font-size:1.1em;margin:1em 0 .2em}"
    "h2{break-after:avoid}p{margin:.15em 0;white-space:pre-wrap}"
    "section+section{break-before:page;margin-top:3em}@page{margin:15mm}"
)


def as_html(title: str, pages: Sequence[Page]) -> str:
    """The pages as one file that a browser prints, each on a sheet of its own."""
    told = "".join(f"<section>{''.join(_tag(block) for block in page)}</section>" for page in pages)
    head = f'<meta charset="utf-8"><title>{escape(title)}</title><style>{_STYLE}</style>'
    return f'<!doctype html><html lang="en"><head>{head}</head><body>{told}</body></html>'


def _tag(block: Block) -> str:
    words = escape("".join(text_of(line) for line in block.lines(80)).strip())
    return f"<h2>{words}</h2>" if isinstance(block, Heading) else f"<p>{words}</p>" if words else ""


def printed(working: Working, of: str, *, html: bool) -> list[str]:
    """The lines of the file: sheet, then solution."""
    pages = work_sheet(working, of)
    return [as_html(f"{working.title}, {of}", pages)] if html else as_text(pages)
