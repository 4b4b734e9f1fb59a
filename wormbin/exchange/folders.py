"""A folder of log files, brought in all or nothing and written out; or those of one bin in one zip, none of its names
trusted."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from io import BytesIO, StringIO
from itertools import chain
from pathlib import Path
from tempfile import TemporaryDirectory
from zipfile import ZIP_DEFLATED, BadZipFile, ZipFile

from wormbin.exchange import columns
from wormbin.exchange.bin_rows import material_row, read_bins, read_materials, read_settings, row_of, settings_rows
from wormbin.exchange.line_reading import Known, LineReading, LinesRead, complete_log, complete_lots
from wormbin.exchange.line_rows import rows_of
from wormbin.exchange.row_reading import Amounts, RowReader
from wormbin.exchange.tables import Row, header_of, read_rows, table_of
from wormbin.materials.table import MaterialTable
from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import Bin
from wormbin.records.entries import Entry, Harvest
from wormbin.records.farms import Farm, OwnMaterial, Settings
from wormbin.records.lots import Line, LotLine, is_half
from wormbin.store import hand_out

SHOWN_PROBLEMS = 10_000
BINS, LOG, LOTS = "bins.csv", "log.csv", "castings.csv"
MATERIALS, SETTINGS = "materials.csv", "settings.csv"


@dataclass(frozen=True, slots=True)
class Doors:
    """Where bins and entries are validated: each gives the record as it is to be kept, or raises RefusedError."""

    bin: Callable[[Bin], Bin]
    entry: Callable[[Entry, Bin], Entry]
    lot_line: Callable[[LotLine], LotLine] = lambda line: line


@dataclass(frozen=True, slots=True)
class Incoming:
    """What a folder holds that a store does not: new bins, entries, strikes; and its own materials and settings."""

    bins: tuple[Bin, ...]
    entries: tuple[Entry, ...]
    strikes: tuple[Entry, ...]
    materials: tuple[OwnMaterial, ...]
    settings: Settings
    keepers: tuple[str, ...]
    rows: int
    rows_known: int
    notes: tuple[str, ...]
    lots: tuple[LotLine, ...] = ()
    lot_strikes: tuple[LotLine, ...] = ()
    made: frozenset[str] = frozenset()
    """The ids of entries that had none in the file."""

    @property
    def lines(self) -> tuple[Line, ...]:
        """New lines of all books."""
        return (*self.entries, *self.lots)

    @property
    def joins(self) -> tuple[Line, ...]:
        """Lines of all books to which something has happened."""
        return (*self.strikes, *self.lot_strikes)


def read_folder(
    folder: Path,
    farm: Farm,
    held: Callable[[], Iterable[Entry]],
    table: MaterialTable,
    doors: Doors,
    held_lots: Callable[[], Iterable[LotLine]] = tuple,
) -> Incoming:
    """Read ``bins.csv``, ``log.csv``, ``castings.csv``, ``materials.csv`` and ``settings.csv``, whichever are there.

    ``held`` gives every entry that the store has (of any bin), ``held_lots`` its castings book. Raises RefusedError
    with every fault of every file; nothing is written here.
    """
    if not any((folder / name).is_file() for name in (BINS, LOG, LOTS)):
        raise RefusedError(
            Problem("folder", str(folder), "a folder with bins.csv or log.csv in it", "wormbin import ./my-log")
        )
    problems: list[Problem] = []
    notes: list[str] = []
    materials = _materials(folder / MATERIALS, problems)
    settings, keepers = _settings(folder / SETTINGS, farm.settings, problems)
    own = {each.key: each for each in (*farm.materials, *materials)}
    laid = _laid(table, own, problems)
    bins = _bins(folder / BINS, laid, doors, problems)
    new = []
    for one in bins:
        there = farm.bin(one.key)
        if there is None:
            new.append(one)
        elif there != one:
            notes.append(f"the bin {one.key} is here already and was left as it is")
    log: LinesRead[Entry] = LinesRead()
    lots: LinesRead[LotLine] = LinesRead()
    by_key = {one.key: one for one in (*bins, *farm.bins)}
    if (folder / LOG).is_file():
        log = _log(folder / LOG, by_key, laid, held, doors, problems)
    if (folder / LOTS).is_file() or any(isinstance(each.what, Harvest) and each.what.lot for each in log.lines):
        lots = _lots(folder / LOTS, log, laid, held, held_lots, doors, problems)
    if problems:
        raise RefusedError(_bounded(problems))
    there_already = {each.key: each for each in farm.materials}
    return Incoming(
        bins=tuple(new),
        entries=tuple(log.lines),
        strikes=tuple(log.strikes),
        materials=tuple(each for each in materials if there_already.get(each.key) != each),
        settings=settings,
        keepers=tuple(each for each in keepers if each not in farm.keepers),
        rows=log.rows + lots.rows,
        rows_known=log.rows_known + lots.rows_known,
        notes=tuple(notes),
        lots=tuple(lots.lines),
        lot_strikes=tuple(lots.strikes),
        made=frozenset(log.made),
    )


def _laid(table: MaterialTable, own: dict[str, OwnMaterial], problems: list[Problem]) -> MaterialTable:
    try:
        return table.with_own(own.values())
    except RefusedError as error:
        problems.extend(replace(each, where="materials.csv") for each in error.problems)
        return table


def _named(one: Bin, table: MaterialTable) -> Bin:
    """The bin with what it keeps to by the table's keys; words that name nothing there stay as they are."""
    beddings, feeds = (tuple(table.named(each) or each for each in kept) for kept in (one.beddings, one.feeds))
    return replace(one, beddings=beddings, feeds=feeds)


