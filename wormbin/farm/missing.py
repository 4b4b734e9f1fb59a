"""What was said and is not known yet, asked once: the size of a handful, the usual bucket, an own material."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from wormbin.farm.materials import set_like
from wormbin.farm.settings import change_setting
from wormbin.measures import shown
from wormbin.measures.amounts import LARGE

if TYPE_CHECKING:
    from wormbin.farm.session import Session
    from wormbin.farm.views.bin import Recorded
    from wormbin.problems import MissingError


@dataclass(frozen=True, slots=True)
class Asked:
    """A question with the label of its answer, an example, and what becomes of it."""

    question: str
    label: str
    example: str
    after: str


KEPT = "You say it once. The settings keep it and change it."


def asked(missing: MissingError) -> Asked:
    """How to ask for what was missing."""
    name = shown(missing.name)
    if missing.what == "bucket":
        return Asked("What is in your usual bucket?", "usual bucket", "300 g vegetable scraps, 2 tea bags", KEPT)
    if missing.what == "material":
        near = ", ".join(f"{number} {each}" for number, each in enumerate(missing.choices, 1))
        like = f"Near it: {near}. Pick one by its number, or type another. " if near else ""
        after = f"{like}It gets those values until you measure your own. Esc if you mistyped it."
        return Asked(f"{name} is new here. What is it most like?", "most like", "spinach", after)
    measure, _, of = name.partition(" ")
    question = f"How much is one {measure} of {of.replace('-', ' ')}?" if of else f"How much is your {measure}?"
    return Asked(question, f"one {measure}", "3 kg" if measure in LARGE else "40 g", KEPT)


def answered(session: Session, missing: MissingError, words: str, by: str = "") -> Recorded:
    """Keep the answer. Raises RefusedError when it is not one."""
    if missing.what == "material":
        if words.strip().isdigit() and 0 < int(words) <= len(missing.choices):
            words = missing.choices[int(words) - 1]
        return set_like(session, missing.name, words, by)
    name = missing.name + (":" if missing.what == "bucket" or " " in missing.name else "")
    return change_setting(session, missing.what, f"{name} {words}")
