"""What goes in: how much may be fed, what a feeding would do, what a blend comes to, what a new bin begins with."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isinf
from typing import TYPE_CHECKING

from wormbin.advice.finding import Doing
from wormbin.farm.views.bin import BinView, MaterialRow
from wormbin.farm.views.proposals import MixView, StartProposal
from wormbin.figures import Level
from wormbin.measures import percent
from wormbin.measures.units import LB_FT3, UNITS
from wormbin.pages.findings import in_short
from wormbin.pages.page import GAP, Block, Column, Heading, Sentence, Table

if TYPE_CHECKING:
    from wormbin.farm.feedings import FeedingPreview

UNGIVEN = (Doing.STOP, Doing.TAKE_OUT, Doing.CAUTION)


def feeding(preview: FeedingPreview) -> Iterator[Block]:
    """The verdict first, then what to add with it, then the figures after it."""
    add = preview.proposal
    yield Sentence(preview.verdict, "strong", level=preview.level, named=True)
    if add.words and (preview.done or preview.up_to_kg > 0):
        yield Sentence(add.words, "key")
    if add.gives_way:
        yield Sentence(add.gives_way, lead="gives way: ", lead_role="watch")
    yield GAP
    told = (preview.verdict, add.words, add.gives_way)
    for line in preview.lines:
        if not any(line in each for each in told):
            yield Sentence(line, lead="· ")
    for finding in preview.findings:
        # What is not given yet is not taken out again: the verdict says how much to give.
        steps = [each.text for each in finding.actions if each.kind not in UNGIVEN and not each.again]
        yield from in_short(finding, steps[:2])


def allowance(view: BinView) -> Iterator[Block]:
    """Before anything is in the bucket: how much may be fed today, and what stands against it."""
    if view.feed_up_to_kg > 0:
        yield Sentence(f"Up to {view.feed_up_to_words} today.", "strong")
    else:
        yield Sentence("Nothing more today.", "strong")
        if (then := view.next_feeding) is not None:
            yield Sentence(f"Next feeding: {then:%A} {then.day} {then:%B}.")
    yield GAP
    for finding in view.findings[:3]:
        yield from in_short(finding, (), caution=False)


def bucket(preview: FeedingPreview | None, *, bedding: bool = False) -> Iterator[Block]:
    """What is in the bucket so far, as it was understood; with the bedding where nothing else shows it."""
    if preview is None:
        yield Sentence("nothing in the bucket yet", "dim")
        return
    for number, each in enumerate(preview.portions, 1):
        yield Sentence(each.words, lead=f"{number})  ")
    for each in preview.bedding if bedding else ():
        yield Sentence(each.words, lead="bedding: ")


def mix(view: MixView) -> Iterator[Block]:
    """A blend: what to add first, then its lines, then what is the matter with it."""
    for line in view.lines:
        yield Sentence(line, "strong" if line.startswith("add ") else "")
    for finding in view.findings:
        yield from in_short(finding, finding.do, why=True)


def proposed(proposal: StartProposal) -> Iterator[Block]:
    """What is proposed, and what to mind."""
    for line in proposal.lines:
        yield Sentence(line)
    yield GAP
    for caution in proposal.cautions:
        yield Sentence(caution, "watch")


def to_begin(proposal: StartProposal) -> Iterator[Block]:
    """What to have ready, box by box, and the proposal, to print."""
    yield Heading("To have ready")
    for line in proposal.shopping:
        yield Sentence(line, "strong", lead="[ ] ", lead_role="strong")
    yield GAP
    yield Heading("How to begin")
    yield from proposed(proposal)


CUP_L, OZ_G = UNITS["cup"].factor, UNITS["oz"].factor * 1000
OPENED = 3
"""So many finds, or fewer, are shown with their sources."""


def materials(rows: Sequence[MaterialRow], units: str, *, opened: bool) -> Iterator[Block]:
    """The table; where ``opened``, a few finds follow with their sources."""
    if not rows:
        return
    dense = "lb/ft3" if units == "us" else "kg/m3"
    yield Table(
        (
            Column("material"), Column("role"), Column("pace", rank=1), Column("C:N", right=True),
            Column("N %", right=True, rank=2), Column("C %", right=True, rank=2), Column("moist", right=True),
            Column(dense, right=True, rank=1),
        ),
        tuple(
            (
                row.key + ("*" if row.own else ""), row.role, row.pace, "-" if isinf(row.cn) else f"{row.cn:.0f}",
                f"{row.nitrogen * 100:.1f}", f"{row.carbon * 100:.0f}", f"{row.moisture * 100:.0f}%",
                "-" if row.bulk_density_kg_m3 is None else _density(row.bulk_density_kg_m3, units),
            )
            for row in rows
        ),
    )  # fmt: skip
    if any(row.own for row in rows):
        yield Sentence("* your own values")
    for row in rows if opened and len(rows) <= OPENED else ():
        yield GAP
        yield from material(row, units)


def _density(kg_m3: float, units: str) -> str:
    return f"{kg_m3 * LB_FT3:.1f}" if units == "us" else f"{kg_m3:.0f}"


def material(row: MaterialRow, units: str) -> Iterator[Block]:
    """What it is, its values each with its source, what to mind; ``units`` is metric or us."""
    sources, density = dict(row.sources), row.bulk_density_kg_m3
    heavy = "not known: weigh it"
    if density is not None and units == "us":
        heavy = f"{density * LB_FT3:.0f} lb/ft3 ({density * CUP_L / OZ_G:.1f} oz a cup)"
    elif density is not None:
        heavy = f"{density:.0f} kg/m3 ({density * CUP_L:.0f} g a cup)"
    yield Heading(row.name)
    yield Sentence(f"{row.role}, {row.pace}" + (", own values" if row.own else ""), "dim")
    if row.kept_out_because:
        yield Sentence(row.kept_out_because, "strong", lead="■ keep out: ", lead_role="act")
    yield GAP
    for name, words, field in (
        ("C:N", "no nitrogen" if isinf(row.cn) else f"{row.cn:.0f}", ""),
        ("nitrogen", f"{row.nitrogen * 100:.2g}% of dry matter", "nitrogen"),
        ("carbon", f"{row.carbon * 100:.3g}% of dry matter", "carbon"),
        ("ash", f"{row.ash * 100:.2g}% of dry matter", "ash"),
        ("moisture", percent(row.moisture), "moisture"),
        ("weight", heavy, "bulk_density_kg_m3"),
        ("holds", f"{row.water_holding:.1f} kg water/kg" if row.water_holding else "", "water_holding"),
    ):
        if words:
            yield Sentence(words, "strong", lead=f"{name:<9}")
            if source := sources.pop(field, ""):
                yield Sentence(source, "dim", indent=9)
    for name, source in sources.items():
        yield Sentence(source, "dim", lead=f"{name}: ")
    for caution in row.cautions:
        yield Sentence(caution, level=Level.WATCH)
    if row.aliases:
        yield GAP
        yield Sentence(f"also: {', '.join(row.aliases)}", "dim")
