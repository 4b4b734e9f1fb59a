"""What a mix is to be given: the amounts, what it then comes to, what cannot be met, and each amount opened."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import isclose

from wormbin.figures import Basis, Quantity, Working
from wormbin.science.blend import Blend, Ingredient, blend

BandLimits = tuple[float, float]
"""Low and high edge; the high edge may be infinite."""


class Goal(StrEnum):
    """The two aims of a mix."""

    MOISTURE = "moisture"
    CN = "C:N"


@dataclass(frozen=True, slots=True)
class Offer:
    """A bedding on hand: its make-up as it would go in (dry or soaked) and at most how many kg (None: plenty)."""

    bedding: Ingredient
    at_most_kg: float | None = None


@dataclass(frozen=True, slots=True)
class GivesWay:
    """An aim that cannot be met: what was wanted, the best reachable, and how much is missing.

    ``missing_kg`` of water, or of water that would have to go as dry matter is missing; of carbon, or of nitrogen.
    """

    goal: Goal
    wanted: BandLimits
    reached: float
    missing_kg: float


@dataclass(frozen=True, slots=True)
class Addition:
    """The least that brings a mix into its bands. ``added`` names and kg of each bedding used, as it goes in.

    ``reached`` is the whole with the addition. ``gives_way`` is empty when both bands are met. ``parts`` are all the
    ingredients of ``reached``, the added ones last; ``added_parts`` and ``offers`` let an amount be opened.
    """

    added: tuple[tuple[str, float], ...]
    water_kg: float
    reached: Blend
    gives_way: tuple[GivesWay, ...]
    before: Blend
    added_parts: tuple[Ingredient, ...]
    at_limit: tuple[bool, ...]
    cn: BandLimits
    moisture: BandLimits
    parts: tuple[Ingredient, ...] = ()

    @property
    def total_kg(self) -> float:
        """All that goes in, bedding and water, kg."""
        return sum(kg for _name, kg in self.added) + self.water_kg


def _edges(addition: Addition) -> list[tuple[Goal, float]]:
    """The edges of the bands that the blend was brought to, so that amounts follow from them."""
    found = []
    for goal, value, band in (
        (Goal.MOISTURE, addition.reached.moisture, addition.moisture),
        (Goal.CN, addition.reached.cn, addition.cn),
    ):
        for edge in band:
            if isclose(value, edge, rel_tol=1e-7):
                found.append((goal, edge))
                break
    return found


def amount_working(addition: Addition, name: str) -> Working:
    """One added amount opened: the formula is the balance of water, or of carbon and nitrogen, solved for it.

    ``name`` is a bedding of ``addition.added`` or "water". Raises ValueError when it is not in the addition.
    """
    parts = list(addition.added_parts)
    chosen = next((part for part in parts if part.name == name), None)
    if chosen is None:
        raise ValueError(f"{name} is not in the addition")
    free = [part for part, full in zip(parts, addition.at_limit, strict=True) if not full]
    if chosen not in free:
        return _all_of_it(chosen)
    others = [part for part in free if part is not chosen]
    edges = _edges(addition)
    if len(edges) == len(free) == 2 and WATER in (chosen.name, others[0].name):
        # Water has no carbon: the bedding follows from C:N alone, and the water from all that then lies there.
        goal = Goal.MOISTURE if chosen.name == WATER else Goal.CN
        edges, others = [each for each in edges if each[0] is goal], []
        free = [chosen] if chosen.name == WATER else free
    elif len(free) > len(edges) or len(others) > 1:
        raise ValueError("the amounts do not follow from the bands")
    rest = blend([*addition.parts[: len(addition.parts) - len(parts)], *(p for p in parts if p not in free)])
    formula = _solved(chosen, others, edges)
    sums = (
        Quantity(f"rest_{what}", kg, "kg", Basis.WORKED_OUT, "", f"{said} all else", "added up over all else in it")
        for what, said, kg in (
            ("wet", "weight of", rest.wet_kg),
            ("water", "water in", rest.water_kg),
            ("carbon", "carbon of", rest.carbon_kg),
            ("nitrogen", "nitrogen of", rest.nitrogen_kg),
        )
    )
    aims = (
        Quantity("aim_moisture", edge, "fraction", Basis.SAID, "", "moisture to reach", AIM)
        if goal is Goal.MOISTURE
        else Quantity("aim_cn", edge, "", Basis.SAID, "", "C:N to reach", AIM)
        for goal, edge in edges
    )
    balances = "balance of water" if [goal for goal, _edge in edges] == [Goal.MOISTURE] else _ALL_BALANCES
    return Working(
        title=f"How much {name}",
        value=chosen.kg,
        unit="kg",
        formula=formula,
        inputs=tuple(q for q in (*sums, *aims, *_makeup([chosen, *others])) if q.name in formula),
        source=f"{balances} (Cornell Composting)",
        sure="as sure as the moistures and make-up that go in",
        plain=f"The least {name} that brings the mix to the edge of its band.",
    )


WATER = "water"
AIM = "the edge of what was asked for"
_ALL_BALANCES = "balances of water, carbon and nitrogen"
_NEED = {Goal.MOISTURE: "(rest_water - aim_moisture * rest_wet)", Goal.CN: "(aim_cn * rest_nitrogen - rest_carbon)"}
"""What the mix lacks of each aim without the amounts that are solved for."""
_PULL = {
    Goal.MOISTURE: "(aim_moisture - moisture_{0})",
    Goal.CN: "((1 - moisture_{0}) * (carbon_{0} - aim_cn * nitrogen_{0}))",
}
"""How far a kg of the numbered ingredient brings it there."""


def _solved(chosen: Ingredient, others: Sequence[Ingredient], edges: Sequence[tuple[Goal, float]]) -> str:
    """The formula of an amount: one balance, or two solved together (Cramer's rule)."""
    if not others:
        goal = next(goal for goal, edge in edges if _bites(goal, edge, chosen))
        return f"{_NEED[goal]} / {_PULL[goal].format(1)}"
    one, two = edges[0][0], edges[1][0]
    (a, b), (c, d) = ([_PULL[goal].format(number) for number in (1, 2)] for goal in (one, two))
    return f"({_NEED[one]} * {d} - {_NEED[two]} * {b}) / ({a} * {d} - {c} * {b})"


def _all_of_it(part: Ingredient) -> Working:
    return Working(
        title=f"How much {part.name}",
        value=part.kg,
        unit="kg",
        formula="on_hand",
        inputs=(
            Quantity("on_hand", part.kg, "kg", Basis.SAID, f"all the {part.name} there is", "", "what is on hand"),
        ),
        source="what is on hand",
        sure="exact, as far as the amount on hand is",
        plain="All of it is used, and it is still not too much.",
    )


def _bites(goal: Goal, edge: float, part: Ingredient) -> bool:
    """Whether adding the part moves the mix against this edge at all."""
    if goal is Goal.MOISTURE:
        return not isclose(edge, part.moisture, rel_tol=1e-9)
    return abs(part.carbon_kg - edge * part.nitrogen_kg) > 0


def _makeup(parts: Sequence[Ingredient]) -> tuple[Quantity, ...]:
    """Moisture, carbon and nitrogen of numbered ingredients."""
    return tuple(
        Quantity(
            f"{field}_{number}",
            getattr(part, field),
            "fraction",
            part.basis,
            of,
            f"{said} of {part.name}",
            f"the material table, row {part.name}",
        )
        for number, part in enumerate(parts, start=1)
        for field, said, of in (
            ("moisture", "water", "of the fresh weight"),
            ("carbon", "carbon", "of the dry part"),
            ("nitrogen", "nitrogen", "of the dry part"),
        )
    )
