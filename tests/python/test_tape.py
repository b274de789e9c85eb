"""Slopes by tape, against corners drawn first and measured then.

Independent: the corners are drawn, the six lengths taken between them, and scipy's least squares stands beside the
library's where the lengths do not close.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

import slopewright as sw

optimize = pytest.importorskip("scipy.optimize")

# Corners in order: left and right end of the eaves, right and left end of the ridge.
ENDS = {
    "eaves_m": (0, 1),
    "ridge_m": (2, 3),
    "left_rafter_m": (0, 3),
    "right_rafter_m": (1, 2),
    "left_diagonal_m": (0, 2),
    "right_diagonal_m": (1, 3),
}


def slope(**measures: float) -> sw.TakeOff:
    return sw.Roof(covering="plain-tile-265x165").tape("r", pitch_deg=40.0, **measures).take_off()


def drawn(rng: np.random.Generator) -> np.ndarray:
    eaves, rafter = rng.uniform(4, 12), rng.uniform(3, 8)
    out = rng.uniform(-0.15, 0.15, 4) * eaves
    return np.array(
        [(0, 0), (eaves, 0), (eaves + out[0], rafter + out[1] / 4), (out[2], rafter + out[3] / 4)]
    )


def measured(corners: np.ndarray) -> dict[str, float]:
    return {name: float(np.linalg.norm(corners[a] - corners[b])) for name, (a, b) in ENDS.items()}


@pytest.mark.parametrize("seed", range(30))
def test_five_measures_lay_the_slope_down_as_it_is(seed: int) -> None:
    corners = drawn(np.random.default_rng(seed))
    measures = measured(corners)
    for left_out in [None, *ENDS]:
        taken = {name: length for name, length in measures.items() if name != left_out}
        laid = slope(**taken).slopes[0]
        assert np.allclose(laid.outline_m, corners, atol=1e-9), left_out
        assert laid.tape_rms_m < 1e-12


@pytest.mark.parametrize("seed", range(30))
def test_six_measures_are_laid_by_least_squares(seed: int) -> None:
    rng = np.random.default_rng(100 + seed)
    corners = drawn(rng)
    exact = measured(corners)
    measures = {name: length + rng.normal(0, 0.01) for name, length in exact.items()}

    def left_over(at: np.ndarray) -> np.ndarray:
        places = np.array([(0, 0), (at[0], 0), at[1:3], at[3:5]])
        return np.array([length - measures[name] for name, length in measured(places).items()])

    best = optimize.least_squares(
        left_over, [corners[1, 0], *corners[2], *corners[3]], xtol=1e-15, ftol=1e-15
    )
    laid = slope(**measures, tolerance_mm=100).slopes[0]
    found = np.array(laid.outline_m)
    assert np.allclose([found[1, 0], *found[2], *found[3]], best.x, atol=1e-6)
    residuals = {f"{name}_m": laid_m - measured_m for name, measured_m, laid_m in laid.tape_m}
    for name, value in zip(measures, left_over(best.x), strict=True):
        assert residuals[name] == pytest.approx(value, abs=1e-6)
    assert laid.tape_rms_m == pytest.approx(math.sqrt(np.mean(left_over(best.x) ** 2)), abs=1e-9)


def test_a_residual_over_the_tolerance_is_a_finding() -> None:
    square = {
        "eaves_m": 8.0,
        "ridge_m": 8.0,
        "left_rafter_m": 6.0,
        "right_rafter_m": 6.0,
        "left_diagonal_m": 10.0,
        "right_diagonal_m": 10.0,
    }
    told = lambda take_off: [f for f in take_off.findings if "tape" in f.message]  # noqa: E731
    # 3-4-5: eaves 8, rafter 6, diagonals 10 are square.
    assert not told(slope(**square))
    slack = square | {"left_diagonal_m": 10.08}
    found = told(slope(**slack, tolerance_mm=10))
    assert len(found) == 1
    assert found[0].severity == "caution"
    assert "left_diagonal" in found[0].message
    assert not told(slope(**slack, tolerance_mm=50))


@pytest.mark.parametrize(
    ("measures", "kind"),
    [
        ({"eaves_m": 8, "left_rafter_m": 6, "right_rafter_m": 6, "ridge_m": 8}, "tape-too-few"),
        (
            {
                "eaves_m": 8,
                "left_rafter_m": 6,
                "right_rafter_m": 6,
                "left_diagonal_m": 15,
                "right_diagonal_m": 10,
            },
            "tape-does-not-close",
        ),
        (
            {
                "eaves_m": 8,
                "ridge_m": 5,
                "left_rafter_m": 6,
                "right_rafter_m": 6,
                "left_diagonal_m": 10,
                "right_diagonal_m": 10,
            },
            "tape-does-not-close",
        ),
    ],
)
def test_measures_that_cannot_be(measures: dict[str, float], kind: str) -> None:
    with pytest.raises(sw.SurveyError) as caught:
        slope(**measures)
    assert [fault.kind for fault in caught.value.faults] == [kind]
    assert caught.value.faults[0].place == "slope 'r'"
