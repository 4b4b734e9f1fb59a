"""Lots, stock, origins, yields and plans as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.cells import cell_len

from wormbin.cli.layout import day, wrapped
from wormbin.cli.paper import Paper
from wormbin.drawing.marks import plain
from wormbin.farm.lot_views import (
    DeliveryView,
    Given,
    LotPage,
    LotView,
    OriginView,
    PlanView,
    StockView,
    WentView,
    YieldView,
)
from wormbin.farm.lot_words import STEP_WORDS
from wormbin.farm.plan_words import delivery_words, odds_words
from wormbin.measures import area, mass, percent, volume
from wormbin.measures.printing import figure
from wormbin.measures.units import GALLON_L, UNITS


def lot(view: LotView) -> dict[str, object]:
    """One lot as JSON."""
    return {
        "lot": view.name,
        "step": view.step,
        "since": view.step_on,
        "opened": view.opened,
        "kg": view.kg,
        "litres": view.litres,
        "litres_read": view.litres_read,
        "moisture": view.moisture,
        "moisture_read": view.moisture_read,
        "in_stock": view.in_stock,
        "harvested_kg": view.harvested_kg,
        "sold_kg": view.sold_kg,
        "used_kg": view.used_kg,
        "weighed_difference_kg": view.changed_kg,
        "taken": view.taken,
        "bins": view.bins,
        "warning": view.short,
    }


def _room(view: LotView, units: str, *, gallons: bool = False) -> str:
    room = f"{figure(view.litres / GALLON_L)} gal" if gallons else volume(view.litres, units)
    return ("" if view.litres_read else "about ") + room


def closing(kg: Sequence[float], units: str) -> list[str]:
    """Amounts that add up to nothing, all in one unit and to so many places that what is printed adds up, too.

    ``kg`` is signed; what is printed is not. What cannot close within a thousandth is printed to a thousandth.
    """
    most = max(map(abs, kg))
    name = ("lb" if most >= UNITS["lb"].factor else "oz") if units == "us" else ("kg" if most >= 1 else "g")
    sizes = [each / UNITS[name].factor for each in kg]
    places, rounded = 0, sizes
    for places in range(1, 4):
        rounded = [round(each, places) for each in sizes]
        near = all(abs(said - size) <= 0.02 * abs(size) for said, size in zip(rounded, sizes, strict=True))
        if near and (len(kg) == 1 or abs(sum(rounded)) < 10**-places / 2):
            break
    return [f"{abs(each):.{places}f}".rstrip("0").rstrip(".") + f" {name}" for each in rounded]


def _wet(view: LotView) -> str:
    if view.moisture is None:
        return "not read"
    return ("" if view.moisture_read else "about ") + percent(view.moisture)


def list_lines(views: Sequence[LotView], units: str, paper: Paper) -> Iterator[str]:
    """Every lot: step, mass, room, moisture, what went out."""
    if not views:
        yield from wrapped(
            'There is no lot yet. Begin one: wormbin harvest kitchen "4.5 kg" --lot spring-26', paper.width
        )
    for view in views:
        yield from _lot_lines(view, units, paper)


def _lot_lines(view: LotView, units: str, paper: Paper) -> Iterator[str]:
    head = f"{view.name}: {STEP_WORDS[view.step]} since {day(view.step_on)}"
    here = "empty" if not view.kg else f"{mass(view.kg, units)} ({_room(view, units)}), moisture {_wet(view)}"
    yield from wrapped(f"{head}; {here}", paper.width, rest="  ")
    parts = [f"harvested {{}} from {', '.join(view.bins).replace('{', '(').replace('}', ')')}"]
    figures = [view.harvested_kg]
    for said, kg in (("sold", view.sold_kg), ("used", view.used_kg)):
        if kg:
            parts.append(f"{said} {{}}")
            figures.append(-kg)
    if abs(view.changed_kg) >= 0.0005:
        parts.append(f"{{}} {'less' if view.changed_kg < 0 else 'more'} by the scale")
        figures.append(view.changed_kg)
    if len(figures) > 1:
        parts.append("leaves {}")
        figures.append(-view.kg)
    parts = [part.format(amount) for part, amount in zip(parts, closing(figures, units), strict=True)]
    yield from wrapped("; ".join(parts), paper.width, "  ", "  ")
    if view.short:
        yield from wrapped(view.short, paper.width, "  ! ", "    ")


def _given(given: Sequence[Given]) -> list[dict[str, object]]:
    return [{"material": each.material, "kg": each.kg} for each in given]


def _origin(view: OriginView) -> dict[str, object]:
    return {
        "bin": view.bin,
        "date": view.on,
        "entry": view.entry,
        "kg": view.kg,
        "share": view.share,
        "fed_since": view.since,
        "feeds": _given(view.feeds),
        "beddings": _given(view.beddings),
    }


def page(found: LotPage) -> dict[str, object]:
    """A lot opened as JSON."""
    return {
        **lot(found.lot),
        "origins": [_origin(each) for each in found.origins],
        "lines": [
            {
                "entry": each.entry,
                "date": each.on,
                "kind": each.kind,
                "words": each.words,
                "by": each.by,
                "note": each.note,
                "kg_after": each.after_kg,
                "struck": each.struck,
                "why": each.why,
            }
            for each in found.lines
        ],
        "cautions": found.cautions,
    }


def page_lines(found: LotPage, units: str, paper: Paper) -> Iterator[str]:
    """A lot opened: where it came from, its lines, what to mind when it is sold."""
    yield from _lot_lines(found.lot, units, paper)
    yield ""
    yield "Where it came from"
    for each in found.origins:
        words = f"{mass(each.kg, units)} ({percent(each.share)}) from {each.name} ({each.bin}), {day(each.on)}"
        yield from wrapped(words, paper.width, "  ", "    ")
        for title, given in (("fed", each.feeds), ("bedding", each.beddings)):
            if given:
                listed = ", ".join(f"{mass(item.kg, units)} {item.name.lower()}" for item in given)
                yield from wrapped(f"{title} since {day(each.since)}: {listed}", paper.width, "    ", "      ")
    yield ""
    yield "Its lines"
    for line in found.lines:
        after = f"struck through ({line.why})" if line.struck else f"{mass(max(0.0, line.after_kg), units)} in it then"
        words = f"{line.words}; {after}" + (f" [{line.by}]" if line.by else "") + (f" {line.note}" if line.note else "")
        yield from wrapped(words, paper.width, f"  {day(line.on):<16} {plain(line.entry):<11} ", " " * 30)
    yield ""
    yield "Before it is sold or given away"
    for words in found.cautions:
        yield from wrapped(words, paper.width, "  - ", "    ")


def went(view: WentView) -> dict[str, object]:
    """Castings of a bin in a lot as JSON."""
    return {"lot": view.lot.name, "date": view.on, "kg": view.kg, "share": view.share, "step": view.lot.step}


def went_lines(bin_key: str, found: Sequence[WentView], units: str, paper: Paper) -> Iterator[str]:
    """Where a bin's castings went."""
    if not found:
        yield from wrapped(f"No castings of {bin_key} went into a lot.", paper.width)
    for each in found:
        words = f"{mass(each.kg, units)} into {each.lot.name} ({percent(each.share)} of it), now {each.lot.words}"
        yield from wrapped(words, paper.width, f"{day(each.on):<16} ")


