"""A report as one HTML page that needs nothing else: no script, no network; it prints on A4 and letter in black."""

from __future__ import annotations

import html
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date

from wormbin import __version__
from wormbin.drawing.axes import day_month
from wormbin.drawing.gauge import Gauge
from wormbin.drawing.marks import BASIS_MARKS, beside_mark, level_mark, plain
from wormbin.drawing.measure import LEAST_BIG_KG, Measure, measure_of
from wormbin.drawing.series import Series
from wormbin.drawing.svg_chart import in_view, svg_chart
from wormbin.farm.views.report import MaterialTotal, ReportView
from wormbin.figures import Band, Basis, Level
from wormbin.measures import counted, mass, percent, volume

SIGNED = '<meta name="generator" content="wormbin report">'
"""Stands in the head of every report: a file that has it may be replaced by a newer one."""

_FOOT = {
    "moisture": (("watering", "bedding", "draining"), "water, bedding or draining"),
    "feed_waiting": (("feeding",), "a feeding"),
    "worms": (("stocking", "move"), "worms in or out"),
    "castings": (("harvest",), "a harvest"),
}
_AHEAD = '<rect x="1" y="2" width="42" height="14" class="band ahead"/><path d="M1 9H43" class="likely ahead"/>'
_KEY = (
    ('<circle cx="22" cy="9" r="4" class="read"/>', "a reading: somebody measured or saw it"),
    (
        '<rect x="16" y="3" width="12" height="12" class="doubted"/><text x="22" y="13" text-anchor="middle">?</text>',
        "a reading that does not fit: weighed down, never dropped",
    ),
    (
        '<rect x="1" y="2" width="42" height="14" class="band past"/><path d="M1 9H43" class="likely past"/>',
        "worked out: the likely line, in the band that holds the truth eight times in ten",
    ),
    ('<path d="M1 9H43" class="limit"/>', "a target's limit"),
    (
        '<path d="M2 16L14 2M11 16L23 2M20 16L32 2M29 16L41 2" class="hatch"/>',
        "the harvest window, with a dotted line on its likely day",
    ),
    ('<path d="M14 4v9" class="done"/><circle cx="30" cy="9" r="2.6" class="planned"/>', "at the foot: done, planned"),
)
"""The marks of the charts, each with what it says."""
_STYLE = """\
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 1rem; max-width: 48rem; background: #fff; color: #111;
  font: 1rem/1.45 Georgia, "Times New Roman", serif; overflow-wrap: break-word; }
h1, h2, h3, th, figcaption, .level { font-family: Helvetica, Arial, sans-serif; }
h1 { font-size: 1.6rem; margin: 0 0 .2rem; }
h2 { font-size: 1.15rem; margin: 1.6rem 0 .4rem; padding-bottom: .15rem; border-bottom: 2px solid #111;
  break-after: avoid; }
h3 { font-size: 1rem; margin: 1rem 0 .2rem; break-after: avoid; }
p { margin: .3rem 0; }
ol, ul { margin: .3rem 0; padding-left: 1.4rem; }
table { border-collapse: collapse; width: 100%; margin: .4rem 0; font-size: .92rem; }
th, td { text-align: left; vertical-align: top; padding: .2rem .5rem .2rem 0; border-bottom: 1px solid #999; }
tr, li, .finding { break-inside: avoid; }
h1, p, li, .free { overflow-wrap: anywhere; }
td.number, th.number { text-align: right; white-space: nowrap; }
.headline { font-size: 1.1rem; font-weight: bold; }
.level { display: inline-block; border: 2px solid #111; padding: 0 .5rem; margin-right: .4rem; }
.quiet { color: #333; font-size: .92rem; }
.mind { border-left: 4px double #111; padding-left: .7rem; }
figure { margin: .8rem 0; break-inside: avoid; }
figcaption { font-weight: bold; }
.key { display: flex; align-items: center; gap: .6rem; margin: 0; font-size: .92rem; }
.key svg { width: 2.6rem; flex: none; }
svg { display: block; width: 100%; height: auto; }
svg text { font: 12px Helvetica, Arial, sans-serif; fill: #111; }
.halo { paint-order: stroke; stroke: #fff; stroke-width: 3px; }
.axis { stroke: #111; fill: none; }
.grid { stroke: #ccc; stroke-width: .6; fill: none; }
.band.past { fill: #bbb; fill-opacity: .6; stroke: #777; stroke-width: .7; }
.band.ahead { fill: #ddd; fill-opacity: .5; stroke: #777; stroke-width: .9; stroke-dasharray: 1.5 3; }
.likely { fill: none; stroke: #111; stroke-width: 1.6; }
.likely.ahead { stroke-dasharray: 4 3; }
.limit { stroke: #111; stroke-width: 1; stroke-dasharray: 12 3 2 3; fill: none; }
.today { stroke: #111; stroke-width: 2; fill: none; }
.hatch { stroke: #888; stroke-width: .8; fill: none; }
.window { stroke: #888; stroke-width: .8; }
.harvest { stroke: #111; stroke-width: 1.2; stroke-dasharray: 2 2; fill: none; }
.read { fill: #111; stroke: #fff; stroke-width: 1; }
.doubted { fill: #fff; stroke: #111; }
.done { stroke: #111; stroke-width: 1.3; fill: none; }
.planned { fill: #fff; stroke: #111; }
@page { margin: 15mm; }
@media print { body { padding: 0; max-width: none; font-size: 10.5pt; } a { color: inherit; } }
"""


