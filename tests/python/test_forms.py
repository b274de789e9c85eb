"""Forms against roofs drawn in space.

Independent: every form is drawn here once more as vertices (x, y, z) and faces in numpy, from the measures alone and
without the library's formulas; lengths are distances in space, areas come from cross products.
"""

from __future__ import annotations

import math
from collections import Counter
from itertools import pairwise

import numpy as np
import pytest

import slopewright as sw

shapely = pytest.importorskip("shapely")
geometry = pytest.importorskip("shapely.geometry")

COVERING = "plain-tile-265x165"
RELATIVE = 1e-9


def roof() -> sw.Roof:
    return sw.Roof(covering=COVERING)


def tan(degrees: float) -> float:
    return math.tan(math.radians(degrees))


class Space:
    """A roof in space: faces as rings of vertices, by the name of the slope."""

    def __init__(self) -> None:
        self.faces: dict[str, np.ndarray] = {}

    def face(self, name: str, *vertices: tuple[float, float, float]) -> None:
        ring: list[np.ndarray] = []
        for vertex in vertices:
            here = np.array(vertex, dtype=float)
            if not ring or np.linalg.norm(here - ring[-1]) > 1e-9:
                ring.append(here)
        if np.linalg.norm(ring[0] - ring[-1]) < 1e-9:
            ring.pop()
        self.faces[name] = np.array(ring)

    def edges(self, name: str) -> list[tuple[np.ndarray, np.ndarray]]:
        ring = self.faces[name]
        return list(zip(ring, np.roll(ring, -1, axis=0), strict=True))

    def area(self, name: str) -> float:
        ring = self.faces[name]
        # Vector area by triangles from the first vertex.
        total = sum((np.cross(a - ring[0], b - ring[0]) for a, b in pairwise(ring[1:])), np.zeros(3))
        return float(np.linalg.norm(total) / 2)

    def normal(self, name: str) -> np.ndarray:
        ring = self.faces[name]
        total = sum((np.cross(a - ring[0], b - ring[0]) for a, b in pairwise(ring[1:])), np.zeros(3))
        return total / np.linalg.norm(total)

    def shared(self) -> list[tuple[str, str, float, str]]:
        """Edges of two faces, with their lengths and what they are by the lie of the faces."""
        found = []
        names = list(self.faces)
        for at, one in enumerate(names):
            for other in names[at + 1 :]:
                for a, b in self.edges(one):
                    for c, d in self.edges(other):
                        if np.linalg.norm(a - d) < 1e-9 and np.linalg.norm(b - c) < 1e-9:
                            found.append(
                                (one, other, float(np.linalg.norm(b - a)), self.kind(one, other, a, b))
                            )
        return found

    def kind(self, one: str, other: str, a: np.ndarray, b: np.ndarray) -> str:
        first, second = self.normal(one), self.normal(other)
        # The other face's inside lies to the right of a -> b; below the plane of this one is an outer edge.
        inside = np.cross(second, a - b)
        outer = float(np.dot(first, inside)) < 0
        level = abs(b[2] - a[2]) < 0.087 * np.linalg.norm(b - a)
        if not outer:
            return "valley"
        if not level:
            return "hip"
        return "ridge" if first[:2] @ second[:2] < 0 else "change-of-pitch"


def edge_rows(take_off: sw.TakeOff) -> list[dict]:
    return take_off.table("edges").records()


