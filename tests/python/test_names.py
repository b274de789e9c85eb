"""The code held to the glossary: every name of a column, parameter or attribute stands in docs/glossary.md."""

from __future__ import annotations

import inspect
import re
from pathlib import Path

import pytest

import slopewright as sw
import typed_use

GLOSSARY = (Path(__file__).parents[2] / "docs" / "glossary.md").read_text(encoding="utf-8")
UNITS = ("_mm", "_m", "_m2", "_kg", "_deg", "_percent", "_count")
TABLES = ("lines", "courses", "battens", "underlay", "edges", "findings", "measured")
CUTTING = ("cutting", "pieces")
#: Parts of one, and counts by the year: their names say what they are.
RATIOS = {"sureness", "years", "per_thousand_a_year"}
#: Whole numbers that are no amounts but numbers of things, and the amount whose name is the unit.
WITHOUT_UNIT = {"course", "row", "piece", "bar", "count", "row_number", "surface"}


def section() -> dict[str, str]:
    """Names of the section on names, with their meanings."""
    text = GLOSSARY.split("## Names in tables and in Python")[1].split("\n## ")[0]
    rows = re.findall(r"^\| (`.*`) \| (.*) \|$", text, flags=re.MULTILINE)
    return {name: meaning for names, meaning in rows for name in re.findall(r"`(\w+)`", names)}


def tables() -> list[sw.Table | sw.ArrowTable]:
    roof = sw.Roof(covering="plain-tile-265x165", rafter_spacing_mm=400, underlay="membrane-1x50")
    result = roof.rectangle("front", eaves_m=4, rafter_m=3, pitch_deg=40).take_off()
    model = sw.CityModel.from_text(typed_use.MODEL)
    batch = sw.take_off_batch(model.slopes, covering="plain-tile-265x165", lines=True)
    study = sw.study(model.slopes, survey=roof.survey(), gauges_mm=[95])
    return [
        *(result.table(name) for name in TABLES),
        *(result.cut_battens().table(name) for name in CUTTING),
        *(model.table(name) for name in ("surfaces", "edges")),
        *(batch.totals, batch.lines, batch.errors, study.totals, model.slopes),
    ]


def columns() -> set[str]:
    return {column for table in tables() for column in table.column_names}


def public_callables() -> list[tuple[str, object]]:
    found = []
    for name in sw.__all__:
        thing = getattr(sw, name)
        if not callable(thing) or (inspect.isclass(thing) and issubclass(thing, Exception)):
            continue
        found.append((name, thing))
        if inspect.isclass(thing):
            members = inspect.getmembers(thing, callable)
            found += [(f"{name}.{own}", member) for own, member in members if not own.startswith("_")]
    return found


def parameters() -> dict[str, str]:
    """Parameters of everything public, each with one place where it is."""
    places = {}
    for place, thing in public_callables():
        try:
            signature = inspect.signature(thing)
        except (TypeError, ValueError):
            # A class of results: it is not made by the user.
            continue
        places |= {name: place for name in signature.parameters if name not in ("self", "args", "kwargs")}
    return places


def attributes() -> dict[str, str]:
    places = {}
    for name in sw.__all__:
        thing = getattr(sw, name)
        if inspect.isclass(thing):
            own = [key for key, value in vars(thing).items() if inspect.isgetsetdescriptor(value)]
            places |= {attribute: name for attribute in own if not attribute.startswith("_")}
    return places


def test_there_are_names_to_check():
    assert len(columns()) > 20
    assert len(parameters()) > 25
    assert len(attributes()) > 30


@pytest.mark.parametrize("kind", [columns, parameters, attributes])
def test_every_name_stands_in_the_glossary(kind):
    missing = [name for name in kind() if name not in section()]
    assert not missing, f"add these to docs/glossary.md: {missing}"


def test_the_glossary_has_no_name_that_nothing_has():
    used = columns() | set(parameters()) | set(attributes()) | {"faults", "requested_schema"}
    assert set(section()) - used == set()


def test_figures_have_their_unit_at_the_end():
    for table in tables():
        for row in table.records():
            for name, value in row.items():
                if isinstance(value, (int, float)):
                    assert name.endswith(UNITS) or name in WITHOUT_UNIT, name
    for place, thing in public_callables():
        if not inspect.isfunction(thing) and not inspect.isclass(thing):
            continue
        for name, annotation in getattr(thing, "__annotations__", {}).items():
            if str(annotation) in ("float", "float | None"):
                assert name.endswith(UNITS) or name in RATIOS, (place, name)


def test_numbers_among_the_attributes_have_their_unit_at_the_end():
    roof = sw.Roof(covering="plain-tile-265x165", rafter_spacing_mm=400)
    result = roof.rectangle("front", eaves_m=4, rafter_m=3, pitch_deg=40).take_off()
    for thing in (*result.lines, *result.slopes):
        for name in attributes():
            if isinstance(getattr(thing, name, None), (int, float)):
                assert name.endswith(UNITS) or name in WITHOUT_UNIT, name
