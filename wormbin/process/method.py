"""The method page: how the program arrives at its numbers, in the package, with the tables that go with it."""

from __future__ import annotations

from collections.abc import Iterable
from importlib.resources import files

from wormbin.process.parameters import DEFAULT, Parameters, listed


def page() -> str:
    """The method page, Markdown: words first, then equations, parameters, sources, checks, and where it is weak."""
    return (files(__package__) / "method.md").read_text(encoding="utf-8")


def parameter_table(parameters: Parameters = DEFAULT) -> tuple[str, ...]:
    """Every parameter with its value, unit, allowed range and source, as the lines of a Markdown table."""
    rows = (
        f"| {one.key} | {one.value:g} | {one.unit} | {one.low:g} to {one.high:g} | {one.source} |"
        for one in listed(parameters)
    )
    return ("| parameter | value | unit | allowed | source |", "| --- | --- | --- | --- | --- |", *rows)


def with_table(text: str, name: str, lines: Iterable[str]) -> str:
    """A page with the lines between its marks for ``name`` replaced. Raises ValueError when it has no such marks."""
    before, _old, after = _parted(text, name)
    return f"{before}\n" + "\n".join(lines) + f"\n{after}"


def table_in(text: str, name: str) -> tuple[str, ...]:
    """The lines between the marks for ``name``. Raises ValueError when there are none."""
    return tuple(_parted(text, name)[1].strip("\n").split("\n"))


def _parted(text: str, name: str) -> tuple[str, str, str]:
    begin, end = f"<!-- {name} -->", f"<!-- end of {name} -->"
    if text.count(begin) != 1 or text.count(end) != 1:
        raise ValueError(f"the page has no one place for the table {name}")
    before, rest = text.split(begin)
    old, after = rest.split(end)
    return before + begin, old, end + after
