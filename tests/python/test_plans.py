"""Roofs over any straight-sided plan.

Independent: the faces are laid back into plan with numpy and checked with shapely: they tile the plan, their heights
agree wherever two meet, and over convex plans the height is the least over all edges. Which joints are hips and
valleys is told by the lie of the two faces in space.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

import slopewright as sw

shapely = pytest.importorskip("shapely")
from shapely import affinity  # noqa: E402
from shapely.geometry import Point, Polygon, box  # noqa: E402
from shapely.ops import unary_union  # noqa: E402

COVERING = "plain-tile-265x165"


def star(rng: np.random.Generator, count: int) -> list[tuple[float, float]]:
    """A plan round its middle, to the millimetre as a tape gives it."""
    while True:
        angles = np.sort(rng.uniform(0, 2 * math.pi, count))
        if np.diff(np.append(angles, angles[0] + 2 * math.pi)).max() < 3.0:
            break
    radii = rng.uniform(4, 12, count)
    corners = [
        (round(r * math.cos(a), 3), round(r * math.sin(a), 3)) for a, r in zip(angles, radii, strict=True)
    ]
    return corners if Polygon(corners).is_valid and Polygon(corners).area > 1 else star(rng, count)


def boxes(rng: np.random.Generator) -> list[tuple[float, float]]:
    """A plan of joined rectangles on whole metres: full of ties between events."""
    while True:
        parts = []
        for _ in range(rng.integers(2, 6)):
            x, y = rng.integers(0, 12, 2)
            w, h = rng.integers(2, 10, 2)
            parts.append(box(x, y, x + w, y + h))
        union = unary_union(parts)
        if union.geom_type == "Polygon" and not union.interiors:
            corners = list(union.simplify(0).exterior.coords)[:-1]
            return corners[::-1] if not union.exterior.is_ccw else corners


def regular(count: int, size: float = 6.0) -> list[tuple[float, float]]:
    return [
        (size * math.cos(2 * math.pi * k / count), size * math.sin(2 * math.pi * k / count))
        for k in range(count)
    ]


class Laid:
    """The faces of a roof laid back into plan, each corner with its height."""

    def __init__(
        self, corners: list[tuple[float, float]], pitch: float, gables: tuple[int, ...] = ()
    ) -> None:
        corners = [(float(x), float(y)) for x, y in corners]
        built = sw.Roof(covering=COVERING).plan("r", corners_m=corners, pitch_deg=pitch, gables=gables)
        self.take_off = built.take_off()
        self.plan = Polygon(corners)
        ring = corners if self.plan.exterior.is_ccw else corners[::-1]
        count = len(corners)
        self.faces: dict[str, np.ndarray] = {}
        for slope in self.take_off.slopes:
            number = int(slope.slope.removeprefix("r "))
            a, b = np.array(corners[number - 1]), np.array(corners[number % count])
            if ring is not corners:
                a, b = b, a
            along = (b - a) / np.linalg.norm(b - a)
            inwards = np.array([-along[1], along[0]])
            angle = math.radians(pitch)
            self.faces[slope.slope] = np.array(
                [
                    [*(a + u * along + v * math.cos(angle) * inwards), v * math.sin(angle)]
                    for u, v in slope.outline_m
                ]
            )

    def polygon(self, name: str) -> Polygon:
        return Polygon(self.faces[name][:, :2])

    def check(self) -> None:
        parts = [self.polygon(name) for name in self.faces]
        assert all(part.is_valid for part in parts)
        assert sum(part.area for part in parts) == pytest.approx(self.plan.area, rel=1e-9)
        # On a fine grid, so that corners that agree to rounding are one.
        together = shapely.union_all(np.array(parts), grid_size=1e-7)
        assert together.symmetric_difference(self.plan).area < 1e-5
        self.check_joints()

    def edge(self, side: str) -> np.ndarray:
        slope, edge = side.rsplit(": ", 1)
        rows = [row["edge"] for row in self.take_off.table("edges").records() if row["slope"] == slope]
        at = rows.index(edge)
        ring = self.faces[slope]
        return np.array([ring[at], ring[(at + 1) % len(ring)]])

    def check_joints(self) -> None:
        for joint in self.take_off.joints:
            one, other = (self.edge(side) for side in joint.between)
            # One line in space, run the other way.
            assert np.allclose(one, other[::-1], atol=2e-6), joint
            assert joint.difference_m < 4e-6
            assert joint.role == self.kind(*[side.rsplit(": ", 1)[0] for side in joint.between], one)

    def kind(self, first: str, second: str, line: np.ndarray) -> str:
        a, b = line
        inside = np.cross(self.normal(second), a - b)
        outer = float(self.normal(first) @ inside) < 0
        if not outer:
            return "valley"
        return "ridge" if abs(b[2] - a[2]) < 0.087 * np.linalg.norm(b - a) else "hip"

    def normal(self, name: str) -> np.ndarray:
        ring = self.faces[name]
        total = np.sum(np.cross(ring - ring[0], np.roll(ring, -1, axis=0) - ring[0]), axis=0)
        return total / np.linalg.norm(total)


@pytest.mark.parametrize("seed", range(60))
def test_any_plan_round_its_middle(seed: int) -> None:
    rng = np.random.default_rng(seed)
    Laid(star(rng, int(rng.integers(3, 25))), float(rng.uniform(20, 60))).check()


@pytest.mark.parametrize("seed", range(100))
def test_joined_rectangles(seed: int) -> None:
    rng = np.random.default_rng(seed)
    Laid(boxes(rng), 45.0).check()


@pytest.mark.parametrize("seed", range(30))
def test_joined_rectangles_turned_and_taped(seed: int) -> None:
    rng = np.random.default_rng(seed)
    turned = affinity.rotate(Polygon(boxes(rng)), float(rng.uniform(0, 90)), origin=(0, 0))
    corners = [(round(x, 3), round(y, 3)) for x, y in list(turned.exterior.coords)[:-1]]
    Laid(corners, 40.0).check()


@pytest.mark.parametrize("count", [3, 4, 5, 6, 8, 12, 32, 100])
def test_regular_plans_come_to_a_point(count: int) -> None:
    laid = Laid(regular(count), 45.0)
    laid.check()
    # A cone of the same pitch over the inscribed circle is as high: the distance from the middle to a side.
    high = max(face[:, 2].max() for face in laid.faces.values())
    assert high == pytest.approx(6.0 * math.cos(math.pi / count), rel=1e-9)


@pytest.mark.parametrize("seed", range(5))
def test_a_hundred_corners(seed: int) -> None:
    Laid(star(np.random.default_rng(seed), 100), 35.0).check()


@pytest.mark.parametrize("seed", range(30))
def test_over_convex_plans_the_lowest_plane_counts(seed: int) -> None:
    rng = np.random.default_rng(seed)
    hull = shapely.MultiPoint(rng.uniform(-8, 8, (12, 2)).round(3)).convex_hull
    corners = list(hull.exterior.coords)[:-1]
    corners = corners if hull.exterior.is_ccw else corners[::-1]
    laid = Laid(corners, 45.0)
    laid.check()
    for x, y in rng.uniform(-8, 8, (50, 2)):
        if not hull.contains(Point(x, y)):
            continue
        least = min(
            shapely.LineString([a, b]).distance(Point(x, y))
            for a, b in zip(corners, corners[1:] + corners[:1], strict=True)
        )
        name = min(laid.faces, key=lambda name: laid.polygon(name).distance(Point(x, y)))
        origin, normal = laid.faces[name][0], laid.normal(name)
        height = origin[2] - ((x - origin[0]) * normal[0] + (y - origin[1]) * normal[1]) / normal[2]
        assert height == pytest.approx(least, abs=1e-6)


@pytest.mark.parametrize("seed", range(20))
def test_gables_stand_upright(seed: int) -> None:
    """A rectangle with gables is the gabled form; other plans still tile."""
    rng = np.random.default_rng(seed)
    span, length = float(rng.uniform(4, 9)), float(rng.uniform(10, 20))
    corners = [(0, 0), (length, 0), (length, span), (0, span)]
    laid = Laid(corners, 40.0, gables=(2, 4))
    laid.check()
    gable = sw.Roof(covering=COVERING).gable("g", length_m=length, span_m=span, pitch_deg=40.0).take_off()
    for one, other in zip(laid.take_off.slopes, gable.slopes, strict=True):
        assert one.gross_area_m2 == pytest.approx(other.gross_area_m2, rel=1e-9)
    roles = sorted(row["role"] for row in laid.take_off.table("edges").records())
    assert roles == ["eaves"] * 2 + ["ridge"] * 2 + ["verge"] * 4
    wing = [(0, 0), (3, 0), (3, -4), (3 + span, -4), (3 + span, 0), (length + 4, 0), (length + 4, 9), (0, 9)]
    Laid(wing, 35.0, gables=(3, 6, 8)).check()


def test_clockwise_corners_keep_their_numbers() -> None:
    corners = [(0, 0), (0, 6), (10, 6), (10, 0)]
    laid = Laid(corners, 45.0)
    laid.check()
    areas = {slope.slope: slope.gross_area_m2 for slope in laid.take_off.slopes}
    # Edges 1 and 3 are the short ones: hip ends of 3 m by 6 m halved in plan.
    assert areas["r 1"] == pytest.approx(9 * math.sqrt(2), rel=1e-12)
    assert areas["r 2"] == pytest.approx(21 * math.sqrt(2), rel=1e-12)


@pytest.mark.parametrize(
    ("corners", "gables", "code"),
    [
        ([(0, 0), (8, 0), (8, 6), (0, 6)], (5,), "gable-unfit"),
        ([(0, 0), (8, 0), (8, 6), (0, 6)], (1, 2), "gable-unfit"),
        ([(0, 0), (6, 0), (6, 6), (12, 6), (12, 12), (0, 12)], (2,), "gable-unfit"),
        ([(0, 0), (8, 6), (8, 0), (0, 6)], (), "outline-crosses-itself"),
        (regular(101), (), "too-many-corners"),
    ],
)
def test_plans_that_cannot_be(corners: list, gables: tuple[int, ...], code: str) -> None:
    with pytest.raises(sw.SurveyError) as caught:
        sw.Roof(covering=COVERING).plan("r", corners_m=corners, pitch_deg=40, gables=gables).survey().check()
    assert code in [fault.kind for fault in caught.value.faults]
    assert all(fault.place.startswith("form 'r'") for fault in caught.value.faults)