def stock(view: StockView) -> dict[str, object]:
    """Stock as JSON."""
    return {
        "kg": view.kg,
        "litres": view.litres,
        "waiting_kg": view.waiting_kg,
        "lots": [lot(each) for each in view.lots],
    }


def stock_lines(view: StockView, units: str, paper: Paper) -> Iterator[str]:
    """What is ready to go, and what is on its way."""
    gallons = units == "us" and any(each.litres >= GALLON_L for each in view.lots)
    for each in view.lots:
        room = _room(each, units, gallons=gallons)
        words = f"{mass(each.kg, units)} ({room}), moisture {_wet(each)}, since {day(each.step_on)}"
        yield from wrapped(words, paper.width, f"{plain(each.name)}  ", "  ")
    total = (
        f"in stock: {mass(view.kg, units)}, about {volume(view.litres, units)}" if view.lots else "nothing is in stock"
    )
    yield from wrapped(f"{total}; on its way: {mass(view.waiting_kg, units)}", paper.width)


def yielded(view: YieldView) -> dict[str, object]:
    """A yield as JSON."""
    return {
        "bin": view.bin,
        "harvests": view.harvests,
        "castings_kg": view.castings_kg,
        "feed_kg": view.feed_kg,
        "bedding_kg": view.bedding_kg,
        "kg_per_kg_feed": view.per_feed,
        "kg_per_m2": view.per_m2,
        "kg_per_m2_year": view.per_m2_year,
        "since": view.since,
        "until": view.until,
    }


