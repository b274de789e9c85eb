"""The command `tally`: counting on the scaffold, into a file that is only ever added to."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from slopewright import tally_file
from slopewright._native import Tally
from slopewright.salvage import add_count, merge_tallies
from slopewright.terminal import Bad, say


def add_to(acts: argparse._SubParsersAction[argparse.ArgumentParser], epilog: str) -> None:
    """Add the command to those there are."""
    tally = acts.add_parser(
        "tally",
        help="keep the count of old units through the days of stripping",
        description="Add counts to a tally, show what it holds, or put the tallies of two people together. "
        "A count that is reported as added is on the disk.",
        epilog=epilog,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    tally.add_argument("at", type=Path, metavar="file", help="the tally; it is made with its first count")
    what = tally.add_subparsers(title="what to do", required=True, metavar="")

    add = what.add_parser("add", help="add a count")
    add.add_argument("unit", help='the unit by its format and kind: "plain-tile-265x165 whole"')
    add.add_argument("count", type=int, help="how many")
    add.add_argument(
        "--grade", choices=("sound", "doubtful", "broken"), default="sound", help="by default sound"
    )
    add.add_argument("--who", default="", metavar="TEXT", help="who counted, or which stack")
    add.add_argument(
        "--corrects", metavar="ID", help="the count in whose place this one stands; 0 withdraws it"
    )
    add.set_defaults(act=_add)

    show = what.add_parser("show", help="show what the tally holds")
    show.add_argument("--entries", action="store_true", help="every line with its id, those corrected too")
    show.set_defaults(act=_show)

    merge = what.add_parser("merge", help="put the counts of other tallies into this one")
    merge.add_argument(
        "others", type=Path, nargs="+", metavar="other", help="another tally; it stays as it is"
    )
    merge.set_defaults(act=_merge)


def _add(arguments: argparse.Namespace) -> int:
    if arguments.count < 0:
        say(Bad("count: is below 0; to take a count back, correct it to 0 with --corrects"), to=sys.stderr)
        return 2
    entry = add_count(
        arguments.at,
        arguments.unit,
        count=arguments.count,
        grade=arguments.grade,
        who=arguments.who,
        corrects=arguments.corrects,
    )
    say(f"added {entry.id}: {entry.count} {entry.grade}, {entry.unit}")
    return 0


def _show(arguments: argparse.Namespace) -> int:
    if not arguments.at.exists():
        raise FileNotFoundError(2, "no such file", str(arguments.at))
    tally, faults = Tally.recover(tally_file.read_text(arguments.at))
    if arguments.entries:
        for entry in tally.entries:
            corrects = "" if entry.corrects is None else f" in place of {entry.corrects}"
            who = f" ({entry.who})" if entry.who else ""
            say(f"{entry.id}  {entry.time}  {entry.unit}: {entry.count} {entry.grade}{who}{corrects}")
    else:
        _print_counts(tally)
    for fault in faults:
        say(Bad(f"{arguments.at}: {fault}"), to=sys.stderr)
    return 2 if faults else 0


def _print_counts(tally: Tally) -> None:
    sums: dict[str, list[int]] = {}
    rows: list[tuple[str, str, list[int]]] = []
    for row in tally.by_day().records():
        counts = [row["sound_count"], row["doubtful_count"], row["broken_count"]]
        rows.append((row["day"], row["unit"], counts))
        total = sums.setdefault(row["unit"], [0, 0, 0])
        sums[row["unit"]] = [one + more for one, more in zip(total, counts, strict=True)]
    rows += [("in all", unit, counts) for unit, counts in sums.items()]
    wide = max((len(unit) for _, unit, _ in rows), default=0)
    say(f"{'':10}  {'':{wide}}  {'sound':>8}  {'doubtful':>8}  {'broken':>8}")
    for day, unit, counts in rows:
        say(f"{day:10}  {unit:{wide}}  " + "  ".join(f"{count:8d}" for count in counts))


def _merge(arguments: argparse.Namespace) -> int:
    for other in arguments.others:
        if not other.exists():
            raise FileNotFoundError(2, "no such file", str(other))
    tally = merge_tallies(arguments.at, *arguments.others)
    say(f"{arguments.at}: {len(tally)} lines")
    return 0
