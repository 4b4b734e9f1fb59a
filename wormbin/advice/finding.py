"""A finding about one bin and the steps that it asks for, so that those of several become one short list."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from wormbin.figures import Level


class Doing(StrEnum):
    """What kind of thing is to be done, in the order in which it helps a bin in trouble; cautions come last."""

    EMERGENCY = "emergency"
    STOP = "stop feeding"
    TAKE_OUT = "take out feed"
    LOOK = "look first"
    DRAIN = "drain"
    WARMTH = "warmth"
    WATER = "water"
    FLUFF = "fluff"
    BEDDING = "bedding"
    COVER = "cover"
    LIME = "lime"
    WORMS = "worms"
    ROOM = "room"
    HARVEST = "harvest"
    NEW_BED = "new bed"
    FEED = "feed"
    WITH_FEED = "bedding with each feeding"
    PESTS = "pests"
    THEN = "feed afterwards"
    LEAVING = "before leaving"
    MEASURE = "measure"
    CAUTION = "caution"


_PLACE = {kind: place for place, kind in enumerate(Doing)}
_EACH = frozenset({Doing.EMERGENCY, Doing.CAUTION, Doing.PESTS, Doing.LEAVING})
"""Steps of these kinds do not stand for one another: all of them count."""
DOSES = frozenset({Doing.TAKE_OUT, Doing.DRAIN, Doing.WATER, Doing.BEDDING})
"""Steps that put in or take out an amount: never against what was read."""
_AFTERWARDS = (Doing.THEN, Doing.LEAVING, Doing.MEASURE, Doing.CAUTION)
"""Whatever level asks for them, these follow what is to be done at the bin."""


@dataclass(frozen=True, slots=True)
class Action:
    """One step: ``text`` with its amount in the keeper's units.

    Of two steps of one kind the one with the larger ``strength`` counts (kg, m, or the latest day: whatever this kind
    is measured by). ``until`` is the day up to which nothing is fed. ``again``: an earlier finding asks for it already.
    ``part`` is the tray or half that the step is for, 0 for the whole bin.
    """

    kind: Doing
    text: str
    strength: float = 0.0
    until: date | None = None
    again: bool = False
    part: int = 0

    @property
    def words(self) -> str:
        """The step as it stands in its finding."""
        return f"as above: {self.text}" if self.again else self.text


def merged(asked: Iterable[tuple[Level, Action]]) -> tuple[Action, ...]:
    """One list out of the steps that several findings ask for, each with its finding's level, worst finding first.

    One line a kind (and tray), the strongest; the graver level first and then by kind. What follows afterwards, and
    cautions, come last; cautions are one line.
    """
    best: dict[object, tuple[Level, Action]] = {}
    for level, action in asked:
        if action.again:
            continue
        slot: object = (action.kind, action.text if action.kind in _EACH else action.part)
        held = best.get(slot)
        if held is None:
            best[slot] = (level, action)
            continue
        graver = max(level, held[0], key=lambda each: each.rank)
        best[slot] = (graver, max(held[1], action, key=lambda each: each.strength))
    for kind in {action.kind for _level, action in best.values() if action.part}:
        _whole_or_parts(best, kind)
    listed = sorted(best.values(), key=lambda pair: (_turn(pair[1].kind), -pair[0].rank, _PLACE[pair[1].kind]))
    steps = [action for _level, action in listed if action.kind is not Doing.CAUTION]
    cautions = [action.text for _level, action in listed if action.kind is Doing.CAUTION]
    return (*steps, Action(Doing.CAUTION, "; ".join(cautions))) if cautions else tuple(steps)


def _whole_or_parts(best: dict[object, tuple[Level, Action]], kind: Doing) -> None:
    """Of a step for the whole bin and the same for its trays the stronger stands, so that nobody does it twice."""
    whole = best.get((kind, 0))
    if whole is None:
        return
    parts = [slot for slot, (_level, action) in best.items() if action.kind is kind and action.part]
    if whole[1].strength > sum(best[slot][1].strength for slot in parts):
        for slot in parts:
            del best[slot]
    else:
        del best[(kind, 0)]


def _turn(kind: Doing) -> int:
    """What comes before all else, and what comes after, whatever level asks for it."""
    if kind is Doing.EMERGENCY:
        return -1
    return _PLACE[kind] if kind in _AFTERWARDS else 0


def shortest(actions: tuple[Action, ...], most: int) -> tuple[Action, ...]:
    """The first ``most`` of a merged list; a caution keeps its place, as it stands where work can hurt somebody."""
    if any(action.kind is Doing.EMERGENCY for action in actions):
        # The steps of an emergency are never cut short, and what belongs to other troubles waits until they are done.
        return tuple(each for each in actions if each.kind in (Doing.EMERGENCY, Doing.CAUTION))
    if len(actions) <= most:
        return actions
    last = actions[-1]
    return (*actions[: most - 1], last) if last.kind is Doing.CAUTION else actions[:most]


@dataclass(frozen=True, slots=True)
class Finding:
    """A finding about one bin, in the keeper's words and units.

    ``code`` is stable and short (``overfed``, ``too-wet`` ...). ``what`` is one line that stands alone; ``why`` gives
    the numbers, the limit they passed and its source; ``actions`` is what to do, with amounts, the first step first;
    ``sure`` says which reading, how old, and the band that the judgement rests on. ``urgency`` orders findings of one
    level, higher first. ``compartment`` is the tray or half that it is about, 0 for the
    whole bin.
    """

    code: str
    level: Level
    what: str
    why: str
    actions: tuple[Action, ...]
    sure: str
    source: str = ""
    urgency: float = 0.0
    compartment: int = 0
    emergency: bool = False
    feed: float = 1.0
    short: str = ""
    bars: tuple[Doing, ...] = ()
    seen: bool = False

    @property
    def brake(self) -> float:
        """What is left of the ration while it holds: nothing where one of its steps stops or takes out feed."""
        stops = (Doing.STOP, Doing.TAKE_OUT, Doing.EMERGENCY)
        return 0.0 if any(action.kind in stops for action in self.actions) else self.feed

    @property
    def do(self) -> tuple[str, ...]:
        """The steps in words, in order; a caution is no step."""
        return tuple(action.words for action in self.actions if action.kind is not Doing.CAUTION)

    @property
    def caution(self) -> str:
        """What to mind while doing them, in one line; empty for nothing."""
        return "; ".join(action.text for action in self.actions if action.kind is Doing.CAUTION)
