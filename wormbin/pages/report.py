"""A bin's report: the page of its last day, its charts, what was put in and taken out; set as one file of HTML that
needs nothing else: no script, no network; it prints on A4 and letter in black."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from importlib.resources import files
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from wormbin import __version__
from wormbin.drawing.axes import LEAST_BIG_KG, Measure, day_month, measure_of
from wormbin.drawing.gauge import Gauge
from wormbin.drawing.marks import BASIS_MARKS, beside_mark, level_mark, plain
from wormbin.drawing.series import Series
from wormbin.drawing.svg_chart import in_view, svg_chart
from wormbin.farm.reports import names_words
from wormbin.farm.reports.contents import MaterialTotal, ReportView, Totals, Writer
from wormbin.farm.views.comparison import ComparisonView, Difference
from wormbin.figures import Band, Basis, Level
from wormbin.measures import counted, mass, percent, volume
from wormbin.pages.bin import dates, learned
from wormbin.pages.comparison import asked, ends, found, table, unequal
from wormbin.pages.findings import every_finding, to_do
from wormbin.pages.page import ARROW, Block, Column, Heading, Rows, Sentence, Table
from wormbin.pages.round import harvest

SIGNED = '<meta name="generator" content="wormbin report">'
"""Stands in the head of every report: a file that has it may be replaced by a newer one."""

READ, MADE = BASIS_MARKS[Basis.READ], BASIS_MARKS[Basis.WORKED_OUT]
FIRST_CHARTS = ("moisture", "castings")
"""What the first page of a bin shows."""
_LETTERS = "abcdefghijklmnopqrstuvwxyz"
_KINDS = "table rows figure heading sentence pair"
"""The blocks by the names that the template knows."""
_FOOT = {
    "moisture": (("watering", "bedding", "draining"), "water, bedding or draining"),
    "feed_waiting": (("feeding",), "a feeding"),
    "worms": (("stocking", "move"), "worms in or out"),
    "castings": (("harvest",), "a harvest"),
}


@dataclass(frozen=True, slots=True)
class Figure:
    """A chart with its title and its words; without a title a sample of one mark, with what it says."""

    svg: str
    words: str
    title: str = ""


@dataclass(frozen=True, slots=True)
class Pair:
    """Charts beside each other where there is room."""

    figures: tuple[Figure, ...]


class Names(StrEnum):
    """How those who wrote are told; the last is false."""

    FULL = "full"
    INITIALS = "initials"
    NONE = ""

    def told(self, name: str) -> str:
        """A name as it is told; "" for not at all."""
        return name if self is Names.FULL else "".join(part[:1] + "." for part in name.split()) if self else ""


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the report under its heading."""

    title: str
    page: tuple[Block | Figure | Pair, ...]
    alone: bool = False
    """Whether it is a page of its own on paper."""
    small: bool = False


_KEY = (
    Figure('<circle cx="22" cy="9" r="4" class="read"/>', "a reading: somebody measured or saw it"),
    Figure(
        '<rect x="16" y="3" width="12" height="12" class="doubted"/><text x="22" y="13" text-anchor="middle">?</text>',
        "a reading that does not fit: weighed down, never dropped",
    ),
    Figure(
        '<rect x="1" y="2" width="42" height="14" class="band past"/><path d="M1 9H43" class="likely past"/>',
        "worked out: the likely line, in the band that holds the truth eight times in ten",
    ),
    Figure('<path d="M1 9H43" class="limit"/>', "a target's limit"),
    Figure(
        '<path d="M2 16L14 2M11 16L23 2M20 16L32 2M29 16L41 2" class="hatch"/>',
        "the harvest window, with a dotted line on its likely day",
    ),
    Figure(
        '<path d="M14 4v9" class="done"/><circle cx="30" cy="9" r="2.6" class="planned"/>', "at the foot: done, planned"
    ),
)
"""The marks of the charts, each with what it says."""


