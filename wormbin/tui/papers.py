"""The papers for every other kind of entry: which lines they have, and what the farm is asked to write.

A paper is a description; the one form that shows them all is ``screens/write``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from wormbin.farm.heading import Heading
from wormbin.farm.recording.lines import (
    record_bedding,
    record_drain,
    record_fluff,
    record_harvest,
    record_move,
    record_note,
    record_stocking,
    record_survey,
    record_water,
    record_weighing,
)
from wormbin.farm.session import Session
from wormbin.farm.views.bin import Recorded
from wormbin.records.entries import Kind

Write = Callable[[Session, str, Mapping[str, str], Heading], Recorded]


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a paper; ``names`` when it takes a material and may be finished from the table."""

    name: str
    label: str
    example: str
    names: bool = False


@dataclass(frozen=True, slots=True)
class Paper:
    """One kind of entry as it is written by hand: the key that picks it, its title, its lines, what to mind."""

    key: str
    title: str
    lines: tuple[Line, ...]
    write: Write
    about: str
    """A few words beside the title where the kinds are offered."""
    mind: str = ""
    kind: Kind = Kind.NOTE


def _several(words: str) -> list[str]:
    return [part.strip() for part in words.split(";") if part.strip()]


PAPERS: tuple[Paper, ...] = (
    Paper(
        "b", "bedding", (Line("portions", "bedding", "400 g shredded cardboard", names=True),),
        lambda farm, bin, said, head: record_bedding(farm, bin, _several(said["portions"]), head),
        "cardboard, paper or leaves put in",
        "Several things: a semicolon between them. Dusty bedding: damp it down first, wear a mask.", kind=Kind.BEDDING,
    ),
    Paper(
        "w", "water", (Line("amount", "water in", "0.5 L"),),
        lambda farm, bin, said, head: record_water(farm, bin, said["amount"], head),
        "sprinkled or poured in", kind=Kind.WATERING,
    ),
    Paper(
        "d", "drain", (Line("amount", "water let out", "0.3 L"),),
        lambda farm, bin, said, head: record_drain(farm, bin, said["amount"], head),
        "let out at the base",
        "What drips from a bin is not tea: keep it off food crops.", kind=Kind.DRAINING,
    ),
    Paper(
        "g", "weigh", (Line("amount", "weight", "6.4 kg"), Line("box", "box on the scale too?", "yes")),
        lambda farm, bin, said, head: record_weighing(farm,
            bin, said["amount"], with_box=said["box"].casefold().startswith("y"), heading=head
        ),
        "the bin on a scale",
        "Lift under 20 kg, or share the load; pupils never lift a bin.", kind=Kind.WEIGHING,
    ),
    Paper(
        "h", "harvest",
        (
            Line("castings", "castings off", "4 kg"), Line("moisture", "moisture, if known", "70%"),
            Line("left_behind", "share left behind", "30%"), Line("worms_out", "worms gone with it", "20 g"),
            Line("lot", "into a lot, if any", "spring-26"),
        ),
        lambda farm, bin, said, head: record_harvest(farm,
            bin, said["castings"], moisture=said["moisture"], worms_out=said["worms_out"],
            left_behind=said["left_behind"], lot=said["lot"], heading=head,
        ),
        "castings taken off",
        "Damp castings raise less dust; a mask and gloves, and wash hands after.", kind=Kind.HARVEST,
    ),
    Paper(
        "v", "survey",
        (Line("samples", "worms in each sample", "12 g; 9 g; 15 g"), Line("area", "area of a sample", "225 cm2")),
        lambda farm, bin, said, head: record_survey(farm, bin, _several(said["samples"]), said["area"], head),
        "worms counted in samples",
        "Equal areas, taken to the floor; worms washed and blotted before they are weighed.", kind=Kind.SURVEY,
    ),
    Paper(
        "k", "stock worms", (Line("worms", "worms in", "250 g or 500 worms"), Line("out", "taken out instead?", "no")),
        lambda farm, bin, said, head: record_stocking(farm,
            bin, said["worms"], out=said["out"].casefold().startswith("y"), heading=head
        ),
        "put in, or taken out", kind=Kind.STOCKING,
    ),
    Paper(
        "m", "move worms", (Line("to", "to which bin", "North crate"), Line("worms", "worms", "150 g")),
        lambda farm, bin, said, head: record_move(farm, bin, said["to"], said["worms"], head),
        "to another bin of yours",
        "Both bins' books are written, or neither.", kind=Kind.MOVE,
    ),
    Paper(
        "f", "fluff", (), lambda farm, bin, said, head: record_fluff(farm, bin, head), "lifted and loosened",
        kind=Kind.FLUFF,
    ),
    Paper(
        "n", "note", (Line("words", "note", "moved it under the stairs"),),
        lambda farm, bin, said, head: record_note(farm, bin, said["words"], head),
        "anything worth keeping",
    ),
)  # fmt: skip
"""In the order in which they are offered. Checks and feedings have forms of their own."""


def paper_of(kind: Kind) -> Paper:
    """The paper that lines of a kind are written on."""
    return next(paper for paper in PAPERS if paper.kind is kind)
