"""A line of either book in words, and a long log whose words are made only for the lines that are looked at."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, overload

from wormbin.farm.views.bin import LogLine
from wormbin.measures import area, counted, length, mass, percent, system_of, temperature, volume, written_exactly
from wormbin.records.entries import Entry, Move, Portion, Sample, What
from wormbin.records.kinds.castings import LotStep
from wormbin.records.kinds.fields import Field, Of
from wormbin.records.lots import LotWhat, described

STEP_WORDS = {
    LotStep.HARVESTED: "harvested",
    LotStep.CURING: "curing",
    LotStep.SCREENED: "screened",
    LotStep.STOCK: "in stock",
}


def portion_words(portion: Portion, units: str, name: Callable[[str], str]) -> str:
    """ "2 cups coffee grounds (110 g)": as said, with the mass when that is not what was said."""
    weight = mass(portion.kg, units)
    kept = kept_words(portion.said, units)
    tail = f" ({weight})" if kept and not _is_weight(kept) else ""
    wet = "" if portion.moisture is None else f" at {percent(portion.moisture)} moisture"
    return f"{kept or weight} {name(portion.material)}{tail}{wet}"


def kept_words(said: str, units: str) -> str:
    """An amount as it was said; "" when that is in the other units, and is to be turned into these.

    Household measures (cups, handfuls) belong to both, and are kept. With ``units`` "" everything is as it was said.
    """
    other = {"us": "metric", "metric": "us"}.get(units, "-")
    return "" if not said or system_of(said) == other else said


def _is_weight(said: str) -> bool:
    return said.rstrip("s").rsplit(" ", 1)[-1].lower() in ("g", "kg", "oz", "lb", "gram", "kilogram", "ounce", "pound")


def words_of(what: What | LotWhat, units: str, name: Callable[[str], str] = str) -> str:
    """What a line of either book says, in one line; ``name`` gives a material's name by its key."""
    kind = described(what)
    told = {each.name: _told(each, what, units, name) for each in kind.fields}
    start, brace, rest = kind.told.partition("{")
    words = (brace + rest).format(**told)
    return start + (words.removeprefix(", ") if not start or start.endswith(": ") else words) or kind.bare


def _told(each: Field, what: Any, units: str, name: Callable[[str], str]) -> str:
    value = getattr(what, each.at) if each.at else None
    words = "" if value is None else _field_words(each, value, what, units, name)
    return each.told.format(words) if words else ""


def _field_words(each: Field, value: Any, what: Any, units: str, name: Callable[[str], str]) -> str:
    """What a field holds, in words; "" for nothing worth telling."""
    kept = kept_words(what.said, units) if each.column == "amount" and hasattr(what, "said") else ""
    match each.of:
        case Of.PORTIONS:
            return ", ".join(portion_words(portion, units, name) for portion in value)
        case Of.PORTION:
            return portion_words(Portion(what.material, value, what.said), units, name)
        case Of.SAMPLES:
            size = area(value[0].area_m2, units, digits=3)
            return f"{counted(len(value), 'sample')} of {size}: " + ", ".join(_sample(one, units) for one in value)
        case Of.WATER:
            return kept or volume(value, units)
        case Of.WORMS:
            count = getattr(what, "worms_count", None) if each.column == "amount" else None
            return kept or (counted(count, "worm") if count else mass(abs(value), units) if value else "")
        case Of.OUTWARDS:
            return "out" if value < 0 else "in"
        case Of.BIN:
            return ("in from " if what.into else "to ") + value if isinstance(what, Move) else str(value)
        case Of.SWITCH:
            return each.flag if value else ""
        case Of.CHOICE:
            return str(STEP_WORDS.get(value, value))
        case Of.WORDS | Of.BINS:
            return ", ".join(value)
        case Of.WORD | Of.LOT:
            return str(value)
        case Of.DAY:
            return str(value.isoformat())
    return kept or _PRINTED[each.of](value, units)


_PRINTED: Mapping[Of, Callable[[float, str], str]] = {
    Of.MASS: mass, Of.CASTINGS: mass, Of.OUT_OF_LOT: mass, Of.VOLUME: volume, Of.LENGTH: length,
    Of.TEMPERATURE: temperature, Of.SHARE: lambda value, _units: percent(value),
    Of.NUMBER: lambda value, _units: written_exactly(value),
}  # fmt: skip


def _sample(sample: Sample, units: str) -> str:
    weight = "" if sample.worms_kg is None else mass(sample.worms_kg, units)
    return kept_words(sample.said, units) or weight or counted(sample.worms_count or 0, "worm")


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
