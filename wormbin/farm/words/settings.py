"""The settings in words, both ways: how each is shown, and how it is changed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime

from wormbin.farm.words import turns
from wormbin.farm.words.log import kept_words
from wormbin.farm.words.names import DAYS, weekday_words, weekdays
from wormbin.farm.words.spoken import Spoken, yes_no
from wormbin.materials.table import MaterialTable
from wormbin.measures import (
    Dimension,
    counted,
    mass,
    parse_amount,
    parse_date,
    parse_number,
    parse_percent,
    shown,
    tidy,
    volume,
    written_exactly,
)
from wormbin.measures.units import HANDY
from wormbin.problems import Problem, RefusedError
from wormbin.records.door import admit_settings
from wormbin.records.farm_rules import PRICED
from wormbin.records.farms import KEYS, Away, Bucket, OnHand, Settings, Stop, Units
from wormbin.records.kinds.castings import MOST_MONEY

NONE = ("", "none", "-", "no")
THEMES = ("wormbin-night", "wormbin-day", "wormbin-stark")
"""What the full screen can be coloured like; a test holds them to what there is."""
CLEARED = {
    "away": "away", "on-hand": "on_hand", "bucket": "buckets", "tare": "tares", "measure": "measures",
    "currency": "currency", "hour-rate": "hour_rate", "price": "prices", "walk": "walk", "hours": "hours",
    "curing-room": "curing_room_kg", "keys": "keys",
}  # fmt: skip
"""What goes back to what it was at first by empty words, and the name that it has in ``Settings``."""
KEPT_KEYS = "adijklmnoqrsvz?/+-=, "
"""Keys that places and lists answer themselves."""


@dataclass(frozen=True, slots=True)
class SettingWords:
    """Reads and says settings. Raises RefusedError for what is not one or cannot be."""

    table: MaterialTable
    today: date
    now: datetime | None = None

    def all(self, settings: Settings, units: str = "") -> dict[str, str]:
        """Every setting by its name, in words that ``changed`` reads, in these units or else in the farm's own."""
        units = units or settings.units
        return {
            "units": settings.units.value,
            "moisture": f"{settings.moisture_low * 100:g}-{settings.moisture_high * 100:g}",
            "feed-days": weekday_words(settings.feed_days),
            "check-every": counted(settings.check_every_days, "day"),
            "away": "; ".join(_away_words(each) for each in settings.away),
            "on-hand": "; ".join(f"{mass(each.kg, units)} {each.material}" for each in settings.on_hand),
            "bucket": "; ".join(
                f"{each.name}: {', '.join(self._portion_in(words, units) for words in each.portions)}"
                for each in settings.buckets
            ),
            "tare": "; ".join(f"{name}: {mass(kg, units)}" for name, kg in settings.tares.items()),
            "measure": "; ".join(
                f"{name}{':' if ' ' in name else ''} {_size_in(size, units)}"
                for name, size in settings.measures.items()
            ),
            "theme": settings.theme,
            "currency": settings.currency,
            "hour-rate": written_exactly(settings.hour_rate) if settings.hour_rate else "",
            "price": "; ".join(f"{name} {written_exactly(price)}" for name, price in settings.prices.items()),
            "walk": "; ".join(f"{stop.name}: {', '.join(stop.bins)}" for stop in settings.walk),
            "hours": _hours_words(settings.hours),
            "curing-room": "" if settings.curing_room_kg is None else mass(settings.curing_room_kg, units),
            "guess-first": "yes" if settings.guess_first else "",
            "keys": "; ".join(f"{name.replace('_', '-')}: {key}" for name, key in settings.keys.items()),
            **turns.words_of(settings.turns),
        }

    def _portion_in(self, words: str, units: str) -> str:
        """One thing of a bucket: as it was said, but for an amount in the other units."""
        try:
            (portion,) = Spoken(self.table).portions([words])
        except RefusedError:
            return words
        return words if kept_words(portion.said, units) else f"{mass(portion.kg, units)} {portion.material}"

    def changed(self, settings: Settings, name: str, words: str) -> Settings:
        """The settings with one of them changed; a list gains or replaces one item, and empty words clear it."""
        called = tidy(name).casefold().replace("_", "-")
        change = self._changes().get(called)
        if change is None:
            raise RefusedError(Problem("setting", shown(name), "a setting that wormbin settings lists", "units"))
        if called in CLEARED and tidy(words).casefold() in NONE:
            return admit_settings(replace(settings, **{CLEARED[called]: getattr(Settings(), CLEARED[called])}))
        return admit_settings(change(settings, words))

    def _changes(self) -> Mapping[str, Callable[[Settings, str], Settings]]:
        return {
            "units": _units, "moisture": _moisture, "feed-days": _feed_days, "check-every": _check_every,
            "away": self._away, "on-hand": self._on_hand, "bucket": self._bucket, "tare": _tare,
            "measure": self._measure, "theme": _theme, "currency": _currency, "hour-rate": _hour_rate,
            "price": _price, "walk": _walk, "hours": _hours, "curing-room": _curing_room,
            "guess-first": _guess_first, "keys": _keys, **turns.changes(self.today),
        }  # fmt: skip

    def _away(self, settings: Settings, words: str) -> Settings:
        span, _, why = words.partition(":")
        first, to, last = span.partition(" to ")
        begins = parse_date(first, self.today, "away", toward="future")
        ends = parse_date(last, begins, "away", toward="future") if to else begins
        if ends < begins:
            allowed = "the first day and then the last one"
            raise RefusedError(Problem("away", shown(words), allowed, "2026-07-20 to 2026-08-03: summer"))
        others = tuple(each for each in settings.away if each.first != begins)
        if tidy(why).casefold() in NONE[1:]:
            return replace(settings, away=others)
        away = sorted((*others, Away(begins, ends, tidy(why))), key=lambda each: each.first)
        return replace(settings, away=tuple(away))

    def _on_hand(self, settings: Settings, words: str) -> Settings:
        held = {each.material: each for each in settings.on_hand}
        for portion in Spoken(self.table, settings.measures).portions([words], "on-hand"):
            held[portion.material] = OnHand(portion.material, portion.kg, noted=self.now)
            if portion.kg <= 0:
                del held[portion.material]
        return replace(settings, on_hand=tuple(held.values()))

    def _measure(self, settings: Settings, words: str) -> Settings:
        """ "handful 40 g", or of one material "handful coffee grounds: 25 g"; "handful" alone forgets it."""
        text = tidy(words).casefold()
        word, _, rest = text.partition(" ")
        word = word.removesuffix("s") if word.removesuffix("s") in HANDY else word
        if word not in HANDY:
            allowed = "a household measure and its size: " + ", ".join(sorted(HANDY))
            raise RefusedError(Problem("measure", shown(words), allowed, "handful 40 g"))
        of, colon, size = rest.rpartition(":")
        name = f"{word} {self.table.find(of.removeprefix('of ').strip(), 'measure').key}" if colon and of else word
        kept = {each: held for each, held in settings.measures.items() if each != name}
        if tidy(size) not in NONE:
            amount = parse_amount(tidy(size).removeprefix("="), "measure", expect=(Dimension.MASS, Dimension.VOLUME))
            kept[name] = amount.said
        return replace(settings, measures=kept)

    def _bucket(self, settings: Settings, words: str) -> Settings:
        name, colon, rest = words.partition(":")
        if not colon or not tidy(name):
            allowed = "a name, a colon, and what is in it"
            raise RefusedError(
                Problem("bucket", shown(words), allowed, "breakfast: 150 g coffee grounds, 80 g banana peel")
            )
        others = tuple(each for each in settings.buckets if each.name != tidy(name))
        if tidy(rest).casefold() in NONE:
            return replace(settings, buckets=others)
        portions = Spoken(self.table, settings.measures).portions([rest], "bucket")
        said = tuple(f"{each.said} {each.material}" for each in portions)
        return replace(settings, buckets=(*others, Bucket(tidy(name), said)))


