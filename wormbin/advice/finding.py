"""One finding: what is the matter, why, what to do about it with amounts, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass

from wormbin.advice.action import Action, Doing
from wormbin.figures import Level


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