def report_page(*views: ReportView, compared: ComparisonView | None = None, names: Names = Names.FULL) -> str:
    """The page as HTML, of one bin or several, or of a comparison: its first page stands alone.

    Everything that anybody wrote is escaped, and without control characters. ``names`` is how those who wrote are told.
    """
    env = Environment(autoescape=True, finalize=_finished)
    kinds = zip(_KINDS.split(), (Table, Rows, Figure, Heading, Sentence, Pair), strict=True)
    env.tests |= {name: lambda block, kind=kind: isinstance(block, kind) for name, kind in kinds}
    views = tuple(_signed(view, names) for view in views)
    last = max(view.last for view in views)
    bins = ", ".join(view.look.bin.name for view in views)
    days = f", day {views[0].look.day} of the bin" if len(views) == 1 else ""
    since = ", since the bin began" if len(views) == 1 and views[0].since_start else ""
    return env.from_string(files("wormbin.pages").joinpath("report.html").read_text("utf-8")).render(
        signed=Markup(SIGNED),
        title=compared.question if compared is not None else f"Worm bin {bins}: report",
        period=f"{_day(min(view.first for view in views))} to {_day(last)}",
        about=since + days,
        sections=tuple(_sections(views, compared)),
        last=_day(last), mark=level_mark, arrow=ARROW, version=__version__,
    ) + "\n"  # fmt: skip


def _finished(value: Any) -> Any:
    """What an expression of the template comes to: a keeper's words on one line, without controls."""
    return plain(value) if isinstance(value, str) and not isinstance(value, Markup) else value


def named(views: Iterable[ReportView], names: Names) -> str:
    """Whose names stand on the page, and how they are left out."""
    by = {names.told(each.name) for view in views for each in view.totals.writers} - {""}
    said = names_words(by)
    return f"{said}. Without them: names initials, or names none" if by and names is Names.FULL else said


def _signed(view: ReportView, names: Names) -> ReportView:
    """The report with those who wrote told by their names, by their initials, or not at all."""
    told = names.told
    notes = tuple(replace(each, by=told(each.by)) for each in view.notes)
    writers = {told(each.name): Writer(told(each.name), 0) for each in view.totals.writers if told(each.name)}
    look = replace(view.look, many=tuple(_renamed(words, view.totals.writers, names) for words in view.look.many))
    totals = replace(view.totals, writers=tuple(sorted(writers.values(), key=_name)))
    return replace(view, look=look, notes=notes, totals=totals)


def _renamed(words: str, writers: Sequence[Writer], names: Names) -> str:
    """ "mean 78% (76, 80: Ana, Ben)" with the names as they are told."""
    for name in sorted((each.name for each in writers if each.name), key=len, reverse=True):
        words = re.sub(rf"(?<!\w){re.escape(name)}(?!\w)", names.told(name), words)
    return words if names else re.sub(r":[ ,]*\)", ")", words).replace(" by  ", " ")


def _name(writer: Writer) -> str:
    return writer.name.casefold()


def _sections(views: Sequence[ReportView], compared: ComparisonView | None) -> Iterator[Section]:
    if compared is not None:
        pictures = [_pair(each, compared) for each in compared.differences if each.is_seen]
        yield Section("In short", (*tuple(asked(compared))[1:], *found(compared), *pictures[:2]), alone=True)
        yield Section("How far they differ", (*table(compared), *unequal(compared), *pictures[2:]))
    else:
        several = len(views) > 1
        blocks = (
            block
            for number, view in enumerate(views)
            for block in _in_short(view, f"short{_LETTERS[number % 26]}", several=several)
        )
        yield Section("In short", tuple(blocks), alone=True)
    for number, view in enumerate(views):
        whose, letters = (f"{view.look.bin.name}: ", f"bin{_LETTERS[number % 26]}") if len(views) > 1 else ("", "")
        yield from _of_one(view, whose, letters)
    cautions = dict.fromkeys(f"{text} ({source})" for view in views for text, source in view.cautions)
    yield Section("Take care", tuple(_listed(iter(cautions))), small=True)
    yield Section("Sources", tuple(_listed(iter(dict.fromkeys(s for view in views for s in view.sources)))), small=True)


def _pair(each: Difference, view: ComparisonView) -> Pair:
    """The charts of both bins beside each other, over the same days and the same values."""
    measure = measure_of(each.charts[0].unit, view.units)
    low, high = ends(each.charts, view.first, view.on)
    figures = []
    for number, (side, series) in enumerate(zip(view.sides, each.charts, strict=False)):
        words = f"{side.name}: {each.title}. {each.words if each.read is not None else each.made_words}"
        name = "".join(letter for letter in f"differ{each.about}" if letter.isalpha()) + _LETTERS[number % 26]
        picture = svg_chart(
            series, measure, name=name, title=f"{side.name}, {each.title}", words=words, first=view.first,
            last=view.on, ends=(low, high),
        )  # fmt: skip
        figures.append(Figure(Markup(picture), "", f"{each.title}: {side.name}"))
    return Pair(tuple(figures))


