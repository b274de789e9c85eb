"""Outlines that are broken, at random and in the classic ways: what is refused is what shapely says is not valid.

Where the two differ, and why, is the table `DIFFERENCES`; each of its rows must be met, and no other difference may be.
The ordinary run takes 2,000 outlines; with SLOPEWRIGHT_FULL=1 it is 20,000.
"""

from __future__ import annotations

import json
import math
import os
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
import polars as pl
import pytest
import shapely
from shapely.geometry import LineString, Polygon

import slopewright as sw

OUTLINES = 20_000 if os.environ.get("SLOPEWRIGHT_FULL") == "1" else 2_000

Corner = tuple[float, float]
Ring = list[Corner]

#: The grid: distances under it are no distance.
GRID_M = 0.0001
#: How far a corner of an opening may lie outside the outline: a slip of the tape.
SLIP_M = 0.001

#: Faults of an outline or of an opening's place.
OF_SHAPE = {
    "too-few-corners",
    "not-finite",
    "corner-repeated",
    "outline-spike",
    "outline-crosses-itself",
    "outline-without-area",
    "opening-outside",
    "openings-overlap",
}


@dataclass
class Shape:
    """An outline with its openings, and how it was broken."""

    outline: Ring
    holes: list[Ring] = field(default_factory=list)
    broken: str = "whole"


def star(chance: np.random.Generator, middle: Corner, reach: float, corners: int) -> Ring:
    """A simple outline round a point: its corners in the order of their bearing."""
    bearings = np.sort(chance.uniform(0, 2 * math.pi, corners))
    # No gap of half a turn, or the point would lie outside.
    bearings = bearings + np.linspace(0, 2 * math.pi, corners, endpoint=False) - bearings.mean()
    bearings = np.sort(np.mod(bearings, 2 * math.pi))
    reaches = chance.uniform(0.45, 1.0, corners) * reach
    return [
        (round(middle[0] + r * math.cos(b), 3), round(middle[1] + r * math.sin(b), 3))
        for r, b in zip(reaches, bearings, strict=True)
    ]


def whole(chance: np.random.Generator) -> Shape:
    """A valid outline, in half of the cases with openings."""
    while True:
        if chance.random() < 0.4:
            wide, high = chance.uniform(3, 12, 2).round(3).tolist()
            outline = [(0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)]
            middle, room = (wide / 2, high / 2), min(wide, high) / 2
        else:
            outline = star(chance, (8.0, 8.0), chance.uniform(3, 8), int(chance.integers(3, 14)))
            middle, room = (8.0, 8.0), 1.3
        holes = []
        if chance.random() < 0.5:
            left = (middle[0] - 0.4 * room, middle[1])
            holes.append(star(chance, left, 0.3 * room, int(chance.integers(3, 7))))
        if holes and chance.random() < 0.4:
            right = (middle[0] + 0.4 * room, middle[1])
            holes.append(star(chance, right, 0.3 * room, 4))
        if shapely.is_valid(Polygon(outline, holes)):
            return Shape(outline, holes)


def cross_two(chance: np.random.Generator, shape: Shape) -> None:
    ring = shape.outline
    one, other = chance.choice(len(ring), 2, replace=False)
    ring[one], ring[other] = ring[other], ring[one]


def move_one(chance: np.random.Generator, shape: Shape) -> None:
    at = int(chance.integers(len(shape.outline)))
    shape.outline[at] = tuple(chance.uniform(-2, 18, 2).round(3).tolist())


def repeat_one(chance: np.random.Generator, shape: Shape) -> None:
    at = int(chance.integers(len(shape.outline)))
    shape.outline.insert(at, shape.outline[at])


def spike(chance: np.random.Generator, shape: Shape) -> None:
    """Out along an edge's own line and straight back."""
    at = int(chance.integers(len(shape.outline)))
    here, following = shape.outline[at], shape.outline[(at + 1) % len(shape.outline)]
    by = chance.uniform(-1.5, 1.5)
    tip = (here[0] + by * (following[0] - here[0]), here[1] + by * (following[1] - here[1]))
    shape.outline.insert(at + 1, tip)
    shape.outline.insert(at + 2, here)


