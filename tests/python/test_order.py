"""Orders from Python: money against decimal, risk against scipy, tables for others."""

from __future__ import annotations

import io
import json
import math
import random
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from pathlib import Path

import pytest
import scipy.stats

import slopewright as sw

WHOLE = "plain-tile-265x165 whole"
EXAMPLES = Path(__file__).parents[2] / "docs" / "examples"
ROUNDING = {"half-up": ROUND_HALF_UP, "half-even": ROUND_HALF_EVEN}


@pytest.mark.parametrize("rounding", ROUNDING)
def test_lines_and_totals_against_decimal(rounding: str) -> None:
    choose = random.Random(3)
    for _ in range(50):
        prices = sw.Prices(currency="EUR", rounding=rounding, rounding_place="per-line")
        wanted, rows = {}, []
        for number in range(choose.randint(1, 6)):
            row = {
                "price": Decimal(choose.randint(1, 99_999)) / 100,
                "per": choose.choice([1, 10, 100, 1000]),
                "pack": choose.randint(1, 50),
                "tax": choose.choice([0, 7, 20]),
            }
            wanted[f"item {number}"] = choose.randint(1, 5000)
            rows.append((f"item {number}", row))
            prices.item(
                f"item {number}", price=row["price"], per=row["per"], pack=row["pack"], tax_percent=row["tax"]
            )
        made = sw.order(wanted, prices)
        # Independent: the same with Python's own decimals.
        cent, net, tax = Decimal("0.01"), Decimal(0), Decimal(0)
        for (item, row), line in zip(rows, made.lines, strict=True):
            ordered = -(-wanted[item] // row["pack"]) * row["pack"]
            assert line.ordered == ordered
            amount = (Decimal(ordered) * row["price"] / row["per"]).quantize(cent, ROUNDING[rounding])
            on_top = (amount * row["tax"] / 100).quantize(cent, ROUNDING[rounding])
            assert (line.net, line.tax) == (amount, on_top)
            net, tax = net + amount, tax + on_top
        assert (made.net, made.tax, made.gross) == (net, tax, net + tax)
        total = made.table("totals").records()[-1]
        assert (total["net"], total["gross"], total["tax_percent"]) == (net, net + tax, None)


def test_spare_by_risk_against_scipy() -> None:
    prices = sw.Prices(
        currency="EUR", rounding="half-up", rounding_place="per-line", breakage_percent=2, sureness=0.95
    ).item("tile", price="1")
    line = sw.order({"tile": 1000}, prices).lines[0]

    # Independent: the chance that more than the surplus of the order break.
    def short(ordered: int) -> float:
        return float(scipy.stats.binom(ordered, 0.02).sf(ordered - 1000))

    assert short(line.ordered) <= 0.05 < short(line.ordered - 1)
    assert line.chance_short == pytest.approx(short(line.ordered), rel=1e-9)


def test_the_order_follows_from_salvage() -> None:
    roof = sw.Roof(
        name="barn", covering="plain-tile-265x165", rafter_spacing_mm=400, underlay="membrane-1x50"
    )
    take_off = roof.rectangle("north", eaves_m=6.0, rafter_m=4.0, pitch_deg=45).take_off()
    salvaged = sw.Salvage().graded(WHOLE, sound=400).reckon(take_off)
    prices = sw.Prices(currency="EUR", rounding="half-up", rounding_place="per-line").item(
        "membrane-1x50", price="74.50"
    )
    for unit in salvaged.to_buy:
        prices.item(unit, price="0.64", pack=10)
    made = sw.order(salvaged, prices)
    needed = {line.item: line.needed for line in made.lines}
    assert salvaged.to_buy.items() <= needed.items()
    assert needed["membrane-1x50"] == 1
    # Among them what the edges need.
    assert {"battens, net (m)", "batten nails", "unit nails"} <= set(made.unpriced)
    assert any("not in the price list" in finding.message for finding in made.findings)
    assert float(made.mass_kg) > 0
    result = json.loads(made.to_json())
    assert result["answer"] == salvaged.answer
    assert result["order"]["total"]["gross"] == str(made.gross)
    assert "answer" in json.loads(sw.Salvaged.schema())["properties"]


def test_tables_reach_other_libraries() -> None:
    polars = pytest.importorskip("polars")
    prices = sw.Prices(currency="EUR", rounding="half-up", rounding_place="per-total")
    made = sw.order({"a": 3, "b": 1}, prices.item("a", price="0.105").item("b", price="10", per=3))
    frame = polars.DataFrame(made.table("order"))
    # Amounts stay decimals.
    assert frame["price"].dtype.is_decimal()
    assert frame["price"].to_list() == [Decimal("0.105"), Decimal("10")]
    assert frame["net"].to_list()[0] == Decimal("0.315")
    assert made.gross == Decimal("3.65")
    text = made.table("order").to_csv().splitlines()
    assert text[0].split(",")[:2] == ["item", "description"]
    assert set(made.table("order").column_names) == set(made.table("order").meanings)
    assert all(made.table("order").meanings.values())


def test_faults_are_order_errors() -> None:
    prices = sw.Prices(currency="eur", rounding="half-up", rounding_place="per-line").item(
        "a", price="1", pack=0
    )
    with pytest.raises(sw.OrderError) as raised:
        sw.order({"a": 1, "b": 1}, prices)
    assert {fault.kind for fault in raised.value.faults} == {
        "currency-unknown",
        "price-out-of-range",
        "price-missing",
    }
    with pytest.raises(sw.OrderError) as raised:
        sw.Prices(currency="EUR", rounding="up-ish", rounding_place="per-line").item(
            "a", price="cheap"
        ).document()
    assert [fault.place for fault in raised.value.faults] == ["terms, rounding", "prices 1, price"]
    with pytest.raises(TypeError, match="not exact"):
        sw.Prices(currency="EUR", rounding="up", rounding_place="per-line").item("a", price=1.1)  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="belong together"):
        sw.Prices(currency="EUR", rounding="up", rounding_place="per-line", sureness=0.9)