def _in_short(view: ReportView, where: str, *, several: bool) -> Iterator[Block | Figure | Pair]:
    """The first page of a bin: what was asked, done and found, two charts, what comes next."""
    look, totals, units = view.look, view.totals, view.units
    if several:
        yield Heading(look.bin.name)
    fed = f"fed {mass(totals.fed_kg, units)} in {counted(totals.feedings, 'feeding')}"
    written = counted(totals.lines, "line")
    harvested = f"; {mass(totals.harvested_kg, units)} of castings taken off" if totals.harvests else ""
    yield Rows(
        (
            ("asked", f"how {look.bin.name} did from {_day(view.first)} to {_day(view.last)}"),
            *((("compared", view.question),) if view.question else ()),
            ("done", f"{fed}, {mass(totals.bedding_kg, units)} of bedding{harvested}; {written} written"),
            ("found", look.headline),
            ("castings", look.harvest.words),
            ("next", "; ".join((look.emergency or look.do_now)[:3]) or "nothing that cannot wait"),
        )
    )
    charts = [each for each in view.charts if each.code in FIRST_CHARTS]
    yield Pair(tuple(_chart(each, view, where, told=False) for each in charts))


def _of_one(view: ReportView, whose: str, letters: str) -> Iterator[Section]:
    look = view.look
    shown = f"{_day(view.first)} to {_day(view.shown_until)}"
    yield Section(f"{whose}How it is on {_day(look.on)}", tuple(_state(view)))
    yield Section(f"{whose}What to do now", tuple(_now(view)))
    yield Section(f"{whose}How it came, and how it will go: {shown}", tuple(_charts(view, letters)))
    yield Section(f"{whose}What was put in, taken out and written", tuple(_totals(view.totals, view.units)))
    trays = (Sentence(each.harvest_words, lead=f"{each.name}: ") for each in look.compartments)
    source = (Sentence(look.harvest.source, "dim", lead="source: "),) if look.harvest.source else ()
    yield Section(f"{whose}The next castings", (*harvest(look.harvest), *trays, *source))
    if view.notes:
        yield Section(f"{whose}Notes from the log", tuple(_notes(view)))
    yield Section(f"{whose}How the bin is set up", (Rows(view.setup),))
    yield Section(f"{whose}How sure this is, and what would make it surer", tuple(_sure(view)))


def _listed(lines: Sequence[str] | Iterator[str]) -> Iterator[Block]:
    for line in lines:
        yield Sentence(line, lead="· ")


def _day(on: date) -> str:
    return f"{day_month(on)} {on.year}"


def _state(view: ReportView) -> Iterator[Block]:
    look = view.look
    yield Sentence(look.headline, "headline", level=look.level, named=True)
    yield Table(
        tuple(map(Column, ("figure", "worked out (and within, eight times in ten)", "last reading", "aim", "level"))),
        tuple(
            (
                gauge.title,
                f"{BASIS_MARKS[gauge.basis]} {gauge.words.removesuffix(f'; {gauge.read_words}')}",
                _last_reading(gauge, view),
                gauge.target_words or "-",
                _beside(gauge),
            )
            for gauge in look.gauges
        ),
    )
    levels = ", ".join(level_mark(level) for level in Level)
    yield Sentence(
        f"{READ} is a reading: somebody measured or saw it. {MADE} is an estimate: worked out from the log, and never "
        f"read. The marks of a level: {levels}.",
        "dim",
    )
    for each in look.compartments:
        yield Sentence(each.words, lead=f"{each.name}{' (feed here)' if each.fed else ''}: ")


def _now(view: ReportView) -> Iterator[Block]:
    look = view.look
    steps = look.emergency or look.do_now
    if not steps:
        yield Sentence("Nothing that cannot wait.")
    yield from to_do(look, steps)
    yield from dates(look)
    yield from every_finding(look.findings)


