"""A line of the log in words, and a long log whose words are made only for the lines that are looked at."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import overload

from wormbin.farm.views.bin import LogLine
from wormbin.measures import area, counted, length, mass, percent, system_of, temperature, volume
from wormbin.records.entries import (
    Bedding,
    Check,
    Draining,
    Entry,
    Feeding,
    Fluff,
    Harvest,
    Move,
    Note,
    Portion,
    Stocking,
    Survey,
    Watering,
    Weighing,
    What,
)


def portion_words(portion: Portion, units: str, name: Callable[[str], str]) -> str:
    """ "2 cups coffee grounds (110 g)": as said, with the mass when that is not what was said."""
    weight = mass(portion.kg, units)
    kept = kept_words(portion.said, units)
    tail = f" ({weight})" if kept and not _is_weight(kept) else ""
    return f"{kept or weight} {name(portion.material)}{tail}"


def kept_words(said: str, units: str) -> str:
    """An amount as it was said; "" when that is in the other units, and is to be turned into these.

    Household measures (cups, handfuls) belong to both, and are kept. With ``units`` "" everything is as it was said.
    """
    other = {"us": "metric", "metric": "us"}.get(units, "-")
    return "" if not said or system_of(said) == other else said


def _is_weight(said: str) -> bool:
    return said.rstrip("s").rsplit(" ", 1)[-1].lower() in ("g", "kg", "oz", "lb", "gram", "kilogram", "ounce", "pound")


def words_of(what: What, units: str, name: Callable[[str], str]) -> str:
    """What was seen or done, in one line; ``name`` gives a material's name by its key."""
    match what:
        case Feeding(portions):
            return "fed " + ", ".join(portion_words(each, units, name) for each in portions)
        case Bedding(portions):
            return "bedding " + ", ".join(portion_words(each, units, name) for each in portions)
        case Stocking(kg, count, said):
            amount = kept_words(said, units) or (counted(count, "worm") if count else mass(abs(kg), units))
            tail = "" if kept_words(said, units) and not _is_number(said) else " of worms" if not count else ""
            return ("worms in: " if kg >= 0 else "worms out: ") + amount + tail
        case Watering(kg, said):
            return f"watered {_water(kg, said, units)}"
        case Draining(kg, said):
            return f"drained {_water(kg, said, units)}"
        case Check():
            return _check(what, units)
        case Weighing(kg, with_box, said):
            return f"weighed {kept_words(said, units) or mass(kg, units)}" + (" with the box" if with_box else "")
        case Survey(samples):
            each = ", ".join(
                kept_words(sample.said, units)
                or (
                    mass(sample.worms_kg, units)
                    if sample.worms_kg is not None
                    else counted(sample.worms_count or 0, "worm")
                )
                for sample in samples
            )
            size = area(samples[0].area_m2, units, digits=3)
            return f"worm survey, {counted(len(samples), 'sample')} of {size}: {each}"
        case Move(kg, other, arriving, said):
            return (
                f"worms moved {'in from' if arriving else 'to'} {other}: {kept_words(said, units) or mass(kg, units)}"
            )
        case Harvest(kg, moisture, worms_out, said, lot):
            wet = f", moisture {percent(moisture)}" if moisture is not None else ""
            lost = f", {mass(worms_out, units)} of worms lost" if worms_out else ""
            into = f" into lot {lot}" if lot else ""
            stayed = f", {percent(what.left_behind)} of them left behind" if what.left_behind is not None else ""
            return f"harvested {kept_words(said, units) or mass(kg, units)}{into}{wet}{lost}{stayed}"
        case Fluff():
            return "fluffed"
        case Note():
            return ""


def _water(kg: float, said: str, units: str) -> str:
    """Water as it was said; by volume when that was in the other units, or nobody said."""
    return kept_words(said, units) or volume(kg, units)


def _is_number(said: str) -> bool:
    return said.replace(".", "").isdigit()


def _check(check: Check, units: str) -> str:
    parts = []
    if check.moisture is not None:
        by = f" ({check.moisture_by.value})" if check.moisture_by else ""
        parts.append(f"moisture {percent(check.moisture)}{by}")
    if check.squeeze is not None:
        parts.append(f"squeeze {check.squeeze.value}")
    if check.temp_c is not None:
        parts.append(temperature(check.temp_c, units))
    if check.left is not None:
        parts.append(f"{percent(check.left)} of the feed left")
    if check.contents_m is not None:
        parts.append(f"{length(check.contents_m, units)} deep")
    if check.ph is not None:
        parts.append(f"pH {check.ph:g}")
    if check.smell:
        parts.append(f"smells {check.smell}")
    if check.seen:
        parts.append("seen: " + ", ".join(check.seen))
    return ", ".join(parts) or "looked in"


class LogView(Sequence[LogLine]):
    """Entries as log lines, newest last; each line's words are made when it is asked for."""

    def __init__(
        self, entries: Sequence[Entry], replaced: dict[str, str], units: str, name: Callable[[str], str]
    ) -> None:
        self._entries = entries
        self._replaced = replaced
        self._units = units
        self._name = name

    def __len__(self) -> int:
        return len(self._entries)

    @overload
    def __getitem__(self, place: int) -> LogLine: ...
    @overload
    def __getitem__(self, place: slice) -> Sequence[LogLine]: ...
    def __getitem__(self, place: int | slice) -> LogLine | Sequence[LogLine]:
        if isinstance(place, slice):
            return LogView(self._entries[place], self._replaced, self._units, self._name)
        return self._line(self._entries[place])

    def _line(self, entry: Entry) -> LogLine:
        struck = entry.struck
        words = words_of(entry.what, self._units, self._name)
        return LogLine(
            entry=entry.id,
            bin=entry.bin,
            when=entry.when,
            kind=entry.kind,
            words=words or entry.note,
            by=entry.by,
            note=entry.note if words else "",
            compartment=entry.compartment,
            struck=struck is not None,
            why=struck.why if struck else "",
            struck_by=struck.by if struck else "",
            replaced=self._replaced.get(entry.id, ""),
            replaces=entry.replaces,
            day_only=entry.day_only,
        )


def replaced_by(entries: Sequence[Entry]) -> dict[str, str]:
    """Which line amends which: the id of the wrong line -> the id of the right one, when that one stands."""
    return {entry.replaces: entry.id for entry in entries if entry.replaces and entry.struck is None}


def fits(entry: Entry, kind: str, word: str, name: Callable[[str], str]) -> bool:
    """Whether a line is of a kind and has a word in it (in its words, note, keeper or reason)."""
    if kind and entry.kind.value != kind:
        return False
    if not word:
        return True
    why = entry.struck.why if entry.struck else ""
    text = " ".join((entry.id, words_of(entry.what, "", name), entry.note, entry.by, why))
    return word.casefold() in text.casefold()
