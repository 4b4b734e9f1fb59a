"""Whether two bins began alike and were fed alike, how to begin alike, and what one bin of each can tell."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING

from wormbin.figures import Band
from wormbin.measures import area, mass, percent, temperature, volume
from wormbin.process.views import Day
from wormbin.records.bins import Bin
from wormbin.records.entries import Bedding, Stocking, Watering
from wormbin.records.habits import fed_kg
from wormbin.science.paired import t_quantile

if TYPE_CHECKING:
    from wormbin.farm.bins.scene import Scene

START_DAYS = 3
"""What was put in so soon after the first day belongs to the start."""
UNEQUAL = 0.10
"""A start that differs by more than this share is named (ours)."""


def unequal(one: Scene, other: Scene, begins: date) -> Iterator[str]:
    """What differs at the start, or was fed since, and is not what is compared."""
    a, b, units = one.bin, other.bin, one.settings.units.value
    by_room = a.beddings != b.beddings  # other beddings weigh other than these, and the bed is as large
    starts = [_at_start(scene, begins, by_room=by_room) for scene in (one, other)]
    amounts = {f"{name} at the start": [each[name] for each in starts] for name in starts[0]}
    amounts["feed given"] = [fed_kg(scene.entries, begins, scene.on) for scene in (one, other)]
    for name, kg in amounts.items():
        if abs(kg[0] - kg[1]) > UNEQUAL * max(kg):
            say = next((told for begin, told in _SAY.items() if name.startswith(begin)), mass)
            yield f"{name}: {say(kg[0], units)} in {a.name}, {say(kg[1], units)} in {b.name}"
    for name, words in _BOX:
        if words(a, units) != words(b, units):
            yield f"{name}: {words(a, units)} in {a.name}, {words(b, units)} in {b.name}"
    if one.settings.feed_days != other.settings.feed_days:
        yield f"feeding days: {', '.join(one.settings.feed_days)} and {', '.join(other.settings.feed_days)}"
    if a.started < begins or b.started < begins:
        then = [each.at(begins) for each in (one, other)]
        for name, of, told in _HELD:
            mine, theirs = (of(day) for day in then)
            if not theirs.p10 <= mine.p50 <= theirs.p90:
                held = f"{told(mine.p50, units)} in {a.name}, {told(theirs.p50, units)} in {b.name}"
                yield f"{name} on the first day, worked out: {held}"


_BOX: tuple[tuple[str, Callable[[Bin, str], str]], ...] = (
    ("surface", lambda one, units: area(one.footprint_m2, units)),
    ("holes in the base", lambda one, _: "yes" if one.drainage else "no"),
    ("cover", lambda one, _: one.cover.value),
    ("room", lambda one, units: temperature(one.site_temp_c, units)),
    ("worms", lambda one, _: one.species.value),
)
_HELD: tuple[tuple[str, Callable[[Day], Band], Callable[[float, str], str]], ...] = (
    ("worms", lambda day: day.worms_kg, mass),
    ("feed waiting", lambda day: day.feed_waiting_kg, mass),
    ("castings share", lambda day: day.castings_share, lambda value, _: percent(value)),
)


_SAY: dict[str, Callable[[float, str], str]] = {
    "water": volume, "room": volume, "moisture": lambda share, _: percent(share),
}  # fmt: skip


def _at_start(scene: Scene, begins: date, *, by_room: bool) -> dict[str, float]:
    """Worms, bedding and water of the first days, kg; ``by_room`` litres that the bedding fills, and how wet it is."""
    found = {"worms put in": 0.0, "bedding put in": 0.0, "water put in": 0.0}
    litres = dry = 0.0
    for each in scene.entries:
        if begins <= each.when.date() < begins + timedelta(days=START_DAYS):
            match each.what:
                case Stocking(worms_kg=kg):
                    found["worms put in"] += kg
                case Bedding(portions=portions):
                    found["bedding put in"] += sum(portion.kg for portion in portions)
                    for portion, of in ((each, scene.table.get(each.material)) for each in portions):
                        dry += portion.kg * (1.0 - of.moisture)
                        litres += 1000.0 * portion.kg / of.bulk_density_kg_m3 if of.bulk_density_kg_m3 else 0.0
                case Watering(kg=kg):
                    found["water put in"] += kg
    if by_room and litres and dry:
        wet = found.pop("bedding put in") + found.pop("water put in")
        found |= {"room filled by bedding": litres, "moisture of the bed": 1.0 - dry / wet}
    return found


def equal(scenes: Sequence[Scene]) -> tuple[str, ...]:
    """How to begin alike, for a comparison that has not begun: boxes, worms, feed."""
    units = scenes[0].settings.units.value
    worms = [scene.past.today.worms_kg.p50 for scene in scenes]
    found = [
        "Two boxes of one size, in one room, with the same lid and the same holes.",
        "The same weight of worms: weigh them in, or move "
        f"{mass((max(worms) - min(worms)) / 2, units)} from {scenes[worms.index(max(worms))].bin.name} to "
        f"{scenes[worms.index(min(worms))].bin.name}, as worked out."
        if max(worms) - min(worms) > UNEQUAL * max(worms)
        else "The same weight of worms in each: weigh them in.",
        "Beds soaked to the same feel; the same feed, by weight, on the same days.",
        "Read both on the same day, the same pupil both.",
    ]
    return tuple(found)


def pairs_words(bins: int) -> str:
    """What one bin of each can tell, and what two or three of each would."""
    reach = {n: t_quantile(0.975, 2 * (n - 1)) * (2 / n) ** 0.5 for n in (2, 3)}
    return (
        f"{'One bin of each is one pair' if bins == 2 else 'One bin of each is no more than one pair each'}. It tells "
        "that these bins differ, but not yet why. A lucky box looks the same as a better bedding. Alike bins lie apart "
        f"by chance, too. With two bins of each, trust a difference {reach[2]:.1f} times as large as that chance gap. "
        f"With three of each, {reach[3]:.1f} times as large is enough."
    )
