"""Counts against the slow twin on real roofs: every roof surface of 20 to 70 degrees in the shared CityJSON files.

Data: 3D BAG by tudelft3d and 3DGI, CC BY 4.0.
"""

from __future__ import annotations

import json

import numpy as np
import polars as pl
import pytest
from shapely.geometry import Polygon

import roof_surfaces
import shapely_twin as twin
import slopewright as sw

PLACE = roof_surfaces.folder()
SURFACES = list(roof_surfaces.slopes(PLACE)) if PLACE else []

pytestmark = pytest.mark.skipif(
    PLACE is None,
    reason="the shared data is not here: set SLOPEWRIGHT_SHARED_DATA to the folder that has cityjson/",
)


def test_every_slope_is_read():
    """The data's own README counts 165 slopes of these pitches; a scrap of 0.22 m2 makes one more here."""
    areas = [Polygon(surface.outline).area for surface in SURFACES]
    assert sum(area > 1.0 for area in areas) == 165
    assert len(areas) == 166
    # Flat faces: no corner lies further than the data's rounding from its plane.
    assert max(surface.out_of_plane_m for surface in SURFACES) < 2e-3


@pytest.mark.parametrize("covering", ["plain-tile-265x165", "interlocking-420x330"])
def test_counts_on_real_roofs(covering):
    """Whole and cut positions of every course of every surface; none is refused."""
    differences, refused, courses_seen = [], [], 0
    for number, surface in enumerate(SURFACES):
        openings = [sw.Opening(corners_m=hole) for hole in surface.holes]
        roof = sw.Roof(covering=covering)
        roof.outline("roof", corners_m=surface.outline, pitch_deg=surface.pitch_deg, openings=openings)
        try:
            result = roof.take_off()
        except sw.SlopewrightError as error:
            refused.append((number, surface.file, surface.building, [str(fault) for fault in error.faults]))
            continue
        layout = result.slopes[0]
        region = twin.region_of_rings(layout.covered_rings_m)
        expected = twin.count_courses(region, layout.course_cells_m, layout.course_stretches_m)
        rows = result.table("courses").records()
        found = np.array([(row["positions_whole_count"], row["positions_cut_count"]) for row in rows])
        differences += [
            (number, rows[at]["course"], found[at].tolist(), expected[at].tolist())
            for at in np.flatnonzero((found != expected).any(axis=1))
        ]
        courses_seen += len(rows)
    assert not refused, refused
    assert not differences, differences[:10]
    assert courses_seen > 10 * len(SURFACES)


def test_slopes_are_where_the_data_says_the_roof_is_slanted():
    """The data states no areas or pitches of its roof surfaces, but of most buildings whether the roof is slanted.

    It tells that from the point cloud and not from the surfaces: of 108 buildings six differ, each seen to have flat
    faces beside a slope or the other way round.
    """
    agree, differ = 0, []
    for path in sorted(PLACE.iterdir()):
        text = path.read_text(encoding="utf-8")
        stated: dict[str, str] = {}
        for line in text.splitlines() if path.suffix == ".jsonl" else [text]:
            for name, thing in json.loads(line).get("CityObjects", {}).items():
                attributes = thing.get("attributes", {})
                kind = attributes.get("dak_type") or attributes.get("b3_dak_type")
                if kind:
                    stated.update(dict.fromkeys([name, *thing.get("children", [])], kind))
        surfaces = pl.DataFrame(sw.CityModel.from_text(text).table("surfaces"))
        has_slope = surfaces.group_by("building").agg((pl.col("face") == "slope").any())
        for building, slanted in has_slope.iter_rows():
            if slanted == (stated[building] == "slanted"):
                agree += 1
            else:
                differ.append((path.name, building, stated[building]))
    assert (agree, len(differ)) == (102, 6), differ
