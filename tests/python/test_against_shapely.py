"""Every count against the slow twin in `tests/oracle/shapely_twin.py`, on random slopes: nothing may differ.

The ordinary run takes the first 250; with SLOPEWRIGHT_FULL=1 it is all 2,000.
"""

from __future__ import annotations

import json
import math
import os
from collections.abc import Callable, Iterator
from itertools import pairwise

import numpy as np
import pytest
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

import shapely_twin as twin
import slopewright as sw
from random_slopes import Slope, random_slope

SLOPES = 2000 if os.environ.get("SLOPEWRIGHT_FULL") == "1" else 250
BLOCK = 50

#: The stretch of a course that has none of its own.
ALL_THE_WAY = (-math.inf, math.inf)


@pytest.fixture(scope="module")
def taken_off() -> Callable[[int], tuple[Slope, sw.TakeOff, sw.SlopeLayout]]:
    """Take-offs by number, each made once."""
    made: dict[int, tuple[Slope, sw.TakeOff, sw.SlopeLayout]] = {}

    def take_off(seed: int) -> tuple[Slope, sw.TakeOff, sw.SlopeLayout]:
        if seed not in made:
            slope = random_slope(seed)
            result = sw.Survey.from_json(json.dumps(slope.document)).take_off()
            made[seed] = (slope, result, result.slopes[0])
        return made[seed]

    return take_off


BLOCKS = [range(first, first + BLOCK) for first in range(0, SLOPES, BLOCK)]

in_blocks = pytest.mark.parametrize("seeds", BLOCKS, ids=lambda seeds: f"{seeds.start}-{seeds.stop - 1}")


@in_blocks
def test_positions_course_by_course(taken_off, seeds):
    """Whole and cut positions of every course."""
    differences = []
    for seed in seeds:
        _, result, layout = taken_off(seed)
        region = twin.region_of_rings(layout.covered_rings_m)
        expected = twin.count_courses(region, layout.course_cells_m, layout.course_stretches_m)
        courses = result.table("courses").records()
        assert [row["course"] for row in courses] == [course[0] for course in layout.course_cells_m]
        found = np.array([(row["positions_whole_count"], row["positions_cut_count"]) for row in courses])
        for at in np.flatnonzero((found != expected).any(axis=1)):
            differences.append((seed, courses[at]["course"], found[at].tolist(), expected[at].tolist()))
        assert abs(layout.covered_area_m2 - region.area) < 1e-9
    assert not differences, f"(slope, course, found, expected): {differences[:10]}"


def moved(slope: Slope, moves: list[float]) -> BaseGeometry | None:
    """The outline with its edges moved, made another way than the library does; None where there is no such way."""
    if slope.is_convex and slope.keeps_its_corners(moves):
        return twin.moved_convex(slope.corners, moves)
    if len(set(moves)) == 1 and slope.keeps_its_corners(moves):
        return twin.moved_alike(slope.corners, moves[0])
    return None


def test_covered_regions(taken_off):
    """The covered region from the survey's own numbers: half-planes and buffers, less the holes."""
    exact = on_grid = 0
    for seed in range(SLOPES):
        slope, _, layout = taken_off(seed)
        outline = moved(slope, slope.moves)
        if outline is None:
            continue
        expected = shapely.difference(outline, shapely.union_all(slope.cleared))
        found = twin.region_of_rings(layout.covered_rings_m)
        apart = all(outline.contains_properly(hole) for hole in slope.cleared) and all(
            one.disjoint(other) for at, one in enumerate(slope.cleared) for other in slope.cleared[:at]
        )
        is_whole = (
            len(outline.exterior.coords) == len(slope.corners) + 1
            if outline.geom_type == "Polygon"
            else False
        )
        # Where edges or openings run into each other, the region is cut on a grid of 0.1 mm.
        tolerance = 1e-6 if apart and is_whole else twin.grid_tolerance(found, expected)
        exact += tolerance == 1e-6
        on_grid += tolerance != 1e-6
        difference = shapely.symmetric_difference(found, expected).area
        assert difference < tolerance, (seed, difference, tolerance)
        assert abs(layout.covered_area_m2 - expected.area) < tolerance, seed
    # The check would be empty if hardly any slope came this far.
    assert exact > 0.2 * SLOPES, (exact, on_grid)
    assert on_grid > 0.1 * SLOPES, (exact, on_grid)


