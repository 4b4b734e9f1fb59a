"""What goes in: how much may be fed, what a feeding would do, what a blend comes to, what a new bin begins with."""

from __future__ import annotations

from collections.abc import Iterator

from wormbin.advice.finding import Doing
from wormbin.farm.views.bin import BinView
from wormbin.farm.views.proposals import FeedingPreview, MixView, StartProposal
from wormbin.pages.findings import in_short
from wormbin.pages.page import GAP, Block, Heading, Sentence

UNGIVEN = (Doing.STOP, Doing.TAKE_OUT, Doing.CAUTION)


def feeding(preview: FeedingPreview) -> Iterator[Block]:
    """The verdict first, then what to add with it, then the figures after it."""
    yield Sentence(preview.verdict, "strong", level=preview.level, named=True)
    if preview.add_words and (preview.done or preview.up_to_kg > 0):
        yield Sentence(preview.add_words, "key")
    if preview.gives_way:
        yield Sentence(preview.gives_way, lead="gives way: ", lead_role="watch")
    yield GAP
    told = (preview.verdict, preview.add_words, preview.gives_way)
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
