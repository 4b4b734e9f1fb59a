"""Log files: a folder of them brought into the farm as a whole, and the farm written out as one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import chain, count
from pathlib import Path
from typing import TYPE_CHECKING

from wormbin.exchange.folders import Doors, Incoming, read_folder
from wormbin.farm.views.bin import Recorded
from wormbin.materials.table import default_table
from wormbin.measures import counted
from wormbin.records.bins import Bin
from wormbin.records.door import admit_bin, admit_entry, admit_lot_line, admit_settings
from wormbin.records.entries import Comparison, Entry, Move
from wormbin.records.farms import Farm
from wormbin.records.lots import LotLine

if TYPE_CHECKING:
    from wormbin.farm.session import Session


def bring_in(
    session: Session, folder: Path, *, only_try: bool = False, heard: Callable[[int], None] | None = None
) -> Recorded:
    """Bring log files in, all or nothing; ``only_try`` says what would happen.

    ``heard`` is told how many lines were read so far, last right before they are saved; what it raises stops the
    import, and nothing is saved.
    """
    return _brought(session, Path(folder), only_try, heard or (lambda _: None))


def write_out(session: Session, folder: Path, year: int | None = None, *, over: bool = False) -> Recorded:
    """Write the log files; with ``year`` only that year's lines; ``over`` any file that is there already."""
    from wormbin.exchange.folders import write_folder
    from wormbin.exchange.tables import ROW_LIMIT

    farm = session.farm()
    logs = {one.key: log for one, log in session.logs}
    rows = write_folder(Path(folder), farm, lambda key: logs.get(key, ()), year, session.store.lot_lines(), over=over)
    bad = tuple(f"{key} cannot be read: these files are without its log" for key in session.logs.unread)
    much = (f"one import takes up to {ROW_LIMIT:,} rows; write year by year with --year",) if rows > ROW_LIMIT else ()
    words = f"{counted(len(farm.bins), 'bin')} and {counted(rows, 'row')} written to {folder}"
    return Recorded((), words, (*much, *bad))


def _brought(session: Session, folder: Path, only_try: bool, heard: Callable[[int], None]) -> Recorded:
    """Read the folder's files and save what the store does not have. Raises RefusedError with every bad row.

    ``heard(lines)`` is called for every line that was read, and once more before anything is saved; what it raises
    goes through, and nothing is saved.
    """
    read = count(1)
    store, farm, now = session.store, session.farm(), session.clock()
    known = {one.key: (one,) for one in farm.bins}

    def bin_door(one: Bin) -> Bin:
        admitted = admit_bin(one, (), now)
        known.setdefault(admitted.key, (admitted,))
        return admitted

    def entry_door(entry: Entry, one: Bin) -> Entry:
        heard(next(read))
        bins: tuple[Bin, ...] = known[one.key]
        if isinstance(entry.what, Move | Comparison):
            bins = tuple(chain.from_iterable(known.values()))
        return admit_entry(entry, bins, now)

    def lot_door(line: LotLine) -> LotLine:
        return admit_lot_line(line, tuple(chain.from_iterable(known.values())), now)

    def held() -> chain[Entry]:
        return chain.from_iterable(log for _, log in session.logs)

    found = read_folder(folder, farm, held, default_table(), Doors(bin_door, entry_door, lot_door), store.lot_lines)
    said = _sentence(found)
    if only_try:
        return Recorded((), f"would bring in {said}; nothing was saved", found.notes)

    def grown(before: Farm) -> Farm:
        there = {one.key for one in before.bins}
        keys = {each.key for each in found.materials}
        return replace(
            before,
            bins=(*before.bins, *(one for one in found.bins if one.key not in there)),
            keepers=(*before.keepers, *(name for name in found.keepers if name not in before.keepers)),
            materials=(*(each for each in before.materials if each.key not in keys), *found.materials),
            settings=admit_settings(found.settings) if found.settings != farm.settings else before.settings,
        )

    heard(next(read) - 1)
    written = store.record(found.lines, did="imported", farm=grown, joins=found.joins, ask=False)
    from wormbin.farm.lots import Lots

    short = tuple(lot.short for lot in Lots(session).all() if lot.short) if found.lots else ()
    return Recorded(tuple(line.id for line in written), f"brought in {said}", (*found.notes, *short))


def _sentence(found: Incoming) -> str:
    parts = [counted(len(found.entries), "entry", "entries"), counted(len(found.bins), "new bin")]
    if found.lots:
        parts.append(counted(len(found.lots), "line of lots", "lines of lots"))
    if found.joins:
        parts.append(f"{counted(len(found.joins), 'line')} struck or lifted")
    if found.materials:
        parts.append(counted(len(found.materials), "own material"))
    text = ", ".join(parts) + f" from {counted(found.rows, 'row')}"
    return text + (f" ({found.rows_known} were here already)" if found.rows_known else "")
