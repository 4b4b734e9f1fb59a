"""All that can be wrong with a bin, with settings and with a material of the keeper's own."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta

from wormbin.problems import Problem, RefusedError
from wormbin.records.bins import Bin
from wormbin.records.farms import JOBS, MOST_TOGETHER, Farm, OwnMaterial, Settings, Turns
from wormbin.records.ids import KEY_RULE, is_key
from wormbin.records.kinds.castings import MOST_MONEY
from wormbin.records.limits import FAR_OFF, FIRST_YEAR, NAME_LENGTH, PERCENT, WORD_LENGTH, Problems, mass, text, within

PRICED = ("kg", "litre", "bag", "worms")
"""What may have a price: castings by weight, room or bag, worms by the kg."""
WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")


def _size(field: str, value: float | None, highest_m: float) -> Problems:
    return within(field, value, 0.01, highest_m, "60 cm", (100.0, " cm"))


def _weekdays(days: tuple[str, ...]) -> Problems:
    if set(days) - set(WEEKDAYS) or len(set(days)) != len(days):
        yield Problem("feeding days", ", ".join(days), "weekdays, each once: " + ", ".join(WEEKDAYS), "MO, TH")


def bin_problems(one: Bin, others: Iterable[Bin], now: datetime) -> tuple[Problem, ...]:
    """All that is wrong with a bin. ``others`` are the farm's other bins, whose keys it must not have."""

    def found() -> Problems:
        if not is_key(one.key):
            yield Problem("bin", one.key, KEY_RULE, "kitchen")
        elif one.key in {each.key for each in others}:
            yield Problem("bin", one.key, "a name in commands that no other bin has", f"{one.key[:36]}-2")
        if not one.name:
            yield Problem("name", "", "what people call the bin", "Kitchen bin")
        yield from text("name", one.name, NAME_LENGTH)
        yield from text("keeper", one.keeper, WORD_LENGTH)
        yield from _size("length", one.length_m, 200.0)
        yield from _size("width", one.width_m, 50.0)
        yield from _size("depth", one.depth_m, 3.0)
        yield from within("area", one.area_m2, 0.0001, 10_000.0, "0.24 m2", (1.0, " m2"))
        if one.area_m2 is None and (one.length_m is None or one.width_m is None):
            yield Problem("size", "", "length and width, or the area", "60cm by 40cm")
        if not 1 <= one.compartments <= 5:
            yield Problem("compartments", str(one.compartments), "a number from 1 to 5", "1")
        yield from within("temperature of the site", one.site_temp_c, -20.0, 50.0, "20 °C", (1.0, " °C"))
        yield from within("weight of the empty box", one.tare_kg, 0.0, 10_000.0, "2.4 kg", (1.0, " kg"))
        yield from within("share at harvest", one.harvest_share, 0.1, 1.0, "80 %", PERCENT)
        yield from _weekdays(one.feed_days)
        wrong = [each for each in (*one.beddings, *one.feeds) if not is_key(each)]
        if wrong:
            yield Problem("material", ", ".join(wrong), "names of materials of the table", "dry-leaves")
        if one.started.year < FIRST_YEAR or one.started > (now + timedelta(days=366)).date():
            yield Problem(
                "started", one.started.isoformat(), f"a day from {FIRST_YEAR} to a year from now", "2026-03-02"
            )
        if one.ended is not None and not one.started <= one.ended <= FAR_OFF.date():
            yield Problem("ended", one.ended.isoformat(), f"a day from its start on ({one.started})", "2026-11-30")

    return tuple(found())


def _measure(name: str, size: str) -> Problems:
    """What is wrong with a measure of the keeper's own: it holds something, and no more than anybody carries."""
    from wormbin.measures import Dimension, parse_amount  # few have any, and every start would wait for it

    yield from text("measure", name, WORD_LENGTH)
    try:
        amount = parse_amount(size, f"size of {name[:40]}", expect=(Dimension.MASS, Dimension.VOLUME))
    except RefusedError as refused:
        yield from refused.problems
        return
    yield from within(f"size of {name[:40]}", amount.si, 0.0, 1000.0, "40 g", (1.0, " kg or L"), above=True)


