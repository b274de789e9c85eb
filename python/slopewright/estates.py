"""Take-offs of very many slopes: tables in and tables out through the Arrow interface, one row a slope.

Examples:
    >>> import polars as pl
    >>> import slopewright as sw
    >>> rows = pl.DataFrame({"shape": ["rectangle"] * 2, "eaves_m": [6.0, 8.0], "rafter_m": 4.2, "pitch_deg": [40, 90]})
    >>> batch = sw.take_off_batch(rows, covering="plain-tile-265x165")
    >>> pl.DataFrame(batch.totals)["whole_count"].len(), pl.DataFrame(batch.errors)["row_number"].to_list()
    (1, [1])

"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Protocol

from slopewright._amounts import given, mm
from slopewright._native import Batch, CityModel, Survey, batch_of, batches_of, study_of

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["read_city_model", "study", "take_off_batch", "take_off_batches"]


class ArrowStream(Protocol):
    """Whatever has an Arrow stream: a table of polars, pandas, pyarrow or DuckDB."""

    def __arrow_c_stream__(self, requested_schema: object | None = None) -> object:
        """Return the stream in a capsule."""
        ...


def _typed(rows: ArrowStream) -> ArrowStream:
    """Return a table without its columns of no type: polars has such of nothing but None, and cannot hand them over."""
    kinds = getattr(rows, "schema", None)
    if not type(rows).__module__.startswith("polars") or kinds is None:
        return rows
    empty = [name for name, kind in kinds.items() if str(kind) == "Null"]
    return rows.drop(empty) if empty else rows  # type: ignore[attr-defined]


def _terms(
    survey: Survey | None,
    *,
    covering: str | None,
    headlap_mm: float | None,
    gauge_mm: float | None,
    joint_mm: float | None,
    bond: str | None,
    start: str | None,
    rafter_spacing_mm: float | None,
    underlay: str | None,
    exposure: str | None,
) -> Survey:
    stated = given(
        covering=given(
            format=covering,
            headlap=mm(headlap_mm),
            gauge=mm(gauge_mm),
            joint=mm(joint_mm),
            bond=bond,
            start=start,
        )
        or None,
        battens=None if rafter_spacing_mm is None else {"rafter_spacing": mm(rafter_spacing_mm)},
        underlay=None if underlay is None else {"format": underlay},
        exposure=exposure,
    )
    if survey is None:
        return Survey.from_json(json.dumps({"slopewright": 1, **stated}))
    if stated:
        msg = "give a survey, or what it would say (covering, rafter_spacing_mm ...), not both"
        raise TypeError(msg)
    return survey


def take_off_batch(
    rows: ArrowStream,
    *,
    survey: Survey | None = None,
    covering: str | None = None,
    headlap_mm: float | None = None,
    gauge_mm: float | None = None,
    joint_mm: float | None = None,
    bond: str | None = None,
    start: str | None = None,
    rafter_spacing_mm: float | None = None,
    underlay: str | None = None,
    exposure: str | None = None,
    units_only: bool = False,
    lines: bool = False,
    threads: int | None = None,
) -> Batch:
    """Take off a table of slopes, one row each, on all cores.

    The columns of the table, all but the pitch optional:

    - `pitch_deg`; `covering`; `id`, a text or a whole number that comes back with every result;
    - the outline: `corners_m`, a list of pairs (to the right, up the slope), or `outline_wkb`, a polygon as well-known
      binary in metres, or `shape` (rectangle, trapezoid, triangle, hip-end, parallelogram) with `eaves_m`, `ridge_m`,
      `rafter_m` and `offset_m`; with the shape `plan` the corners are measured in plan;
    - `roles`, a list of what the edges are, edge 1 from the first corner to the second; `openings_m`, lists of corners;
    - `headlap_mm`, `gauge_mm`, `eaves_overhang_mm` and `verge_overhang_mm`, where a slope has its own.

    Columns whose name begins with an underscore are passed over.

    Args:
        rows: The table: polars, pandas, pyarrow, DuckDB or whatever has an Arrow interface.
        survey: What all slopes share; its own slopes are not looked at. It takes the place of the arguments to
            `exposure`.
        covering: Key of the covering of rows that name none.
        headlap_mm: Least headlap wanted [mm].
        gauge_mm: Largest gauge wanted [mm].
        joint_mm: Open joint between neighbours [mm].
        bond: half, straight, or a length such as "60 mm".
        start: Where the first whole unit stands: left, right or centre.
        rafter_spacing_mm: Distance between rafter centres [mm].
        underlay: Key of the underlay in the catalogue.
        exposure: sheltered, moderate or severe.
        units_only: Whether the units alone are counted.
        lines: Whether to make the long table too, a row for each slope and item.
        threads: How many cores work; all of them if left out.

    Returns:
        Totals, lines and errors. A row with faults is in the errors and stops no other.

    Raises:
        SurveyError: What all slopes share has faults, or a column is unknown or of the wrong kind.
        TypeError: The table has no Arrow interface.

    """
    terms = _terms(
        survey,
        covering=covering,
        headlap_mm=headlap_mm,
        gauge_mm=gauge_mm,
        joint_mm=joint_mm,
        bond=bond,
        start=start,
        rafter_spacing_mm=rafter_spacing_mm,
        underlay=underlay,
        exposure=exposure,
    )
    return batch_of(_typed(rows), terms, units_only=units_only, lines=lines, threads=threads)


def take_off_batches(
    rows: ArrowStream,
    *,
    survey: Survey | None = None,
    covering: str | None = None,
    headlap_mm: float | None = None,
    gauge_mm: float | None = None,
    joint_mm: float | None = None,
    bond: str | None = None,
    start: str | None = None,
    rafter_spacing_mm: float | None = None,
    underlay: str | None = None,
    exposure: str | None = None,
    units_only: bool = False,
    lines: bool = False,
    threads: int | None = None,
    rows_at_once: int = 131_072,
) -> Iterator[Batch]:
    """Take off a table of slopes some rows at a time, so that no more than those are held.

    Args:
        rows: As `take_off_batch` has it; a reader that yields batch after batch need not fit into memory.
        survey: As there.
        covering: As there.
        headlap_mm: As there [mm].
        gauge_mm: As there [mm].
        joint_mm: As there [mm].
        bond: As there.
        start: As there.
        rafter_spacing_mm: As there [mm].
        underlay: As there.
        exposure: As there.
        units_only: As there.
        lines: As there.
        threads: As there.
        rows_at_once: The most rows that are taken off at once.

    Raises:
        SurveyError: As there.
        TypeError: As there.

    """
    terms = _terms(
        survey,
        covering=covering,
        headlap_mm=headlap_mm,
        gauge_mm=gauge_mm,
        joint_mm=joint_mm,
        bond=bond,
        start=start,
        rafter_spacing_mm=rafter_spacing_mm,
        underlay=underlay,
        exposure=exposure,
    )
    return batches_of(
        _typed(rows), terms, units_only=units_only, lines=lines, threads=threads, rows_at_once=rows_at_once
    )


def read_city_model(
    path: str | Path,
    *,
    unit: str | None = None,
    flat_below_deg: float = 5.0,
    small_below_m2: float = 1.0,
    lod: str | None = None,
) -> CityModel:
    """Read the roof surfaces of a CityJSON or CityJSONSeq file.

    Args:
        path: The file.
        unit: Unit of the coordinates: m, ft or us-ft; by default the reference system's where known, else m.
        flat_below_deg: Roof surfaces flatter than this are flat roofs and no slopes [degrees].
        small_below_m2: Roof surfaces smaller than this are scraps and no slopes [m2].
        lod: The level of detail, such as "2.2"; by default the finest that has roof surfaces.

    Raises:
        OSError: The file cannot be read.
        SurveyError: It is no city model, or its coordinates are degrees.

    """
    from pathlib import Path  # noqa: PLC0415

    text = Path(path).read_text(encoding="utf-8")
    return CityModel.from_text(
        text, unit=unit, flat_below_deg=flat_below_deg, small_below_m2=small_below_m2, lod=lod
    )


def study(
    rows: ArrowStream,
    *,
    survey: Survey,
    pitches_deg: Sequence[float] = (),
    coverings: Sequence[str] = (),
    gauges_mm: Sequence[float] = (),
    eaves_overhangs_mm: Sequence[float] = (),
    keeps_plan: bool = True,
    units_only: bool = False,
    threads: int | None = None,
) -> Batch:
    """Take off slopes under every combination of pitches, coverings, gauges and overhangs.

    An empty list leaves what the slope has. The totals have a row for each case, with its own figures beside them.

    Args:
        rows: The slopes, as `take_off_batch` has them.
        survey: What all slopes share.
        pitches_deg: Pitches [degrees].
        coverings: Keys of coverings.
        gauges_mm: Largest gauges [mm].
        eaves_overhangs_mm: Overhangs at the eaves [mm].
        keeps_plan: Whether a slope stays as it is in plan when its pitch changes, or as it is on the slope.
        units_only: Whether the units alone are counted.
        threads: How many cores work; all of them if left out.

    Raises:
        SurveyError: The survey has faults, or a row cannot be read.

    """
    return study_of(
        _typed(rows),
        survey,
        pitches_deg=list(pitches_deg),
        coverings=list(coverings),
        gauges_mm=list(gauges_mm),
        eaves_overhangs_mm=list(eaves_overhangs_mm),
        keeps_plan=keeps_plan,
        units_only=units_only,
        threads=threads,
    )
