"""Random slopes as survey documents, with what the twin needs to know of each said a second time in plain numbers."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from shapely_twin import Points, mitre_reaches

tomllib = pytest.importorskip("tomllib", reason="Python has its own reader of TOML from 3.11 on")

RULES = Path(__file__).parents[2] / "crates" / "slopewright" / "data" / "rules"

#: Coverings of every family with the area that one unit shows, roughly, and a gauge that may be asked for.
COVERINGS = {
    "plain-tile-265x165": (0.0165, (88, 100)),
    "plain-tile-10.5x6.5in": (0.017, (70, 101)),
    "plain-tile-german-180x380": (0.03, (120, 165)),
    "slate-500x250": (0.05, (150, 200)),
    "slate-20x10in": (0.055, (160, 210)),
    "slate-14x7in": (0.025, (90, 130)),
    "shingle-18x4in": (0.013, (90, 125)),
    "interlocking-420x330": (0.1, (310, 345)),
    "pantile-13.5x9.5in": (0.055, (200, 260)),
}

UNDERLAYS = {"membrane-1x50": 1.0, "membrane-1.5x50": 1.5, "felt-1x15": 1.0}


def _length(text: str) -> float:
    number, unit = text.split()
    return float(number) * {"mm": 1e-3, "m": 1.0, "deg": 1.0}[unit]


def _figure(value: Any) -> float:
    return _length(value["is"] if isinstance(value, dict) else value)


@dataclass
class Slope:
    """A random slope: the document for the library, and the same in numbers for the twin. Lengths in metres."""

    document: dict[str, Any]
    corners: Points
    roles: list[str]
    moves: list[float]
    openings: list[BaseGeometry] = field(default_factory=list)
    cleared: list[BaseGeometry] = field(default_factory=list)
    rafter_spacing: float = 0.4
    first_rafter: float = 0.2
    underlay_width: float = 1.0
    underlay_moves: list[float] = field(default_factory=list)
    underlay_lap: float = 0.0

    @property
    def is_convex(self) -> bool:
        outline = Polygon(self.corners)
        return outline.convex_hull.area - outline.area < 1e-9

    def keeps_its_corners(self, moves: list[float]) -> bool:
        """Whether no corner of the moved outline runs out so far that it is cut off."""
        return mitre_reaches(self.corners, moves) < 3.99

    @property
    def deck(self) -> BaseGeometry:
        return shapely.difference(Polygon(self.corners), shapely.union_all(self.openings))


def random_slope(seed: int) -> Slope:
    """The random slope of a number; the same one every time."""
    rng = np.random.default_rng([20_260_101, seed])
    covering = str(rng.choice(list(COVERINGS)))
    shown, gauges = COVERINGS[covering]
    units = float(np.exp(rng.uniform(np.log(40.0), np.log(5000.0))))
    pitch = float(np.round(rng.uniform(20.0, 60.0), 1))
    fields, corners, names = _outline(rng, max(units * shown, 1.5))
    roles = [_role(rng, a, b) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)]
    edges, moves = _edges(rng, roles, pitch)
    openings, outlines, cleared = _openings(rng, Polygon(corners))
    rafters = {
        "rafter_spacing": float(rng.integers(300, 601)) / 1000.0,
        "first_rafter": float(rng.integers(0, 400)) / 1000.0,
    }
    underlay = str(rng.choice(list(UNDERLAYS)))
    slope = {
        "name": f"random {seed}",
        "pitch": f"{pitch!r} deg",
        "edges": dict(zip(names, edges, strict=True)),
        **fields,
    }
    if openings:
        slope["opening"] = openings
    is_supported = bool(rng.random() < 0.5)
    document = {
        "slopewright": 1,
        "name": "random",
        "covering": _covering(rng, covering, gauges),
        "battens": {name: f"{value!r} m" for name, value in rafters.items()} | {"counter_battens": True},
        "underlay": {"format": underlay, "supported": is_supported},
        "slope": [slope],
    }
    laps, lap = _underlay_laps(pitch, is_supported)
    past = [
        max(by, 0.0) if role in ("eaves", "verge") else laps[role]
        for role, by in zip(roles, moves, strict=True)
    ]
    return Slope(
        document,
        corners,
        roles,
        moves,
        outlines,
        cleared,
        **rafters,
        underlay_width=UNDERLAYS[underlay],
        underlay_moves=past,
        underlay_lap=lap,
    )


def _covering(rng: np.random.Generator, key: str, gauges: tuple[int, int]) -> dict[str, Any]:
    covering: dict[str, Any] = {
        "format": key,
        "bond": str(rng.choice(["half", "straight", f"{rng.uniform(5.0, 90.0):.1f} mm"])),
        "start": str(rng.choice(["left", "right", "centre"])),
    }
    if rng.random() < 0.5:
        covering["gauge"] = f"{rng.uniform(*gauges):.1f} mm"
    if rng.random() < 0.3:
        covering["joint"] = f"{rng.integers(0, 7)} mm"
    return covering


def _outline(rng: np.random.Generator, area: float) -> tuple[dict[str, Any], Points, list[str]]:
    """A shape of about this area: as fields of the document, as corners (anticlockwise), and the names of its edges."""
    aspect = np.exp(rng.uniform(np.log(0.5), np.log(3.0)))
    width, height = float(np.sqrt(area * aspect)), float(np.sqrt(area / aspect))
    # What a tape reads, or anything at all.
    if rng.random() < 0.6:
        width, height = max(round(width, 2), 0.5), max(round(height, 2), 0.5)
    kind = rng.choice(
        ["rectangle", "trapezoid", "hip-end", "parallelogram", "convex", "steps", "star"],
        p=[0.22, 0.16, 0.1, 0.06, 0.1, 0.18, 0.18],
    )
    if kind == "rectangle":
        fields = {"eaves": width, "rafter": height}
        corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
    elif kind == "trapezoid":
        ridge = max(float(width * rng.uniform(0.15, 1.5)), 0.11)
        offset = float(rng.uniform(-0.3, 0.6) * width)
        fields = {"eaves": width, "ridge": ridge, "rafter": height, "offset": offset}
        corners = [(0.0, 0.0), (width, 0.0), (offset + ridge, height), (offset, height)]
    elif kind == "hip-end":
        offset = float(rng.uniform(-0.2, 1.2) * width)
        fields = {"eaves": width, "rafter": height, "offset": offset}
        corners = [(0.0, 0.0), (width, 0.0), (offset, height)]
    elif kind == "parallelogram":
        offset = float(rng.uniform(-0.6, 0.6) * width)
        fields = {"eaves": width, "rafter": height, "offset": offset}
        corners = [(0.0, 0.0), (width, 0.0), (offset + width, height), (offset, height)]
    else:
        make = {"convex": _convex, "steps": _steps, "star": _star}[str(kind)]
        corners = [(float(x), float(y)) for x, y in make(rng, width, height)]
        numbers = range(1, len(corners) + 1)
        clockwise = rng.random() < 0.3
        # Edges are numbered as the survey gives them: from the same corner, it may go round either way.
        given = [corners[0], *corners[:0:-1]] if clockwise else corners
        names = [str(number) for number in (reversed(numbers) if clockwise else numbers)]
        points = [[f"{x!r} m", f"{y!r} m"] for x, y in given]
        return {"shape": "outline", "points": points}, corners, names
    fields = {name: f"{value!r} m" for name, value in fields.items()}
    names = ["eaves", "right", "left"] if len(corners) == 3 else ["eaves", "right", "top", "left"]
    return {"shape": str(kind), **fields}, corners, names


def _convex(rng: np.random.Generator, width: float, height: float) -> np.ndarray:
    """The hull of some points."""
    points = rng.random((int(rng.integers(5, 12)), 2)) * [width, height] * 1.3
    hull = np.array(shapely.convex_hull(shapely.multipoints(points)).exterior.coords)[:-1]
    return _anticlockwise(hull)


def _steps(rng: np.random.Generator, width: float, height: float) -> np.ndarray:
    """Upright sides with steps in the eaves and in the ridge: L, T and U shapes among them."""
    count = int(rng.integers(2, 5))
    ends = np.sort(rng.uniform(0.1, 0.9, count - 1))
    ends = np.concatenate([[0.0], ends, [1.0]]) * width
    if np.diff(ends).min() < 0.15:
        ends = np.linspace(0.0, width, count + 1)
    low = np.round(rng.choice([0.0, 0.0, 0.1, 0.25, 0.4], count) * height, 2)
    low -= low.min()
    high = np.round(rng.choice([1.0, 1.0, 0.9, 0.75, 0.6], count) * height, 2)
    bottom = [(u, v) for at, v in enumerate(low) for u in (ends[at], ends[at + 1])]
    top = [(u, v) for at, v in reversed(list(enumerate(high))) for u in (ends[at + 1], ends[at])]
    corners = [bottom[0]]
    for corner in [*bottom[1:], *top]:
        if corner != corners[-1]:
            corners.append(corner)
    return np.array(corners)


def _star(rng: np.random.Generator, width: float, height: float) -> np.ndarray:
    """Corners round a middle at any distance: often concave."""
    count = int(rng.integers(5, 13))
    turns = (np.arange(count) + rng.uniform(-0.35, 0.35, count)) / count * 2.0 * np.pi
    reach = rng.uniform(0.35, 1.0, count) * 0.75
    return np.column_stack([np.cos(turns) * reach * width, np.sin(turns) * reach * height])


def _anticlockwise(corners: np.ndarray) -> np.ndarray:
    return corners if shapely.linearrings(corners).is_ccw else corners[::-1]


def _role(rng: np.random.Generator, a: tuple[float, float], b: tuple[float, float]) -> str:
    right, up = b[0] - a[0], b[1] - a[1]
    if abs(up) < 1e-9:
        return "eaves" if right > 0.0 else str(rng.choice(["ridge", "ridge", "top-abutment"]))
    return str(rng.choice(["verge", "hip", "valley", "side-abutment"]))


def _edges(
    rng: np.random.Generator, roles: list[str], pitch: float
) -> tuple[list[dict[str, str]], list[float]]:
    """Edges for the document, and how far the covering reaches past each: stated, or by the published figure."""
    figures = tomllib.loads((RULES / "edges.toml").read_text())["edges"][0]
    channel = _figure(_step(figures["steps"], pitch)["valley-channel"])
    by_role = {
        "eaves": _figure(figures["eaves-overhang"]),
        "verge": _figure(figures["verge-overhang-most"]),
        "valley": -channel / 2.0,
        "side-abutment": -_figure(figures["abutment-clearance"]),
        "top-abutment": -_figure(figures["abutment-clearance"]),
        "hip": 0.0,
        "ridge": 0.0,
    }
    # One slope in four reaches past all its edges alike, or stops short of them alike.
    alike = float(np.round(rng.uniform(-0.12, 0.15), 3)) if rng.random() < 0.25 else None
    edges, moves = [], []
    for role in roles:
        edge = {"role": role}
        by = by_role[role]
        if alike is not None or rng.random() < 0.5:
            by = alike if alike is not None else float(np.round(rng.uniform(-0.15, 0.15), 3))
            edge["overhang" if by >= 0.0 else "clearance"] = f"{abs(by)!r} m"
        edges.append(edge)
        moves.append(by)
    return edges, moves


def _step(steps: list[dict[str, Any]], pitch: float) -> dict[str, Any]:
    return [step for step in steps if "from" not in step or _figure(step["from"]) <= pitch][-1]


def _underlay_laps(pitch: float, is_supported: bool) -> tuple[dict[str, float], float]:
    """How far the underlay goes past an edge by its role, and the lap of one run over the next."""
    figures = tomllib.loads((RULES / "underlays.toml").read_text())["underlay"][0]
    upturn = _figure(figures["abutment-upturn"])
    past = {
        "ridge": _figure(figures["ridge-carry-over"]),
        "hip": _figure(figures["hip-carry-over"]),
        "valley": 0.0,
        "side-abutment": upturn,
        "top-abutment": upturn,
    }
    return past, _figure(_step(figures["steps"], pitch)["on-boards" if is_supported else "free"])


def _openings(
    rng: np.random.Generator, outline: Polygon
) -> tuple[list[dict[str, Any]], list[BaseGeometry], list[BaseGeometry]]:
    """Up to four openings: for the document, as outlines, and with their clearances."""
    documents: list[dict[str, Any]] = []
    outlines: list[BaseGeometry] = []
    cleared: list[BaseGeometry] = []
    left, low, right, high = outline.bounds
    wanted = int(rng.integers(0, 5))
    for _ in range(60):
        if len(outlines) == wanted:
            break
        size = min(right - left, high - low)
        width, height = (float(np.round(by, 3)) for by in size * rng.uniform(0.06, 0.35, 2))
        if min(width, height) < 0.03:
            break
        u = float(np.round(rng.uniform(left, right - width), 3))
        v = float(np.round(rng.uniform(low, high - height), 3))
        if rng.random() < 0.1 and left == 0.0:
            u = 0.0
        clearance = float(np.round(rng.choice([0.0, 0.02, 0.1, 0.25]) * rng.uniform(0.5, 1.0), 3))
        if rng.random() < 0.6:
            ring = [(u, v), (u + width, v), (u + width, v + height), (u, v + height)]
            sides = dict.fromkeys(("below", "above", "beside"), clearance)
            if rng.random() < 0.3:
                sides = {name: float(np.round(rng.uniform(0.0, 0.2), 3)) for name in sides}
            document = {"from_left": f"{u!r} m", "from_eaves": f"{v!r} m", "width": f"{width!r} m"}
            document["height"] = f"{height!r} m"
            document |= {f"clearance_{name}": f"{by!r} m" for name, by in sides.items()}
            hole = shapely.box(
                u - sides["beside"],
                v - sides["below"],
                u + width + sides["beside"],
                v + height + sides["above"],
            )
        else:
            shape = SHAPES[int(rng.integers(0, len(SHAPES)))]
            ring = [(u + x * width, v + y * height) for x, y in shape]
            if mitre_reaches(ring, [1.0] * len(ring)) > 3.9:
                continue
            document = {
                "points": [[f"{x!r} m", f"{y!r} m"] for x, y in ring],
                "clearance": f"{clearance!r} m",
            }
            hole = shapely.buffer(Polygon(ring), clearance, join_style="mitre", mitre_limit=4.0)
        opening = Polygon(ring)
        inside = outline.covers(opening) or shapely.difference(opening, outline).area < 1e-12
        if inside and all(not opening.intersects(other) for other in outlines):
            documents.append(document)
            outlines.append(opening)
            cleared.append(hole)
    return documents, outlines, cleared


#: Openings that are no rectangles, in a square of side 1: triangle, lozenge, pentagon, hexagon, L.
SHAPES = [
    [(0.0, 0.0), (1.0, 0.0), (0.5, 1.0)],
    [(0.5, 0.0), (1.0, 0.5), (0.5, 1.0), (0.0, 0.5)],
    [(0.0, 0.0), (1.0, 0.0), (1.0, 0.6), (0.5, 1.0), (0.0, 0.6)],
    [(0.25, 0.0), (0.75, 0.0), (1.0, 0.5), (0.75, 1.0), (0.25, 1.0), (0.0, 0.5)],
    [(0.0, 0.0), (1.0, 0.0), (1.0, 0.4), (0.4, 0.4), (0.4, 1.0), (0.0, 1.0)],
]
