"""A lot of castings opened, as lines of pieces: what is in it, where it came from, its lines."""

from __future__ import annotations

from collections.abc import Sequence

from wormbin.farm.log_words import STEP_WORDS
from wormbin.farm.lot_views import Given, LotPage, LotView, PlanView
from wormbin.farm.plan_words import delivery_words, odds_words
from wormbin.measures import mass, percent, volume
from wormbin.tui.showing import Piece, said


def lot_pieces(view: LotView, units: str, name_width: int) -> list[Piece]:
    """One lot in a list: its name, how far it is, what is in it."""
    here = "empty" if not view.kg else mass(view.kg, units)
    step = f"{STEP_WORDS[view.step]:<10}"
    mark = [("! ", "act")] if view.short else []
    name, gap = said(view.name)[0][:name_width], max(0, name_width - len(view.name))
    return [(f" {name}{' ' * gap}  ", "strong"), *mark, (f"{step} ", "dim"), (here, "good" if view.in_stock else "")]


def page_pieces(page: LotPage, units: str) -> list[list[Piece]]:
    """A lot in full."""
    view = page.lot
    lines: list[list[Piece]] = [[said(view.name, "title")], [said(view.words)]]
    if view.short:
        lines.append([said(view.short, "act")])
    if view.kg:
        room = ("" if view.litres_read else "about ") + volume(view.litres, units)
        wet = "moisture not read"
        if view.moisture is not None:
            wet = f"moisture {'' if view.moisture_read else 'about '}{percent(view.moisture)}"
        lines.append([said(f"{room}, {wet}", "dim")])
    lines += [[], [("Where it came from", "strong")]]
    for each in page.origins:
        share = f"{mass(each.kg, units)} ({percent(each.share)}) from {each.name}, {each.on.isoformat()}"
        lines.append([said(share)])
        for title, given in (("fed", each.feeds), ("bedding", each.beddings)):
            if given:
                lines.append([said(f"  {title} since {each.since.isoformat()}: {_listed(given, units)}", "dim")])
    lines += [[], [("Its lines", "strong")]]
    for line in page.lines:
        after = f"; {mass(max(0.0, line.after_kg), units)} in it then"
        by = f" [{line.by}]" if line.by else ""
        lines.append([said(f"{line.on.isoformat()} {line.words}{after}{by} ", ""), said(f"#{line.entry}", "dim")])
    lines += [[], [("Before it is sold or given away", "strong")]]
    lines += [[said(f"- {words}", "dim")] for words in page.cautions]
    return lines


def plan_pieces(view: PlanView, units: str) -> list[list[Piece]]:
    """A plan: whether it will be enough, what each bin brings, what that stands on."""
    lines: list[list[Piece]] = [[said(odds_words(view, units), "strong")], []]
    lines += [[said(f"{each.name}: ", "key"), said(delivery_words(each, units))] for each in view.bins]
    lines += [[], *([said(words, "dim")] for words in view.words)]
    lines += [[], [("The steps before each harvest: h on the round.", "dim")]]
    return lines


def _listed(given: Sequence[Given], units: str) -> str:
    return ", ".join(f"{mass(each.kg, units)} {each.name.lower()}" for each in given)
