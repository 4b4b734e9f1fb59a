"""A number opened, in three voices: plain words, the sum with its numbers, and where it all comes from.

Here numbers are rounded as they are shown, so that whoever puts the shown ones in gets the shown one.
"""

from __future__ import annotations

import ast
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from html import escape

from wormbin.figures import (
    FAMILIES,
    LEFT_BY_ROUNDING,
    Basis,
    Quantity,
    Working,
    amount,
    in_size,
    parsed,
    put_in,
    told_figure,
)
from wormbin.pages.page import GAP, Block, Heading, Page, Sentence, laid, lines, text_of

BAR = 20
"""Cells of a bar of parts."""
BLANK = "________"
MANY = 4
"""Of more parts that are added up the names are not said twice."""
MOST_DIGITS = 4
"""Nothing is shown to more significant digits."""


@dataclass(frozen=True, slots=True)
class Shown:
    """A working as it is shown: units as large as its numbers, and so many digits that the shown sum comes out."""

    working: Working
    inputs: tuple[Quantity, ...]
    value: float
    unit: str
    digits: int
    """Significant digits of the value."""

    def amount(self, given: Quantity) -> str:
        """One input with its unit."""
        return amount(given.value, given.unit, MOST_DIGITS)

    @property
    def result(self) -> str:
        """The value with its unit."""
        return amount(self.value, self.unit, self.digits)

    def formula(self, blank: Iterable[str] = ()) -> str:
        """The sum with its numbers put in, those in ``blank`` left open."""
        numbers = {each.name: BLANK if each.name in blank else self.amount(each) for each in self.inputs}
        return formula_words(self.working.formula, numbers).replace("+ -", "− ")


def shown(working: Working) -> Shown:
    """Units, and the digits with which the sum comes out as it is shown."""
    scaled = _in_units(working)
    value, unit = scaled.value, scaled.unit
    tries = [(result, digits) for result in range(working.digits, 0, -1) for digits in (3, MOST_DIGITS)]
    for result, digits in tries:
        inputs = tuple(_rounded(each, digits) for each in scaled.inputs)
        made = put_in(scaled.formula, inputs) if _defined(scaled.formula, inputs) else value
        if told_figure(made, result) == told_figure(value, result):
            return Shown(scaled, inputs, value, unit, result)
    inputs = tuple(_rounded(each, MOST_DIGITS) for each in scaled.inputs)
    return Shown(scaled, inputs, put_in(scaled.formula, inputs), unit, 2)


def _defined(formula: str, inputs: Sequence[Quantity]) -> bool:
    try:
        put_in(formula, inputs)
    except (ZeroDivisionError, TypeError):
        return False
    return True


def _rounded(given: Quantity, digits: int) -> Quantity:
    """An estimate to so many digits; what was typed, set or printed keeps the most."""
    kept = digits if given.basis is Basis.WORKED_OUT else MOST_DIGITS
    return replace(given, value=float(told_figure(given.value, kept)))


def _in_units(working: Working) -> Working:
    """In g and cm where its numbers are small, and the sum holds in those, too."""
    for family, factor in FAMILIES:
        told = [(working.value, working.unit), *((each.value, each.unit) for each in working.inputs)]
        sizes = [abs(value) for value, unit in told if unit in family and value]
        if not sizes or min(sizes) >= 1.0 or max(sizes) >= 10.0:
            continue
        inputs = tuple(
            replace(each, value=each.value * factor, unit=family[each.unit]) if each.unit in family else each
            for each in working.inputs
        )
        value = working.value * (factor if working.unit in family else 1.0)
        before, after = put_in(working.formula, working.inputs), put_in(working.formula, inputs)
        times = factor if working.unit in family else 1.0
        if abs(after - before * times) <= 1e-6 * abs(after) + LEFT_BY_ROUNDING:
            working = replace(working, inputs=inputs, value=value, unit=family.get(working.unit, working.unit))
    return working


def formula_words(formula: str, names: Mapping[str, str]) -> str:
    """A formula as it is said: its names in words or numbers, the signs of a school book, and no name of a function."""
    return _words(parsed(formula), names)[0]


_SIGNS: Mapping[type[ast.operator], tuple[str, int]] = {
    ast.Add: ("+", 1), ast.Sub: ("−", 1), ast.Mult: ("×", 2), ast.Div: ("÷", 2), ast.Pow: ("to the power of", 3),
}  # fmt: skip
_ATOM = 4


def _words(node: ast.expr, names: Mapping[str, str]) -> tuple[str, int]:
    """A part of a formula in words, and how tightly it holds together."""
    match node:
        case ast.Constant(value=int() | float() as value):
            return f"{value}", _ATOM
        case ast.Name(id=name):
            return names[name], _ATOM
        case ast.BinOp(left=left, op=op, right=right):
            sign, binds = _SIGNS[type(op)]
            one = _in_brackets(left, names, binds)
            other = _in_brackets(right, names, binds + (sign not in "+×"))
            return f"{one} {sign} {other}", binds
        case ast.Call(func=ast.Name(id="sqrt"), args=[inner]):
            return f"the square root of ({_words(inner, names)[0]})", _ATOM
        case ast.Call(func=ast.Name(id="cut"), args=[inner]):
            return f"{_in_brackets(inner, names, 2)}, rounded down to 10 g", 0
        case ast.Call(func=ast.Name(id=name), args=args):
            *first, last = [_in_brackets(each, names, _ATOM) for each in args]
            most = ("smallest" if len(args) > 2 else "smaller") if name == "min" else "larger"
            return f"the {most} of {', '.join(first)} and {last}", 0
    raise ValueError(f"no formula: {ast.unparse(node)}")