def _size_in(size: str, units: str) -> str:
    """How large an own measure is: as it was said, but for an amount in the other units."""
    if kept_words(size, units):
        return size
    try:
        amount = parse_amount(size, "measure", expect=(Dimension.MASS, Dimension.VOLUME))
    except RefusedError:
        return size
    return mass(amount.kg(), units) if amount.dimension is Dimension.MASS else volume(amount.litres(), units)


def _away_words(away: Away) -> str:
    days = away.first.isoformat() + (f" to {away.last.isoformat()}" if away.last != away.first else "")
    return days + (f": {away.why}" if away.why else "")


def _units(settings: Settings, words: str) -> Settings:
    text = tidy(words).casefold()
    if text not in ("metric", "us"):
        raise RefusedError(Problem("units", shown(words), "metric or us", "metric"))
    return replace(settings, units=Units(text))


def _moisture(settings: Settings, words: str) -> Settings:
    low, dash, high = words.strip().partition("-")
    if not dash:
        raise RefusedError(Problem("moisture", shown(words), "two percentages, the lower first", "75-85"))
    return replace(settings, moisture_low=parse_percent(low, "moisture"), moisture_high=parse_percent(high, "moisture"))


def _feed_days(settings: Settings, words: str) -> Settings:
    return replace(settings, feed_days=weekdays(words, "feed-days"))


def _check_every(settings: Settings, words: str) -> Settings:
    text = tidy(words).casefold().removesuffix("days").removesuffix("day").removesuffix("d").strip()
    days = parse_number(text, "check-every", low=1, high=60, example="3 days")
    if days != int(days):
        raise RefusedError(Problem("check-every", shown(words), "whole days", "3 days"))
    return replace(settings, check_every_days=int(days))


