"""Openings in Python: better places, cuts in pairs, what is carried into the whole roof, measured work.

Independent: the best place of an opening is looked for here once more, with a whole take-off at every place of the
grid.
"""

from __future__ import annotations

import csv
import json
from itertools import product

import pytest

import slopewright as sw
from slopewright.command import main

PLAIN = "plain-tile-265x165"
REACH_MM, STEP_MM = 40, 20


def window(right_mm: float = 0.0, up_mm: float = 0.0, *, may_move: bool = False) -> sw.Opening:
    by = REACH_MM if may_move else None
    return sw.Opening(
        name="window",
        kind="roof-window",
        from_left_m=1.51 + right_mm / 1000,
        from_eaves_m=1.03 + up_mm / 1000,
        width_mm=780,
        height_mm=980,
        clearance_mm=30,
        may_move_up_mm=by,
        may_move_down_mm=by,
        may_move_left_mm=by,
        may_move_right_mm=by,
        move_step_mm=STEP_MM if may_move else None,
    )


def take_off(*openings: sw.Opening, **terms: object) -> sw.TakeOff:
    roof = sw.Roof(covering=PLAIN, rafter_spacing_mm=600, underlay="membrane-1x50", **terms)
    return roof.rectangle("front", eaves_m=5, rafter_m=3.6, pitch_deg=42, openings=openings).take_off()


def cut_units(result: sw.TakeOff) -> int:
    """Cut units of all courses, cut ones of one and a half included: what the placing makes least."""
    half = next(line for line in result.lines if line.slope and line.item == "tile-and-a-half units")
    cut_halves = int(half.working.rule.rsplit(";", 1)[1].split(" of them cut")[0])
    return cut_halves + sum(row["cut_count"] for row in result.table("courses").records())


@pytest.fixture(scope="module")
def movable() -> sw.TakeOff:
    return take_off(window(may_move=True))


def test_no_better_place_on_the_grid(movable):
    (placing,) = movable.placing
    assert (placing.slope, placing.too_many, placing.left_out) == ("front", False, [])
    steps = range(-REACH_MM, REACH_MM + 1, STEP_MM)
    assert placing.places == len(steps) ** 2
    found = {place: cut_units(take_off(window(*place))) for place in product(steps, steps)}
    assert placing.cut_before == found[0, 0]
    assert placing.cut_after == min(found.values())
    ((name, right, up),) = placing.moves_mm
    assert name == "window"
    assert found[round(right), round(up)] == placing.cut_after
    # Of the places that cut as few, the one it names is moved the least.
    best = [abs(x) + abs(y) for (x, y), cut in found.items() if cut == placing.cut_after]
    assert abs(right) + abs(up) == pytest.approx(min(best))


def test_the_result_document_has_the_places(movable):
    (placing,) = movable.placing
    (written,) = json.loads(movable.to_json())["placing"]
    assert (written["slope"], written["cut_before"], written["cut_after"], written["places"]) == (
        placing.slope,
        placing.cut_before,
        placing.cut_after,
        placing.places,
    )
    (move,) = written["moves"]
    ((name, right, up),) = placing.moves_mm
    assert move["opening"] == name
    assert move["right_m"] * 1000 == pytest.approx(right)
    assert move["up_m"] * 1000 == pytest.approx(up)
    assert written["finding"]["message"] == placing.finding.message
    assert written["working"]["result"] == placing.working.result
    assert "placing" in json.loads(sw.TakeOff.schema())["properties"]
    # Without an opening that may be moved there is nothing to say.
    assert json.loads(take_off(window()).to_json())["placing"] == []


