"""A bin's report put together: the period, the page of its last day, the sums of what was written, what would help."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from wormbin.drawing.series import Series
from wormbin.farm import comparisons
from wormbin.farm.bins.ahead import outlook_document
from wormbin.farm.bins.gauges import latest
from wormbin.farm.bins.page import bin_view, material_name
from wormbin.farm.bins.scene import Scene
from wormbin.farm.particulars import in_words
from wormbin.farm.views.bin import BinView, LogLine
from wormbin.farm.words.log import LogView, replaced_by
from wormbin.figures import Band
from wormbin.materials.table import MaterialTable
from wormbin.measures import counted, parse_date, percent, system_of
from wormbin.measures.units import UNITS, Dimension
from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import Bin
from wormbin.records.entries import (
    Bedding,
    Check,
    Comparison,
    Draining,
    Entry,
    Feeding,
    Harvest,
    Move,
    Portion,
    Stocking,
    Watering,
    standing,
)
from wormbin.science.cautions import CAUTIONS
from wormbin.science.constants import SURVEY_HOLDS_DAYS

if TYPE_CHECKING:
    from wormbin.farm.session import Session


@dataclass(frozen=True, slots=True)
class MaterialTotal:
    """One material in the period, fresh kg. ``weighed_kg`` was put on a scale; the rest was told by volume or piece and
    worked out. ``source`` is where its water and nitrogen in the table come from."""

    key: str
    name: str
    kg: float
    weighed_kg: float
    times: int
    source: str = ""


@dataclass(frozen=True, slots=True)
class HarvestTaken:
    """Castings taken off, wet kg; ``moisture`` is a fraction if it was said, ``lot`` where they went."""

    on: date
    kg: float
    moisture: float | None
    lot: str


@dataclass(frozen=True, slots=True)
class Writer:
    """Who wrote how many lines that stand; "" for lines that nobody signed."""

    name: str
    lines: int


@dataclass(frozen=True, slots=True)
class Totals:
    """The lines of the period that stand, added up. kg and L as written; water in kg."""

    fed: tuple[MaterialTotal, ...]
    bedding: tuple[MaterialTotal, ...]
    feedings: int
    water_kg: float
    waterings: int
    drained_kg: float
    worms_in_kg: float
    worms_out_kg: float
    harvests: tuple[HarvestTaken, ...]
    kinds: tuple[tuple[str, int], ...]
    """How many lines of each kind."""
    writers: tuple[Writer, ...]
    lines: int
    struck: int
    """Lines of the period that were struck or put right, and do not count."""

    @property
    def fed_kg(self) -> float:
        """All that was fed, fresh kg."""
        return sum(each.kg for each in self.fed)

    @property
    def bedding_kg(self) -> float:
        """All bedding put in, kg as it was."""
        return sum(each.kg for each in self.bedding)

    @property
    def harvested_kg(self) -> float:
        """All castings taken off, wet kg."""
        return sum(each.kg for each in self.harvests)


@dataclass(frozen=True, slots=True)
class ReportView:
    """A bin's report from ``first`` to ``last``; ``look`` is the bin at the end of it.

    ``shown_until`` is the last day of the look-ahead that the charts show. ``since_start`` when the period was cut to
    the bin's first day. ``state`` and ``harvest`` are the figures by the names of the outlook's JSON.
    """

    look: BinView
    first: date
    last: date
    shown_until: date
    since_start: bool
    setup: tuple[tuple[str, str], ...]
    charts: tuple[Series, ...]
    totals: Totals
    notes: tuple[LogLine, ...]
    more_notes: int
    surer: tuple[str, ...]
    """What would make the figures surer, the most telling first."""
    cautions: tuple[tuple[str, str], ...]
    """Each caution with its source."""
    sources: tuple[str, ...]
    state: Mapping[str, object]
    harvest: Mapping[str, object]
    units: str
    squeezes: int = 0
    """Moisture readings of the period that were a squeeze: they stand in the chart at what such a handful holds."""
    question: str = ""
    """What a comparison that the bin was in asks, and with which bins; "" for none."""
    moisture_read: str = ""
    """The last moisture reading as it was taken: "squeeze sponge, usually 78%", "80% by meter"; "" for none."""


PERIOD_DAYS = 120
"""How long a report is when nobody says."""
CHARTED_AHEAD_DAYS, CHARTED_AT_MOST_DAYS = 45, 120
"""Days ahead that the charts show: the first at least, and up to the second as far as the harvest window reaches."""
MOST_NOTES = 40
OLD_DAYS = 14
"""A reading older than this has lost most of its say (our choice; the bands of the estimate show how much)."""
WEIGHED_DAYS = 120
CHARTED = ("moisture", "feed_waiting", "worms", "castings", "temp", "depth", "weight")
MINDED = ("hands", "children", "dust", "lift", "no-waste", "leachate", "extract", "rules")
MODEL = "the process model, replayed from the log; its parameters and their sources stand in the program's method"


def report(farm: Session, bin: str, first: str, last: str, on: date | None) -> ReportView:
    """The report of a bin from ``first`` to ``last`` (days in words; "" for the last 120 days up to ``on``)."""
    one, today = farm.bin(bin), on or farm.moment(None).date()
    begins, ends = _period(one, first, last, today)
    # The bin is shown as it was at the end of the period, by what had been written down until then.
    scene = farm.scene(one.key, on if ends == today else ends, CHARTED_AT_MOST_DAYS)
    log = farm.store.entries(one.key)
    look = bin_view(scene)
    whole = scene.back_to(max(begins, one.started))
    document = outlook_document(scene)
    inside = [entry for entry in log if begins <= entry.when.date() <= ends]
    totals = _totals(inside, log, scene)
    noted = _notes(inside, log, scene)
    return ReportView(
        look=look,
        first=begins,
        last=ends,
        shown_until=_shown_until(scene, ends),
        since_start=begins == one.started,
        setup=in_words(scene.bin, scene.settings),
        charts=tuple(_cut(each, begins, scene, look) for each in _charts(whole)),
        totals=totals,
        notes=noted[-MOST_NOTES:],
        more_notes=max(0, len(noted) - MOST_NOTES),
        surer=_surer(scene),
        cautions=tuple((CAUTIONS[code].text, CAUTIONS[code].source) for code in MINDED),
        sources=_sources(look, totals),
        state=_mapping(document["state"]),
        harvest=_mapping(document["harvest"]),
        units=scene.settings.units.value,
        question=_question(farm, one.key, begins, ends),
        squeezes=sum(_by_squeeze(entry) for entry in standing(inside)),
        moisture_read=_moisture_read(scene),
    )


def _by_squeeze(entry: Entry) -> bool:
    """Whether all that a line says of the moisture is a squeeze."""
    return isinstance(entry.what, Check) and entry.what.squeeze is not None and entry.what.moisture is None


def _moisture_read(scene: Scene) -> str:
    """The last moisture reading as it was taken, so that no percentage stands for a handful that was squeezed."""
    judged = latest(scene.past.judged, "moisture", scene.on)
    if judged is None:
        return ""
    entry = next((each for each in reversed(scene.entries) if each.id == judged.entry), None)
    check = entry.what if entry is not None else None
    if not isinstance(check, Check):
        return percent(judged.read)
    if check.moisture is None and check.squeeze is not None:
        return f"squeeze {check.squeeze.value}, usually {percent(judged.read)}"
    return percent(judged.read) + (f" by {check.moisture_by.value}" if check.moisture_by else "")


def _mapping(value: object) -> dict[str, object]:
    return dict(value) if isinstance(value, dict) else {}


def _question(farm: Session, key: str, begins: date, ends: date) -> str:
    """The latest comparison of the period that the bin is in: "does paper beat leaves? (with leaves)"; "" for none."""
    for line in reversed(comparisons.lines(farm)):
        what = line.what
        if isinstance(what, Comparison) and begins <= what.until and line.when.date() <= ends:
            bins = (line.bin, *what.others)
            if key in bins:
                return f"{what.question} (with {', '.join(each for each in bins if each != key)})"
    return ""


def _period(one: Bin, first: str, last: str, today: date) -> tuple[date, date]:
    """The first and the last day. Raises RefusedError naming the option."""
    allowed = f"a day from {one.started.isoformat()}, when {one.name} began, to {today.isoformat()}"
    ends = parse_date(last, today, "--until") if last else today
    if not one.started <= ends <= today:
        raise RefusedError(Problem("--until", last or ends.isoformat(), allowed, today.isoformat()))
    if not first:
        return max(one.started, ends - timedelta(days=PERIOD_DAYS - 1)), ends
    begins = parse_date(first, today, "--from")
    if begins > ends:
        whole = f"a day up to {ends.isoformat()}, where the report ends"
        raise RefusedError(Problem("--from", first, whole, one.started.isoformat()))
    return max(one.started, begins), ends


def _charts(scene: Scene) -> tuple[Series, ...]:
    from wormbin.farm.bins.ahead import charts

    return tuple(each for each in charts(scene) if each.code in CHARTED)


def _cut(view: Series, begins: date, scene: Scene, look: BinView) -> Series:
    """A chart from the first day of the period to the last that is shown, with the aim that stands in the table."""
    ends, gauge = _shown_until(scene, scene.on), look.gauge(view.code)
    return replace(
        view,
        target=gauge.target if gauge is not None else view.target,
        past=tuple(each for each in view.past if each.on >= begins),
        ahead=tuple(each for each in view.ahead if each.on <= ends),
        readings=tuple(each for each in view.readings if begins <= each.on <= scene.on),
        events=tuple(each for each in view.events if begins <= each.on <= ends),
    )


def _shown_until(scene: Scene, last: date) -> date:
    window = scene.harvest.window
    reach = max(filter(None, (window.likely, window.latest)), default=last) + timedelta(days=5)
    return min(last + timedelta(days=CHARTED_AT_MOST_DAYS), max(last + timedelta(days=CHARTED_AHEAD_DAYS), reach))


# what was put in and taken out


def _totals(inside: Sequence[Entry], log: tuple[Entry, ...], scene: Scene) -> Totals:
    """The period's lines that stand, added up."""
    stands = {entry.id for entry in standing(log)}
    lines = [entry for entry in inside if entry.id in stands]
    whats = [entry.what for entry in lines]
    stocked = [what.worms_kg for what in whats if isinstance(what, Stocking)]
    moved = [what.worms_kg if what.into else -what.worms_kg for what in whats if isinstance(what, Move)]
    signed = Counter(entry.by for entry in lines)
    kinds = Counter(entry.kind.value for entry in lines)
    return Totals(
        fed=_by_material((what.portions for what in whats if isinstance(what, Feeding)), scene),
        bedding=_by_material((what.portions for what in whats if isinstance(what, Bedding)), scene),
        feedings=sum(isinstance(what, Feeding) for what in whats),
        water_kg=sum(what.kg for what in whats if isinstance(what, Watering)),
        waterings=sum(isinstance(what, Watering) for what in whats),
        drained_kg=sum(what.kg for what in whats if isinstance(what, Draining)),
        worms_in_kg=sum(kg for kg in (*stocked, *moved) if kg > 0),
        worms_out_kg=-sum(kg for kg in (*stocked, *moved) if kg < 0),
        harvests=tuple(
            HarvestTaken(entry.when.date(), entry.what.castings_kg, entry.what.moisture, entry.what.lot)
            for entry in lines
            if isinstance(entry.what, Harvest)
        ),
        kinds=tuple(sorted(kinds.items(), key=lambda each: (-each[1], each[0]))),
        writers=tuple(Writer(name, n) for name, n in sorted(signed.items())),
        lines=len(lines),
        struck=len(inside) - len(lines),
    )


