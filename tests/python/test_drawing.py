"""Drawings checked from outside: read by expat and a reader of paths, counted and measured with shapely."""

from __future__ import annotations

import importlib.util
import itertools
import math
import xml.etree.ElementTree as ET

import pytest
import shapely

import slopewright as sw
from drawings_read import SVG, path, read

PLAIN, SLATE, LOCKING = "plain-tile-265x165", "slate-500x250", "interlocking-420x330"
WINDOW = sw.Opening(name="window", from_left_m=1.6, from_eaves_m=1.1, width_mm=780, height_mm=1180)


def roof(covering: str = PLAIN) -> sw.Roof:
    return sw.Roof(name="barn", covering=covering, rafter_spacing_mm=400, underlay="membrane-1x50")


def made() -> dict[str, sw.TakeOff]:
    corners = [(0, 0), (7, 0), (7, 2.2), (4.1, 4.9), (2, 4.9), (0, 3.1)]
    return {
        "rectangle": roof().rectangle("front", eaves_m=5, rafter_m=3.2, pitch_deg=40).take_off(),
        "windows": roof()
        .rectangle("front", eaves_m=6, rafter_m=4, pitch_deg=40, openings=[WINDOW])
        .take_off(),
        "slates": roof(SLATE).rectangle("front", eaves_m=5, rafter_m=3.2, pitch_deg=40).take_off(),
        "outline": roof().outline("free", corners_m=corners, pitch_deg=45).take_off(),
        "hipped": roof().hipped("house", length_m=11, span_m=7, pitch_deg=45).take_off(),
        "winged": roof(LOCKING)
        .winged(
            "house", length_m=12, span_m=7, pitch_deg=35, wing_span_m=5, wing_length_m=3, wing_from_left_m=4
        )
        .take_off(),
    }


TAKE_OFFS = made()
SLOPES = [(name, of.slope) for name, take_off in TAKE_OFFS.items() for of in take_off.slopes]
EVERYTHING = sw.drawing_layers()


def line_counts(take_off: sw.TakeOff, slope: str) -> dict[str, int]:
    """What the take-off's table of courses counts, by kind."""
    rows = [row for row in take_off.table("courses").records() if row["slope"] == slope]
    field = [row for row in rows if row["kind"] == "field"]

    def laid(kind: str) -> int:
        names = ("whole_count", "cut_count", "tile_and_half_count")
        return sum(row[name] for row in rows if row["kind"] == kind for name in names)

    return {
        "whole": sum(row["whole_count"] for row in field),
        "cut": sum(row["cut_count"] for row in field),
        "tile-and-half": sum(row["tile_and_half_count"] for row in field),
        "top-unit": laid("top"),
        "under-eaves-unit": laid("under-eaves"),
    }