def yield_lines(views: Sequence[YieldView], units: str, paper: Paper) -> Iterator[str]:
    """What every bin gave for what it was given."""
    titles = ("bin", "harvests", "castings", "feed", "per feed", f"on {area(1.0, units)}", "a year", "up to")
    rows = [titles]
    for view in views:
        if view.until is None:
            rows.append((plain(view.name, 22).rstrip(), "0", *("-",) * 5, "no harvest yet"))
            continue
        rows.append(
            (
                plain(view.name, 22).rstrip(),
                str(view.harvests),
                mass(view.castings_kg, units),
                mass(view.feed_kg, units),
                "-" if view.per_feed is None else figure(view.per_feed),
                "-" if view.per_m2 is None else mass(view.per_m2, units),
                "-" if view.per_m2_year is None else mass(view.per_m2_year, units),
                view.until.isoformat(),
            )
        )
    widths = [max(cell_len(row[place]) for row in rows) for place in range(len(titles))]
    last = len(titles) - 1
    for row in rows:
        cells = []
        for place, (cell, width) in enumerate(zip(row, widths, strict=True)):
            room = " " * (width - cell_len(cell))
            cells.append(room + cell if 0 < place < last else cell + room)
        yield "  ".join(cells).rstrip()
    note = (
        "Wet castings by fresh feed as put in, up to the latest harvest; bedding gives castings, too, and is not in it."
    )
    yield from wrapped(note, paper.width)


def _delivery(view: DeliveryView) -> dict[str, object]:
    return {
        "bin": view.bin,
        "ready_in_time": view.ready,
        "finished_kg": view.kg,
        "earliest": view.earliest,
        "likely": view.likely,
        "latest": view.latest,
        "due_since": view.due_since,
        "on": view.on,
        "harvest_by": view.harvest_by,
        "cure_days": view.cure_days,
    }


def plan(view: PlanView) -> dict[str, object]:
    """A plan as JSON."""
    return {
        "kg": view.kg,
        "by": view.by,
        "likelihood": view.likelihood,
        "in_stock_kg": view.in_stock_kg,
        "on_the_way_kg": view.on_the_way_kg,
        "from_bins_kg": view.brings,
        "harvest_by": view.bins[0].harvest_by if view.bins else None,
        "cure_days": view.cure_days,
        "kept": view.kept,
        "bins": [_delivery(each) for each in view.bins],
        "words": view.words,
    }


def plan_lines(view: PlanView, units: str, paper: Paper) -> Iterator[str]:
    """Whether it will be enough, and who brings it."""
    yield from wrapped(odds_words(view, units), paper.width)
    for each in view.bins:
        yield from wrapped(delivery_words(each, units), paper.width, f"  {plain(each.name)}: ", "    ")
    for words in view.words:
        yield from wrapped(words, paper.width)
    yield from wrapped("The steps before each harvest: wormbin harvests", paper.width)
