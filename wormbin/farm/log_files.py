"""Log files: a folder of them brought into the farm as a whole, and the farm written out as one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from itertools import chain, count
from math import floor, log10
from pathlib import Path
from statistics import mean

from wormbin.drawing.axes import Measure, measure_of
from wormbin.drawing.series import Series
from wormbin.exchange.folders import Doors, Incoming, read_folder
from wormbin.farm.bins.ahead import charts
from wormbin.farm.bins.scene import Scene
from wormbin.farm.session import Session
from wormbin.farm.views.bin import Recorded
from wormbin.figures import Band
from wormbin.materials.table import default_table
from wormbin.measures import counted
from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import Bin
from wormbin.records.door import admit_bin, admit_entry, admit_lot_line, admit_settings
from wormbin.records.entries import Bedding, Comparison, Entry, Feeding, Move
from wormbin.records.farms import Farm
from wormbin.records.kinds.castings import Load
from wormbin.records.lots import LotLine


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
    found = _as_tested(session, found)
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


def _as_tested(session: Session, found: Incoming) -> Incoming:
    """What was fed of a load that was tested is as wet as that, in rows that have no id yet and say no moisture."""
    from wormbin.castings.loads import larder

    book = (*session.store.lot_lines(), *found.lots)
    wet = {line.lot: line.what.moisture for line in book if isinstance(line.what, Load)}
    if all(each is None for each in wet.values()):
        return found
    logs = {one.key: log for one, log in session.cache.counted}
    for entry in found.entries:
        logs[entry.bin] = (*logs.get(entry.bin, ()), entry)
    of = {(draw.entry, draw.material): wet[draw.load] for draw in larder(book, logs).draws if draw.load in wet}

    def told(entry: Entry) -> Entry:
        what = entry.what
        if entry.id not in found.made or not isinstance(what, Feeding | Bedding):
            return entry
        portions = (
            each if each.moisture is not None else replace(each, moisture=of.get((entry.id, each.material)))
            for each in what.portions
        )
        return replace(entry, what=type(what)(tuple(portions)))

    return replace(found, entries=tuple(map(told, found.entries)))


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


SHEETS = {
    "moisture": "moisture", "temp": "temperature", "feed_waiting": "feed-waiting", "left": "feed-left",
    "castings": "castings-share", "worms": "worms", "depth": "depth", "weight": "weight",
}  # fmt: skip
"""The file of each chart."""
READ_AS = {
    "moisture": "moisture", "temp": "temp_c", "left": "left", "worms": "worms_kg", "depth": "contents_m",
    "weight": "total_kg",
}  # fmt: skip
"""What the readings of each are called where they are judged."""
READ, MADE = "read", "worked out"
DIGITS = 4
IN_GRAMS = ("worms", "feed_waiting")
WORDS_FILE = "words.txt"
WORDS = """\
day: year-month-day.   bin: which bin.   who: who wrote it down.
value: what was read, or what the program worked out for the evening of the day; its unit is in the head.
read or worked out: "read" is a reading by hand or meter. "worked out" is an estimate: nobody saw it.
low, high: of an estimate. Eight times in ten the true value lies between them. The value is rounded to fit.
side by side: a column a bin for readings (the mean of the day) and one for estimates, to chart the bins together.
feed-left: how much of the last feeding was still there, by eye.   feed-waiting: all uneaten food in the bin.
castings-share: how much of the dry matter is castings.
"""


def write_sheets(session: Session, folder: Path, *, over: bool = False) -> Recorded:
    """Write the sheets of all bins that can be read; RefusedError for a file in the way, unless written ``over``."""
    from wormbin.exchange.tables import table_of
    from wormbin.store import hand_out

    rows: dict[str, list[dict[str, str]]] = {code: [] for code in SHEETS}
    heads: dict[str, Measure] = {}
    scenes = [session.scene(one.key).back_to(one.started) for one, _ in session.logs]
    for scene in scenes:
        for series in (*charts(scene), Series(code="left", unit="fraction")):  # what is left is only read
            if series.code in SHEETS:
                heads[series.code] = measure = measure_of(
                    series.unit, scene.settings.units, small=series.code in IN_GRAMS
                )
                rows[series.code] += _rows(series.code, series, measure, scene)
    paths = {code: folder / f"{name}.csv" for code, name in SHEETS.items() if rows[code]}
    files = [*paths.values(), *map(_beside, paths.values()), folder / WORDS_FILE]
    if not over and (there := [path.name for path in files if path.exists()]):
        what = f"{folder} has {', '.join(there)} already, and somebody may have worked in it"
        whole = f"{what}. Name a new folder, or add --yes to write over it."
        raise RefusedError(Problem("export", folder.name, "a new folder", whole=whole))
    texts = {folder / WORDS_FILE: WORDS}
    for code, path in paths.items():
        unit = heads[code].unit
        columns = ("day", "bin", f"value ({unit})", "who", "read or worked out", f"low ({unit})", f"high ({unit})")
        plain = [each for each in columns if each not in ("bin", "who")]
        told = (dict(zip(columns, row.values(), strict=True)) for row in rows[code])
        texts[path] = table_of(columns, told, plain, bom=True)[0]
        if len(scenes) > 1:
            texts[_beside(path)] = _side_by_side(rows[code], [scene.bin.name for scene in scenes], unit)
    folder.mkdir(parents=True, exist_ok=True)
    hand_out(texts)
    said = f"{counted(len(paths), 'sheet')} and {counted(sum(map(len, rows.values())), 'row')} written to {folder}"
    return Recorded((), said)


def _beside(path: Path) -> Path:
    return path.with_name(f"{path.stem}-side-by-side.csv")


def _side_by_side(rows: list[dict[str, str]], bins: list[str], unit: str) -> str:
    """The same sheet with a column a bin for the mean of the day's readings, and one for what was worked out."""
    from wormbin.exchange.cells import shield
    from wormbin.exchange.tables import table_of

    days: dict[str, dict[str, list[float]]] = {}
    for row in rows:
        basis = MADE if row["basis"] == MADE else READ
        days.setdefault(row["day"], {}).setdefault(f"{row['bin']}, {basis} ({unit})", []).append(float(row["value"]))
    heads = [f"{bin}, {basis} ({unit})" for basis in (READ, MADE) for bin in bins]
    sheet = (
        {"day": day, **{shield(head): f"{mean(of[head]):.{DIGITS}g}" for head in heads if head in of}}
        for day, of in sorted(days.items())
    )
    columns = ("day", *map(shield, heads))
    return table_of(columns, sheet, columns, bom=True)[0]


