"""What the command prints: plain text, coloured where a terminal shows it; and how far long work has come."""

from __future__ import annotations

import os
import re
import shutil
import sys
import time
from collections.abc import Iterable
from types import TracebackType
from typing import TextIO

__all__ = ["Bad", "Caution", "Good", "Progress", "Title", "say", "underlined"]


class Title(str):
    """A heading."""

    __slots__ = ()


class Good(str):
    """What is as it is wanted."""

    __slots__ = ()


class Caution(str):
    """What must be known."""

    __slots__ = ()


class Bad(str):
    """What is not as it is wanted."""

    __slots__ = ()


#: The codes of ECMA-48 for bold, green, yellow and red.
_CODES: dict[type[str], int] = {Title: 1, Good: 32, Caution: 33, Bad: 31}
# A name in a file must not move the cursor, and must not turn the direction of what stands after it.
_UNSEEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")


def say(*lines: str, to: TextIO | None = None) -> None:
    """Print lines, to the standard output unless told otherwise, each in the colour of its kind."""
    stream = sys.stdout if to is None else to
    in_colour = _shows_colours(stream)
    for line in lines:
        text = _UNSEEN.sub("", line)
        code = _CODES.get(type(line))
        print(f"\x1b[{code}m{text}\x1b[0m" if in_colour and code is not None else text, file=stream)


def _shows_colours(stream: TextIO) -> bool:
    # NO_COLOR is a convention of many programs: if it is there and not empty, nothing is coloured.
    return stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


class Progress:
    """A bar on the standard error, on a terminal alone, gone when the work is done.

    Args:
        what: What is being done.
        of: How many there are to do.

    """

    #: A bar that is drawn anew more often than this only flickers [s].
    _PAUSE = 0.1

    def __init__(self, what: str, of: int) -> None:
        self._what = what
        self._of = of
        self._is_seen = sys.stderr.isatty() and of > 0
        self._drawn_at = 0.0

    def __enter__(self) -> Progress:
        self.show(0)
        return self

    def show(self, done: int) -> None:
        """Show how many are done."""
        now = time.monotonic()
        if not self._is_seen or (0 < done < self._of and now - self._drawn_at < self._PAUSE):
            return
        self._drawn_at = now
        counted = f"{done:,} of {self._of:,}"
        room = shutil.get_terminal_size().columns - len(self._what) - len(counted) - 7
        bar = ""
        if room >= 10:
            width = min(room, 40)
            full = width * done // self._of
            bar = f"[{'#' * full}{'.' * (width - full)}] "
        print(f"\r\x1b[K{self._what} {bar}{counted}", end="", file=sys.stderr, flush=True)

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._is_seen:
            print("\r\x1b[K", end="", file=sys.stderr, flush=True)


def underlined(text: str, mark: str = "-") -> Iterable[str]:
    """Return a heading and the line under it."""
    return (Title(text), mark * len(text))
