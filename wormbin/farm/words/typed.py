"""A line of the log as it would be typed again, field by field: the one description that forms and commands follow.

Every word reads back as exactly what is in the log; what no word can say, ``righting`` keeps as it was.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from wormbin.farm.views.proposals import CheckDraft
from wormbin.farm.words import whats
from wormbin.farm.words.spoken import Spoken
from wormbin.measures import Dimension, counted, exact, written_exactly
from wormbin.problems import RefusedError
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
    Stocking,
    Survey,
    Watering,
    Weighing,
    What,
)
from wormbin.records.lots import Line

W = TypeVar("W")


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
                "castings": mass(kg, said, lambda words: spoken.harvest(words, "", "", "").castings_kg, kg),
                "moisture": "" if moisture is None else exact(moisture, Dimension.FRACTION),
                "worms_out": "" if out is None else exact(out, Dimension.MASS, units),
                "left_behind": "" if what.left_behind is None else exact(what.left_behind, Dimension.FRACTION),
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
            taken = spoken.harvest(word("castings"), word("moisture"), word("worms_out"), word("left_behind"))
            return replace(taken, lot=word("lot"))
        case Kind.FLUFF:
            return Fluff()
        case Kind.NOTE:
            return whats.note(spoken)