def test_pairs_save_units_and_say_so():
    def of(**terms: object) -> tuple[dict, dict[str, int]]:
        roof = sw.Roof(covering="interlocking-420x330", **terms)
        result = roof.hip_end("front", eaves_m=5, rafter_m=4.2, pitch_deg=45).take_off()
        needs = {str(need.unit): need.count for need in result.needs}
        return json.loads(result.to_json()), needs

    (none, alone), (pairs, paired) = of(), of(cuts="pairs")
    assert (none["cuts"], pairs["cuts"]) == ("none", "pairs")
    counts = [
        next(line["count"] for line in written["lines"] if line["item"] == "units to be cut")
        for written in (none, pairs)
    ]
    # A triangle has a cut on each side of each course: at the most half of the units are saved.
    assert counts[0] / 2 <= counts[1] < counts[0]
    assert sum(paired.values()) < sum(alone.values())
    # A saw that takes more leaves fewer pairs.
    wide, _ = of(cuts="pairs", saw_kerf_mm=20)
    wide_count = next(line["count"] for line in wide["lines"] if line["item"] == "units to be cut")
    assert counts[1] <= wide_count <= counts[0]
    with pytest.raises(sw.SurveyError, match="halves"):
        of(cuts="halves")


def test_what_openings_take_is_in_the_whole_roof():
    stack = sw.Opening(
        name="stack",
        kind="chimney",
        existing=True,
        from_left_m=3.4,
        from_eaves_m=2,
        width_mm=600,
        height_mm=500,
        lead_code=5,
        flashing_width_mm=300,
        head_flashing_width_mm=450,
        past_corner_mm=100,
    )
    collared = sw.Opening(
        name="window",
        kind="roof-window",
        from_left_m=1,
        from_eaves_m=1,
        width_mm=780,
        height_mm=980,
        underlay_collar_mm=150,
        underlay_upstand_mm=80,
    )
    timbers = {"rafter_width": "50 mm", "rafter_depth": "100 mm", "hanger_nails": 20}
    result = take_off(stack, collared, timbers=timbers, edgework={"ridge": {"laying": "dry"}})
    whole = {line.item: line for line in result.lines if not line.slope}
    # Code 5 is 25.40 kg/m2 (EN 12588:1999 as relayed): (0.6 + 2 x 0.1) x 0.45 m.
    assert whole["back gutter, lead code 5, 450 mm wide"].mass_kg == pytest.approx(
        25.40 * 0.8 * 0.45, abs=0.01
    )
    assert whole["front apron, lead code 5, 300 mm wide"].count == 1
    assert whole["made flashing of a roof-window, 780 x 980 mm"].count == 1
    assert whole["headers 50 x 100 mm"].length_m > 0
    assert whole["hanger nails"].count == 20 * whole["hangers"].count
    assert "ridge roll or seal" in whole
    of_openings = [line for line in result.lines if "extra battens" in line.item]
    slope = next(line for line in result.lines if line.item.startswith("battens ") and line.slope)
    assert whole["battens, net"].length_m == pytest.approx(
        slope.length_m + sum(line.length_m for line in of_openings)
    )


def test_the_command_writes_what_is_measured(tmp_path, capsys):
    survey = tmp_path / "survey.toml"
    survey.write_text(
        'slopewright = 1\nmeasuring = "uk-nrm2"\ncovering.format = "plain-tile-265x165"\n'
        '[[slope]]\nname = "front"\nshape = "rectangle"\neaves = "5 m"\nrafter = "3 m"\npitch = "40 deg"\n',
        encoding="utf-8",
    )
    assert main(["takeoff", str(survey), "--csv", str(tmp_path / "tables")]) == 0
    capsys.readouterr()
    with (tmp_path / "tables" / "measured.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    # Outline and overhangs of 50 mm at eaves and verges: 5.1 x 3.05 m; the eaves are measured along the outline.
    area = next(row for row in rows if row["item"] == "area measured" and row["slope"])
    assert float(area["area_m2"]) == pytest.approx(5.1 * 3.05)
    eaves = next(row for row in rows if row["item"] == "eaves measured")
    assert float(eaves["length_m"]) == pytest.approx(5)