def _rows(code: str, series: Series, measure: Measure, scene: Scene) -> Iterator[dict[str, str]]:
    """A day's readings first, each with who wrote it, then what is worked out for the day with its band."""
    who = {each.id: each.by for each in scene.entries}

    def cell(value: float) -> str:
        return f"{float(f'{measure.shown(value):.{DIGITS}g}'):g}"

    def about(band: Band) -> str:
        """An estimate to a tenth of its band: no figure that says more than is known."""
        low, value, high = (measure.shown(each) for each in (band.p10, band.p50, band.p90))
        step = 10.0 ** floor(log10(max((high - low) / 10.0, abs(value) * 1e-4, 1e-9)))
        return f"{min(max(round(value / step) * step, low), high):.{DIGITS}g}"

    def read_by(by: str) -> str:
        """A squeeze is no meter: the column says with what the moisture was read."""
        return f"{READ}, {by}" if by and code == "moisture" else READ

    def row(on: date, basis: str, value: str, by: str = "", low: str = "", high: str = "") -> dict[str, str]:
        named = {"day": on.isoformat(), "bin": scene.bin.name, "value": value, "who": by}
        return {**named, "basis": basis, "low": low, "high": high}

    found = [
        (each.when.date(), 0, row(each.when.date(), read_by(each.by), cell(each.read), who.get(each.entry, "")))
        for each in scene.past.judged
        if each.quantity == READ_AS.get(code)
    ]
    found += [
        (each.on, 1, row(each.on, MADE, about(each.band), "", cell(each.band.p10), cell(each.band.p90)))
        for each in series.past
    ]
    yield from (cells for _, _, cells in sorted(found, key=lambda each: each[:2]))
