"""The command over city models: what roof surfaces there are, what their edges are, and what they need."""

from __future__ import annotations

import argparse
from collections import defaultdict
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from slopewright._native import Batch, CityModel, QuantityError, length_mm
from slopewright.estates import read_city_model, take_off_batch, take_off_batches
from slopewright.terminal import Bad, Caution, Progress, say, underlined
from slopewright.writing import write_all

#: Slopes between two steps of the bar: enough that every core is busy in between.
SLOPES_AT_ONCE = 16_384
#: The totals that are printed, with what they are.
SHOWN = {
    "covered_area_m2": "area covered, m2",
    "whole_count": "whole units",
    "cut_count": "units to be cut",
    "tile_and_half_count": "tile-and-a-half units",
    "under_eaves_count": "under-eaves units",
    "top_count": "top units",
    "batten_m": "battens, net, m",
    "underlay_m": "underlay, m",
    "unit_nail_count": "unit nails",
}


def add_to(acts: argparse._SubParsersAction[argparse.ArgumentParser], exit_codes: str) -> None:
    """Add the command `city`."""
    city = acts.add_parser(
        "city",
        help="read the roof surfaces of a city model, and count what they need",
        description="Read a CityJSON or CityJSONSeq file: its slopes, with their pitches and edges. With a covering, "
        "take every slope off.",
        epilog=exit_codes,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    city.add_argument("at", type=Path, metavar="model", help="the model, a .json or .jsonl file")
    city.add_argument("--covering", metavar="KEY", help="take every slope off in this covering")
    city.add_argument(
        "--rafter-spacing",
        type=_spacing_mm,
        metavar="LENGTH",
        help='distance between rafter centres, such as "600 mm" or "2 ft"; a plain number is in mm',
    )
    city.add_argument("--underlay", metavar="KEY", help="key of the underlay in the catalogue")
    city.add_argument("--unit", metavar="UNIT", help="unit of the coordinates: m, ft or us-ft")
    city.add_argument(
        "--lod", metavar="LOD", help="the level of detail; by default the finest with roof surfaces"
    )
    city.add_argument(
        "--flat-below",
        type=float,
        default=5.0,
        metavar="DEG",
        help="flatter surfaces are no slopes (default: 5)",
    )
    city.add_argument(
        "--small-below",
        type=float,
        default=1.0,
        metavar="M2",
        help="smaller surfaces are no slopes (default: 1)",
    )
    city.add_argument(
        "--csv", type=Path, metavar="FOLDER", help="write the tables to this folder, one CSV file each"
    )
    city.add_argument("--quiet", action="store_true", help="print nothing but errors")
    city.set_defaults(act=_city)


def _city(arguments: argparse.Namespace) -> int:
    model = read_city_model(
        arguments.at,
        unit=arguments.unit,
        flat_below_deg=arguments.flat_below,
        small_below_m2=arguments.small_below,
        lod=arguments.lod,
    )
    batch = None
    if arguments.covering is not None:
        batch = _counted(model, arguments)
    files = dict[Path, str]()
    if arguments.csv is not None:
        files |= {arguments.csv / f"{name}.csv": model.table(name).to_csv() for name in ("surfaces", "edges")}
        if batch is not None:
            files[arguments.csv / "totals.csv"] = batch.totals.to_csv()
            files[arguments.csv / "errors.csv"] = batch.errors.to_csv()
    write_all(files)
    if not arguments.quiet:
        say(*_report(arguments.at.name, model, batch))
        for path in files:
            say(f"written: {path}")
    return 0


def _spacing_mm(text: str) -> float:
    """Read a length with its unit, or a plain number in millimetres."""
    try:
        return float(text)
    except ValueError:
        pass
    try:
        return length_mm(text)
    except QuantityError as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def _counted(model: CityModel, arguments: argparse.Namespace) -> Batch:
    """Take every slope off, some at a time where there are many, so that it can be seen how far it has come."""
    terms = {
        "covering": arguments.covering,
        "rafter_spacing_mm": arguments.rafter_spacing,
        "underlay": arguments.underlay,
    }
    slopes = model.slopes
    if arguments.quiet or len(slopes) <= SLOPES_AT_ONCE:
        return take_off_batch(slopes, **terms)
    done, parts = 0, list[Batch]()
    with Progress("slopes taken off", len(slopes)) as progress:
        for part in take_off_batches(slopes, **terms, rows_at_once=SLOPES_AT_ONCE):
            parts.append(part)
            done += part.row_count
            progress.show(done)
    return Batch.joined(parts)


def _report(name: str, model: CityModel, batch: Batch | None) -> Iterable[str]:
    surfaces = model.table("surfaces").records()
    edges = model.table("edges").records()
    yield from underlined(name, "=")
    yield f"  {len(model)} buildings, {len(surfaces)} roof surfaces"
    for face in ("slope", "flat", "small", "upright"):
        of_kind = [row for row in surfaces if row["face"] == face]
        if of_kind:
            yield f"  {face:10}{len(of_kind):8d}  {_sum(of_kind, 'area_m2'):12.2f} m2"
    if surfaces:
        yield f"  furthest corner off its plane: {max(row['out_of_plane_mm'] for row in surfaces):.1f} mm"
    yield ""
    yield from underlined("Edges, each joint once")
    by_role = defaultdict[str, list[dict[str, Any]]](list)
    for row in edges:
        by_role[row["role"]].append(row)
    for role in sorted(by_role):
        yield f"  {role:18}{_sum(by_role[role], 'counted_length_m'):12.2f} m"
    if batch is not None:
        yield ""
        yield from underlined("All slopes")
        totals = batch.totals.sums()
        # Nought of an underlay that nobody stated would read as if none were needed.
        yield from (f"  {what:24}{totals[name]:12,.0f}" for name, what in SHOWN.items() if totals.get(name))
        if not totals.get("underlay_m"):
            yield Caution("  underlay: not counted, for none is stated")
        yield f"  {batch.row_count - batch.faulty_count} slopes taken off, {batch.faulty_count} with faults"
        yield from (Bad(f"  {row['id']}: {row['problem']}") for row in batch.errors.records())
    yield from (Caution(f"  left out: {fault}") for fault in model.faults)


def _sum(rows: Iterable[dict[str, Any]], column: str) -> float:
    return float(sum(row[column] or 0.0 for row in rows))
