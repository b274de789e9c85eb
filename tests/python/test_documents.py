"""Every block of code in README, DEVELOPERS.md and the book runs, and every link leads somewhere.

Rust blocks are compiled and run by rustdoc (`cargo test --doc`); here it is only asked that rustdoc is given all of
them. Links to other sites are looked at for their form alone: no test of this repository needs the network.
"""

from __future__ import annotations

import contextlib
import doctest
import io
import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path
from urllib.parse import urlsplit

import polars as pl
import pytest

import slopewright as sw
import typed_use
from documents import (
    NOTEBOOKS,
    ROOT,
    TEXTS,
    Block,
    anchors_of,
    as_pattern,
    blocks,
    blocks_of,
    links_of,
    named,
)
from slopewright import building, estates, ordering, salvage

#: What is not run, and why.
NOT_RUN = {
    "cargo demo": "run by .ci/run, and by tests of what it writes; a build within a test takes minutes",
    "cargo verify": "this test is a part of it",
}
#: What stands before and behind a part of a survey.
HEAD = 'slopewright = 1\ncovering.format = "plain-tile-265x165"\n'
FORM = '\n[[form]]\nform = "gable"\nlength = "8 m"\nspan = "5 m"\npitch = "40 deg"\n'
LANGUAGES = {"console", "python", "rust", "text", "toml"}


def with_blocks(language: str):
    paths = sorted({block.path for block in blocks(language)})
    return pytest.mark.parametrize("path", paths, ids=named)


@pytest.fixture
def folder(tmp_path, monkeypatch) -> Path:
    """An empty folder with the files that the texts speak of, and `slopewright` on the path."""
    shutil.copytree(ROOT / "docs" / "examples", tmp_path / "docs" / "examples")
    shutil.copy(ROOT / "docs" / "examples" / "reading-room.toml", tmp_path / "my-roof.toml")
    (tmp_path / "model.city.json").write_text(typed_use.MODEL, encoding="utf-8")
    slopes = pl.DataFrame(
        {"corners_m": [[[0.0, 0.0], [5.0, 0.0], [5.0, 3.0], [0.0, 3.0]]], "pitch_deg": [40.0]}
    )
    slopes.write_parquet(tmp_path / "slopes.parquet")
    programs = tmp_path / "programs"
    programs.mkdir()
    command = programs / "slopewright"
    package = Path(sw.__file__).resolve().parents[1]
    command.write_text(f'#!/bin/sh\nPYTHONPATH="{package}" exec "{sys.executable}" -m slopewright "$@"\n')
    command.chmod(0o755)
    monkeypatch.setenv("PATH", f"{programs}{os.pathsep}{os.environ['PATH']}")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_every_block_says_what_it_is():
    found = {block.language for path in TEXTS for block in blocks_of(path)}
    assert found <= LANGUAGES
    assert len([block for path in TEXTS for block in blocks_of(path)]) >= 30


@pytest.mark.usefixtures("folder")
@with_blocks("python")
def test_python_blocks_run(path):
    """The blocks of one text share their names, as for a reader who types them one after the other."""
    names: dict[str, object] = {"__name__": "__main__"}
    for block in blocks_of(path):
        if block.language != "python":
            continue
        printed = io.StringIO()
        # So many empty lines that an error names the line of the text.
        code = compile("\n" * (block.line - 1) + block.text, str(path), "exec")
        with contextlib.redirect_stdout(printed):
            exec(code, names)
        if block.output is not None:
            assert as_pattern(block.output).fullmatch(printed.getvalue()), (block.place, printed.getvalue())


def commands(block: Block) -> list[tuple[str, str]]:
    """The commands of a block, each with what is shown under it."""
    text = block.text.replace("\\\n", " ")
    found = re.findall(r"^\$ (.*)\n((?:(?!\$ ).*\n)*)", text, flags=re.MULTILINE)
    assert "".join(f"$ {command}\n{shown}" for command, shown in found) == text, (
        f"{block.place}: not a command"
    )
    return [(re.sub(r"\s+# .*", "", command), shown) for command, shown in found]


