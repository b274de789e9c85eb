"""Batches against peers in one run: numpy course by course, shapely tile by tile, and the area formula.

It prints slopes for each second and the ratios; and for one roof, what the Python side adds to the work of the library.

    SLOPEWRIGHT_SHARED_DATA=... PYTHONPATH=target/python:tests/oracle python3 benches/peers.py

The library must be built for release (`cargo build --release -p slopewright-python --features pyo3/extension-module`).
Read the ratios, not the times: the machine drifts. Processor time is told, so
that what others take of the machine does not count.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from typing import Any

import numpy as np
import polars as pl
import shapely

import roof_surfaces
import shapely_twin
import slopewright as sw

COVERINGS = ("plain-tile-265x165", "interlocking-420x330")


def real_slopes() -> pl.DataFrame:
    """Read the slopes of the shared city models."""
    place = roof_surfaces.folder()
    if place is None:
        sys.exit("the shared data is not here: set SLOPEWRIGHT_SHARED_DATA to the folder that has cityjson/")
    tables = [pl.DataFrame(sw.read_city_model(path).slopes) for path in sorted(place.iterdir())]
    return pl.concat(tables).filter(pl.col("pitch_deg").is_between(20, 70))


def layouts(rows: pl.DataFrame, covering: str) -> list[sw.SlopeLayout]:
    """Set the slopes out: the peers are handed covered rings and the bands of courses."""
    found = []
    for row in rows.to_dicts():
        edges = {str(at): sw.Edge(role=role) for at, role in enumerate(row["roles"], start=1)}
        holes = [sw.Opening(corners_m=hole) for hole in row["openings_m"]]
        roof = sw.Roof(covering=covering)
        roof.outline("a", corners_m=row["corners_m"], pitch_deg=row["pitch_deg"], edges=edges, openings=holes)
        found.append(roof.take_off().slopes[0])
    return found


def by_numpy(layout: sw.SlopeLayout) -> tuple[int, int]:
    """Areas of the cells of each course by adding up what each edge leaves to its right, all with numpy."""
    starts, ends = [], []
    for ring in layout.covered_rings_m:
        corners = np.array(ring)
        starts.append(corners)
        ends.append(np.roll(corners, -1, axis=0))
    a, b = np.concatenate(starts), np.concatenate(ends)
    # A level edge spans no height.
    spans = a[:, 1] != b[:, 1]
    a, b = a[spans], b[spans]
    rising = b[:, 1] > a[:, 1]
    low, high = np.where(rising[:, None], a, b), np.where(rising[:, None], b, a)
    side = np.where(rising, -1.0, 1.0)
    left, right = a[:, 0].min(), a[:, 0].max()
    whole = cut = 0
    for (_, _, bottom, top, origin, width), stretch in zip(
        layout.course_cells_m, layout.course_stretches_m, strict=True
    ):
        crossing = (low[:, 1] < top) & (high[:, 1] > bottom)
        p, q, way = low[crossing], high[crossing], side[crossing]
        v0, v1 = np.maximum(p[:, 1], bottom), np.minimum(q[:, 1], top)
        slant = (q[:, 0] - p[:, 0]) / (q[:, 1] - p[:, 1])
        u0, u1 = p[:, 0] + (v0 - p[:, 1]) * slant, p[:, 0] + (v1 - p[:, 1]) * slant
        first, last = int(np.floor((left - origin) / width)), int(np.ceil((right - origin) / width))
        joints = origin + np.arange(first, last + 1) * width
        # The area of the band to the left of each joint and to the right of each edge.
        near, far = np.minimum(u0, u1)[:, None], np.maximum(u0, u1)[:, None]
        span = np.where(far > near, far - near, 1.0)
        within = np.clip(joints, near, far) - near
        area = (v1 - v0)[:, None] * (within * within / (2 * span) + np.maximum(joints - far, 0.0))
        cells = np.diff((way[:, None] * area).sum(axis=0)) / (width * (top - bottom))
        if stretch is not None:
            overlap = np.minimum(joints[:-1] + width, stretch[1]) - np.maximum(joints[:-1], stretch[0])
            cells = cells[overlap > 0.01 * width]
        is_whole = cells >= 1.0 - 1e-6
        whole += int(is_whole.sum())
        cut += int(((cells > 0.01 + 1e-9) & ~is_whole).sum())
    return whole, cut


def by_shapely(layout: sw.SlopeLayout) -> tuple[int, int]:
    """Every tile clipped with shapely, one by one."""
    region = shapely_twin.region_of_rings(layout.covered_rings_m)
    left, _, right, _ = region.bounds
    whole = cut = 0
    for (_, _, low, high, origin, width), stretch in zip(
        layout.course_cells_m, layout.course_stretches_m, strict=True
    ):
        for cell in range(int(np.floor((left - origin) / width)), int(np.ceil((right - origin) / width)) + 1):
            start = origin + cell * width
            if (
                stretch is not None
                and min(start + width, stretch[1]) - max(start, stretch[0]) <= 0.01 * width
            ):
                continue
            share = shapely.box(start, low, start + width, high).intersection(region).area / (
                width * (high - low)
            )
            whole += share >= 1.0 - 1e-6
            cut += 0.01 + 1e-9 < share < 1.0 - 1e-6
    return whole, cut


def seconds(work: Callable[[], Any], times: int) -> float:
    """Return the least processor time of several goes."""
    spent = []
    for _ in range(times):
        start = time.process_time()
        work()
        spent.append(time.process_time() - start)
    return min(spent)


def compare(rows: pl.DataFrame, many: pl.DataFrame, covering: str) -> None:
    """Time a covering in every way and print what came out."""
    made = layouts(rows, covering)
    step = max(1, len(made) // 20)
    totals = pl.DataFrame(sw.take_off_batch(rows, covering=covering, units_only=True).totals)
    counts = list(zip(totals["positions_whole_count"], totals["positions_cut_count"], strict=True))
    assert [by_numpy(layout) for layout in made] == counts, "numpy counts otherwise"
    assert [by_shapely(layout) for layout in made[::step]] == counts[::step], "shapely counts otherwise"

    def batch(*, units_only: bool) -> sw.Batch:
        return sw.take_off_batch(
            many,
            survey=sw.Roof(covering=covering, rafter_spacing_mm=400, underlay="membrane-1x50").survey(),
            units_only=units_only,
            threads=1,
        )

    # The pool of threads is not this thread: the time of the whole process is told.
    units = seconds(lambda: batch(units_only=True), 3) / len(many)
    whole = seconds(lambda: batch(units_only=False), 3) / len(many)
    numpy = seconds(lambda: [by_numpy(layout) for layout in made], 2) / len(made)
    tiles = seconds(lambda: [by_shapely(layout) for layout in made[::step]], 1) / len(made[::step])
    plain = pl.col("plan_area_m2") / pl.col("pitch_deg").radians().cos()
    formula = seconds(lambda: totals.select((plain / (0.1 * 0.165)).sum()), 5) / len(totals)
    print(f"{covering}: units {1 / units:,.0f} slopes/s, whole take-off {1 / whole:,.0f} slopes/s, one core")
    print(f"  {numpy / units:,.0f} times numpy, {tiles / units:,.0f} times shapely")
    print(f"  the area formula is {units / formula:,.1f} times faster")


def one_roof() -> None:
    """Time one roof from its measures to a count, beside the native calls alone: text in, take-off out."""

    def by_hand() -> sw.Roof:
        roof = sw.Roof(covering="plain-tile-265x165", rafter_spacing_mm=400, underlay="membrane-1x50")
        roof.rectangle("front", eaves_m=9.2, rafter_m=5.1, pitch_deg=40)
        roof.rectangle("rear", eaves_m=9.2, rafter_m=5.1, pitch_deg=40)
        return roof

    text = by_hand().survey().to_json()
    goes = 200
    python = seconds(lambda: [by_hand().take_off() for _ in range(goes)], 5) / goes
    native = seconds(lambda: [sw.Survey.from_json(text).take_off() for _ in range(goes)], 5) / goes
    words = seconds(lambda: [sw.Survey.from_json(text).take_off().lines for _ in range(goes)], 5) / goes
    print(
        f"one roof: {python * 1e6:,.0f} us, {(python - native) * 1e6:,.0f} us of it beyond the native calls"
    )
    print(f"  its lines with their working: {words / native:.2f} times the numbers alone")


def main() -> None:
    """Compare both coverings; with --test on a few slopes only."""
    few = "--test" in sys.argv
    rows = real_slopes()
    rows = rows.head(5) if few else rows
    many = pl.concat(
        [rows.select("id", "corners_m", "openings_m", "roles", "pitch_deg")] * (2 if few else 200)
    )
    print(f"{len(rows)} real slopes, {len(many)} rows")
    one_roof()
    for covering in COVERINGS:
        compare(rows, many, covering)


if __name__ == "__main__":
    main()