def drawn_counts(root: ET.Element, layout: sw.SlopeLayout) -> dict[str, int]:
    """The units in the drawing: closed parts by the cell they lie in, and a stroke for each joint of a run."""
    counts = {}
    for name in ("whole", "cut", "tile-and-half", "top-unit", "under-eaves-unit"):
        is_under = name == "under-eaves-unit"
        bands = [
            (low, high, origin, width)
            for _, kind, low, high, origin, width in layout.course_cells_m
            if (kind == "under-eaves") == is_under and (kind == "top") == (name == "top-unit")
        ]
        places = set()
        strokes = 0
        for part in path(root, f"units-{name}"):
            if not part.is_closed:
                strokes += 1
                continue
            point = part.polygon.representative_point()
            number = next(
                n for n, (low, high, *_) in enumerate(bands) if low - 1e-4 <= point.y <= high + 1e-4
            )
            _, _, origin, width = bands[number]
            if name == "tile-and-half":
                # Two cells that hang together: told apart by the left one.
                places.add((number, round((part.polygon.bounds[2] - origin) / width - 0.01)))
            else:
                places.add((number, int((point.x - origin) // width)))
        counts[name] = len(places) + strokes
    return counts


@pytest.mark.parametrize(("name", "slope"), SLOPES)
def test_as_many_units_are_drawn_as_the_take_off_counts(name, slope):
    """Independent: the drawing is counted with a reader and a geometry library of their own."""
    take_off = TAKE_OFFS[name]
    layout = next(of for of in take_off.slopes if of.slope == slope)
    root = read(take_off.drawing(slope, layers=EVERYTHING).svg)
    assert drawn_counts(root, layout) == line_counts(take_off, slope)


@pytest.mark.parametrize(("name", "slope"), SLOPES)
def test_units_and_heads_fill_the_covered_region_once(name, slope):
    """Independent: the areas of what is drawn, added up, are the covered area, and nothing lies over anything."""
    take_off = TAKE_OFFS[name]
    layout = next(of for of in take_off.slopes if of.slope == slope)
    root = read(take_off.drawing(slope).svg)
    kinds = ("whole", "cut", "tile-and-half", "top-unit")
    pieces = [part.polygon for kind in kinds for part in path(root, f"units-{kind}") if part.is_closed]
    rings = [shapely.Polygon(ring) for ring in layout.covered_rings_m]
    covered = rings[0]
    for ring in rings[1:]:
        covered = covered.symmetric_difference(ring)
    drawn = shapely.unary_union([piece.buffer(0) for piece in pieces])
    # Nothing outside, but for the grid of 0.1 mm.
    assert drawn.difference(covered.buffer(2e-4)).area < 1e-6
    # Nothing twice: a cell within which an opening lies would be the only part with a hole.
    assert sum(piece.area for piece in pieces) == pytest.approx(drawn.area, abs=2e-3)
    # What is left open is cells too small to lay (a hundredth at most each) and the heads under the ridge.
    top = max(
        high for *_, high, _, _ in [(n, k, lo, hi, o, w) for n, k, lo, hi, o, w in layout.course_cells_m]
    )
    in_courses = covered.intersection(shapely.box(-100, -100, 1000, top))
    cells = {kind: (high - low) * width for _, kind, low, high, _, width in layout.course_cells_m}
    slivers = 4 * len(layout.course_cells_m) * 0.01 * max(cells.values())
    assert in_courses.area - drawn.area <= slivers


@pytest.mark.parametrize(("name", "slope"), SLOPES)
def test_battens_joints_and_underlay_are_where_the_tables_have_them(name, slope):
    take_off = TAKE_OFFS[name]
    root = read(take_off.drawing(slope, layers=EVERYTHING).svg)
    rows = [row for row in take_off.table("battens").records() if row["slope"] == slope]
    drawn = path(root, "batten-rows")
    ends = [(part.points[0][0] * 1000, part.points[-1][0] * 1000) for part in drawn]
    assert ends == [pytest.approx((row["from_mm"], row["to_mm"]), abs=0.06) for row in rows]
    pieces = [row for row in take_off.cut_battens().table("pieces").records() if row["slope"] == slope]
    # A piece that begins where the one before it ends, in one row, has a joint there.
    joints = sum(
        one["at_mm"] == other["at_mm"] and abs(one["to_mm"] - other["from_mm"]) < 0.1
        for one, other in itertools.pairwise(pieces)
    )
    assert len(path(root, "batten-joints")) == joints
    runs = [row for row in take_off.table("underlay").records() if row["slope"] == slope]
    assert len([element for element in root.iter(f"{SVG}path") if element.get("data-run")]) == len(runs)


def test_a_slope_is_to_scale_the_same_both_ways():
    root = read(TAKE_OFFS["windows"].drawing().svg)
    groups = [group.get("transform", "") for group in root.iter(f"{SVG}g") if group.get("transform")]
    matrix = next(text for text in groups if text.startswith("matrix"))
    across, _, _, up, *_ = (float(part) for part in matrix[7:-1].split())
    assert across == -up > 0


@pytest.mark.parametrize("name", TAKE_OFFS)
def test_the_plan_has_the_area_that_the_slopes_have_seen_from_above(name):
    """Independent: area in plan is area on the slope times the cosine of the pitch."""
    take_off = TAKE_OFFS[name]
    root = read(take_off.plan_drawing().svg)
    group = next(found for found in root.iter(f"{SVG}g") if found.get("id") == "slopes")
    shapes = [
        shapely.Polygon([tuple(map(float, pair.split(","))) for pair in element.get("points").split()])
        for element in group.iter(f"{SVG}polygon")
    ]
    wanted = [of.gross_area_m2 * math.cos(math.radians(of.pitch_deg)) for of in take_off.slopes]
    # One scale for all of them.
    scales = [shape.area / area for shape, area in zip(shapes, wanted, strict=True)]
    assert scales == [pytest.approx(scales[0], rel=2e-3)] * len(scales)
    # And none lies over another: joints hold them together edge to edge.
    assert shapely.unary_union(shapes).area == pytest.approx(sum(shape.area for shape in shapes), rel=2e-3)


def test_as_many_bars_are_drawn_as_the_cutting_list_has_rows():
    cutting = TAKE_OFFS["hipped"].cut_battens()
    root = read(cutting.drawing().svg)
    groups = cutting.table("cutting").records()
    pieces = [element for element in root.iter(f"{SVG}rect") if element.get("class") == "piece"]
    assert len(pieces) == sum(row["cuts"].split(": ", 1)[1].split(",")[0].count("+") + 1 for row in groups)
    one = cutting.drawing(TAKE_OFFS["hipped"].slopes[0].slope)
    assert len(one.svg) < len(cutting.drawing().svg)


def test_layers_are_groups_with_ids_and_only_those_asked_for():
    take_off = TAKE_OFFS["windows"]
    ids = {
        group.get("id")
        for group in read(take_off.drawing(layers=["battens", "openings"]).svg).iter(f"{SVG}g")
    }
    assert {"battens", "openings"} <= ids
    assert not {"units", "rafters", "dimensions"} & ids
    prefixed = read(take_off.drawing(prefix="s1").svg)
    assert all(found.startswith("s1-") for element in prefixed.iter() if (found := element.get("id")))


def test_a_slope_of_thirty_metres_stays_small():
    take_off = roof().rectangle("long", eaves_m=30, rafter_m=12, pitch_deg=40).take_off()
    svg = take_off.drawing(layers=EVERYTHING).svg
    assert len(svg.encode()) < 1_500_000
    # One path for all whole units of a kind.
    assert len(list(read(svg).iter())) < 400


def test_every_drawing_says_what_it_shows():
    for take_off in TAKE_OFFS.values():
        for drawing in (take_off.drawing(take_off.slopes[0].slope), take_off.plan_drawing()):
            root = read(drawing.svg)
            assert root.get("role") == "img"
            title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
            assert title.text
            assert description.text
            assert root.get("aria-labelledby") == f"{title.get('id')} {description.get('id')}"


def test_unknown_slopes_and_layers_are_faults():
    with pytest.raises(sw.OutputError, match="is no slope of this roof"):
        TAKE_OFFS["hipped"].drawing()
    with pytest.raises(sw.OutputError, match="is no layer") as raised:
        TAKE_OFFS["rectangle"].drawing(layers=["tiles", "units", "wood"])
    assert len(raised.value.faults) == 2
    # One word alone is a list of one.
    take_off = TAKE_OFFS["rectangle"]
    assert take_off.drawing(layers="units").svg == take_off.drawing(layers=["units"]).svg
    with pytest.raises(sw.OutputError, match="is no layer"):
        take_off.drawing(layers="unit")


def test_notebooks_get_svg_and_a_picture_where_there_is_one():
    drawing = TAKE_OFFS["rectangle"].drawing()
    assert drawing._repr_svg_() == drawing.svg
    png = drawing._repr_png_()
    assert png is None or png.startswith(b"\x89PNG")
    if importlib.util.find_spec("resvg_py") is None:
        with pytest.raises(ImportError, match=r"slopewright\[png\]"):
            drawing.to_png()
    else:
        assert drawing.to_png(width_px=300).startswith(b"\x89PNG")
