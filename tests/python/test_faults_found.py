"""Cases in which the twin once found the library wrong; each is named after its fault, with numbers counted by hand."""

from __future__ import annotations

import json

import pytest

import slopewright as sw
import typed_use

PLAIN = "plain-tile-265x165"


def flush(count: int) -> dict[str, sw.Edge]:
    """Edges at which the covering ends on the outline."""
    return {str(number): sw.Edge(overhang_mm=0) for number in range(1, count + 1)}


#: Two wings of 3 m with their eaves 1 m up, and between them a part that runs down to 0.
WINGS = [(0, 1), (3, 1), (3, 0), (6, 0), (6, 1), (9, 1), (9, 4), (0, 4)]


def test_under_eaves_course_runs_on_between_two_wings():
    """It was laid over the part between the wings as well, where there are no eaves."""
    roof = sw.Roof(covering=PLAIN).outline("wings", corners_m=WINGS, pitch_deg=45, edges=flush(8))
    layout = roof.take_off().slopes[0]
    cells = zip(layout.course_cells_m, layout.course_stretches_m, strict=True)
    under = [(low, stretch) for (_, kind, low, *_), stretch in cells if kind == "under-eaves"]
    assert under == [(0, (3, 6)), (1, (0, 3)), (1, (6, 9))]
    # Cells of 165 mm from -82.5 mm. Left wing: numbers 0 to 18, the first a half and the last ending at 3.0525 m, but
    # the slope runs on there, so it is whole. Right wing: 36 (5.8575 to 6.0225 m) to 55 (from 8.9925 m, 7.5 mm: cut).
    rows = [row for row in roof.take_off().table("courses").records() if row["kind"] == "under-eaves"]
    counts = [(row["positions_whole_count"], row["positions_cut_count"]) for row in rows]
    # Middle: 18 (2.8875 to 3.0525 m, 52.5 mm: cut) to 36 (142.5 mm: cut), 17 whole between them.
    assert counts == [(17, 2), (18, 1), (19, 1)]


def test_batten_twice_where_an_under_eaves_course_has_the_line_of_a_field_course():
    """With three layers both hang on one line; split eaves made that line count twice."""
    corners = [(0, 0), (1.4, 0), (1.4, 0.25), (2.2, 0.25), (2.2, 0), (5.8, 0), (5.8, 2.5), (0, 2.5)]
    roof = sw.Roof(covering="shingle-18x4in")
    roof.outline("notch", corners_m=corners, pitch_deg=45, edges=flush(8))
    rows = roof.take_off().table("battens").records()
    first = [row for row in rows if row["at_mm"] == rows[0]["at_mm"]]
    # One batten, over the notch: its top is above it.
    line = sum(row["length_m"] for row in first)
    assert line == pytest.approx(5.8 if rows[0]["at_mm"] > 250 else 5.0)


@pytest.mark.parametrize(
    ("text", "millimetres"), [("5e-05 m", 0.05), ("1.25E1 mm", 12.5), ("-2e+0 m", -2000)]
)
def test_number_with_a_power_of_ten(text, millimetres):
    """Programs write small numbers so; the power was taken for a unit."""
    assert sw.length_mm(text) == pytest.approx(millimetres, abs=1e-12)


def test_coordinates_as_numpy_has_them():
    """Numbers of numpy came out with the name of their type."""
    np = pytest.importorskip("numpy")
    corners = np.array([(1e-17, 0), (4, 0), (4, 3), (0, 3)])
    area = sw.Roof(covering=PLAIN).outline(
        "flat", corners_m=corners, pitch_deg=np.float64(45), edges=flush(4)
    )
    assert area.take_off().slopes[0].covered_area_m2 == pytest.approx(12.0)


def test_offcuts_of_a_few_millimetres_carried_to_the_next_slope():
    """They were handed on as bars, which are at least 10 mm long, and the cutting of the next slope was refused."""
    roof = sw.Roof(covering=PLAIN, rafter_spacing_mm=400)
    for name in ("a", "b"):
        roof.trapezoid(name, eaves_m=6, ridge_m=2, rafter_m=4, pitch_deg=40, offset_m=1)
    take_off = roof.take_off()
    pieces = take_off.cut_battens().table("pieces").records()
    for name in ("a", "b"):
        rows = [row["length_m"] for row in take_off.table("battens").records() if row["slope"] == name]
        cut = [(piece["to_mm"] - piece["from_mm"]) / 1000 for piece in pieces if piece["slope"] == name]
        # What is cut is what lies there, row for row, to the tenth of a millimetre that pieces are cut to.
        assert sum(cut) == pytest.approx(sum(rows), abs=1e-4 * (len(rows) + len(cut)))


def test_a_building_that_is_not_there():
    """It was told by its own name only, not what there is."""
    model = sw.CityModel.from_text(typed_use.MODEL)
    survey = sw.Roof(covering=PLAIN).survey()
    with pytest.raises(KeyError) as told:
        model.survey("shop", survey=survey)
    assert told.value.args == ("no building 'shop': the model has 'shed'",)
    model = json.loads(typed_use.MODEL)
    model["CityObjects"] = dict.fromkeys(["a", "b", "c", "d"], model["CityObjects"]["shed"])
    with pytest.raises(KeyError, match="the model has 4, the first of them 'a', 'b', 'c'"):
        sw.CityModel.from_text(json.dumps(model)).survey("shop", survey=survey)
