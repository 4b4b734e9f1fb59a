"""Farms of many bins and ten years, written through the store's own bulk record, with the rows of today laid ready.

What the rows say does not matter for how long they take to be painted: one young bin is worked out, and its row stands
for every bin under that bin's own token.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

from tests.farm.a_farm import counted, kitchen
from wormbin.farm import rounds, starts
from wormbin.farm.session import Session
from wormbin.farm.views.proposals import BinDraft
from wormbin.records.entries import Check, Entry, Feeding, Portion, Squeeze

DAYS = 3652
FEEDING = Feeding((Portion("melon-rind", 0.3, "300 g"), Portion("coffee-grounds", 0.11, "1 cup")))
CHECK = Check(moisture=0.8, squeeze=Squeeze.DAMP, temp_c=21.5, left=0.2, smell="earthy")


def ten_years(folder: Path, scratch: Path, bins: int, lines_a_bin: int, now: datetime) -> None:
    """A farm of ``bins`` bins, "Rack 1" and so on, each with so many lines evenly over ten years."""
    farm = Session(folder, clock=lambda: now, random=counted())
    started = now - timedelta(days=DAYS)
    draft = BinDraft(
        key="rack-1", name="Rack 1", length="60 cm", width="40 cm", depth="40 cm", worms="500 g",
        started=started.date().isoformat(),
    )  # fmt: skip
    starts.start(farm, draft)
    (first,) = farm.bins()
    others = [replace(first, key=f"rack-{number}", name=f"Rack {number}") for number in range(2, bins + 1)]
    gap = (now - started) / (lines_a_bin + 1)
    lines = [
        Entry(f"b{one.key[5:]}x{number}", one.key, started + gap * number, CHECK if number % 4 == 0 else FEEDING)
        for one in (first, *others)
        for number in range(1, lines_a_bin + 1)
    ]
    farm.store.record(lines, farm=lambda held: replace(held, bins=(*held.bins, *others)))
    lay_ready(Session(folder, clock=lambda: now), scratch)


def lay_ready(farm: Session, scratch: Path) -> None:
    """Put a row for every bin into the cache, and the front page beside it."""
    # The young bin is fed this morning, also where it is not yet morning.
    young = kitchen(scratch, now=farm.clock().replace(hour=20))
    (pattern,) = rounds.rows(young)
    filling = rounds.filling(farm)
    for cold in filling.cold:
        row = replace(pattern, bin=cold.key, name=cold.name)
        farm.cache.rows.put(cold.key, farm.cache.token(cold, None), row)
    farm.cache.rows.flush()
    list(rounds.rows(farm))