def _by_material(every: Iterable[Sequence[Portion]], scene: Scene) -> tuple[MaterialTotal, ...]:
    """Portions by material, the heaviest first."""
    found: dict[str, list[Portion]] = {}
    for portion in (each for portions in every for each in portions):
        found.setdefault(portion.material, []).append(portion)
    name = material_name(scene)
    totals = [
        MaterialTotal(
            key=key,
            name=name(key),
            kg=sum(each.kg for each in portions),
            weighed_kg=sum(each.kg for each in portions if weighed(each.said)),
            times=len(portions),
            source=_source_of(key, scene.table),
        )
        for key, portions in found.items()
    ]
    return tuple(sorted(totals, key=lambda each: (-each.kg, each.key)))


def weighed(said: str) -> bool:
    """Whether an amount was said as a weight; one that came without words came in kg."""
    words = said.lstrip("0123456789.,/ +-~").strip().lower()
    unit = UNITS.get(words)
    return not said or (unit is not None and unit.dimension is Dimension.MASS and system_of(said) != "")


def _source_of(key: str, table: MaterialTable) -> str:
    if key not in table:
        return ""
    sources = table.get(key).sources
    return "; ".join(dict.fromkeys(sources[each] for each in ("moisture", "nitrogen") if sources.get(each)))


