"""What the command prints on a terminal and elsewhere: colours, and how far long work has come.

Independent: a terminal of the system's own (`pty`), with the command as a process of its own.
"""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest

import slopewright as sw
import typed_use
from slopewright import command_city
from slopewright.command import main
from slopewright.terminal import Bad, Progress, Title, say

pty = pytest.importorskip("pty", reason="this system has no terminals of that kind")

SURVEY = Path(__file__).parents[2] / "docs" / "examples" / "reading-room.toml"
BOLD, RED, YELLOW = "\x1b[1m", "\x1b[31m", "\x1b[33m"


def on_a_terminal(*arguments: str, **settings: str) -> str:
    """What the command writes to a terminal, on both of its outputs."""
    ours, theirs = pty.openpty()
    quiet = {name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "TERM")}
    package = str(Path(sw.__file__).resolve().parents[1])
    environment = {**quiet, "TERM": "xterm", "PYTHONPATH": package, **settings}
    process = subprocess.Popen(
        [sys.executable, "-m", "slopewright", *arguments], stdout=theirs, stderr=theirs, env=environment
    )
    os.close(theirs)
    written = b""
    while True:
        try:
            part = os.read(ours, 65_536)
        except OSError:
            # The other end is closed.
            break
        if not part:
            break
        written += part
    os.close(ours)
    process.wait(timeout=60)
    return written.decode()


def piped(*arguments: str) -> str:
    """What the command writes to a pipe."""
    package = str(Path(sw.__file__).resolve().parents[1])
    command = [sys.executable, "-m", "slopewright", *arguments]
    done = subprocess.run(
        command, capture_output=True, text=True, check=True, env={**os.environ, "PYTHONPATH": package}
    )
    return done.stdout + done.stderr


def test_colours_are_for_terminals_alone():
    seen = on_a_terminal("order", str(SURVEY))
    assert seen.startswith(f"{RED}Have we enough? No:")
    assert f"{BOLD}Who gets the old units\x1b[0m" in seen
    assert YELLOW in seen
    plain = piped("order", str(SURVEY))
    assert "\x1b" not in plain
    # The same text, but for the colours and the terminal's own ends of lines.
    for code in (BOLD, RED, YELLOW, "\x1b[32m", "\x1b[0m"):
        seen = seen.replace(code, "")
    assert seen.replace("\r\n", "\n") == plain


@pytest.mark.parametrize("settings", [{"NO_COLOR": "1"}, {"TERM": "dumb"}], ids=str)
def test_colours_can_be_refused(settings):
    assert "\x1b" not in on_a_terminal("order", str(SURVEY), **settings)


def test_an_empty_no_color_refuses_nothing():
    """As the convention has it: only a value that is not empty counts (no-color.org, from memory)."""
    assert RED in on_a_terminal("order", str(SURVEY), NO_COLOR="")


def test_a_fault_is_red_and_goes_to_the_other_output(tmp_path):
    path = tmp_path / "wrong.toml"
    path.write_text("slopewright = 1\n", encoding="utf-8")
    assert on_a_terminal("check", str(path)).startswith(RED)


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_a_bar_shows_how_far_it_is_and_goes_away(monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setattr(sys, "stderr", terminal := Terminal())
    monkeypatch.setattr(Progress, "_PAUSE", 0.0)
    with Progress("slopes taken off", 40_000) as progress:
        progress.show(10_000)
        progress.show(40_000)
    *steps, last = terminal.getvalue().split("\r\x1b[K")[1:]
    assert [step.count("#") for step in steps] == [0, 10, 40]
    assert steps[1].endswith("10,000 of 40,000")
    assert all(len(step) < 80 for step in steps)
    assert last == ""


@pytest.mark.parametrize("columns", [1, 20, 45])
def test_a_narrow_terminal_has_figures_alone(monkeypatch, columns):
    monkeypatch.setenv("COLUMNS", str(columns))
    monkeypatch.setattr(sys, "stderr", terminal := Terminal())
    with Progress("slopes taken off", 40_000):
        pass
    assert "#" not in terminal.getvalue()
    assert "0 of 40,000" in terminal.getvalue()


def test_without_a_terminal_there_is_no_bar(monkeypatch):
    monkeypatch.setattr(sys, "stderr", pipe := io.StringIO())
    with Progress("slopes taken off", 10) as progress:
        progress.show(10)
    assert pipe.getvalue() == ""


def test_slopes_taken_off_some_at_a_time_give_the_same_report(tmp_path, monkeypatch, capsys):
    """Some rows at a time or all at once: the same report and the same files."""
    model = tmp_path / "model.city.json"
    # Three roofs out of one: the same surface in three objects.
    roof = typed_use.MODEL.split('"CityObjects": {')[1].removesuffix("}}")
    roofs = [
        roof.replace('"shed"', f'"shed {number}"') + ("" if roof.endswith("}") else "}")
        for number in (1, 2, 3)
    ]
    head = typed_use.MODEL.split('"CityObjects": {')[0]
    model.write_text(f'{head}"CityObjects": {{{", ".join(roofs)}}}}}', encoding="utf-8")
    said, files = [], []
    for at_once in (16_384, 1):
        monkeypatch.setattr(command_city, "SLOPES_AT_ONCE", at_once)
        folder = tmp_path / str(at_once)
        assert main(["city", str(model), "--covering", "plain-tile-265x165", "--csv", str(folder)]) == 0
        said.append(capsys.readouterr().out.replace(str(folder), ""))
        files.append({path.name: path.read_bytes() for path in folder.iterdir()})
    assert said[0] == said[1]
    assert "3 slopes taken off, 0 with faults" in said[0]
    assert files[0] == files[1]


def test_say_takes_out_what_is_not_seen():
    terminal = Terminal()
    say(Title("a\x1b[2Jb\u202ec"), Bad("d\x07"), "e\x9bf", to=terminal)
    # The sequence has lost its first character and is text.
    assert terminal.getvalue() == f"{BOLD}a[2Jbc\x1b[0m\n{RED}d\x1b[0m\nef\n"
