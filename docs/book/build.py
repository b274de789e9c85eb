"""Build the book: `python docs/book/build.py`.

It needs mkdocs-material, mkdocstrings-python, nbmake and matplotlib, the package slopewright on the path, and the table
that the published figures leave behind (`cargo test --package slopewright --test published`).
The site is `target/book/site`.

The sources are laid out as the repository is, so that every link of a text holds in both; what is made here (figures,
the table of figures, the notebooks with their outputs) is put beside them, and nothing of it is kept in the repository.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import figures
import notebooks
import validation

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "target" / "book" / "source"
SITE = ROOT / "target" / "book" / "site"
TOP = ("README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE")


def main() -> int:
    """Put the sources together and build the site; return mkdocs' exit code."""
    shutil.rmtree(SOURCE, ignore_errors=True)
    SOURCE.mkdir(parents=True)
    for name in TOP:
        shutil.copy(ROOT / name, SOURCE / name)
    shutil.copytree(
        ROOT / "docs", SOURCE / "docs", ignore=shutil.ignore_patterns("*.py[co]", "__pycache__", "mkdocs.yml")
    )
    figures.write(SOURCE / "docs" / "figures")
    validation.write(ROOT / "target" / "validation.tsv", SOURCE / "docs" / "validation.md")
    notebooks.write(SOURCE / "docs" / "notebooks")
    for path in SOURCE.rglob("*.md"):
        text = path.read_text(encoding="utf-8")
        # In the book a notebook is a page, with what comes out of it.
        path.write_text(re.sub(r"\]\(([\w./-]+)\.ipynb\)", r"](\1.md)", text), encoding="utf-8")
    command = [sys.executable, "-m", "mkdocs", "build", "--strict", "--quiet", "--config-file"]
    # The theme's notice about other programs is no word about this book.
    settings = {**os.environ, "NO_MKDOCS_2_WARNING": "1"}
    built = subprocess.run([*command, str(Path(__file__).with_name("mkdocs.yml"))], check=False, env=settings)
    return built.returncode


if __name__ == "__main__":
    sys.exit(main())
