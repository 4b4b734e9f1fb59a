"""The method page says what the code does: its tables are those of the code, and its parts are all there."""

from __future__ import annotations

import re

import pytest

from tests.process import method_page as method
from tests.process.method_page import listed
from wormbin.process.parameters import Parameters

HOW = "python -m tests.process.method_page"


@pytest.mark.parametrize("name", ["parameters", "doubts", "readings"])
def test_the_tables_in_the_page_are_those_of_the_code(name: str) -> None:
    assert method.table_in(method.page(), name) == method.own_tables()[name], f"bring the page up to date: {HOW}"


def test_every_parameter_has_a_row_with_value_unit_range_and_source() -> None:
    rows = [
        [cell.strip() for cell in line.strip("|").split("|")] for line in method.table_in(method.page(), "parameters")
    ]
    told = {row[0]: row[1:] for row in rows[2:]}
    assert set(told) == {one.key for one in listed()}
    for one in listed():
        value, unit, allowed, source = told[one.key]
        assert float(value) == pytest.approx(one.value, rel=1e-5)
        assert unit
        assert allowed
        assert source
        assert one.low <= one.value <= one.high


def test_another_set_of_parameters_makes_another_table() -> None:
    assert method.parameter_table(Parameters(appetite=0.2)) != method.parameter_table()


@pytest.mark.parametrize("name", ["residuals", "families", "warnings"])
def test_the_checks_are_in_the_page_as_tables_of_numbers(name: str) -> None:
    lines = method.table_in(method.page(), name)
    assert sum(line.startswith("|") for line in lines) >= 4
    assert sum(bool(re.search(r"\d", line)) for line in lines) >= 3


def test_words_come_before_sums_and_weak_points_are_named() -> None:
    page = method.page()
    order = [page.index(f"## {part}") for part in (
        "In plain words", "The sums in full", "How it learns", "Parameters", "Checked against what was published",
        "Checked on made-up bins", "Warnings judged", "Where it is weak", "Sources",
    )]  # fmt: skip
    assert order == sorted(order)
    assert all(len(line) <= 120 or line.startswith("|") for line in page.splitlines())


def test_every_name_of_a_parameter_in_the_text_is_a_parameter() -> None:
    keys = {one.key for one in listed()}
    text = method.page().split("<!-- parameters -->")[0].split("## The sums in full")[1]
    for name in re.findall(r"`([a-z]+_?[a-z]*?(?:_\.\.\.)?)`", text):
        stem = name.removesuffix("...")
        assert any(key == stem or (name.endswith("...") and key.startswith(stem)) for key in keys), name


def test_a_table_is_put_between_its_marks_and_nowhere_else() -> None:
    text = "a\n<!-- t -->\nold\n<!-- end of t -->\nb\n"
    new = method.with_table(text, "t", ["1", "2"])
    assert new == "a\n<!-- t -->\n1\n2\n<!-- end of t -->\nb\n"
    assert method.table_in(new, "t") == ("1", "2")
    with pytest.raises(ValueError, match="no one place"):
        method.with_table(text, "other", [])
