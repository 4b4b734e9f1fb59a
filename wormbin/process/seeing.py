"""What was seen, taken in: readings of one occasion put together, judged, and the run moved as far as they deserve."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import exp, inf, log1p, sqrt

import numpy as np

from wormbin.figures import Band
from wormbin.process import flows, learning, pools, readings
from wormbin.process.ensemble import bands
from wormbin.process.pools import LEFT, POOLS, VOLATILE, WATER, WORMS, Array
from wormbin.process.readings import ALONG, Reading
from wormbin.process.run import Run
from wormbin.process.views import FULL_WEIGHT, Judged
from wormbin.process.warmth import READING_SD_C
from wormbin.records.entries import Entry, Harvest
from wormbin.science.constants import TENTH_SD

LEFT_TELLS_DAYS = 28.0
"""How long after a feeding its remains can still be told from the rest."""
SORTED_SHARE = 0.8
"""Share of the castings that a sorting gets; common practice, no source."""
MEMORY_DAYS = 20.0
"""How long an instrument's fault is taken to be the same: readings within it share it."""
ASTRAY_AT = 1.5
"""Standard deviations at which a reading counts as surprising."""
AGREES_WITHIN_DAYS = 10.0
AGREES_WITHIN = 0.05
"""Of one day: so far apart readings of moisture still agree (ours)."""
OWN_HEAT_SD = 0.5
"""How unsure the bin's own heat is, a share of it (ours): a thermometer in the bin cannot tell it from the room's."""
_INSTRUMENTS = {"oven": 0, "meter": 1, "squeeze": 2}
_ORDER = ("temp_c", "worms_kg", "total_kg", "moisture", "left", "contents_m", "castings_kg")
SURVEY_MOVES = 4.0
"""The most that a survey moves the herd, natural log: it was counted."""
_LOGS = ("worms_kg", "castings_kg", "total_kg", "contents_m")


def see(run: Run, entries: Sequence[Entry]) -> None:
    """Take in what was seen on one occasion, readings of one quantity and instrument together."""
    run.widen()
    groups: dict[tuple[str, int, str], list[Reading]] = {}
    for entry in entries:
        for reading in readings.readings_of(entry, run.bin.tare_kg, run.bin.footprint_m2, run.bin.surface_m2):
            groups.setdefault((reading.quantity, reading.compartment, reading.by), []).append(reading)
    ranked = sorted(groups.items(), key=lambda item: (_ORDER.index(item[0][0]), _INSTRUMENTS.get(item[0][2], 1)))
    pairs = {by: group for (quantity, _, by), group in ranked if quantity == "moisture"}
    if "oven" in pairs:
        _calibrate(run, pairs)
    for (quantity, _, _), group in ranked:
        if quantity == "temp_c":
            _see_temperature(run, group)
        elif quantity == "contents_m":
            _see_depth(run, group)
        else:
            _see(run, quantity, group)


def _calibrate(run: Run, pairs: dict[str, list[Reading]]) -> None:
    """An oven test beside a squeeze or a meter shows how that instrument reads in this keeper's hands."""
    oven = sum(r.value for r in pairs["oven"]) / len(pairs["oven"])
    for by, bias in run.biases.items():
        if by in pairs:
            off = sum(r.value for r in pairs[by]) / len(pairs[by]) - oven
            noise = pairs[by][0].own_sd ** 2 / len(pairs[by]) + readings.OVEN_SD**2
            gain = bias.var / (bias.var + noise)
            bias.mean += gain * (off - bias.mean)
            bias.var *= 1.0 - gain
            bias.paired += 1


def _expected(run: Run, quantity: str, reading: Reading) -> Array | None:
    """What each course says a reading should be, in the reading's own scale; None when there is nothing to read."""
    c, where, parts = run.c, reading.compartment, run.c.shape[1]
    at = where - 1 if 1 <= where <= parts else run.active
    if quantity == "moisture":
        # Where nothing lies yet the line was written before the bedding was.
        return pools.handful(c[:, at], holds(run)[:, at]) if pools.dry(run.likely[:, at]) > 1e-9 else None
    if quantity == "left":
        if run.last_feed is None or run.t - run.last_feed[2] > LEFT_TELLS_DAYS:
            return None
        fed, spread, _ = run.last_feed
        return np.asarray(np.array(spread) @ c[LEFT:VOLATILE, fed]) / (sum(spread) or 1.0)
    one_tray = 1 <= where <= parts > 1
    if quantity == "total_kg":
        found = pools.total(c)[at] if one_tray else pools.total(c).sum(axis=0)
    elif quantity == "worms_kg":
        found = c[WORMS, at] if one_tray else c[WORMS].sum(axis=0)
    else:
        what, at = reading.entry.what, run.place(reading.entry)
        told, behind = (what.moisture, what.left_behind) if isinstance(what, Harvest) else (None, None)
        taken = SORTED_SHARE if behind is None else 1.0 - readings.stayed(behind)[0]
        wet = pools.moisture(c[:, at]) if told is None else told
        found = taken * pools.castings(c[:, at]) / (1.0 - np.minimum(0.95, wet))
    return np.log(found) if found.min() > 1e-9 else None


