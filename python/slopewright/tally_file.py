"""Keeping a tally in a file, so that a count once written is never lost.

The core knows the lines of a tally but touches no file. Here a line is added with one write to the end of
the file, and the call returns only after the disk has it. A tally is rewritten (when two are put together)
through a second file that takes the first one's place in a single step. A lock file beside the tally keeps
two writers apart.

What may be left after a power cut is a last line without its end: the next line added starts on a line of its
own, and reading reports the torn one.
"""

from __future__ import annotations

import contextlib
import glob
import os
import sys
import tempfile
from collections.abc import Callable, Generator
from pathlib import Path

if sys.platform == "win32":
    import msvcrt

    def _wait_for(lock: int) -> None:
        msvcrt.locking(lock, msvcrt.LK_LOCK, 1)
else:
    import fcntl

    def _wait_for(lock: int) -> None:
        fcntl.flock(lock, fcntl.LOCK_EX)


__all__ = ["add_line", "read_text", "replace_text", "update_text"]

_BINARY = getattr(os, "O_BINARY", 0)


def read_text(path: str | os.PathLike[str]) -> str:
    """Return the text of a tally; empty if there is no file yet.

    Bytes that are no text are shown as U+FFFD, so that one damaged line does not hide the others.
    """
    try:
        return Path(path).read_bytes().decode("utf-8", errors="replace")
    except FileNotFoundError:
        return ""


def add_line(path: str | os.PathLike[str], line: str) -> None:
    """Add one line to a tally, and return when it is on the disk.

    Raises ValueError if the line is empty or is more than one line, and OSError if it could not be written;
    then the file is as it was.
    """
    line = line.rstrip("\r\n")
    if not line.strip():
        raise ValueError("a line of a tally cannot be empty")
    if len(line.splitlines()) != 1:
        raise ValueError("a line of a tally cannot hold a line break")
    path = Path(path)
    with _locked(path):
        is_new = not path.exists()
        file = os.open(path, os.O_RDWR | os.O_CREAT | os.O_APPEND | _BINARY, 0o644)
        try:
            size = os.lseek(file, 0, os.SEEK_END)
            start = b""
            if size > 0:
                os.lseek(file, size - 1, os.SEEK_SET)
                start = b"" if os.read(file, 1) == b"\n" else b"\n"
            data = start + line.encode("utf-8") + b"\n"
            try:
                written = os.write(file, data)
                if written != len(data):
                    raise OSError(f"only {written} of {len(data)} bytes of the line could be written: {path}")
                os.fsync(file)
            except OSError:
                os.ftruncate(file, size)
                raise
        finally:
            os.close(file)
        if is_new:
            _sync_folder(path.parent)


def replace_text(path: str | os.PathLike[str], text: str) -> None:
    """Put a text in the place of a tally: whoever reads it meanwhile sees the old or the new, whole."""
    path = Path(path)
    with _locked(path):
        _replace(path, text)


def update_text(path: str | os.PathLike[str], change: Callable[[str], str]) -> str:
    """Read a tally, change it and write it back, with nobody else writing in between; return the new text."""
    path = Path(path)
    with _locked(path):
        text = change(read_text(path))
        _replace(path, text)
    return text


def _replace(path: Path, text: str) -> None:
    # The lock is ours, so a second file that is there was left by a process that died.
    for stale in path.parent.glob(f".{glob.escape(path.name)}.*.new"):
        stale.unlink(missing_ok=True)
    file, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".new")
    try:
        with os.fdopen(file, "wb") as new:
            new.write(text.encode("utf-8"))
            new.flush()
            os.fsync(new.fileno())
        os.chmod(name, path.stat().st_mode & 0o777 if path.exists() else 0o644)
        os.replace(name, path)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise
    _sync_folder(path.parent)


@contextlib.contextmanager
def _locked(path: Path) -> Generator[None, None, None]:
    """Wait for the lock beside the tally. The system gives it back if the process dies."""
    file = os.open(path.with_name(f".{path.name}.lock"), os.O_RDWR | os.O_CREAT | _BINARY, 0o644)
    try:
        _wait_for(file)
        yield
    finally:
        os.close(file)


def _sync_folder(folder: Path) -> None:
    """Make a new name in a folder last, where the system can."""
    if os.name != "posix":
        return
    file = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(file)
    finally:
        os.close(file)
