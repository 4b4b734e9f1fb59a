"""Every screen by its name, loaded when it is first opened: no screen knows another, and a start loads only its own."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from threading import Thread
from typing import Any

SCREENS: dict[str, str] = {
    "round": "round:RoundScreen",
    "bin": "bin:BinScreen",
    "welcome": "start:WelcomeScreen",
    "check": "check:CheckForm",
    "feed": "feed:FeedForm",
    "kinds": "write:KindMenu",
    "write": "write:WriteForm",
    "strike": "write:StrikeForm",
    "survey": "write:SurveyForm",
    "troubles": "check:TroublesForm",
    "catch_up": "catch_up:CatchUpForm",
    "start": "start:StartForm",
    "bring_in": "hand_out:BringInForm",
    "what_if": "asking:WhatIfForm",
    "away": "asking:AwayForm",
    "mix": "materials:MixBench",
    "materials": "materials:MaterialsScreen",
    "castings": "castings:CastingsScreen",
    "loads": "feedstock:LoadsScreen",
    "piles": "feedstock:PilesScreen",
    "orders": "feedstock:OrdersScreen",
    "costs": "feedstock:CostsScreen",
    "book": "write:BookForm",
    "plan": "asking:PlanForm",
    "label": "asking:LabelForm",
    "uses": "asking:UsesForm",
    "week": "turns:WeekScreen",
    "turns": "turns:TurnsScreen",
    "settings": "settings:SettingsScreen",
    "pupil": "pupil:PupilCheck",
    "wall": "pupil:WallScreen",
    "hand_out": "hand_out:HandOutForm",
    "page": "reading:ReadingScreen",
    "help": "reading:HelpScreen",
    "sums": "reading:SumsScreen",
    "sure": "answers:SureScreen",
    "once": "answers:OnceForm",
    "trouble": "answers:TroubleScreen",
}
"""Where each stands under ``screens``: module and class."""
LIKELY = (
    "screens.bin",
    "widgets.pictures",
    "widgets.charts",
    "screens.check",
    "screens.feed",
    "screens.write",
    "screens.reading",
    "widgets.log_place",
)
"""The modules of the places that are gone to first, the most likely before the others."""


def loaded(place: str) -> Any:
    """What stands at ``module:name`` under this package."""
    module, name = place.split(":")
    return getattr(import_module(f"wormbin.tui.{module}"), name)


def screen(name: str, /, *given: Any, **how: Any) -> Any:
    """A new screen of that name, made with what it takes."""
    return loaded(f"screens.{SCREENS[name]}")(*given, **how)


def read_ahead() -> None:
    """Load what a key may soon ask for, beside whatever else is done, so that the first of each opens at once."""
    Thread(target=load_likely, name="reading ahead", daemon=True).start()


def load_likely() -> None:
    """Load it here and now."""
    for name in LIKELY:
        import_module(f"wormbin.tui.{name}")


def draft_words(form: str, names: Mapping[str, str], keys: Mapping[str, str]) -> str:
    """What is kept half filled, by the bin's name, and the key to it; ``keys`` are the keeper's by what they do."""
    if form == "start":
        return f"A half-filled start of a bin is kept: {keys['start']} opens it."
    if form.startswith("put-right-"):
        return "A half-filled correction is kept: l, then r on its line, opens it."
    for key in sorted(names, key=len, reverse=True):
        if form.endswith(f"-{key}"):
            what = form.removesuffix(f"-{key}")
            opens = keys.get(what.replace("-", "_"), keys["write"] + (", then v" if what == "survey" else ""))
            return f"A half-filled {what.replace('-', ' ')} of {names[key]} is kept: {opens} opens it."
    return f"A half-filled {form.replace('-', ' ')} is kept until you open it."
