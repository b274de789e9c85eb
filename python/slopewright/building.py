"""Surveys in Python: the survey document, built from keyword arguments with the unit in their names."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from slopewright._amounts import degrees, given, metres, mm, storable
from slopewright._native import Survey, TakeOff, TapeRange
from slopewright.parts import (
    Edge,
    Opening,
    Point,
    corners,
    in_document,
    openings_by_side,
    openings_in_document,
)


def _lengths(lengths_m: Sequence[float] | float | None) -> object:
    """Return lengths as a document has them; one alone is a list of one."""
    if lengths_m is None or isinstance(lengths_m, str):
        return lengths_m
    return [metres(length) for length in (lengths_m if isinstance(lengths_m, Iterable) else [lengths_m])]


class Roof:
    """Builds a survey slope by slope, or by whole forms.

    Args:
        covering: Key of the covering in the catalogue; `covering_keys()` lists them.
        name: What the job is called.
        headlap_mm: Least headlap wanted; it counts where it is stricter than the rule [mm].
        gauge_mm: Largest gauge wanted; it counts where it is stricter than the rule [mm].
        joint_mm: Open joint between neighbours, if not the format's own [mm].
        bond: half, straight, or a length such as "60 mm".
        start: Where the first whole unit stands: left, right or centre.
        cuts: none (each cut takes a unit of its own) or pairs (two cuts out of one unit where they fit).
        saw_kerf_mm: What the saw takes between two cuts of one unit; 3 mm if left out [mm].
        rafter_spacing_mm: Distance between rafter centres [mm].
        batten_stock_m: Lengths that battens can be bought in; with the rafters they are ordered by the bar [m].
        underlay: Key of the underlay in the catalogue.
        exposure: sheltered, moderate or severe.
        edgework: How the edges are made, as the survey document has it: `{"hip": {"make": "mitred"}}`.
        timbers: The timbers round openings, as the survey document has them: `{"rafter_width": "50 mm"}`.
        measuring: Key of the tradition that areas and lengths are measured by, beside the materials.

    Nothing is checked until `survey().check()` or `take_off()`, which report every fault at once.

    """

    def __init__(
        self,
        *,
        covering: str,
        name: str = "roof",
        headlap_mm: float | None = None,
        gauge_mm: float | None = None,
        joint_mm: float | None = None,
        bond: str | None = None,
        start: str | None = None,
        cuts: str | None = None,
        saw_kerf_mm: float | None = None,
        rafter_spacing_mm: float | None = None,
        batten_stock_m: Sequence[float] | None = None,
        underlay: str | None = None,
        exposure: str | None = None,
        edgework: Mapping[str, Any] | None = None,
        timbers: Mapping[str, Any] | None = None,
        measuring: str | None = None,
    ) -> None:
        self._slopes: list[dict[str, Any]] = []
        self._forms: list[dict[str, Any]] = []
        self._document = given(
            slopewright=1,
            name=name,
            exposure=exposure,
            covering=given(
                format=covering,
                headlap=mm(headlap_mm),
                gauge=mm(gauge_mm),
                joint=mm(joint_mm),
                bond=bond,
                start=start,
                cuts=cuts,
                saw_kerf=mm(saw_kerf_mm),
            ),
            edgework=storable(edgework),
            timbers=storable(timbers),
            measuring=measuring,
            battens=given(
                rafter_spacing=mm(rafter_spacing_mm),
                stock=_lengths(batten_stock_m),
            )
            or None,
            underlay=None if underlay is None else {"format": underlay},
        )

    def _slope(
        self, fields: dict[str, Any], edges: Mapping[str, Edge] | None, openings: Sequence[Opening]
    ) -> Roof:
        if edges:
            fields["edges"] = in_document(edges)
        if openings:
            fields["opening"] = openings_in_document(openings)
        self._slopes.append(fields)
        return self

    def rectangle(
        self,
        name: str,
        *,
        eaves_m: float,
        rafter_m: float,
        pitch_deg: float,
        edges: Mapping[str, Edge] | None = None,
        openings: Sequence[Opening] = (),
    ) -> Roof:
        """Add a rectangular slope.

        Args:
            name: What it is called.
            eaves_m: Length of the eaves [m].
            rafter_m: Eaves to ridge, on the slope [m].
            pitch_deg: Pitch [degrees].
            edges: Edges by name (eaves, right, top, left) where they differ from eaves, verge, ridge, verge.
            openings: Its openings.

        """
        fields = given(
            name=name,
            shape="rectangle",
            eaves=metres(eaves_m),
            rafter=metres(rafter_m),
            pitch=degrees(pitch_deg),
        )
        return self._slope(fields, edges, openings)

    def trapezoid(
        self,
        name: str,
        *,
        eaves_m: float,
        ridge_m: float,
        rafter_m: float,
        pitch_deg: float,
        offset_m: float | None = None,
        edges: Mapping[str, Edge] | None = None,
        openings: Sequence[Opening] = (),
    ) -> Roof:
        """Add a slope with level eaves and ridge and raking sides.

        Args:
            name: What it is called.
            eaves_m: Length of the eaves [m].
            ridge_m: Length of the ridge [m].
            rafter_m: Eaves to ridge, square to the eaves, on the slope [m].
            pitch_deg: Pitch [degrees].
            offset_m: Left end of the eaves to left end of the ridge, to the right [m]; by default the ridge
                stands in the middle.
            edges: Edges by name (eaves, right, top, left).
            openings: Its openings.

        """
        fields = given(
            name=name,
            shape="trapezoid",
            eaves=metres(eaves_m),
            ridge=metres(ridge_m),
            rafter=metres(rafter_m),
            pitch=degrees(pitch_deg),
            offset=metres(offset_m),
        )
        return self._slope(fields, edges, openings)

    def hip_end(
        self,
        name: str,
        *,
        eaves_m: float,
        rafter_m: float,
        pitch_deg: float,
        offset_m: float | None = None,
        edges: Mapping[str, Edge] | None = None,
        openings: Sequence[Opening] = (),
    ) -> Roof:
        """Add a triangular slope.

        Args:
            name: What it is called.
            eaves_m: Length of the eaves [m].
            rafter_m: Eaves to apex, square to the eaves, on the slope [m].
            pitch_deg: Pitch [degrees].
            offset_m: Left end of the eaves to the apex, to the right [m]; by default half the eaves.
            edges: Edges by name (eaves, right, left).
            openings: Its openings.

        """
        fields = given(
            name=name,
            shape="hip-end",
            eaves=metres(eaves_m),
            rafter=metres(rafter_m),
            pitch=degrees(pitch_deg),
            offset=metres(offset_m),
        )
        return self._slope(fields, edges, openings)

    def tape(
        self,
        name: str,
        *,
        pitch_deg: float,
        eaves_m: float | None = None,
        ridge_m: float | None = None,
        left_rafter_m: float | None = None,
        right_rafter_m: float | None = None,
        left_diagonal_m: float | None = None,
        right_diagonal_m: float | None = None,
        tolerance_mm: float | None = None,
        edges: Mapping[str, Edge] | None = None,
        openings: Sequence[Opening] = (),
    ) -> Roof:
        """Add a four-sided slope measured by tape: five of the six lengths, or all of them to check each other.

        Args:
            name: What it is called.
            pitch_deg: Pitch [degrees].
            eaves_m: Length of the eaves [m].
            ridge_m: Length of the ridge [m].
            left_rafter_m: Left end of the eaves to left end of the ridge [m].
            right_rafter_m: Right end of the eaves to right end of the ridge [m].
            left_diagonal_m: Left end of the eaves to right end of the ridge [m].
            right_diagonal_m: Right end of the eaves to left end of the ridge [m].
            tolerance_mm: By how much a measure may miss before a finding says so [mm]; 20 mm by default.
            edges: Edges by name (eaves, right, top, left).
            openings: Its openings.

        """
        fields = given(
            name=name,
            shape="tape",
            pitch=degrees(pitch_deg),
            eaves=metres(eaves_m),
            ridge=metres(ridge_m),
            left_rafter=metres(left_rafter_m),
            right_rafter=metres(right_rafter_m),
            left_diagonal=metres(left_diagonal_m),
            right_diagonal=metres(right_diagonal_m),
            tolerance=mm(tolerance_mm),
        )
        return self._slope(fields, edges, openings)

    def outline(
        self,
        name: str,
        *,
        corners_m: Sequence[Point],
        pitch_deg: float,
        in_plan: bool = False,
        edges: Mapping[str, Edge] | None = None,
        openings: Sequence[Opening] = (),
    ) -> Roof:
        """Add a slope of any straight-sided outline.

        Args:
            name: What it is called.
            corners_m: Corners in order, as (to the right, up the slope) [m].
            pitch_deg: Pitch [degrees].
            in_plan: Whether the corners are measured in plan; the second distance is then level.
            edges: Edges by number from "1"; edge 1 runs from the first corner to the second.
            openings: Its openings.

        """
        fields = given(
            name=name,
            shape="plan" if in_plan else "outline",
            points=corners(corners_m),
            pitch=degrees(pitch_deg),
        )
        return self._slope(fields, edges, openings)

    def _form(self, fields: dict[str, Any], openings: Mapping[str, Sequence[Opening]] | None) -> Roof:
        if openings:
            fields["slopes"] = openings_by_side(openings)
        self._forms.append(fields)
        return self

    def gable(
        self,
        name: str,
        *,
        length_m: float,
        span_m: float,
        pitch_deg: float,
        openings: Mapping[str, Sequence[Opening]] | None = None,
    ) -> Roof:
        """Add two slopes between gables, measured in plan at the eaves.

        Args:
            name: What it is called; its slopes are named after it.
            length_m: Along the eaves [m].
            span_m: Eaves to eaves [m].
            pitch_deg: Pitch [degrees].
            openings: Openings by side: front, rear.

        """
        fields = given(
            name=name, form="gable", length=metres(length_m), span=metres(span_m), pitch=degrees(pitch_deg)
        )
        return self._form(fields, openings)

    def hipped(
        self,
        name: str,
        *,
        length_m: float,
        span_m: float,
        pitch_deg: float,
        hip_pitch_deg: float | None = None,
        hips: str | None = None,
        openings: Mapping[str, Sequence[Opening]] | None = None,
    ) -> Roof:
        """Add two slopes and one or two hip ends, measured in plan at the eaves.

        Args:
            name: What it is called; its slopes are named after it.
            length_m: Along the front eaves [m].
            span_m: Eaves to eaves [m].
            pitch_deg: Pitch of the front and rear slopes [degrees].
            hip_pitch_deg: Pitch of the hip ends, if it differs [degrees].
            hips: Which ends are hipped, seen from the front: both, left or right.
            openings: Openings by side: front, rear, left, right.

        """
        fields = given(
            name=name,
            form="hipped",
            length=metres(length_m),
            span=metres(span_m),
            pitch=degrees(pitch_deg),
            hip_pitch=degrees(hip_pitch_deg),
            hips=hips,
        )
        return self._form(fields, openings)

    def lean_to(
        self,
        name: str,
        *,
        length_m: float,
        span_m: float,
        pitch_deg: float,
        openings: Mapping[str, Sequence[Opening]] | None = None,
    ) -> Roof:
        """Add one slope against a wall, measured in plan.

        Args:
            name: What it is called; its slope is named after it.
            length_m: Along the eaves [m].
            span_m: Eaves to wall [m].
            pitch_deg: Pitch [degrees].
            openings: Openings by side: front.

        """
        fields = given(
            name=name, form="lean-to", length=metres(length_m), span=metres(span_m), pitch=degrees(pitch_deg)
        )
        return self._form(fields, openings)

    def half_hipped(
        self,
        name: str,
        *,
        length_m: float,
        span_m: float,
        pitch_deg: float,
        hip_height_m: float | None = None,
        half_hip_eaves_m: float | None = None,
        hip_pitch_deg: float | None = None,
        hips: str | None = None,
        openings: Mapping[str, Sequence[Opening]] | None = None,
    ) -> Roof:
        """Add two slopes whose ridge ends in half-hips, measured in plan at the eaves.

        Args:
            name: What it is called; its slopes are named after it.
            length_m: Along the front eaves [m].
            span_m: Eaves to eaves [m].
            pitch_deg: Pitch of the front and rear slopes [degrees].
            hip_height_m: How far the half-hip reaches down from the ridge, upright [m]; this or the next.
            half_hip_eaves_m: Length of the eaves of the half-hip [m].
            hip_pitch_deg: Pitch of the half-hips, if it differs [degrees].
            hips: Which ends have one, seen from the front: both, left or right.
            openings: Openings by side: front, rear, left, right.

        """
        fields = given(
            name=name,
            form="half-hipped",
            length=metres(length_m),
            span=metres(span_m),
            pitch=degrees(pitch_deg),
            hip_height=metres(hip_height_m),
            half_hip_eaves=metres(half_hip_eaves_m),
            hip_pitch=degrees(hip_pitch_deg),
            hips=hips,
        )
        return self._form(fields, openings)

    def winged(
        self,
        name: str,
        *,
        length_m: float,
        span_m: float,
        pitch_deg: float,
        wing_span_m: float,
        wing_length_m: float,
        wing_from_left_m: float,
        wing_pitch_deg: float | None = None,
        openings: Mapping[str, Sequence[Opening]] | None = None,
    ) -> Roof:
        """Add a gabled roof with a gabled cross wing at the front, its eaves level with the main eaves.

        Args:
            name: What it is called; its slopes are named after it.
            length_m: Along the front eaves, the wing's foot included [m].
            span_m: Front eaves to rear eaves of the main roof [m].
            pitch_deg: Pitch of the main roof [degrees].
            wing_span_m: Eaves to eaves of the wing [m].
            wing_length_m: Front eaves to the gable of the wing [m].
            wing_from_left_m: Left end of the front eaves to the wing [m].
            wing_pitch_deg: Pitch of the wing, if it differs [degrees].
            openings: Openings by side: front, rear, "wing left", "wing right"; a wing as high as the main ridge
                parts the front in "front left" and "front right".

        """
        fields = given(
            name=name,
            form="winged",
            length=metres(length_m),
            span=metres(span_m),
            pitch=degrees(pitch_deg),
            wing_span=metres(wing_span_m),
            wing_length=metres(wing_length_m),
            wing_from_left=metres(wing_from_left_m),
            wing_pitch=degrees(wing_pitch_deg),
        )
        return self._form(fields, openings)

    def mansard(
        self,
        name: str,
        *,
        length_m: float,
        span_m: float,
        pitch_deg: float,
        upper_pitch_deg: float,
        break_height_m: float | None = None,
        lower_rafter_m: float | None = None,
        hips: str | None = None,
        openings: Mapping[str, Sequence[Opening]] | None = None,
    ) -> Roof:
        """Add lower and upper slopes of two pitches, measured in plan at the eaves.

        Args:
            name: What it is called; its slopes are named after it.
            length_m: Along the front eaves [m].
            span_m: Eaves to eaves [m].
            pitch_deg: Pitch of the lower slopes [degrees].
            upper_pitch_deg: Pitch of the upper slopes [degrees].
            break_height_m: Eaves to the change of pitch, upright [m]; this or the next.
            lower_rafter_m: Length of the lower rafters, on the slope [m].
            hips: Which ends are hipped, seen from the front: both, left or right; by default none.
            openings: Openings by side: "front lower", "front upper", "rear lower" and so on.

        """
        fields = given(
            name=name,
            form="mansard",
            length=metres(length_m),
            span=metres(span_m),
            pitch=degrees(pitch_deg),
            upper_pitch=degrees(upper_pitch_deg),
            break_height=metres(break_height_m),
            lower_rafter=metres(lower_rafter_m),
            hips=hips,
        )
        return self._form(fields, openings)

    def plan(
        self,
        name: str,
        *,
        corners_m: Sequence[Point],
        pitch_deg: float,
        gables: Sequence[int] = (),
        openings: Mapping[str, Sequence[Opening]] | None = None,
    ) -> Roof:
        """Add a roof at one pitch over any straight-sided plan.

        Args:
            name: What it is called; its slopes are named after it and the number of their eaves.
            corners_m: Corners of the plan at the eaves in order, as (to the right, to the rear) [m].
            pitch_deg: Pitch of all slopes [degrees].
            gables: Edges that are gables, by number from 1; edge 1 runs from the first corner to the second.
            openings: Openings by number of the eaves: "1", "2" and so on.

        """
        fields = given(
            name=name,
            form="plan",
            points=corners(corners_m),
            pitch=degrees(pitch_deg),
            gables=list(gables) or None,
        )
        return self._form(fields, openings)

    def survey(self) -> Survey:
        """Return the survey document built so far."""
        document = dict(self._document)
        if self._slopes:
            document["slope"] = self._slopes
        if self._forms:
            document["form"] = self._forms
        return Survey.from_json(json.dumps(document))

    def take_off(self) -> TakeOff:
        """Check the survey and take the roof off.

        Raises:
            SurveyError: The survey has faults; `faults` lists all of them.
            SetOutError: A slope cannot be set out.

        """
        return self.survey().take_off()

    def tape_range(self, tolerance_mm: float = 10.0) -> TapeRange:
        """Take the roof off three times, for what the tape's tolerance is worth.

        Args:
            tolerance_mm: By how much each measured length may be off, all of them the same way [mm].

        Raises:
            SurveyError: The survey has faults; `faults` lists all of them.
            SetOutError: A slope cannot be set out.

        """
        return self.survey().tape_range(tolerance_mm)

    def __repr__(self) -> str:
        return f"Roof({self._document['name']!r}, slopes={len(self._slopes)}, forms={len(self._forms)})"

    def _repr_html_(self) -> str:
        return self.survey()._repr_html_()