def compare(take_off: sw.TakeOff, space: Space, prefix: str = "r ") -> None:
    slopes = {slope.slope: slope for slope in take_off.slopes}
    assert set(slopes) == {prefix + name for name in space.faces}
    rows = edge_rows(take_off)
    for name in space.faces:
        assert slopes[prefix + name].gross_area_m2 == pytest.approx(space.area(name), rel=RELATIVE)
        assert math.cos(math.radians(slopes[prefix + name].pitch_deg)) == pytest.approx(
            space.normal(name)[2], rel=RELATIVE
        )
        laid = [row["length_m"] for row in rows if row["slope"] == prefix + name]
        drawn = [float(np.linalg.norm(b - a)) for a, b in space.edges(name)]
        # The same lengths in the same order round the face, from wherever it begins.
        assert len(laid) == len(drawn)
        turns = [np.roll(drawn, -turn) for turn in range(len(drawn))]
        assert any(np.allclose(laid, turned, rtol=RELATIVE, atol=0) for turned in turns), (name, laid, drawn)
    expected = [(sorted((prefix + a, prefix + b)), length, kind) for a, b, length, kind in space.shared()]
    found = [
        (sorted(side.rsplit(":", 1)[0] for side in joint.between), joint.length_m, joint.role)
        for joint in take_off.joints
    ]
    for (pair, length, kind), (other_pair, other_length, role) in zip(
        sorted(expected), sorted(found), strict=True
    ):
        assert pair == other_pair
        assert other_length == pytest.approx(length, rel=RELATIVE)
        assert role == kind
    for joint in take_off.joints:
        assert joint.difference_m < 1e-9


def hipped_in_space(
    length: float, span: float, pitch: float, end_pitch: float, ends: str | None, down_to: float = 0.0
) -> Space:
    """Ridge, hips and gables, the hips from a level above the eaves on; without ends, a gabled roof."""
    space = Space()
    high = span / 2 * tan(pitch)
    left = (high - down_to) / tan(end_pitch) if ends in ("both", "left") else 0.0
    right = (high - down_to) / tan(end_pitch) if ends in ("both", "right") else 0.0
    step = down_to / tan(pitch)
    ridge_left, ridge_right = (left, span / 2, high), (length - right, span / 2, high)
    front = [(0, 0, 0), (length, 0, 0)]
    rear = [(length, span, 0), (0, span, 0)]
    if right:
        front.append((length, step, down_to))
    front += [ridge_right, ridge_left]
    if left:
        front.append((0, step, down_to))
        rear.append((0, span - step, down_to))
    rear += [ridge_left, ridge_right]
    if right:
        rear.append((length, span - step, down_to))
    space.face("front", *front)
    space.face("rear", *rear)
    if left:
        space.face("left", (0, span - step, down_to), (0, step, down_to), ridge_left)
    if right:
        space.face("right", (length, step, down_to), (length, span - step, down_to), ridge_right)
    return space


def random_hipped(rng: np.random.Generator) -> tuple[dict, Space]:
    span = rng.uniform(4, 12)
    pitch, end_pitch = rng.uniform(20, 60, 2)
    ends = rng.choice(["both", "left", "right"])
    taken = span / 2 * tan(pitch) / tan(end_pitch)
    length = taken * 2 + rng.uniform(0.2, 10)
    measures = {
        "length_m": length,
        "span_m": span,
        "pitch_deg": pitch,
        "hip_pitch_deg": end_pitch,
        "hips": str(ends),
    }
    return measures, hipped_in_space(length, span, pitch, end_pitch, ends)


def random_winged(rng: np.random.Generator) -> tuple[dict, Space]:
    span, length = rng.uniform(5, 12), rng.uniform(8, 20)
    pitch = rng.uniform(25, 55)
    high = span / 2 * tan(pitch)
    wing_span = rng.uniform(1.5, min(span, length) * 0.9)
    # The wing's ridge stays at or under the main one.
    steepest = math.degrees(math.atan(high / (wing_span / 2)))
    wing_pitch = rng.uniform(15, min(steepest, 70))
    out, at = rng.uniform(0.5, 6), rng.uniform(0, length - wing_span)
    measures = {
        "length_m": length,
        "span_m": span,
        "pitch_deg": pitch,
        "wing_span_m": wing_span,
        "wing_length_m": out,
        "wing_from_left_m": at,
        "wing_pitch_deg": wing_pitch,
    }
    space = Space()
    low = wing_span / 2 * tan(wing_pitch)
    middle = at + wing_span / 2
    head = (middle, low / tan(pitch), low)
    front_low = [(0, 0, 0), (at, 0, 0), head, (at + wing_span, 0, 0), (length, 0, 0)]
    space.face("front", *front_low, (length, span / 2, high), (0, span / 2, high))
    space.face("rear", (length, span, 0), (0, span, 0), (0, span / 2, high), (length, span / 2, high))
    gable = (middle, -out, low)
    space.face("wing left", (at, 0, 0), (at, -out, 0), gable, head)
    space.face("wing right", (at + wing_span, -out, 0), (at + wing_span, 0, 0), head, gable)
    return measures, space


