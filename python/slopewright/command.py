"""The command: read a survey, take the roof off, print it, and write it to files; order, draw, keep a tally."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path

from slopewright import command_city, command_draw, command_order, command_tally
from slopewright._native import (
    Cutting,
    Finding,
    Line,
    Placing,
    SlopewrightError,
    Survey,
    TakeOff,
    TapeRange,
    __version__,
    covering_keys,
    length_mm,
)
from slopewright.reading import read_survey
from slopewright.terminal import Bad, Caution, Good, say, underlined
from slopewright.writing import write_all

DONE, FAULTS, FILES = 0, 2, 3

EXIT_CODES = """\
exit codes:
  0  done
  2  a survey or another input has faults, or the command was given wrongly; nothing is written
  3  a file cannot be read or written; nothing is left half written
"""

ADVICE: dict[type[OSError], str] = {
    FileNotFoundError: "look at the path; a folder that is written to must be there",
    IsADirectoryError: "name a file in it",
    NotADirectoryError: "name a folder",
    FileExistsError: "give another name, or take away what is there",
    PermissionError: "choose a place that you may read and write",
}

TABLES = ("lines", "courses", "battens", "underlay", "edges", "measured", "findings")
CUTTING_TABLES = ("cutting", "pieces")


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command and return its exit code."""
    arguments = _parser().parse_args(argv)
    try:
        return int(arguments.act(arguments))
    except SlopewrightError as error:
        say(*(Bad(line) for line in f"{arguments.at}: {error}".splitlines()), to=sys.stderr)
        return FAULTS
    except UnicodeDecodeError as error:
        say(Bad(f"{arguments.at}: is not UTF-8 text ({error.reason} at byte {error.start})"), to=sys.stderr)
        return FILES
    except BrokenPipeError:
        # Whoever read what is printed has seen enough of it; what Python would still print on leaving goes nowhere.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except OSError as error:
        advice = ADVICE.get(type(error))
        problem = error.strerror or str(error)
        place = error.filename or arguments.at
        say(Bad(f"{place}: {problem}" + (f" ({advice})" if advice else "")), to=sys.stderr)
        return FILES


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="slopewright",
        description="Count what a roof needs: tiles or slates course by course, battens, underlay and nails, "
        "with the reason for every figure; what old tiles cover of it; and what to buy.",
        epilog=EXIT_CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"slopewright {__version__}")
    acts = parser.add_subparsers(title="what to do", required=True, metavar="what", dest="what")

    takeoff = acts.add_parser(
        "takeoff",
        help="print what the roof needs, and write it to files",
        description="Read a survey and print what the roof needs, slope by slope and in all.",
        epilog=EXIT_CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    takeoff.add_argument("at", type=Path, metavar="survey", help="the survey, a .toml, .json or .xlsx file")
    takeoff.add_argument(
        "--why",
        action="store_true",
        help="print the working under every figure, and how each slope is set out",
    )
    takeoff.add_argument(
        "--placing",
        action="store_true",
        help="print where openings that may be moved would cut the fewest units; --why does too",
    )
    takeoff.add_argument(
        "--tolerance",
        metavar="LENGTH",
        help='print what the counts are if every measured length is so much shorter or longer, such as "10 mm"',
    )
    takeoff.add_argument(
        "--cutting",
        action="store_true",
        help="cut the battens from stock and print the list for the saw; with --csv and --json it is written too",
    )
    takeoff.add_argument("--json", type=Path, metavar="FILE", help="write the whole result to this file")
    takeoff.add_argument(
        "--csv", type=Path, metavar="FOLDER", help="write the tables to this folder, one CSV file each"
    )
    takeoff.add_argument(
        "--markdown", type=Path, metavar="FOLDER", help="write the tables to this folder as Markdown"
    )
    takeoff.add_argument("--quiet", action="store_true", help="print nothing but errors")
    takeoff.set_defaults(act=_takeoff)

    check = acts.add_parser(
        "check",
        help="look for faults in a survey",
        description="Read a survey and report every fault.",
        epilog=EXIT_CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    check.add_argument("at", type=Path, metavar="survey", help="the survey, a .toml, .json or .xlsx file")
    check.set_defaults(act=_check)

    blank = acts.add_parser(
        "blank",
        help="write a workbook to fill in, or a survey as a workbook",
        description="Write an .xlsx workbook in which a survey is filled in; takeoff, check and order read it. "
        "With a survey, its figures stand in it.",
        epilog=EXIT_CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    blank.add_argument("at", type=Path, metavar="file", help="the workbook that is written")
    blank.add_argument("--survey", type=Path, metavar="FILE", help="the survey that stands in it")
    blank.add_argument(
        "--replace",
        action="store_true",
        help="write it even if there is such a file; what stands in that is lost",
    )
    blank.set_defaults(act=_blank)

    formats = acts.add_parser(
        "formats",
        help="list the coverings that a survey may name",
        epilog=EXIT_CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    formats.set_defaults(act=_formats, at="formats")

    command_city.add_to(acts, EXIT_CODES)
    command_order.add_to(acts, EXIT_CODES)
    command_draw.add_to(acts, EXIT_CODES)
    command_tally.add_to(acts, EXIT_CODES)
    return parser


def _blank(arguments: argparse.Namespace) -> int:
    if arguments.at.exists() and not arguments.replace:
        msg = (
            f"{arguments.at}: is there already (give another name, or --replace if what it holds may be lost)"
        )
        say(Bad(msg), to=sys.stderr)
        return FILES
    if arguments.survey is None:
        data = Survey.blank_workbook()
    else:
        target, arguments.at = arguments.at, arguments.survey
        data = read_survey(arguments.survey).to_workbook()
        arguments.at = target
    write_all({arguments.at: data})
    say(f"written: {arguments.at}")
    return DONE


def _takeoff(arguments: argparse.Namespace) -> int:
    survey = read_survey(arguments.at)
    take_off = survey.take_off()
    taped = None if arguments.tolerance is None else survey.tape_range(length_mm(arguments.tolerance))
    cutting = take_off.cut_battens() if arguments.cutting else None
    files = dict[Path, str | bytes]()
    if arguments.json is not None:
        files[arguments.json] = take_off.to_json(cutting) + "\n"
    if arguments.csv is not None:
        files |= {arguments.csv / f"{name}.csv": take_off.table(name).to_csv() for name in TABLES}
        if cutting is not None:
            files |= {arguments.csv / f"{name}.csv": cutting.table(name).to_csv() for name in CUTTING_TABLES}
        if taped is not None:
            files[arguments.csv / "range.csv"] = taped.table().to_csv()
    if arguments.markdown is not None:
        files |= {arguments.markdown / f"{name}.md": take_off.table(name).to_markdown() for name in TABLES}
    write_all(files)
    if not arguments.quiet:
        say(*_report(take_off, why=arguments.why, placing=arguments.placing))
        if taped is not None:
            say(*_range(taped))
        if cutting is not None:
            say(*_cutting_list(cutting, [*take_off.timber_list(), *take_off.length_list()]))
        for path in files:
            say(f"written: {path}")
    return DONE


def _check(arguments: argparse.Namespace) -> int:
    read_survey(arguments.at).check()
    say(Good(f"{arguments.at}: no faults"))
    return DONE


def _formats(_arguments: argparse.Namespace) -> int:
    width = max(len(key) for key, _ in covering_keys())
    for key, name in covering_keys():
        say(f"{key:{width}}  {name}")
    return DONE


def _report(take_off: TakeOff, *, why: bool, placing: bool) -> Iterable[str]:
    yield from underlined(take_off.name, "=")
    lines = take_off.lines
    # The whole roof first: it is what the reader came for.
    yield from _block("The whole roof", [line for line in lines if not line.slope], why=why)
    for layout in take_off.slopes:
        title = (
            f"{layout.slope}: {layout.covered_area_m2:.2f} m2 at {layout.pitch_deg:.1f} degrees, "
            f"{layout.covering}, gauge {layout.gauge_mm:.1f} mm"
        )
        yield from _block(title, [line for line in lines if line.slope == layout.slope], why=why)
        if why:
            yield "  set out:"
            yield from (f"    {step}" for step in layout.working)
    if why or placing:
        yield from _placing(take_off.placing, why=why)
    yield from _findings(take_off.findings)


def _block(title: str, lines: Sequence[Line], *, why: bool) -> Iterable[str]:
    yield ""
    yield from underlined(title)
    width = max((len(line.item) for line in lines), default=0)
    yield f"  {'':{width}}  {'count':>8}  {'m':>10}  {'m2':>8}  {'kg':>9}"
    for line in lines:
        amounts = (
            f"{_shown(line.count, '8d')}  {_shown(line.length_m, '10.2f')}  "
            f"{_shown(line.area_m2, '8.2f')}  {_shown(line.mass_kg, '9.1f')}"
        )
        yield f"  {line.item:{width}}  {amounts}".rstrip()
        if why:
            yield f"      {line.working}"


def _shown(value: float | int | None, form: str) -> str:
    width = int(form.split(".", maxsplit=1)[0].rstrip("df"))
    return " " * width if value is None else format(value, form)


def _findings(findings: Sequence[Finding]) -> Iterable[str]:
    yield ""
    yield from underlined("What you must know")
    for finding in findings:
        place = f"{finding.place}: " if finding.place else ""
        source = f" [{finding.source}]" if finding.source else ""
        yield Caution(f"  {finding.severity}: {place}{finding.message}{source}")


def _range(taped: TapeRange) -> Iterable[str]:
    rows = taped.table().records()
    title = f"If every length is {taped.tolerance_mm:g} mm shorter or longer"
    yield ""
    yield from underlined(title)
    width = max((len(row["item"]) for row in rows), default=0)
    yield f"  {'':{width}}  {'shorter':>8}  {'as taped':>8}  {'longer':>8}"
    for row in rows:
        counts = f"{row['low_count']:8d}  {row['likely_count']:8d}  {row['high_count']:8d}"
        yield f"  {row['item']:{width}}  {counts}"


def _cutting_list(cutting: Cutting, timbers: Sequence[str]) -> Iterable[str]:
    yield ""
    yield from underlined("Cutting list")
    yield from (f"  {line}" for line in (*cutting.list, *timbers))


def _placing(found: Sequence[Placing], *, why: bool) -> Iterable[str]:
    yield ""
    yield from underlined("Where the openings would better stand")
    if not found:
        yield "  no opening says how far it may be moved"
    for placing in found:
        yield f"  {placing.finding.place}: {placing.finding.message}"
        if why:
            yield f"      {placing.working}"


if __name__ == "__main__":
    sys.exit(main())
