"""Writing the files of a command: every one of them whole, or none."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path

__all__ = ["write_all"]


def write_all(files: Mapping[Path, str | bytes]) -> None:
    """Write every file whole, or none of them."""
    written: list[tuple[str, Path]] = []
    try:
        for path, content in files.items():
            path.parent.mkdir(parents=True, exist_ok=True)
            handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}-")
            written.append((temporary, path))
            with os.fdopen(handle, "wb") as file:
                file.write(content.encode() if isinstance(content, str) else content)
                file.flush()
                os.fsync(file.fileno())
        for temporary, path in written:
            _open_to_others(temporary)
            os.replace(temporary, path)
    finally:
        for temporary, _ in written:
            Path(temporary).unlink(missing_ok=True)


def _open_to_others(path: str) -> None:
    """Give a temporary file the rights that a new file would have."""
    mask = os.umask(0)
    os.umask(mask)
    Path(path).chmod(0o666 & ~mask)