def _tare(settings: Settings, words: str) -> Settings:
    name, colon, weight = words.partition(":")
    if not colon or not tidy(name):
        raise RefusedError(
            Problem("tare", shown(words), "the name of a tub, a colon, its empty weight", "green tub: 240 g")
        )
    kg = parse_amount(weight, "tare", expect=Dimension.MASS).kg()
    tares = {each: held for each, held in settings.tares.items() if each != tidy(name)}
    if kg > 0:
        tares[tidy(name)] = kg
    return replace(settings, tares=tares)


def _currency(settings: Settings, words: str) -> Settings:
    return replace(settings, currency=tidy(words))


def _hour_rate(settings: Settings, words: str) -> Settings:
    return replace(settings, hour_rate=parse_number(words, "hour-rate", high=MOST_MONEY, example="15"))


def _price(settings: Settings, words: str) -> Settings:
    """ "bag 9.50"; "bag" alone forgets it."""
    name, _, price = tidy(words).casefold().partition(" ")
    if name not in PRICED:
        allowed = "one of " + ", ".join(PRICED) + ", and what it is sold for"
        raise RefusedError(Problem("price", shown(words), allowed, "bag 9.50"))
    kept = {each: held for each, held in settings.prices.items() if each != name}
    if price not in NONE:
        kept[name] = parse_number(price, "price", high=MOST_MONEY, example="9.50")
    return replace(settings, prices=kept)


def _theme(settings: Settings, words: str) -> Settings:
    text = tidy(words).casefold()
    name = "" if text in NONE else f"wormbin-{text.removeprefix('wormbin-')}"
    if name and name not in THEMES:
        raise RefusedError(Problem("colours", shown(words), "one of " + ", ".join(THEMES), THEMES[0]))
    return replace(settings, theme=name)


def _walk(settings: Settings, words: str) -> Settings:
    """ "barn: barn-1, barn-2; yard: shade-*": one stop gains or replaces another of its name, several replace all."""
    stops = []
    for part in words.split(";"):
        name, _, bins = part.partition(":")
        stops.append(Stop(tidy(name), tuple(tidy(each).casefold() for each in bins.split(",") if tidy(each))))
    kept = settings.walk if len(stops) == 1 else ()
    found = {stop.name: stop for stop in (*kept, *stops)}
    return replace(settings, walk=tuple(stop for stop in found.values() if stop.bins or not stop.name))


def _hours(settings: Settings, words: str) -> Settings:
    """ "3 h" for every day, or "mon 2, sat 6" with none on the others."""
    hours = [0.0] * 7
    for part in tidy(words).casefold().split(","):
        day, _, much = part.strip().rpartition(" ") if part.strip()[:1].isalpha() else ("", "", part)
        number = parse_number(much.strip().removesuffix("hours").removesuffix("h").strip() or part, "hours")
        which = [at for at, name in enumerate(DAYS.values()) if day and name.startswith(day.strip()[:3])]
        if day and (len(day.strip()) < 2 or len(which) != 1):
            raise RefusedError(Problem("hours", shown(words), "hours, or weekdays with their hours", "mon 2, sat 6"))
        for at in which or range(7):
            hours[at] = number
    return replace(settings, hours=tuple(hours))


def _hours_words(hours: tuple[float, ...]) -> str:
    if len(set(hours)) == 1:
        return f"{hours[0]:g} h"
    return ", ".join(f"{name[:3]} {each:g}" for name, each in zip(DAYS.values(), hours, strict=False) if each)


def _curing_room(settings: Settings, words: str) -> Settings:
    return replace(settings, curing_room_kg=parse_amount(words, "curing room", expect=Dimension.MASS).kg())


def _guess_first(settings: Settings, words: str) -> Settings:
    return replace(settings, guess_first=yes_no(words, "guess-first", False))


def _keys(settings: Settings, words: str) -> Settings:
    """ "check: k; feed: n"; "check: none" goes back to its own key."""
    keys = dict(settings.keys)
    for part in words.split(";"):
        said, _, key = (each.strip() for each in part.partition(":"))
        name = said.casefold().replace("-", "_").replace(" ", "_")
        if name not in KEYS:
            allowed = "one of " + ", ".join(each.replace("_", "-") for each in KEYS) + ", a colon, a key"
            raise RefusedError(Problem("keys", shown(part), allowed, "check: 1"))
        keys.pop(name, None)
        if key.casefold() not in NONE:
            others = {other: keys.get(other, own) for other, own in KEYS.items() if other != name}
            if len(key) != 1 or not key.isprintable() or key in KEPT_KEYS or key in others.values():
                raise RefusedError(Problem("keys", shown(part), "one key that nothing else has yet", "check: 1"))
            keys[name] = key
    return replace(settings, keys=keys)
