"""Drawings read back: XML by expat, path data by a reader that knows nothing of the writer."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass, field

import shapely

SVG = "{http://www.w3.org/2000/svg}"
TOKEN = re.compile(r"[MmLlHhVvZz]|[-+]?(?:\d+\.?\d*|\.\d+)")


@dataclass
class Subpath:
    """One part of a path, in metres."""

    points: list[tuple[float, float]] = field(default_factory=list)
    is_closed: bool = False

    @property
    def polygon(self) -> shapely.Polygon:
        return shapely.Polygon(self.points)


def subpaths(data: str) -> list[Subpath]:
    """The parts of path data, by the rules of SVG 1.1, chapter 8.3."""
    tokens, parts, at, start, command = TOKEN.findall(data), [], (0.0, 0.0), (0.0, 0.0), ""
    place = 0

    def number() -> float:
        nonlocal place
        place += 1
        return float(tokens[place - 1]) / 1000

    while place < len(tokens):
        if tokens[place].isalpha():
            command = tokens[place]
            place += 1
        if command in "Zz":
            parts[-1].is_closed = True
            at = start
            continue
        x, y = at
        base = at if command.islower() else (0.0, 0.0)
        if command in "MmLl":
            x, y = base[0] + number(), base[1] + number()
        elif command in "Hh":
            x = base[0] + number()
        else:
            y = base[1] + number()
        if command in "Mm":
            parts.append(Subpath())
            start = (x, y)
            command = "L" if command == "M" else "l"
        elif parts[-1].is_closed:
            parts.append(Subpath(points=[at]))
        at = (x, y)
        parts[-1].points.append(at)
    return parts


def read(svg: str) -> ET.Element:
    """The drawing as a tree; not XML is an error of expat's."""
    return ET.fromstring(svg)


def path(root: ET.Element, name: str) -> list[Subpath]:
    """The parts of the path with an id; none if it is not there."""
    found = next((element for element in root.iter(f"{SVG}path") if element.get("id") == name), None)
    return [] if found is None else subpaths(found.get("d", ""))
