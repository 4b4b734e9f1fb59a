"""A terminal that goes away under the program (a closed window, a lost line): it ends in order, and never hangs.

Textual's own writer stops at the first error, and whoever paints then waits for it for ever.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TextIO

if TYPE_CHECKING:
    from textual.driver import Driver


class Forgiving:
    """A terminal to write to; what is written once it has gone is dropped."""

    def __init__(self, file: TextIO) -> None:
        self._file = file
        self._gone = False

    def write(self, text: str) -> int:
        """Write, or drop."""
        if not self._gone:
            try:
                return self._file.write(text)
            except (OSError, ValueError):
                self._gone = True
        return len(text)

    def flush(self) -> None:
        """Flush, or do nothing."""
        if not self._gone:
            try:
                self._file.flush()
            except (OSError, ValueError):
                self._gone = True

    def __getattr__(self, name: str) -> Any:
        return getattr(self._file, name)


def outlasting(base: type[Driver]) -> type[Driver]:
    """The platform's driver, which asks the program to quit when it can read no more keys."""

    class Outlasting(base):  # type: ignore[misc, valid-type]
        def __init__(self, *words: Any, **how: Any) -> None:
            super().__init__(*words, **how)
            held: Any = self
            if hasattr(held, "_file"):
                held._file = Forgiving(held._file)

        def _run_input_thread(self) -> None:
            try:
                self.run_input_thread()
            except OSError:
                self._app.call_later(self._app.action_quit)

    return Outlasting
