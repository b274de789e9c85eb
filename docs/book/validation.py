"""The table of published figures, as the test run left it, as a page."""

from __future__ import annotations

import csv
import html
from itertools import groupby
from pathlib import Path

HEADS = ("printed", "ours", "difference", "")
STANDINGS = {
    "Seen": "read in the text named",
    "SecondHand": "as somebody else relays it",
    "Calculated": "worked out without this library, printed nowhere",
    "Memory": "recalled: shown, but nothing rests on it",
}


def write(table: Path, page: Path) -> None:
    """Put the figures behind the text of a page."""
    if not table.exists():
        raise SystemExit(f"{table} is not there: run cargo test --package slopewright --test published first")
    # No field is quoted: the run writes it for people too.
    rows = list(
        csv.DictReader(table.read_text(encoding="utf-8").splitlines(), delimiter="\t", quoting=csv.QUOTE_NONE)
    )
    page.write_text(page.read_text(encoding="utf-8") + "\n".join(_page(rows)), encoding="utf-8")


def _page(rows: list[dict[str, str]]) -> list[str]:
    published = [row for row in rows if row["standing"] in ("Seen", "SecondHand")]
    misprints = sum(row["misprint"] == "yes" for row in published)
    good = sum(row["misprint"] != "yes" and row["printed"] != "none" for row in published)
    sources = len({row["source"] for row in rows})
    lines = [
        "",
        f"{good} printed values agree, {misprints} are misprints; {len(rows)} rows from {sources} sources.",
        "",
    ]
    rows = sorted(rows, key=lambda row: (list(STANDINGS).index(row["standing"]), row["source"]))
    for (standing, source), of_source in groupby(rows, key=lambda row: (row["standing"], row["source"])):
        lines += ["", f"## {_text(source)}", "", f"Standing: {STANDINGS[standing]}.", ""]
        for (check, note), of_check in groupby(of_source, key=lambda row: (row["check"], row["note"])):
            lines += ["", f"**{_text(check)}**" + (f" {_text(note)}" if note else ""), ""]
            lines += _table(list(of_check))
    return [*lines, ""]


def _table(rows: list[dict[str, str]]) -> list[str]:
    lines = ["| given | printed | ours | difference | |", "|---|--:|--:|--:|---|"]
    for row in rows:
        figures = (_figure(row["printed"]), _figure(row["ours"]), _figure(row["difference"]))
        mark = "**misprint**" if row["misprint"] == "yes" else ""
        lines.append(f"| {_text(row['inputs'])} | {' | '.join(figures)} | {mark} |")
    return [*lines, ""]


def _figure(text: str) -> str:
    short = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if short == "-0" else short


def _text(text: str) -> str:
    return html.escape(text, quote=False).replace("|", "&#124;").replace("_", "&#95;").replace("*", "&#42;")