def _notes(inside: Sequence[Entry], log: tuple[Entry, ...], scene: Scene) -> tuple[LogLine, ...]:
    """The lines of the period that stand and have a note."""
    view = LogView(inside, replaced_by(log), scene.settings.units, material_name(scene))
    return tuple(each for each in view if each.stands and (each.note or each.kind.value == "note"))


# how sure


def _surer(scene: Scene) -> tuple[str, ...]:
    """What would narrow the figures, by which readings are missing or old."""
    past, on = scene.past, scene.on
    today = past.today
    wide = percent(_relative(today.worms_kg)) if today.worms_kg.p50 > 0 else ""
    asks = (
        ("moisture", OLD_DAYS, "a squeeze at every check, and once an oven or meter reading: it settles the moisture"),
        ("left", OLD_DAYS, "how much of the last feed is left, by eye: it tells how fast this bin works"),
        ("temp_c", OLD_DAYS, "the bedding's temperature: warmth sets the pace of everything in the bin"),
        ("contents_m", 2 * OLD_DAYS, "a ruler's depth of the contents: it tells how full it is and how dense"),
        ("total_kg", WEIGHED_DAYS, "a weighing of the bin: it narrows the castings and the harvest window"),
        (
            "worms_kg",
            SURVEY_HOLDS_DAYS,
            f"a worm survey: the worms are the widest guess{f' (± {wide})' if wide else ''}",
        ),
    )
    found = []
    for quantity, old, words in asks:
        reading = latest(past.judged, quantity, on)
        if reading is None:
            found.append(f"{words}; none is written down yet")
        elif (age := (on - reading.when.date()).days) > old:
            found.append(f"{words}; the last is {counted(age, 'day')} old")
    return tuple(found)


def _relative(band: Band) -> float:
    return band.width / 2 / band.p50


def _sources(look: BinView, totals: Totals) -> tuple[str, ...]:
    """Where the limits, the model and the materials' values come from, each named once."""
    said = [
        MODEL,
        *(f"{each.what}: {each.source}" for each in look.findings if each.source),
        *([f"harvest steps: {look.harvest.source}"] if look.harvest.source else []),
        *(
            f"water and nitrogen of {each.name}: {each.source}"
            for each in (*totals.fed, *totals.bedding)
            if each.source
        ),
    ]
    return tuple(dict.fromkeys(said))