@pytest.mark.parametrize("seed", range(40))
def test_gabled_and_hipped_forms(seed: int) -> None:
    rng = np.random.default_rng(seed)
    measures, space = random_hipped(rng)
    compare(roof().hipped("r", **measures).take_off(), space)
    length, span, pitch = measures["length_m"], measures["span_m"], measures["pitch_deg"]
    gable = roof().gable("r", length_m=length, span_m=span, pitch_deg=pitch).take_off()
    compare(gable, hipped_in_space(length, span, pitch, pitch, None))
    lean_to = Space()
    top = span * tan(pitch)
    lean_to.face("front", (0, 0, 0), (length, 0, 0), (length, span, top), (0, span, top))
    compare(roof().lean_to("r", length_m=length, span_m=span, pitch_deg=pitch).take_off(), lean_to)


@pytest.mark.parametrize("seed", range(40))
def test_half_hipped_forms(seed: int) -> None:
    rng = np.random.default_rng(seed)
    span = rng.uniform(4, 12)
    pitch, end_pitch = rng.uniform(25, 60, 2)
    ends = str(rng.choice(["both", "left", "right"]))
    high = span / 2 * tan(pitch)
    hip = rng.uniform(0.2, 0.8) * high
    length = 2 * hip / tan(end_pitch) + rng.uniform(1, 10)
    measures = {
        "length_m": length,
        "span_m": span,
        "pitch_deg": pitch,
        "hip_pitch_deg": end_pitch,
        "hips": ends,
    }
    space = hipped_in_space(length, span, pitch, end_pitch, ends, down_to=high - hip)
    compare(roof().half_hipped("r", hip_height_m=hip, **measures).take_off(), space)
    # The eaves of the half-hip, measured in space, say the same.
    side = "left" if "left" in space.faces else "right"
    eaves = float(np.linalg.norm(space.faces[side][1] - space.faces[side][0]))
    compare(roof().half_hipped("r", half_hip_eaves_m=eaves, **measures).take_off(), space)


@pytest.mark.parametrize("seed", range(40))
def test_winged_forms(seed: int) -> None:
    measures, space = random_winged(np.random.default_rng(seed))
    compare(roof().winged("r", **measures).take_off(), space)


def test_a_wing_as_high_as_the_roof_parts_the_front() -> None:
    space = Space()
    high = 4 * tan(45)
    head = (5, 4, high)
    space.face("front left", (0, 0, 0), (1, 0, 0), head, (0, 4, high))
    space.face("front right", (9, 0, 0), (12, 0, 0), (12, 4, high), head)
    space.face("rear", (12, 8, 0), (0, 8, 0), (0, 4, high), head, (12, 4, high))
    space.face("wing left", (1, 0, 0), (1, -3, 0), (5, -3, high), head)
    space.face("wing right", (9, -3, 0), (9, 0, 0), head, (5, -3, high))
    wing = {"wing_span_m": 8, "wing_length_m": 3, "wing_from_left_m": 1}
    compare(roof().winged("r", length_m=12, span_m=8, pitch_deg=45, **wing).take_off(), space)


def test_a_wing_may_stand_flush_with_an_end() -> None:
    space = Space()
    high, low = 4 * tan(40), 2 * tan(40)
    head = (2, 2, low)
    space.face("front", (0, 0, 0), head, (4, 0, 0), (10, 0, 0), (10, 4, high), (0, 4, high))
    space.face("rear", (10, 8, 0), (0, 8, 0), (0, 4, high), (10, 4, high))
    space.face("wing left", (0, 0, 0), (0, -3, 0), (2, -3, low), head)
    space.face("wing right", (4, -3, 0), (4, 0, 0), head, (2, -3, low))
    wing = {"wing_span_m": 4, "wing_length_m": 3, "wing_from_left_m": 0}
    compare(roof().winged("r", length_m=10, span_m=8, pitch_deg=40, **wing).take_off(), space)


