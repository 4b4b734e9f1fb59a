"""What a feeding does to a bin before it is saved: too much or not, and the bedding that should go in with it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import inf

from wormbin.advice import limits
from wormbin.advice.bedding import choices
from wormbin.advice.case import Case
from wormbin.advice.doses import FREEZE_KG, felt
from wormbin.advice.finding import Action, Doing, Finding
from wormbin.advice.food import food_of, sour_share
from wormbin.advice.judgement import ASKS, NEWS, SAID_BEFORE, findings, judge
from wormbin.advice.mixing import DRIEST_MIX, Proposal, mix_moisture_band, propose
from wormbin.advice.rations import Ration
from wormbin.advice.rules.air import judged_share, reach_words
from wormbin.advice.rules.feeding import TOO_MUCH
from wormbin.advice.rules.moisture import wet_to_come
from wormbin.advice.wording import day_words, days, layer, mass, percent, percent_band, scooped, times, warmer, worth
from wormbin.figures import Band, Basis, Level
from wormbin.materials.material import only_little
from wormbin.records.entries import Portion
from wormbin.science.addition import BandLimits
from wormbin.science.blend import Ingredient, blend
from wormbin.science.solver import CN_BAND

HELD_FOR = frozenset({"too-dry"})
"""What a feeding is held back for, too, when it harms: bedding goes in faster than it comes out."""
SLACK = 0.10
"""Over the ration by this share of what may lie in the bin is within what a scoop can measure."""
LEAST_STONE_KG, LEAST_TOLD_KG = 0.0005, 0.001
NO_ROOM_KG = 1e-9
MANY = 3.0
"""Beyond this many times, a share is no longer told to the percent."""


@dataclass(frozen=True, slots=True)
class FeedingEffect:
    """What a feeding does. kg fresh, fractions, degC, m; the figures "after" are with the bedding that was named.

    ``share`` is the days of work that then wait over the days that are given to it: 1 is worked off just by then.
    ``cn`` is of what is put in together.
    """

    total_kg: float
    share: float
    up_to_kg: float
    hold_back_kg: float
    cn: float
    moisture_before: Band
    moisture_after: Band
    free_air_space_after: Band
    waiting_days_after: Band
    heat_c: Band
    layer_m: float
    proposal: Proposal
    level: Level
    verdict: str
    lines: tuple[str, ...]
    findings: tuple[Finding, ...]

    @property
    def too_much(self) -> bool:
        """Whether it is held back until somebody says to save it anyway."""
        return self.level is Level.ACT


def feeding_effect(
    before: Case,
    after: Case,
    feed: Sequence[Portion],
    bedding: Sequence[Portion] = (),
    next_feeding: date | None = None,
) -> FeedingEffect:
    """What ``feed`` (with ``bedding``) does. ``after`` is the same case with it in the bin, as the model sees it.

    ``after.unfed`` (no feeding beyond this one) gives the heat to come. Errors: RefusedError for an unknown material.
    """
    judged = judge(before, next_feeding)
    standing, can = judged.findings, judged.ration
    food = food_of(feed, before.table)
    kg, units = sum(portion.kg for portion in food), before.settings.units
    stone_kg = sum(portion.kg for portion in feed) - kg
    hold = max(0.0, kg - can.kg)
    parts = [_ingredient(before, portion) for portion in (*food, *bedding)]
    today = before.today
    band = mix_moisture_band(
        today.total_kg.p50, today.moisture.p50, sum(part.kg for part in parts),
        before.settings.moisture_low, before.settings.moisture_high,
    )  # fmt: skip
    barred = any(Doing.WATER in each.bars for each in standing)
    if barred or not felt(before) or today.moisture.p50 >= before.settings.moisture_low:
        # No water on a guess, nor into what is moist enough.
        band = 0.0, band[1]
    # Bedding for balance only where all that lies unfinished is low in carbon: else it only puts the harvest off.
    cn = CN_BAND if after.today.cn.p50 < CN_BAND[0] else (0.0, inf)
    proposal = propose(parts, choices(before), _dry_enough(before, kg, parts, band), units, cn)
    new = _not_given_yet(_new_findings(standing, findings(after)), before)
    work = after.today.feed_waiting_days
    share = work.p50 / max(1, (can.until - before.on).days) if can.capacity_kg > NO_ROOM_KG else inf
    level = _level(kg, hold, share, can, before, new, after)
    heat = max((day.heat_rise_c for day in after.unfed.days[:7]), key=lambda b: b.p50, default=after.today.heat_rise_c)
    return FeedingEffect(
        total_kg=kg,
        share=share,
        up_to_kg=can.kg,
        hold_back_kg=hold if hold > SLACK * _may_lie(can, before) else 0.0,
        cn=proposal.cn_before,
        moisture_before=today.moisture,
        moisture_after=after.today.moisture,
        free_air_space_after=after.today.free_air_space,
        waiting_days_after=work,
        heat_c=heat,
        layer_m=after.today.layers.feed_m,
        proposal=proposal,
        level=level,
        verdict=_verdict(kg, hold, can, level, before, new, after),
        lines=(*_only_little(food, before, can), *_lines(kg, stone_kg, can, before, after, proposal, heat)),
        findings=new,
    )


def _dry_enough(case: Case, feed_kg: float, parts: Sequence[Ingredient], band: BandLimits) -> BandLimits:
    """The moisture band for what goes in, no wetter than with the bedding that the look-ahead asks for with each feed.

    So the panel beside the form, the sheet and the warning name one amount.
    """
    coming = wet_to_come(case)
    if coming is None or coming.choice is None:
        return band
    along = Ingredient.of(coming.choice.material, coming.share * feed_kg)
    with_it = blend([*parts, along])
    top = max(DRIEST_MIX, min(band[1], with_it.moisture))
    return min(band[0], top), top


def _ingredient(case: Case, portion: Portion) -> Ingredient:
    part = Ingredient.of(case.table.get(portion.material), portion.kg, Basis.SAID)
    if portion.moisture is None or portion.moisture >= 1:
        return part
    return part.soaked_to(portion.moisture).with_kg(portion.kg)


def _new_findings(before: Sequence[Finding], after: Sequence[Finding]) -> tuple[Finding, ...]:
    """Findings that the feeding brings or makes worse; requests for readings and good news are left out."""
    was = {finding.code: finding.level for finding in before}
    return tuple(
        finding
        for finding in after
        if finding.level is not Level.STEADY
        and finding.code not in ASKS | NEWS | SAID_BEFORE
        and finding.level.rank > was.get(finding.code, Level.STEADY).rank
    )


def _not_given_yet(new: Sequence[Finding], case: Case) -> tuple[Finding, ...]:
    """What the feeding would bring where nothing of the kind lies in the bin: it is told as what would be."""
    if sour_share(case.entries, case.table, case.on)[0] > 0:
        return tuple(new)
    give_less = Action(Doing.FEED, "feed only a little of it, and freeze or compost the rest")
    return tuple(
        replace(
            finding, level=Level.WATCH, what=finding.what.replace("of what you fed", "of what you feed"),
            actions=(give_less,),
        )
        if finding.code == "sour"
        else finding
        for finding in new
    )  # fmt: skip


def _only_little(food: Sequence[Portion], case: Case, can: Ration) -> tuple[str, ...]:
    """A line for each thing that goes in only a little at a time, with the reason; that it is little where it is."""
    said = []
    for portion in food:
        material = case.table.get(portion.material)
        if (least := only_little(material)) is None:
            continue
        if portion.kg <= limits.LITTLE_SHARE * can.kg:
            said.append(f"{material.name.lower()}: so little does no harm")
        else:
            said.append(f"{material.name.lower()}: only a little at a time, as {least.why}")
    return tuple(said)


def _may_lie(can: Ration, case: Case) -> float:
    """Fresh kg that may lie in the bin after today's feeding."""
    return can.kg + case.today.feed_waiting_kg.p50


