"""What comes with the program is listed with its version and licence, and the list is what is installed."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "DEVELOPERS.md").read_text("utf-8").partition("## Why each dependency")[2]
ROWS = {
    name: (version, licence)
    for name, version, licence in re.findall(r"^\| ([a-z0-9-]+) \| (\S+) \| ([^|]+) \| [^|]+\|$", PAGE, re.MULTILINE)
    if name not in ("package", "---")
}
BROUGHT = dict(re.findall(r"\b([a-z][a-z-]+)\s\(([A-Za-z0-9.-]+)\)", PAGE.partition("bring with them:")[2]))
SAID = {"MIT License": "MIT", "Apache Software License": "Apache-2.0", "Apache 2.0": "Apache-2.0", "Dual License": ""}


def plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def needed(spec: str) -> tuple[str, tuple[str, ...]]:
    found = re.match(r"([A-Za-z0-9._-]+)\s*(?:\[([^\]]*)\])?", spec)
    assert found
    return plain(found[1]), tuple(each.strip() for each in (found[2] or "").split(",") if each.strip())


def everything_brought(names: Iterable[tuple[str, tuple[str, ...]]]) -> dict[str, Distribution]:
    """These packages and all that they need, as far as it is installed here."""
    found: dict[str, Distribution] = {}
    left = list(names)
    while left:
        name, extras = left.pop()
        try:
            package = distribution(name)
        except PackageNotFoundError:
            continue  # for another system, or another Python
        known, found[name] = name in found, package
        for spec in package.requires or ():
            extra = re.search(r"extra == ['\"]([^'\"]+)['\"]", spec)
            if (extra is not None and extra[1] in extras) or (extra is None and not known):
                left.append(needed(spec))
    return found


def licence_of(package: Distribution) -> str:
    told = package.metadata
    every = told.get_all("Classifier") or []
    words = [each.rsplit(" :: ", 1)[-1] for each in every if each.startswith("License")]
    said = [*(told.get_all("License-Expression") or []), *(told.get_all("License") or []), *words]
    return " ".join(SAID.get(each, each) for each in said)


def test_the_table_is_what_the_package_asks_for() -> None:
    asked = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["dependencies"]
    wanted = {needed(spec)[0]: spec[len(needed(spec)[0]) :] for spec in asked}
    assert {name: version for name, (version, _) in ROWS.items()} == wanted


def test_every_package_that_is_installed_for_it_is_listed_with_its_licence() -> None:
    listed = {name: licence for name, (_, licence) in ROWS.items()} | BROUGHT
    found = everything_brought([(name, ()) for name in ROWS] + [("textual", ())])
    assert set(ROWS) <= set(found)
    assert set(found) <= set(listed), f"not listed: {sorted(set(found) - set(listed))}"
    for name, package in found.items():
        told = licence_of(package)
        fits = [each for each in listed[name].split(" or ") if each in told or each.split("-")[0] in told]
        assert fits, f"{name} {package.version} says {told!r}"
