"""The workbook of an order, reckoned again by LibreOffice: the same cents as the library, also after a change.

A spreadsheet is an independent calculator here: it knows the formulas and the inputs, and nothing of the library.
"""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from decimal import Decimal
from pathlib import Path

import pytest

import slopewright as sw

openpyxl = pytest.importorskip("openpyxl")
SOFFICE = shutil.which("soffice")
pytestmark = pytest.mark.skipif(SOFFICE is None, reason="LibreOffice is not on this machine")

EXAMPLES = Path(__file__).resolve().parents[2] / "docs" / "examples"
# It reckons a workbook of another maker anew only if it is told to.
ALWAYS_RECKON = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse">
<value>0</value></prop></item></oor:items>"""


def reckoned(data: bytes, folder: Path):
    """The workbook after LibreOffice has opened, reckoned and saved it."""
    profile = folder / "profile" / "user"
    profile.mkdir(parents=True, exist_ok=True)
    (profile / "registrymodifications.xcu").write_text(ALWAYS_RECKON, "utf-8")
    source, out = folder / "order.xlsx", folder / "out"
    source.write_bytes(data)
    subprocess.run(
        [
            str(SOFFICE),
            "--headless",
            f"-env:UserInstallation={(folder / 'profile').as_uri()}",
            *("--convert-to", "xlsx", "--outdir", str(out), str(source)),
        ],
        check=True,
        capture_output=True,
        timeout=120,
    )
    return openpyxl.load_workbook(out / "order.xlsx", data_only=True)


def job(terms: dict[str, str] | None = None) -> tuple[sw.OrderDocument, sw.Salvaged]:
    take_off = sw.read_survey(EXAMPLES / "reading-room.toml").take_off()
    salvaged = sw.read_salvage(EXAMPLES / "reading-room-salvage.toml").reckon(take_off)
    text = (EXAMPLES / "reading-room-order.toml").read_text("utf-8")
    for old, new in (terms or {}).items():
        assert text.count(old) == 1
        text = text.replace(old, new)
    prices = (EXAMPLES / "reading-room-prices.csv").read_text("utf-8")
    return sw.OrderDocument.from_toml(text).with_csv(prices), salvaged


def cells(book) -> dict[str, object]:
    return {
        f"{sheet.title}!{cell.coordinate}": cell.value
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if cell.value is not None
    }


def heading(sheet) -> dict[str, int]:
    return {re.sub(r" \(.*", "", cell.value): cell.column for cell in sheet[5] if cell.value}


def cents(value: object) -> Decimal:
    return Decimal(repr(float(str(value)))).quantize(Decimal("0.01"))


def totals(book) -> tuple[Decimal, Decimal, Decimal]:
    sheet = book["Order"]
    at = heading(sheet)
    (row,) = [cell.row for cell in sheet["A"] if cell.value == "everything"]
    return tuple(cents(sheet.cell(row, at[name]).value) for name in ("net", "tax", "with tax"))


@pytest.mark.parametrize(
    "terms",
    [
        {},
        {'rounding = "half-up"': 'rounding = "half-even"'},
        {'rounding = "half-up"': 'rounding = "half-down"'},
        {'rounding = "half-up"': 'rounding = "up"'},
        {'"per-line"': '"per-total"'},
        {'rounding = "half-up"': 'rounding = "down"\ndiscount = "3.5 %"', '"per-line"': '"per-total"'},
    ],
)
def test_every_formula_reckons_to_the_library_figure(terms, tmp_path):
    prices, salvaged = job(terms)
    data = prices.workbook(salvaged)
    cached = cells(openpyxl.load_workbook(io.BytesIO(data), data_only=True))
    formulas = cells(openpyxl.load_workbook(io.BytesIO(data)))
    book = reckoned(data, tmp_path)
    again = cells(book)
    compared = 0
    for place, formula in formulas.items():
        if not (isinstance(formula, str) and formula.startswith("=")):
            continue
        assert cents(again[place]) == cents(cached[place]), (place, formula)
        compared += 1
    assert compared > 200
    assert not [place for place, value in again.items() if isinstance(value, str) and value.startswith("#")]
    made = prices.order_for(salvaged)
    assert totals(book) == (made.net, made.tax, made.gross)


def test_a_changed_allowance_changes_the_totals_as_the_library_does(tmp_path):
    prices, salvaged = job()
    book = openpyxl.load_workbook(io.BytesIO(prices.workbook(salvaged)))
    sheet = book["Order"]
    at = heading(sheet)
    (row,) = [cell.row for cell in sheet["A"] if cell.value == "aluminium-nail-38x3.35"]
    before = sheet.cell(row, at["allowance"]).value
    sheet.cell(row, at["allowance"]).value = 0.4
    changed = io.BytesIO()
    book.save(changed)
    assert before == pytest.approx(0.05)
    text = 'item = "aluminium-nail-38x3.35"\nspare = { by = "allowance", part = "5 %" }'
    other, salvaged = job({text: text.replace("5 %", "40 %")})
    made = other.order_for(salvaged)
    assert made.net != prices.order_for(salvaged).net
    assert totals(reckoned(changed.getvalue(), tmp_path)) == (made.net, made.tax, made.gross)
