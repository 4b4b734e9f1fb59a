"""How much castings some uses take, and whether they are there."""

from __future__ import annotations

from collections.abc import Iterator

from wormbin.farm.views.uses import UseView
from wormbin.measures import mass, told, volume
from wormbin.pages.page import ARROW, GAP, Block, Heading, Sentence


def uses(view: UseView, units: str) -> Iterator[Block]:
    """Each use with what it takes and what to do, what there is, what to mind."""
    for each in view.uses:
        other = f" and {volume(each.other_l, units)} of {each.other}" if each.other_l else ""
        yield Heading(each.said, "strong", aside=f"  {each.source}")
        yield Sentence(f"{volume(each.castings_l, units)} of castings{other}", indent=2)
        yield Sentence(told(each.do, units), lead=ARROW, lead_role="", indent=2)
        yield GAP
    yield from _there(view, units)
    yield GAP
    yield Heading("Take care", "strong")
    for words in view.cautions:
        yield Sentence(told(words, units), indent=2)


def _there(view: UseView, units: str) -> Iterator[Block]:
    needed, stock = volume(view.needed_l, units), volume(view.stock_l, units)
    waiting = f" {mass(view.waiting_kg, units)} more is on its way." if view.waiting_kg else ""
    if not view.stock_l:
        yield Sentence(f"You need {needed} in all. No castings are in stock.{waiting}", "watch")
    elif view.needed_l <= view.stock_l:
        yield Sentence(f"You need {needed} in all and have {stock}: enough.", "good")
    else:
        share = view.stock_l / view.needed_l
        yield Sentence(f"You need {needed} in all and have {stock}: enough for {share:.0%} of it.{waiting}", "watch")