def _in_brackets(node: ast.expr, names: Mapping[str, str], binds: int) -> str:
    words, own = _words(node, names)
    return words if own >= binds else f"({words})"


# the page
def sums(
    working: Working, voice: str = "sum", *, down: int = 0, ascii: bool = False, indent: int = 0
) -> Iterator[Block]:
    """One number in a voice, and what goes in opened so many levels further."""
    yield from head(working, voice, ascii=ascii, indent=indent)
    if working.inputs:
        for each, row in zip(working.inputs, rows(working, voice, ascii=ascii, indent=indent + 3), strict=True):
            yield row
            if down > 0 and each.opens is not None:
                yield from sums(each.opens, voice, down=down - 1, ascii=ascii, indent=indent + 6)
    yield from foot(working, voice, indent=indent)


def head(working: Working, voice: str, *, ascii: bool = False, indent: int = 0) -> Iterator[Block]:
    """What it is, before what goes into it."""
    told, under = shown(working), indent + 3
    about = "about " if voice == "plain" and any(each.estimated for each in working.inputs) else ""
    known = told.result if voice == "sum" else in_size(working.value, working.unit, min(told.digits, 2 if about else 3))
    yield Heading(
        f"{about}{known}", lead=f"{working.title[:1].upper()}{working.title[1:]}: ", lead_role="strong", indent=indent
    )
    if voice == "plain":
        yield Sentence(working.plain, indent=under)
        if working.unit == "fraction" and 0 <= told.value <= 1:
            yield Sentence(
                _bar(told.value, ascii), lead=f"{told_figure(told.value * 100, 2)} parts of 100: ", indent=under
            )
    elif voice == "sum":
        names = {each.name: each.words for each in working.inputs}
        many = len(names) > MANY and working.formula == " + ".join(names)
        words = "all of these added up" if many else formula_words(working.formula, names)
        yield Sentence(words, lead="formula: ", indent=under)
        yield Sentence(f"{told.formula()} = {told.result}", lead="with the numbers: ", indent=under)
    else:
        yield Sentence(working.source, lead="source: ", indent=under)


def leaf(given: Quantity) -> Iterator[Block]:
    """What opens no further: what it is, and where it is from."""
    digits = 2 if given.estimated else MOST_DIGITS
    yield Heading(in_size(given.value, given.unit, digits), lead=f"{given.words}: ", lead_role="strong")
    yield Sentence(given.note, indent=3)
    yield Sentence(f"{given.basis.value}: {given.source}", indent=3)


def list_row(working: Working, *, ascii: bool = False) -> Sentence:
    """A number among others that can be opened."""
    value = in_size(working.value, working.unit, min(working.digits, 3))
    return Sentence(value, lead=f"{'+' if ascii else '›'} {working.title:<28}")


def foot(working: Working, voice: str, *, indent: int = 0) -> Iterator[Block]:
    """How sure it is, after what goes into it."""
    if voice != "sum" and working.sure:
        yield Sentence(working.sure, lead="how sure: ", indent=indent + 3)
    if voice == "source" and working.rests_on:
        yield Sentence("; ".join(working.rests_on), lead="readings: ", indent=indent + 3)


def rows(working: Working, voice: str, *, ascii: bool = False, indent: int = 3) -> Iterator[Sentence]:
    """What goes in, one row each."""
    told = shown(working)
    room = max((len(each.words) for each in told.inputs), default=0) + 2 if voice == "plain" else 0
    arrow = "+ " if ascii else "› "
    for each in told.inputs:
        mark = arrow if each.opens else "  "
        role = "reading" if each.basis in (Basis.READ, Basis.SAID) else "basis"
        note = f"  {each.note}" if each.note else ""
        if voice == "plain":
            most = max(abs(other.value) for other in told.inputs if other.unit == each.unit)
            several = sum(other.unit == each.unit for other in told.inputs) > 1
            whole = 1.0 if each.unit == "fraction" else most
            drawn = (several or each.unit == "fraction") and whole > 0
            bar = f"  {_bar(abs(each.value) / whole, ascii)}" if drawn else ""
            typed = each.basis in (Basis.SAID, Basis.READ)
            digits = MOST_DIGITS if typed else 2 if each.estimated or each.basis is Basis.BOOK else 3
            words = f"{amount(each.value, each.unit, digits):<9}{bar}"
            yield Sentence(words, role, lead=f"{mark}{each.words:<{room}}", aside=note, indent=indent)
        elif voice == "sum":
            where = f"  ({each.basis.value})"
            yield Sentence(
                told.amount(each), role, lead=f"{mark}{each.words} = ", aside=f"{where}{note}", indent=indent
            )
        else:
            where = each.source or (f"made from: {', '.join(_named(each.opens))}" if each.opens else "")
            yield Sentence(where, role, lead=f"{mark}{each.words} ({each.basis.value}): ", indent=indent)


def _named(working: Working) -> Iterator[str]:
    return (each.words for each in working.inputs[:4])


def _bar(share: float, ascii: bool) -> str:
    filled = round(BAR * min(1.0, max(0.0, share)))
    full, empty = ("#", ".") if ascii else ("█", "░")
    return full * filled + empty * (BAR - filled)


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
