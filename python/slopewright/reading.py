"""Surveys from files."""

from __future__ import annotations

from pathlib import Path

from slopewright._native import Survey


def read_survey(path: str | Path) -> Survey:
    """Read a survey from a file: a workbook or JSON if it is called so, else TOML.

    Raises:
        OSError: The file cannot be read.
        SurveyError: The text is not TOML, or not JSON; of a workbook, every fault with its sheet and cell.

    """
    path = Path(path)
    if path.suffix.lower() == ".xlsx":
        return Survey.from_workbook(path.read_bytes())
    text = path.read_text(encoding="utf-8")
    return Survey.from_json(text) if path.suffix.lower() == ".json" else Survey.from_toml(text)
