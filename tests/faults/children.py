"""Children of a test: the same program in another process, forked so that hundreds of them cost little."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path


@dataclass
class Child:
    """A forked process that runs one function; what it returned comes back as text."""

    process: int
    pipe: int

    def answer(self) -> str:
        """Wait for it to end; the text that it returned, or how it failed."""
        with os.fdopen(self.pipe) as pipe:
            text = pipe.read()
        os.waitpid(self.process, 0)
        return text


def fork(act: Callable[[], str]) -> Child:
    """Run ``act`` in a child process."""
    ours, theirs = os.pipe()
    process = os.fork()
    if process:
        os.close(theirs)
        return Child(process, ours)
    text = "died"
    try:
        text = act()
    except BaseException as error:
        text = f"{type(error).__name__}: {error}"
    finally:
        os.write(theirs, text.encode())
        os._exit(0)


def as_nobody(folder: Path, act: Callable[[], str]) -> str:
    """Run ``act`` as a person who is not the system's master, so that permissions mean something."""

    def dropped() -> str:
        if os.getuid() == 0:
            os.setgid(65534)
            os.setuid(65534)
        return act()

    if os.getuid() == 0:
        for path in (folder, *folder.rglob("*")):
            os.chown(path, 65534, 65534)
    return fork(dropped).answer()
