"""Rules on what was smelt and seen: dying or leaving worms first, with the five steps to take before any sum."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import timedelta
from types import MappingProxyType

from wormbin.advice.bedding import dry
from wormbin.advice.case import Case
from wormbin.advice.doses import drain
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.limits import HOLD_DAYS, LIME_KG_M2
from wormbin.advice.rations import hold
from wormbin.advice.wording import days, mass, percent, percent_band, scooped, temperature
from wormbin.figures import Level
from wormbin.records.entries import Check, Entry
from wormbin.science.cautions import CAUTIONS
from wormbin.science.constants import COVER_M, LOOSE_BEDDING_KG_M3
from wormbin.science.signs import EMERGENCY, EMERGENCY_SOURCE, LET_OUT, TIP_OUT, Sign, sign

SIGN_DAYS = 3
"""A sign counts for this long unless a later check does not mention it."""
SETTLING_DAYS = 7
"""Worms wander in the first nights of a new bin."""
REFUGE_KG_M2 = 2.0
"""Fresh bedding, soaked, for a refuge in half the bin (ours)."""
HOLD_LONG_DAYS = 7

_DYING = re.compile(
    r"\b(dead|dying|died|dies|killed|lifeless|limp|mushy|stringy)\b.{0,20}\bworms?\b|"
    r"\bworms?\b.{0,20}\b(dead|dying|died|killed|lifeless|limp|mushy|stringy)\b|^\s*(dying|dead)\s*$"
)
_LEAVING = re.compile(
    r"\b(leaving|left the bin|climbing|crawling (out|up)|escap\w+|fleeing|migrating out|on the (lid|walls?|floor))\b"
)
_DENIED = re.compile(r"\b(no|not|none|never|without|few)\b[^,;.]{0,15}$")


@dataclass(frozen=True, slots=True)
class _Row:
    """A sign as it is told in a check: the ``words`` that tell it, the kind of each of its steps (``science.signs``).

    ``own`` are the steps, by their place, that this bin's amounts are put into; ``within`` is a stronger sign that
    includes it, ``bars`` what it holds back, ``feed`` what is left of the ration.
    """

    words: str
    kinds: tuple[Doing, ...]
    own: Mapping[int, str] = field(default_factory=dict)
    within: str = ""
    bars: tuple[Doing, ...] = ()
    feed: float = 1.0
    hold_days: int = HOLD_DAYS


TABLE: Mapping[str, _Row] = MappingProxyType({
    "smell-rotten": _Row(
        r"rotten|rotting|sulphur|sulfur|sewage|bad eggs?|putrid|foul|stinks?|stinking",
        (Doing.STOP, Doing.TAKE_OUT, Doing.FLUFF, Doing.BEDDING), {0: "{hold}", 3: "{dry}"}, bars=(Doing.WATER,),
        hold_days=HOLD_LONG_DAYS,
    ),
    "smell-ammonia": _Row(
        r"ammonia|urine|sharp|window cleaner", (Doing.TAKE_OUT, Doing.BEDDING, Doing.FLUFF), {1: "{dry}"},
    ),
    "smell-sour": _Row(
        r"sour|vinegar|acid smell|yeasty|fermented|alcohol", (Doing.STOP, Doing.FLUFF, Doing.LIME),
        {0: "{hold}", 2: "dust it with {lime} of ground eggshell or ground limestone (calcium carbonate)"},
    ),
    "red-mites": _Row(
        r"red mites?", (Doing.STOP, Doing.PESTS), {0: "{hold}, give less water, and let air and light in at once"},
    ),
    "swollen-worms": _Row(
        r"lumpy|swollen|string of pearls|beaded", (Doing.TAKE_OUT, Doing.LIME, Doing.FLUFF),
        {1: "dust it with {lime} of ground limestone (calcium carbonate)"},
    ),
    "mites": _Row(
        r"mites?", (Doing.STOP, Doing.FLUFF, Doing.PESTS), {0: "{hold}, and give less water"}, within="red-mites",
    ),
    "soldier-flies": _Row(
        r"soldier ?fl(y|ies)|bsf|larvae|gnats?|cockroach(es)?|roach(es)?", (Doing.COVER, Doing.PESTS, Doing.STOP),
        {0: "bury the food and lay {cover} of bedding over it", 2: "{hold}"},
    ),
    "water-base": _Row(
        r"(water|liquid) .{0,20}(base|bottom|floor)|(standing|pooled|pooling) water|puddles?|leachate",
        (Doing.DRAIN, Doing.BEDDING, Doing.THEN), {0: "{drain}", 1: "{dry}"}, bars=(Doing.WATER,), feed=0.5,
    ),
    "flies": _Row(
        r"fruit ?fl(y|ies)|fl(y|ies)|maggots?", (Doing.COVER, Doing.COVER, Doing.PESTS),
        {1: "cover it 3 cm deep with {cover} of bedding"}, within="soldier-flies",
    ),
    "rodents": _Row(
        r"rats?|mouse|mice|rodents?|slugs?", (Doing.THEN, Doing.PESTS, Doing.PESTS),
    ),
    "hunters": _Row(
        r"centipedes?|flatworms?|planaria", (Doing.PESTS, Doing.PESTS),
    ),
    "ants": _Row(
        r"ants?", (Doing.WATER, Doing.PESTS, Doing.CAUTION),
    ),
    "mould": _Row(
        r"mou?ld|mou?ldy|fungus", (Doing.COVER, Doing.STOP, Doing.CAUTION), {1: "{hold}"},
    ),
    "pale-worms": _Row(
        r"pale|small worms|thin worms|no cocoons", (Doing.HARVEST, Doing.FEED, Doing.WORMS),
    ),
    "pot-worms": _Row(
        r"pot ?worms?|springtails?|white worms", (Doing.THEN, Doing.THEN),
    ),
})  # fmt: skip
"""What each sign means and what to do stands in ``science.signs``."""


def one_of(causes: Sequence[str]) -> str:
    """ "sour bed, salt or dry": likely causes in a row."""
    return " or ".join(filter(None, (", ".join(causes[:-1]), *causes[-1:])))


def five_steps(refuge: str = "", *, holes: bool = True) -> tuple[str, ...]:
    """The five steps to do now, numbered; ``refuge`` is bedding for one, in words, ``holes`` are those of the base."""
    steps = []
    for number, step in enumerate(EMERGENCY, 1):
        amount = f" You need about {refuge} of bedding." if refuge and "refuge" in step else ""
        step = step if holes else step.replace(LET_OUT.capitalize(), TIP_OUT.capitalize())
        steps.append(f"{number} {step}{amount}")
    return tuple(steps)


def _said(entry: Entry) -> tuple[str, ...]:
    """What a check says in words, piece by piece."""
    check = entry.what
    return tuple(each.lower() for each in (check.smell, *check.seen, entry.note)) if isinstance(check, Check) else ()


def _told(pattern: re.Pattern[str], pieces: tuple[str, ...]) -> bool:
    """Whether the words are said in any piece, and not denied ("no mites")."""
    return any(not _DENIED.search(text[: found.start()]) for text in pieces for found in pattern.finditer(text))


def _fresh_checks(case: Case) -> tuple[Entry, ...]:
    """The checks of the latest day with one, if it is near enough to count."""
    checks = [entry for entry in case.entries if isinstance(entry.what, Check) and entry.when.date() <= case.on]
    if not checks or (case.on - checks[-1].when.date()).days > SIGN_DAYS:
        return ()
    last = checks[-1].when.date()
    return tuple(entry for entry in checks if entry.when.date() == last)


def _when(case: Case, entry: Entry) -> str:
    age = (case.on - entry.when.date()).days
    return ("today", "yesterday")[age] if age < 2 else f"{days(age)} ago"


def emergency(case: Case) -> Finding | None:
    """Worms dying or leaving: five steps to do now, before any sum."""
    told = [(entry, _said(entry)) for entry in _fresh_checks(case)]
    dying = [entry for entry, pieces in told if _told(_DYING, pieces)]
    leaving = [entry for entry, pieces in told if _told(_LEAVING, pieces)]
    if not dying and not leaving:
        return None
    entry = (dying or leaving)[-1]
    young = (case.on - case.bin.started).days < SETTLING_DAYS and not dying
    level = Level.WATCH if young else Level.ACT
    known = sign("dying" if dying else "leaving")
    likely = "a new bin: they settle in a few nights" if young else one_of(known.likely)
    today, units = case.today, case.settings.units
    name = "dying" if dying else "leaving"
    refuge = mass(max(0.2, case.bin.footprint_m2 * REFUGE_KG_M2), units)
    warmth = f"{temperature(today.temp_c.p10, units)} to {temperature(today.temp_c.p90, units)}"
    return Finding(
        code=known.code,
        level=level,
        what=f"worms are {name}: take these five steps now",
        why=f"you saw it {_when(case, entry)}. Likely causes: {likely}.",
        actions=tuple(
            Action(Doing.EMERGENCY, step, float(-number), until=case.on + timedelta(days=HOLD_LONG_DAYS))
            for number, step in enumerate(five_steps(refuge, holes=case.bin.drainage))
        ),
        sure=f"You saw it. Estimate: moisture {percent_band(today.moisture)}, {warmth}.",
        source=EMERGENCY_SOURCE,
        urgency=100.0 if dying else 90.0,
        emergency=level is Level.ACT,
        feed=0.0,
        short=f"worms are {name}",
        bars=(Doing.FEED, Doing.WATER),
        seen=True,
    )


def seen_and_smelt(case: Case) -> Finding | None:
    """The gravest other sign of the latest check, with its likely cause and what to do."""
    pieces = tuple(piece for entry in _fresh_checks(case) for piece in _said(entry))
    codes = [code for code, row in TABLE.items() if _told(re.compile(rf"\b({row.words})\b"), pieces)]
    found = [sign(code) for code in codes if TABLE[code].within not in codes]
    if not found:
        return None
    gravest = max(found, key=lambda each: each.level.rank)
    when = _when(case, _fresh_checks(case)[-1])
    others = " and ".join(each.seen for each in found if each is not gravest)
    likely, first = one_of(gravest.likely), f"likely {gravest.likely[0].partition(':')[0]}"
    if gravest.code == "ants" and not _dry(case):
        first = "they come for food or a warm dry place"
        likely = f"{likely} where they nest. The rest is {percent(case.today.moisture.p50)} moist, which is right"
    return Finding(
        code=gravest.code,
        level=gravest.level,
        what=f"{gravest.seen}: {first}",
        why=f"you saw it {when}{f', with {others}' if others else ''}. Likely cause: {likely}.",
        actions=_steps(case, gravest),
        sure="From one check. A sign points to a cause, but does not prove it.",
        source=gravest.source,
        urgency=5.0 + len(found),
        feed=TABLE[gravest.code].feed,
        short=f"{gravest.seen} was noticed {when}",
        bars=TABLE[gravest.code].bars,
        seen=True,
    )


def _dry(case: Case) -> bool:
    """Whether the contents are under the moisture that is aimed at."""
    return case.today.moisture.p50 < case.settings.moisture_low


def _steps(case: Case, seen: Sign) -> tuple[Action, ...]:
    """What to do about a sign, with this bin's amounts, and what to mind while doing it."""
    units, area = case.settings.units, case.bin.footprint_m2
    row, bedding = TABLE[seen.code], dry(case)
    stop = hold(case, row.hold_days)
    amounts = {
        "hold": stop.text,
        "dry": bedding.text,
        "drain": drain(case, seen=True).text,
        "cover": scooped(area * COVER_M * LOOSE_BEDDING_KG_M3, units),
        "lime": scooped(LIME_KG_M2 * area, units),
    }
    steps = []
    for place, (kind, step) in enumerate(zip(row.kinds, seen.do, strict=True)):
        text = row.own.get(place, step).format(**amounts)
        if seen.code == "ants" and kind is Doing.WATER and not _dry(case):
            kind, text = Doing.COVER, "bury the food, and wet the bedding only where it feels dry"
        if kind is Doing.STOP:
            steps.append(replace(stop, text=text))
        else:
            strength = bedding.strength if kind is Doing.BEDDING else LIME_KG_M2 * area if kind is Doing.LIME else 0.02
            steps.append(Action(kind, text, strength))
    said = {action.text for action in steps if action.kind is Doing.CAUTION}
    steps += [Action(Doing.CAUTION, CAUTIONS[code].brief or CAUTIONS[code].text) for code in seen.cautions if not said]
    return tuple(steps)
