"""The tally on the disk: a process killed while it writes loses no count and leaves no unreadable file."""

from __future__ import annotations

import importlib.util
import json
import os
import random
import signal
import subprocess
import sys
import textwrap
import time
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[2] / "python" / "slopewright" / "tally_file.py"

# Loaded by its path: it needs neither the native module nor an installed package.
_spec = importlib.util.spec_from_file_location("tally_file", SOURCE)
assert _spec is not None
assert _spec.loader is not None
tally_file = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(tally_file)

KILLS = 200
SEED = 20_240_502

WRITER = """
    import importlib.util, json, os, sys
    spec = importlib.util.spec_from_file_location("tally_file", sys.argv[1])
    tally_file = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(tally_file)
    path, name = sys.argv[2], sys.argv[3]
    number = 0
    while True:
        number += 1
        entry = {"id": f"{name}-{number}", "who": "x" * (number * 37 % 400), "count": number}
        tally_file.add_line(path, json.dumps(entry))
        # Told only after the line is safe.
        os.write(1, f"{entry['id']}\\n".encode())
        if number % 7 == 0:
            tally_file.update_text(path, lambda text: "".join(sorted(text.splitlines(keepends=True))))
"""


def line(number: int) -> str:
    return json.dumps({"id": f"ä{number}", "count": number}, ensure_ascii=False)


def ids(text: str) -> list[str]:
    return [json.loads(row)["id"] for row in text.splitlines() if row.strip()]


def test_killed_writers_lose_nothing(tmp_path: Path) -> None:
    choose = random.Random(SEED)
    path = tmp_path / "tally.jsonl"
    promised: set[str] = set()
    killed = writing = 0
    while killed < KILLS:
        names = [f"k{killed}", f"k{killed + 1}"]
        writers = [
            subprocess.Popen(
                [sys.executable, "-I", "-S", "-c", textwrap.dedent(WRITER), str(SOURCE), str(path), name],
                stdout=subprocess.PIPE,
            )
            for name in names
        ]
        for writer in writers:
            assert writer.stdout is not None
            # Wait until it writes, then kill it in the middle of whatever it does next.
            first = writer.stdout.readline()
            assert first
            promised.add(first.decode().strip())
        time.sleep(choose.uniform(0.0, 0.02))
        for writer in writers:
            writing += writer.poll() is None
            writer.send_signal(signal.SIGKILL)
        for writer in writers:
            rest, _ = writer.communicate()
            promised.update(rest.decode().split())
        killed += len(writers)
        found = ids(tally_file.read_text(path))
        assert len(found) == len(set(found))
        assert promised <= set(found), sorted(promised - set(found))
        # At most the line that each writer was at when it died was not promised yet.
        assert len(set(found) - promised) <= killed
    assert killed == writing == KILLS
    assert len(promised) >= KILLS
    # What the dead left beside the tally is cleared away by the next who rewrites it.
    tally_file.update_text(path, lambda text: text)
    assert sorted(entry.name for entry in tmp_path.iterdir()) == [".tally.jsonl.lock", "tally.jsonl"]


def test_a_tail_torn_anywhere_hides_no_other_line(tmp_path: Path) -> None:
    whole = "".join(line(number) + "\n" for number in range(1, 4)).encode()
    for cut in range(len(whole) + 1):
        path = tmp_path / "tally.jsonl"
        path.write_bytes(whole[:cut])
        tally_file.add_line(path, line(9))
        rows = tally_file.read_text(path).splitlines()
        assert rows[-1] == line(9)
        before = whole[:cut].count(b"\n")
        assert rows[:before] == [line(number) for number in range(1, before + 1)]
        # The torn line is still there to be reported.
        assert path.read_bytes().startswith(whole[:cut])


def test_a_line_is_one_line(tmp_path: Path) -> None:
    path = tmp_path / "tally.jsonl"
    for wrong in ["", "  \n", "a\nb", "a\u2028b", "a\rb"]:
        with pytest.raises(ValueError, match="line"):
            tally_file.add_line(path, wrong)
    assert tally_file.read_text(path) == ""
    tally_file.add_line(path, line(1) + "\n")
    assert path.read_text(encoding="utf-8") == line(1) + "\n"


@pytest.mark.skipif(os.name != "posix", reason="limits a file's size the POSIX way")
def test_a_full_disk_leaves_the_file_as_it_was(tmp_path: Path) -> None:
    import resource  # noqa: PLC0415 (not on every system)

    path = tmp_path / "tally.jsonl"
    tally_file.add_line(path, line(1))
    before = path.read_bytes()
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    old = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    try:
        resource.setrlimit(resource.RLIMIT_FSIZE, (len(before) + 10, hard))
        with pytest.raises(OSError, match=r"could be written|large"):
            tally_file.add_line(path, line(2))
        with pytest.raises(OSError, match="large"):
            tally_file.replace_text(path, "x" * 4096)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
        signal.signal(signal.SIGXFSZ, old)
    assert path.read_bytes() == before
    assert sorted(entry.name for entry in tmp_path.iterdir()) == [".tally.jsonl.lock", "tally.jsonl"]


def test_putting_two_together(tmp_path: Path) -> None:
    path = tmp_path / "tally.jsonl"
    assert tally_file.update_text(path, lambda text: text + line(1) + "\n") == line(1) + "\n"
    tally_file.replace_text(path, line(2) + "\n")
    assert ids(tally_file.read_text(path)) == ["ä2"]