def test_documents_and_the_list_beside_them(tmp_path: Path) -> None:
    prices = sw.Prices(currency="EUR", rounding="half-up", rounding_place="per-line", lift_kg="500")
    document = (
        prices.item("a", price="1.50").spare("a", allowance_percent=5).csv("item,price\nb,2\n").document()
    )
    path = tmp_path / "order.toml"
    path.write_text(document.to_toml())
    assert sw.read_order(path) == document
    path = tmp_path / "order.json"
    path.write_text(document.to_json())
    assert sw.read_order(path) == document
    (tmp_path / "list.csv").write_text("item,price\na,1\n")
    path = tmp_path / "with-list.toml"
    path.write_text(
        'slopewright = 1\ncurrency = "EUR"\nprice_file = "list.csv"\n'
        '[terms]\nrounding = "up"\nrounding_place = "per-line"\n'
    )
    assert sw.order({"a": 2}, sw.read_order(path)).net == 2
    # A fault of the price list is told as one of that file.
    (tmp_path / "list.csv").write_text("item,price\na,dear\n")
    with pytest.raises(sw.OrderError) as raised:
        sw.read_order(path)
    assert [fault.place for fault in raised.value.faults] == ["price file 'list.csv', line 2, price"]


def test_what_is_no_order_or_no_prices_is_told() -> None:
    prices = sw.Prices(currency="EUR", rounding="half-up", rounding_place="per-line").item("tile", price="1")
    with pytest.raises(TypeError, match=r"prices: is nothing \(None\); allowed: sw.Prices"):
        sw.order({"tile": 1}, None)
    with pytest.raises(TypeError, match=r"wanted: is a list; allowed: .*\n?.*prices: is a str"):
        sw.order(["tile"], "prices.csv")
    assert sw.order({"tile": 1}, prices).lines[0].ordered == 1


def test_spare_by_part_goes_to_the_units_alone() -> None:
    take_off = sw.read_survey(EXAMPLES / "reading-room.toml").take_off()
    salvaged = sw.Salvage().reckon(take_off)
    short = {row["unit"]: row["bought_count"] for row in salvaged.table().records()}
    prices = sw.Prices(currency="EUR", rounding="half-up", rounding_place="per-line")
    prices.spare(part="covering", allowance_percent=10)
    for unit in short:
        prices.item(unit, price=1)
    prices.item("membrane-1x50", price=50).item("soakers, lead code 3", price=2)
    lines = {line.item: line for line in sw.order(salvaged, prices).lines}
    assert all(lines[unit].wanted == count + math.ceil(count / 10) for unit, count in short.items())
    others = [line for item, line in lines.items() if not item.startswith("plain-tile")]
    assert len(others) == 2
    assert all(line.wanted == line.needed for line in others)


def test_a_survey_handed_in_twice_counts_once_or_not_at_all() -> None:
    take_off = sw.read_survey(EXAMPLES / "reading-room.toml").take_off()
    with pytest.raises(sw.SalvageError, match="roof 'Reading room': is handed in before"):
        sw.Salvage().reckon(take_off, take_off)


def test_ranks_of_slopes_that_are_not_there_are_told() -> None:
    take_off = sw.read_survey(EXAMPLES / "reading-room.toml").take_off()
    with pytest.raises(sw.SalvageError, match="slope 'north'") as raised:
        sw.Salvage().serve_first("north").reckon(take_off)
    (fault,) = raised.value.faults
    assert fault.kind == "rank-unknown"
    assert "slope 'main roof rear'" in fault.allowed


def test_the_workbook_shows_the_mass_of_one_with_its_grams() -> None:
    openpyxl = pytest.importorskip("openpyxl")
    take_off = sw.read_survey(EXAMPLES / "reading-room.toml").take_off()
    salvaged = sw.Salvage().reckon(take_off)
    data = sw.read_order(EXAMPLES / "reading-room-order.toml").workbook(salvaged)
    sheet = openpyxl.load_workbook(io.BytesIO(data))["Order"]
    (mass,) = (cell.column for cell in sheet[5] if cell.value == "mass of one (kg)")
    cells = [sheet.cell(row, mass) for row in range(6, sheet.max_row)]
    formats = {cell.number_format for cell in cells if cell.value is not None}
    # Of a nail of 1.4 g two decimals of a kilogram show nothing.
    assert formats == {"#,##0.00####"}
