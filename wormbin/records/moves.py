"""The two halves of a move of worms: one line in each bin's book, with one id between them."""

from __future__ import annotations

from dataclasses import replace

from wormbin.records.entries import Entry, Move

MARK = "~"


def is_half(entry_id: str) -> bool:
    """Whether a line is the receiving half of a move, or a harvest's in the castings book."""
    return entry_id.endswith(MARK)


def partner_id(entry_id: str) -> str:
    """The id of the other half of a move: with ``~`` for the receiving half, without it for the giving one."""
    return entry_id[: -len(MARK)] if is_half(entry_id) else entry_id + MARK


def both_halves(giving: Entry) -> tuple[Entry, Entry]:
    """The giving half as it is, and the receiving half that belongs to it.

    ``giving`` is a move with ``into`` False whose id has no ``~``. The receiving half has no compartment: the worms
    go where its bin's keeper says, in an entry of that bin.
    """
    what = giving.what
    if not isinstance(what, Move) or what.into or is_half(giving.id):
        raise ValueError("only the giving half of a move has a receiving half")
    receiving = replace(
        giving,
        id=partner_id(giving.id),
        bin=what.other,
        what=replace(what, other=giving.bin, into=True),
        compartment=0,
        replaces=partner_id(giving.replaces) if giving.replaces else "",
        order=0,
    )
    return giving, receiving
