"""A bin handed over to another farm: one file with its log, lots, settings and a page about it; and taken in."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeVar

from wormbin.farm.reports import names_words
from wormbin.farm.session import Session
from wormbin.farm.views.bin import Recorded
from wormbin.measures import counted, shown
from wormbin.problems import Problem, RefusedError
from wormbin.records.entries import Comparison, Entry, Harvest, Move, Note, Stocking
from wormbin.records.farms import Turns
from wormbin.records.ids import KEY_RULE, is_key
from wormbin.records.kinds.castings import Intake
from wormbin.records.lots import LotLine, lot_key

AnyLine = TypeVar("AnyLine", Entry, LotLine)
EXAMPLE = "leaves.zip"


def hand_over(
    session: Session, bin: str, name: str, about: str, *, told: Callable[[str], str] = str, over: bool = False
) -> Recorded:
    """Write one bin into a file that ``take_in`` takes in elsewhere; ``about`` is the page that goes with it.

    ``told`` is how who wrote is told; the list of who writes, and their turns, stay here.
    RefusedError for a file that is there already, unless it is to be written ``over``.
    """
    from wormbin.exchange.folders import packed, write_folder
    from wormbin.store import hand_out, named

    path = named(name, "file", EXAMPLE)
    if path.exists() and not over:
        whole = f"{name} is there already. Choose another name, or add --yes to write over it."
        raise RefusedError(Problem("file", name, "a name that is not taken", EXAMPLE, whole=whole))
    one, farm = session.bin(bin), session.farm()
    held = replace(one, feed_days=one.feed_days or farm.settings.feed_days, keeper=told(one.keeper))
    alone = replace(farm, bins=(held,), keepers=(), settings=replace(farm.settings, turns=Turns()))
    lots = tuple(_signed(line, told) for line in _own_lots(session, one.key))
    names = {lot_key(line.lot) for line in lots}
    lines = [_signed(_alone(entry, names), told) for entry in session.store.entries(one.key)]
    data = packed(lambda folder: write_folder(folder, alone, lambda _: lines, None, lots), about)
    hand_out({path: data})
    by = {*(line.by for line in lines), *(line.by for line in lots)} - {""}
    parts = ["lots" if lots else "", "own materials", "settings", "a page about it"]
    what = f"{one.name}: {counted(len(lines), 'line')} of its log, {', '.join(filter(None, parts))}"
    return Recorded((), f"{what}: written to {path.name}. {names_words(by)}")


def _signed(line: AnyLine, told: Callable[[str], str]) -> AnyLine:
    struck = replace(line.struck, by=told(line.struck.by)) if line.struck is not None else None
    return replace(line, by=told(line.by), struck=struck)


def _own_lots(session: Session, key: str) -> Iterator[LotLine]:
    """The lines of the lots that came from this bin alone."""
    lines = session.store.lot_lines()
    others = {lot_key(each.lot) for each in lines if isinstance(each.what, Intake) and each.what.source != key}
    own = {lot_key(each.lot) for each in lines if isinstance(each.what, Intake) and each.what.source == key}
    return (each for each in lines if lot_key(each.lot) in own - others)


def _alone(entry: Entry, lots: set[str]) -> Entry:
    """A line as it stands without the farm's other bins and lots: worms moved become worms put in or taken out."""
    what = entry.what
    match what:
        case Move():
            way = "from" if what.into else "to"
            note = f"{entry.note}; moved {way} {what.other}".lstrip("; ")
            kg = what.worms_kg if what.into else -what.worms_kg
            return replace(entry, id=entry.id.removesuffix("~"), what=Stocking(kg, None, what.said), note=note)
        case Comparison():
            words = f"compared with {', '.join(what.others)} until {what.until.isoformat()}: {what.question}"
            return replace(entry, what=Note(), note=f"{entry.note}; {words}".lstrip("; "))
        case Harvest(lot=lot) if lot and lot_key(lot) not in lots:
            return replace(entry, what=replace(what, lot=""), note=f"{entry.note}; into lot {lot}".lstrip("; "))
    return entry


def take_in(session: Session, path: Path, key: str = "") -> Recorded:
    """Take in a bin that was handed over, all or nothing; ``key`` is what it is called here, if not as there."""
    from wormbin.exchange.folders import renamed, unpacked
    from wormbin.farm.log_files import bring_in

    with TemporaryDirectory() as folder:
        try:
            there = unpacked(path, Path(folder))
        except ValueError:
            raise RefusedError(Problem("file", path.name, "a file that hand-over wrote", EXAMPLE)) from None
        named = key.strip() or there
        if not is_key(named):
            raise RefusedError(Problem("as", shown(key), KEY_RULE, "room-12"))
        if any(one.key == named for one in session.bins()):
            whole = f"There is a bin called {named} here already: say what this one is called (--as {named[:30]}-2)."
            raise RefusedError(Problem("as", named, "a name that no bin here has", whole=whole))
        if named != there:
            renamed(Path(folder), named)
        return bring_in(session, Path(folder))
