"""What was put in, as sums that open: by material, by line, down to what was typed and the table.

A heap is what a log put into a bin, or what lies on the mix bench.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import groupby

from wormbin.figures import Basis, Quantity, Working
from wormbin.materials.material import Material, Pace
from wormbin.materials.table import pieces
from wormbin.process.amounts import material_of
from wormbin.records.entries import Bedding, Entry, Feeding, Move, Portion, Stocking, Watering

TABLE = "the material table"
MOST_ROWS = 12
"""Of more numbers the smallest are put together, and those of a log by month or year (ours)."""
WORDS = {
    "fresh": "{}", "dry": "dry matter of {}", "carbon": "carbon of {}", "nitrogen": "nitrogen of {}",
    "water": "water in {}",
}  # fmt: skip
"""What is asked of a heap, said of one material."""


@dataclass(frozen=True, slots=True)
class Batch:
    """So much of a material: how much as a number that may open, on which day, and whether it went in as food."""

    material: Material
    wet: float | None
    """Moisture said with it, in place of the table's."""
    kg: Quantity
    on: date = date.min
    feed: bool = False


def of_log(entries: Iterable[Entry], get: Callable[[str, bool], Material]) -> tuple[Batch, ...]:
    """All food and bedding of standing lines."""
    return tuple(
        Batch(material, each.moisture, typed_portion(each, entry, material), entry.when.date(), feed)
        for entry in entries
        if isinstance(entry.what, Feeding | Bedding)
        for feed in (isinstance(entry.what, Feeding),)
        for each in entry.what.portions
        for material in (get(each.material, feed),)
    )


def named(table: object) -> Callable[[str, bool], Material]:
    """The materials of a table as the model takes them."""
    return lambda key, feed: material_of(table, key, feed=feed)  # type: ignore[arg-type]


def typed_line(entry: Entry, kg: float, said: str, name: str = "line") -> Quantity:
    """A number that somebody typed, with its day and what was written."""
    day = entry.when.date()
    who = f", {entry.by}" if entry.by else ""
    words = f"a line of the log: “{said}”" if said else "a line of the log"
    return Quantity(name, kg, "kg", Basis.SAID, "", f"{day.day} {day:%b} {day.year}{who}", words)


def typed_portion(portion: Portion, entry: Entry, material: Material) -> Quantity:
    """One portion; what was counted opens to the weight of one."""
    line = typed_line(entry, portion.kg, portion.said)
    number, _, word = portion.said.rpartition(" ")
    piece = pieces().get((word.removesuffix("s"), portion.material)) or pieces().get((word, portion.material))
    if piece is None or not number.isdigit() or not piece.is_ours(portion.kg, float(number)):
        return line
    inputs = (
        Quantity("number", float(number), "", Basis.SAID, "", "how many", line.source),
        Quantity("one", piece.grams / 1000.0, "kg", Basis.BOOK, "", "what one weighs", piece.source),
    )
    title = f"{portion.said} of {material.name}"
    plain = "You counted them, and a table says what one of them weighs."
    return replace(line, source="", opens=Working(title, portion.kg, "kg", "number * one", inputs, TABLE, plain=plain))


def summed(title: str, every: Sequence[Quantity], plain: str) -> Working:
    """Numbers of one unit added up; where they are many, the small ones are put together in one that opens."""
    if len(every) > MOST_ROWS:
        ranked = sorted(every, key=lambda each: -each.value)
        kept, rest = ranked[: MOST_ROWS - 1], ranked[MOST_ROWS - 1 :]
        others = summed(f"{title}: the smaller ones", rest, plain)
        every = [*kept, Quantity("rest", others.value, "kg", Basis.WORKED_OUT, "", f"{len(rest)} others", "", others)]
    inputs = tuple(replace(each, name=f"part_{at}") for at, each in enumerate(every, 1))
    formula = " + ".join(each.name for each in inputs)
    return Working(title, sum(each.value for each in inputs), "kg", formula, inputs, "added up", plain=plain)


def by_day(title: str, lines: Sequence[tuple[date, Quantity]], plain: str) -> Working:
    """Typed lines added up, by month or year where they are many."""
    for way in ("%B %Y", "%Y"):
        groups = [(name, list(each)) for name, each in groupby(lines, key=lambda line: f"{line[0]:{way}}")]
        if len(lines) > MOST_ROWS and len(groups) > 1 and (len(groups) <= MOST_ROWS or way == "%Y"):
            made = [(name, by_day(f"{title}, {name}", each, plain)) for name, each in groups]
            return summed(title, [_opening(name, each) for name, each in made], plain)
    return summed(title, [each for _, each in lines], plain)


