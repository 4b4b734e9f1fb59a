"""A bin begun: the box as it is typed, its first bedding and water, the worms it can carry, the first weeks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, time
from functools import partial
from itertools import pairwise
from math import floor, inf

from wormbin.advice.evidence import listed
from wormbin.advice.wording import layer
from wormbin.farm.heading import Heading
from wormbin.farm.logbook import ledger_of
from wormbin.farm.session import Session
from wormbin.farm.views.bin import Recorded
from wormbin.farm.views.proposals import BinDraft, PortionView, StartProposal
from wormbin.farm.words.names import weekday_words, weekdays
from wormbin.farm.words.spoken import Faults, Spoken, choice, yes_no
from wormbin.materials.material import CASTINGS, Role
from wormbin.materials.table import MaterialTable
from wormbin.measures import (
    Dimension,
    area as surface,
    counted,
    length,
    mass,
    parse_amount,
    parse_date,
    shown,
    tidy,
    told,
    volume,
)
from wormbin.measures.dates import day_words
from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import USUAL_SITE_C, Bin, Cover, Method, Species
from wormbin.records.door import admit_bin
from wormbin.records.entries import Bedding, Check, Entry, Portion, Stocking, Watering, What
from wormbin.records.farms import Farm, Settings, settings_of
from wormbin.records.ids import KEY_RULE, is_key
from wormbin.schedule.days import WEEKDAYS
from wormbin.science.blend import Ingredient
from wormbin.science.constants import CASTINGS_KG_M3, LEAST_BEDDING_KG, LOOSE_BEDDING_KG_M3, SPONGE_MOISTURE
from wormbin.science.practice import BOX_KG, bed_depth_m, first_bed, first_worms_kg, most_worms_kg

NONE = "none"
BOARD, SEED, GRIT = "shredded-cardboard", CASTINGS, "grit"
TORN = {"flattened-cardboard": BOARD}
"""Beddings that are torn up before use, and what they then lie as."""
BETTER = {
    "site_temp": f"room warmth {USUAL_SITE_C:.0f} °C",
    "worms": "no worms yet",
    "drainage": "holes in the base",
    "cover": "a loose cover",
}
"""What is asked for before it is begun, and what is taken where it is passed over."""

NO_HOLES = "6. No holes in the base: look for water there once a week, and go easy on wet feed."
CAUTIONS = (
    "Wash your hands after. Damp dry paper and board before you tear it: dust and mould are bad for asthma.",
    "A filled bin is heavy: two people lift over 20 kg, and children never lift it. Check your local rules.",
)


def read_bin(draft: BinDraft, farm: Farm, now: datetime, table: MaterialTable) -> Bin:
    """The bin that is described, with materials of ``table``. Raises RefusedError with all that is wrong or missing."""
    faults = Faults()
    key = tidy(draft.key).casefold().replace(" ", "-")
    if not is_key(key):
        faults.read(partial(_refuse, Problem("bin", shown(draft.key), KEY_RULE, "kitchen")), None)
    long = faults.read(partial(_length, draft.length, "length"), None)
    wide = faults.read(partial(_length, draft.width, "width"), None)
    depth = faults.read(partial(_length, draft.depth, "depth"), None)
    area = faults.read(partial(_amount, draft.area, "area", Dimension.AREA), None)
    litres = faults.read(partial(_amount, draft.litres, "litres", Dimension.VOLUME), None)
    site = faults.read(partial(_amount, draft.site_temp, "site-temp", Dimension.TEMPERATURE), None)
    tare = faults.read(partial(_amount, draft.tare, "tare", Dimension.MASS), None)
    drainage = faults.read(lambda: yes_no(draft.drainage, "drainage", True), True)
    cover = faults.read(lambda: choice(Cover, draft.cover, "cover"), None) or Cover.LOOSE
    species = faults.read(lambda: choice(Species, draft.species, "species"), None) or Species.EISENIA
    method = faults.read(lambda: choice(Method, draft.method, "method"), None)
    started = faults.read(lambda: _day(draft.started, now.date()), now.date())
    parts = faults.read(lambda: _compartments(draft.compartments), 1)
    beddings = faults.read(partial(_materials, draft.beddings, "beddings", table), ())
    feeds = faults.read(partial(_materials, draft.feeds, "feeds", table), ())
    days = faults.read(partial(weekdays, draft.feed_days.replace(NONE, ""), "feed-days"), ())
    if area is None and litres is not None and depth:
        area = litres / 1000.0 / depth
    if depth is None and not draft.depth.strip():
        faults.read(partial(_refuse, Problem("depth", "", "the inside depth of the box", "30 cm")), None)
    if area is None and not (draft.length.strip() and draft.width.strip()):
        allowed = "length and width, or the area, or the litres of the box"
        faults.read(partial(_refuse, Problem("size", "", allowed, "--length 60cm --width 40cm")), None)
    faults.settle()
    one = Bin(
        key=key,
        name=tidy(draft.name) or key,
        length_m=long,
        width_m=wide,
        depth_m=depth or 0.0,
        started=started,
        area_m2=area,
        compartments=parts,
        drainage=drainage,
        cover=cover,
        species=species,
        site_temp_c=USUAL_SITE_C if site is None else site,
        method=method or (Method.SORT if parts == 1 else Method.UPWARD),
        tare_kg=tare,
        keeper=tidy(draft.keeper),
        beddings=beddings,
        feeds=feeds,
        feed_days=days,
    )
    return admit_bin(one, farm.bins, now)


def _refuse(problem: Problem) -> None:
    raise RefusedError(problem)


def _amount(words: str, field: str, dimension: Dimension) -> float | None:
    return parse_amount(words, field, expect=dimension).si if words.strip() else None


def _materials(words: str, field: str, table: MaterialTable) -> tuple[str, ...]:
    """Materials parted by commas, by their keys; nothing for none. What is kept to as bedding must be a bedding."""
    found = [table.find(each, field) for each in words.split(",") if tidy(each)] if words.strip() != NONE else []
    for each in found:
        if (each.role is Role.BEDDING) != (field == "beddings"):
            what = "a bedding" if field == "beddings" else "a feed"
            raise RefusedError(Problem(field, shown(each.key), f"{what} of the table", "dry leaves"))
    return tuple(dict.fromkeys(each.key for each in found))


def beddings(session: Session, words: str) -> tuple[str, ...]:
    """What a bin is to keep to as bedding, by its keys. Raises RefusedError."""
    return _materials(words, "beddings", session.table)


def _length(words: str, field: str) -> float | None:
    return _amount(words, field, Dimension.LENGTH)


def _day(words: str, today: date) -> date:
    return parse_date(words, today, "started") if words.strip() else today


def _compartments(words: str) -> int:
    text = words.strip() or "1"
    if text not in ("1", "2", "3", "4", "5"):
        raise RefusedError(Problem("compartments", shown(words), "a whole number from 1 to 5", "1"))
    return int(text)


def _standing(one: Bin, depth_m: float, worms: str, table: MaterialTable) -> list[What]:
    """What stands in a bin that runs already: half castings, half bedding as damp as a sponge (ours), and its worms."""
    half = one.surface_m2 * min(depth_m, one.depth_m) / 2
    bedding = one.beddings[0] if one.beddings else BOARD
    kg = 2 * half * (table.get(TORN.get(bedding, bedding)).bulk_density_kg_m3 or LOOSE_BEDDING_KG_M3)  # settled to half
    dry = Ingredient.of(table.get(bedding), kg)
    water = max(0.0, kg * (SPONGE_MOISTURE - dry.moisture) / (1 - SPONGE_MOISTURE))
    laid = ((SEED, half * CASTINGS_KG_M3), (bedding, kg))
    whats: list[What] = [Bedding(tuple(Portion(key, round(much, 3)) for key, much in laid)), Watering(round(water, 2))]
    return [*whats, Check(contents_m=depth_m), *([Spoken(table).worms(worms)] if worms.strip().strip("0") else [])]


def first_entries(one: Bin, worms: str, table: MaterialTable, settings: Settings, running: str = "") -> list[What]:
    """Bedding, water and worms for the first day: the first bed, soaked, with grit, and castings where there are some.

    Uses the beddings that the keeper has, as far as they go, and board for the rest. ``worms`` as said, else none are
    written. ``running`` is how deep what stands in it is, where it runs already.
    """
    if running.strip():
        return _standing(one, _length(running, "running") or 0.0, worms, table)
    bed = first_bed(one.surface_m2, one.depth_m, _beddings(one, settings, table))
    seed = ((SEED, bed.compost_kg),) if any(each.material == SEED for each in settings.on_hand) else ()
    laid = (*bed.beddings, *seed, (GRIT, bed.grit_kg))
    portions = tuple(Portion(key, round(kg, 3)) for key, kg in laid if key in table)
    whats: list[What] = [Bedding(portions), Watering(round(bed.water_kg, 2))]
    if worms.strip() and worms.strip() != "0":
        whats.append(Spoken(table).worms(worms))
    return whats


def _beddings(one: Bin, settings: Settings, table: MaterialTable) -> list[tuple[Ingredient, float]]:
    """What the bed is made of, each with the room (m3) that it fills: what is at hand, and for the rest
    shredded board, or what the bin keeps to.

    What has no known loose bulk density fills no room that could be told, and is left out.
    """
    left = one.surface_m2 * bed_depth_m(one.depth_m)
    rooms: dict[str, tuple[Ingredient, float]] = {}
    own = one.beddings
    at_hand = [each for each in settings.on_hand if each.material != SEED]
    held = ((each.material, each.kg) for each in at_hand if not own or each.material in own)
    for key, most in (*held, *((each, inf) for each in own or (BOARD,))):
        loose = table.get(TORN.get(key, key)).bulk_density_kg_m3 if key in table else None
        room = min(left, most / loose) if loose else 0.0
        if loose and room * loose >= LEAST_BEDDING_KG:
            had = rooms[key][1] if key in rooms else 0.0
            made_of = replace(Ingredient.of(table.get(key), 0.0), name=key, bulk_density_kg_m3=loose)
            rooms[key] = (made_of, had + room)
            left -= room
    return list(rooms.values())


def proposal(one: Bin, whats: list[What], table: MaterialTable, settings: Settings) -> StartProposal:
    """The first day and the first weeks in words, with a list of what to have ready."""
    units = settings.units
    bedding = next(what for what in whats if isinstance(what, Bedding))
    water = next((what.kg for what in whats if isinstance(what, Watering)), 0.0)
    said = next((what for what in whats if isinstance(what, Stocking)), None)
    later = "" if said else ". Write them down when they are in: “write more”, or wormbin stock"
    carries = first_worms_kg(one.footprint_m2)
    worms_kg = said.worms_kg if said else carries
    # More worms than the surface bears eat no more than those that it does bear.
    most_kg = most_worms_kg(one.footprint_m2)
    own = settings_of(one, settings)
    ramp = _portions(one, [*whats, *(() if said else (Stocking(carries),))], min(worms_kg, most_kg), table, own)
    named = [(each, table.get(each.material).name, mass(each.kg, units)) for each in bedding.portions]
    views = tuple(
        PortionView(each.material, name, each.kg, weight, f"{weight} {name.lower()}") for each, name, weight in named
    )
    board = sum(each.kg for each in bedding.portions if each.material == BOARD)
    boxes = counted(max(1, round(board / BOX_KG)), "cardboard box", "cardboard boxes")
    boxes = f" (about {boxes} of {mass(BOX_KG, units)}, torn small)" if board else ""
    worms_words, days = mass(worms_kg, units), weekday_words(own.feed_days).split(", ")
    bears = f"{mass(carries, units)} to {mass(most_kg, units)} fit this box"
    crowd = ". That is too crowded: split them over more bins" if worms_kg > most_kg else ""
    written = "bedding, water and worms" if said else "bedding and water, and no worms yet,"
    lines = (
        f"{one.name}: {_size(one, units)}, {'with' if one.drainage else 'without'} drainage, cover {one.cover.value}",
        f"1. Bedding: {'; '.join(view.words for view in views)}{boxes}.",
        f"2. Soak the dry bedding overnight in {volume(water, units)} of water, like a wrung sponge (about 78%).",
        f"3. Fill it in loosely, {layer(bed_depth_m(one.depth_m), units)} deep, with the grit in it.",
        "   A handful of ripe castings helps, if you have some. Wet, it all settles to about half that depth.",
        f"4. Worms: {worms_words if said else 'none yet'}; {bears}{crowd}{later}.",
        f"5. Feed from the second or third day, on {listed([day.title() for day in days])}. Bury it under bedding.",
        f"   Each time about, for {worms_words} of worms:",
        f"   weeks 1 and 2 {mass(ramp[0], units)}, weeks 3 and 4 {mass(ramp[2], units)}, then {mass(ramp[4], units)}.",
        "   The round says more as soon as this bin can take more.",
        "   Never feed while over a third of the last feeding is left.",
        *(() if one.drainage else (NO_HOLES,)),
        f"The log will have {written} on {one.started:%A} {one.started.day} {one.started:%B}.",
        "Left something out, or done on another day? Put that line right in the log (l, then r).",
    )
    shopping = (
        *(view.words for view in views),
        f"{volume(water, units)} of water",
        f"{worms_words} of composting worms ({one.species.value})" + ("" if said else " when you are ready"),
    )
    cautions = tuple(told(line, units) for line in CAUTIONS)
    weeks = tuple(kg * len(own.feed_days) for kg in ramp)
    return StartProposal(one.key, views, water, worms_kg, weeks, lines, shopping, cautions)


WEEKS = 6


def _portions(one: Bin, whats: list[What], worms_kg: float, table: MaterialTable, settings: Settings) -> list[float]:
    """What is fed at once in each of the first weeks, kg down to whole 10 g: as the ration will have it then."""
    from wormbin.advice.rations import first_portions
    from wormbin.process.replay import replay

    when = datetime.combine(one.started, time(12), UTC)
    begun = replay(
        one, [Entry(f"start-{number}", one.key, when, what) for number, what in enumerate(whats)], table, when
    )
    days = sorted(WEEKDAYS.index(day) for day in settings.feed_days) or [0]
    gap = min(later - day for day, later in pairwise((*days, days[0] + 7)))
    return [floor(kg * 100) / 100 for kg in first_portions(begun, worms_kg, gap, WEEKS)]


def _size(one: Bin, units: str) -> str:
    if one.length_m is not None and one.width_m is not None:
        return f"{length(one.length_m, units)} x {length(one.width_m, units)} x {length(one.depth_m, units)}"
    return f"{surface(one.surface_m2, units)}, {length(one.depth_m, units)} deep"


def unsaid(fields: Mapping[str, str], units: str) -> list[str]:
    """What is taken where nothing was said, in a sentence; nothing when all was said."""
    taken = [told(words, units) for name, words in BETTER.items() if name not in fields]
    return [f"Not said, so taken: {', '.join(taken)}."] if taken else []


def propose(session: Session, draft: BinDraft) -> StartProposal:
    """First bedding, water, worms and ramp for a bin that is not written yet."""
    one = read_bin(draft, session.farm(), session.clock(), session.table)
    settings = session.cache.settings()
    whats = first_entries(one, draft.worms, session.table, settings, draft.running)
    view = proposal(one, whats, session.table, settings)
    if not draft.running.strip():
        return view
    lies = (
        "It runs already. Nobody weighed what stands in it; by its depth about:",
        *(f"   {each.words}" for each in view.beddings),
        f"   {volume(view.water_kg, settings.units)} of water",
        "Weigh it or count its worms soon, squeeze a handful today, and write that down: what you read counts.",
        f"The log will have this on {one.started:%A} {one.started.day} {one.started:%B}.",
    )
    return replace(view, lines=(view.lines[0], *lies), shopping=())


def start(session: Session, draft: BinDraft) -> Recorded:
    """Write a new bin with its first bedding, water and worms as proposed: all of it or nothing."""
    from wormbin.farm.heading import read_heading

    farm, now = session.farm(), session.clock()
    one = read_bin(draft, farm, now, session.table)
    if one.started > now.date():
        whole = f"{one.name} can be begun on {day_words(one.started, now.date())}, and not before"
        raise RefusedError(Problem("started", draft.started, "a day that has come", now.date().isoformat(), "", whole))
    first = first_entries(one, draft.worms, session.table, session.cache.settings(), draft.running)
    grown = replace(farm, bins=(*farm.bins, one))
    ledger = replace(ledger_of(session), farm=grown)
    when = "" if one.started == now.date() else one.started.isoformat()
    entries = ledger.entries(one, read_heading(Heading(when=when, by=draft.keeper), one, now), first)
    session.store.record(entries, did="started", farm=lambda held: replace(held, bins=(*held.bins, one)))
    said = "; ".join(ledger.words(entry) for entry in entries)
    return Recorded(tuple(entry.id for entry in entries), f"{one.name} started: {said}")
