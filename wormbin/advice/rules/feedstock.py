"""Rules on what is fed: too rich in nitrogen, too sour, kept out; and what is done about a bed's pH."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta

from wormbin.advice import limits
from wormbin.advice.bedding import dry, spoken
from wormbin.advice.case import Case
from wormbin.advice.doses import take_out
from wormbin.advice.evidence import limit_words, past
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.food import sour_names, sour_share
from wormbin.advice.limits import level_of
from wormbin.advice.rations import hold
from wormbin.advice.wording import day_words, mass, percent, scooped
from wormbin.figures import Band, Level
from wormbin.materials.material import UNSAID, Material, Role
from wormbin.problems import RefusedError
from wormbin.process.views import Day
from wormbin.records.entries import Bedding, Feeding
from wormbin.science.cautions import CAUTIONS


def _waits(case: Case, day: Day) -> bool:
    """Whether more than a smear of feed waits."""
    return day.feed_waiting_kg.p50 >= limits.TRIFLE_KG_M2 * case.bin.footprint_m2


def nitrogen_rich(case: Case) -> Finding | None:
    """Unfinished matter has too little carbon to hold its nitrogen; judged on the low side only."""
    told = past(case, limits.LOW_CN, lambda d: d.cn if _waits(case, d) else None, "{:g}".format)
    if told is None:
        return None
    cn = case.today.cn
    return replace(told, band=cn).finding(
        "nitrogen-rich",
        f"the food is too rich in nitrogen (C:N {cn.p50:.0f})",
        f"the uneaten food has {cn.p50:.0f} parts of carbon to one of nitrogen. {told.ground} "
        "Under it ammonia forms, which kills worms.",
        dry(case), hold(case), Action(Doing.FLUFF, "lift and fluff", 0.10),
        Action(Doing.THEN, "then leave out manure, grass and beans for two weeks"),
        said=f"C:N {cn.p10:.0f}-{cn.p90:.0f}", by=("left",), urgency=5.0 + max(0.0, 20.0 - cn.p50),
    )  # fmt: skip


MOST_NAMED = 2
"""So many sour foods are told by name, those of which most was given (ours)."""


def sour(case: Case) -> Finding | None:
    """Too large a share of citrus and other sour feed in two weeks."""
    limit, units = limits.ACID, case.settings.units

    def share(day: Day) -> Band | None:
        kg, part = sour_share(case.entries, case.table, day.on)
        much = kg > limits.SOUR_DAYS * day.appetite_kg_day.p50 and kg > limits.SOUR_OF_BIN * day.total_kg.p50
        return Band.exactly(part) if much else None

    level = level_of(case.history, share, limit)
    if level is Level.STEADY:
        return None
    kg, part = sour_share(case.entries, case.table, case.on)
    heavy = kg > limits.SOUR_HARMS * case.today.total_kg.p50
    level = Level.ACT if heavy else Level.WATCH
    out = (*take_out(case), hold(case, 7)) if heavy else ()
    names = sour_names(case.entries, case.table, case.on)
    given = ", ".join(map(spoken, names[:MOST_NAMED]))
    return Finding(
        code="sour",
        level=level,
        what=f"a lot of sour fruit: {percent(part)} of what you fed in two weeks",
        why=f"by the table {mass(kg, units)} of it was sour: {given}. {limit_words(limit, level, percent)}",
        actions=(
            Action(
                Doing.THEN,
                f"leave out {given} and other sour food until {day_words(case.on + timedelta(days=14), case.on)}",
            ),
            *out,
            *lime(case),
            Action(Doing.FLUFF, "lift and fluff", 0.05),
        ),
        sure="From the feedings in your log.",
        source=limit.source,
        urgency=4.0 + part,
    )


KEPT_OUT_ACT_DAYS, KEPT_OUT_DAYS = 2, 7
"""So long what should have stayed out is to act on, and so long it is told (ours)."""
_GONE = re.compile(r"\b(took|taken|removed|picked)\b", re.IGNORECASE)


def kept_out(case: Case) -> Finding | None:
    """Something went in that has no place in a worm bin, and no later line says that it was taken out again."""
    found = None
    for entry in case.entries:
        age = (case.on - entry.when.date()).days
        if found is not None and _GONE.search(entry.note):
            found = None
        if isinstance(entry.what, Feeding | Bedding) and 0 <= age <= KEPT_OUT_DAYS:
            for portion in entry.what.portions:
                material = _known(case, portion.material)
                if material is not None and material.role is Role.KEEP_OUT:
                    found = (age, portion, material)
    if found is None:
        return None
    age, portion, material = found
    told = material.kept_out or UNSAID
    return Finding(
        code="kept-out",
        level=Level.ACT if age <= KEPT_OUT_ACT_DAYS else Level.WATCH,
        what=f"{material.name.lower()} went in: it brings {told.brings}",
        why=f"{mass(portion.kg, case.settings.units)} went in. Keep it out: {material.kept_out_because}.",
        actions=(
            Action(Doing.TAKE_OUT, f"{told.do}. Then write a note that you took it out", portion.kg),
            Action(Doing.CAUTION, "wear gloves, and wash your hands after"),
        ),
        sure="From the feedings in your log.",
        source=told.source,
        urgency=11.0,
        short=f"{material.name.lower()} went in",
        seen=True,
    )


def _known(case: Case, key: str) -> Material | None:
    try:
        return case.table.get(key)
    except RefusedError:
        return None


LEAVES_KG_M2 = 0.5
"""Moist leaves mixed in (ours)."""
SOUR_HOLD_DAYS = 4


def lime(case: Case) -> tuple[Action, ...]:
    """Ground eggshell or calcium carbonate, a light dusting, with its caution."""
    kg = limits.LIME_KG_M2 * case.bin.footprint_m2
    words = f"dust it with {scooped(kg, case.settings.units)} of crushed eggshell or ground limestone"
    return (Action(Doing.LIME, words, kg), Action(Doing.CAUTION, CAUTIONS["lime"].text))


def sour_steps(case: Case, level: Level, ph: float, age: int = 0) -> tuple[Action, ...]:
    """What is done about a bed that is too sour."""
    stop = (
        (hold(case, SOUR_HOLD_DAYS - age),)
        if level is Level.ACT
        else (Action(Doing.THEN, "leave out fruit, citrus and bread for now"),)
    )
    return (*lime(case), Action(Doing.FLUFF, "lift and fluff", 0.05), *stop)


def alkaline_steps(case: Case, level: Level, ph: float, age: int = 0) -> tuple[Action, ...]:
    """What is done about a bed that is too alkaline."""
    kg = LEAVES_KG_M2 * case.bin.footprint_m2
    stop = (hold(case, SOUR_HOLD_DAYS - age),) if level is Level.ACT else ()
    return (
        Action(Doing.BEDDING, f"mix in {scooped(kg, case.settings.units)} of moist leaves", kg),
        Action(Doing.THEN, "leave out manure and lime until it is back"),
        Action(Doing.FLUFF, "lift and fluff", 0.05),
        *stop,
    )