def touch_an_edge(chance: np.random.Generator, shape: Shape) -> None:
    """A corner is put onto an edge that is not its own."""
    ring = shape.outline
    at, to = (int(number) for number in chance.choice(len(ring), 2, replace=False))
    (u, v), (x, y) = ring[to], ring[(to + 1) % len(ring)]
    ring[at] = ((u + x) / 2, (v + y) / 2)


def flatten(chance: np.random.Generator, shape: Shape) -> None:
    level = float(chance.uniform(0, 4))
    shape.outline = [(u, level) for u, _ in shape.outline]


def no_number(chance: np.random.Generator, shape: Shape) -> None:
    bad = float(chance.choice([math.nan, math.inf, -math.inf]))
    at = int(chance.integers(len(shape.outline)))
    u, v = shape.outline[at]
    shape.outline[at] = (bad, v) if chance.random() < 0.5 else (u, bad)


def hole_elsewhere(chance: np.random.Generator, shape: Shape) -> None:
    middle = tuple(chance.uniform(-4, 20, 2).tolist())
    shape.holes.append(star(chance, middle, float(chance.uniform(0.2, 3)), int(chance.integers(3, 8))))


def hole_onto_corner(chance: np.random.Generator, shape: Shape) -> None:
    """A corner of an opening, or of a new one, comes to lie on a corner of the outline."""
    if not shape.holes:
        shape.holes.append(star(chance, (5.0, 5.0), 0.6, 4))
    hole = shape.holes[0]
    hole[int(chance.integers(len(hole)))] = shape.outline[int(chance.integers(len(shape.outline)))]


def hole_in_hole(chance: np.random.Generator, shape: Shape) -> None:
    if not shape.holes:
        shape.holes.append(star(chance, (5.0, 5.0), 0.6, 5))
    u, v = np.mean(shape.holes[0], axis=0)
    by = float(chance.choice([0.3, 0.7, 1.0, 1.4]))
    shape.holes.append([(u + by * (x - u), v + by * (y - v)) for x, y in shape.holes[0]])


def too_few(chance: np.random.Generator, shape: Shape) -> None:
    shape.outline = shape.outline[: int(chance.integers(1, 3))]


def cross_hole(_chance: np.random.Generator, shape: Shape) -> None:
    shape.holes.append([(4.0, 4.0), (5.0, 5.0), (5.0, 4.0), (4.0, 5.0)])


def turn_round(_chance: np.random.Generator, shape: Shape) -> None:
    """The other way round is as good."""
    shape.outline.reverse()


BREAKERS = [
    cross_two,
    move_one,
    repeat_one,
    spike,
    touch_an_edge,
    flatten,
    no_number,
    hole_elsewhere,
    hole_onto_corner,
    hole_in_hole,
    too_few,
    cross_hole,
    turn_round,
]

SQUARE: Ring = [(0.0, 0.0), (8.0, 0.0), (8.0, 6.0), (0.0, 6.0)]

