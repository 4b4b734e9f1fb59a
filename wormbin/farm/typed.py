"""A line of the log as it would be typed again, so that a form can be filled with it to put it right."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wormbin.farm.looking import check_fields
from wormbin.measures import counted, mass
from wormbin.records.entries import (
    Bedding,
    Check,
    Draining,
    Entry,
    Feeding,
    Harvest,
    Move,
    Portion,
    Stocking,
    Survey,
    Watering,
    Weighing,
)  # fmt: skip
from wormbin.records.lots import Line


@dataclass(frozen=True, slots=True)
class TypedLine:
    """The kind of a line and its fields in words; every word reads back as what is in the log."""

    entry: str
    kind: str
    fields: Mapping[str, str]


def typed_line(entry: Entry, units: str) -> TypedLine:
    """``entry`` in the words of its form."""
    fields = {
        "when": said_when(entry), "note": entry.note,
        "part": str(entry.compartment) if entry.compartment else "",
    }  # fmt: skip
    fields |= _own(entry, units)
    return TypedLine(entry.id, entry.kind.value, {name: words for name, words in fields.items() if words})


def said_when(line: Line) -> str:
    """The moment of a line as it would be typed: a day alone where nobody said a time."""
    if line.day_only:
        return line.when.date().isoformat()
    return line.when.isoformat(timespec="seconds" if line.when.second else "minutes")


def _own(entry: Entry, units: str) -> dict[str, str]:
    what = entry.what
    match what:
        case Check():
            return check_fields(what, units)
        case Feeding(portions):
            return {"bucket": "\n".join(_portion(each) for each in portions)}
        case Bedding(portions):
            return {"portions": "; ".join(_portion(each) for each in portions)}
        case Watering(kg, said) | Draining(kg, said):
            return {"amount": said or f"{kg * 1000:.0f} mL"}
        case Weighing(kg, with_box, said):
            return {"amount": said or f"{kg * 1000:.0f} g", "box": "yes" if with_box else "no"}
        case Stocking(kg, count, said):
            amount = said or (counted(count, "worm") if count else f"{abs(kg) * 1000:.0f} g")
            return {"worms": amount, "out": "yes" if kg < 0 else "no"}
        case Survey(samples):
            worms = [
                s.said or (counted(s.worms_count or 0, "worm") if s.worms_kg is None else f"{s.worms_kg * 1000:.1f} g")
                for s in samples
            ]
            area = f"{samples[0].area_m2 * 10_000:.0f} cm2" if samples else ""
            return {"samples": "; ".join(worms), "area": area}
        case Move(kg, other, _, said):
            return {"to": other, "worms": said or f"{kg * 1000:.0f} g"}
        case Harvest(kg, moisture, out, said, lot):
            return {
                "castings": said or f"{kg * 1000:.0f} g",
                "moisture": "" if moisture is None else f"{moisture * 100:.0f}%",
                "worms_out": mass(out, units) if out else "",
                "left_behind": "" if what.left_behind is None else f"{what.left_behind * 100:g}%",
                "lot": lot,
            }
        case _:
            return {"words": entry.note}


def _portion(portion: Portion) -> str:
    amount = portion.said or f"{portion.kg * 1000:.0f} g"
    return f"{amount} {portion.material}"
