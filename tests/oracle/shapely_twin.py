"""The slow twin of setting out and take-off: every unit of every course, clipped one by one with shapely.

Written from the definition of a unit alone: course i is a band as high as the gauge, position k in it a cell of one
cover width; the position is LAID if the covered region takes more than 1 % of the cell, WHOLE if it takes all but a
millionth, else CUT. Nothing here is shared with the library: it knows shapely, numpy and the numbers of a layout.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

LAID_OVER = 0.01
WHOLE_FROM = 1.0 - 1e-6

Points = list[tuple[float, float]]
Interval = tuple[float, float]


def region_of_rings(rings: list[Points]) -> BaseGeometry:
    """The region that rings enclose: what lies in one of them, less what lies in two (a hole), and so on."""
    region: BaseGeometry = Polygon()
    for ring in rings:
        region = shapely.symmetric_difference(region, Polygon(ring))
    return region


def count_courses(region: BaseGeometry, courses: list[tuple], stretches: list[Interval | None]) -> np.ndarray:
    """Whole and cut positions of each course, as an array of two columns.

    A course is (number, kind, low, high, origin of the cells, width of a cell); where it has a stretch, a cell belongs
    to it if more than 1 % of its width lies there.
    """
    left, _, right, _ = region.bounds
    cells, course_of_cell, area_of_cell = [], [], []
    for at, ((_, _, low, high, origin, width), stretch) in enumerate(zip(courses, stretches, strict=True)):
        # One cell more on either side than can be touched.
        first = int(np.floor((left - origin) / width)) - 1
        last = int(np.ceil((right - origin) / width)) + 1
        starts = origin + np.arange(first, last + 1) * width
        if stretch is not None:
            overlap = np.minimum(starts + width, stretch[1]) - np.maximum(starts, stretch[0])
            starts = starts[overlap > LAID_OVER * width]
        cells.append(shapely.box(starts, low, starts + width, high))
        course_of_cell.append(np.full(starts.size, at))
        area_of_cell.append(np.full(starts.size, width * (high - low)))
    all_cells = np.concatenate(cells)
    course, area = np.concatenate(course_of_cell), np.concatenate(area_of_cell)
    share = _covered_area(region, all_cells) / area
    whole = share >= WHOLE_FROM
    cut = (share > LAID_OVER) & ~whole
    return np.column_stack(
        [
            np.bincount(course[whole], minlength=len(courses)),
            np.bincount(course[cut], minlength=len(courses)),
        ]
    )


def _covered_area(region: BaseGeometry, cells: np.ndarray) -> np.ndarray:
    """The area that the region takes of each cell. Only cells on its boundary need to be clipped."""
    shapely.prepare(region)
    area = np.where(shapely.covers(region, cells), shapely.area(cells), 0.0)
    on_boundary = (area == 0.0) & shapely.intersects(region, cells)
    area[on_boundary] = shapely.area(shapely.intersection(cells[on_boundary], region))
    return area


def moved_convex(corners: Points, moves: list[float]) -> BaseGeometry:
    """A convex outline (anticlockwise) with each edge moved out by its own distance: what the half-planes share."""
    far = 1000.0
    region = shapely.box(-far, -far, far, far)
    for (a, b), by in zip(_edges(corners), moves, strict=True):
        along = (np.array(b) - a) / np.hypot(*(np.array(b) - a))
        out = np.array([along[1], -along[0]])
        start = np.array(a) + out * by
        half_plane = [start - along * 3 * far, start + along * 3 * far]
        half_plane += [half_plane[1] - out * 5 * far, half_plane[0] - out * 5 * far]
        region = shapely.intersection(region, Polygon(half_plane))
    return region


def mitre_reaches(corners: Points, moves: list[float]) -> float:
    """The farthest that a corner of a moved outline lies from its old place, in units of the larger move of its edges."""
    worst = 0.0
    edges = _edges(corners)
    for at, (a, b) in enumerate(edges):
        z, _ = edges[at - 1]
        normals, offsets = [], []
        for (p, q), by in (((z, a), moves[at - 1]), ((a, b), moves[at])):
            along = (np.array(q) - p) / np.hypot(*(np.array(q) - p))
            normals.append([along[1], -along[0]])
            offsets.append(by)
        largest = max(abs(offset) for offset in offsets)
        if largest == 0.0:
            continue
        if abs(np.linalg.det(normals)) < 1e-9:
            return float("inf")
        corner = np.linalg.solve(normals, offsets)
        worst = max(worst, float(np.hypot(*corner)) / largest)
    return worst


def moved_alike(corners: Points, by: float) -> BaseGeometry:
    """Any outline with all edges moved out by one distance, its corners kept sharp."""
    return shapely.buffer(Polygon(corners), by, join_style="mitre", mitre_limit=4.0)


def grid_tolerance(*regions: BaseGeometry) -> float:
    """The area by which regions may differ if one of them was cut on a grid of 0.1 mm."""
    return 1e-4 * max(region.length for region in regions)


def stretches_on_line(region: BaseGeometry, v: float) -> list[Interval]:
    """Where a level line lies in the region, from left to right."""
    left, _, right, _ = region.bounds
    line = shapely.linestrings([(left - 1.0, v), (right + 1.0, v)])
    parts = shapely.get_parts(shapely.intersection(region, line))
    found = [(part.bounds[0], part.bounds[2]) for part in parts if part.length > 0.0]
    return _joined(found)


def shadow_of_band(region: BaseGeometry, low: float, high: float) -> list[Interval]:
    """The shadow of a band on a level line: where the region has a point in the band."""
    left, _, right, _ = region.bounds
    parts = shapely.get_parts(shapely.intersection(region, shapely.box(left - 1.0, low, right + 1.0, high)))
    return _joined([(part.bounds[0], part.bounds[2]) for part in parts if part.area > 0.0])


def length_on_uprights(region: BaseGeometry, places: np.ndarray) -> float:
    """The length inside the region of lines that run up the slope at these places."""
    _, low, _, high = region.bounds
    ends = np.stack([np.column_stack([places, np.full(places.size, v)]) for v in (low - 1.0, high + 1.0)], axis=1)
    return float(shapely.length(shapely.intersection(region, shapely.linestrings(ends))).sum())


def _joined(intervals: list[Interval]) -> list[Interval]:
    """Intervals that overlap or touch within 0.1 mm, joined; shorter ones are left out."""
    joined: list[Interval] = []
    for start, end in sorted(intervals):
        if joined and start <= joined[-1][1] + 1e-4:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((start, end))
    return [(start, end) for start, end in joined if end - start >= 1e-4]


def _edges(corners: Points) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    return list(zip(corners, [*corners[1:], corners[0]], strict=True))
