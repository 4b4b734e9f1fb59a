"""Two bins joined: what is in one goes into the other, and the emptied one is closed; both keep their logs.

Worms go over as a move; castings, bedding and uneaten food as lines of the other bin, weighed or as worked out.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from wormbin.farm.errors import not_closed
from wormbin.farm.heading import NOW, Heading, read_heading
from wormbin.farm.logbook import ledger_of
from wormbin.farm.views.bin import Recorded
from wormbin.materials.material import CASTINGS, Role
from wormbin.measures import Dimension, mass, parse_amount, tidy
from wormbin.problems import Problem, RefusedError
from wormbin.process.amounts import ABOUT
from wormbin.records.entries import Bedding, Entry, Feeding, Move, Note, Portion, What
from wormbin.records.farms import Farm
from wormbin.records.lots import both_halves

if TYPE_CHECKING:
    from wormbin.farm.bins.scene import Scene
    from wormbin.farm.session import Session

LEAST_KG = 0.001


def join(session: Session, bin: str, into: str, weighed: str = "", heading: Heading = NOW) -> Recorded:
    """Put all of ``bin`` into another bin and close it; ``weighed`` is what went over in words, "" as worked out.

    Undo takes all of it back at once. RefusedError for a bin joined to itself, or one that is closed.
    """
    one, other, now, units = session.bin(bin), session.bin(into), session.clock(), session.units
    if one.key == other.key:
        raise RefusedError(Problem("into", other.key, "another bin", whole=f"{one.name} cannot be joined to itself."))
    head, there = (read_heading(heading, each, now) for each in (one, other))
    for each in (one, other):
        not_closed(each, head.when.date())
    scene = session.scene(one.key, None if head.when.date() == now.date() else head.when.date())
    today = scene.past.today
    total, worms = today.total_kg.p50, today.worms_kg.p50
    kg = parse_amount(weighed, "weighed", expect=Dimension.MASS).si if tidy(weighed) else total
    share = kg / total if total else 0.0
    sure = "weighed, worms among it" if tidy(weighed) else "as worked out, worms among it"
    words = f"{mass(kg, units)} ({sure})"
    ledger = ledger_of(session)
    gone = [Move(worms * share, other.key, said=f"{ABOUT}{mass(worms * share, units)}")] if worms > LEAST_KG else []
    closing = replace(head, note=_noted(f"closed: joined to {other.key}, {words}", heading))
    lines = list(ledger.entries(one, closing, [Note()]))
    for move in ledger.entries(one, replace(head, note=""), gone):
        lines.extend(both_halves(move))
    coming = replace(there, note=_noted(f"from {one.key}, {words}", heading))
    lines.extend(ledger.entries(other, coming, list(_contents(scene, share, units)) or [Note()]))
    saved = _saved(session, lines, closing.when, one.key, f"{one.name} is closed; {words} went into {other.name}")
    return replace(saved, into=other.key)


def _noted(words: str, heading: Heading) -> str:
    return "; ".join(filter(None, (words, tidy(heading.note))))


def _saved(session: Session, lines: list[Entry], when: datetime, key: str, sentence: str) -> Recorded:
    def closed(held: Farm) -> Farm:
        return replace(
            held, bins=tuple(replace(each, ended=when.date()) if each.key == key else each for each in held.bins)
        )

    session.store.record(lines, did="joined", farm=closed)
    return Recorded(tuple(line.id for line in lines), sentence)


def _contents(scene: Scene, share: float, units: str) -> Iterator[What]:
    """What lies in the bin but its worms, as bedding and feed of the same dry matter and water in all, times ``share``.

    Castings are castings; uneaten food is the last that was fed, and all else the bedding it had most of.
    """
    today, table = scene.past.today, scene.table
    left, fed = today.feed_waiting_kg.p50 + today.slow_waiting_kg.p50, list[Portion]()
    for entry in reversed(scene.food_log):
        for portion in entry.what.portions if isinstance(entry.what, Feeding) else ():
            if left > LEAST_KG:
                fed.append(replace(portion, kg=min(left, portion.kg)))
                left -= portion.kg
    wet = [table.get(each.material).moisture if each.moisture is None else each.moisture for each in fed]
    food_dry = sum(each.kg * (1.0 - water) for each, water in zip(fed, wet, strict=True))
    food_water = sum(each.kg * water for each, water in zip(fed, wet, strict=True))
    casts, dry = today.castings_dry_kg.p50, today.dry_kg.p50
    bed = max(0.0, dry - casts - food_dry)
    water = max(0.0, today.total_kg.p50 - dry - today.worms_kg.p50 - food_water)
    moisture = water / (water + casts + bed) if water + casts + bed else 0.0
    put: dict[str, float] = defaultdict(float)
    for entry in scene.entries:
        for portion in entry.what.portions if isinstance(entry.what, Bedding) else ():
            if table.get(portion.material).role is Role.BEDDING and portion.material != CASTINGS:
                put[portion.material] += portion.kg
    most = max(put, key=put.__getitem__, default=CASTINGS)
    beds = [
        Portion(material, dried / (1.0 - moisture), moisture=moisture)
        for material, dried in ((CASTINGS, casts), (most, bed))
        if dried > LEAST_KG
    ]
    for kind, portions in ((Bedding, beds), (Feeding, fed)):
        told = tuple(
            replace(each, kg=each.kg * share, said=f"{ABOUT}{mass(each.kg * share, units)}") for each in portions
        )
        if told:
            yield kind(told)
