"""The commands `draw` and `page`: drawings as SVG files, and the job as one HTML file."""

from __future__ import annotations

import argparse
import re
from pathlib import Path

from slopewright._native import Drawing, StockError, drawing_layers, page
from slopewright.command_order import add_inputs, read_job
from slopewright.reading import read_survey
from slopewright.terminal import Bad, Good, say
from slopewright.writing import write_all


def add_to(acts: argparse._SubParsersAction[argparse.ArgumentParser], epilog: str) -> None:
    """Add the commands to those there are."""
    draw = acts.add_parser(
        "draw",
        help="draw the roof: every slope to scale, the plan, the cutting list as bars",
        description="Read a survey and write its drawings as SVG files: the plan, each slope, and, where the "
        "spacing of the rafters is stated, the cutting list of the battens as bars.",
        epilog=epilog,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    draw.add_argument("at", type=Path, metavar="survey", help="the survey, a .toml, .json or .xlsx file")
    draw.add_argument("folder", type=Path, help="the folder that the drawings are written to")
    draw.add_argument(
        "--slope", metavar="NAME", help="this slope alone, with its battens in the cutting list"
    )
    draw.add_argument(
        "--layers",
        metavar="WORDS",
        help=f"the layers of a slope, with commas between, of: {', '.join(drawing_layers())}; "
        "by default units,openings,dimensions",
    )
    draw.add_argument("--quiet", action="store_true", help="print nothing but errors")
    draw.set_defaults(act=_draw)

    leaf = acts.add_parser(
        "page",
        help="write the job as one HTML file: the answer, the working, drawings, the order, a tally",
        description="Read surveys, what was salvaged and prices, and write one HTML file that needs no "
        "network: it opens from a mail on a phone, and prints on A4. Old units can be counted in it; the counts "
        "leave it as a file that --tally reads.",
        epilog=epilog,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    add_inputs(leaf)
    leaf.add_argument("--to", type=Path, required=True, metavar="FILE", help="the file that is written")
    leaf.add_argument("--quiet", action="store_true", help="print nothing but errors")
    leaf.set_defaults(act=_page)


def _draw(arguments: argparse.Namespace) -> int:
    take_off = read_survey(arguments.at).take_off()
    layers = None if arguments.layers is None else [word.strip() for word in arguments.layers.split(",")]
    names = [arguments.slope] if arguments.slope is not None else [of.slope for of in take_off.slopes]
    drawings = {f"slope-{name}": take_off.drawing(name, layers=layers) for name in names}
    if arguments.slope is None:
        drawings["plan"] = take_off.plan_drawing()
    try:
        drawings["cutting"] = take_off.cut_battens().drawing(arguments.slope)
    except StockError as error:
        if not arguments.quiet:
            say(f"no cutting list: {error}")
    files = {arguments.folder / name: of.svg for name, of in _file_names(drawings).items()}
    write_all(files)
    if not arguments.quiet:
        for path in files:
            say(f"written: {path}")
    return 0


def _file_names(drawings: dict[str, Drawing]) -> dict[str, Drawing]:
    """Names of files that every system takes, no two alike."""
    named: dict[str, Drawing] = {}
    for title, drawing in drawings.items():
        stem = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:60] or "drawing"
        name, number = f"{stem}.svg", 2
        while name in named:
            name, number = f"{stem}-{number}.svg", number + 1
        named[name] = drawing
    return named


def _page(arguments: argparse.Namespace) -> int:
    job = read_job(arguments)
    was_counted = arguments.salvage is not None or bool(arguments.tally)
    salvaged = job.salvaged if was_counted or job.made is not None else None
    text = page(*job.take_offs, salvaged=salvaged, order=job.made)
    write_all({arguments.to: text})
    if not arguments.quiet:
        first = job.salvaged.answer[0]
        say(Good(first) if job.salvaged.is_enough else Bad(first), f"written: {arguments.to}")
    return 0
