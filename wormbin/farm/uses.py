"""Castings used on pots, beds, in a potting mix and in an extract: how much of each, and whether there are enough."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from functools import partial

from wormbin.farm.lots import Lots
from wormbin.farm.session import Session
from wormbin.farm.views.lots import UseLine, UseView
from wormbin.farm.words.spoken import Faults
from wormbin.measures import Dimension, parse_amount, parse_amount_of, parse_percent, shown, tidy
from wormbin.measures.numbers import number_of_things
from wormbin.problems import Problem, RefusedError
from wormbin.science.cautions import CAUTIONS, PRACTICE
from wormbin.science.practice import (
    EXTRACT_HOURS,
    EXTRACT_WATER_PARTS,
    POTTING_MOST,
    POTTING_SHARE,
    dressing_l,
    extract_l,
    pots_m2,
)

ALLOWED = "so many pots and how wide, a bed and its area, or litres of mix or extract"
EXAMPLE = "12 pots of 20 cm"
_POTS = re.compile(r"(?:round )?pots?(?: of| at|,)? (.+?)(?: across| wide)?", re.IGNORECASE)
_MINDED = ("own-trial", "dust", "hands")
"""Told with every use, last."""


def plan_uses(session: Session, words: Sequence[str], share: str = "") -> UseView:
    """How much castings these uses take, held against what is in stock; nothing is saved.

    ``share`` is of a potting mix by volume. Raises RefusedError for what is not understood, or over 40 %.
    """
    texts = [each for each in map(tidy, words) if each]
    if not texts:
        raise RefusedError(Problem("use", "", ALLOWED, EXAMPLE))
    part = _share(share) if share.strip() else None
    faults = Faults()
    found = [faults.read(partial(_read, text, part), None) for text in texts]
    faults.settle()
    uses = [each for each in found if each is not None]
    stock = Lots(session).stock(session.asked_on)
    codes = dict.fromkeys(code for _, minded in uses for code in minded) | dict.fromkeys(_MINDED)
    lines = tuple(line for line, _ in uses)
    return UseView(
        lines, sum(each.castings_l for each in lines), stock.litres, stock.waiting_kg,
        tuple(CAUTIONS[code].text for code in codes),
    )  # fmt: skip


def _share(words: str) -> float:
    share = parse_percent(words, "share")
    if not 0 < share <= POTTING_MOST:
        allowed = f"above 0 and up to {POTTING_MOST:.0%}, since castings can be salty; 10% to 20% grows best"
        raise RefusedError(Problem("share", shown(words), allowed, "15%"))
    return share


Use = tuple[UseLine, tuple[str, ...]]


def _read(text: str, share: float | None) -> Use:
    things = number_of_things(text)
    if things is not None and (pots := _POTS.fullmatch(things[2])):
        across = parse_amount(pots[1], "use", expect=Dimension.LENGTH).metres()
        line = _strewn(text, pots_m2(things[0], across), "Strew it on top, off the stem, and water it in.")
        return line, ("dressing",)
    try:
        amount, name = parse_amount_of(text, "use", expect=(Dimension.AREA, Dimension.VOLUME))
    except RefusedError:
        raise RefusedError(Problem("use", shown(text), ALLOWED, EXAMPLE)) from None
    if amount.si <= 0:
        raise RefusedError(Problem("use", shown(text), "more than nothing", EXAMPLE))
    if amount.dimension is Dimension.AREA:
        return _strewn(text, amount.m2(), "Strew it on top and rake it in lightly."), ("release",)
    reads = next((read for word, read in _BY_WORD.items() if word in name.lower()), None)
    if reads is None:
        raise RefusedError(Problem("use", shown(text), ALLOWED, EXAMPLE))
    return reads(text, amount.litres(), share)


def _strewn(text: str, area_m2: float, do: str) -> UseLine:
    return UseLine(text, dressing_l(area_m2), 0.0, "", f"About 1 cm thick. {do}", PRACTICE)


def _mixed(text: str, litres: float, share: float | None, usual: float) -> Use:
    part = usual if share is None else share
    do = f"{part:.0%} castings, sieved and cured. Best is 10-20%, never over {POTTING_MOST:.0%}."
    line = UseLine(text, part * litres, (1 - part) * litres, "potting mix without castings", do, "Atiyeh et al. 2000")
    return line, ("salt",)


def _brewed(text: str, litres: float, _: float | None) -> Use:
    do = (
        f"1 part castings to {EXTRACT_WATER_PARTS:.0f} of water, under air for {EXTRACT_HOURS} hours at most. "
        "Use it the same day, as it is, on the soil of ornamentals."
    )
    line = UseLine(text, extract_l(litres), litres, "water", do, "Ohio State, BioCycle 2007")
    return line, ("extract", "leachate", "rules")


_BY_WORD: Mapping[str, Callable[[str, float, float | None], Use]] = {
    "seed": partial(_mixed, usual=POTTING_SHARE[0]),
    "mix": partial(_mixed, usual=sum(POTTING_SHARE) / 2),
    "potting": partial(_mixed, usual=sum(POTTING_SHARE) / 2),
    "extract": _brewed,
    "tea": _brewed,
}
"""How litres of something are read, by a word in its name."""
