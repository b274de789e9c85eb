"""Roof surfaces of real buildings from CityJSON and CityJSONSeq files, each laid flat in its own plane."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from shapely_twin import Points

#: Pitches between which a surface is a slope that is tiled.
PITCHES = (20.0, 70.0)


@dataclass
class Surface:
    """One roof surface: rings in its plane, to the right along its level lines and up the slope, in metres."""

    file: str
    building: str
    pitch_deg: float
    outline: Points
    holes: list[Points]
    out_of_plane_m: float


def folder() -> Path | None:
    """Where the files lie: by SLOPEWRIGHT_SHARED_DATA, or `shared/data` beside the project or a folder above it."""
    stated = os.environ.get("SLOPEWRIGHT_SHARED_DATA")
    above = Path(__file__).resolve().parents
    places = [Path(stated)] if stated else [place / "shared" / "data" for place in above]
    return next((place / "cityjson" for place in places if (place / "cityjson").is_dir()), None)


def slopes(place: Path) -> Iterator[Surface]:
    """Every roof surface of the finest level of detail with a tiled slope's pitch."""
    for path in sorted(place.iterdir()):
        text = path.read_text(encoding="utf-8")
        lines = text.splitlines() if path.suffix == ".jsonl" else [text]
        transform: dict[str, Any] = {}
        for line in lines:
            document = json.loads(line)
            # In a sequence the first line holds the transform of all.
            transform = document.get("transform", transform)
            grid = np.array(document["vertices"], dtype=float).reshape(-1, 3)
            vertices = grid * transform["scale"] + transform["translate"]
            for name, thing in document["CityObjects"].items():
                for geometry in thing.get("geometry", []):
                    if str(geometry.get("lod")) not in ("2", "2.2"):
                        continue
                    for face in _roof_faces(geometry):
                        surface = _laid_flat(path.name, name, [vertices[ring] for ring in face])
                        if surface and PITCHES[0] <= surface.pitch_deg <= PITCHES[1]:
                            yield surface


def _roof_faces(geometry: dict[str, Any]) -> Iterator[list[list[int]]]:
    semantics = geometry["semantics"]
    shells = geometry["boundaries"] if geometry["type"] == "Solid" else [geometry["boundaries"]]
    values = semantics["values"] if geometry["type"] == "Solid" else [semantics["values"]]
    for shell, kinds in zip(shells, values, strict=True):
        for face, kind in zip(shell, kinds, strict=True):
            if kind is not None and semantics["surfaces"][kind]["type"] == "RoofSurface":
                yield face


def _laid_flat(file: str, building: str, rings: list[np.ndarray]) -> Surface | None:
    points = rings[0]
    middle = points.mean(axis=0)
    # The plane of the corners: the direction in which they spread least is its normal.
    normal = np.linalg.svd(points - middle)[2][2]
    normal = normal if normal[2] > 0.0 else -normal
    level = np.hypot(normal[0], normal[1])
    if level < 1e-9:
        return None
    right = np.array([-normal[1], normal[0], 0.0]) / level
    up = np.cross(normal, right)
    flat = [np.column_stack([(ring - middle) @ right, (ring - middle) @ up]) for ring in rings]
    low = flat[0].min(axis=0)
    return Surface(
        file,
        building,
        float(np.degrees(np.arctan2(level, normal[2]))),
        _ring(flat[0] - low),
        [_ring(ring - low) for ring in flat[1:]],
        float(np.abs((points - middle) @ normal).max()),
    )


def _ring(points: np.ndarray) -> Points:
    """The corners without exact repetitions."""
    corners = [(float(u), float(v)) for u, v in points]
    return [corner for at, corner in enumerate(corners) if corner != corners[at - 1]]
