"""The keeper's own values are laid over the table when they can be, and refused by field when they cannot."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from wormbin.materials import Pace, Role, carbon_bound, default_table
from wormbin.materials.material import measured_carbon_bound
from wormbin.problems import RefusedError
from wormbin.records.farms import OwnMaterial

TABLE = default_table()
NEW: dict[str, float | str] = {"nitrogen_pct": 2, "moisture_pct": 80, "pace": "quick", "carbon_pct": 48}


def test_a_measured_value_stands_over_the_table_and_says_whose_it_is() -> None:
    own = OwnMaterial("cattle-manure", values={"nitrogen_pct": "2,1"}, by="Ann")
    laid = TABLE.with_own((own,)).get("cattle-manure")
    book = TABLE.get("cattle-manure")
    assert laid.nitrogen == pytest.approx(0.021)
    assert laid.sources["nitrogen"] == "own measurement, by Ann"
    assert laid.sources["carbon"] == book.sources["carbon"]
    assert (laid.carbon, laid.pace, laid.own) == (book.carbon, book.pace, True)
    assert not book.own


def test_values_may_be_text_with_a_percent_sign_and_words_for_pace_and_role() -> None:
    values: dict[str, float | str] = {
        "moisture_pct": "77%",
        "pace": " Slow ",
        "role": "bedding",
        "bulk_density_kg_m3": 180.0,
    }
    laid = TABLE.with_own((OwnMaterial("grass-clippings", values=values),)).get("grass-clippings")
    assert (laid.moisture, laid.pace, laid.role) == (0.77, Pace.SLOW, Role.BEDDING)
    assert laid.water_holding == 3.0
    assert "from memory" in laid.sources["water_holding"]


def test_a_new_material_is_found_by_its_name() -> None:
    table = TABLE.with_own((OwnMaterial("hop-marc", "Spent hops", values=NEW, by="Bo"),))
    found = table.find("spent hop")
    assert (found.key, found.role, found.carbon) == ("hop-marc", Role.FEED, 0.48)
    assert found.ash == pytest.approx(1 - 0.48 * 1.8)
    assert found.sources["ash"] == "worked out by (1 - ash)/1.8, own measurement, by Bo"
    assert "hop-marc" not in TABLE


def test_a_new_material_may_give_ash_in_place_of_carbon() -> None:
    values: dict[str, float | str] = {"nitrogen_pct": 2, "moisture_pct": 80, "pace": "quick", "ash_pct": 10}
    found = TABLE.with_own((OwnMaterial("hop-marc", values=values),)).get("hop-marc")
    assert found.carbon == pytest.approx(0.5)


def test_more_carbon_than_the_ash_leaves_room_for_is_refused() -> None:
    own = OwnMaterial("coir", values={"ash_pct": 50, "carbon_pct": 40})
    with pytest.raises(RefusedError) as refusal:
        TABLE.with_own((own,))
    assert "coir.carbon_pct" in str(refusal.value)
    assert "32.5" in str(refusal.value)


def test_carbon_and_ash_measured_together_are_believed_as_far_as_lignin_goes() -> None:
    """A little more than (1 - ash)/1.8 is often printed: that rule is a mean over materials (Adams et al. 1951)."""
    laid = TABLE.with_own((OwnMaterial("coir", values={"ash_pct": 20, "carbon_pct": 47}),)).get("coir")
    assert laid.ash == pytest.approx(0.20)
    assert laid.carbon == pytest.approx(0.47)


def test_own_ash_alone_brings_the_book_carbon_down_and_says_so() -> None:
    laid = TABLE.with_own((OwnMaterial("coir", values={"ash_pct": 50}),)).get("coir")
    assert laid.carbon == pytest.approx(0.5 / 1.8)
    assert laid.sources["carbon"].startswith("held to (1 - ash)/1.8")


def test_own_carbon_alone_brings_the_book_ash_down_and_says_so() -> None:
    laid = TABLE.with_own((OwnMaterial("coir", values={"carbon_pct": 54}),)).get("coir")
    assert laid.carbon == pytest.approx(0.54)
    assert laid.carbon <= carbon_bound(laid.ash) + 1e-9
    assert laid.sources["ash"].startswith("worked out from own carbon")


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("nitrogen_pct", "x"),
        ("nitrogen_pct", 21),
        ("nitrogen_pct", -1),
        ("carbon_pct", 60),
        ("ash_pct", 101),
        ("moisture_pct", 99),
        ("moisture_pct", float("nan")),
        ("bulk_density_kg_m3", float("inf")),
        ("bulk_density_kg_m3", "0"),
        ("water_holding", "1e9"),
        ("pace", "fast"),
        ("role", "food"),
        ("nitrogen", 2),
        ("bulk_density_kg_m3", "1,500"),
    ],
)
def test_a_value_that_cannot_be_is_refused_by_its_field(field: str, value: float | str) -> None:
    with pytest.raises(RefusedError) as refusal:
        TABLE.with_own((OwnMaterial("coir", values={field: value}),))
    [problem] = refusal.value.problems
    assert problem.field == f"coir.{field}"
    assert problem.allowed
    assert problem.example


def test_all_that_is_wrong_is_told_at_once() -> None:
    bad = (
        OwnMaterial("coir", values={"pace": "fast", "ash_pct": "-3"}),
        OwnMaterial("hop-marc"),
        OwnMaterial("Hop Marc!", values=NEW),
    )
    with pytest.raises(RefusedError) as refusal:
        TABLE.with_own(bad)
    assert len(refusal.value.problems) == 4
    assert "missing nitrogen_pct, moisture_pct, pace, carbon_pct" in str(refusal.value)


def test_a_keeper_may_keep_a_material_out() -> None:
    table = TABLE.with_own((OwnMaterial("onions", values={"role": "keep out"}),))
    with pytest.raises(RefusedError, match="the keeper keeps it out"):
        table.find("onions")


@given(
    ash=st.none() | st.floats(0, 100),
    carbon=st.none() | st.floats(0, 55.6),
    key=st.sampled_from([row.key for row in TABLE] + ["my-own"]),
)
def test_whatever_is_laid_over_carbon_stays_within_what_ash_leaves(
    ash: float | None, carbon: float | None, key: str
) -> None:
    values: dict[str, float | str] = {"nitrogen_pct": 1, "moisture_pct": 50, "pace": "quick"}
    if ash is not None:
        values["ash_pct"] = ash
    if carbon is not None:
        values["carbon_pct"] = carbon
    try:
        laid = TABLE.with_own((OwnMaterial(key, values=values),)).get(key)
    except RefusedError:
        assert (ash is None and carbon is None) or (ash is not None and carbon is not None)
        return
    bound = carbon_bound if ash is None or carbon is None else measured_carbon_bound
    assert laid.carbon <= bound(laid.ash) + 6e-4
    assert all(source for source in laid.sources.values())