def _bounded(problems: list[Problem]) -> list[Problem]:
    more = len(problems) - SHOWN_PROBLEMS
    if more <= 0:
        return problems
    return [*problems[:SHOWN_PROBLEMS], Problem("log", f"{more} more bad rows", "as above")]


def _rows(path: Path, names: tuple[str, ...], needed: tuple[str, ...], problems: list[Problem]) -> Iterable[Row]:
    try:
        yield from read_rows(path, names, needed)
    except RefusedError as error:
        problems.extend(error.problems)


def _materials(path: Path, problems: list[Problem]) -> list[OwnMaterial]:
    if not path.is_file():
        return []
    found, faults = read_materials(_rows(path, columns.MATERIALS, columns.MATERIALS_NEEDED, problems))
    problems.extend(faults)
    return found


def _settings(path: Path, now: Settings, problems: list[Problem]) -> tuple[Settings, tuple[str, ...]]:
    if not path.is_file():
        return now, ()
    settings, keepers, faults = read_settings(_rows(path, columns.SETTINGS, columns.SETTINGS_NEEDED, problems), now)
    problems.extend(faults)
    return settings, keepers


def _bins(path: Path, table: MaterialTable, doors: Doors, problems: list[Problem]) -> list[Bin]:
    if not path.is_file():
        return []
    bins, faults = read_bins(
        _rows(path, columns.BINS, columns.BINS_NEEDED, problems), lambda one: doors.bin(_named(one, table))
    )
    problems.extend(faults)
    return bins


def _log(
    path: Path,
    bins: dict[str, Bin],
    table: MaterialTable,
    held: Callable[[], Iterable[Entry]],
    doors: Doors,
    problems: list[Problem],
) -> LinesRead[Entry]:
    reader = RowReader(frozenset(bins), Amounts(table), "said" in header_of(path))
    reading = LineReading(
        reader.entry, Known(held()), lambda entry: doors.entry(entry, bins[entry.bin]), reader.problems
    )
    log = reading.lines(_rows(path, columns.LOG, columns.LOG_NEEDED, problems))
    complete_log(log, reading.known, reader.problems)
    problems.extend(reader.problems)
    return log


def _lots(
    path: Path,
    log: LinesRead[Entry],
    table: MaterialTable,
    held: Callable[[], Iterable[Entry]],
    held_lots: Callable[[], Iterable[LotLine]],
    doors: Doors,
    problems: list[Problem],
) -> LinesRead[LotLine]:
    reader = RowReader(frozenset(), Amounts(table), "said" in header_of(path))
    reading = LineReading(reader.lot_line, Known(held_lots()), doors.lot_line, reader.problems)
    found: LinesRead[LotLine] = LinesRead()
    if path.is_file():
        found = reading.lines(_rows(path, columns.CASTINGS, columns.CASTINGS_NEEDED, problems))
    harvests = {entry.id: entry for entry in held()} if any(is_half(line.id) for line in found.lines) else {}
    complete_lots(found, log.lines, harvests, reading.known, reader.problems)
    problems.extend(reader.problems)
    return found