@with_blocks("console")
def test_commands_run(path, folder):
    for block in blocks_of(path):
        if block.language == "toml" and (name := re.match(r"# file: (.+)\n", block.text)):
            (folder / name[1]).write_text(block.text, encoding="utf-8")
        if block.language != "console":
            continue
        for command, shown in commands(block):
            if command in NOT_RUN:
                continue
            assert command.startswith("slopewright "), f"{block.place}: {command} is no command of ours"
            done = subprocess.run(
                command,
                shell=True,
                capture_output=True,
                text=True,
                encoding="utf-8",
                timeout=120,
                check=False,
            )
            assert done.returncode == 0, (block.place, command, done.stderr)
            if shown:
                assert as_pattern(shown).fullmatch(done.stdout), (block.place, command, done.stdout)


def test_nothing_is_left_out_that_is_not_there():
    used = {command for block in blocks("console") for command, _ in commands(block)}
    assert set(NOT_RUN) <= used


@pytest.mark.parametrize("block", blocks("toml"), ids=lambda block: block.place)
def test_toml_blocks_are_read(block):
    if "[dependencies]" in block.text:
        paths = re.findall(r'path = "([^"]+)"', block.text)
        assert paths
        assert all((ROOT / path / "Cargo.toml").is_file() for path in paths)
    elif "[[heaps]]" in block.text:
        sw.SalvageDocument.from_toml(block.text)
    elif "currency" in block.text:
        sw.OrderDocument.from_toml(block.text)
    elif "slopewright = 1" in block.text:
        sw.Survey.from_toml(block.text).check()
    else:
        # A part of a survey, between what every survey has.
        sw.Survey.from_toml(HEAD + block.text + FORM).check()


def test_rustdoc_is_given_every_text_with_rust_in_it():
    crate = (ROOT / "crates" / "slopewright" / "src" / "lib.rs").read_text(encoding="utf-8")
    given = set(re.findall(r'include_str!\("\.\./\.\./\.\./([^"]+)"\)', crate))
    assert given == {named(block.path) for block in blocks("rust")}


@pytest.mark.parametrize("path", [*TEXTS, *NOTEBOOKS], ids=named)
def test_links_lead_somewhere(path):
    for link in links_of(path):
        if "://" in link:
            parts = urlsplit(link)
            assert parts.scheme == "https", link
            assert re.fullmatch(r"[a-z0-9-]+(\.[a-z0-9-]+)+", parts.netloc), link
            continue
        place, _, anchor = link.partition("#")
        target = (path.parent / place).resolve() if place else path
        if target.parent == ROOT / "docs" / "figures":
            assert target.name in figures(), f"{link}: no figure of docs/book/figures.py"
            continue
        assert target.exists(), f"{link} is not there"
        if target.name == "reference.md" and anchor:
            assert anchor.removeprefix("slopewright.").split(".")[0] in sw.__all__, link
        elif anchor:
            assert anchor in anchors_of(target), f"{link}: no such heading"


def figures() -> set[str]:
    """What the book draws for itself."""
    text = (ROOT / "docs" / "book" / "figures.py").read_text(encoding="utf-8")
    return set(re.findall(r'^    "([\w-]+\.svg)": ', text, flags=re.MULTILINE))


def test_every_figure_is_shown():
    shown = {Path(link).name for path in TEXTS for link in links_of(path) if link.startswith("figures/")}
    assert shown == figures()


def test_the_picture_of_the_readme_is_what_the_library_draws():
    """If it fails: `cargo demo -- --readme-picture`."""
    (picture,) = [link for link in links_of(ROOT / "README.md") if link.endswith(".svg")]
    take_off = sw.read_survey(ROOT / "docs" / "examples" / "reading-room.toml").take_off()
    assert (ROOT / picture).read_text(encoding="utf-8") == take_off.drawing("main roof front").svg


@pytest.mark.parametrize("path", NOTEBOOKS, ids=named)
def test_notebooks_are_kept_without_what_they_print(path):
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    code = [cell for cell in cells if cell["cell_type"] == "code"]
    assert len(code) >= 5
    assert not any(cell["outputs"] or cell["execution_count"] is not None for cell in code)
    assert len({cell["id"] for cell in cells}) == len(cells)


def test_the_examples_of_the_docstrings_run():
    tried = 0
    for module in (sw, building, estates, ordering, salvage):
        found = doctest.testmod(module, optionflags=doctest.ELLIPSIS)
        assert found.failed == 0, module.__name__
        tried += found.attempted
    assert tried >= 15
