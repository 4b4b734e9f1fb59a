"""A line put right: what its words leave as they were stays exactly as it was, also what no word can say."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import fields, is_dataclass, replace
from operator import eq
from typing import Any

from wormbin.farm.words.spoken import Spoken
from wormbin.farm.words.typed import typed_fields
from wormbin.problems import RefusedError
from wormbin.records.bins import NOTHING_MORE
from wormbin.records.entries import Check, Entry, Portion, Sample
from wormbin.records.lots import described

OVEN = "oven_"
"""How the weights of an oven test are named that are kept beside a check."""
_AMOUNT = frozenset({"kg", "worms_kg", "worms_count", "castings_kg", "said"})
"""Said together: one of them anew, and the others of the old line say nothing any more."""


def put_right(right: Entry, wrong: Entry, spoken: Spoken, units: str) -> Entry:
    """``right``, with everything exactly as it was in ``wrong`` that its words leave as they were."""
    what = right.what
    if type(what) is type(wrong.what):
        with suppress(RefusedError):  # the table no longer has what the old line names
            read = spoken.read(described(wrong.what), typed_fields(wrong.what, spoken, units))
            what = _as_it_was(wrong.what, read, what)
    moved = right.when != wrong.when.replace(microsecond=0)
    if right.day_only and wrong.day_only:  # a day has no offset that anybody said
        moved = right.when.date() != wrong.when.date()
    kept = {name: value for name, value in wrong.extra.items() if name not in (*right.extra, "history")}
    if isinstance(what, Check) and isinstance(wrong.what, Check) and what.moisture != wrong.what.moisture:
        kept = {name: value for name, value in kept.items() if not name.startswith(OVEN)}
    extra = {**kept, **right.extra}
    return replace(right, what=what, when=right.when if moved else wrong.when, extra=extra if extra else NOTHING_MORE)


def _as_it_was(old: Any, read: Any, new: Any) -> Any:
    """``new``, with the ``old`` in each place where it says what the old words ``read`` as."""
    if new == read:
        return old
    if isinstance(new, tuple):
        return _each_as_it_was(old, read, new)
    if not is_dataclass(new) or isinstance(new, type) or type(new) is not type(old):
        return new
    changes: dict[str, Any] = {}
    names = [each.name for each in fields(new)]
    anew = {name for name in names if getattr(new, name) != getattr(read, name)}
    # The same amount in other words is no other amount.
    anew = anew | _AMOUNT if anew & (_AMOUNT - {"said"}) else anew - {"said"}
    if isinstance(new, Portion) and "material" in anew:
        return new
    for name in names:
        if name not in anew:
            changes[name] = getattr(old, name)
        elif name not in _AMOUNT:
            changes[name] = _as_it_was(getattr(old, name), getattr(read, name), getattr(new, name))
    return replace(new, **changes)


def _each_as_it_was(old: tuple[Any, ...], read: tuple[Any, ...], new: tuple[Any, ...]) -> tuple[Any, ...]:
    """Portions and samples: each that is there unchanged first, then those of a material, or of a place, changed."""
    if not all(isinstance(each, Portion | Sample) for each in (*old, *new)):
        return new
    left = list(zip(old, read, strict=True))
    found: dict[int, Any] = {}
    for alike in (eq, _of_one_kind):
        for place, each in enumerate(new):
            pair = next((pair for pair in left if alike(each, pair[1])), None) if place not in found else None
            if pair is not None:
                left.remove(pair)
                found[place] = _as_it_was(*pair, each)
    return tuple(found.get(place, each) for place, each in enumerate(new))


def _of_one_kind(new: Portion | Sample, read: Portion | Sample) -> bool:
    return not isinstance(new, Portion) or (isinstance(read, Portion) and new.material == read.material)