def holds(run: Run) -> Array:
    """Water that each pool holds, kg a kg dry, ``(POOLS, parts, COURSES)``."""
    return np.broadcast_to(flows.holding(run.own, run.p)[:, None], (POOLS, *run.c.shape[1:]))


def _see(run: Run, quantity: str, group: list[Reading]) -> None:
    expected = _expected(run, quantity, group[0])
    if expected is None:
        return
    first = group[0]
    bias = run.biases.get(first.by) if quantity == "moisture" else None
    if bias is not None:
        # Readings of one instrument share its fault: many of them are worth little more than a few.
        lately = bias.lately * exp((bias.last - run.t) / MEMORY_DAYS)
        sd = sqrt(bias.var * (1.0 + lately) + first.own_sd**2)
        bias.lately, bias.last = lately + 1.0, run.t
        group = [replace(r, value=r.value - bias.mean, sd=sd) for r in group]
    what = first.entry.what
    if isinstance(what, Harvest) and what.left_behind is None and first.value < float(expected[0]):
        # Keepers may take off less than there is: that says nothing, as long as they do not say how much stayed.
        return
    ceiling = _ceiling(run, first) if quantity == "moisture" else inf
    values = [min(reading.value, ceiling) for reading in group]
    expected, believed = _doubted(run, quantity, first, expected, values)
    var = learning.spread_of(expected)
    likely, verdicts = float(expected[0]), []
    for reading in group:
        value = min(reading.value, ceiling)
        if (reading.at_least and likely > value) or (reading.at_most and likely < value):
            value = likely
        verdict = learning.judge(value, likely, var, reading.sd**2)
        verdicts.append((reading, value, verdict))
        _judge(run, reading, expected, verdict)
    weights = [verdict.weight for _, _, verdict in verdicts]
    if quantity == "castings_kg" and first.value > bands(expected)[0].p90 + log1p(ALONG):
        return  # more than can be there: most of it was something else, and a bin does not work faster for it
    one = readings.combine(
        [Reading(r.entry, quantity, r.compartment, r.by, value, r.sd, r.own_sd) for r, value, _ in verdicts], weights
    )
    overall = learning.judge(one.value, likely, var, one.sd**2)
    run.surprises[quantity] = (overall.off, run.t)
    run.scores[quantity] = learning.noted(run.scores.get(quantity, ()), overall.off)
    before = pools.mass(run.likely, run.p)
    most = np.maximum(run.c[WATER], pools.weighed(run.c, holds(run)))
    weight = 1.0 if believed else overall.weight
    # How much was taken off says how much there was; how fast it came only where it is told what stayed.
    of_pace = not isinstance(what, Harvest) or what.left_behind is not None
    moves = SURVEY_MOVES if quantity == "worms_kg" else 0.25
    learning.take_in(run, expected, one.value, one.sd**2, weight, moves, of_pace=of_pace)
    if quantity == "moisture":
        # A handful cannot show water that stands at the base: no reading of one adds any there.
        np.minimum(run.c[WATER], most, out=run.c[WATER])
    run.correct(before)
    if quantity == "worms_kg" or overall.weight < FULL_WEIGHT:
        # Whoever is told that a reading counts less is told what is taken in its place.
        now = _expected(run, quantity, first)
        shown = readings.shown(quantity, float((expected if now is None else now)[0]))
        run.judged[-len(group) :] = [replace(each, taken=shown) for each in run.judged[-len(group) :]]
    run.used += len(group)
    if quantity == "worms_kg":
        run.last_survey = run.t


def _ceiling(run: Run, reading: Reading) -> float:
    """The wettest that a handful can be here: bedding and castings that hold all they can."""
    at = reading.compartment - 1 if 1 <= reading.compartment <= run.c.shape[1] else run.active
    return float(pools.saturated(run.likely[:, at], holds(run)[:, at, 0]))


def _doubted(run: Run, quantity: str, reading: Reading, expected: Array, values: Sequence[float]) -> tuple[Array, bool]:
    """What is expected, with the belief widened when a second reading in a row says that it has gone astray.

    One wild reading is the keeper's; two the same way within ten days are the bin's (a feeding not written down, a heap
    gone sour): the belief is spread until such a surprise is no wonder, and the reading is taken at its word.
    """
    wanted = sum(values) / len(values)
    if quantity == "moisture" and len(values) > 1 and max(values) - min(values) <= AGREES_WITHIN:
        return _admitted(run, reading, expected, wanted)
    before = run.surprises.get(quantity)
    if before is None or quantity not in learning.DOUBTABLE or run.t - before[1] > AGREES_WITHIN_DAYS:
        return expected, False
    var = learning.spread_of(expected)
    off = (wanted - float(expected[0])) / sqrt(var + reading.sd**2)
    if abs(off) < ASTRAY_AT or off * before[0] < 0.0 or abs(before[0]) < ASTRAY_AT:
        return expected, False
    target = (off * off * (var + reading.sd**2)) / 1.5 - reading.sd**2
    if target > var > 0.0:
        learning.widen(run, quantity, min(3.0, sqrt(target / var)))
        now = _expected(run, quantity, reading)
        expected = expected if now is None else now
    return expected, True


