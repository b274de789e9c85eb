"""Every signature used once, for the type checkers: they read it in strict mode, and a test runs it."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

import slopewright as sw
from slopewright.parts import Point


def build(corners: Sequence[Point]) -> sw.Roof:
    edge: sw.Edge = sw.Edge(role="eaves", overhang_mm=50.0, clearance_mm=None)
    rectangle = sw.Opening(
        from_left_m=1.0,
        from_eaves_m=1,
        width_mm=780,
        height_mm=1180.0,
        clearance_mm=30,
        name="light",
        underlay_collar_mm=150,
        underlay_upstand_mm=100.0,
        lead_code=4,
        flashing_width_mm=300,
        head_flashing_width_mm=300.0,
        past_corner_mm=0,
    )
    outline = sw.Opening(corners_m=[(3.0, 1.0), (3.6, 1.0), (3.3, 1.5)])
    roof = sw.Roof(
        covering="plain-tile-265x165",
        name="typed",
        headlap_mm=65,
        gauge_mm=100.0,
        joint_mm=0,
        bond="half",
        start="left",
        cuts="pairs",
        saw_kerf_mm=2.5,
        edgework={"ridge": {"laying": "dry"}},
        timbers={"rafter_width": "50 mm"},
        measuring="net",
        rafter_spacing_mm=400,
        underlay="membrane-1x50",
        exposure="moderate",
    )
    roof = roof.rectangle(
        "a", eaves_m=6, rafter_m=4, pitch_deg=40, edges={"eaves": edge}, openings=[rectangle, outline]
    )
    roof = roof.trapezoid(
        "b", eaves_m=6, ridge_m=2, rafter_m=4, pitch_deg=40, offset_m=1.0, edges=None, openings=()
    )
    roof = roof.hip_end("c", eaves_m=6, rafter_m=4, pitch_deg=40, offset_m=None, edges={}, openings=())
    roof = roof.outline("d", corners_m=corners, pitch_deg=40, in_plan=True, edges={"1": edge}, openings=())
    roof = roof.gable("e", length_m=8, span_m=6, pitch_deg=40, openings={"front": [rectangle]})
    roof = roof.hipped("f", length_m=8, span_m=6, pitch_deg=40, hip_pitch_deg=45, hips="both", openings=None)
    roof = roof.tape(
        "h",
        pitch_deg=40,
        eaves_m=6,
        ridge_m=6,
        left_rafter_m=4,
        right_rafter_m=4,
        left_diagonal_m=7.211,
        right_diagonal_m=None,
        tolerance_mm=20,
        edges=None,
        openings=(),
    )
    roof = roof.half_hipped(
        "i",
        length_m=9,
        span_m=6,
        pitch_deg=45,
        hip_height_m=1,
        half_hip_eaves_m=None,
        hip_pitch_deg=50,
        hips="both",
    )
    roof = roof.winged(
        "j",
        length_m=12,
        span_m=7,
        pitch_deg=45,
        wing_span_m=4,
        wing_length_m=3,
        wing_from_left_m=2,
        wing_pitch_deg=None,
        openings={},
    )
    roof = roof.mansard(
        "k", length_m=9, span_m=8, pitch_deg=65, upper_pitch_deg=30, break_height_m=2.0, hips=None
    )
    roof = roof.plan("l", corners_m=[(0, 0), (9, 0), (9, 6), (0, 6)], pitch_deg=40, gables=[2], openings=None)
    return roof.lean_to("g", length_m=4, span_m=2, pitch_deg=30, openings=None)


def survey(roof: sw.Roof, folder: Path) -> sw.Survey:
    made: sw.Survey = roof.survey()
    made.check()
    texts: tuple[str, str, str] = (made.to_json(), made.to_toml(), sw.Survey.schema())
    path = folder / "typed.toml"
    path.write_text(texts[1], encoding="utf-8")
    same: bool = sw.read_survey(path) == sw.read_survey(str(path)) == sw.Survey.from_json(texts[0])
    assert same
    return sw.Survey.from_toml(texts[1])


def results(take_off: sw.TakeOff) -> list[str | int | float | None]:
    values: list[str | int | float | None] = [take_off.name, take_off.to_json(), sw.TakeOff.schema()]
    lines: list[sw.Line] = take_off.lines
    for line in lines:
        working: sw.Working = line.working
        values += [
            line.slope,
            line.part,
            line.item,
            line.format,
            line.count,
            line.length_m,
            line.area_m2,
            line.mass_kg,
        ]
        values += [
            working.what,
            working.formula,
            working.numbers,
            working.result,
            working.rule,
            working.source,
        ]
        values += [working.text]
    findings: list[sw.Finding] = take_off.findings
    for finding in findings:
        values += [
            finding.severity,
            finding.place,
            finding.message,
            finding.rule,
            finding.source,
            finding.text,
        ]
    layouts: list[sw.SlopeLayout] = take_off.slopes
    for layout in layouts:
        values += [layout.slope, layout.pitch_deg, layout.covering, layout.gauge_mm, layout.headlap_mm]
        values += [layout.cover_width_mm, layout.covered_area_m2, *(step.what for step in layout.working)]
        values += [u for ring in layout.covered_rings_m for u, _ in ring]
        for (number, kind, low, high, origin, width), stretch in zip(
            layout.course_cells_m, layout.course_stretches_m, strict=True
        ):
            values += [number, kind, low, high, origin, width, *(stretch or ())]
    for joint in take_off.joints:
        shared: sw.Joint = joint
        values += [shared.role, shared.length_m, shared.difference_m, *shared.between]
    for placing in take_off.placing:
        found: sw.Placing = placing
        values += [
            found.slope,
            found.cut_before,
            found.cut_after,
            found.places,
            found.too_many,
            *found.left_out,
        ]
        values += [found.finding.text, found.working.text, *(name for name, _, _ in found.moves_mm)]
    return values


def tables(take_off: sw.TakeOff) -> int:
    table: sw.Table = take_off.table("courses")
    names: list[str] = table.column_names
    meanings: dict[str, str] = table.meanings
    records: list[dict[str, Any]] = table.records()
    stream: object = table.__arrow_c_stream__(None) or take_off.__arrow_c_stream__(requested_schema=None)
    texts: list[str] = [table.name, table.to_csv(), repr(stream), *names, *meanings]
    assert texts
    assert take_off.table(name="lines").name == take_off.table().name
    return len(table) + len(records)


def cutting(take_off: sw.TakeOff) -> int:
    cut: sw.Cutting = take_off.cut_battens()
    lines: list[sw.Line] = cut.lines
    timbers: list[str] = take_off.timber_list()
    lengths: list[str] = take_off.length_list()
    texts: list[str] = [*cut.list, *timbers, *lengths, take_off.to_json(cutting=cut)]
    assert all(texts)
    return len(lines) + len(cut.table()) + len(cut.table(name="pieces"))


def tolerance(roof: sw.Roof) -> int:
    taped: sw.TapeRange = roof.tape_range(tolerance_mm=5.0)
    again: sw.TapeRange = roof.survey().tape_range(tolerance_mm=taped.tolerance_mm)
    ends: list[sw.TakeOff] = [taped.low, taped.likely, taped.high]
    salvaged = [sw.Salvage().document().reckon(end) for end in ends]
    prices = sw.Prices(currency="EUR", rounding="half-up", rounding_place="per-line")
    for unit in dict.fromkeys(need.unit.replace(" cut", " whole") for end in ends for need in end.needs):
        prices.item(unit, price="1.10")
    document: sw.OrderDocument = (
        prices.spare(part="covering", allowance_percent=1)
        .spare("membrane", breakage_percent=1, sureness=0.9)
        .document()
    )
    orders: tuple[sw.Order, sw.Order, sw.Order] = document.order_range_for(*salvaged)
    priced: sw.TakeOff = document.with_bar_prices(roof.take_off())
    assert priced.lines
    dear: list[tuple[str, list[sw.DeliveryChoice]]] = document.second_deliveries(
        orders[1], delivery=Decimal(90)
    )
    assert dear == []
    choices: list[sw.DeliveryChoice] = sw.second_delivery(
        need=100,
        breakage_percent=Decimal(2),
        price_each=Decimal("0.9"),
        delivery=Decimal(90),
        pack=6,
        worth_left_over_percent=Decimal(10),
    )
    numbers: list[float] = [
        number
        for one in choices
        for number in (
            one.chance_short,
            one.left_over,
            one.missing,
            one.surplus_cost,
            one.delivery_cost,
            one.cost,
        )
    ]
    counts: list[int] = [one.ordered for one in choices if one.cheapest]
    assert numbers
    return counts[0] + len(taped.table()) + len(again.table())


def salvage(take_off: sw.TakeOff, folder: Path) -> sw.Salvaged:
    unit = "plain-tile-265x165 whole"
    at = "2026-01-02T08:00"
    entry: sw.TallyEntry = sw.add_count(folder / "tally", unit, count=40, grade="sound", who="a", time=at)
    same = sw.TallyEntry(
        id=entry.id, unit=entry.unit, count=entry.count, grade=entry.grade, who=entry.who, time=entry.time
    )
    tally: sw.Tally = sw.read_tally(folder / "tally").add(same)
    tally = tally.merge(sw.merge_tallies(folder / "tally", folder / "other"))
    assert [entry.line(), len(tally.entries), len(tally.standing()), tally.by_day().name, tally.text()]
    recovered: tuple[sw.Tally, list[sw.Fault]] = sw.Tally.recover(tally.text())
    built = sw.Salvage(sureness=0.95, lay_doubtful=False, handling_loss_percent=2.0, refixing_loss_percent=1)
    built = built.graded(unit, sound=100, doubtful=5, broken=3, label="by the gate").counted_by(recovered[0])
    document: sw.SalvageDocument = built.document()
    path = folder / "salvage.json"
    path.write_text(document.to_json(), encoding="utf-8")
    assert sw.read_salvage(path) == document
    need = sw.Need(slope="a", unit=unit, count=50, roof="typed", mass_each_kg=1.1)
    few: sw.Salvaged = document.reckon_needs([need])
    assert [few.is_enough, few.answer, few.to_buy, few.findings, few.table().name, few.to_json()]
    heap: sw.HeapInspection = sw.inspect_heap(lot=1000, inspected=100, sound=90, sureness=0.9)
    more: int | None = heap.more_for_need(need=850)
    assert [more, heap.at_least, heap.likely, heap.lot, heap.inspected, heap.sound, heap.working.text]
    return built.reckon(take_off)


def orders(folder: Path) -> Decimal:
    prices = sw.Prices(currency="EUR", rounding="half-up", rounding_place="per-line", allowance_percent=3.0)
    prices = prices.item(
        "tile", price="612.50", per=1000, pack=6, tax_percent=20, mass_each_kg=Decimal("1.1")
    )
    document: sw.OrderDocument = prices.document()
    path = folder / "order.json"
    path.write_text(document.to_json(), encoding="utf-8")
    assert sw.read_order(path) == document
    made: sw.Order = sw.order({"tile": 1000}, prices)
    lines: list[sw.OrderLine] = made.lines
    assert [
        *(line.ordered for line in lines),
        made.pallet_count,
        made.lift_count,
        made.currency,
        made.unpriced,
    ]
    amounts: list[Decimal] = [made.net, made.tax, made.gross, made.mass_kg, lines[0].net]
    return sum(amounts, Decimal(0))


def faults() -> tuple[sw.Fault, ...]:
    try:
        sw.length_mm("4150")
    except sw.QuantityError as error:
        base: sw.SlopewrightError = error
        for fault in base.faults:
            texts: list[str] = [
                fault.kind,
                fault.place,
                fault.problem,
                fault.given,
                fault.allowed,
                fault.advice,
            ]
            assert [*texts, fault.text]
        return error.faults
    return ()


def drawings(take_off: sw.TakeOff) -> int:
    words: list[str] = sw.drawing_layers()
    slope: sw.Drawing = take_off.drawing(take_off.slopes[0].slope, layers=words, prefix="a")
    plan: sw.Drawing = take_off.plan_drawing(prefix="b")
    bars: sw.Drawing = take_off.cut_battens().drawing(prefix="c")
    texts: list[str] = [slope.kind, slope.name, slope.svg, plan.svg, bars.svg, take_off.table().to_markdown()]
    html: str = sw.page(take_off, salvaged=None, order=None)
    return len("".join(texts)) + len(html)


def estates(take_offs: sw.Survey) -> int:
    rows = sw.read_city_model  # a file is read elsewhere
    model: sw.CityModel = sw.CityModel.from_text(
        MODEL, unit="m", flat_below_deg=5.0, small_below_m2=1.0, lod="2"
    )
    slopes: sw.ArrowTable = model.slopes
    batch: sw.Batch = sw.take_off_batch(slopes, covering="plain-tile-265x165", lines=True, threads=1)
    tables: list[sw.ArrowTable] = [batch.totals, batch.lines, batch.errors]
    records: list[dict[str, Any]] = batch.totals.records()
    sums: dict[str, float] = batch.totals.sums()
    texts: list[str] = [batch.totals.to_csv(), *batch.totals.column_names, *batch.totals.meanings]
    parts = sw.take_off_batches(slopes, survey=take_offs, units_only=True, rows_at_once=10)
    assert isinstance(parts, sw.Batches)
    more: list[sw.Batch] = [*parts]
    joined: sw.Batch = sw.Batch.joined(more)
    cases: sw.Batch = sw.study(slopes, survey=take_offs, pitches_deg=[35, 45], eaves_overhangs_mm=[30.0])
    names: list[str] = model.buildings
    areas: dict[str, float] = model.footprints_m2
    survey: sw.Survey = model.survey(names[0], survey=take_offs)
    system: str | None = model.reference_system
    assert (rows, tables, records, sums, texts, more, joined, survey, model.faults, system, areas) is not None
    counts: list[int] = [batch.row_count, cases.row_count, batch.faulty_count, len(model.table("edges"))]
    return sum(counts)


#: A lean-to of 4 m by 3 m that rises by 3 m.
MODEL = """{"type": "CityJSON", "version": "2.0",
"transform": {"scale": [0.001, 0.001, 0.001], "translate": [0, 0, 0]},
"vertices": [[0, 0, 2000], [4000, 0, 2000], [4000, 3000, 5000], [0, 3000, 5000]],
"CityObjects": {"shed": {"type": "Building", "geometry": [{"type": "MultiSurface", "lod": "2",
"boundaries": [[[0, 1, 2, 3]]],
"semantics": {"surfaces": [{"type": "RoofSurface"}], "values": [0]}}]}}}"""


def rest() -> float:
    kinds: list[tuple[str, str, str]] = sw.fault_kinds()
    keys: list[tuple[str, str]] = sw.covering_keys()
    errors: list[type[sw.SlopewrightError]] = [
        sw.CatalogueError,
        sw.SurveyError,
        sw.SetOutError,
        sw.StockError,
    ]
    errors += [sw.SalvageError, sw.OrderError, sw.OutputError]
    version: str = sw.__version__
    assert all((kinds, keys, errors, version))
    return sw.length_mm(text="1 m") + sw.pitch_deg(text="40 deg")
