"""The least bedding and water for a mix: the same answer as a reference solver, and sensible where there is none."""

from __future__ import annotations

from math import inf, isinf
from typing import Any

import numpy as np
import pytest
from hypothesis import example, given, settings, strategies as st
from scipy import optimize

from tests.science.opened import recomputed
from wormbin.science.addition import Addition, Goal, Offer, amount_working
from wormbin.science.blend import Blend, Ingredient, blend
from wormbin.science.solver import least_addition

SCRAPS = Ingredient(3.0, 0.88, 0.45, 0.025, 0.08, 500.0, "scraps")
BOARD = Ingredient(0.0, 0.08, 0.46, 0.0012, 0.03, 40.0, "cardboard")
LEAVES = Ingredient(0.0, 0.15, 0.47, 0.009, 0.10, 80.0, "leaves")
COFFEE = Ingredient(2.0, 0.60, 0.52, 0.022, 0.02, 400.0, "coffee")
BREAD = Ingredient(1.0, 0.36, 0.44, 0.025, 0.03, 250.0, "bread")


_linprog: Any = optimize.linprog


class Reference:
    """The same task put to scipy's linear programming, goal by goal, straight from the wording of the bands."""

    def __init__(self, have: Blend, offers: list[Offer], cn: tuple[float, float], wet: tuple[float, float], cap: float):
        things = [*(offer.bedding for offer in offers), Ingredient.water(0.0)]
        limits = [*(offer.at_most_kg for offer in offers), None if isinf(cap) else cap]
        rows, bounds = [], []
        rows.append([-(t.moisture - wet[0]) for t in things])
        bounds.append(have.water_kg - wet[0] * have.wet_kg)
        rows.append([t.moisture - wet[1] for t in things])
        bounds.append(wet[1] * have.wet_kg - have.water_kg)
        for edge, sign in zip(cn, (1, -1), strict=True):
            scale = sign / max(1.0, edge)
            rows.append([-scale * (1 - t.moisture) * (t.carbon - edge * t.nitrogen) for t in things])
            bounds.append(scale * (have.carbon_kg - edge * have.nitrogen_kg))
        count = len(things)
        self.slack = 1e-11
        self.rows = np.hstack([np.array(rows), -np.eye(4)])
        self.bounds = np.array(bounds)
        self.caps: list[tuple[float, float | None]] = [*((0.0, limit) for limit in limits), *[(0.0, None)] * 4]
        self.costs = [np.r_[np.zeros(count), 1, 1, 0, 0], np.r_[np.zeros(count), 0, 0, 1, 1]]
        self.costs.append(np.r_[np.ones(count), 0, 0, 0, 0])

    def good_to(self) -> float:
        """How far its kg (per kg of mix) may be off: how well rows are held over the weakest pull of anything."""
        pulls = np.abs(self.rows[:, :-4])
        return float(2 * (self.slack + 9e-11) / pulls[pulls > 1e-12].min(initial=1.0))

    def best(self, scale: float) -> list[float]:
        """Least missing water, then least missing carbon, then least kg; each within ``slack`` of the one before.

        Where bands are a single point the reference, held that tightly to its own answer, may call it infeasible: it is
        then let go a little further, and ``good_to`` says so.
        """
        for self.slack in (1e-11, 1e-10, 1e-9):
            found, why = self._held(scale)
            if found:
                return found
        raise AssertionError(why)

    def _held(self, scale: float) -> tuple[list[float], str]:
        """The three least values, goal by goal, or none of them and what the reference said."""
        rows, bounds, found = self.rows, self.bounds / scale, []
        caps = [(low, None if high is None else high / scale) for low, high in self.caps]
        tight = {"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10}
        for cost in self.costs:
            answer: Any = _linprog(cost, A_ub=rows, b_ub=bounds, bounds=caps, method="highs", options=tight)
            if answer.status != 0:
                return [], str(answer.message)
            found.append(float(answer.fun) * scale)
            rows = np.vstack([rows, cost])
            bounds = np.r_[bounds, answer.fun + self.slack]
        return found, ""


A_POINT = (
    [Ingredient(1.0, 0.0, 0.5, 0.0, 0.05)],
    [
        Offer(Ingredient(1.0, 0.0, 0.5, 0.0, 0.05)),
        Offer(Ingredient(1.0, 0.56, 0.5, 0.0, 0.05), 1.0),
        Offer(Ingredient(1.0, 0.58, 0.25, 0.1, 0.05)),
    ],
    (8.0, 8.0),
    (0.56, 0.56),
    0.5,
)
"""Both bands a single point: the reference, held tightly to its own answers, once called it infeasible."""


def missing(addition: Addition) -> tuple[float, float]:
    """Missing kg of water and (scaled) carbon of a finished addition, measured again from the blend."""
    got, (wet_low, wet_high), (low, high) = addition.reached, addition.moisture, addition.cn
    water = max(0.0, wet_low * got.wet_kg - got.water_kg) + max(0.0, got.water_kg - wet_high * got.wet_kg)
    carbon = max(0.0, low * got.nitrogen_kg - got.carbon_kg) / max(1.0, low)
    return water, carbon + max(0.0, got.carbon_kg - high * got.nitrogen_kg) / max(1.0, high)


def rounded(low: float, high: float, digits: int = 3) -> st.SearchStrategy[float]:
    return st.floats(low, high).map(lambda value: round(value, digits))


@st.composite
def tasks(draw: st.DrawFn) -> tuple[list[Ingredient], list[Offer], tuple[float, float], tuple[float, float], float]:
    kinds = st.builds(
        Ingredient,
        kg=rounded(0.05, 300.0),
        moisture=rounded(0.0, 0.95, 2),
        carbon=rounded(0.2, 0.55, 2),
        nitrogen=st.sampled_from([0.0, 0.001, 0.004, 0.008, 0.015, 0.02, 0.03, 0.06, 0.10]),
        ash=st.just(0.05),
    )
    have = draw(st.lists(kinds, min_size=1, max_size=3))
    offers = draw(st.lists(st.builds(Offer, kinds, st.one_of(st.none(), rounded(0.0, 40.0, 2))), max_size=4))
    low, wet = draw(rounded(8.0, 40.0, 0)), draw(rounded(0.4, 0.9, 2))
    cn = (low, low + draw(rounded(0.0, 15.0, 0)))
    moisture = (wet, min(1.0, wet + draw(rounded(0.0, 0.15, 2))))
    return have, offers, cn, moisture, draw(st.sampled_from([inf, 0.0, 0.5, 20.0]))


@settings(max_examples=4 * settings().max_examples, deadline=None)
@example(A_POINT)
@given(tasks())
def test_the_answer_is_the_one_a_reference_solver_finds(
    task: tuple[list[Ingredient], list[Offer], tuple[float, float], tuple[float, float], float],
) -> None:
    have, offers, cn, moisture, cap = task
    mine = least_addition(have, offers, cn=cn, moisture=moisture, water_at_most_kg=cap)
    scale = blend(have).wet_kg
    reference = Reference(blend(have), offers, cn, moisture, cap)
    water, carbon, total = reference.best(scale)
    size = scale + mine.total_kg
    assert missing(mine)[0] == pytest.approx(water, abs=1e-8 * size)
    assert missing(mine)[1] == pytest.approx(carbon, abs=1e-8 * size)
    assert mine.total_kg == pytest.approx(total, rel=1e-7, abs=max(1e-7, reference.good_to()) * scale)
    clear = 1e-6 * size
    if water > clear or carbon > clear:
        assert mine.gives_way
    if water + carbon < 1e-11 * size:
        assert not mine.gives_way


@settings(max_examples=2 * settings().max_examples, deadline=None)
@given(tasks())
def test_limits_are_kept_and_amounts_are_never_negative(
    task: tuple[list[Ingredient], list[Offer], tuple[float, float], tuple[float, float], float],
) -> None:
    have, offers, cn, moisture, cap = task
    mine = least_addition(have, offers, cn=cn, moisture=moisture, water_at_most_kg=cap)
    assert all(kg > 0 for _name, kg in mine.added)
    assert 0 <= mine.water_kg <= cap
    room = sum(inf if offer.at_most_kg is None else offer.at_most_kg for offer in offers)
    assert sum(kg for _name, kg in mine.added) <= room + 1e-12
    assert mine.reached.wet_kg == pytest.approx(mine.before.wet_kg + mine.total_kg, rel=1e-12)


def test_scraps_alone_take_the_cardboard_that_brings_them_to_25() -> None:
    done = least_addition([SCRAPS], [Offer(BOARD)])
    # 0.36 kg dry x (25 x 0.025 - 0.45) / (0.92 x (0.46 - 25 x 0.0012)), worked out by hand.
    assert [name for name, _kg in done.added] == ["cardboard"]
    assert done.added[0][1] == pytest.approx(0.063 / 0.3956, rel=1e-9)
    assert done.water_kg == 0.0
    assert done.gives_way == ()
    assert done.reached.cn == pytest.approx(25.0, rel=1e-9)


def test_dry_things_are_given_water_with_their_bedding() -> None:
    done = least_addition([BREAD, COFFEE], [Offer(BOARD)])
    assert done.reached.moisture == pytest.approx(0.75, rel=1e-9)
    assert done.reached.cn == pytest.approx(25.0, rel=1e-9) or done.before.cn > 25
    assert done.water_kg > 0
    assert not done.gives_way


def test_without_water_moisture_gives_way_and_says_how_much_is_missing() -> None:
    done = least_addition([BREAD], [Offer(BOARD)], water_at_most_kg=0.0)
    assert [way.goal for way in done.gives_way] == [Goal.MOISTURE] or done.gives_way[-1].goal is Goal.MOISTURE
    way = done.gives_way[-1]
    mended = blend([*done.parts, Ingredient.water(way.missing_kg)])
    assert mended.moisture == pytest.approx(0.75, rel=1e-9)


def test_a_short_supply_is_used_up_and_both_aims_say_what_is_missing() -> None:
    done = least_addition([SCRAPS], [Offer(BOARD, 0.1)])
    assert done.added == (("cardboard", 0.1),)
    assert {way.goal: way.reached > way.wanted[1] for way in done.gives_way} == {Goal.CN: False, Goal.MOISTURE: True}


def test_what_is_in_band_is_left_alone() -> None:
    mixed = [SCRAPS, BOARD.with_kg(0.2)]
    done = least_addition(mixed, [Offer(BOARD), Offer(LEAVES)])
    assert (done.added, done.water_kg, done.gives_way) == ((), 0.0, ())


def test_no_bedding_no_nitrogen_and_nothing_at_all_are_answered() -> None:
    assert {way.goal for way in least_addition([SCRAPS]).gives_way} == {Goal.CN, Goal.MOISTURE}
    paper = least_addition([Ingredient(1.0, 0.05, 0.43, 0.0, 0.03, name="paper")])
    assert [(way.goal, way.missing_kg > 0) for way in paper.gives_way] == [(Goal.CN, True)]
    assert isinf(paper.gives_way[0].reached)
    assert paper.reached.moisture == pytest.approx(0.75)
    nothing = least_addition([], [Offer(BOARD)])
    assert (nothing.added, nothing.gives_way, nothing.total_kg) == ((), (), 0.0)
    water = least_addition([Ingredient.water(5.0)], [Offer(BOARD)])
    assert [way.goal for way in water.gives_way] == [Goal.CN]


def test_bedding_as_wet_as_the_bands_edge_is_not_poured_in_for_nothing() -> None:
    soaked = Ingredient(0.0, 0.85, 0.46, 0.015, 0.03, name="soaked")
    done = least_addition([SCRAPS], [Offer(soaked, 50.0)], cn=(10.0, 40.0), moisture=(0.75, 0.1 + 0.75))
    assert done.total_kg == 0.0
    assert done.gives_way[0].goal is Goal.MOISTURE


def test_the_aim_that_goes_first_is_the_last_to_give_way() -> None:
    grass = Ingredient(0.0, 0.20, 0.45, 0.030, 0.1, name="dry grass")
    wet_first = least_addition([SCRAPS], [Offer(grass)])
    assert [way.goal for way in wet_first.gives_way] == [Goal.CN]
    ratio_first = least_addition([SCRAPS], [Offer(grass)], first=Goal.CN)
    assert ratio_first.reached.cn > wet_first.reached.cn
    assert ratio_first.gives_way[-1].goal is Goal.CN


def test_plenty_may_be_said_as_infinite_and_nothing_as_less_than_nothing() -> None:
    plenty, none = Offer(BOARD, inf), Offer(LEAVES, -1.0)
    assert least_addition([SCRAPS], [plenty, none]) == least_addition([SCRAPS], [Offer(BOARD), Offer(LEAVES, 0.0)])


def test_what_lies_unfinished_counts_with_the_bucket() -> None:
    alone = least_addition([SCRAPS], [Offer(BOARD)])
    bin_has_board = least_addition([SCRAPS], [Offer(BOARD)], unfinished=[BOARD.with_kg(0.3)])
    assert bin_has_board.total_kg < alone.total_kg


@pytest.mark.parametrize("times", [1e-6, 1.0, 250.0, 1e5])
def test_the_answer_grows_with_the_bucket(times: float) -> None:
    one = least_addition([SCRAPS, COFFEE], [Offer(BOARD), Offer(LEAVES)])
    many = least_addition([p.with_kg(p.kg * times) for p in (SCRAPS, COFFEE)], [Offer(BOARD), Offer(LEAVES)])
    assert many.total_kg == pytest.approx(one.total_kg * times, rel=1e-9)


@pytest.mark.parametrize(("cn", "wet"), [((30.0, 25.0), (0.7, 0.8)), ((25.0, 30.0), (0.8, 0.7)), ((1, 2), (0.5, 1.5))])
def test_a_band_upside_down_is_refused(cn: tuple[float, float], wet: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="band"):
        least_addition([SCRAPS], cn=cn, moisture=wet)


def test_an_open_side_asks_nothing() -> None:
    woody = Ingredient(1.0, 0.8, 0.5, 0.005, 0.05)
    assert least_addition([woody], cn=(25.0, inf)).gives_way == ()


@settings(max_examples=2 * settings().max_examples, deadline=None)
@given(tasks())
def test_every_amount_can_be_opened(
    task: tuple[list[Ingredient], list[Offer], tuple[float, float], tuple[float, float], float],
) -> None:
    have, offers, cn, moisture, cap = task
    named = [Offer(Ingredient(**{**_fields(o.bedding), "name": f"b{i}"}), o.at_most_kg) for i, o in enumerate(offers)]
    done = least_addition(have, named, cn=cn, moisture=moisture, water_at_most_kg=cap)
    for part in done.added_parts:
        working = amount_working(done, part.name)
        assert recomputed(working) == pytest.approx(part.kg, rel=1e-5, abs=1e-6 * done.before.wet_kg)


def _fields(part: Ingredient) -> dict[str, Any]:
    return {"kg": 0.0, "moisture": part.moisture, "carbon": part.carbon, "nitrogen": part.nitrogen, "ash": part.ash}


@pytest.mark.parametrize("name", ["cardboard", "water"])
def test_the_two_amounts_of_a_dry_bucket_are_opened(name: str) -> None:
    done = least_addition([BREAD], [Offer(BOARD)])
    working = amount_working(done, name)
    assert recomputed(working) == pytest.approx(dict([*done.added, ("water", done.water_kg)])[name], rel=1e-9)
    needed = {"cardboard": {"aim_cn", "rest_nitrogen"}, "water": {"rest_wet", "aim_moisture"}}[name]
    assert needed <= {quantity.name for quantity in working.inputs}


def test_what_was_not_added_has_no_amount_to_open() -> None:
    with pytest.raises(ValueError, match="not in the addition"):
        amount_working(least_addition([SCRAPS], [Offer(BOARD)]), "leaves")


def test_a_whole_shelf_of_beddings_is_used_from_the_richest_down() -> None:
    shelf = [Offer(Ingredient(0.0, 0.10, 0.46, 0.001 * (i + 1), 0.05, name=str(i)), 0.1) for i in range(12)]
    done = least_addition([SCRAPS.with_kg(15.0)], shelf, moisture=(0.5, 0.95))
    assert [name for name, _kg in done.added] == [str(i) for i in range(len(done.added))]
    assert len(done.added) > 5
    assert not done.gives_way
