"""A bin's particulars: in words, put right, and its end; the log keeps what was so until when.

The farm's file holds how a bin is; a note in its log says what was changed, and both are saved together or not at all.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from wormbin.farm.heading import NOW, Heading
from wormbin.farm.views.bin import Recorded
from wormbin.farm.views.proposals import BinDraft
from wormbin.farm.words.names import weekday_words
from wormbin.measures import Dimension, area, exact, length, mass, percent, shown, temperature, tidy
from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import Bin, Cover, Method
from wormbin.records.entries import Note
from wormbin.records.farms import Farm, Settings

if TYPE_CHECKING:
    from wormbin.farm.session import Session

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
