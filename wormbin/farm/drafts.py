"""Forms that wait half-filled, kept in the store by their names."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from typing import TYPE_CHECKING

from wormbin.farm.errors import StoreError
from wormbin.records.ids import key_from

if TYPE_CHECKING:
    from wormbin.farm.session import Session


def save(session: Session, form: str, fields: Mapping[str, str]) -> None:
    """Keep what is filled in of a form; an empty one is dropped. A full disk must not stop the typing."""
    filled = {name: text for name, text in fields.items() if text}
    with suppress(StoreError):
        if filled:
            session.store.desk.keep_form(key_from(form), filled)
        else:
            session.store.desk.drop_form(key_from(form))


def read(session: Session, form: str) -> Mapping[str, str]:
    """A form kept half-filled; empty when there is none."""
    return session.store.desk.form(key_from(form)) or {}


def drop(session: Session, form: str) -> None:
    """Forget a half-filled form."""
    with suppress(StoreError):
        session.store.desk.drop_form(key_from(form))


def names(session: Session) -> tuple[str, ...]:
    """The names of the forms that wait half-filled."""
    return session.store.desk.forms()
