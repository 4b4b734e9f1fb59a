"""Rules on what was smelt and seen: dying or leaving worms first, with the five steps to take before any sum."""

from __future__ import annotations

import re
from dataclasses import dataclass

from wormbin.advice.bedding import dry_step
from wormbin.advice.case import Case
from wormbin.advice.finding import Finding
from wormbin.advice.limits import LIME_KG_M2, LOOSE_KG_M3
from wormbin.advice.rations import hold_step
from wormbin.advice.wording import days, mass, percent_band, temperature
from wormbin.figures import Level
from wormbin.records.entries import Check, Entry

FRESH_DAYS = 3
"""A sign counts for this long unless a later check does not mention it."""

NCSTATE = "NC State Extension, Controlling Mite Pests in Earthworm Beds"
SANMATEO = "San Mateo County RecycleWorks"
METRO = "Oregon Metro"
EULESS = "City of Euless"
HANDBOOK = "Handbook of Vermicomposting, ch. 8"
ECOLOGY = "Earthworm Ecology 2004, Table 18.3"
PRACTICE = "common practice, no source"

_DYING = re.compile(
    r"\b(dead|dying|died|dies|killed|lifeless|limp|mushy|rotting|stringy)\b.{0,20}\bworms?\b|"
    r"\bworms?\b.{0,20}\b(dead|dying|died|killed|lifeless|limp|mushy|rotting|stringy)\b|^\s*(dying|dead)\s*$"
)
_LEAVING = re.compile(
    r"\b(leaving|left the bin|climbing|crawling (out|up)|escap\w+|fleeing|migrating out|on the (lid|walls?|floor))\b"
)
_NOT = re.compile(r"\b(no|not|none|never|without|few)\b[^,;.]{0,15}$")


@dataclass(frozen=True, slots=True)
class Sign:
    """A sign: the words that tell it, what it likely means, what to do, how grave it is, and the source.

    ``{hold}``, ``{dry}``, ``{cover}`` and ``{lime}`` in a step are filled with this bin's own amounts.
    """

    code: str
    words: str
    name: str
    likely: str
    do: tuple[str, ...]
    level: Level
    source: str


SIGNS: tuple[Sign, ...] = (
    Sign("smell-rotten", r"rotten|rotting|sulphur|sulfur|sewage|bad egg|putrid|foul|stink", "a rotten smell",
         "too much feed, no air, wet, or meat in it",
         ("{hold_week}", "take out meat and dairy",
          "fluff daily, open the vents", "{dry}"),
         Level.ACT, SANMATEO),
    Sign("smell-ammonia", r"ammonia|urine|sharp|window cleaner", "an ammonia smell",
         "rich in nitrogen: poultry manure, grass, protein",
         ("take the rich feed out", "{dry}", "fluff, lid open for a day"),
         Level.ACT, HANDBOOK),
    Sign("smell-sour", r"sour|vinegar|acid smell|yeasty|fermented|alcohol", "a sour smell",
         "acid fermentation of fruit, citrus or starch",
         ("{hold}", "fluff", "dust with {lime} of crushed eggshell or calcium carbonate, never slaked or caustic lime"),
         Level.WATCH, NCSTATE),
    Sign("red-mites", r"red mites?", "red mites", "a parasite that wet, overfed or sour beds bring on",
         ("{hold}", "air and light on it today; lay melon or bread slices as bait and lift them daily", "{dry}"),
         Level.ACT, NCSTATE),
    Sign("mites", r"mites?", "mites", "wet, overfed or sour bedding",
         ("{hold}", "less water, air and light; lay bait slices and lift them daily", "{dry}"), Level.WATCH, NCSTATE),
    Sign("flies", r"fruit ?fl(y|ies)|fl(y|ies)|gnats?|maggots?", "flies", "feed lies uncovered",
         ("bury the feed and lay {cover} of bedding over it, 3 cm deep", "set a vinegar-and-soap trap beside the bin"),
         Level.WATCH, SANMATEO),
    Sign("soldier-flies", r"soldier ?fl(y|ies)|bsf|larvae|cockroach(es)?|roach(es)?",
         "soldier-fly larvae or cockroaches",
         "exposed or rich feed, and warmth",
         ("{hold}", "bury the feed, lay {cover} of bedding over it, and screen the vents"),
         Level.WATCH, EULESS),
    Sign("rodents", r"rats?|mouse|mice|rodents?|slugs?", "rodents or slugs", "food within reach, gaps",
         ("no cooked food, close gaps with mesh, raise the bin", "wear gloves and wash hands"), Level.WATCH, METRO),
    Sign("hunters", r"centipedes?|flatworms?|planaria", "centipedes or flatworms", "they came in with soil",
         ("pick them out by hand with gloves, raise the bin",), Level.WATCH, EULESS),
    Sign("ants", r"ants?", "ants", "too dry", ("moisten it", "stand the legs in water; no poison"), Level.WATCH, METRO),
    Sign("mould", r"mou?ld|mou?ldy|fungus", "mould", "fresh feed in excess",
         ("bury it and feed less: {hold}",
          "with asthma keep away from the dust, or wear a mask"), Level.WATCH, PRACTICE),
    Sign("pale-worms", r"pale|small worms|thin worms|no cocoons", "pale or small worms",
         "starved, crowded or old castings",
         ("harvest, give fresh bedding, feed, or split the herd",), Level.WATCH, HANDBOOK),
    Sign("swollen-worms", r"lumpy|swollen|string of pearls|beaded", "lumpy or swollen worms",
         "rich or fermenting feed (no study found)",
         ("{hold}; take the newest feed out", "dust with {lime} of calcium carbonate, and fluff"), Level.ACT, PRACTICE),
    Sign("pot-worms", r"pot ?worms?|springtails?|white worms", "pot worms or springtails", "sour, starchy or damp feed",
         ("harmless in themselves: less bread and fruit for two weeks",), Level.STEADY, NCSTATE),
)  # fmt: skip


