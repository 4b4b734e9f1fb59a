"""A bin's own page: what to do now, how it is, what lies ahead, what the log says and what it has taught."""

from __future__ import annotations

from collections.abc import Callable

from wormbin.advice.evidence import name_of
from wormbin.drawing.cutaway import Cut
from wormbin.drawing.strata import Section
from wormbin.farm.bins.ahead import charts
from wormbin.farm.bins.gauges import DOUBT_DAYS, gauges, latest, say_reading
from wormbin.farm.bins.many import many_words
from wormbin.farm.bins.row import compartments, do_now, of_today
from wormbin.farm.bins.scene import Scene
from wormbin.farm.views.bin import BinView, Doubt
from wormbin.farm.words.spoken import Spoken
from wormbin.farm.words.typed import typed_fields
from wormbin.figures import Band, weight_words
from wormbin.measures import counted
from wormbin.process.views import Day, Judged, Part
from wormbin.records.entries import Check

DRAWN_FROM_KG = 0.005
_LAYERS = {
    "feed": ("overfed", "left-over", "left-waits", "fed-over", "thick-layer"),
    "water": ("standing-water", "water-base"),
}
"""Which findings name a layer of the drawing."""


def bin_view(scene: Scene) -> BinView:
    """The page of one bin."""
    return BinView(
        bin=scene.bin,
        on=scene.on,
        day=scene.today.day,
        do_now=do_now(scene),
        emergency=next((finding.do for finding in scene.findings if finding.emergency), ()),
        gauges=gauges(scene),
        cut=cut(scene),
        charts=charts(scene),
        learned=learned_words(scene),
        doubts=doubts(scene),
        last_words=last_check_words(scene),
        compartments=compartments(scene),
        many=many_words(scene),
        **of_today(scene),
    )


def material_name(scene: Scene) -> Callable[[str], str]:
    """Gives a material's everyday name by its key; the key itself when the table no longer has it."""
    table = scene.table
    return lambda key: table.get(key).name.lower() if key in table else key


def cut(scene: Scene) -> Cut:
    """The cutaway's layers, one compartment or several; the last ruler reading beside the whole."""
    one, today = scene.bin, scene.today
    ruler = latest(scene.past.judged, "contents_m", scene.on)
    surface = max(one.surface_m2, 1e-9)

    def section(number: int, of: Day | Part) -> Section:
        layers = of.layers
        return Section(
            number, drawn_feed_m(layers.feed_m, of.feed_waiting_kg.p50), layers.bedding_m, layers.castings_m,
            layers.water_m, of.worms_kg.p50 / surface, named=named_layers(scene, number),
        )  # fmt: skip

    several = len(today.parts) > 1
    read = ruler.read if ruler is not None and not ruler.questioned and not several else None
    sections = tuple(section(part.number, part) for part in today.parts) if several else (section(1, today),)
    return Cut(sections, one.depth_m, one.cover, read, one.drainage, one.sideways)


def named_layers(scene: Scene, part: int) -> tuple[str, ...]:
    """The layers that a finding on this compartment names."""
    codes = {each.code for each in scene.findings if each.compartment in (0, part)}
    return tuple(layer for layer, about in _LAYERS.items() if not codes.isdisjoint(about))


def drawn_feed_m(feed_m: float, waiting_kg: float) -> float:
    """The layer of feed to draw, m: none where less waits than is shown as 0 g."""
    return feed_m if waiting_kg >= DRAWN_FROM_KG else 0.0


SCORED_FROM = 5
"""So many readings before it is told how often the bands held them (ours)."""


def learned_words(scene: Scene) -> tuple[str, ...]:
    """What the log has taught about this bin, in plain words."""
    learned = scene.past.learned
    if not learned.readings_used:
        return ("nothing learned yet: every reading you write down makes the estimates of this bin better",)
    used = f"from {counted(learned.readings_used, 'reading')}"
    apart = "" if learned.worms_apart else ". Count the worms once: then it knows if they are many, or eat much"
    held, of = learned.held
    score = f"of your last {counted(of, 'reading')} {held} lay in the band told before them"
    return (
        f"they eat {_times(learned.rate)} as fast as the book says, {used}{apart}",
        f"it dries {_times(learned.drying)} as fast as the book says",
        *([score] if of >= SCORED_FROM else []),
    )


def _times(band: Band) -> str:
    return f"{band.p50:.2f} times ({band.p10:.2f} to {band.p90:.2f})"


def doubts(scene: Scene) -> tuple[Doubt, ...]:
    """The readings of the last weeks that did not fit what was believed; they are weighed down, never dropped."""
    return tuple(
        Doubt(each.entry, each.when.date(), _doubt_words(each, scene.settings.units), each.weight)
        for each in scene.past.judged
        if each.doubted and (scene.on - each.when.date()).days <= DOUBT_DAYS
    )


def _doubt_words(each: Judged, units: str) -> str:
    name, read = name_of(each.quantity, each.by), say_reading(each.quantity, each.read, units)
    if each.weight <= 0.0:  # it was held against the other readings of its day
        low, high = (say_reading(each.quantity, edge, units) for edge in (each.expected.p10, each.expected.p90))
        told = f"stands far off the others of that day ({low} to {high}). It is not used before a second look"
        return f"{name} of {read} on {each.when.date().isoformat()} {told}"
    fits = "does not fit" if each.questioned else "fits badly"
    return f"{name} of {read} on {each.when.date().isoformat()} {fits}: {_believed_words(each, units)}"


def _believed_words(each: Judged, units: str) -> str:
    """ "300 g to 500 g was expected. It counts less: 620 g was taken"."""
    low, high = (say_reading(each.quantity, edge, units) for edge in (each.expected.p10, each.expected.p90))
    taken = f"{say_reading(each.quantity, each.taken, units)} was taken" if each.taken is not None else ""
    counts = f"It {weight_words(each.weight)}" if each.doubted else ""
    return ". ".join(filter(None, (f"{low} to {high} was expected", ": ".join(filter(None, (counts, taken))))))


def taken_words(scene: Scene, entry: str) -> str:
    """What was believed before a line was read, and what is since: for a survey, and for what fits badly; else none."""
    each = next((one for one in scene.past.judged if one.entry == entry), None)
    told = each is not None and (each.doubted or each.quantity == "worms_kg")
    return _believed_words(each, scene.settings.units) if each is not None and told else ""


def last_check_words(scene: Scene) -> tuple[tuple[str, str], ...]:
    """The last check, by the fields of the form."""
    check = next((e.what for e in reversed(scene.entries) if isinstance(e.what, Check)), None)
    fields = {} if check is None else typed_fields(check, Spoken(scene.table), scene.settings.units)
    return tuple((name, words) for name, words in fields.items() if words)