def _opening(said: str, working: Working, name: str = "part") -> Quantity:
    """A number that opens; one that is made of one part alone is that part."""
    if len(working.inputs) == 1:
        only = working.inputs[0]
        return replace(only, name=name, said=said, note=only.note or only.words)
    return Quantity(name, working.value, working.unit, Basis.WORKED_OUT, "", said, "", working)


def put_in(what: str, heap: Iterable[Batch], *, title: str, more: Sequence[Quantity] = ()) -> Working | None:
    """How much ``what`` (``fresh``, ``dry``, ``carbon``, ``nitrogen``, ``water``) a heap holds; None without any."""

    def kind(batch: Batch) -> tuple[str, float]:
        return batch.material.name, -1.0 if batch.wet is None else batch.wet

    ordered = sorted(heap, key=lambda batch: (kind(batch), batch.on))
    made = [_of_one(what, list(each)) for _, each in groupby(ordered, key=kind)]
    every = [*(_opening(each.title, each) for each in made if each.value > 0), *more]
    if not every:
        return None
    if len(every) == 1 and every[0].opens is not None:
        return every[0].opens
    plain = "Each thing that you put in brings some. Here they are added up."
    return summed(title, sorted(every, key=lambda each: -each.value), plain)


def given(heap: Iterable[Batch], pace: Pace) -> tuple[Batch, ...]:
    """The food of one pace."""
    return tuple(each for each in heap if each.feed and each.material.pace is pace)


def _of_one(what: str, batches: Sequence[Batch]) -> Working:
    """What all batches of one material hold."""
    material, wet = batches[0].material, batches[0].wet
    fresh = by_day(
        material.name, [(each.on, each.kg) for each in batches], "What you wrote down, line by line, added up."
    )
    title = WORDS[what].format(_low(material))
    if what == "fresh":
        return fresh
    inputs = [_opening(material.name, fresh, "fresh")]
    inputs += _shares(what, material, wet)
    kg = fresh.value
    for each in inputs[1:]:
        kg *= each.value
    formula = " * ".join(each.name for each in inputs)
    plain = f"All of the {_low(material)} that went in, times the part of it that is {_part(what)}."
    return Working(title, kg, "kg", formula, tuple(inputs), TABLE, plain=plain)


def _part(what: str) -> str:
    return {"dry": "not water", "water": "water"}.get(what, f"dry, times the part of that which is {what}")


def _shares(what: str, material: Material, wet: float | None) -> Iterator[Quantity]:
    water = _row(material, "moisture", "water", material.moisture)
    if wet is not None:
        water = Quantity("water", wet, "fraction", Basis.SAID, "", "water in it", "said with the line of the log")
    if what == "water":
        yield water
        return
    dry = Working(
        f"The dry part of {material.name}", 1.0 - water.value, "fraction", "1 - water", (water,), "by definition",
        plain="What is not water is dry matter.",
    )  # fmt: skip
    yield Quantity("dry", dry.value, "fraction", Basis.WORKED_OUT, "", "dry part", "", dry)
    if what != "dry":
        yield _row(material, what, what, getattr(material, what))


def _row(material: Material, field: str, name: str, value: float) -> Quantity:
    """One value of a material's row, with its source."""
    source = material.sources.get(field) or "a plain stand-in (ours)"
    basis = Basis.SAID if source.startswith("own") else Basis.BOOK
    note = "of the fresh weight" if field == "moisture" else "of the dry part"
    return Quantity(name, value, "fraction", basis, note, f"{name} in it", f"{TABLE}, row {material.name}: {source}")


def stocked(entries: Iterable[Entry], title: str) -> Working | None:
    """Live worms put in, less those moved out; None where no line says so."""
    lines = []
    for entry in entries:
        match entry.what:
            case Stocking(worms_kg=kg, said=said):
                lines.append((entry.when.date(), typed_line(entry, kg, said)))
            case Move(worms_kg=kg, into=into, said=said):
                lines.append((entry.when.date(), typed_line(entry, kg if into else -kg, said)))
    if not lines:
        return None
    return by_day(title, lines, "What you wrote down of worms that went in or out.")


def watered(entries: Iterable[Entry]) -> Iterator[Quantity]:
    """Water poured in, as one number that opens; none where none was."""
    lines = [
        (entry.when.date(), typed_line(entry, entry.what.kg, entry.what.said))
        for entry in entries
        if isinstance(entry.what, Watering)
    ]
    if lines:
        yield _opening("water poured in", by_day("Water poured in", lines, "What you wrote down, added up."))


def _low(material: Material) -> str:
    return material.name[:1].lower() + material.name[1:]
