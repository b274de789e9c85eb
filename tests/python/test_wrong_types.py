"""What is not what a builder asks for ends as a fault of the document, with its field, and beside all other faults."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import polars as pl
import pytest

import slopewright as sw


def roof(**stated: Any) -> sw.Roof:
    return sw.Roof(covering="plain-tile-265x165", **stated)


def rectangle(**stated: Any) -> sw.Roof:
    return roof().rectangle("front", **({"eaves_m": 8, "rafter_m": 5, "pitch_deg": 40} | stated))


WRONG: dict[str, tuple[Callable[[], sw.Roof], list[tuple[str, str]]]] = {
    "a text without its unit": (lambda: rectangle(eaves_m="8"), [("slope 'front', eaves", '"8"')]),
    "a truth, a list, a number beyond all": (
        lambda: rectangle(eaves_m=True, rafter_m=[5], pitch_deg=10**400),
        [
            ("slope 'front', eaves", "true"),
            ("slope 'front', rafter", "[5]"),
            ("slope 'front', pitch", "1000"),
        ],
    ),
    "a word for openings": (lambda: rectangle(openings="w"), [("slope 'front', opening", '"w"')]),
    "an opening without a field": (
        lambda: rectangle(openings=[{}]),
        [
            (f"slope 'front', opening 1, {field}", "")
            for field in ("from_left", "from_eaves", "width", "height")
        ],
    ),
    "a word for edges": (lambda: rectangle(edges="w"), [("slope 'front', edges", '"w"')]),
    "a number for an edge": (lambda: rectangle(edges={"left": 3}), [("slope 'front', edge 'left'", "3")]),
    "a word for edgework": (
        lambda: roof(edgework="dry").rectangle("front", eaves_m=8, rafter_m=5, pitch_deg=40),
        [("edgework", '"dry"')],
    ),
    "numbers for corners": (
        lambda: roof().outline("front", corners_m=[1, 2], pitch_deg=40),  # type: ignore[list-item]
        [("slope 'front', points 1", "1"), ("slope 'front', points 2", "2")],
    ),
    "an object for a length": (
        lambda: roof().gable("barn", length_m=object(), span_m=5, pitch_deg=40),  # type: ignore[arg-type]
        [("form 'barn', length", "<object object")],
    ),
}


@pytest.mark.parametrize("case", WRONG)
def test_the_check_names_the_field_and_what_was_given(case: str) -> None:
    build, wanted = WRONG[case]
    with pytest.raises(sw.SurveyError) as caught:
        build().take_off()
    told = [(fault.place, fault.given) for fault in caught.value.faults]
    assert len(told) == len(wanted), told
    for place, given in wanted:
        # A field that is missing stands in the words, not in the place.
        where, _, field = place.rpartition(", ") if given == "" else (place, "", "")
        assert any(
            of.place.startswith(where) and given in of.given and field in of.problem
            for of in caught.value.faults
        ), told


def test_one_alone_is_a_list_of_one_and_a_text_keeps_its_unit() -> None:
    window = sw.Opening(from_left_m=2, from_eaves_m=1, width_mm=780, height_mm=980)
    one, many = (rectangle(openings=of).survey().to_json() for of in (window, [window]))
    assert one == many
    short = roof(batten_stock_m=3.6).survey().to_json()
    assert short == roof(batten_stock_m=[3.6]).survey().to_json()
    feet = rectangle(eaves_m="26 ft").take_off().slopes[0]
    assert feet.covered_area_m2 == pytest.approx(
        rectangle(eaves_m=26 * 0.3048).take_off().slopes[0].covered_area_m2
    )


def test_a_polars_column_of_nothing_but_none_is_as_if_it_were_not_there() -> None:
    rows = pl.DataFrame({"shape": ["rectangle"], "eaves_m": [8.0], "rafter_m": [5.0], "pitch_deg": [40.0]})
    without = sw.take_off_batch(rows, covering="plain-tile-265x165")
    empty = rows.with_columns(pl.lit(None).alias("ridge_m"))
    assert empty.schema["ridge_m"] == pl.Null
    with_it = sw.take_off_batch(empty, covering="plain-tile-265x165")
    assert pl.DataFrame(with_it.totals).equals(pl.DataFrame(without.totals))
    assert with_it.faulty_count == 0
