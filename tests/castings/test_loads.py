"""Loads: what is given is taken from the one that lies open, nothing comes from nowhere, each gram is found again."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, settings, strategies as st

from tests.castings.made_up import at, fed, line
from wormbin.castings.holding import hold
from wormbin.castings.loads import Larder, larder, reached
from wormbin.problems import RefusedError
from wormbin.records.entries import Entry, Strike
from wormbin.records.kinds.castings import Bad, Left, Load, LotWhat, Opened, Piled, Released
from wormbin.records.lots import LotLine

RIND = "melon-rind"


def load(name: str, day: int, kg: float, material: str = RIND, month: int = 3) -> LotLine:
    return line(f"{name}-in", at(month, day, 8), Load(material, kg, "Mill Lane"), name)


def of(book: list[LotLine], *log: Entry) -> Larder:
    return larder(book, {"kitchen": log})


def left(held: Larder) -> dict[str, float]:
    return {each.name: round(each.kg, 6) for each in held.loads}


def test_what_is_fed_is_taken_off_the_load_that_came_first_and_then_off_the_next() -> None:
    held = of([load("a", 1, 5.0), load("b", 2, 5.0)], fed("f", at(3, 3), 3.0), fed("g", at(3, 4), 4.0))
    assert left(held) == {"a": 0.0, "b": 3.0}
    assert [(each.load, each.kg, each.sure) for each in held.draws] == [
        ("a", 3.0, False), ("a", 2.0, False), ("b", 2.0, False),
    ]  # fmt: skip


def test_a_load_that_was_opened_is_taken_from_first_and_for_certain() -> None:
    book = [load("a", 1, 5.0), load("b", 2, 5.0), line("o", at(3, 2, 9), Opened(), "b")]
    held = of(book, fed("f", at(3, 3), 3.0))
    assert left(held) == {"a": 5.0, "b": 2.0}
    assert [each.sure for each in held.draws] == [True]


def test_what_no_load_was_there_for_comes_from_none() -> None:
    held = of([load("a", 5, 2.0)], fed("f", at(3, 3), 1.0), fed("g", at(3, 6), 3.0), fed("h", at(3, 7), 1.0, "carrot"))
    assert [(each.load, each.kg) for each in held.draws] == [("", 1.0), ("a", 2.0), ("", 1.0)]
    assert left(held) == {"a": 0.0}


def test_the_scale_sets_what_is_left() -> None:
    held = of(
        [load("a", 1, 5.0), line("m", at(3, 4), Left(1.5), "a")], fed("f", at(3, 3), 3.0), fed("g", at(3, 5), 1.0)
    )
    (a,) = held.loads
    assert (a.kg, a.changed_kg, a.given_kg) == (0.5, -0.5, 4.0)


def test_a_bad_load_reaches_bins_by_way_of_piles_and_names_the_doubtful_ones_as_such() -> None:
    book = [
        load("a", 1, 10.0),
        line("p", at(3, 2), Piled(RIND, 4.0), "heap"),
        line("r", at(3, 20), Released("half-made-compost", 3.0), "heap"),
        load("b", 3, 5.0),
        line("x", at(3, 25), Bad("wormer in it"), "a"),
    ]
    log = [fed("f", at(3, 2, 20), 2.0), fed("g", at(3, 5), 4.5), fed("h", at(3, 22), 1.0, "half-made-compost")]
    held = of(book, *log)
    found = reached("a", held)
    assert [(each.bin or each.pile, each.kg, each.sure) for each in found.draws] == [
        ("heap", 4.0, True), ("kitchen", 2.0, True), ("kitchen", 4.0, False), ("kitchen", 0.5, False),
        ("kitchen", 1.0, True),
    ]  # fmt: skip
    assert found.loads == ("heap",)
    assert held.loads[0].bad == "wormer in it"


def test_a_load_has_a_name_of_its_own_and_a_pile_gives_no_more_than_was_put_on() -> None:
    first = load("a", 1, 5.0)
    for more, words in (
        (replace(load("A", 2, 1.0), id="z"), "a name that no other load has"),
        (line("o", at(3, 2), Opened(), "b"), "a load that came in by 2026-03-02"),
        (line("r", at(3, 2), Released(RIND, 1.0), "heap"), "a pile that something was put on"),
    ):
        with pytest.raises(RefusedError, match=words):
            hold([first], [first, more], "metric")
    pile = line("p", at(3, 1), Piled(RIND, 4.0), "heap")
    hold([pile], [pile, line("r", at(3, 2), Released(RIND, 4.0), "heap")], "metric")
    with pytest.raises(RefusedError, match="up to 4 kg, as no more was put on pile heap"):
        hold([pile], [pile, line("r", at(3, 2), Released(RIND, 4.002), "heap")], "metric")


GRAMS = st.integers(1, 20_000).map(lambda grams: grams / 1000)
DAYS = st.integers(0, 60)
MATERIALS = st.sampled_from([RIND, "carrot"])


@st.composite
def farms(draw: st.DrawFn) -> tuple[list[LotLine], list[Entry]]:
    """Loads, openings, weighings, struck lines and piles among feedings, in any order of days."""

    def when() -> datetime:
        return datetime(2026, 3, 1, 12, tzinfo=UTC) + timedelta(days=draw(DAYS), minutes=draw(st.integers(0, 600)))

    whats: list[st.SearchStrategy[LotWhat]] = [
        st.just(Opened()), st.builds(Left, GRAMS), st.builds(Bad), st.builds(Piled, MATERIALS, GRAMS),
        st.builds(Released, st.just(RIND), GRAMS),
    ]  # fmt: skip
    book = [
        LotLine(f"l{at_}", f"load-{at_}", when(), Load(draw(MATERIALS), draw(GRAMS)))
        for at_ in range(draw(st.integers(1, 5)))
    ]
    for at_ in range(draw(st.integers(0, 6))):
        what = draw(st.one_of(whats))
        name = "heap" if isinstance(what, Piled | Released) else f"load-{draw(st.integers(0, 5))}"
        struck = Strike("wrong", "", when()) if draw(st.booleans()) and draw(st.booleans()) else None
        book.append(LotLine(f"x{at_}", name, when(), what, struck=struck))
    log = [fed(f"f{at_}", when(), draw(GRAMS), draw(MATERIALS)) for at_ in range(draw(st.integers(0, 12)))]
    return book, log


@settings(max_examples=5 * settings().max_examples, deadline=None)
@given(farms())
def test_every_gram_that_came_in_is_given_left_or_weighed_away_and_none_is_given_twice(
    made: tuple[list[LotLine], list[Entry]],
) -> None:
    book, log = made
    held = of(book, *log)
    for each in held.loads:
        given_kg = sum(draw.kg for draw in held.draws if draw.load == each.name)
        assert each.kg >= 0
        assert all(each.name in draw.among for draw in held.draws if draw.load == each.name)
        assert given_kg == pytest.approx(each.given_kg, abs=1e-9)
        assert each.came_kg + each.changed_kg == pytest.approx(each.kg + given_kg, abs=1e-9)
    known = {each.material for each in held.loads}
    for entry in log:
        (portion,) = entry.what.portions  # type: ignore[union-attr]
        drawn = sum(draw.kg for draw in held.draws if draw.entry == entry.id)
        assert drawn == pytest.approx(portion.kg if portion.material in known else 0.0, abs=1e-9)
    assert all(draw.on >= date(2026, 3, 1) for draw in held.draws)
    came = {each.name: each.came for each in held.loads}
    assert all(not draw.load or came[draw.load] <= draw.on for draw in held.draws), "nothing before it came"


def test_what_came_in_that_day_was_there_all_day() -> None:
    late = replace(load("a", 3, 2.0), when=at(3, 3, 20))
    assert [each.load for each in of([late], fed("f", at(3, 3, 9), 1.0)).draws] == ["a"]


def test_two_months_after_a_load_is_used_up_the_other_one_is_certain_again() -> None:
    book = [load("a", 1, 2.0), load("b", 1, 20.0)]
    log = [fed("f", at(3, 2), 2.0), fed("g", at(5, 1), 1.0), fed("h", at(5, 2), 1.0)]
    assert [each.sure for each in of(book, *log).draws] == [False, False, True], "1 May is 60 days after, 2 May is 61"
