"""Lots, stock, origins, yields and plans as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

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
from wormbin.measures import area, mass, percent, volume
from wormbin.measures.printing import figure


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


def _room(view: LotView, units: str) -> str:
    return ("" if view.litres_read else "about ") + volume(view.litres, units)


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
    parts = [f"harvested {mass(view.harvested_kg, units)} from {', '.join(view.bins)}"]
    for said, kg in (("sold", view.sold_kg), ("used", view.used_kg)):
        if kg:
            parts.append(f"{said} {mass(kg, units)}")
    if abs(view.changed_kg) >= 0.0005:
        less = "less" if view.changed_kg < 0 else "more"
        parts.append(f"{mass(abs(view.changed_kg), units)} {less} by the scale")
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
    for each in view.lots:
        words = f"{mass(each.kg, units)} ({_room(each, units)}), moisture {_wet(each)}, since {day(each.step_on)}"
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
    for view in views:
        if view.until is None:
            yield from wrapped("no harvest yet", paper.width, f"{plain(view.name)}: ")
            continue
        parts = [f"{mass(view.castings_kg, units)} in {view.harvests} harvest{'s' if view.harvests != 1 else ''}"]
        if view.per_feed is not None:
            parts.append(f"{figure(view.per_feed)} per weight of feed ({mass(view.feed_kg, units)} fed)")
        if view.per_m2 is not None:
            parts.append(f"{mass(view.per_m2, units)} on {area(1.0, units)}")
        if view.per_m2_year is not None:
            parts.append(f"{mass(view.per_m2_year, units)} on that a year")
        words = f"{'; '.join(parts)}; from {day(view.since)} to the harvest of {day(view.until)}"
        yield from wrapped(words, paper.width, f"{plain(view.name)}: ", "  ")
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
    chance = round(view.likelihood * 10)
    odds = "all but certain" if chance == 10 else "hardly" if chance == 0 else f"about {chance} times in 10"
    head = f"{mass(view.kg, units)} of finished castings by {day(view.by)}: {odds}"
    yield from wrapped(head, paper.width)
    for each in view.bins:
        window = f"likely {day(each.likely)}" if each.likely else "no harvest in sight"
        if each.earliest and not each.likely:
            window = f"earliest {day(each.earliest)}, likely beyond the look-ahead"
        words = (
            f"ready in time {round(each.ready * 100)} %, {window};"
            f" about {mass(each.kg.p50, units)} finished ({mass(each.kg.p10, units)} to {mass(each.kg.p90, units)})"
        )
        yield from wrapped(words, paper.width, f"  {plain(each.name)}: ", "    ")
    for words in view.words:
        yield from wrapped(words, paper.width)
    yield from wrapped("The steps before each harvest: wormbin harvests", paper.width)