def test_eaves_have_their_courses(taken_off):
    """Double laps: each length of eaves has one under-eaves course, on its own tail line, and nothing else has."""
    seen = 0
    for seed in range(SLOPES):
        slope, _, layout = taken_off(seed)
        cells = zip(layout.course_cells_m, layout.course_stretches_m, strict=True)
        under = [(low, stretch) for (_, kind, low, *_), stretch in cells if kind == "under-eaves"]
        if not any(kind == "top" for _, kind, *_ in layout.course_cells_m):
            continue
        first_tail = min(course[2] for course in layout.course_cells_m)
        gauge = layout.gauge_mm / 1000.0
        past = max(0.0, *slope.moves)
        corners = slope.corners
        expected = []
        for a, b, role, by in zip(corners, [*corners[1:], corners[0]], slope.roles, slope.moves, strict=True):
            if role == "eaves":
                level = a[1] - by
                level = first_tail if level - first_tail < gauge else level
                expected.append((level, a[0] - past, b[0] + past))
        # A course that goes all the way: its eaves reach past the covering on both sides.
        for at, (low, stretch) in enumerate(under):
            if stretch is None:
                ends = [(start, end) for level, start, end in expected if abs(level - low) < 1e-3]
                from_m, to_m = min(start for start, _ in ends), max(end for _, end in ends)
                left, _, right, _ = twin.region_of_rings(layout.covered_rings_m).bounds
                assert from_m <= left + 1e-9, (seed, from_m, left)
                assert to_m >= right - 1e-9, (seed, to_m, right)
                under[at] = (low, (from_m, to_m))
        used = set()
        for level, start, end in expected:
            holding = [
                at
                for at, (low, (left, right)) in enumerate(under)
                if abs(low - level) < 1e-3 and left <= start + 1e-9 and end - 1e-9 <= right
            ]
            assert len(holding) == 1, (seed, level, start, end, under)
            used.update(holding)
        assert len(used) == len(under), (seed, under, expected)
        for low, (left, right) in under:
            lengths = [(start, end) for level, start, end in expected if abs(level - low) < 1e-3]
            lengths = [
                (max(start, left), min(end, right)) for start, end in lengths if end > left and start < right
            ]
            covered = shapely.union_all([shapely.box(start, 0.0, end, 1.0) for start, end in lengths]).area
            # Gaps of less than a unit are bridged, no others.
            assert right - left - covered < layout.cover_width_mm / 1000.0 * len(lengths), (
                seed,
                under,
                expected,
            )
        seen += len(under) > 1
    assert seen > 0


def joined(rows: list[tuple[float, float]]) -> list[tuple[float, float]]:
    return [(start, end) for start, end in sorted(rows)]


def test_battens(taken_off):
    """Rows of battens where their lines cross the slope and its openings, and the rafters that they cross."""
    rows_seen = 0
    steps = np.arange(-50, 120)
    for seed in range(SLOPES):
        slope, result, layout = taken_off(seed)
        deck = slope.deck
        levels: dict[tuple[int, float], list[dict]] = {}
        for row in result.table("battens").records():
            levels.setdefault((row["row"], row["at_mm"] / 1000.0), []).append(row)
        edges_on_level = {round(v, 7) for ring in rings(deck) for _, v in ring}
        for (number, v), rows in levels.items():
            if round(v, 7) in edges_on_level:
                continue
            expected = twin.stretches_on_line(deck, v)
            found = joined([(row["from_mm"] / 1000.0, row["to_mm"] / 1000.0) for row in rows])
            # The line of an under-eaves course goes as far as its course.
            choices = [expected] + [clipped(expected, stretch) for stretch in stretches_under(layout, v)]
            assert any(close(found, choice) for choice in choices), (seed, number, v, found, choices)
            for row in rows:
                centres = slope.first_rafter + steps * slope.rafter_spacing
                # A rafter within a millimetre of an end counts; just on that millimetre it may go either way.
                inside = np.minimum(centres - row["from_mm"] / 1000.0, row["to_mm"] / 1000.0 - centres)
                least, most = (int((inside >= by).sum()) for by in (-0.99e-3, -1.01e-3))
                assert least <= row["crossing_count"] <= most, (seed, number)
                rows_seen += 1
    assert rows_seen > 10 * SLOPES