#: The classic cases, by hand; whether shapely calls them valid is asked of it too.
CLASSIC = [
    Shape([(0.0, 0.0), (4.0, 4.0), (4.0, 0.0), (0.0, 4.0)], broken="bow-tie"),
    Shape([(0.0, 0.0), (8.0, 0.0), (8.0, 6.0), (12.0, 6.0), (8.0, 6.0), (0.0, 6.0)], broken="spike outwards"),
    Shape([(0.0, 0.0), (8.0, 0.0), (8.0, 6.0), (4.0, 6.0), (4.0, 3.0), (4.0, 6.0), (0.0, 6.0)], broken="cut"),
    Shape([(0.0, 0.0), (8.0, 0.0), (8.0, 6.0), (4.0, 0.0), (0.0, 6.0)], broken="corner on an edge"),
    Shape(
        [(0.0, 0.0), (4.0, 3.0), (8.0, 0.0), (8.0, 6.0), (4.0, 3.0), (0.0, 6.0)], broken="corner on corner"
    ),
    Shape(SQUARE, [[(20.0, 1.0), (21.0, 1.0), (21.0, 2.0)]], broken="hole outside"),
    Shape(SQUARE, [[(7.0, 1.0), (9.0, 1.0), (9.0, 2.0), (7.0, 2.0)]], broken="hole across the edge"),
    Shape(SQUARE, [[(6.0, 1.0), (8.0, 2.0), (6.0, 3.0)]], broken="hole touches the edge in a point"),
    Shape(SQUARE, [[(6.0, 1.0), (8.0, 1.0), (8.0, 3.0), (6.0, 3.0)]], broken="hole along the edge"),
    Shape(SQUARE, [SQUARE], broken="hole as large as the outline"),
    Shape(
        [(0.0, 0.0), (8.0, 0.0), (8.0, 6.0), (4.0, 3.0), (0.0, 6.0)],
        [[(0.0, 6.0), (4.0, 1.0), (8.0, 6.0)]],
        broken="hole over a notch, from corner to corner",
    ),
    Shape(SQUARE, [[(-1.0, -1.0), (9.0, -1.0), (9.0, 7.0), (-1.0, 7.0)]], broken="hole round the outline"),
    Shape(
        SQUARE,
        [[(2.0, 2.0), (6.0, 2.0), (6.0, 5.0), (2.0, 5.0)], [(3.0, 3.0), (4.0, 3.0), (4.0, 4.0)]],
        broken="hole in hole",
    ),
    Shape(
        SQUARE,
        [[(2.0, 2.0), (4.0, 2.0), (3.0, 4.0)], [(4.0, 2.0), (6.0, 2.0), (5.0, 4.0)]],
        broken="holes touch in a point",
    ),
    Shape(
        SQUARE,
        [[(2.0, 2.0), (4.0, 2.0), (4.0, 4.0), (2.0, 4.0)], [(4.0, 2.0), (6.0, 2.0), (6.0, 4.0), (4.0, 4.0)]],
        broken="holes share a side",
    ),
    Shape(SQUARE, [[(2.0, 2.0), (6.0, 2.0), (4.0, 4.0)]] * 2, broken="the same hole twice"),
    Shape([(0.0, 0.0), (4.0, 0.0), (8.0, 0.0), (8.0, 6.0), (0.0, 6.0)], broken="corner on a straight edge"),
    Shape([(0.0, 0.0), (4.0, 0.0), (8.0, 0.0)], broken="all on a line"),
    Shape([(1.0, 1.0)] * 4, broken="all in one place"),
    Shape([*SQUARE[:2], SQUARE[1], *SQUARE[2:]], broken="corner twice"),
    Shape([(0.0, 0.0), (8.0, 0.0), (8.0, 0.00005), (8.0, 6.0), (0.0, 6.0)], broken="corners 0.05 mm apart"),
    Shape([(0.0, 0.0), (8.0, 0.0), (4.0, 0.00005), (4.0, 6.0), (0.0, 6.0)], broken="spike of 0.05 mm"),
    Shape([(0.0, 0.0), (8.0, 0.0), (8.0, 0.00002), (0.0, 0.00002)], broken="strip of 0.02 mm"),
    Shape(SQUARE, [[(6.0, 1.0), (8.0005, 2.0), (6.0, 3.0)]], broken="hole out by half a millimetre"),
    Shape([(0.0, 0.0), (math.nan, 0.0), (8.0, 6.0)], broken="not a number"),
    Shape([(0.0, 0.0), (math.inf, 0.0), (8.0, 6.0)], broken="infinite"),
    Shape([(0.0, 0.0), (-0.0, 6.0), (8.0, 6.0), (8.0, -0.0)], broken="the other way round"),
]