def _said(entry: Entry) -> tuple[str, ...]:
    """What a check says in words, piece by piece."""
    check = entry.what
    return tuple(each.lower() for each in (check.smell, *check.seen, entry.note)) if isinstance(check, Check) else ()


def _told(pattern: re.Pattern[str], pieces: tuple[str, ...]) -> bool:
    """Whether the words are said in any piece, and not denied ("no mites")."""
    return any(not _NOT.search(text[: found.start()]) for text in pieces for found in pattern.finditer(text))


def _fresh_checks(case: Case) -> tuple[Entry, ...]:
    """The latest check, if it is young enough to count; words in notes of the day count with it."""
    checks = [entry for entry in case.entries if isinstance(entry.what, Check) and entry.when.date() <= case.on]
    if not checks or (case.on - checks[-1].when.date()).days > FRESH_DAYS:
        return ()
    last = checks[-1].when.date()
    return tuple(entry for entry in checks if entry.when.date() == last)


def emergency(case: Case) -> Finding | None:
    """Worms dying or leaving: five steps to do now, before any sum."""
    told = [(entry, _said(entry)) for entry in _fresh_checks(case)]
    dying = [entry for entry, pieces in told if _told(_DYING, pieces)]
    leaving = [entry for entry, pieces in told if _told(_LEAVING, pieces)]
    if not dying and not leaving:
        return None
    entry = (dying or leaving)[-1]
    age = (case.on - entry.when.date()).days
    young = (case.on - case.bin.started).days < 7
    level = Level.WATCH if young and not dying else Level.ACT
    likely = (
        "acid, heat, cold, want of air, salt or dryness"
        if dying
        else "too wet, too dry, sour, short of air, or a storm"
    )
    if young and not dying:
        likely = "a new bin: they settle within days under a light"
    today, units = case.today, case.settings.units
    bed = mass(max(0.2, case.bin.footprint_m2 * 2.0), units)
    return Finding(
        code="dying" if dying else "leaving",
        level=level,
        bin=case.bin.key,
        what="worms are dying: five steps now, sums after"
        if dying
        else "worms are leaving: five steps now, sums after",
        why=f"seen {'today' if age == 0 else days(age) + ' ago'}; likely {likely} ({HANDBOOK}; {ECOLOGY})",
        do=(
            "1 lid off, under a light, out of sun and frost: light keeps worms down",
            "2 stop feeding, and take out feed that is hot, sour or rotten",
            "3 lift and fluff to the bottom, and let standing water out",
            f"4 make a refuge: {bed} of fresh bedding, wrung-sponge damp, on one side; put the liveliest worms there",
            "5 measure: temperature, squeeze, smell, pH; write a check, and set right what is out of its band",
        ),
        sure=(
            f"seen in a check {'today' if age == 0 else days(age) + ' ago'}; worked out: moisture "
            f"{percent_band(today.moisture)}, {temperature(today.temp_c.p10, units)} to "
            f"{temperature(today.temp_c.p90, units)}"
        ),
        source=f"{HANDBOOK}; {ECOLOGY}; the order of steps is common practice",
        urgency=100.0 if dying else 90.0,
        emergency=level is Level.ACT,
    )


def seen_and_smelt(case: Case) -> Finding | None:
    """The gravest other sign of the latest check, with its likely cause and what to do."""
    pieces = tuple(piece for entry in _fresh_checks(case) for piece in _said(entry))
    found = [sign for sign in SIGNS if _told(re.compile(rf"\b({sign.words})\b"), pieces)]
    if any(sign.code == "red-mites" for sign in found):
        found = [sign for sign in found if sign.code != "mites"]
    if any(sign.code == "soldier-flies" for sign in found):
        found = [sign for sign in found if sign.code != "flies"]
    if not found:
        return None
    sign = max(found, key=lambda each: each.level.rank)
    entry = _fresh_checks(case)[-1]
    age = (case.on - entry.when.date()).days
    when = "today" if age == 0 else f"{days(age)} ago"
    units, area = case.settings.units, case.bin.footprint_m2
    filled = {
        "hold": hold_step(case, 3),
        "hold_week": hold_step(case, 7),
        "dry": dry_step(case),
        "cover": mass(area * 0.03 * LOOSE_KG_M3, units),
        "lime": mass(LIME_KG_M2 * area, units),
    }
    others = [each.name for each in found if each is not sign]
    also = f"; also {' and '.join(others)}" if others else ""
    return Finding(
        code=sign.code,
        level=sign.level,
        bin=case.bin.key,
        what=f"{sign.name}: likely {sign.likely}",
        why=f"seen in the check of {when}{also}; likely {sign.likely} ({sign.source})",
        do=tuple(step.format(**filled) for step in sign.do),
        sure=f"told by one check, {when}; a sign points to a cause and does not prove it",
        source=sign.source,
        urgency=5.0 + len(found),
    )
