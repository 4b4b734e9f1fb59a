"""One bin's page: what to do now, the bin cut open, its figures, what lies ahead; and the same in short for a wall."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import timedelta

from wormbin.drawing.axes import measure_of
from wormbin.drawing.chart import chart
from wormbin.drawing.cutaway import CENTIMETRES, INCHES, cutaway
from wormbin.drawing.gauge import Gauge
from wormbin.drawing.marks import basis_mark
from wormbin.drawing.picture import Picture
from wormbin.farm.views.bin import BinView, LogLine
from wormbin.pages.findings import every_finding, to_do
from wormbin.pages.page import GAP, Block, Drawn, Heading, Sentence, dated, day, day_word, in_brackets

CUT_ROWS, CHART_ROWS = 12, 9
PAST_DAYS, DRAWN_AHEAD_DAYS = 45, 60
CHARTED = ("moisture", "feed_waiting")


def whole_bin(view: BinView, units: str, *, ascii: bool) -> Iterator[Block]:
    """Everything of one bin, as it is printed."""
    yield head(view, in_brackets(view.bin.key, view.bin.name))
    yield Sentence(view.headline, indent=2)
    yield from to_do(view, view.emergency or view.do_now)
    yield GAP
    scale = INCHES if units == "us" else CENTIMETRES
    yield Drawn(lambda width: cutaway(view.cut, width, CUT_ROWS, scale=scale, ascii=ascii))
    yield GAP
    for gauge in view.gauges:
        yield _figure(gauge)
    yield GAP
    for code in CHARTED:
        yield from _charted(view, code, units, ascii=ascii)
    yield from dates(view)
    yield from dated(view.harvest.steps)
    for each in view.compartments:
        yield Sentence(each.words, lead=f"{each.name}{' (feed here)' if each.fed else ''}: ")
    yield GAP
    yield from every_finding(view.findings)
    yield from learned(view)


def head(view: BinView, more: str = "") -> Sentence:
    """One line: level, name, day, date."""
    return Sentence(
        view.bin.name, "title", level=view.level, named=True, aside=f"{more}  day {view.day}  {day(view.on)}"
    )


def _figure(gauge: Gauge) -> Sentence:
    """A figure against its aim, with its age where it was read."""
    aside = f", {gauge.beside} that" if gauge.beside else ""
    ago = f"{gauge.age_days} d ago" if gauge.age_days else "today"
    age = "" if gauge.age_days is None else f", last read {ago}"
    lead = f"{gauge.shape(ascii=False)} {gauge.title:<15}{basis_mark(gauge.basis)} "
    return Sentence(f"{gauge.words}; aim {gauge.target_words or '-'}{aside}{age}", lead=lead, lead_role=gauge.role)


def _charted(view: BinView, code: str, units: str, *, ascii: bool) -> Iterator[Block]:
    series = view.chart(code)
    if series is None:
        return
    first, last = view.on - timedelta(days=PAST_DAYS), view.on + timedelta(days=DRAWN_AHEAD_DAYS)
    measure = measure_of(series.unit, units)

    def draw(width: int) -> Picture:
        return chart(series, width, CHART_ROWS, first=first, last=last, measure=measure, ascii=ascii)

    yield Heading(series.title, "strong")
    yield Drawn(draw)
    yield GAP


def dates(view: BinView) -> Iterator[Block]:
    """What may be fed today, the next feeding and check, and the harvest window."""
    fed = "fed today; " if view.fed_today else ""
    check = "checked today" if view.checked_today else f"check {day_word(view.next_check, view.on)}"
    if view.feed_up_to_kg > 0:
        into = next((f" in the {each.name}" for each in view.compartments if each.fed), "")
        yield Sentence(view.feed_up_to_words, "strong", lead="feed up to ", aside=f"{into} today")
    else:
        yield Sentence("nothing more today", "strong", lead="feed: ")
    yield Sentence(f"{fed}feed {day_word(view.next_feeding, view.on)}, {check}", lead="next: ")
    if view.many:
        yield Sentence(view.many[0], lead="read: ")
    yield Sentence(view.harvest.words, "good" if view.harvest.due_since else "", lead="castings: ")
    for each in view.compartments:
        role = "good" if each.due_since else ""
        yield Sentence(each.harvest_words, role, lead=f"{each.name}: ", indent=2)


def learned(view: BinView) -> Iterator[Block]:
    """What the log has taught, and which readings did not fit."""
    yield Heading("What the log has taught about this bin")
    for words in view.learned:
        yield Sentence(words, indent=3)
    for words in view.many:
        yield Sentence(words, indent=3)
    for doubt in view.doubts:
        yield Sentence(doubt.words, lead="? ", lead_role="questioned", indent=3)


def today(whose: str) -> Iterator[Block]:
    """Whose turn it is, and what to mind."""
    if whose:
        yield Heading("Today")
        yield from (Sentence(each, "strong", indent=1) for each in whose.split(" · "))
        yield GAP
    yield Sentence("Wash your hands afterwards. Eat nothing here.", "strong")


def wall(view: BinView, most: int, *, guess: bool = False) -> Iterator[Block]:
    """At most ``most`` steps; the rest is on the bin's own page. None while today's ``guess`` is to come first."""
    yield from list(dates(view))[:2]
    yield GAP
    if guess:
        from wormbin.farm.guesses import FIRST  # no start waits for it

        yield Sentence(FIRST, "strong")
        return
    yield Heading("What to do")
    steps = (view.emergency or view.do_now)[:most]
    if not steps:
        yield Sentence(view.headline, indent=1)
    yield from to_do(view, steps, indent=1)


def log(lines: Iterable[LogLine]) -> Iterator[Block]:
    """Each line: when, what, who, its id; a struck one between dashes, with the reason."""
    for line in lines:
        words = line.words + (f" ({line.note})" if line.note else "")
        if line.compartment:
            words = f"[{line.compartment}] {words}"
        if line.replaced:
            words = f"--{words}-- put right by {line.replaced}"
        elif line.struck:
            words = f"--{words}-- struck{f' by {line.struck_by}' if line.struck_by else ''}: {line.why}"
        if line.replaces:
            words += f" (puts {line.replaces} right)"
        by = f" · {line.by}" if line.by else ""
        yield Sentence(words, lead=f"{line.moment}  ", lead_role="when", aside=f"{by} #{line.entry}")


def log_line(line: LogLine, kin: Mapping[str, LogLine] | None = None) -> Iterator[Block]:
    """One line in full: what was written, by whom, and what became of it. ``kin`` are the lines that put it right or
    that it puts right, by their ids."""

    def told(entry: str) -> str:
        other = (kin or {}).get(entry)
        return f"{other.kind.value} of {other.moment}: {other.words}" if other is not None else entry

    moment = "" if line.day_only else f", {line.when:%H:%M}"
    yield Heading(f"{line.when:%A %d %B %Y}{moment}  {line.kind.value}")
    yield GAP
    yield Sentence(line.words, "strong")
    for name, words in (
        ("note", line.note), ("compartment", str(line.compartment) if line.compartment else ""), ("by", line.by),
        ("struck through because", line.why if line.struck else ""), ("struck by", line.struck_by),
        ("put right by", told(line.replaced)), ("puts right", told(line.replaces)), ("line", line.entry),
    ):  # fmt: skip
        if words:
            yield Sentence(words, lead=f"{name}: ")