def test_batten_lines(taken_off):
    """A line for each course that the slope takes, equally far over its tail; no batten lies on another."""
    for seed in range(SLOPES):
        slope, result, layout = taken_off(seed)
        rows = result.table("battens").records()
        lines = np.array(sorted({row["at_mm"] for row in rows}))
        tails = np.array([course[2] * 1000.0 for course in layout.course_cells_m if course[1] == "field"])
        low, high = (1000.0 * slope.deck.bounds[at] for at in (1, 3))
        # Some line over the first tail line is the first course's; the others follow at the gauge. Lines within a
        # millimetre are one.
        fits = []
        for hanging in lines - tails[0]:
            wanted = tails + hanging
            wanted = wanted[(wanted > low) & (wanted < high)]
            fits.append(
                bool(np.all(np.abs(wanted[:, None] - lines).min(axis=1) < 1.01)) if wanted.size else True
            )
        assert any(fits), (seed, lines, tails)
        ordered = sorted(rows, key=lambda row: row["at_mm"])
        for one, other in pairwise(ordered):
            near = other["at_mm"] - one["at_mm"] < 0.99
            overlap = min(one["to_mm"], other["to_mm"]) - max(one["from_mm"], other["from_mm"])
            assert not (near and overlap > 0.2), (seed, one, other)


def stretches_under(layout: sw.SlopeLayout, v: float) -> list[tuple[float, float]]:
    """The stretches of the under-eaves courses of which a unit may hang on a line."""
    courses = zip(layout.course_cells_m, layout.course_stretches_m, strict=True)
    return [
        stretch or ALL_THE_WAY
        for (_, kind, low, *_), stretch in courses
        if kind == "under-eaves" and low < v < low + 0.6
    ]


def clipped(intervals: list[tuple[float, float]], to: tuple[float, float]) -> list[tuple[float, float]]:
    cut = [(max(start, to[0]), min(end, to[1])) for start, end in intervals]
    return [(start, end) for start, end in cut if end > start]


def rings(region: BaseGeometry) -> Iterator[list[tuple[float, float]]]:
    for part in shapely.get_parts(region):
        yield list(part.exterior.coords)
        yield from (list(hole.coords) for hole in part.interiors)


def close(one: list[tuple[float, float]], other: list[tuple[float, float]], by: float = 2e-4) -> bool:
    return len(one) == len(other) and (not one or bool(np.abs(np.array(one) - np.array(other)).max() < by))


def test_counter_battens(taken_off):
    """Counter-battens: the length of the rafters under the slope."""
    for seed in range(SLOPES):
        slope, result, _ = taken_off(seed)
        left, _, right, _ = slope.deck.bounds
        centres = slope.first_rafter + np.arange(-200, 400) * slope.rafter_spacing
        centres = centres[(centres >= left - 1e-3) & (centres <= right + 1e-3)]
        uprights = {round(u, 7) for ring in rings(slope.deck) for u, _ in ring}
        if uprights & set(np.round(centres, 7)):
            continue
        expected = twin.length_on_uprights(slope.deck, centres)
        found = next(line.length_m for line in result.lines if line.item == "counter-battens")
        # Openings that touch the outline are cut out on the grid of 0.1 mm: so much at each end of a rafter.
        is_exact = all(Polygon(slope.corners).contains_properly(opening) for opening in slope.openings)
        assert abs(found - expected) < (1e-6 if is_exact else 2e-4 * centres.size), (seed, found, expected)


def test_underlay(taken_off):
    """Runs of underlay: each as long as the shadow of its band, each lapped over the one below, none missing."""
    seen = 0
    for seed in range(SLOPES):
        slope, result, _ = taken_off(seed)
        area = moved(slope, slope.underlay_moves)
        if area is None:
            continue
        area = shapely.difference(area, shapely.union_all(slope.openings))
        runs: dict[float, list[dict]] = {}
        for run in result.table("underlay").records():
            runs.setdefault(run["at_mm"] / 1000.0, []).append(run)
        low, high = area.bounds[1], area.bounds[3]
        step = slope.underlay_width - slope.underlay_lap
        levels = sorted(runs)
        assert np.allclose(levels, low + np.arange(len(levels)) * step, atol=2e-4), (seed, levels, low, step)
        # The last run reaches the top; without it, it would not be reached.
        assert levels[-1] + slope.underlay_width > high - 2e-4, seed
        assert len(levels) == 1 or levels[-2] + slope.underlay_width < high, seed
        for level, rows in runs.items():
            expected = twin.shadow_of_band(area, level, level + slope.underlay_width)
            found = joined([(row["from_mm"] / 1000.0, row["to_mm"] / 1000.0) for row in rows])
            assert close(found, expected), (seed, level, found, expected)
        seen += 1
    assert seen > 0.4 * SLOPES
