"""A bin begun: proposed, and written with its first bedding, water and worms."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from wormbin.farm.heading import Heading
from wormbin.farm.logbook import ledger_of
from wormbin.farm.views.bin import Recorded

if TYPE_CHECKING:
    from wormbin.farm.session import Session
    from wormbin.farm.views.proposals import BinDraft, StartProposal


def propose(session: Session, draft: BinDraft) -> StartProposal:
    """First bedding, water, worms and ramp for a bin that is not written yet."""
    from wormbin.farm.starts.first_bed import first_entries, proposal, read_bin

    one = read_bin(draft, session.farm(), session.clock())
    settings = session.settings_now()
    return proposal(one, first_entries(one, draft.worms, session.table, settings), session.table, settings)


def start(session: Session, draft: BinDraft) -> Recorded:
    """Write a new bin with its first bedding, water and worms as proposed: all of it or nothing."""
    from wormbin.farm.starts.first_bed import first_entries, read_bin
    from wormbin.farm.words.headings import read_heading

    farm, now = session.farm(), session.clock()
    one = read_bin(draft, farm, now)
    first = first_entries(one, draft.worms, session.table, session.settings_now())
    grown = replace(farm, bins=(*farm.bins, one))
    ledger = replace(ledger_of(session), farm=grown)
    when = "" if one.started == now.date() else one.started.isoformat()
    entries = ledger.entries(one, read_heading(Heading(when=when, by=draft.keeper), one, now), first)
    session.store.record(entries, did="started", farm=lambda held: replace(held, bins=(*held.bins, one)))
    said = "; ".join(ledger.words(entry) for entry in entries)
    return Recorded(tuple(entry.id for entry in entries), f"{one.name} started: {said}")
