"""Parts of a slope: its edges and openings, from keyword arguments with the unit in their names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, cast

from slopewright._amounts import given, metres, mm, storable

Point = tuple[float, float]


def corners(corners_m: Sequence[Point]) -> object:
    """Return corners as documents have them; what are no corners as they are, for the document's check to say so."""
    try:
        return [[metres(right), metres(up)] for right, up in corners_m]
    except (TypeError, ValueError):
        return storable(corners_m)


def in_document(part: object) -> object:
    """Return an edge or an opening, or several, as the document has them."""
    if isinstance(part, Edge | Opening):
        return part.document()
    if isinstance(part, Mapping):
        return {str(name): in_document(of) for name, of in cast("Mapping[object, object]", part).items()}
    if isinstance(part, list | tuple):
        return [in_document(of) for of in cast("Sequence[object]", part)]
    return storable(part)


def openings_in_document(openings: object) -> object:
    """Return openings as the document has them; one alone is a list of one."""
    return in_document([openings] if isinstance(openings, Opening) else openings)


def openings_by_side(openings: object) -> object:
    """Return openings by the side of a form as the document has them."""
    if not isinstance(openings, Mapping):
        return in_document(openings)
    sides = cast("Mapping[object, object]", openings)
    return {str(side): {"opening": openings_in_document(holes)} for side, holes in sides.items()}


@dataclass(frozen=True, kw_only=True)
class Opening:
    """A hole in the covering: a rectangle, or any straight-sided outline by its corners.

    A rectangle is placed from the left end of the eaves and up the slope and takes the first four; an outline takes
    `corners_m` in their place. Which are missing or too many, the check of the survey says.

    Args:
        from_left_m: Left end of the eaves to its left side [m].
        from_eaves_m: Eaves to its lower side, up the slope [m].
        width_mm: Width [mm].
        height_mm: Height, up the slope [mm].
        corners_m: Corners in order, as (to the right, up the slope), if it is not a rectangle [m].
        clearance_mm: How far the covering stays away from it on every side [mm].
        name: What it is called.
        kind: opening, roof-window, chimney, pipe, hatch or dormer.
        flue: The flue of a chimney or pipe: brick, other or none.
        existing: Whether it is there already with its timbers.
        fixed_point: Whether its sill and head are fixed points between which the gauge is divided anew.
        may_move_up_mm: How far it may be moved up the slope [mm].
        may_move_down_mm: How far it may be moved down the slope [mm].
        may_move_left_mm: How far it may be moved to the left [mm].
        may_move_right_mm: How far it may be moved to the right [mm].
        move_step_mm: The step by which it is moved; 10 mm if left out [mm].
        level_with: Another opening of the slope that it stays level with, or a name that a row of them shares.
        underlay_upstand_mm: How high the underlay is turned up its sides [mm].
        underlay_collar_mm: How wide a collar of underlay lies round it [mm].
        lead_code: The code of the lead round it.
        flashing_width_mm: Width of the lead at sill and sides [mm].
        head_flashing_width_mm: Width of the lead at the head, of the back gutter for a chimney [mm].
        past_corner_mm: How far the lead at sill and head goes on past each corner [mm].

    """

    from_left_m: float | None = None
    from_eaves_m: float | None = None
    width_mm: float | None = None
    height_mm: float | None = None
    corners_m: Sequence[Point] | None = None
    clearance_mm: float | None = None
    name: str | None = None
    kind: str | None = None
    flue: str | None = None
    existing: bool | None = None
    fixed_point: bool | None = None
    may_move_up_mm: float | None = None
    may_move_down_mm: float | None = None
    may_move_left_mm: float | None = None
    may_move_right_mm: float | None = None
    move_step_mm: float | None = None
    level_with: str | None = None
    underlay_upstand_mm: float | None = None
    underlay_collar_mm: float | None = None
    lead_code: int | None = None
    flashing_width_mm: float | None = None
    head_flashing_width_mm: float | None = None
    past_corner_mm: float | None = None

    def document(self) -> dict[str, Any]:
        """Return the opening as the survey document has it."""
        flashing = given(
            lead_code=self.lead_code,
            width=mm(self.flashing_width_mm),
            head_width=mm(self.head_flashing_width_mm),
            past_corner=mm(self.past_corner_mm),
        )
        return given(
            name=self.name,
            from_left=metres(self.from_left_m),
            from_eaves=metres(self.from_eaves_m),
            width=mm(self.width_mm),
            height=mm(self.height_mm),
            points=None if self.corners_m is None else corners(self.corners_m),
            clearance=mm(self.clearance_mm),
            kind=self.kind,
            flue=self.flue,
            existing=self.existing,
            fixed_point=self.fixed_point,
            may_move_up=mm(self.may_move_up_mm),
            may_move_down=mm(self.may_move_down_mm),
            may_move_left=mm(self.may_move_left_mm),
            may_move_right=mm(self.may_move_right_mm),
            move_step=mm(self.move_step_mm),
            level_with=self.level_with,
            underlay_upstand=mm(self.underlay_upstand_mm),
            underlay_collar=mm(self.underlay_collar_mm),
            flashing=flashing or None,
        )


@dataclass(frozen=True, kw_only=True)
class Edge:
    """What an edge is, and how far the covering reaches past it or stops short of it.

    Args:
        role: eaves, ridge, verge, hip, valley, change-of-pitch, side-abutment or top-abutment.
        overhang_mm: How far the covering reaches past it [mm].
        clearance_mm: How far the covering stops short of it [mm].

    """

    role: str | None = None
    overhang_mm: float | None = None
    clearance_mm: float | None = None

    def document(self) -> dict[str, Any]:
        """Return the edge as the survey document has it."""
        return given(role=self.role, overhang=mm(self.overhang_mm), clearance=mm(self.clearance_mm))
