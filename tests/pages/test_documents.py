"""Every field that goes out as JSON is there in the view that it is named for."""

from __future__ import annotations

from dataclasses import fields

import pytest

from wormbin.pages.documents import FIELDS, OTHERWISE


@pytest.mark.parametrize("kind", FIELDS, ids=lambda kind: kind.__name__)
def test_every_field_that_is_named_is_there(kind: type) -> None:
    for field in FIELDS[kind].split():
        name, _, attribute = field.lstrip("*").removesuffix("?").partition("=")
        if (kind, name) not in OTHERWISE:
            first = (attribute or name).split(".")[0]
            assert first in {each.name for each in fields(kind)} or hasattr(kind, first), field