def _work(settings: Settings) -> Problems:
    """What is wrong with how the work on all bins is laid out."""
    if len(settings.hours) not in (0, len(WEEKDAYS)) or not any(settings.hours or (1,)):
        read = ", ".join(f"{each:g}" for each in settings.hours)
        yield Problem("hours", read, "hours for each of the seven days, on some of them more than none", "3 h")
    for hours in settings.hours:
        yield from within("hours", hours, 0.0, 24.0, "3 h", (1.0, " h"))
    if settings.curing_room_kg is not None:
        yield from within("curing room", settings.curing_room_kg, 0.0, 1e6, "200 kg", (1.0, " kg"), above=True)
    for stop in settings.walk:
        yield from text("walk", stop.name, NAME_LENGTH)
        if not stop.name or not stop.bins:
            yield Problem("walk", stop.name, "where it is, a colon, and the bins there", "barn: barn-1, barn-2")
    days = [put.bin for put in settings.put]
    if len(set(days)) != len(days):
        yield Problem("week", ", ".join(days), "every bin's harvest on one day")


def settings_problems(settings: Settings) -> tuple[Problem, ...]:
    """All that is wrong with settings."""

    def found() -> Problems:
        yield from within("lowest moisture", settings.moisture_low, 0.3, 0.95, "75 %", PERCENT)
        yield from within("highest moisture", settings.moisture_high, 0.3, 0.95, "85 %", PERCENT)
        if settings.moisture_low >= settings.moisture_high:
            read = f"{settings.moisture_low * 100:g}-{settings.moisture_high * 100:g} %"
            yield Problem("moisture", read, "a lowest value below the highest", "75-85 %")
        yield from _weekdays(settings.feed_days)
        if not 1 <= settings.check_every_days <= 60:
            yield Problem("days between checks", str(settings.check_every_days), "1 to 60", "3")
        for away in settings.away:
            if away.last < away.first:
                yield Problem("away", f"{away.first} to {away.last}", "a last day that is not before the first")
            if away.first.year < FIRST_YEAR or away.last > FAR_OFF.date():
                yield Problem("away", f"{away.first} to {away.last}", f"days from {FIRST_YEAR} to {FAR_OFF.year}")
            yield from text("why away", away.why, NAME_LENGTH)
        for on_hand in settings.on_hand:
            yield from mass(f"{on_hand.material} on hand", on_hand.kg, above=False)
            yield from within(
                f"{on_hand.material} shredded", on_hand.shredded_kg, 0.0, max(on_hand.kg, 0.0), "1 kg", (1.0, " kg")
            )
            yield from within(
                f"{on_hand.material} used", on_hand.used_kg, 0.0, max(on_hand.kg, 0.0), "1 kg", (1.0, " kg")
            )
        for bucket in settings.buckets:
            if not bucket.name or not bucket.portions:
                yield Problem("bucket", bucket.name, "a name and what is in it", "“tuesday”: “300 g melon rind”")
            yield from text("bucket", bucket.name, WORD_LENGTH)
        for name, tare_kg in settings.tares.items():
            yield from text("tub", name, WORD_LENGTH)
            yield from within(f"tare of {name[:40]}", tare_kg, 0.0, 10_000.0, "240 g", (1.0, " kg"))
        for name, size in settings.measures.items():
            yield from _measure(name, size)
        yield from text("currency", settings.currency, WORD_LENGTH)
        yield from within("hour-rate", settings.hour_rate, 0.0, MOST_MONEY, "15")
        for name, price in settings.prices.items():
            if name not in PRICED:
                yield Problem("price", name, "one of " + ", ".join(PRICED), "bag 9.50")
            yield from within(f"price of a {name}", price, 0.0, MOST_MONEY, "9.50")
        yield from _work(settings)
        yield from _turns(settings.turns)

    return tuple(found())