def report_page(view: ReportView) -> str:
    """The page. Everything that anybody wrote is escaped, and without control characters."""
    look = view.look
    title = f"Worm bin {plain(look.bin.name)}: report"
    period = f"{_day(view.first)} to {_day(view.last)}"
    parts = [
        '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        SIGNED,
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">",
        f"<title>{_t(f'{title} {period}')}</title><style>{_STYLE}</style></head><body>",
        f"<header><h1>{_t(title)}</h1>",
        _p(f"{period}{', since the bin began' if view.since_start else ''}. Day {look.day} of the bin."),
        "</header><main>",
        *_state(view),
        *_charts(view),
        *_totals(view),
        *_harvest(view),
        *_notes(view),
        *_setup(view),
        *_sure(view),
        *_cautions(view),
        *_sources(view),
        "</main><footer>",
        _p(
            f"Written by wormbin {__version__} from the log as it stood on {_day(view.last)}. The estimates come from "
            "that log and published values. Where the bin and this page disagree, believe the bin.",
            "quiet",
        ),
        "</footer></body></html>\n",
    ]
    return "\n".join(parts)


def _t(text: str) -> str:
    """Any text as it may stand in the page: one line, no controls, escaped."""
    return html.escape(plain(text))


def _p(text: str, kind: str = "") -> str:
    return f'<p class="{kind}">{_t(text)}</p>' if kind else f"<p>{_t(text)}</p>"


def _list(lines: Iterable[str], *, ordered: bool = False) -> str:
    tag = "ol" if ordered else "ul"
    return f"<{tag}>{''.join(f'<li>{_t(line)}</li>' for line in lines)}</{tag}>"


def _table(
    heads: Sequence[str], rows: Iterable[Sequence[str]], *, numbers: Sequence[int] = (), free: Sequence[int] = ()
) -> str:
    """A table of texts; the columns in ``numbers`` stand to the right, in those of ``free`` a long word is broken."""

    def cell(tag: str, at: int, text: str, more: str = "") -> str:
        kind = ' class="number"' if at in numbers else ' class="free"' if at in free else ""
        return f"<{tag}{kind}{more}>{_t(text)}</{tag}>"

    head = "".join(cell("th", at, text, ' scope="col"') for at, text in enumerate(heads))
    body = "".join(
        "<tr>"
        + "".join(cell("td", at, text) if at else cell("th", 0, text, ' scope="row"') for at, text in enumerate(row))
        + "</tr>"
        for row in rows
    )
    top = f"<thead><tr>{head}</tr></thead>" if any(heads) else ""
    return f"<table>{top}<tbody>{body}</tbody></table>"


