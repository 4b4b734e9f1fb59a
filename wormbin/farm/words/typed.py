"""A line of either book as it would be typed again, field by field, so that a form or a command can put it right.

Every word reads back as exactly what is in the book; what no word can say, ``righting`` keeps as it was.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, fields, is_dataclass, replace
from operator import eq
from typing import Any

from wormbin.farm.words.spoken import EXPECTED, Spoken
from wormbin.measures import Dimension, counted, exact, written_exactly
from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import NOTHING_MORE
from wormbin.records.entries import Check, Entry, Move, Portion, Sample, What
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


OVEN = "oven_"
"""How the weights of an oven test are named that are kept beside a check."""
_AMOUNT = frozenset({"kg", "worms_kg", "worms_count", "castings_kg", "said"})
"""Said together: one of them anew, and the others of the old line say nothing any more."""


def put_right(right: Entry, wrong: Entry, spoken: Spoken, units: str) -> Entry:
    """``right``, with everything exactly as it was in ``wrong`` that its words leave as they were."""
    what = right.what
    if type(what) is type(wrong.what):
        with suppress(RefusedError):  # the table no longer has what the old line names
            read = spoken.read(described(wrong.what), typed_fields(wrong.what, spoken, units))
            what = _as_it_was(wrong.what, read, what)
    moved = right.when != wrong.when.replace(microsecond=0)
    if right.day_only and wrong.day_only:  # a day has no offset that anybody said
        moved = right.when.date() != wrong.when.date()
    kept = {name: value for name, value in wrong.extra.items() if name not in (*right.extra, "history")}
    if isinstance(what, Check) and isinstance(wrong.what, Check) and what.moisture != wrong.what.moisture:
        kept = {name: value for name, value in kept.items() if not name.startswith(OVEN)}
    extra = {**kept, **right.extra}
    return replace(right, what=what, when=right.when if moved else wrong.when, extra=extra if extra else NOTHING_MORE)


def _as_it_was(old: Any, read: Any, new: Any) -> Any:
    """``new``, with the ``old`` in each place where it says what the old words ``read`` as."""
    if new == read:
        return old
    if isinstance(new, tuple):
        return _each_as_it_was(old, read, new)
    if not is_dataclass(new) or isinstance(new, type) or type(new) is not type(old):
        return new
    changes: dict[str, Any] = {}
    names = [each.name for each in fields(new)]
    anew = {name for name in names if getattr(new, name) != getattr(read, name)}
    # The same amount in other words is no other amount.
    anew = anew | _AMOUNT if anew & (_AMOUNT - {"said"}) else anew - {"said"}
    if isinstance(new, Portion) and "material" in anew:
        return new
    for name in names:
        if name not in anew:
            changes[name] = getattr(old, name)
        elif name not in _AMOUNT:
            changes[name] = _as_it_was(getattr(old, name), getattr(read, name), getattr(new, name))
    return replace(new, **changes)


def _each_as_it_was(old: tuple[Any, ...], read: tuple[Any, ...], new: tuple[Any, ...]) -> tuple[Any, ...]:
    """Portions and samples: each that is there unchanged first, then those of a material, or of a place, changed."""
    if not all(isinstance(each, Portion | Sample) for each in (*old, *new)):
        return new
    left = list(zip(old, read, strict=True))
    found: dict[int, Any] = {}
    for alike in (eq, _of_one_kind):
        for place, each in enumerate(new):
            pair = next((pair for pair in left if alike(each, pair[1])), None) if place not in found else None
            if pair is not None:
                left.remove(pair)
                found[place] = _as_it_was(*pair, each)
    return tuple(found.get(place, each) for place, each in enumerate(new))


def _of_one_kind(new: Portion | Sample, read: Portion | Sample) -> bool:
    return not isinstance(new, Portion) or (isinstance(read, Portion) and new.material == read.material)
