"""Finding a line of the log by its id, its other half, and the lines that stand in its place."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace
from typing import cast

from tinydb import where

from wormbin.problems import Problem, RefusedError, UnclearError
from wormbin.records.entries import Entry
from wormbin.records.ids import is_id
from wormbin.records.lots import Line, partner_id
from wormbin.store.book import STANDS
from wormbin.store.errors import DiskError
from wormbin.store.lines import Document, has_half, is_struck
from wormbin.store.place import Place
from wormbin.store.reading import Reading


class Finding(Reading):
    """What can be looked for in a store. See ``Store``."""

    def find(self, id_or_beginning: str) -> Entry:
        """The line with this id, or the only one whose id begins so. Raises RefusedError, UnclearError."""
        return cast(Entry, self._found(id_or_beginning, [each for each in self.all_places() if each.bin]))

    def find_line(self, id_or_beginning: str) -> Line:
        """The same for the lines of all books, the castings book, too."""
        return self._found(id_or_beginning, self.all_places())

    def _found(self, id_or_beginning: str, places: list[Place]) -> Line:
        with self._alone:
            wanted = id_or_beginning.strip().lower()
            found: dict[str, Line] = {}
            for place in places if wanted else ():
                for entry in self._with_beginning(place, wanted):
                    found[entry.id] = entry
                if wanted in found:
                    return found[wanted]
            # The second half of a move, or of a harvest into a lot, is found by its own full id only.
            found = {key: entry for key, entry in found.items() if not (key.endswith("~") and key[:-1] in found)}
            if len(found) == 1:
                return next(iter(found.values()))
            problem = Problem("entry", id_or_beginning, "the id of a line, or its first letters", "7k3q")
            if not found:
                raise RefusedError(replace(problem, allowed="the id of a line in the log, or its first letters"))
            raise UnclearError(replace(problem, allowed="letters that begin only one id"), sorted(found))

    def _with_beginning(self, place: Place, wanted: str) -> list[Line]:
        note = self._pending()
        waiting = note is not None and note.part(place) is not None
        if waiting:
            return [line for line in self.lines_of(place) if line.id.startswith(wanted)]
        if self._books.get(place) is None and not self._mentions(place, f'"{wanted}'.encode()):
            return []
        return self.book(place).find(where("id").test(lambda key: str(key).startswith(wanted)))

    def _mentions(self, place: Place, needle: bytes) -> bool:
        # Much cheaper than parsing: most books of past years do not hold the letters at all.
        for path in (place.slip(self.folder), place.path(self.folder)):
            try:
                if needle in self.disk.read(path)[0]:
                    return True
            except FileNotFoundError:
                continue
            except OSError as error:
                raise DiskError(error, path, "read this file") from error
        return False

    def _right_of(self, entry_id: str, bin_key: str) -> str:
        """The id of the line that stands in the place of this one; "" for none: two would both count."""
        for place in self.all_places():
            if place.bin == bin_key:
                for line in self.book(place).find((where("replaces") == entry_id) & STANDS):
                    return line.id
        return ""

    def _amended_by(self, lines: Mapping[str, tuple[Place, Document]]) -> dict[str, tuple[Place, Document]]:
        """The lines that these have amended, which would stand again when these are struck."""
        found: dict[str, tuple[Place, Document]] = {}
        for _, document in lines.values():
            before = document.get("replaces")
            while isinstance(before, str) and before and before not in found:
                try:
                    line = self._line(before)
                except RefusedError:
                    break
                if not is_struck(line[1]):
                    found[before] = line
                before = line[1].get("replaces")
        return found

    def _halves(self, entry_id: str) -> dict[str, tuple[Place, Document]]:
        """A line, and its other half if it has one: id -> (place, document). Newest years are looked at first."""
        found = {entry_id: self._line(entry_id)}
        if has_half(found[entry_id][1]):
            with suppress(RefusedError):
                found[partner_id(entry_id)] = self._line(partner_id(entry_id))
        return found

    def _line(self, entry_id: str) -> tuple[Place, Document]:
        if is_id(entry_id):
            for place in self.all_places():
                known = self._books.get(place)
                if known is None and not self._mentions(place, f'"{entry_id}"'.encode()):
                    continue
                document = self.book(place).documents.get(entry_id)
                if document is not None:
                    return place, document
        raise RefusedError(Problem("entry", entry_id, "the id of a line in the log", "7k3q9x2mfa"))
