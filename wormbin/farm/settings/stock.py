"""What is left of the beddings on hand: what was noted, less what the logs say went into the bins since."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from wormbin.measures import mass
from wormbin.records.entries import Bedding, Entry, standing
from wormbin.records.farms import OnHand


def left(on_hand: tuple[OnHand, ...], logs: Iterable[tuple[Entry, ...]]) -> tuple[OnHand, ...]:
    """Each bedding with what is left of it; one that nobody dated is taken as it was noted.

    The shredded part goes first. ``used_kg`` says how much of it was used up.
    """
    if all(each.noted is None for each in on_hand):
        return on_hand
    used = dict.fromkeys((each.material for each in on_hand), 0.0)
    since = {each.material: each.noted.replace(tzinfo=None) for each in on_hand if each.noted is not None}
    for log in logs:
        for entry in standing(log):
            if isinstance(entry.what, Bedding):
                for portion in entry.what.portions:
                    noted = since.get(portion.material)
                    if noted is not None and entry.when.replace(tzinfo=None) >= noted:
                        used[portion.material] += portion.kg
    return tuple(
        replace(
            each,
            kg=max(0.0, each.kg - used[each.material]),
            shredded_kg=max(0.0, each.shredded_kg - used[each.material]),
            used_kg=min(each.kg, used[each.material]),
        )
        for each in on_hand
    )


def stock_words(on_hand: tuple[OnHand, ...], units: str) -> tuple[str, ...]:
    """ "shredded-cardboard: about 300 g left of 1 kg, as worked out"; nothing of what was not used since."""
    return tuple(
        f"{each.material}: about {mass(each.kg, units)} left of {mass(each.kg + each.used_kg, units)}, as worked out"
        for each in on_hand
        if each.used_kg > 0
    )