def _level(kg: float, hold: float, share: float, can: Ration, case: Case, new: Sequence[Finding], after: Case) -> Level:
    """Act when far over the ration (or when nothing should be fed and more than a taste is), watch when over it."""
    taste, room = limits.TRIFLE_KG_M2 * case.bin.footprint_m2, _may_lie(can, case)
    if _dries_out(new, after):
        return Level.ACT
    # A leap from the usual alone is no harm that is near.
    far = kg - can.used_to_kg > TOO_MUCH * (can.used_to_kg + case.today.feed_waiting_kg.p50)
    if hold > taste and (share > 1.0 + TOO_MUCH or far):
        return Level.ACT
    if hold >= kg > 0 and (kg > taste or can.level is not Level.STEADY):
        return Level.ACT
    if any(finding.level is Level.ACT for finding in new):
        return Level.ACT if hold > taste else Level.WATCH
    slow = share > 1.0 + SLACK and kg > taste
    return Level.WATCH if hold > SLACK * room or new or slow or (can.held and kg > 0) else Level.STEADY


def kept_words(kg: float) -> str:
    """Where feed is kept that is not given yet: the freezer takes a little, a bucket with dry bedding more."""
    return "in the freezer" if kg <= FREEZE_KG else "in a bucket with dry bedding or a second bin"