@pytest.mark.parametrize("seed", range(40))
def test_mansards(seed: int) -> None:
    rng = np.random.default_rng(seed)
    span = rng.uniform(6, 12)
    length = span + rng.uniform(0.5, 8)
    lower, upper = rng.uniform(55, 80), rng.uniform(20, 45)
    run = rng.uniform(0.1, 0.6) * span / 2
    middle = run * tan(lower)
    high = middle + (span / 2 - run) * tan(upper)
    ends = [None, "both", "left", "right"][seed % 4]
    left, right = ends in ("both", "left"), ends in ("both", "right")

    def level(inset: float, z: float) -> list[tuple[float, float, float]]:
        x0, x1 = inset * left, length - inset * right
        return [(x0, inset, z), (x1, inset, z), (x1, span - inset, z), (x0, span - inset, z)]

    space = Space()
    levels = {
        "lower": (level(0, 0), level(run, middle)),
        "upper": (level(run, middle), level(span / 2, high)),
    }
    for part, (low, top) in levels.items():
        space.face(f"front {part}", low[0], low[1], top[1], top[0])
        space.face(f"rear {part}", low[2], low[3], top[3], top[2])
        if left:
            space.face(f"left {part}", low[3], low[0], top[0], top[3])
        if right:
            space.face(f"right {part}", low[1], low[2], top[2], top[1])
    measures = {
        "length_m": length,
        "span_m": span,
        "pitch_deg": lower,
        "upper_pitch_deg": upper,
        "hips": ends,
    }
    compare(roof().mansard("r", break_height_m=middle, **measures).take_off(), space)
    rafter = math.hypot(run, middle)
    compare(roof().mansard("r", lower_rafter_m=rafter, **measures).take_off(), space)


@pytest.mark.parametrize("seed", range(20))
def test_hipped_and_gabled_roofs_on_one_plan_have_one_area(seed: int) -> None:
    # Published: Modern Buildings, vol. 2, lays it down as a measuring rule for one pitch.
    rng = np.random.default_rng(seed)
    span, pitch = rng.uniform(4, 12), rng.uniform(15, 65)
    measures = {"length_m": span + rng.uniform(0, 10), "span_m": span, "pitch_deg": pitch}
    area = lambda built: sum(slope.gross_area_m2 for slope in built.take_off().slopes)  # noqa: E731
    hipped, gabled = area(roof().hipped("r", **measures)), area(roof().gable("r", **measures))
    assert hipped == pytest.approx(gabled, rel=RELATIVE)


@pytest.mark.parametrize("start", range(0, 500, 50))
def test_joints_count_once(start: int) -> None:
    """Over a roof: lengths by role are the sums over the slopes, with half of what two slopes share taken off."""
    for seed in range(start, start + 50):
        rng = np.random.default_rng(10_000 + seed)
        measures, space = random_hipped(rng) if seed % 2 else random_winged(rng)
        built = roof().hipped("r", **measures) if seed % 2 else roof().winged("r", **measures)
        take_off = built.take_off()
        rows = edge_rows(take_off)
        of_slopes, counted = Counter(), Counter()
        for row in rows:
            of_slopes[row["role"]] += row["length_m"]
            counted[row["role"]] += row["counted_length_m"] or 0.0
        shared = {"ridge", "hip", "valley"}
        drawn = Counter()
        for _, _, length, kind in space.shared():
            drawn[kind] += length
        for role, total in of_slopes.items():
            assert counted[role] == pytest.approx(total / 2 if role in shared else total, rel=RELATIVE)
            if role in shared:
                assert counted[role] == pytest.approx(drawn[role], rel=RELATIVE)
        whole = sum(space.area(name) for name in space.faces)
        assert sum(slope.gross_area_m2 for slope in take_off.slopes) == pytest.approx(whole, rel=RELATIVE)
