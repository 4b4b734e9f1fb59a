"""A line of the log as it would be typed again, field by field: the one description that forms and commands follow.

Every word reads back as exactly what is in the log; what words cannot say stays as it was (``as_it_was``).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, fields, is_dataclass, replace
from operator import eq
from typing import Any, TypeVar

from wormbin.farm import whats
from wormbin.farm.proposals import CheckDraft
from wormbin.farm.spoken import Spoken
from wormbin.measures import Dimension, counted, exact, written_exactly
from wormbin.problems import RefusedError
from wormbin.records.bins import NOTHING_MORE
from wormbin.records.entries import (
    Bedding,
    Check,
    Draining,
    Entry,
    Feeding,
    Fluff,
    Harvest,
    Kind,
    Move,
    Portion,
    Sample,
    Stocking,
    Survey,
    Watering,
    Weighing,
    What,
)
from wormbin.records.lots import Line

W = TypeVar("W")
OVEN = "oven_"
"""How the weights of an oven test are named that are kept beside a check."""
_AMOUNT = frozenset({"kg", "worms_kg", "worms_count", "castings_kg", "said"})
"""Said together: one of them anew, and the others of the old line say nothing any more."""


@dataclass(frozen=True, slots=True)
class TypedLine:
    """The kind of a line and its fields in words; several things of a field stand in lines of their own."""

    entry: str
    kind: str
    fields: Mapping[str, str]


def typed_line(entry: Entry, spoken: Spoken, units: str) -> TypedLine:
    """``entry`` in the words of its form, in ``units`` where they are round there."""
    said = {
        "when": said_when(entry), "note": entry.note,
        "part": str(entry.compartment) if entry.compartment else "", **_own(entry.what, spoken, units),
    }  # fmt: skip
    if entry.kind is Kind.NOTE:
        said["words"] = said.pop("note")
    return TypedLine(entry.id, entry.kind.value, {name: words for name, words in said.items() if words})


def said_when(line: Line) -> str:
    """The moment of a line as it would be typed: a day alone where nobody said a time."""
    if line.day_only:
        return line.when.date().isoformat()
    return line.when.isoformat(timespec="seconds" if line.when.second else "minutes")


def _own(what: What, spoken: Spoken, units: str) -> dict[str, str]:
    def mass(kg: float, said: str, read: Callable[[str], object], expected: object) -> str:
        """As it was said where that still reads as what is in the log, else what is in the log."""
        return said if said and _reads(read, said) == expected else exact(kg, Dimension.MASS, units)

    match what:
        case Check():
            return check_fields(what, units)
        case Feeding(portions):
            return {"bucket": "\n".join(portion_words(portions, spoken, units))}
        case Bedding(portions):
            return {"portions": "; ".join(portion_words(portions, spoken, units))}
        case Watering(kg, said) | Draining(kg, said):
            read = said and _reads(spoken.water, said) == (kg, said)
            return {"amount": said if read else exact(kg, Dimension.VOLUME, units)}
        case Weighing(kg, with_box, said):
            return {"amount": mass(kg, said, spoken.weight, (kg, said)), "box": "yes" if with_box else "no"}
        case Stocking(kg, count, said):
            worms = _worms(abs(kg), count, said, spoken, units)
            return {"worms": worms, "out": "yes" if kg < 0 else "no"}
        case Survey(samples):
            worms = "; ".join(_worms(s.worms_kg, s.worms_count, s.said, spoken, units) for s in samples)
            return {"samples": worms, "area": exact(samples[0].area_m2, Dimension.AREA, units)}
        case Move(kg, other, _, said):
            return {"to": other, "worms": _worms(kg, None, said, spoken, units)}
        case Harvest(kg, moisture, out, said, lot):
            return {
                "castings": mass(kg, said, lambda words: spoken.harvest(words, "", "").castings_kg, kg),
                "moisture": "" if moisture is None else exact(moisture, Dimension.FRACTION),
                "worms_out": "" if out is None else exact(out, Dimension.MASS, units),
                "lot": lot,
            }
        case _:
            return {}


def _reads(read: Callable[[str], W], words: str) -> W | None:
    try:
        return read(words)
    except RefusedError:
        return None


def portion_words(portions: Sequence[Portion], spoken: Spoken, units: str) -> tuple[str, ...]:
    """Portions in words that read back the same: as said where that is still what it was, else by weight."""

    def words(portion: Portion) -> str:
        said = f"{portion.said} {portion.material}"
        again = _reads(lambda text: spoken.portions([text]), said) if portion.said else None
        if again == (replace(portion, moisture=None),):
            return said
        return f"{exact(portion.kg, Dimension.MASS, units)} {portion.material}"

    return tuple(words(each) for each in portions)


def _worms(kg: float | None, count: int | None, said: str, spoken: Spoken, units: str) -> str:
    """Worms as said, else by number where they were counted and nothing else was weighed, else by weight."""
    for words in (said, "" if count is None else counted(count, "worm")):
        again = _reads(spoken.worms, words) if words else None
        if again is not None and (again.worms_count == count if kg is None else again.worms_kg == kg):
            return words
    return exact(kg or 0.0, Dimension.MASS, units)


def check_fields(check: Check, units: str) -> dict[str, str]:
    """A check as the words of ``CheckDraft``, that read back the same."""

    def words(value: float | None, of: Dimension) -> str:
        return "" if value is None else exact(value, of, units)

    return {
        "moisture": words(check.moisture, Dimension.FRACTION),
        "moisture_by": check.moisture_by.value if check.moisture_by else "",
        "squeeze": check.squeeze.value if check.squeeze else "",
        "temp": words(check.temp_c, Dimension.TEMPERATURE),
        "left": words(check.left, Dimension.FRACTION),
        "depth": words(check.contents_m, Dimension.LENGTH),
        "smell": check.smell,
        "seen": ", ".join(check.seen),
        "ph": "" if check.ph is None else written_exactly(check.ph),
    }


def read_typed(kind: Kind, said: Mapping[str, str], spoken: Spoken) -> What:
    """What the fields of a form of this kind say. Raises RefusedError."""

    def word(name: str) -> str:
        return said.get(name, "")

    match kind:
        case Kind.CHECK:
            return spoken.check(CheckDraft(**{name: said[name] for name in CheckDraft.__slots__ if name in said}))[0]
        case Kind.FEEDING:
            return Feeding(spoken.portions([word("bucket")], "feed"))
        case Kind.BEDDING:
            return whats.bedding([word("portions")])(spoken)
        case Kind.WATERING:
            return whats.water(word("amount"))(spoken)
        case Kind.DRAINING:
            return whats.drain(word("amount"))(spoken)
        case Kind.WEIGHING:
            return whats.weighing(word("amount"), word("box") == "yes")(spoken)
        case Kind.STOCKING:
            return whats.stocking(word("worms"), word("out") == "yes")(spoken)
        case Kind.SURVEY:
            return spoken.survey([word("samples")], word("area"))
        case Kind.MOVE:
            return whats.move(word("to"), word("worms"))(spoken)
        case Kind.HARVEST:
            return replace(spoken.harvest(word("castings"), word("moisture"), word("worms_out")), lot=word("lot"))
        case Kind.FLUFF:
            return Fluff()
        case Kind.NOTE:
            return whats.note(spoken)


def put_right(right: Entry, wrong: Entry, spoken: Spoken, units: str) -> Entry:
    """``right``, with everything exactly as it was in ``wrong`` that its words leave as they were."""
    what = right.what
    if type(what) is type(wrong.what):
        with suppress(RefusedError):  # the table no longer has what the old line names
            read = read_typed(wrong.kind, typed_line(wrong, spoken, units).fields, spoken)
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