def _dries_out(new: Sequence[Finding], after: Case) -> bool:
    """Whether what goes in makes it so dry that it harms: that is plain mass, whether anybody felt it or not."""
    limit = limits.too_dry(after.settings)
    return any(each.code in HELD_FOR for each in new) and after.today.moisture.p50 <= limit.edge(Level.ACT)


def _dries(new: Sequence[Finding], after: Case) -> str:
    """That it would be too dry with it, in words; empty when not."""
    if not _dries_out(new, after):
        return ""
    return f"too dry: only {percent(after.today.moisture.p50)} moist then. Put in less bedding, or more water"


def _verdict(kg: float, hold: float, can: Ration, level: Level, case: Case, new: Sequence[Finding], after: Case) -> str:
    units, dries = case.settings.units, _dries(new, after)
    if dries and hold <= 0:
        return dries
    if kg <= 0:
        return "no food in it: nothing to hold back"
    if level is Level.STEADY:
        return f"right: up to {mass(can.kg, units)} is fine today" if can.kg > 0 else "right: a taste is fine"
    if can.kg <= 0 and level is Level.ACT:
        return f"do not feed: {can.held or can.because[-1]}"
    if can.kg <= 0:
        return f"better wait: {can.held or can.because[-1]}"
    work, span = after.today.feed_waiting_days.p50, max(1, (can.until - case.on).days)
    if work > (1.0 + SLACK) * span and hold <= SLACK * kg:
        less = kg * span / work
        return f"rich food: {worth(work)}, and you feed again in {days(span)}. Feed about {scooped(less, units)}"
    if hold > 0:
        much = "too much" if level is Level.ACT else "a little too much"
        rest = f"Keep {mass(hold, units)} {kept_words(hold)} until {day_words(can.until, case.on)}"
        return f"{much}: feed {mass(can.kg, units)} today. {rest}" + (f". Also {dries}" if dries else "")
    return new[0].what if new else f"more than usual: {worth(work)} of food then"


def _lines(
    kg: float, stone_kg: float, can: Ration, before: Case, after: Case, proposal: Proposal, heat: Band
) -> tuple[str, ...]:
    """The panel beside the form, one fact a line."""
    units, today, then = before.settings.units, before.today, after.today
    work = then.feed_waiting_days.p50
    share = work / max(1, (can.until - before.on).days)
    of_it = f"{times(share)} what" if share > MANY else f"{percent(share)} of what"
    air = judged_share(after)[2]
    slow = f" (over {CN_BAND[1]:g} is slow, but no harm)" if proposal.cn > CN_BAND[1] else ""
    with_it = "" if proposal.nothing else f", {proposal.cn:.0f} with the bedding{slow}"
    there = today.feed_waiting_kg.p50
    waits = (
        f"{f'about {mass(there, units)}' if there >= LEAST_TOLD_KG else 'nothing'} is uneaten, {mass(kg, units)} comes"
    )
    said = [
        f"{of_it} they can eat by {day_words(can.until, before.on)} ({waits})",
        f"then {worth(work)} of food lies there",
        *(
            (f"C:N {proposal.cn_before:.0f} as fed{with_it}, {then.cn.p50:.0f} in all that is uneaten",)
            if kg > 0
            else ()
        ),
        f"moisture {percent(today.moisture.p50)}, then {percent(then.moisture.p50)} ({percent_band(then.moisture)})",
        f"the food lies {layer(then.layers.feed_m, units)} thick, the bin will be {warmer(heat.p50, units)}",
    ]
    if stone_kg > LEAST_STONE_KG:
        said.insert(1, f"{mass(stone_kg, units)} of it is mineral (grit, shell, lime, soil): that is no food")
    if air is not None:
        said.append(
            f"air gets {reach_words(air, percent)} of the way down, and fills {percent(then.free_air_space.p50)}"
        )
    said.append(proposal.words)
    if proposal.gives_way:
        said.append(proposal.gives_way)
    # Why no more may be fed stands next to the verdict.
    return (*(can.because[1:] if kg > can.kg else ()), *said)