def _admitted(run: Run, reading: Reading, expected: Array, wanted: float) -> tuple[Array, bool]:
    """What is expected, so far doubted that its band holds what several readings of one day agree on."""
    off, sd = wanted - float(expected[0]), sqrt(learning.spread_of(expected))
    fits = (reading.at_least and off < 0.0) or (reading.at_most and off > 0.0) or abs(off) <= TENTH_SD * sd
    if fits or sd <= 0.0:
        return expected, False
    learning.widen(run, "moisture", abs(off) / (TENTH_SD * sd))
    now = _expected(run, "moisture", reading)
    return (expected if now is None else now), True


def _judge(run: Run, reading: Reading, expected: Array, verdict: learning.Verdict, extra_var: float = 0.0) -> None:
    quantity = reading.quantity
    (band,) = bands(expected, sqrt(extra_var))
    if quantity in ("moisture", "left"):
        band = Band(max(0.0, band.p10), band.p50, min(1.0, band.p90))
    else:
        band = Band(*(readings.shown(quantity, v) for v in (band.p10, band.p50, band.p90)))
    value = readings.shown(quantity, reading.value)
    run.judged.append(
        Judged(
            entry=reading.entry.id,
            when=reading.entry.when,
            quantity=quantity,
            read=value,
            expected=band,
            spread=reading.sd * value if quantity in _LOGS else reading.sd,
            weight=verdict.weight,
            questioned=verdict.questioned,
            by=reading.by,
        )
    )


def _see_temperature(run: Run, group: list[Reading]) -> None:
    rise = run.c[pools.RISE, run.active]
    expected, own_var = run.site_c + float(rise[0]), 0.5**2 + (OWN_HEAT_SD * float(rise[0])) ** 2
    var = run.warmth.sd_c**2 + own_var
    half = TENTH_SD * sqrt(var)
    verdicts = [learning.judge(reading.value, expected, var, reading.sd**2) for reading in group]
    one = readings.combine(group, [1.0] * len(group))
    verdict = learning.judge(one.value, expected, var, one.sd**2)
    before = run.surprises.get("temp_c")
    run.surprises["temp_c"] = (verdict.off, run.t)
    # Two that agree are believed, whatever was expected: of one day, or of the days before.
    agree = len(group) > 1 and max(abs(reading.value - one.value) for reading in group) <= TENTH_SD * READING_SD_C
    if before is not None and run.t - before[1] <= AGREES_WITHIN_DAYS:
        agree = agree or before[0] * verdict.off > ASTRAY_AT**2
    if not agree and len(group) > 1:
        one = readings.combine(group, [each.weight for each in verdicts])
        verdict = learning.judge(one.value, expected, var, one.sd**2)
    for reading, each in zip(group, verdicts, strict=True):
        run.judged.append(
            Judged(
                reading.entry.id, reading.entry.when, "temp_c", reading.value,
                Band(expected - half, expected, expected + half), reading.sd, 1.0 if agree else each.weight,
                each.questioned and not agree, reading.by,
            )
        )  # fmt: skip
    noise = max(one.sd, 0.5 * READING_SD_C) ** 2 / (1.0 if agree else verdict.weight)
    off = one.value - expected
    if agree:
        run.warmth.doubt(verdict.off)
        var = run.warmth.sd_c**2 + own_var
    rise += off * own_var / (var + noise)
    run.warmth.read(off, own_var + noise)
    run.used += len(group)


def _see_depth(run: Run, group: list[Reading]) -> None:
    parts, where = run.c.shape[1], group[0].compartment
    depths = pools.weighed(run.c, run.settle()[flows.BULK : flows.BULK + POOLS]) / run.bin.surface_m2
    over = parts if run.bin.sideways else 1
    found = depths[where - 1] if 1 <= where <= parts > 1 else depths.sum(axis=0) / over
    if found.min() <= 1e-6:
        return
    expected = np.log(found)
    likely, var = float(expected[0]), learning.spread_of(expected) + run.bulk_var
    weights = []
    for reading in group:
        verdict = learning.judge(reading.value, likely, var, reading.sd**2)
        weights.append(verdict.weight)
        _judge(run, reading, expected, verdict, run.bulk_var)
    one = readings.combine(group, weights)
    noise = one.sd**2 / learning.judge(one.value, likely, var, one.sd**2).weight
    gain = run.bulk_var / (var + noise)
    run.log_bulk = min(max(run.log_bulk + gain * (one.value - likely), -0.7), 0.7)
    run.bulk_var *= 1.0 - gain
    run.changed()
    run.used += len(group)