def _last_reading(gauge: Gauge, view: ReportView) -> str:
    if gauge.age_days is None:
        return "none" if gauge.code not in ("air", "cn") else "cannot be read"
    ago = "today" if gauge.age_days == 0 else f"{counted(gauge.age_days, 'day')} ago"
    if gauge.basis is Basis.READ:
        return f"{READ} {gauge.words}, {ago}"
    if gauge.code == "moisture" and view.moisture_read:
        return f"{READ} {view.moisture_read}, {ago}"
    if gauge.reading is None:
        return f"{READ} taken in {ago}"
    return f"{READ} {gauge.say(gauge.reading)}, {ago}"


def _beside(gauge: Gauge) -> str:
    if gauge.level is Level.STEADY and gauge.beside:
        return f"{beside_mark(gauge.beside)} {gauge.beside} that"
    return level_mark(gauge.level)


# charts


def chart_measure(chart: Series, units: str) -> Measure:
    """How a chart's values are told."""
    largest = max((each.band.p90 for each in (*chart.past, *chart.ahead)), default=0.0)
    return measure_of(chart.unit, units, small=chart.unit == "kg" and largest < LEAST_BIG_KG[units])


def _charts(view: ReportView, where: str) -> Iterator[Figure]:
    yield from (replace(each, svg=Markup(each.svg)) for each in _KEY)
    yield Figure(
        Markup('<rect x="1" y="2" width="42" height="14" class="band ahead"/><path d="M1 9H43" class="likely ahead"/>'),
        f"the look-ahead after {_day(view.last)}, if it is fed as planned: none of it was read",
    )
    for each in view.charts:
        yield _chart(each, view, where)


def _chart(each: Series, view: ReportView, where: str = "", *, told: bool = True) -> Figure:
    """One chart with its words, where they are ``told``; ``where`` tells it from the same one elsewhere on the page."""
    series, measure = drawn(each), chart_measure(each, view.units)
    words = chart_words(series, view)
    # Ids are of letters only, and each stands once on a page of several bins.
    name = "".join(letter for letter in f"{where}{each.code}".casefold() if letter.isascii() and letter.isalpha())
    picture = svg_chart(
        series,
        measure,
        name=name,
        title=f"{each.title}, {_day(view.first)} to {_day(view.shown_until)}",
        words=words,
        first=view.first,
        last=view.shown_until,
    )
    return Figure(Markup(picture), words if told else "", each.title)


def drawn(each: Series) -> Series:
    """The chart with what is told at its foot, and no day left blank between what is past and what lies ahead."""
    kinds = _FOOT.get(each.code, ((), ""))[0]
    shown = (*kinds, "planned") if "feeding" in kinds else kinds
    return replace(
        each,
        ahead=(*each.past[-1:], *each.ahead) if each.ahead else (),
        events=tuple(event for event in each.events if event.kind in shown),
    )


def chart_words(each: Series, view: ReportView) -> str:
    """What a chart shows, for whoever cannot see it: how it began and ended, where it goes, what was read."""
    measure = chart_measure(each, view.units)

    def band(of: Band) -> str:
        low, likely, high = measure.say(of.p10), measure.say(of.p50), measure.say(of.p90)
        return likely if low == high else f"{likely} ({low} to {high})"

    said = []
    if each.past:
        begins, ends = each.past[0], each.past[-1]
        foreseen = f", {band(each.ahead[-1].band)} foreseen for {_day(each.ahead[-1].on)}" if each.ahead else ""
        said.append(
            f"Worked out: {band(begins.band)} on {_day(begins.on)}, {band(ends.band)} on {_day(ends.on)}{foreseen}"
        )
    if each.readings:
        last = each.readings[-1]
        doubted = sum(mark.questioned for mark in each.readings)
        read = counted(len(each.readings), "reading") + (f", {doubted} of them not fitting" if doubted else "")
        said.append(f"{read}; the last {measure.say(last.value)} on {_day(last.on)}")
        if each.code == "moisture" and view.squeezes:
            squeezes = counted(view.squeezes, "squeeze")
            said.append(f"{squeezes} among them: each stands at the moisture that it usually means")
        if each.code == "worms":
            said.append("Such a reading is a survey: what was found in samples, taken for the whole bin")
    elif each.code == "feed_waiting":
        said.append("It cannot be weighed: what is seen to be left of a feeding goes into it")
    elif each.code != "castings":
        said.append("No reading of it in the period")
    kinds, foot = _FOOT.get(each.code, ((), ""))
    if any(event.kind in kinds for event in each.events):
        said.append(f"A stroke at the foot is {foot}")
    for limit, words in zip(each.target, ("from", "up to"), strict=True):
        if limit is not None and not in_view(limit, each, measure, view.first, view.shown_until):
            said.append(f"The target, {words} {measure.say(limit)}, lies outside the picture")
    return ". ".join(said) + "."


