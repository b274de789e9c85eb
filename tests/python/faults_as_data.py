"""The rows of tests/faults: a text with a mistake, what it is given to, and the fault that must come."""

from __future__ import annotations

import io
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

tomllib = pytest.importorskip("tomllib", reason="Python has its own reader of TOML from 3.11 on")

FOLDER = Path(__file__).resolve().parents[1] / "faults"


@dataclass(frozen=True)
class Row:
    """One fault that is wanted."""

    file: str
    number: int
    entry: str
    text: str
    kind: str
    place: str
    says: str
    given: str
    allowed: str
    advice: str
    of: int

    def __str__(self) -> str:
        return f"{self.file}-{self.number}-{self.kind}"


def _text(row: dict[str, Any], bases: dict[str, Any]) -> str:
    tail = row.get("repeat", "") * row.get("times", 0)
    if "base" not in row:
        return str(row["text"]) + tail
    sound = str(bases[row["base"]]["text"])
    change = str(row.get("with", "")) + tail
    if "replace" not in row:
        return f"{sound}{change}\n"
    assert sound.count(row["replace"]) == 1, row
    return sound.replace(row["replace"], change)


def _files() -> list[tuple[str, dict[str, Any]]]:
    return [(path.stem, tomllib.loads(path.read_text("utf-8"))) for path in sorted(FOLDER.glob("*.toml"))]


def rows() -> list[Row]:
    """Every row of every file."""
    found = []
    for name, file in _files():
        bases = file.get("base", {})
        for number, row in enumerate(file.get("fault", []), 1):
            entry = row.get("entry") or bases[row["base"]]["entry"]
            parts = {part: row.get(part, "") for part in ("place", "says", "given", "allowed", "advice")}
            found.append(
                Row(name, number, entry, _text(row, bases), row["kind"], of=row.get("of", 1), **parts)
            )
    return found


def sound_surveys() -> dict[str, str]:
    """The surveys without a mistake, in TOML, that the rows are made from."""
    return {
        name: str(base["text"])
        for _, file in _files()
        for name, base in file.get("base", {}).items()
        if base["entry"] == "survey"
    }


def many() -> list[dict[str, Any]]:
    """The surveys with many faults at once."""
    return [many for _, file in _files() for many in file.get("many", []) if many["entry"] == "survey"]


def workbook_of(text: str) -> bytes:
    """The sheets of a text as a workbook: ``== Name``, then rows of cells with ``|`` between; ``!`` before an error."""
    openpyxl = pytest.importorskip("openpyxl")
    book = openpyxl.Workbook()
    book.remove(book.active)
    for line in filter(str.strip, text.splitlines()):
        if line.startswith("== "):
            sheet, row = book.create_sheet(line[3:]), 0
            continue
        # Counted here: the sheet would look through all its cells for its last row.
        row += 1
        for column, cell in enumerate(map(str.strip, line.split("|")), 1):
            try:
                value: float | str = float(cell)
            except ValueError:
                value = cell.removeprefix("!")
            sheet.cell(row, column, value).data_type = (
                "e" if cell.startswith("!") else ("s" if isinstance(value, str) else "n")
            )
    whole = io.BytesIO()
    book.save(whole)
    return whole.getvalue()