def _nothing_in_the_way(folder: Path) -> None:
    for name, wanted in (
        (BINS, columns.BINS),
        (LOG, columns.LOG),
        (LOTS, columns.CASTINGS),
        (MATERIALS, columns.MATERIALS),
        (SETTINGS, columns.SETTINGS),
    ):
        path = folder / name
        if path.is_file() and not path.is_symlink() and header_of(path) != tuple(wanted):
            whole = (
                f"{path} is there already, and not as an export writes it: nothing was written. Choose another folder,"
                " or write over it with --yes."
            )
            raise RefusedError(Problem("folder", str(folder), "a folder of an export, or a new one", whole=whole))


def write_folder(
    folder: Path,
    farm: Farm,
    entries: Callable[[str], Iterable[Entry]],
    year: int | None = None,
    lots: Iterable[LotLine] = (),
    *,
    over: bool = False,
) -> int:
    """Write the farm as log files into ``folder`` (made if need be); returns the number of rows of the log and of lots.

    ``entries`` gives every line of one bin's log, ``lots`` the castings book, struck ones too; with ``year`` only those
    of that year are written. There is no ``castings.csv`` while there are no lots. All files are written, or none.
    Raises OSError, and RefusedError for a file in the way that is not of an export, unless it is written ``over``.
    """
    if not over:
        _nothing_in_the_way(folder)
    rows = (
        row
        for one in farm.bins
        for entry in entries(one.key)
        if year is None or entry.when.year == year
        for row in rows_of(entry)
    )
    log, count = table_of(columns.LOG, rows, columns.LOG_PLAIN)
    found = {BINS: table_of(columns.BINS, map(row_of, farm.bins), columns.BINS_PLAIN)[0], LOG: log}
    lines = [line for line in lots if year is None or line.when.year == year]
    if lines or (folder / LOTS).is_file():
        sold = chain.from_iterable(map(rows_of, lines))
        found[LOTS], more = table_of(columns.CASTINGS, sold, columns.CASTINGS_PLAIN)
        count += more
    found[MATERIALS] = table_of(columns.MATERIALS, map(material_row, farm.materials))[0]
    found[SETTINGS] = table_of(columns.SETTINGS, settings_rows(farm.settings, farm.keepers))[0]
    folder.mkdir(parents=True, exist_ok=True)
    hand_out({folder / name: text for name, text in found.items()})
    return count


ABOUT = "about.html"
TAKEN = (BINS, LOG, LOTS, MATERIALS)
"""What is taken in; how the other farm is run, and the page about the bin, are for reading."""
MOST_BYTES = 200_000_000


def packed(write: Callable[[Path], object], about: str) -> bytes:
    """What ``write`` puts into a folder, and the page, as one file."""
    data = BytesIO()
    with TemporaryDirectory() as folder:
        write(Path(folder))
        (Path(folder) / ABOUT).write_text(about, "utf-8")
        with ZipFile(data, "w", ZIP_DEFLATED) as file:
            for each in sorted(Path(folder).iterdir()):
                file.write(each, each.name)
    return data.getvalue()


def unpacked(path: Path, folder: Path) -> str:
    """Put what is taken in into ``folder``; the key of its bin. Raises ValueError for a file that is none of ours."""
    try:
        with ZipFile(path) as file:
            there = [each for each in file.infolist() if each.filename in TAKEN]
            if sum(each.file_size for each in there) > MOST_BYTES:
                raise ValueError(path)
            for each in there:
                (folder / each.filename).write_bytes(file.read(each))
        with (folder / BINS).open(encoding="utf-8-sig", newline="") as rows:
            keys = [row["bin"] for row in csv.DictReader(rows)]
    except (OSError, BadZipFile, KeyError, RuntimeError) as error:
        raise ValueError(path) from error
    if len(keys) != 1 or not (folder / LOG).is_file():
        raise ValueError(path)
    return keys[0]


def renamed(folder: Path, key: str) -> None:
    """Write another key of the bin into every row."""
    for path in (folder / BINS, folder / LOG):
        with path.open(encoding="utf-8-sig", newline="") as file:
            reader = csv.DictReader(file)
            rows, columns = list(reader), list(reader.fieldnames or ())
        text = StringIO(newline="")
        writer = csv.DictWriter(text, columns)
        writer.writeheader()
        writer.writerows({**row, "bin": key} for row in rows)
        path.write_text(text.getvalue(), "utf-8", newline="")
