"""The command `order`: from surveys through salvage to an order. Its first lines say if there is enough."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from pathlib import Path

from slopewright._native import (
    DeliveryChoice,
    Finding,
    Order,
    OrderDocument,
    Salvaged,
    SalvageDocument,
    Survey,
    TakeOff,
    length_mm,
)
from slopewright.ordering import read_order
from slopewright.reading import read_survey
from slopewright.salvage import Salvage, read_salvage, read_tally
from slopewright.terminal import Bad, Caution, Good, say, underlined
from slopewright.writing import write_all

SALVAGE_TABLES = ("shortages", "supplies", "needs", "reserves", "checks", "fits", "alternatives", "load")
ORDER_TABLES = ("order", "totals")


def add_to(acts: argparse._SubParsersAction[argparse.ArgumentParser], epilog: str) -> None:
    """Add the command to those there are."""
    order = acts.add_parser(
        "order",
        help="have we enough? what old tiles cover, what to buy, what it costs and weighs",
        description="Read surveys, count what was salvaged against what the roofs need, and make up the "
        "order. The first line says whether the old units are enough.",
        epilog=epilog,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    add_inputs(order)
    order.add_argument(
        "--tolerance",
        metavar="LENGTH",
        help="order on the range too: what is wanted and paid if every measured length is so much shorter or "
        'longer, such as "10 mm"',
    )
    order.add_argument(
        "--second-delivery",
        type=_money,
        metavar="MONEY",
        help="what a second delivery costs, lost time included: print how many to order against running out",
    )
    order.add_argument(
        "--workbook",
        type=Path,
        metavar="FILE",
        help="with --prices, write the order as an .xlsx workbook whose figures follow what is changed in it",
    )
    order.add_argument(
        "--cutting",
        action="store_true",
        help="print the list for the saw too; with --prices for the bars that are ordered",
    )
    order.add_argument(
        "--csv", type=Path, metavar="FOLDER", help="write the tables to this folder, one CSV file each"
    )
    order.add_argument(
        "--markdown", type=Path, metavar="FOLDER", help="write the tables to this folder as Markdown"
    )
    order.add_argument("--json", type=Path, metavar="FILE", help="write the whole result to this file")
    order.add_argument("--why", action="store_true", help="print the working under every figure")
    order.add_argument("--quiet", action="store_true", help="print nothing but errors")
    order.set_defaults(act=_order)


def add_inputs(parser: argparse.ArgumentParser) -> None:
    """Add what a job is read from: surveys, what came off, tallies, prices."""
    parser.add_argument(
        "surveys", type=Path, nargs="+", metavar="survey", help="a survey, a .toml, .json or .xlsx file"
    )
    parser.add_argument(
        "--salvage", type=Path, metavar="FILE", help="what came off and who gets it, .toml or .json"
    )
    parser.add_argument(
        "--tally",
        type=Path,
        action="append",
        default=[],
        metavar="FILE",
        help="a tally to add to what came off",
    )
    parser.add_argument(
        "--prices", type=Path, metavar="FILE", help="currency, terms and prices, .toml or .json"
    )


@dataclass(frozen=True)
class Job:
    """What a job is read from, and what comes of it."""

    surveys: list[Survey]
    take_offs: list[TakeOff]
    document: SalvageDocument
    salvaged: Salvaged
    prices: OrderDocument | None
    made: Order | None


def read_job(arguments: argparse.Namespace) -> Job:
    """Read a job: its take-offs, what old units cover of it, and the order if there are prices."""
    surveys: list[Survey] = []
    take_offs: list[TakeOff] = []
    for path in arguments.surveys:
        arguments.at = path
        surveys.append(read_survey(path))
        take_offs.append(surveys[-1].take_off())
    document = Salvage().document()
    if arguments.salvage is not None:
        arguments.at = arguments.salvage
        document = read_salvage(arguments.salvage)
    for path in arguments.tally:
        arguments.at = path
        document = document.with_tally(read_tally(path))
    prices, made = None, None
    if arguments.prices is not None:
        arguments.at = arguments.prices
        prices = read_order(arguments.prices)
        # Prices choose the bars: the take-offs, the list for the saw and the order then speak of the same ones.
        take_offs = [prices.with_bar_prices(take_off) for take_off in take_offs]
    arguments.at = arguments.salvage or arguments.surveys[0]
    salvaged = document.reckon(*take_offs)
    if prices is not None:
        arguments.at = arguments.prices
        made = prices.order_for(salvaged)
    return Job(surveys, take_offs, document, salvaged, prices, made)


def _order(arguments: argparse.Namespace) -> int:
    if arguments.prices is None:
        given = {"--workbook": arguments.workbook, "--second-delivery": arguments.second_delivery}
        in_vain = [option for option, value in given.items() if value is not None]
        if in_vain:
            say(
                Bad(f"{', '.join(in_vain)}: an order is made up from prices (add --prices FILE)"),
                to=sys.stderr,
            )
            return 2
    job = read_job(arguments)
    orders, choices = None, []
    if job.prices is not None and job.made is not None:
        if arguments.tolerance is not None:
            tolerance = length_mm(arguments.tolerance)
            taped = [survey.tape_range(tolerance) for survey in job.surveys]
            low = job.document.reckon(*(of.low for of in taped))
            high = job.document.reckon(*(of.high for of in taped))
            orders = job.prices.order_range_for(low, job.salvaged, high)
        if arguments.second_delivery is not None:
            choices = job.prices.second_deliveries(job.made, arguments.second_delivery)

    files = _files(arguments, job, orders)
    write_all(files)
    if not arguments.quiet:
        found = [finding for take_off in job.take_offs for finding in take_off.findings]
        say(*_report(job.salvaged, job.made, found, why=arguments.why))
        if orders is not None and arguments.tolerance is not None:
            say(*_ordered_range(orders, length_mm(arguments.tolerance)))
        if arguments.second_delivery is not None:
            say(*_second_delivery(choices, arguments.second_delivery))
        if arguments.cutting:
            say(*_cutting(job.take_offs))
        for path in files:
            say(f"written: {path}")
    return 0


def _cutting(take_offs: Sequence[TakeOff]) -> Iterable[str]:
    for take_off in take_offs:
        yield from _title(f"Cutting list, {take_off.name}")
        for line in (*take_off.cut_battens().list, *take_off.timber_list(), *take_off.length_list()):
            yield f"  {line}"


def _files(
    arguments: argparse.Namespace, job: Job, orders: tuple[Order, Order, Order] | None
) -> dict[Path, str | bytes]:
    files = dict[Path, str | bytes]()
    if arguments.json is not None:
        files[arguments.json] = (job.salvaged if job.made is None else job.made).to_json() + "\n"
    tables = {name: job.salvaged.table(name) for name in SALVAGE_TABLES}
    if job.made is not None:
        tables |= {name: job.made.table(name) for name in ORDER_TABLES}
    if orders is not None:
        tables |= {
            f"order-{end}": of.table() for end, of in zip(("low", "likely", "high"), orders, strict=True)
        }
    if arguments.csv is not None:
        files |= {arguments.csv / f"{name}.csv": table.to_csv() for name, table in tables.items()}
    if arguments.markdown is not None:
        files |= {arguments.markdown / f"{name}.md": table.to_markdown() for name, table in tables.items()}
    if arguments.workbook is not None and job.prices is not None:
        files[arguments.workbook] = job.prices.workbook(job.salvaged)
    return files


def _report(salvaged: Salvaged, made: Order | None, found: Sequence[Finding], *, why: bool) -> Iterable[str]:
    first, *rest = salvaged.answer
    yield Good(first) if salvaged.is_enough else Bad(first)
    yield from rest
    yield from _who_gets_what(salvaged)
    yield from _supplies(salvaged, why=why)
    yield from _ways_out(salvaged)
    if made is not None:
        yield from _bought(made, why=why)
    yield from _load(salvaged, why=why)
    yield from _title("What you must know")
    shown: list[Finding] = []
    for finding in [*found, *salvaged.findings, *([] if made is None else made.findings)]:
        if finding not in shown:
            shown.append(finding)
    for finding in sorted(shown, key=lambda finding: finding.severity != "departure"):
        yield Caution(f"  {finding}")


def _title(text: str) -> Iterable[str]:
    yield ""
    yield from underlined(text)


def _who_gets_what(salvaged: Salvaged) -> Iterable[str]:
    rows = salvaged.table("needs").records()
    if not rows:
        return
    yield from _title("Who gets the old units")
    places = [f"{row['roof']}, {row['slope']}" if row["roof"] else row["slope"] for row in rows]
    width = max(map(len, places))
    wide = max(len(row["unit"]) for row in rows)
    yield f"  {'':{width}}  {'':{wide}}  {'needed':>8}  {'met':>8}  {'to buy':>8}"
    for place, row in zip(places, rows, strict=True):
        counts = f"{row['needed_count']:8d}  {row['met_count']:8d}  {row['bought_count']:8d}"
        yield f"  {place:{width}}  {row['unit']:{wide}}  {counts}"


def _supplies(salvaged: Salvaged, *, why: bool) -> Iterable[str]:
    rows = salvaged.table("supplies").records()
    if not rows:
        return
    yield from _title("What came off")
    wide = max(len(row["unit"]) for row in rows)
    heads = {
        "came off": "came_off_count",
        "relied on": "salvaged_count",
        "lost": "lost_count",
        "laid": "used_count",
        "held back": "reserve_count",
        "left": "left_count",
    }
    yield f"  {'':{wide}}  " + "  ".join(f"{head:>9}" for head in heads)
    for row in rows:
        yield f"  {row['unit']:{wide}}  " + "  ".join(f"{row[column]:9d}" for column in heads.values())
        if why:
            yield from (f"      {step}" for step in row["working"].split("; "))
    for row in salvaged.table("reserves").records():
        wanted = row["reserve_wanted_count"]
        yield f"  held back for roof '{row['roof']}': {row['reserve_count']} of {wanted} {row['unit']}"
        if why:
            yield f"      {row['working']}"
    for row in salvaged.table("checks").records():
        yield (
            f"  {row['unit']}: {row['came_off_count']} came off, {row['expected_count']} should have "
            f"({row['difference_percent']:+.1f} %)"
        )
        if why:
            yield f"      {row['working']}"


def _ways_out(salvaged: Salvaged) -> Iterable[str]:
    rows = salvaged.table("alternatives").records()
    if not rows:
        return
    yield from _title("If it cannot be bought: slopes to cover in something else")
    for row in rows:
        yield (
            f"  {row['other_covering']} in another covering: {row['gone_count']} units fewer are needed; "
            f"old ones free for the rest: {row['freed_units'] or 'none'}; {row['bought_count']} still to buy; "
            f"left over: {row['left_units'] or 'none'}"
        )


def _bought(made: Order, *, why: bool) -> Iterable[str]:
    yield from _title("The order")
    lines = made.lines
    wide = max((len(line.item) for line in lines), default=0)
    yield f"  {'':{wide}}  {'needed':>8}  {'ordered':>8}  {'packs':>6}  {'loose':>6}  {'net':>10}  {'kg':>8}"
    for line in lines:
        mass = "" if line.mass_kg is None else f"{line.mass_kg:.1f}"
        yield (
            f"  {line.item:{wide}}  {line.needed:8d}  {line.ordered:8d}  {line.packs:6d}  {line.loose:6d}  "
            f"{line.net:>10}  {mass:>8}"
        ).rstrip()
        if why:
            yield from (f"      {step}" for step in line.working)
    lifts = "" if made.lift_count is None else f", {made.lift_count} lifts"
    yield f"  net {made.net}, tax {made.tax}, to pay {made.gross} {made.currency}"
    yield f"  {made.mass_kg:.1f} kg, {made.pallet_count} pallets{lifts}"


def _money(text: str) -> Decimal:
    try:
        amount = Decimal(text)
    except InvalidOperation:
        amount = Decimal("nan")
    if not amount.is_finite() or amount < 0:
        msg = f"{text!r} is not an amount of money (write a number of 0 or more, such as 250 or 250.50)"
        raise argparse.ArgumentTypeError(msg)
    return amount


def _ordered_range(orders: tuple[Order, Order, Order], tolerance_mm: float) -> Iterable[str]:
    yield from _title(f"The order, if every length is {tolerance_mm:g} mm shorter or longer")
    ordered = [{line.item: line.ordered for line in made.lines} for made in orders]
    items = list(dict.fromkeys(item for of in ordered for item in of))
    wide = max(map(len, items), default=0)
    yield f"  {'':{wide}}  {'shorter':>8}  {'as taped':>8}  {'longer':>8}"
    for item in items:
        yield f"  {item:{wide}}  " + "  ".join(f"{of.get(item, 0):8d}" for of in ordered)
    low, likely, high = orders
    yield f"  to pay {low.gross}, {likely.gross}, {high.gross} {likely.currency}"
    for end, made in (("shorter", low), ("longer", high)):
        missing = [item for item in made.unpriced if item not in likely.unpriced]
        if missing:
            yield f"  {end}: without a price, and not in it: {', '.join(missing)}"


def _second_delivery(choices: Sequence[tuple[str, Sequence[DeliveryChoice]]], cost: Decimal) -> Iterable[str]:
    yield from _title(f"How many to order, if a second delivery costs {cost}")
    if not any(found for _, found in choices):
        yield "  nothing to weigh: no item has a spare by risk of breakage"
    for item, found in choices:
        for choice in found:
            if choice.cheapest:
                yield (
                    f"  {item}: {choice.ordered} cost least on average; "
                    f"chance of running out {choice.chance_short:.1%}, "
                    f"{choice.left_over:.0f} left over, {choice.cost:.2f} beyond the need"
                )


def _load(salvaged: Salvaged, *, why: bool) -> Iterable[str]:
    rows = salvaged.table("load").records()
    if not rows:
        return
    yield from _title("The old covering off, the new one on")
    for row in rows:
        change = "" if row["change_percent"] is None else f" ({row['change_percent']:+.1f} %)"
        yield (
            f"  {row['slope']}: {row['old_kg_per_m2']:.1f} kg/m2 off, {row['new_kg_per_m2']:.1f} kg/m2 on, "
            f"{row['change_kg']:+.0f} kg{change}"
        )
        if why:
            yield f"      {row['working']}"
