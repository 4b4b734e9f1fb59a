"""Every field that goes out as JSON is there in the view that it is named for."""

from collections import defaultdict
from dataclasses import fields, is_dataclass
from importlib import import_module
from pkgutil import walk_packages

import pytest

from wormbin import castings, farm
from wormbin.pages.documents import FIELDS, OTHERWISE

VIEWS: defaultdict[str, set[type]] = defaultdict(set)
for room in (castings, farm):
    for each in walk_packages(room.__path__, f"{room.__name__}."):
        for view in vars(import_module(each.name)).values():
            if isinstance(view, type) and is_dataclass(view):
                VIEWS[view.__name__].add(view)


@pytest.mark.parametrize("kind", FIELDS)
def test_every_field_that_is_named_is_there(kind: str) -> None:
    assert any(all(has(view, field, kind) for field in FIELDS[kind].split()) for view in VIEWS[kind]), kind


def has(view: type, field: str, kind: str) -> bool:
    name, _, attribute = field.lstrip("*").removesuffix("?").partition("=")
    first = (attribute or name).split(".")[0]
    return (kind, name) in OTHERWISE or first in {each.name for each in fields(view)} or hasattr(view, first)
