"""The drawn bin keeps to the state, at any size, and worms lie where worms are."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, strategies as st

from tests.drawing.shapes import check, cuts, depths, one_part, roles_down
from wormbin.drawing.cutaway import INCHES, Cut, cutaway
from wormbin.drawing.picture import Picture
from wormbin.drawing.strata import Section, settle
from wormbin.records.bins import Cover

BIN = one_part(0.03, 0.10, 0.08, 0.0, 0.30, worms=5.0)
SOLE = BIN.parts[0]
LAYERS = ("feed", "bedding", "castings", "water")


def layer_rows(picture: Picture) -> dict[str, int]:
    """Rows of each layer in the first column inside the wall, where no worm is drawn."""
    lines = picture.lines
    wall = next(i for i, glyph in enumerate(lines[-2]) if glyph in "┃┨|+")
    down = roles_down(picture, wall + 1)
    return {layer: down.count(layer) for layer in LAYERS}


@given(cuts, st.integers(1, 80), st.integers(1, 40), st.booleans())
def test_any_bin_is_drawn_at_any_size(cut: Cut, width: int, height: int, ascii: bool) -> None:
    check(cutaway(cut, width, height, ascii=ascii), width, height, ascii=ascii)


@pytest.mark.parametrize("width", [0, 1, 2, 3, 5, 6, 12, 29, 30, 80])
@pytest.mark.parametrize("height", [0, 1, 2, 3, 4, 5, 6, 12, 24])
@pytest.mark.parametrize("ascii", [False, True])
def test_the_smallest_sizes_are_drawn(width: int, height: int, ascii: bool) -> None:
    check(cutaway(BIN, width, height, ascii=ascii), width, height, ascii=ascii)
    trays = replace(BIN, parts=(Section(1, 0, 0, 0.2), Section(2, 0.02, 0.1, 0.02)))
    check(cutaway(trays, width, height, ascii=ascii), width, height, ascii=ascii)


@given(depths, depths, depths, st.floats(0.2, 1.0), st.integers(8, 40), st.booleans())
def test_heights_keep_to_the_state_within_a_row(
    feed: float, bedding: float, castings: float, box: float, height: int, ascii: bool
) -> None:
    picture = cutaway(one_part(feed, bedding, castings, 0.0, box), 28, height, ascii=ascii)
    row_m = max(box, feed + bedding + castings) / (height - 2)
    drawn = layer_rows(picture)
    for layer, state in (("feed", feed), ("bedding", bedding), ("castings", castings)):
        assert abs(drawn[layer] - state / row_m) <= 1.0 + 1e-6, (layer, drawn, state / row_m)
    assert abs(sum(drawn.values()) - (feed + bedding + castings) / row_m) <= 1.0 + 1e-6


@given(st.floats(0.0, 0.3), st.integers(8, 40), st.booleans())
def test_water_stands_as_high_as_it_is(water: float, height: int, ascii: bool) -> None:
    picture = cutaway(one_part(0.0, 0.1, 0.2, water, 0.3), 28, height, ascii=ascii)
    row_m = 0.3 / (height - 2)
    assert abs(layer_rows(picture)["water"] - water / row_m) <= 1.0
    if water > 0.0:
        assert layer_rows(picture)["water"] >= 1


@given(st.lists(st.floats(0.0, 30.0), min_size=1, max_size=4), st.integers(1, 200), st.sampled_from([1, 4]))
def test_steps_keep_to_the_heights(heights: list[float], room: int, within: int) -> None:
    steps = settle(heights, room, within)
    assert sum(steps) <= room
    if sum(heights) <= room - 4:
        assert all(abs(step - height) <= within for step, height in zip(steps, heights, strict=True))
        assert abs(sum(steps) - sum(heights)) <= 1.0
        assert not (sum(heights) > 0.0 and sum(steps) == 0)


def test_every_thin_layer_leaves_a_mark() -> None:
    thin = one_part(0.002, 0.10, 0.003, 0.002, 0.30)
    for ascii in (False, True):
        picture = cutaway(thin, 40, 12, ascii=ascii, labels=False)
        assert {"feed", "bedding", "water"} <= {span.role for spans in picture.spans for span in spans}


def test_layers_differ_without_colour() -> None:
    for ascii in (False, True):
        picture = cutaway(one_part(0.06, 0.06, 0.08, 0.03, 0.25), 60, 30, ascii=ascii, labels=False)
        signs: dict[str, set[str]] = {layer: set() for layer in LAYERS}
        for row in range(picture.height):
            for text, role in picture.pieces(row):
                if role in signs:
                    signs[role] |= set(text)
        for one in LAYERS:
            for other in LAYERS:
                if one < other:
                    shared = signs[one] & signs[other] - {" "}
                    assert len(shared) <= 1 + len(signs[one] | signs[other]) // 3, (one, other, shared)


def worms_in(picture: Picture) -> set[tuple[int, int]]:
    return {
        (row, at)
        for row, spans in enumerate(picture.spans)
        for span in spans
        if span.role == "worm"
        for at in range(span.start, span.end)
    }


@given(st.floats(0.0, 25.0), st.floats(0.0, 25.0), st.booleans())
def test_more_worms_draw_more_worms_and_leave_the_others(one: float, other: float, ascii: bool) -> None:
    fewer, more = sorted((one, other))
    few = worms_in(cutaway(replace(BIN, parts=(replace(SOLE, worms_kg_m2=fewer),)), 28, 20, ascii=ascii))
    many = worms_in(cutaway(replace(BIN, parts=(replace(SOLE, worms_kg_m2=more),)), 28, 20, ascii=ascii))
    assert few <= many
    assert bool(few) == (fewer > 0.0)


def test_a_crowd_looks_unlike_a_handful() -> None:
    counts = [
        len(worms_in(cutaway(replace(BIN, parts=(replace(SOLE, worms_kg_m2=kg),)), 40, 20, labels=False)))
        for kg in (0.5, 2.5, 5.0, 10.0)
    ]
    assert counts == sorted(set(counts))
    assert counts[3] > 4 * counts[0]


@given(st.floats(0.0, 0.05), st.floats(0.0, 0.2), st.floats(0.0, 0.3), st.floats(0.0, 0.2), st.booleans())
def test_worms_stay_in_the_top_and_out_of_the_water(
    feed: float, bedding: float, castings: float, water: float, ascii: bool
) -> None:
    picture = cutaway(one_part(feed, bedding, castings, water, 0.5, worms=12.0), 28, 32, ascii=ascii)
    row_m = max(0.5, feed + bedding + castings) / 30
    surface, wet = feed + bedding + castings, water
    for row, _ in worms_in(picture):
        height = (picture.height - 1 - row) * row_m
        assert surface - height <= 0.15 + 2 * row_m
        assert height - row_m <= surface + row_m
        assert height >= wet - row_m


def test_most_worms_are_at_the_feed() -> None:
    bin_ = one_part(0.04, 0.14, 0.1, 0.0, 0.4, worms=6.0)
    picture = cutaway(bin_, 60, 42, labels=False)
    heights = [(picture.height - 1 - row) * 0.01 for row, _ in worms_in(picture)]
    near = sum(1 for height in heights if 0.19 <= height <= 0.24)
    far = sum(1 for height in heights if 0.13 <= height < 0.18)
    assert near > 2 * far


def test_the_same_bin_gives_the_same_picture() -> None:
    assert cutaway(BIN, 50, 16) == cutaway(BIN, 50, 16)


def test_labels_say_about_for_estimates_and_read_for_the_ruler() -> None:
    text = cutaway(
        replace(BIN, parts=(replace(SOLE, water_m=0.004),), ruler_m=0.24, notes={"feed": "1.4 kg"}), 70, 20
    ).text
    for words in ("uneaten food about 3 cm, 1.4 kg", "bedding about 10 cm", "castings about 8 cm", "ruler read 24 cm"):
        assert words in text
    assert "water under 1 cm" in text
    assert "uneaten food about 1 in" in cutaway(BIN, 70, 20, scale=INCHES).text


def test_labels_are_left_out_when_it_is_narrow() -> None:
    assert "feed" not in cutaway(BIN, 24, 12).text
    assert "feed" not in cutaway(BIN, 70, 12, labels=False).text
    assert "feed about 3 cm" in cutaway(BIN, 46, 12).text
    assert "feed ~3 cm" in cutaway(BIN, 35, 12).text


def test_the_ruler_is_marked_at_what_it_read() -> None:
    picture = cutaway(replace(BIN, ruler_m=0.24), 28, 32)
    row = next(row for row, spans in enumerate(picture.spans) if any(span.role == "ruler" for span in spans))
    assert abs((picture.height - 1 - row - 0.5) * 0.01 - 0.24) <= 0.01


def test_trays_stand_one_above_another_and_halves_side_by_side() -> None:
    parts = (Section(1, 0.0, 0.0, 0.12), Section(2, 0.05, 0.05, 0.0))
    trays = cutaway(Cut(parts, 0.15), 40, 20)
    down = roles_down(trays, 6)
    assert down.index("feed") < down.index("castings")
    assert trays.text.index("tray 2") < trays.text.index("tray 1")
    halves = cutaway(Cut(parts, 0.15, sideways=True), 30, 20, labels=False)
    assert "castings" in roles_down(halves, 8)
    assert "feed" not in roles_down(halves, 8)
    assert "feed" in roles_down(halves, 22)


def test_trays_too_small_to_part_say_that_they_are_drawn_as_one() -> None:
    parts = tuple(Section(n, 0.01, 0.05, 0.05) for n in range(1, 5))
    assert "mean of 4 parts" in cutaway(Cut(parts, 0.15), 60, 9).text


def test_contents_above_the_rim_are_still_drawn() -> None:
    picture = cutaway(one_part(0.1, 0.1, 0.2, 0.0, 0.30), 28, 18)
    assert layer_rows(picture)["feed"] == 4
    assert sum("┃" in line or "┨" in line for line in picture.lines) < 16


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -1.0])
def test_depths_that_cannot_be_are_drawn_as_none(bad: float) -> None:
    picture = cutaway(one_part(bad, 0.1, bad, bad, bad, worms=bad, ruler_m=bad), 40, 12)
    check(picture, 40, 12, ascii=False)
    assert "feed" not in picture.text


def test_covers_and_drains_can_be_told_apart() -> None:
    drawn = {
        cutaway(replace(BIN, cover=cover, drainage=drain), 28, 12, ascii=ascii).text
        for cover in Cover
        for drain in (True, False)
        for ascii in (True, False)
    }
    assert len(drawn) == 12


def test_labels_of_layers_that_meet_in_a_row_stand_in_the_order_of_the_layers() -> None:
    thin = replace(BIN, parts=(replace(SOLE, feed_m=0.01, bedding_m=0.02, castings_m=0.02),))
    lines = cutaway(thin, 60, 8).text.splitlines()
    found = [word for line in lines for word in ("food", "bedding", "castings") if word in line]
    assert found == ["food", "bedding", "castings"]


@pytest.mark.parametrize("height", [8, 12, 24])
@pytest.mark.parametrize("ascii", [False, True])
def test_a_layer_that_a_finding_names_has_a_row_and_its_word_however_thin(height: int, ascii: bool) -> None:
    thin = one_part(0.001, 0.04, 0.02, 0.0, 0.30)
    named = cutaway(replace(thin, parts=(replace(thin.parts[0], named=("feed", "water")),)), 44, height, ascii=ascii)
    drawn = layer_rows(named)
    assert drawn["feed"] >= 1
    assert drawn["water"] >= 1
    assert "water seen" in "\n".join(named.lines)
    plain = cutaway(thin, 44, height, ascii=ascii)
    assert layer_rows(plain)["water"] == 0
    assert "water" not in "\n".join(plain.lines)
    trays = tuple(Section(n, 0.001, 0.04, 0.02, named=("water",) if n == 1 else ()) for n in (1, 2))
    stacked = cutaway(replace(thin, parts=trays), 44, 24, ascii=ascii)
    assert "\n".join(stacked.lines).count("water seen") == 1