def broken(number: int) -> Shape:
    """The outline of a number: whole in one case of fourteen, else broken once or twice."""
    chance = np.random.default_rng([4_711, number])
    shape = whole(chance)
    for _ in range(1 if chance.random() < 0.8 else 2):
        breaker = BREAKERS[(number + int(chance.integers(2))) % len(BREAKERS)] if number % 14 else None
        if breaker is not None and len(shape.outline) > 2:
            breaker(chance, shape)
            shape.broken = breaker.__name__
    return shape


def says_shapely(shape: Shape) -> bool:
    if len(shape.outline) < 3:
        return False
    # numpy warns of what is no number. Where the first corner is none, shapely cannot close the ring; else it says that
    # it is not valid.
    with np.errstate(invalid="ignore"):
        try:
            return bool(shapely.is_valid(Polygon(shape.outline, shape.holes)))
        except shapely.errors.GEOSException:
            return False


def closed(ring: Sequence[Corner]) -> list[tuple[Corner, Corner]]:
    return list(pairwise([*ring, ring[0]]))


def is_repeated(shape: Shape) -> bool:
    """A corner less than the grid from the next: shapely takes it for one corner, the library for a slip."""
    return any(math.dist(*side) < GRID_M for ring in [shape.outline, *shape.holes] for side in closed(ring))


def is_spike_to_the_grid(shape: Shape) -> bool:
    """Two sides at a corner that lie on each other to the grid."""
    for ring in [shape.outline, *shape.holes]:
        for (a, b), (_, c) in zip(closed(ring), closed(ring)[1:] + closed(ring)[:1], strict=True):
            back, on = (a[0] - b[0], a[1] - b[1]), (c[0] - b[0], c[1] - b[1])
            longest = max(math.hypot(*back), math.hypot(*on))
            across = abs(back[0] * on[1] - back[1] * on[0])
            if back[0] * on[0] + back[1] * on[1] > 0 and across < 1.01 * GRID_M * longest:
                return True
    return False


def is_narrow(shape: Shape) -> bool:
    """Less area than a strip as long as the outline and as wide as the grid."""
    for ring in [shape.outline, *shape.holes]:
        polygon = Polygon(ring)
        low_u, low_v, high_u, high_v = polygon.bounds
        if polygon.area < 1.01 * GRID_M * math.hypot(high_u - low_u, high_v - low_v):
            return True
    return False


def touches_itself_to_rounding(shape: Shape) -> bool:
    """A corner on another edge, but for the last digits of a double."""
    for ring in [shape.outline, *shape.holes]:
        sides = closed(ring)
        for at, corner in enumerate(ring):
            others = [side for number, side in enumerate(sides) if number not in {at, (at - 1) % len(sides)}]
            if any(LineString(side).distance(shapely.Point(corner)) < 1e-9 for side in others):
                return True
    return False


def rings_are_sound(shape: Shape) -> bool:
    """Whether each ring by itself is valid: nothing excuses one that is not."""
    return all(shapely.is_valid(Polygon(ring)) for ring in [shape.outline, *shape.holes])


def holes_touch(shape: Shape) -> bool:
    """Openings that share a side, or touch in more than a point: the room between them is nothing that is covered."""
    if not rings_are_sound(shape):
        return False
    holes = [Polygon(hole) for hole in shape.holes]
    return any(one.touches(other) for at, one in enumerate(holes) for other in holes[at + 1 :]) and not any(
        one.overlaps(other) for at, one in enumerate(holes) for other in holes[at + 1 :]
    )


def is_along_the_edge(shape: Shape) -> bool:
    """An opening that lies along an edge, or out of it by no more than a slip of the tape."""
    if not rings_are_sound(shape):
        return False
    outline = Polygon(shape.outline)
    return all(outline.buffer(1.01 * SLIP_M).covers(Polygon(hole)) for hole in shape.holes) and any(
        outline.exterior.distance(Polygon(hole)) < SLIP_M for hole in shape.holes
    )