def _turns(turns: Turns) -> Problems:
    """What is wrong with how turns are taken."""
    weekdays = {*turns.days, *(day for job in turns.jobs for day in job.days)}
    if wrong := sorted(weekdays - set(WEEKDAYS)):
        yield Problem("school days", ", ".join(wrong), "weekdays: " + ", ".join(WEEKDAYS), "MO, TU")
    for day in turns.half_days:
        if day not in WEEKDAYS and not _is_day(day):
            yield Problem("half days", day[:40], "a weekday, or a day year first", "2026-10-23")
    if wrong := [job.name for job in turns.jobs if job.name not in JOBS]:
        yield Problem("jobs", ", ".join(wrong)[:60], "one of " + ", ".join(JOBS), JOBS[0])
    yield from within("at one job", turns.together, 1, MOST_TOGETHER, "2")
    spans = [(each.first, each.last) for each in turns.away]
    if turns.first is not None and turns.last is not None:
        spans.append((turns.first, turns.last))
    for first, last in spans:
        if last < first:
            yield Problem("turns", f"{first} to {last}", "a last day that is not before the first")
    for name in {each.name for each in turns.away} | {name for each in turns.swaps for name in (each.name, each.other)}:
        yield from text("pupil", name, WORD_LENGTH)


def _is_day(words: str) -> bool:
    try:
        date.fromisoformat(words)
    except ValueError:
        return False
    return True


VALUES: dict[str, tuple[float, float, str]] = {
    "nitrogen_pct": (0.0, 20.0, "2.1"),
    "carbon_pct": (0.0, 55.6, "45"),
    "ash_pct": (0.0, 100.0, "8"),
    "moisture_pct": (0.0, 98.0, "77"),
    "bulk_density_kg_m3": (5.0, 3000.0, "208"),
    "water_holding": (0.1, 15.0, "3"),
}
"""What a keeper's own value may be: lowest, highest, an example; percent of dry matter, but for moisture."""
_WORDS_OF = {"pace": ("quick", "steady", "slow", "aged", "fibre"), "role": ("bedding", "feed", "amendment", "keep out")}


def material_problems(material: OwnMaterial) -> tuple[Problem, ...]:
    """All that is wrong with a material of the keeper's own. Percent as the field names say."""

    def found() -> Problems:
        if not is_key(material.key):
            yield Problem("material", material.key, KEY_RULE, "coffee-grounds")
        yield from text("name", material.name, NAME_LENGTH)
        yield from text("by", material.by, WORD_LENGTH)
        for name, value in material.values.items():
            if name in VALUES:
                low, high, example = VALUES[name]
                if isinstance(value, str):
                    yield Problem(name, value, f"a number from {low:g} to {high:g}", example)
                else:
                    yield from within(name, value, low, high, example)
            elif name == "like":
                if not is_key(str(value)):
                    yield Problem(name, str(value), KEY_RULE, "spinach")
            elif name in _WORDS_OF:
                if value not in _WORDS_OF[name]:
                    yield Problem(name, str(value), "one of " + ", ".join(_WORDS_OF[name]), _WORDS_OF[name][0])
            else:
                yield Problem("value", name, "one of " + ", ".join((*VALUES, *_WORDS_OF)), "nitrogen_pct")

    return tuple(found())


def farm_problems(farm: Farm, now: datetime) -> tuple[Problem, ...]:
    """All that is wrong with a farm: its bins, keepers, own materials and settings."""
    found: list[Problem] = []
    for place, one in enumerate(farm.bins):
        found.extend(bin_problems(one, farm.bins[:place], now))
    for material in farm.materials:
        found.extend(material_problems(material))
    keys = [material.key for material in farm.materials]
    found.extend(
        Problem("material", key, "a key that only one own material has") for key in set(keys) if keys.count(key) > 1
    )
    for keeper in farm.keepers:
        found.extend(text("keeper", keeper, WORD_LENGTH))
    return (*found, *settings_problems(farm.settings))
