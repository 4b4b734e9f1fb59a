"""Each number is said once: no two modules name a constant with a unit alike, and none repeats one of science."""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import wormbin
from wormbin.science import constants

HOME = Path(wormbin.__file__).parent
WITH_UNIT = re.compile(r"_(KG|G|M|MM|L|C|M2|M3|DAYS|HOURS|KG_M2|KG_M3|KG_KG_DAY|SD|SHARE)$")


def numbers_of(source: str) -> Iterator[tuple[str, float]]:
    """Constants of a module that are plain numbers, by name."""
    for each in ast.parse(source).body:
        pairs: list[tuple[ast.expr, ast.expr]] = []
        match each:
            case ast.AnnAssign(target=one, value=ast.expr() as said):
                pairs = [(one, said)]
            case ast.Assign(targets=[ast.Tuple(elts=names)], value=ast.Tuple(elts=values)):
                pairs = list(zip(names, values, strict=True))
            case ast.Assign(targets=[one], value=said):
                pairs = [(one, said)]
        for name, value in pairs:
            if isinstance(name, ast.Name) and isinstance(value, ast.Constant) and isinstance(value.value, int | float):
                yield name.id, float(value.value)


def all_numbers() -> Iterator[tuple[str, str, float]]:
    for path in sorted(HOME.rglob("*.py")):
        for name, value in numbers_of(path.read_text(encoding="utf-8")):
            yield str(path.relative_to(HOME)), name, value


def test_a_constant_with_a_unit_has_one_home() -> None:
    homes = defaultdict(list)
    for path, name, _value in all_numbers():
        if WITH_UNIT.search(name):
            homes[name].append(path)
    assert {name: paths for name, paths in homes.items() if len(paths) > 1} == {}


def test_no_room_states_a_density_of_science_under_another_name() -> None:
    known = {value for name, value in vars(constants).items() if name.endswith("_KG_M3")}
    again = [(path, name) for path, name, value in all_numbers() if name.endswith("_KG_M3") and value in known]
    assert {path for path, _name in again} == {"science/constants.py"}


def test_the_width_of_a_band_is_written_out_once() -> None:
    written = [path for path in HOME.rglob("*.py") if re.search(r"\b1\.28[12]\d*", path.read_text(encoding="utf-8"))]
    assert [path.name for path in written] == ["constants.py"]


def test_each_constant_says_where_it_is_from() -> None:
    source = (HOME / "science" / "constants.py").read_text(encoding="utf-8")
    body = ast.parse(source).body
    after = list(zip(body, [*body[1:], None], strict=True))
    unsaid = [
        each.target.id
        for each, then in after
        if isinstance(each, ast.AnnAssign) and isinstance(each.target, ast.Name)
        if not (isinstance(then, ast.Expr) and isinstance(then.value, ast.Constant))
    ]
    assert unsaid == ["WATER_KG_M3", "SECONDS_A_DAY"], "only what everybody knows needs no word"
