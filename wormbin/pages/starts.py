"""How to begin a bin: its first bedding, water and worms, and what to have ready."""

from __future__ import annotations

from collections.abc import Iterator

from wormbin.farm.views.proposals import StartProposal
from wormbin.pages.page import GAP, Block, Heading, Sentence


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
