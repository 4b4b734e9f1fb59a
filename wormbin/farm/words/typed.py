"""A line of either book as it would be typed again, field by field, so that a form or a command can put it right.

Every word reads back as exactly what is in the book; what no word can say, ``righting`` keeps as it was.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from wormbin.farm.words.spoken import EXPECTED, Spoken
from wormbin.measures import Dimension, counted, exact, written_exactly
from wormbin.problems import Problem, RefusedError
from wormbin.records.entries import Entry, Move, Portion, What
from wormbin.records.kinds.fields import Description, Field, Of
from wormbin.records.lots import Intake, Line, LotWhat, described

_EXACT: Mapping[Of, Dimension] = {of: dimensions[0] for of, dimensions in EXPECTED.items()} | {
    Of.SHARE: Dimension.FRACTION
}
"""The measures in which a field is typed when its own words are not kept."""


@dataclass(frozen=True, slots=True)
class TypedLine:
    """A line as its form or command takes it: what it is about (a bin or a lot), and its fields in words.

    Among the fields stand ``when``, which reads back as its moment, ``by``, ``note`` and ``part``. Several things of a
    field are parted by semicolons; a switch is "yes" or "no".
    """

    entry: str
    kind: Description[Any]
    about: str
    fields: Mapping[str, str]


def typed_line(line: Line, spoken: Spoken, units: str) -> TypedLine:
    """``line`` in words, in ``units`` where they are round there. Refuses the half that its other half brings."""
    if isinstance(line.what, Move) and line.what.into:
        there = f"the line in the log of {line.what.other}, where the worms went out"
        raise RefusedError(Problem("entry", line.id, there))
    if isinstance(line.what, Intake):
        harvest = line.id.removesuffix("~")
        there = f"the harvest itself, line {harvest}: its lot follows it"
        raise RefusedError(Problem("entry", line.id, there, harvest))
    kind = described(line.what)
    part = str(line.compartment) if isinstance(line, Entry) and line.compartment else ""
    said = {"when": said_when(line), "by": line.by, "note": line.note, "part": part}
    said |= typed_fields(line.what, spoken, units)
    if note := next((each.name for each in kind.fields if each.of is Of.NOTE), ""):
        said[note] = said.pop("note")
    about = line.bin if isinstance(line, Entry) else line.lot
    return TypedLine(line.id, kind, about, {name: words for name, words in said.items() if words})


def said_when(line: Line) -> str:
    """The moment of a line as it would be typed: a day alone where nobody said a time."""
    if line.day_only:
        return line.when.date().isoformat()
    return line.when.isoformat(timespec="seconds" if line.when.second else "minutes")


def typed_fields(what: What | LotWhat, spoken: Spoken, units: str) -> dict[str, str]:
    """What a line says in words, by the name of each field; "" for what it does not say."""
    return {each.name: _typed(each, what, spoken, units) for each in described(what).fields}


def _typed(each: Field, what: Any, spoken: Spoken, units: str) -> str:
    value: Any = getattr(what, each.at) if each.at else None
    match each.of:
        case Of.PORTIONS:
            return "; ".join(portion_words(value, spoken, units))
        case Of.PORTION:
            return "; ".join(portion_words((Portion(what.material, value, what.said),), spoken, units))
        case Of.SAMPLES:
            return "; ".join(_worms(one.worms_kg, one.worms_count, one.said, spoken, units) for one in value)
        case Of.AREA:
            return exact(what.samples[0].area_m2, Dimension.AREA, units)
        case Of.OUTWARDS:
            return "yes" if value < 0 else "no"
        case Of.SWITCH:
            return "yes" if value else "no"
    if each.of is Of.DAY and each.option and value is not None:
        return str(value.isoformat())
    if value is None or isinstance(value, str):
        return str(value or "")
    if isinstance(value, tuple):
        return ", ".join(value)
    if each.of is Of.NUMBER:
        return written_exactly(value)
    if each.of not in _EXACT:
        return ""
    if each.column == "amount" and each.of is Of.WORMS:
        return _worms(abs(value), getattr(what, "worms_count", None), what.said, spoken, units)
    said = what.said if each.column == "amount" else ""
    if said and (each.of is Of.OUT_OF_LOT or _reads(each, said, spoken) == value):
        return str(said)
    return exact(value, _EXACT[each.of], units)


def _reads(each: Field, words: str, spoken: Spoken) -> Any:
    """What words say of a field that is measured, in SI; None when they are refused."""
    try:
        return spoken.measured(each, words)[each.at]
    except RefusedError:
        return None


def portion_words(portions: Sequence[Portion], spoken: Spoken, units: str) -> tuple[str, ...]:
    """Portions in words that read back the same: as said where that is still what it was, else by weight."""

    def words(portion: Portion) -> str:
        said = f"{portion.said} {portion.material}"
        try:
            if portion.said and spoken.portions([said]) == (replace(portion, moisture=None),):
                return said
        except RefusedError:
            pass  # as it was said it says nothing any more
        return f"{exact(portion.kg, Dimension.MASS, units)} {portion.material}"

    return tuple(words(each) for each in portions)


def _worms(kg: float | None, count: int | None, said: str, spoken: Spoken, units: str) -> str:
    """Worms as said, else by number where they were counted and nothing else was weighed, else by weight."""
    for words in (said, "" if count is None else counted(count, "worm")):
        try:
            again = spoken.worms(words) if words else None
        except RefusedError:
            continue
        if again is not None and (again.worms_count == count if kg is None else again.worms_kg == kg):
            return words
    return exact(kg or 0.0, Dimension.MASS, units)