def _day(on: date) -> str:
    return f"{day_month(on)} {on.year}"


# how it is, and what to do


def _state(view: ReportView) -> Iterator[str]:
    look = view.look
    yield f"<section><h2>{_t(f'How it is on {_day(look.on)}')}</h2>"
    yield f'<p class="headline"><span class="level">{_t(level_mark(look.level))}</span>{_t(look.headline)}</p>'
    read, made = BASIS_MARKS[Basis.READ], BASIS_MARKS[Basis.WORKED_OUT]
    yield _table(
        ("figure", "worked out (and within, eight times in ten)", "last reading", "aim", "level"),
        (
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
    yield _p(
        f"{read} is a reading: somebody measured or saw it. {made} is an estimate: worked out from the log, and never "
        "read. The marks of a level: " + ", ".join(level_mark(level) for level in Level) + ".",
        "quiet",
    )
    for each in look.compartments:
        yield _p(f"{each.name}{' (feed here)' if each.fed else ''}: {each.words}")
    yield "</section><section><h2>What to do now</h2>"
    steps = look.emergency or look.do_now
    yield _list(steps, ordered=True) if steps else _p("Nothing that cannot wait.")
    if look.also:
        yield _p(f"Also: {'; '.join(look.also)}")
    if look.mind:
        yield _p(f"Mind: {look.mind}", "mind")
    coming = [
        f"next feeding {_day(look.next_feeding)}" if look.next_feeding else "",
        f"next check {_day(look.next_check)}" if look.next_check else "",
        f"feed up to {look.feed_up_to_words} today" if look.feed_up_to_kg > 0 else "feed nothing today",
    ]
    yield _p("; ".join(each for each in coming if each) + ".")
    for finding in look.findings:
        yield f'<div class="finding"><h3>{_t(level_mark(finding.level))}: {_t(finding.what)}</h3>'
        yield _p(f"Why: {finding.why}")
        if finding.do:
            yield _list(finding.do)
        if finding.caution:
            yield _p(f"Mind: {finding.caution}", "mind")
        source = f". Source: {finding.source}" if finding.source else ""
        yield _p(f"How sure: {finding.sure}{source}.", "quiet")
        yield "</div>"
    yield "</section>"


def _last_reading(gauge: Gauge, view: ReportView) -> str:
    if gauge.age_days is None:
        return "none" if gauge.code not in ("air", "cn") else "cannot be read"
    ago = "today" if gauge.age_days == 0 else f"{counted(gauge.age_days, 'day')} ago"
    if gauge.basis is Basis.READ:
        return f"{BASIS_MARKS[Basis.READ]} {gauge.words}, {ago}"
    if gauge.code == "moisture" and view.moisture_read:
        return f"{BASIS_MARKS[Basis.READ]} {view.moisture_read}, {ago}"
    if gauge.reading is None:
        return f"{BASIS_MARKS[Basis.READ]} taken in {ago}"
    return f"{BASIS_MARKS[Basis.READ]} {gauge.say(gauge.reading)}, {ago}"


def _beside(gauge: Gauge) -> str:
    if gauge.level is Level.STEADY and gauge.beside:
        return f"{beside_mark(gauge.beside)} {gauge.beside} that"
    return level_mark(gauge.level)


# charts


def chart_measure(chart: Series, units: str) -> Measure:
    """How a chart's values are told."""
    largest = max((each.band.p90 for each in (*chart.past, *chart.ahead)), default=0.0)
    return measure_of(chart.unit, units, small=chart.unit == "kg" and largest < LEAST_BIG_KG[units])


def _charts(view: ReportView) -> Iterator[str]:
    yield f"<section><h2>{_t(f'How it came, and how it will go: {_day(view.first)} to {_day(view.shown_until)}')}</h2>"
    ahead = f"the look-ahead after {_day(view.last)}, if it is fed as planned: none of it was read"
    yield "".join(
        f'<p class="key"><svg viewBox="0 0 44 18" aria-hidden="true">{sample}</svg><span>{_t(words)}</span></p>'
        for sample, words in (*_KEY, (_AHEAD, ahead))
    )
    for each in view.charts:
        words = chart_words(each, view)
        yield f"<figure><figcaption>{_t(each.title)}</figcaption>{chart_picture(each, view)}"
        yield f'<p class="quiet">{_t(words)}</p></figure>'
    yield "</section>"


def chart_picture(each: Series, view: ReportView) -> str:
    """One chart of the report as an ``svg`` element."""
    return svg_chart(
        drawn(each),
        chart_measure(each, view.units),
        name=each.code.replace("_", ""),
        title=f"{each.title}, {_day(view.first)} to {_day(view.shown_until)}",
        words=chart_words(each, view),
        first=view.first,
        last=view.shown_until,
    )


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
        said.append(
            f"Worked out: {band(begins.band)} on {_day(begins.on)}, {band(ends.band)} on {_day(ends.on)}"
            + (f", {band(each.ahead[-1].band)} foreseen for {_day(each.ahead[-1].on)}" if each.ahead else "")
        )
    if each.readings:
        last = each.readings[-1]
        doubted = sum(mark.questioned for mark in each.readings)
        odd = f", {doubted} of them not fitting" if doubted else ""
        said.append(
            f"{counted(len(each.readings), 'reading')}{odd}; the last {measure.say(last.value)} on {_day(last.on)}"
        )
        if each.code == "moisture" and view.squeezes:
            said.append(
                f"{counted(view.squeezes, 'squeeze')} among them: each stands at the moisture that it usually means"
            )
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
        if limit is not None and not in_view(limit, drawn(each), measure, view.first, view.shown_until):
            said.append(f"The target, {words} {measure.say(limit)}, lies outside the picture")
    return ". ".join(said) + "."


# sums


def _totals(view: ReportView) -> Iterator[str]:
    totals, units = view.totals, view.units
    yield "<section><h2>What was put in, taken out and written</h2>"
    if not totals.lines:
        yield _p("Nothing was written down in this period.") + "</section>"
        return
    read, made = BASIS_MARKS[Basis.READ], BASIS_MARKS[Basis.WORKED_OUT]
    for name, every, whole in (("fed", totals.fed, totals.fed_kg), ("bedding", totals.bedding, totals.bedding_kg)):
        if every:
            rows = [_material(each, whole, units) for each in every]
            rows.append(_material(_together(every), whole, units))
            yield _table((name, "together", "share", "times", "how it was measured"), rows, numbers=(1, 2, 3))
        else:
            yield _p(f"No {'feed' if name == 'fed' else name} was put in.")
    yield _p(
        f"{read} told by weight. {made} told by volume or piece, and worked out by the table's density: an estimate.",
        "quiet",
    )
    water = f"Water put in: {volume(totals.water_kg, units)} ({counted(totals.waterings, 'time')})"
    drained = f"; let out at the base: {volume(totals.drained_kg, units)}" if totals.drained_kg else ""
    yield _p(f"{water}{drained}." if totals.waterings or drained else "No water was put in or let out.")
    if totals.worms_in_kg or totals.worms_out_kg:
        yield _p(f"Worms put in: {mass(totals.worms_in_kg, units)}; taken out: {mass(totals.worms_out_kg, units)}.")
    if totals.harvests:
        yield _table(
            ("castings taken off", "wet", "moisture", "lot"),
            (
                (
                    _day(each.on),
                    mass(each.kg, units),
                    percent(each.moisture) if each.moisture is not None else "not measured",
                    each.lot or "-",
                )
                for each in totals.harvests
            ),
            numbers=(1, 2),
            free=(3,),
        )
        yield _p(f"Castings together: {mass(totals.harvested_kg, units)} wet.")
    else:
        yield _p("No castings were taken off.")
    struck = f"; {counted(totals.struck, 'line')} struck or put right, not counted" if totals.struck else ""
    kinds = ", ".join(f"{kind} {times}" for kind, times in totals.kinds)
    yield _p(f"{counted(totals.lines, 'line')} of the log: {kinds}{struck}.")
    yield _table(
        ("who wrote", "lines"),
        ((each.name or "not signed", str(each.lines)) for each in totals.writers),
        numbers=(1,),
    )
    yield "</section>"


def _together(every: Sequence[MaterialTotal]) -> MaterialTotal:
    return MaterialTotal(
        "", "together", sum(each.kg for each in every), sum(each.weighed_kg for each in every),
        sum(each.times for each in every),
    )  # fmt: skip


def _material(each: MaterialTotal, whole_kg: float, units: str) -> tuple[str, ...]:
    read, made = BASIS_MARKS[Basis.READ], BASIS_MARKS[Basis.WORKED_OUT]
    rest = each.kg - each.weighed_kg
    if rest <= 1e-9:
        how = f"{read} by weight"
    elif each.weighed_kg <= 1e-9:
        how = f"{made} by volume or piece"
    else:
        how = f"{read} {mass(each.weighed_kg, units)} by weight, {made} {mass(rest, units)} by volume or piece"
    share = percent(each.kg / whole_kg) if whole_kg > 0 else "-"
    return each.name, mass(each.kg, units), share, str(each.times), how


def _harvest(view: ReportView) -> Iterator[str]:
    harvest = view.look.harvest
    yield "<section><h2>The next castings</h2>"
    yield _p(f"{BASIS_MARKS[Basis.WORKED_OUT]} worked out: {harvest.words}")
    for each in view.look.compartments:
        yield _p(f"{each.name}: {each.harvest_words}")
    if harvest.steps:
        yield _table(("day", "step"), ((_day(step.on), step.what) for step in harvest.steps))
    if harvest.source:
        yield _p(f"Source: {harvest.source}", "quiet")
    yield "</section>"


def _notes(view: ReportView) -> Iterator[str]:
    if not view.notes:
        return
    yield "<section><h2>Notes from the log</h2>"
    if view.more_notes:
        yield _p(f"The last {len(view.notes)}; {view.more_notes} earlier ones stand in the log.", "quiet")
    yield _table(
        ("day", "line", "by"),
        (
            (_day(each.when.date()), f"{each.words}{f' ({each.note})' if each.note else ''}", each.by or "-")
            for each in view.notes
        ),
        free=(1, 2),
    )
    yield "</section>"


def _setup(view: ReportView) -> Iterator[str]:
    yield "<section><h2>How the bin is set up</h2>"
    yield _table((), view.setup, free=(1,))
    yield "</section>"


def _sure(view: ReportView) -> Iterator[str]:
    yield "<section><h2>How sure this is, and what would make it surer</h2>"
    yield _p(
        "Every estimate stands with the range that holds the truth eight times in ten. What the log has taught about "
        f"this bin: {'; '.join(view.look.learned)}."
    )
    if view.look.doubts:
        yield "<h3>Readings that did not fit</h3>" + _list(each.words for each in view.look.doubts)
    yield "<h3>What would make it surer</h3>"
    yield _list(view.surer) if view.surer else _p("Every kind of reading is fresh: go on as you do.")
    yield "</section>"


def _cautions(view: ReportView) -> Iterator[str]:
    yield "<section><h2>Take care</h2>"
    yield _list(f"{text} ({source})" for text, source in view.cautions)
    yield "</section>"


def _sources(view: ReportView) -> Iterator[str]:
    yield "<section><h2>Sources</h2>"
    yield _list(view.sources)
    yield "</section>"
