"""What the tape's tolerance is worth, and a second delivery against a surplus."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from scipy.stats import binom

import slopewright as sw
from slopewright.command import main

EXAMPLES = Path(__file__).parents[2] / "docs" / "examples"
SURVEY, SALVAGE = str(EXAMPLES / "reading-room.toml"), str(EXAMPLES / "reading-room-salvage.toml")
ORDER = str(EXAMPLES / "reading-room-order.toml")


def roof(by_m: float) -> sw.Roof:
    """A roof measured longer by so much: typed out, not stretched."""
    window = sw.Opening(
        name="window",
        from_left_m=2,
        from_eaves_m=1,
        width_mm=780,
        height_mm=1180,
    )
    made = sw.Roof(covering="plain-tile-265x165", rafter_spacing_mm=400)
    made.rectangle("front", eaves_m=7.4 + by_m, rafter_m=4.3 + by_m, pitch_deg=42, openings=[window])
    corners = [(0.0, 0.0), (5.0, 0.0), (5.0, 3.0), (0.0, 3.0)]
    stretched = [(2.5 + (u - 2.5) * (5 + by_m) / 5, 1.5 + (v - 1.5) * (3 + by_m) / 3) for u, v in corners]
    made.outline("annex", corners_m=stretched, pitch_deg=30)
    return made


def counts(take_off: sw.TakeOff) -> list[tuple[str, str, int]]:
    return [(need.slope, need.unit, need.count) for need in take_off.needs]


@pytest.mark.parametrize("tolerance_mm", [5.0, 10.0, 60.0])
def test_the_range_is_that_of_the_roof_measured_so(tolerance_mm: float):
    by_m = tolerance_mm / 1000
    taped = roof(0.0).tape_range(tolerance_mm)
    assert taped.tolerance_mm == pytest.approx(tolerance_mm)
    for found, made in ((taped.low, -by_m), (taped.likely, 0.0), (taped.high, by_m)):
        assert counts(found) == counts(roof(made).take_off())
    rows = taped.table().records()
    assert rows[0]["item"] == "plain-tile-265x165 whole"
    low, likely, high = (rows[0][f"{end}_count"] for end in ("low", "likely", "high"))
    assert low <= likely <= high
    assert tolerance_mm < 60 or low < high


def test_a_tolerance_that_is_none():
    with pytest.raises(sw.SurveyError, match="tolerance"):
        roof(0.0).tape_range(tolerance_mm=-1)
    with pytest.raises(sw.SurveyError, match="tolerance"):
        roof(0.0).tape_range(tolerance_mm=float("nan"))


def test_the_command_orders_on_the_range(capsys: pytest.CaptureFixture[str], tmp_path: Path):
    order = ["order", SURVEY, "--salvage", SALVAGE, "--prices", ORDER, "--csv", str(tmp_path)]
    assert main([*order, "--tolerance", "10 mm", "--second-delivery", "180"]) == 0
    shown = capsys.readouterr().out
    assert "if every length is 10 mm shorter or longer" in shown
    low, likely, high = (
        Decimal(text) for text in shown.split("to pay ")[-1].split(" EUR")[0].replace(",", "").split()
    )
    # The bars differ by a saw cut and soakers by their name; half a hundredth either way changes no more than this.
    assert float(high / low) == pytest.approx(1, abs=0.03)
    assert low > 0
    assert likely > 0
    assert "if a second delivery costs 180" in shown
    assert (tmp_path / "order-high.csv").exists()
    assert main(["takeoff", SURVEY, "--tolerance", "10 mm", "--csv", str(tmp_path)]) == 0
    assert (tmp_path / "range.csv").exists()
    assert main(["takeoff", SURVEY, "--tolerance", "ten"]) == 2
    with pytest.raises(SystemExit):
        main([*order, "--second-delivery", "much"])


@pytest.mark.parametrize("need", [40, 400])
def test_a_second_delivery_costs_what_the_binomial_says(need: int):
    """Each choice summed up over all numbers of sound units, with scipy's binomial."""
    price, delivery, worth = 0.9, 85.0, 0.3
    choices = sw.second_delivery(
        need=need,
        breakage_percent=Decimal("2.5"),
        price_each=Decimal("0.90"),
        delivery=Decimal(85),
        pack=4,
        worth_left_over_percent=Decimal(30),
    )
    for choice in choices:
        sound = range(choice.ordered + 1)
        chance = binom.pmf(sound, choice.ordered, 0.975)
        short = sum(p for p, n in zip(chance, sound, strict=True) if n < need)
        missing = sum(p * (need - n) for p, n in zip(chance, sound, strict=True) if n < need)
        left = sum(p * (n - need) for p, n in zip(chance, sound, strict=True) if n > need)
        assert choice.chance_short == pytest.approx(short, rel=1e-9, abs=1e-12)
        assert choice.missing == pytest.approx(missing, rel=1e-7, abs=1e-9)
        assert choice.left_over == pytest.approx(left, rel=1e-7, abs=1e-9)
        cost = (choice.ordered - need) * price - left * price * worth + short * delivery + missing * price
        assert choice.cost == pytest.approx(cost, rel=1e-7)
    cheapest = min(choices, key=lambda choice: choice.cost)
    assert [choice.ordered for choice in choices if choice.cheapest] == [cheapest.ordered]
