"""The command line as a whole: words to a command, what went wrong to an exit code."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from dataclasses import replace
from errno import EBADF
from typing import TYPE_CHECKING

from wormbin.cli.asking import without_command
from wormbin.cli.call import Call, Clock, Screen
from wormbin.cli.commands import parser
from wormbin.cli.grammar import RefusedWordsError
from wormbin.cli.output import Exit, ask_words, complain, complain_in_json, tell

if TYPE_CHECKING:
    from argparse import Namespace

    from wormbin.problems import Problem


def main(argv: Sequence[str] | None = None, *, clock: Clock | None = None, screen: Screen | None = None) -> int:
    """Run one command; the exit status. ``clock`` stands in for the machine's; ``screen`` opens the full screen."""
    try:
        return int(_main(argv, clock, screen))
    except KeyboardInterrupt:
        complain("stopped; nothing is half saved")
        return Exit.INTERRUPTED
    except BrokenPipeError:
        # The reader has seen enough. Standard output is pointed elsewhere, or the interpreter complains on its way out.
        with open(os.devnull, "w") as nowhere:  # noqa: PTH123
            os.dup2(nowhere.fileno(), sys.stdout.fileno())
        return Exit.DONE


def _main(argv: Sequence[str] | None, clock: Clock | None, screen: Screen | None) -> Exit:
    try:
        words = sys.argv[1:] if argv is None else argv
        complain_in_json("--json" in words)
        call = Call(words, lambda said: parser(said).parse_args(said), clock, screen)
    except RefusedWordsError as error:
        complain(*error.args)
        return Exit.NOT_UNDERSTOOD
    except SystemExit as leave:
        sys.stdout.flush()
        return Exit(leave.code if isinstance(leave.code, int) else 0)
    if unreadable := next(_no_letters(call.args), ""):
        complain(
            f"“{unreadable}” holds bytes that are no letters in UTF-8, the letters that this terminal should write",
            "Set the terminal, or LC_ALL, to the letters it really writes. Then say it again.",
        )
        return Exit.NOT_UNDERSTOOD
    from wormbin.problems import RefusedError

    try:
        code = _run(call) if call.args.command else without_command(call)
        call.tell_what_is_left_out()
        call.output.close()
        if sys.stdout is None and call.saved:
            raise OSError(EBADF, "standard output is closed")
        return code
    except RefusedWordsError as error:  # an amendment's words are another command's
        complain(*error.args)
        return Exit.NOT_UNDERSTOOD
    except RefusedError as error:
        complain(str(error) if call.units != "us" else str(RefusedError(map(_in_us, error.problems))))
        return Exit.NOT_UNDERSTOOD
    except BrokenPipeError:
        raise
    except OSError as error:
        if not call.saved:
            return _failed(error)
        complain(
            f"saved, but the answer could not be written out: {(error.strerror or str(error)).lower()}",
            f"Do not do it again. What was done: {'; '.join(call.saved)}",
        )
        return Exit.DONE
    except Exception as error:
        return _failed(error)


def _run(call: Call) -> Exit:
    """Run it; what can be said once is asked for where a person is there to answer, kept, and all is done again."""
    from wormbin.problems import MissingError

    try:
        return call.run()
    except MissingError as missing:
        from wormbin.farm.materials import answered, asked

        once = asked(missing)
        words = ask_words(f"{once.question} (for example: {once.example})")
        if not words:
            raise
        tell(answered(call.farm, missing, words, call.keeper).sentence)
    return _run(call)


def _no_letters(args: Namespace) -> Iterator[str]:
    """The words that hold bytes which are no letters. Paths may: a file system knows only bytes."""
    words = [os.environ.get("WORMBIN_KEEPER", "")]
    for name, said in vars(args).items():
        if name not in ("store", "folder", "out", "accept"):
            words += said if isinstance(said, list) else [said] if isinstance(said, str) else []
    for word in words:
        if any("\ud800" <= letter <= "\udfff" for letter in word):
            yield word.encode("utf-8", "replace").decode("utf-8")


def _in_us(problem: Problem) -> Problem:
    """A refusal with what is allowed told in US measures; what was read stays as it was typed."""
    from wormbin.measures import told

    return replace(problem, allowed=told(problem.allowed, "us"), example=told(problem.example, "us"))


def _failed(error: Exception) -> Exit:
    """Held back, or a store that could not be used; anything else is a fault of the program and is not hidden."""
    from wormbin.farm.errors import HeldBackError, StoreError

    if isinstance(error, HeldBackError):
        tell(error.preview.lines)
        complain(f"{error.preview.verdict}.", "Nothing was saved. Already in? --yes writes it down.")
        return Exit.HELD_BACK
    if isinstance(error, StoreError):
        complain(str(error))
        return Exit.NO_STORE
    if isinstance(error, OSError):
        place = f"{str(error.filename)[:600]}: " if error.filename else ""
        complain(
            f"{place}{(error.strerror or str(error)).lower()}", "Nothing was changed. Look at it, or name another."
        )
        return Exit.NO_STORE
    raise error