# what was put in and taken out


def _totals(totals: Totals, units: str) -> Iterator[Block]:
    if not totals.lines:
        yield Sentence("Nothing was written down in this period.")
        return
    numbers = [Column(head, right=True) for head in ("together", "share", "times")]
    for name, every, whole in (("fed", totals.fed, totals.fed_kg), ("bedding", totals.bedding, totals.bedding_kg)):
        if every:
            rows = (*every, _together(every))
            columns = (Column(name), *numbers, Column("how it was measured"))
            yield Table(columns, tuple(_material(each, whole, units) for each in rows))
        else:
            yield Sentence(f"No {'feed' if name == 'fed' else name} was put in.")
    yield Sentence(
        f"{READ} told by weight. {MADE} told by volume or piece, and worked out by the table's density: an estimate.",
        "dim",
    )
    water = f"Water put in: {volume(totals.water_kg, units)} ({counted(totals.waterings, 'time')})"
    drained = f"; let out at the base: {volume(totals.drained_kg, units)}" if totals.drained_kg else ""
    yield Sentence(f"{water}{drained}." if totals.waterings or drained else "No water was put in or let out.")
    if totals.worms_in_kg or totals.worms_out_kg:
        put_in, out = mass(totals.worms_in_kg, units), mass(totals.worms_out_kg, units)
        yield Sentence(f"Worms put in: {put_in}; taken out: {out}.")
    if totals.harvests:
        yield Table(
            (
                Column("castings taken off"), Column("wet", right=True), Column("moisture", right=True),
                Column("lot", free=True),
            ),
            tuple(
                (
                    _day(each.on), mass(each.kg, units),
                    "not measured" if each.moisture is None else percent(each.moisture), each.lot or "-",
                )
                for each in totals.harvests
            ),
        )  # fmt: skip
        yield Sentence(f"Castings together: {mass(totals.harvested_kg, units)} wet.")
    else:
        yield Sentence("No castings were taken off.")
    struck = f"; {counted(totals.struck, 'line')} struck or put right, not counted" if totals.struck else ""
    kinds = ", ".join(f"{kind} {times}" for kind, times in totals.kinds)
    yield Sentence(f"{counted(totals.lines, 'line')} of the log: {kinds}{struck}.")
    if names := ", ".join(each.name for each in totals.writers):
        yield Sentence(names, lead="who wrote: ")


def _together(every: Sequence[MaterialTotal]) -> MaterialTotal:
    kg, weighed, times = (sum(getattr(each, name) for each in every) for name in ("kg", "weighed_kg", "times"))
    return MaterialTotal("", "together", kg, weighed, times)


def _material(each: MaterialTotal, whole_kg: float, units: str) -> tuple[str, ...]:
    rest = each.kg - each.weighed_kg
    if rest <= 1e-9:
        how = f"{READ} by weight"
    elif each.weighed_kg <= 1e-9:
        how = f"{MADE} by volume or piece"
    else:
        how = f"{READ} {mass(each.weighed_kg, units)} by weight, {MADE} {mass(rest, units)} by volume or piece"
    share = percent(each.kg / whole_kg) if whole_kg > 0 else "-"
    return each.name, mass(each.kg, units), share, str(each.times), how


def _notes(view: ReportView) -> Iterator[Block]:
    if view.more_notes:
        yield Sentence(f"The last {len(view.notes)}; {view.more_notes} earlier ones stand in the log.", "dim")
    yield Table(
        (Column("day"), Column("line", free=True), Column("by", free=True)),
        tuple(
            (
                _day(each.when.date()).replace(" ", "\u00a0"),
                f"{each.words}{f' ({each.note})' if each.note else ''}",
                each.by or "-",
            )
            for each in view.notes
        ),
    )


def _sure(view: ReportView) -> Iterator[Block]:
    yield Sentence("Every estimate stands with the range that holds the truth eight times in ten.")
    yield from learned(view.look)
    yield Heading("What would make it surer")
    yield from _listed(view.surer or ("every kind of reading is fresh: go on as you do",))
