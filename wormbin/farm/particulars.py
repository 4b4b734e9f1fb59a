"""A bin's particulars: in words, put right, and its end; the log keeps what was so until when.

The farm's file holds how a bin is; a note in its log says what was changed, and both are saved together or not at all.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import datetime

from wormbin.farm.bins.scene import Scene
from wormbin.farm.errors import not_closed
from wormbin.farm.heading import NOW, Heading, read_heading
from wormbin.farm.logbook import ledger_of
from wormbin.farm.session import Session
from wormbin.farm.views.bin import Recorded
from wormbin.farm.views.proposals import BinDraft
from wormbin.farm.words.names import weekday_words
from wormbin.materials.material import CASTINGS, Role
from wormbin.measures import Dimension, area, exact, length, mass, parse_amount, percent, shown, temperature, tidy
from wormbin.problems import Problem, RefusedError
from wormbin.process.amounts import ABOUT
from wormbin.records.bins import Bin, Cover, Method
from wormbin.records.entries import Bedding, Entry, Feeding, Move, Note, Portion, What
from wormbin.records.farms import Farm, Settings
from wormbin.records.lots import both_halves

_AT = {
    "name": "name", "length": "length_m", "width": "width_m", "depth": "depth_m", "area": "area_m2",
    "litres": "area_m2",
    "compartments": "compartments", "drainage": "drainage", "cover": "cover", "species": "species",
    "site_temp": "site_temp_c", "method": "method", "tare": "tare_kg", "started": "started", "keeper": "keeper",
    "beddings": "beddings", "feeds": "feeds", "feed_days": "feed_days",
}  # fmt: skip
"""The attribute of a bin by what it is called when it is typed."""
CHANGEABLE = tuple(_AT)
HOW = ("harvested", "given away", "died")
"""How a bin ends."""
_COVERS = {
    Cover.OPEN: "open at the top", Cover.LOOSE: "covered loosely", Cover.CLOSED: "closed with a lid",
}  # fmt: skip
_METHODS = {
    Method.SORT: "sorted by hand", Method.SIDEWAYS: "worms led sideways", Method.UPWARD: "worms led up into a new tray",
    Method.BAIT: "worms baited out", Method.SCREEN: "screened", Method.FLOW: "cut off at the base",
}  # fmt: skip


def in_words(one: Bin, settings: Settings) -> tuple[tuple[str, str], ...]:
    """The bin as it was described, each particular with its value in words; those that nobody said are left out."""
    units = settings.units
    sides = [length(each, units) for each in (one.length_m, one.width_m, one.depth_m) if each is not None]
    trays = f"{one.compartments} {'side by side' if one.sideways else 'stacked'}" if one.compartments > 1 else "one"
    low, high = percent(settings.moisture_low), percent(settings.moisture_high)
    rows = (
        ("called", one.name),
        ("begun", one.started.isoformat()),
        ("ended", one.ended.isoformat() if one.ended else ""),
        ("box, inside", " x ".join(sides) + (" deep" if len(sides) < 3 else "")),
        ("surface", area(one.footprint_m2, units)),
        ("compartments", trays),
        ("drainage", "yes" if one.drainage else "none"),
        ("top", _COVERS[one.cover]),
        ("worms", one.species.value),
        ("usual room temperature", temperature(one.site_temp_c, units)),
        ("box alone weighs", mass(one.tare_kg, units) if one.tare_kg else ""),
        ("castings come off", f"{_METHODS[one.method]}, from {percent(one.harvest_share)} castings on"),
        ("moisture aimed for", f"{low} to {high}"),
        ("feeding days", weekday_words(one.feed_days or settings.feed_days).title()),
        ("keeps to these beddings", ", ".join(one.beddings)),
        ("keeps to these feeds", ", ".join(one.feeds)),
        ("in whose care", one.keeper),
    )
    return tuple((name, words) for name, words in rows if words)


def change(session: Session, bin: str, said: Mapping[str, str], heading: Heading = NOW) -> Recorded:
    """Put particulars right, each in words by its name in ``BinDraft``; "none" clears a list."""
    from wormbin.farm.starts import read_bin

    one, said = session.bin(bin), {name: words for name, words in said.items() if tidy(words)}
    if not said:
        allowed = "a particular and what is right: " + ", ".join(name.replace("_", "-") for name in CHANGEABLE)
        raise RefusedError(Problem("change", "", allowed, "--tare 2.4kg"))
    farm = session.farm()
    others = replace(farm, bins=tuple(each for each in farm.bins if each.key != one.key))
    read = read_bin(replace(_draft(one), **said), others, session.clock(), session.table)
    right = replace(one, **{_AT[name]: getattr(read, _AT[name]) for name in said})
    was, now = (dict(in_words(each, session.settings())) for each in (one, right))
    told = [
        f"{name}: {now.get(name, 'none')}, was {was.get(name, 'not said')}"
        for name in {**was, **now}
        if was.get(name) != now.get(name)
    ]
    if not told:
        return Recorded((), f"{one.name}: nothing to change, it says so already")
    return _written(session, one, right, "; ".join(told), heading)


def _draft(one: Bin) -> BinDraft:
    """The bin as it would be typed, without what may stay empty."""
    sizes = {"length": one.length_m, "width": one.width_m, "depth": one.depth_m}
    typed = {name: exact(value, Dimension.LENGTH) for name, value in sizes.items() if value is not None}
    typed |= {"area": exact(one.area_m2, Dimension.AREA)} if one.area_m2 is not None else {}
    return BinDraft(
        key=one.key, name=one.name, compartments=str(one.compartments), started=one.started.isoformat(),
        method=one.method.value, **typed,
    )  # fmt: skip


def close(session: Session, bin: str, how: str, heading: Heading = NOW) -> Recorded:
    """End a bin on the day of the heading: it leaves the round, and its log stays. ``how`` is one of ``HOW``."""
    from wormbin.farm.heading import read_heading

    one, fits = session.bin(bin), [each for each in HOW if tidy(how) and each.startswith(tidy(how).casefold())]
    if len(fits) != 1:
        raise RefusedError(Problem("how", shown(how), "one of " + ", ".join(HOW), "harvested"))
    if one.ended is not None:
        there = f"a bin that is not closed; {one.name} was, on {one.ended.isoformat()}"
        raise RefusedError(Problem("bin", one.key, there, whole=f"{one.name} is closed since {one.ended.isoformat()}."))
    on = read_heading(heading, one, session.clock()).when.date()
    words = f"closed: {fits[0]}" + (f" ({tidy(heading.note)})" if tidy(heading.note) else "")
    return _written(session, one, replace(one, ended=on), words, heading)


def reopen(session: Session, bin: str, heading: Heading = NOW) -> Recorded:
    """Take a closed bin into the round again."""
    one = session.bin(bin)
    if one.ended is None:
        raise RefusedError(Problem("bin", one.key, "a closed bin", whole=f"{one.name} is not closed."))
    return _written(session, one, replace(one, ended=None), "opened again", heading)


def _written(session: Session, one: Bin, right: Bin, words: str, heading: Heading) -> Recorded:
    """Save the bin as it is now and the line that says so, together."""
    from wormbin.farm.heading import read_heading
    from wormbin.farm.logbook import ledger_of
    from wormbin.records.door import admit_bin

    farm, now = session.farm(), session.clock()
    others = tuple(each for each in farm.bins if each.key != one.key)
    admitted = admit_bin(right, others, now)
    ledger = replace(ledger_of(session), farm=replace(farm, bins=(*others, admitted)))
    head = read_heading(replace(heading, note=words), admitted, now)

    def changed(held: Farm) -> Farm:
        return replace(held, bins=tuple(admitted if each.key == one.key else each for each in held.bins))

    entries = ledger.entries(admitted, head, [Note()])
    session.store.record(entries, did="changed", farm=changed)
    return Recorded(tuple(entry.id for entry in entries), f"{admitted.name}: {words}")


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