#: (what shapely says, what is met): where the library says the opposite, and why.
DIFFERENCES = {
    # Refused, though valid: a slip that the surveyor should see.
    "repeated corner": (True, is_repeated),
    "spike to the grid": (True, is_spike_to_the_grid),
    "narrower than the grid": (True, is_narrow),
    "touches itself to rounding": (True, touches_itself_to_rounding),
    # Taken, though not valid as a polygon: sound as a roof, since openings are cut out one by one.
    "openings side by side": (False, holes_touch),
    "opening along the edge": (False, is_along_the_edge),
}


def taken(shapes: list[Shape]) -> list[set[str]]:
    """The faults of each outline, out of one batch."""
    rows = pl.DataFrame(
        {
            "id": list(range(len(shapes))),
            "corners_m": [[list(corner) for corner in shape.outline] for shape in shapes],
            "openings_m": [[[list(corner) for corner in hole] for hole in shape.holes] for shape in shapes],
            "pitch_deg": [45.0] * len(shapes),
        },
        schema_overrides={
            "corners_m": pl.List(pl.List(pl.Float64)),
            "openings_m": pl.List(pl.List(pl.List(pl.Float64))),
        },
    )
    batch = sw.take_off_batch(rows, covering="plain-tile-265x165", units_only=True)
    faults: list[set[str]] = [set() for _ in shapes]
    for row in pl.DataFrame(batch.errors).to_dicts():
        faults[row["id"]].add(row["kind"])
    return faults


def compare(shapes: list[Shape]) -> Counter[str]:
    """Every difference by its name in the table; any other fails."""
    met: Counter[str] = Counter()
    strange = []
    for shape, faults in zip(shapes, taken(shapes), strict=True):
        valid = says_shapely(shape)
        met[f"shapely: {valid}"] += 1
        if (not faults & OF_SHAPE) == valid:
            continue
        # A difference is looked for only where the numbers are numbers, and the rings rings.
        names = [name for name, (says, is_met) in DIFFERENCES.items() if says == valid and is_met(shape)]
        met.update(names)
        if not names:
            strange.append((shape, valid, sorted(faults)))
    assert not strange, f"{len(strange)} outlines differ: {strange[:3]}"
    return met


def test_random_broken_outlines():
    shapes = [broken(number) for number in range(OUTLINES)]
    met = compare(shapes)
    ways = Counter(shape.broken for shape in shapes)
    assert set(ways) >= {breaker.__name__ for breaker in BREAKERS} | {"whole"}
    # Both answers are common, or the check would check little.
    assert met["shapely: True"] > OUTLINES / 10
    assert met["shapely: False"] > OUTLINES / 3


def test_the_classic_cases():
    met = compare(CLASSIC)
    unmet = set(DIFFERENCES) - set(met) - {"touches itself to rounding"}
    assert not unmet, f"differences that are listed and not met: {unmet}"


@pytest.mark.parametrize("shape", CLASSIC, ids=lambda shape: shape.broken)
def test_a_survey_says_the_same_as_a_batch(shape):
    """The same outline as a document gives the same faults."""
    if not all(math.isfinite(number) for corner in shape.outline for number in corner):
        pytest.skip("a document cannot say it")

    def ring(corners: Ring) -> list[list[str]]:
        return [[f"{u!r} m", f"{v!r} m"] for u, v in corners]

    roof = {
        "slopewright": 1,
        "covering": {"format": "plain-tile-265x165"},
        "slope": [
            {
                "shape": "outline",
                "pitch": "45 deg",
                "points": ring(shape.outline),
                "opening": [{"points": ring(hole)} for hole in shape.holes],
            }
        ],
    }
    [batch] = taken([shape])
    try:
        sw.Survey.from_json(json.dumps(roof)).take_off()
        faults: set[str] = set()
    except sw.SurveyError as error:
        faults = {fault.kind for fault in error.faults}
    assert faults == batch
